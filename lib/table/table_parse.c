/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Decimal to double in three stages, each of which gives the correctly rounded result or
 * hands over to the next: one multiplication or division of exact doubles; one exact
 * 128-bit product or quotient; exact division of natural numbers.
 *
 * Tables need the third as well: programs write the rounding errors of their sums with
 * all digits, sin(pi) as 1.2246467991473532e-16, which is 17 digits and 10^-32; 10^27 is
 * the farthest that 128 bits reach. A decimal may also have more than 19 digits, and
 * without a type of 128 bits the second stage is not there.
 */
#include "table/table_parse.h"

#include <float.h>
#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <string.h>

#include "table/table.h"
#include "table/table_big.h"

#define DIGITS_WORD  19  /* digits that always fit 64 bits */
#define DIGITS_EXACT 800 /* more than a tie between two doubles can have: 767 */
#define EXPONENT_CAP 100000000

#define MINUS        "\xe2\x88\x92" /* U+2212 */
#define MINUS_LENGTH 3

/* A decimal as it stands: the digits from `first` to `last` but for the point. */
typedef struct decimal {
    const char *first, *last; /* first significant digit, one past the last digit */
    uint64_t word;            /* the digits, when there are at most 19 */
    long count;               /* digits from first on, the point left out */
    long exponent;            /* value = digits * 10^exponent */
    bool negative;
    char point; /* the decimal sign */
} decimal;

static bool is_digit(char c)
{
    return (unsigned char)(c - '0') < 10;
}

/* Bytes of the sign at p. */
static size_t sign_length(const char *p, const char *end)
{
    if (p < end && (*p == '-' || *p == '+'))
        return 1;
    return end - p >= MINUS_LENGTH && memcmp(p, MINUS, MINUS_LENGTH) == 0 ? MINUS_LENGTH
                                                                          : 0;
}

/* Rounds m * 2^exponent, plus something below one unit of m if `sticky`; m >= 2^61. */
static double round_binary(uint64_t m, bool sticky, long exponent)
{
    for (; !(m >> 63); exponent--)
        m <<= 1;
    long drop = 11;
    if (exponent + drop < -1074) /* below the normal numbers fewer bits are left */
        drop = -1074 - exponent;
    if (drop > 64)
        return 0.0;
    uint64_t half = (uint64_t)1 << (drop - 1);
    uint64_t rest = m & (half | (half - 1));
    uint64_t kept = drop < 64 ? m >> drop : 0;
    if (rest > half || (rest == half && (sticky || (kept & 1))))
        kept++;
    return ldexp((double)kept, (int)(exponent + drop));
}

/* word * 10^exponent by one operation on exact doubles (Clinger 1990). */
static bool convert_double(uint64_t word, long exponent, double *value)
{
    static const double power[] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                   1e8,  1e9,  1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
                                   1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};
    if (word > (uint64_t)1 << 53 || exponent < -22 || exponent > 22)
        return false;
    *value =
        exponent < 0 ? (double)word / power[-exponent] : (double)word * power[exponent];
    return true;
}

#ifdef __SIZEOF_INT128__
__extension__ typedef unsigned __int128 wide;

/* The same through 5^|exponent|, below 2^64 up to 27, and one exact step of 128 bits. */
static bool convert_wide(uint64_t word, long exponent, double *value)
{
    if (word == 0 || exponent < -27 || exponent > 27)
        return false;
    uint64_t five = 1;
    for (long i = exponent < 0 ? -exponent : exponent; i > 0; i--)
        five *= 5;
    long binary = exponent;
    for (; !(word >> 63); binary--)
        word <<= 1;
    for (; !(five >> 63); five <<= 1)
        binary += exponent < 0 ? 1 : -1;
    if (exponent < 0) {
        wide dividend = (wide)word << 63;
        uint64_t quotient = (uint64_t)(dividend / five);
        *value = round_binary(quotient, (wide)quotient * five != dividend, binary - 63);
    } else {
        wide product = (wide)word * five;
        *value =
            round_binary((uint64_t)(product >> 64), (uint64_t)product != 0, binary + 64);
    }
    return true;
}
#else
static bool convert_wide(uint64_t word, long exponent, double *value)
{
    (void)word, (void)exponent, (void)value;
    return false;
}
#endif

/* Any decimal: its digits as a natural number, divided exactly. */
static double convert_exact(const decimal *d)
{
    long top = d->count + d->exponent; /* value is below 10^top, not below 10^(top - 1) */
    if (top > 309)
        return HUGE_VAL;
    if (top < -323) /* below half the smallest double */
        return 0.0;
    darc_big over, under;
    darc_big_set(&over, 0);
    darc_big_set(&under, 1);
    long taken = 0;
    bool rest = false;
    for (const char *p = d->first; p < d->last; p++) {
        if (*p == d->point)
            continue;
        if (taken < DIGITS_EXACT) {
            darc_big_multiply(&over, 10, (uint32_t)(*p - '0'));
            taken++;
        } else if (*p != '0')
            rest = true;
    }
    if (rest) /* what is left out only breaks ties */
        darc_big_multiply(&over, 10, 1);
    long exponent = top - taken - (rest ? 1 : 0);
    if (exponent >= 0)
        darc_big_scale10(&over, (int)exponent);
    else
        darc_big_scale10(&under, (int)-exponent);
    int shift = 63 - (darc_big_bits(&over) - darc_big_bits(&under));
    darc_big_shift(shift > 0 ? &over : &under, shift > 0 ? shift : -shift);
    uint64_t quotient = darc_big_divide(&over, &under);
    return round_binary(quotient, !darc_big_is_zero(&over), -shift);
}

/* Digits and point from *at on; false when there is no digit. */
static bool scan_digits(const char **at, const char *end, decimal *d)
{
    const char *p = *at, *start = p;
    uint64_t word = 0;
    while (p < end && is_digit(*p))
        word = word * 10 + (uint64_t)(*p++ - '0');
    d->count = p - start;
    d->exponent = 0;
    if (p < end && *p == d->point) {
        const char *fraction = ++p;
        while (p < end && is_digit(*p))
            word = word * 10 + (uint64_t)(*p++ - '0');
        d->exponent = fraction - p;
        d->count -= d->exponent;
    }
    d->word = word; /* nonsense above 19 digits; put right by shorten() */
    d->first = start;
    d->last = p;
    *at = p;
    return d->count > 0;
}

/* An exponent, if there is one. Beyond the cap only the sign matters. */
static bool scan_exponent(const char **at, const char *end, decimal *d)
{
    const char *p = *at;
    if (p == end || (*p != 'e' && *p != 'E'))
        return true;
    p++;
    size_t sign = sign_length(p, end);
    bool negative = sign > 0 && *p != '+';
    p += sign;
    if (p == end || !is_digit(*p))
        return false;
    long power = 0;
    for (; p < end && is_digit(*p); p++)
        if (power < EXPONENT_CAP)
            power = power * 10 + (*p - '0');
    d->exponent += negative ? -power : power;
    *at = p;
    return true;
}

/* Leaves out zeros that carry no information, so that most decimals fit one word. */
static void shorten(decimal *d)
{
    while (d->first < d->last && (*d->first == '0' || *d->first == d->point))
        if (*d->first++ == '0')
            d->count--;
    while (d->first < d->last && (d->last[-1] == '0' || d->last[-1] == d->point))
        if (*--d->last == '0') {
            d->count--;
            d->exponent++;
        }
    d->word = 0;
    for (const char *p = d->first; d->count <= DIGITS_WORD && p < d->last; p++)
        if (*p != d->point)
            d->word = d->word * 10 + (uint64_t)(*p - '0');
}

/* Why a field is not a number. */
static darc_number diagnose(const char *p, const char *end, char point)
{
    const char sign = point == '.' ? ',' : '.';
    bool met = false, digit = false, other = false;
    p += sign_length(p, end);
    for (const char *word = "nan\0inf\0infinity\0"; *word; word += word[3] ? 9 : 4) {
        const char *q = p, *w = word;
        while (q < end && *w && (*q | 0x20) == *w)
            q++, w++;
        if (q == end && !*w)
            return DARC_NUMBER_NOT_FINITE;
    }
    for (; p < end; p++) {
        digit = digit || is_digit(*p);
        other = other || (*p == sign && met) ||
                (!is_digit(*p) && *p != sign && *p != 'e' && *p != 'E' && *p != '-' &&
                 *p != '+');
        met = met || *p == sign;
    }
    return met && digit && !other ? DARC_NUMBER_OTHER_SIGN : DARC_NUMBER_BAD;
}

darc_number darc_parse_number(const char *text, size_t length, char point, double *value)
{
    if (length == 0)
        return DARC_NUMBER_BLANK;
    const char *p = text, *end = text + length;
    darc_trim(&p, &end);
    if (p == end)
        return DARC_NUMBER_BLANK;
    const char *begin = p;
    size_t sign = sign_length(p, end);
    decimal d = {.negative = sign > 0 && *p != '+', .point = point};
    p += sign;
    if (!scan_digits(&p, end, &d) || !scan_exponent(&p, end, &d) || p != end)
        return diagnose(begin, end, point);
    if (d.count > DIGITS_WORD)
        shorten(&d);
    double magnitude = 0.0;
    bool one_word = d.count <= DIGITS_WORD;
    if (d.count == 0 || (one_word && d.word == 0))
        magnitude = 0.0;
    else if (!(one_word && convert_double(d.word, d.exponent, &magnitude)) &&
             !(one_word && convert_wide(d.word, d.exponent, &magnitude))) {
        shorten(&d);
        magnitude = convert_exact(&d);
    }
    if (!(magnitude <= DBL_MAX))
        return DARC_NUMBER_TOO_LARGE;
    *value = d.negative ? -magnitude : magnitude;
    return DARC_NUMBER_OK;
}
