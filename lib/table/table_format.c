/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "table/table_format.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "table/table_big.h"
#include "table/table_parse.h"

/* Decimal digits of a natural number; returns how many. */
static size_t put_natural(uint64_t n, char *text)
{
    char back[20];
    size_t length = 0;
    do
        back[length++] = (char)('0' + n % 10);
    while ((n /= 10) != 0);
    for (size_t i = 0; i < length; i++)
        text[i] = back[length - 1 - i];
    return length;
}

size_t darc_format_fixed(double value, int decimals, char *text)
{
    static const uint32_t power[] = {1,      10,      100,      1000,      10000,
                                     100000, 1000000, 10000000, 100000000, 1000000000};
    if (!isfinite(value))
        return 0;
    double magnitude = fabs(value), scale = power[decimals];
    double scaled = magnitude * scale;
    if (!(scaled < 4503599627370496.0))
        return darc_format_shortest(value, text);
    /* The product may have been rounded onto a tie; fma() tells on which side it was. */
    double whole = floor(scaled), fraction = scaled - whole;
    double error = fma(magnitude, scale, -scaled);
    uint64_t n = (uint64_t)whole;
    if (fraction > 0.5 || (fraction == 0.5 && (error > 0.0 || (error == 0.0 && (n & 1)))))
        n++;
    size_t length = 0;
    if (value < 0.0 && n)
        text[length++] = '-';
    length += put_natural(n / power[decimals], text + length);
    if (decimals) {
        /* a leading 1 keeps the zeros after the point, and the point takes its place */
        size_t point = length;
        length += put_natural(power[decimals] + n % power[decimals], text + length);
        text[point] = '.';
    }
    return length;
}

/* The `digits` digits of a value > 0, rounded, and the power of ten of the last one. */
static uint64_t decimal_digits(double value, int digits, int *exponent)
{
    int binary;
    uint64_t mantissa = (uint64_t)ldexp(frexp(value, &binary), 53);
    binary -= 53;
    *exponent =
        (int)floor(log10(value)) - digits; /* one or two short, and put right below */
    uint64_t limit = 1;
    for (int i = 0; i < digits; i++)
        limit *= 10;
    for (;;) {
        darc_big over, under;
        darc_big_set(&over, mantissa);
        darc_big_set(&under, 1);
        darc_big_shift(binary > 0 ? &over : &under, binary > 0 ? binary : -binary);
        darc_big_scale10(*exponent > 0 ? &under : &over,
                         *exponent > 0 ? *exponent : -*exponent);
        uint64_t quotient = darc_big_divide(&over, &under);
        darc_big_multiply(&over, 2, 0);
        int above = darc_big_compare(&over, &under);
        if (above > 0 || (above == 0 && (quotient & 1)))
            quotient++;
        if (quotient < limit)
            return quotient;
        ++*exponent;
    }
}

/* digits * 10^exponent, with a power of ten where zeros would be many. */
static size_t put_decimal(uint64_t digits, int exponent, char *text)
{
    for (; digits % 10 == 0; digits /= 10)
        exponent++;
    char digit[20];
    int count = (int)put_natural(digits, digit), point = count + exponent;
    int power = 0;
    if (point < -4 || point > 16) {
        power = point - 1;
        point = 1;
    }
    size_t length = 0;
    if (point <= 0) {
        text[length++] = '0';
        text[length++] = '.';
        for (int i = point; i < 0; i++)
            text[length++] = '0';
    }
    for (int i = 0; i < count || i < point; i++) {
        if (i == point && i > 0)
            text[length++] = '.';
        text[length++] = i < count ? digit[i] : '0';
    }
    if (power) {
        text[length++] = 'e';
        if (power < 0)
            text[length++] = '-';
        length += put_natural((uint64_t)abs(power), text + length);
    }
    return length;
}

size_t darc_format_shortest(double value, char *text)
{
    if (!isfinite(value))
        return 0;
    size_t length = 0;
    if (signbit(value))
        text[length++] = '-';
    double magnitude = fabs(value);
    if (magnitude == 0.0) {
        text[length++] = '0';
        return length;
    }
    for (int digits = 15;; digits++) {
        int exponent;
        uint64_t n = decimal_digits(magnitude, digits, &exponent);
        size_t more = put_decimal(n, exponent, text + length);
        double back;
        /* the largest double, rounded up, is no number */
        if (digits == 17 ||
            (darc_parse_number(text + length, more, '.', &back) == DARC_NUMBER_OK &&
             back == magnitude))
            return length + more;
    }
}

size_t darc_format_name(const char *name, char *text)
{
    size_t length = strlen(name);
    char *to = text;
    if (!strpbrk(name, ",\"\r\n") && length && !strchr(" \t", name[0]) &&
        !strchr(" \t", name[length - 1])) {
        memcpy(text, name, length);
        return length;
    }
    *to++ = '"';
    for (; *name; name++) {
        if (*name == '"')
            *to++ = '"';
        *to++ = *name;
    }
    *to++ = '"';
    return (size_t)(to - text);
}
