/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Natural numbers of up to 4,224 bits: what exact conversion between decimal and binary
 * needs, no more. The largest operand is a decimal of 800 digits against a power of ten
 * that brings it down to the smallest double, 10^1125, moved up by 63 bits.
 */
#ifndef DARC_TABLE_BIG_H
#define DARC_TABLE_BIG_H

#include <stdbool.h>
#include <stdint.h>

#define DARC_BIG_WORDS 132

typedef struct darc_big {
    int words;                     /* in use; the highest one is not 0 */
    uint32_t word[DARC_BIG_WORDS]; /* lowest first */
} darc_big;

void darc_big_set(darc_big *big, uint64_t value);

/* big = big * factor + addend */
void darc_big_multiply(darc_big *big, uint32_t factor, uint32_t addend);

/* big = big * 10^power, power >= 0 */
void darc_big_scale10(darc_big *big, int power);

/* big = big * 2^bits, bits >= 0 */
void darc_big_shift(darc_big *big, int bits);

/* Number of bits; 0 for 0. */
int darc_big_bits(const darc_big *big);

int darc_big_compare(const darc_big *a, const darc_big *b);

bool darc_big_is_zero(const darc_big *big);

/* Integer quotient, which must be below 2^64; the dividend becomes the remainder. */
uint64_t darc_big_divide(darc_big *dividend, const darc_big *divisor);

#endif
