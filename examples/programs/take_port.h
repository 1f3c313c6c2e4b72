/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The line by which an indicator sends its readings. */
#ifndef TAKE_PORT_H
#define TAKE_PORT_H

/*
 * Opens a device for reading: a serial line of this machine, at so many baud with 8 bits
 * and no parity, through libserialport where that was built in; any other terminal or
 * pipe as it is. Its descriptor, or -1 after a complaint.
 */
int take_port_open(const char *who, const char *device, int baud);

void take_port_close(int descriptor);

#endif
