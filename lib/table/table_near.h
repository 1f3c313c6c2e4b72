/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Names of columns, and those that are misspelt.
 */
#ifndef DARC_TABLE_NEAR_H
#define DARC_TABLE_NEAR_H

#include <stdbool.h>
#include <stddef.h>

/* Whether a text, its spaces left out, says `name`, capitals aside. */
bool darc_is_named(const char *text, size_t length, const char *name);

#define DARC_NAME_FAR 3 /* no misspelling */

/*
 * How many slips make `text` of `name`: letters and digits alone are compared, capitals
 * aside, and a slip adds one, leaves one out, replaces one or exchanges two neighbours.
 * DARC_NAME_FAR for more than two slips in a name of eight letters and more, one in a
 * shorter one, none in one of two, and for a text of 32 bytes and more.
 */
int darc_name_distance(const char *text, size_t length, const char *name);

#endif
