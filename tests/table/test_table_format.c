/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "table/table_format.h"

#include <float.h>
#include <locale.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/sweep_kit.h"

static uint64_t state;

static uint64_t draw(void)
{
    state ^= state >> 12;
    state ^= state << 25;
    state ^= state >> 27;
    return state * 2685821657736338717u;
}

static locale_t point; /* the C locale */

static void setup(void)
{
    state = 20240301;
    point = newlocale(LC_ALL_MASK, "C", (locale_t)0);
    ck_assert(point != (locale_t)0);
}

static void teardown(void)
{
    freelocale(point);
}

/* Source: the GNU C library's snprintf(), correctly rounded; "-0.0" aside. */
START_TEST(fixed_as_by_snprintf)
{
    locale_t before = uselocale(point);
    for (int i = 0; i < kit_count(500000); i++) {
        double value = (double)(int64_t)draw() / ldexp(1.0, (int)(draw() % 64));
        if (i % 3 == 0) /* many ties */
            value = rint(value / 1024) / ldexp(1.0, (int)(draw() % 12));
        int decimals = (int)(draw() % 10);
        if (!(fabs(value) < 4e15 / pow(10, decimals)))
            continue;
        char expected[64], text[DARC_FORMAT_SIZE + 1];
        snprintf(expected, sizeof expected, "%.*f", decimals, value);
        text[darc_format_fixed(value, decimals, text)] = '\0';
        int minus = expected[0] == '-' && !strpbrk(expected, "123456789");
        if (strcmp(text, expected + minus))
            ck_abort_msg("%a: %s, not %s", value, text, expected + minus);
    }
    uselocale(before);
}
END_TEST

static void check_fixed(double value, int decimals, const char *expected)
{
    char text[DARC_FORMAT_SIZE + 1];
    text[darc_format_fixed(value, decimals, text)] = '\0';
    ck_assert_str_eq(text, expected);
}

START_TEST(fixed_edges)
{
    check_fixed(0.0, 0, "0");
    check_fixed(-0.0, 2, "0.00");
    check_fixed(-0.004, 2, "0.00");
    check_fixed(-0.006, 2, "-0.01");
    check_fixed(0.125, 2, "0.12"); /* exact ties to even */
    check_fixed(0.375, 2, "0.38");
    check_fixed(2.5, 0, "2");
    check_fixed(1.005, 2, "1.00"); /* the double is below 1.005, the product is not */
    check_fixed(9.9999, 3, "10.000");
    check_fixed(120.0, 0, "120");
    check_fixed((double)NAN, 2, "");
    check_fixed(HUGE_VAL, 2, "");
    check_fixed(1e300, 4, "1e300");
    check_fixed(DBL_MIN, 9, "0.000000000");
}
END_TEST

START_TEST(shortest_reads_back)
{
    locale_t before = uselocale(point);
    for (int i = 0; i < kit_count(20000); i++) {
        uint64_t bits = draw();
        double value;
        memcpy(&value, &bits, sizeof value);
        if (i % 2)
            value = (double)(int64_t)(bits % 2000001) / 1e4 - 100.0;
        if (!isfinite(value))
            continue;
        char text[DARC_FORMAT_SIZE + 1], expected[40];
        size_t length = darc_format_shortest(value, text);
        text[length] = '\0';
        if (length > DARC_FORMAT_SIZE || strtod(text, NULL) != value)
            ck_abort_msg("%a: %s", value, text);
        /* no more digits than snprintf() needs: 15, 16 or 17, without final zeros */
        for (int digits = 15; digits <= 17; digits++) {
            snprintf(expected, sizeof expected, "%.*g", digits, value);
            if (strtod(expected, NULL) == value)
                break;
        }
        size_t most = 0, used = 0;
        for (const char *p = expected; *p && *p != 'e'; p++)
            most += *p >= '0' && *p <= '9';
        for (const char *p = text; *p && *p != 'e'; p++)
            used += *p >= '0' && *p <= '9';
        if (fabs(value) < 1e15 && fabs(value) > 1e-4 && used > most)
            ck_abort_msg("%s is longer than %s", text, expected);
    }
    uselocale(before);
}
END_TEST

static void check_shortest(double value, const char *expected)
{
    char text[DARC_FORMAT_SIZE + 1];
    text[darc_format_shortest(value, text)] = '\0';
    ck_assert_str_eq(text, expected);
}

START_TEST(shortest_forms)
{
    check_shortest(0.0, "0");
    check_shortest(-0.0, "-0");
    check_shortest(-2.5, "-2.5");
    check_shortest(0.1, "0.1");
    check_shortest(100.0, "100");
    check_shortest(123456.789, "123456.789");
    check_shortest(1e15, "1000000000000000");
    check_shortest(1e16, "1e16");
    check_shortest(1e-5, "0.00001");
    check_shortest(1e-6, "1e-6");
    check_shortest(9007199254740993.0, "9007199254740992");
    check_shortest(0.1 + 0.2, "0.30000000000000004");
    check_shortest(DBL_MAX, "1.7976931348623157e308");
    check_shortest(DBL_MIN, "2.2250738585072014e-308");
    check_shortest(5e-324, "4.94065645841247e-324");
    check_shortest(HUGE_VAL, "");
    check_shortest((double)NAN, "");
}
END_TEST

static Suite *suite(void)
{
    Suite *s = suite_create("table_format");
    TCase *c = tcase_create("numbers");
    tcase_set_timeout(c, 60);
    tcase_add_checked_fixture(c, setup, teardown);
    tcase_add_test(c, fixed_as_by_snprintf);
    tcase_add_test(c, fixed_edges);
    tcase_add_test(c, shortest_reads_back);
    tcase_add_test(c, shortest_forms);
    suite_add_tcase(s, c);
    return s;
}

int main(void)
{
    return darc_run(suite());
}
