/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * How the commands end and how they complain: one line on standard error. Names out of
 * tables and from the command line are shown safely.
 */
#ifndef COMPLAIN_H
#define COMPLAIN_H

#include <dialarc.h>

enum { DONE = 0, SOME_UNUSABLE = 1, FAILED = 2 };

/* "dialarc WHO: what: text", where who is a command or "" for none; FAILED. */
int complain(const char *who, const char *what, const char *text);

/* The same of a table, with row and column; `name` as messages name it. FAILED. */
int complain_table(const char *who, const char *name, const dialarc_error *error);

/* There is not enough memory; FAILED. */
int complain_memory(const char *who);

/* A sweep or job without a verdict, and the findings that stop it. */
void complain_unusable(const char *who, const char *name,
                       const dialarc_findings *findings);

#endif
