/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/diallimit.h>
#include <math.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/refdata.h"

#define UNTOUCHED 12345.0

static dialarc_dial_item item_of(const char *text)
{
    const char *const names[DIALARC_DIAL_ITEM_COUNT] = {"hysteresis", "repeatability",
                                                        "tenth_turn", "half_turn",
                                                        "one_turn",   "whole_range"};
    for (int i = 0; i < DIALARC_DIAL_ITEM_COUNT; i++)
        if (strcmp(text, names[i]) == 0)
            return (dialarc_dial_item)i;
    ck_abort_msg("no item %s", text);
    return DIALARC_DIAL_ITEM_COUNT;
}

static dialarc_bezel bezel_of(const char *text)
{
    return strcmp(text, "small") == 0 ? DIALARC_BEZEL_SMALL : DIALARC_BEZEL_STANDARD;
}

/* Sources and tolerances stand in the table; a dial of a shorter range than the class has
 * the limit of the class. */
START_TEST(limits_agree_with_the_standard)
{
    refdata *table = refdata_open("dial_limits.csv");
    for (size_t row = 0; row < refdata_rows(table); row++) {
        double limit = UNTOUCHED, range = refdata_number(table, row, "range_mm");
        dialarc_bezel bezel = bezel_of(refdata_text(table, row, "bezel"));
        dialarc_dial_item item = item_of(refdata_text(table, row, "item"));
        double step = refdata_number(table, row, "graduation_mm");
        ck_assert_int_eq(dialarc_diallimit_mm(bezel, step, range, item, &limit),
                         DIALARC_OK);
        refdata_check_column(table, row, 1000.0 * limit, "limit_um", "tolerance");
        dialarc_diallimit_mm(bezel, step, 0.95 * range, item, &limit);
        refdata_check_column(table, row, 1000.0 * limit, "limit_um", "tolerance");
    }
    ck_assert_uint_eq(refdata_rows(table), 93);
    refdata_close(table);
}
END_TEST

/* Sources and tolerances stand in the table. */
START_TEST(uncertainties_agree_with_published_values)
{
    refdata *table = refdata_open("dial.csv");
    double sd = UNTOUCHED;
    size_t row = refdata_find(table, "quantity", "limit_reading_sd");
    ck_assert_int_eq(
        dialarc_diallimit_reading_sd(refdata_number(table, row, "input"), &sd),
        DIALARC_OK);
    refdata_check(table, row, sd);
    row = refdata_find(table, "quantity", "limit_lift_sd");
    ck_assert_int_eq(dialarc_diallimit_lift_sd(refdata_number(table, row, "input"), &sd),
                     DIALARC_OK);
    refdata_check(table, row, sd);
    dialarc_diallimit_lift_sd(0.0, &sd);
    ck_assert_double_eq(sd, 0.0);
    refdata_close(table);
}
END_TEST

START_TEST(dials_outside_the_standard_are_refused)
{
    const double nan = (double)NAN;
    const dialarc_bezel standard = DIALARC_BEZEL_STANDARD, small = DIALARC_BEZEL_SMALL;
    const struct {
        dialarc_bezel bezel;
        double graduation_mm, range_mm;
        int item;
        dialarc_status status;
    } cases[] = {
        {standard, nan, 1.0, 0, DIALARC_ERR_NOT_FINITE},
        {standard, 0.01, nan, 0, DIALARC_ERR_NOT_FINITE},
        {standard, 0.01, 0.0, 0, DIALARC_ERR_DIAL},
        {standard, 0.01, 100.1, 0, DIALARC_ERR_DIAL},
        {standard, 0.002, 1.0, 0, DIALARC_ERR_DIAL},
        {standard, 0.02, 1.0, 0, DIALARC_ERR_DIAL},
        {standard, 0.001, 5.1, 0, DIALARC_ERR_DIAL},
        {small, 0.01, 5.0, DIALARC_DIAL_ONE_TURN, DIALARC_ERR_DIAL},
        {small, 0.01, 10.1, 0, DIALARC_ERR_DIAL},
        {(dialarc_bezel)2, 0.01, 1.0, 0, DIALARC_ERR_DIAL},
        {standard, 0.01, 1.0, -1, DIALARC_ERR_DIAL},
        {standard, 0.01, 1.0, DIALARC_DIAL_ITEM_COUNT, DIALARC_ERR_DIAL},
    };
    double limit = UNTOUCHED;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        ck_assert_int_eq(dialarc_diallimit_mm(cases[i].bezel, cases[i].graduation_mm,
                                              cases[i].range_mm,
                                              (dialarc_dial_item)cases[i].item, &limit),
                         cases[i].status);
    ck_assert_int_eq(dialarc_diallimit_mm(standard, 0.01, 1.0, 0, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_double_eq(limit, UNTOUCHED);
}
END_TEST

START_TEST(bad_limits_are_refused)
{
    double sd = UNTOUCHED;
    ck_assert_int_eq(dialarc_diallimit_reading_sd((double)NAN, &sd),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_diallimit_lift_sd((double)INFINITY, &sd),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_diallimit_reading_sd(-1e-9, &sd), DIALARC_ERR_DIAL);
    ck_assert_int_eq(dialarc_diallimit_lift_sd(-1e-9, &sd), DIALARC_ERR_DIAL);
    ck_assert_int_eq(dialarc_diallimit_reading_sd(0.1, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_diallimit_lift_sd(0.1, NULL), DIALARC_ERR_NULL);
    ck_assert_double_eq(sd, UNTOUCHED);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("diallimit");
    TCase *tests = tcase_create("diallimit");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, limits_agree_with_the_standard);
    tcase_add_test(tests, uncertainties_agree_with_published_values);
    tcase_add_test(tests, dials_outside_the_standard_are_refused);
    tcase_add_test(tests, bad_limits_are_refused);
    return darc_run(suite);
}
