/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "take_port.h"

#include <errno.h>
#include <fcntl.h>
#include <stddef.h>
#include <string.h>
#include <termios.h>
#include <unistd.h>
#ifdef HAVE_SERIALPORT
#include <libserialport.h>
#endif

#include "complain.h"

/* What is sent comes as it is: no line is edited, nothing is echoed. */
static void take_bytes(int descriptor)
{
    struct termios t;
    if (tcgetattr(descriptor, &t) != 0)
        return; /* no terminal: a pipe */
    t.c_iflag &=
        ~(tcflag_t)(IGNBRK | BRKINT | PARMRK | ISTRIP | INLCR | IGNCR | ICRNL | IXON);
    t.c_lflag &= ~(tcflag_t)(ECHO | ECHONL | ICANON | ISIG | IEXTEN);
    tcsetattr(descriptor, TCSANOW, &t);
}

static int open_plainly(const char *who, const char *device)
{
    int descriptor = open(device, O_RDONLY | O_NOCTTY | O_NONBLOCK | O_CLOEXEC);
    if (descriptor < 0) {
        complain(who, device, strerror(errno));
        return -1;
    }
    take_bytes(descriptor);
    return descriptor;
}

#ifdef HAVE_SERIALPORT

static struct sp_port *port; /* the one that is open, or NULL */

static int give_up(const char *who, const char *device, enum sp_return why)
{
    char *text = why == SP_ERR_FAIL ? sp_last_error_message() : NULL;
    complain(who, device, text ? text : "this serial line cannot be opened so");
    sp_free_error_message(text);
    take_port_close(-1);
    return -1;
}

int take_port_open(const char *who, const char *device, int baud)
{
    int descriptor = -1;
    if (sp_get_port_by_name(device, &port) != SP_OK) { /* no serial line */
        port = NULL;
        return open_plainly(who, device);
    }
    enum sp_return good = sp_open(port, SP_MODE_READ);
    if (good != SP_OK) {
        sp_free_port(port);
        port = NULL;
        complain(who, device, "this serial line cannot be opened");
        return -1;
    }
    if ((good = sp_set_baudrate(port, baud)) != SP_OK ||
        (good = sp_set_bits(port, 8)) != SP_OK ||
        (good = sp_set_parity(port, SP_PARITY_NONE)) != SP_OK ||
        (good = sp_set_stopbits(port, 1)) != SP_OK ||
        (good = sp_set_flowcontrol(port, SP_FLOWCONTROL_NONE)) != SP_OK ||
        (good = sp_get_port_handle(port, &descriptor)) != SP_OK)
        return give_up(who, device, good);
    return descriptor;
}

void take_port_close(int descriptor)
{
    if (port) {
        sp_close(port);
        sp_free_port(port);
        port = NULL;
    } else if (descriptor >= 0) {
        close(descriptor);
    }
}

#else

int take_port_open(const char *who, const char *device, int baud)
{
    (void)baud; /* as the line is set */
    return open_plainly(who, device);
}

void take_port_close(int descriptor)
{
    if (descriptor >= 0)
        close(descriptor);
}

#endif
