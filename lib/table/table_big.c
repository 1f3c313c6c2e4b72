/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "table/table_big.h"

void darc_big_set(darc_big *big, uint64_t value)
{
    big->words = 0;
    for (; value; value >>= 32)
        big->word[big->words++] = (uint32_t)value;
}

void darc_big_multiply(darc_big *big, uint32_t factor, uint32_t addend)
{
    uint64_t carry = addend;
    for (int i = 0; i < big->words; i++) {
        carry += (uint64_t)big->word[i] * factor;
        big->word[i] = (uint32_t)carry;
        carry >>= 32;
    }
    if (carry)
        big->word[big->words++] = (uint32_t)carry;
}

void darc_big_scale10(darc_big *big, int power)
{
    for (; power >= 9; power -= 9)
        darc_big_multiply(big, 1000000000u, 0);
    for (; power > 0; power--)
        darc_big_multiply(big, 10u, 0);
}

void darc_big_shift(darc_big *big, int bits)
{
    int whole = bits / 32, part = bits % 32;
    if (big->words == 0)
        return;
    if (part)
        darc_big_multiply(big, (uint32_t)1 << part, 0);
    for (int i = big->words - 1; i >= 0; i--)
        big->word[i + whole] = big->word[i];
    for (int i = 0; i < whole; i++)
        big->word[i] = 0;
    big->words += whole;
}

int darc_big_bits(const darc_big *big)
{
    if (big->words == 0)
        return 0;
    int bits = 32 * (big->words - 1);
    for (uint32_t top = big->word[big->words - 1]; top; top >>= 1)
        bits++;
    return bits;
}

int darc_big_compare(const darc_big *a, const darc_big *b)
{
    if (a->words != b->words)
        return a->words < b->words ? -1 : 1;
    for (int i = a->words - 1; i >= 0; i--)
        if (a->word[i] != b->word[i])
            return a->word[i] < b->word[i] ? -1 : 1;
    return 0;
}

bool darc_big_is_zero(const darc_big *big)
{
    return big->words == 0;
}

/* a = a - b, a >= b */
static void subtract(darc_big *a, const darc_big *b)
{
    uint32_t borrow = 0;
    for (int i = 0; i < a->words; i++) {
        uint64_t take = (i < b->words ? (uint64_t)b->word[i] : 0) + borrow;
        borrow = take > a->word[i];
        a->word[i] = (uint32_t)(a->word[i] - take);
    }
    while (a->words && a->word[a->words - 1] == 0)
        a->words--;
}

static void halve(darc_big *big)
{
    for (int i = 0; i < big->words; i++) {
        uint32_t above = i + 1 < big->words ? big->word[i + 1] : 0;
        big->word[i] = big->word[i] >> 1 | above << 31;
    }
    if (big->words && big->word[big->words - 1] == 0)
        big->words--;
}

uint64_t darc_big_divide(darc_big *dividend, const darc_big *divisor)
{
    uint64_t quotient = 0;
    darc_big step = *divisor;
    darc_big_shift(&step, 63);
    for (int bit = 63; bit >= 0; bit--) {
        if (darc_big_compare(dividend, &step) >= 0) {
            subtract(dividend, &step);
            quotient |= (uint64_t)1 << bit;
        }
        halve(&step);
    }
    return quotient;
}
