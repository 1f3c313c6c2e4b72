/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Decimal text to double: correctly rounded, the same in any locale, nothing allocated.
 */
#ifndef DARC_TABLE_PARSE_H
#define DARC_TABLE_PARSE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* What a field turned out to hold. */
typedef enum darc_number {
    DARC_NUMBER_OK = 0,
    DARC_NUMBER_BLANK,      /* nothing but spaces */
    DARC_NUMBER_BAD,        /* not a number */
    DARC_NUMBER_OTHER_SIGN, /* a number but for the other decimal sign */
    DARC_NUMBER_NOT_FINITE, /* NaN or infinity, spelt out */
    DARC_NUMBER_TOO_LARGE   /* rounds to infinity */
} darc_number;

/*
 * Reads [sign] digits [point digits] [e [sign] digits], whose decimal sign `point` is '.'
 * or ','; a minus may be U+2212, and what darc_trim() leaves out may stand around it.
 * `value` is written for DARC_NUMBER_OK alone. Rounds to nearest, ties to even.
 */
darc_number darc_parse_number(const char *text, size_t length, char point, double *value);

/*
 * The same, or false, for what most fields hold: at most 15 digits, perhaps an ASCII
 * minus and a decimal sign. Exact by one division of exact doubles (W. D. Clinger, How to
 * read floating point numbers accurately, 1990). A `point` of 0 takes digits alone.
 */
static inline bool darc_parse_short(const char *text, size_t length, char point,
                                    double *value)
{
    static const double power[] = {1e0, 1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                   1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
    const char *p = text, *end = text + length;
    bool negative = length > 0 && *p == '-';
    p += negative;
    if (end - p > 15 || end - p < 1)
        return false;
    uint64_t word = 0;
    unsigned digit;
    const char *start = p;
    for (; p < end && (digit = (unsigned)*p - '0') < 10; p++)
        word = word * 10 + digit;
    double divisor = 1.0;
    if (p < end && *p == point && end - start > 1) {
        divisor = power[end - ++p];
        for (; p < end && (digit = (unsigned)*p - '0') < 10; p++)
            word = word * 10 + digit;
    }
    *value = (negative ? -(double)word : (double)word) / divisor;
    return p == end;
}

#endif
