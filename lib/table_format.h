/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Double to decimal text: correctly rounded, the same in any locale, nothing allocated.
 */
#ifndef DARC_TABLE_FORMAT_H
#define DARC_TABLE_FORMAT_H

#include <stddef.h>

/* Room for the longest text. No final zero byte is written. */
#define DARC_FORMAT_SIZE 32

/*
 * Writes a value with `decimals` (0..9) digits after the point, exact ties to even, never
 * "-0.00"; a value of 2^52 units of the last place or more, as darc_format_shortest().
 * Returns the length; 0, a blank field, for a value that is not finite.
 */
size_t darc_format_fixed(double value, int decimals, char *text);

/*
 * Writes the shortest of a value's correctly rounded decimals of 15, 16 and 17 digits
 * that reads back as the same double, final zeros left out. Returns the length; 0 if not
 * finite.
 */
size_t darc_format_shortest(double value, char *text);

#endif
