/* SPDX-License-Identifier: GPL-3.0-or-later
 * Functions that the library calls, and what of its own is handed over as one. */
#include <dialarc.h>

/* A function of JavaScript (src/calls.js), which never throws. */
__attribute__((import_module("host"), import_name("model"))) double
darc_host_model(const double *input, void *context);

dialarc_model darc_model(void);
dialarc_read darc_reader(void);

dialarc_model darc_model(void)
{
    return darc_host_model;
}

dialarc_read darc_reader(void)
{
    return dialarc_read_memory;
}

/* In place of GSL's, which prints and aborts: the library never reaches it. */
void gsl_error(const char *reason, const char *file, int line, int code);

void gsl_error(const char *reason, const char *file, int line, int code)
{
    (void)reason, (void)file, (void)line, (void)code;
    __builtin_trap();
}
