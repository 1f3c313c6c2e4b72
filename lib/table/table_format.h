/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Fields to text: numbers correctly rounded, the same in any locale, nothing allocated.
 */
#ifndef DARC_TABLE_FORMAT_H
#define DARC_TABLE_FORMAT_H

#include <stddef.h>

/* Room for the longest number. No final zero byte is written. */
#define DARC_FORMAT_SIZE 32

/*
 * Writes a value with `decimals` (0..9) digits after the point, exact ties to even, never
 * "-0.00"; a value of 2^52 units of the last place or more, as darc_format_shortest().
 * Returns the length; 0, a blank field, for a value that is not finite.
 */
size_t darc_format_fixed(double value, int decimals, char *text);

/*
 * Writes the shortest of a value's correctly rounded decimals of 15, 16 and 17 digits
 * that reads back as the same double, final zeros left out, the sign of a zero
 * kept. Returns the length; 0 if not finite.
 */
size_t darc_format_shortest(double value, char *text);

/*
 * Writes a name, in quotation marks if a reader would take it for something else without.
 * Returns the length: at most twice that of the name, and two.
 */
size_t darc_format_name(const char *name, char *text);

#endif
