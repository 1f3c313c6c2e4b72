/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "table/table_parse.h"

#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/refdata.h"
#include "kit/sweep_kit.h"
#include "table/table_big.h"

/* xorshift64*: S. Vigna, An experimental exploration of Marsaglia's xorshift generators,
 * 2016. */
static uint64_t state;

static uint64_t draw(void)
{
    state ^= state >> 12;
    state ^= state << 25;
    state ^= state >> 27;
    return state * 2685821657736338717u;
}

static double draw_double(void)
{
    uint64_t bits = draw();
    double value;
    memcpy(&value, &bits, sizeof value);
    return value;
}

static locale_t point; /* the C locale, in which the C library reads and writes a point */

static void setup(void)
{
    state = 20240229;
    point = newlocale(LC_ALL_MASK, "C", (locale_t)0);
    ck_assert(point != (locale_t)0);
}

static void teardown(void)
{
    freelocale(point);
}

/* The same bits as the C library's strtod(). No ck_assert: each call of it is slow. */
static void compare(const char *text)
{
    locale_t before = uselocale(point);
    double expected = strtod(text, NULL), value = 7.0, brief = 7.0;
    uselocale(before);
    darc_number found = darc_parse_number(text, strlen(text), '.', &value);
    if (isinf(expected)
            ? found != DARC_NUMBER_TOO_LARGE
            : found != DARC_NUMBER_OK || memcmp(&value, &expected, sizeof value))
        ck_abort_msg("%.80s: %d, %a, not %a", text, found, value, expected);
    if (darc_parse_short(text, strlen(text), '.', &brief) &&
        memcmp(&brief, &expected, sizeof brief))
        ck_abort_msg("%.80s in short: %a, not %a", text, brief, expected);
}

static void print(char *text, size_t size, const char *format, int digits, double value)
{
    locale_t before = uselocale(point);
    snprintf(text, size, format, digits, value);
    uselocale(before);
}

/* Source: the GNU C library's strtod(), correctly rounded. */
START_TEST(random_doubles_read_as_by_strtod)
{
    char text[400];
    for (int i = 0; i < kit_count(600000); i++) {
        double value = draw_double();
        if (!isfinite(value))
            continue;
        print(text, sizeof text, i % 2 ? "%.*g" : "%.*e", (int)(draw() % 22) + 1, value);
        compare(text);
    }
}
END_TEST

START_TEST(random_digits_read_as_by_strtod)
{
    char text[80];
    for (int i = 0; i < kit_count(1200000); i++) {
        size_t n = 0, digits = draw() % 30 + 1, dot = draw() % (digits + 1);
        if (draw() & 1)
            text[n++] = '-';
        for (size_t j = 0; j < digits; j++) {
            if (j == dot)
                text[n++] = '.';
            text[n++] = (char)('0' + draw() % 10);
        }
        text[n] = '\0';
        if (draw() % 3 == 0)
            snprintf(text + n, sizeof text - n, "e%d", (int)(draw() % 80) - 40);
        compare(text);
    }
}
END_TEST

/* Numbers as they stand in tables: up to 9 digits, point anywhere. */
START_TEST(short_numbers_read_as_by_strtod)
{
    char text[40];
    for (int i = 0; i < kit_count(400000); i++) {
        print(text, sizeof text, "%.*f", (int)(draw() % 6),
              (double)(int64_t)(draw() % 2000000000) / 1e6 - 1000.0);
        compare(text);
        double value;
        if (!darc_parse_short(text, strlen(text), '.', &value))
            ck_abort_msg("%s is not short", text);
    }
}
END_TEST

/* The integer behind exact decisions: zero has no bits, wherever it is shifted. */
START_TEST(zero_is_shifted_to_zero)
{
    darc_big big;
    memset(&big, 0, sizeof big);
    darc_big_shift(&big, 70);
    ck_assert_int_eq(big.words, 0);
    ck_assert_int_eq(darc_big_bits(&big), 0);
}
END_TEST

/* Half-way between two doubles, to the last of up to 1,075 decimals, and just above it.
 */
START_TEST(ties_read_as_by_strtod)
{
    static char text[1400];
    for (int i = 0; i < kit_count(4000); i++) {
        double low = fabs(draw_double());
        if (i % 4 == 0)
            low = ldexp(low, -ilogb(low) - 1060 + (int)(draw() % 40)); /* subnormal */
        double high = nextafter(low, HUGE_VAL);
        if (!isfinite(high))
            continue;
        /* 64 bits of mantissa hold the tie exactly */
        long double tie = ((long double)low + (long double)high) / 2;
        locale_t before = uselocale(point);
        snprintf(text, sizeof text, "%.1150Le", tie);
        uselocale(before);
        compare(text);
        char *exponent = strchr(text, 'e');
        exponent[-1] = '1'; /* the last decimals are zeros */
        compare(text);
    }
}
END_TEST

START_TEST(known_hard_cases)
{
    refdata *table = refdata_open("decimal.csv");
    for (size_t row = 0; row < refdata_rows(table); row++) {
        const char *text = refdata_text(table, row, "text");
        double value = 0.0;
        ck_assert_msg(darc_parse_number(text, strlen(text), '.', &value) ==
                          DARC_NUMBER_OK,
                      "%.80s", text);
        double mantissa = refdata_number(table, row, "mantissa");
        double expected = ldexp(mantissa, (int)refdata_number(table, row, "exponent"));
        ck_assert_msg(value == expected, "%.80s: %a, not %a", text, value, expected);
    }
    refdata_close(table);
}
END_TEST

START_TEST(edges_read_as_by_strtod)
{
    static const char *const texts[] = {
        "0",
        "-0",
        "0.0",
        ".5",
        "5.",
        "-.5",
        "+1",
        "1e0",
        "1E+2",
        "0e999999999999999999",
        "1e999999999999999999",
        "1e-999999999999999999",
        "1e308",
        "1e309",
        "123456789012345",
        "1234567890123456",
        "999999999999999.9",
        "9007199254740993",
        "18446744073709551615",
        "18446744073709551616",
        "0000000000000000000000000000000001.50",
        "-40",
        "-40.000000000000000000000000",
        "0.000000000000000000000000000000000000000000001"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++)
        compare(texts[i]);
    static char text[3100];
    memset(text, '0', 3000);
    text[1] = '.';
    strcpy(text + 2999, "1e2998");
    compare(text); /* 0.1 */
    memset(text, '9', 3000);
    strcpy(text + 3000, "e-2990");
    compare(text);
}
END_TEST

static darc_number kind(const char *text)
{
    double value = 7.0;
    darc_number found = darc_parse_number(text, strlen(text), '.', &value);
    if (found != DARC_NUMBER_OK)
        ck_assert_double_eq(value, 7.0); /* written on success only */
    return found;
}

START_TEST(what_is_not_a_number)
{
    static const struct {
        const char *text;
        darc_number kind;
    } cases[] = {
        {"", DARC_NUMBER_BLANK},
        {" \t ", DARC_NUMBER_BLANK},
        {" 1.5\t", DARC_NUMBER_OK},
        {"0,85", DARC_NUMBER_OTHER_SIGN},
        {"-12,5", DARC_NUMBER_OTHER_SIGN},
        {"1,5e3", DARC_NUMBER_OTHER_SIGN},
        {"1.234,5", DARC_NUMBER_BAD},
        {"1,234,567", DARC_NUMBER_BAD},
        {",", DARC_NUMBER_BAD},
        {"a,b", DARC_NUMBER_BAD},
        {"nan", DARC_NUMBER_NOT_FINITE},
        {"NaN", DARC_NUMBER_NOT_FINITE},
        {"-inf", DARC_NUMBER_NOT_FINITE},
        {"+Infinity", DARC_NUMBER_NOT_FINITE},
        {"infinit", DARC_NUMBER_BAD},
        {"nano", DARC_NUMBER_BAD},
        {"1e400", DARC_NUMBER_TOO_LARGE},
        {"-1e400", DARC_NUMBER_TOO_LARGE},
        {"abc", DARC_NUMBER_BAD},
        {"-", DARC_NUMBER_BAD},
        {".", DARC_NUMBER_BAD},
        {"-.", DARC_NUMBER_BAD},
        {"1..2", DARC_NUMBER_BAD},
        {"1.2.3", DARC_NUMBER_BAD},
        {"--1", DARC_NUMBER_BAD},
        {"1e", DARC_NUMBER_BAD},
        {"1e+", DARC_NUMBER_BAD},
        {"1e1.5", DARC_NUMBER_BAD},
        {"0x10", DARC_NUMBER_BAD},
        {"1 2", DARC_NUMBER_BAD},
        {"1_000", DARC_NUMBER_BAD},
        {"1mm", DARC_NUMBER_BAD},
        {"#N/A", DARC_NUMBER_BAD},
        {"\xe2\x88\x92", DARC_NUMBER_BAD},
        {"5\xe2\x88\x92", DARC_NUMBER_BAD},
        {"\xe2\x88", DARC_NUMBER_BAD},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        ck_assert_msg(kind(cases[i].text) == cases[i].kind, "\"%s\": %d", cases[i].text,
                      kind(cases[i].text));
    double value;
    ck_assert_int_eq(darc_parse_number(NULL, 0, '.', &value), DARC_NUMBER_BLANK);
    ck_assert_int_eq(darc_parse_number("1\0002", 3, '.', &value), DARC_NUMBER_BAD);
    /* what follows the text is not looked at */
    ck_assert_int_eq(darc_parse_number("12345", 2, '.', &value), DARC_NUMBER_OK);
    ck_assert_double_eq(value, 12.0);
}
END_TEST

static Suite *suite(void)
{
    Suite *s = suite_create("table_parse");
    TCase *c = tcase_create("numbers");
    tcase_set_timeout(c, 120);
    tcase_add_checked_fixture(c, setup, teardown);
    tcase_add_test(c, random_doubles_read_as_by_strtod);
    tcase_add_test(c, random_digits_read_as_by_strtod);
    tcase_add_test(c, short_numbers_read_as_by_strtod);
    tcase_add_test(c, zero_is_shifted_to_zero);
    tcase_add_test(c, ties_read_as_by_strtod);
    tcase_add_test(c, edges_read_as_by_strtod);
    tcase_add_test(c, known_hard_cases);
    tcase_add_test(c, what_is_not_a_number);
    suite_add_tcase(s, c);
    return s;
}

int main(void)
{
    return darc_run(suite());
}
