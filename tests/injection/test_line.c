/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/line.h>
#include <math.h>
#include <stddef.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/refdata.h"

#define UNTOUCHED 12345.0

/* An invented steel pipe. */
static const dialarc_line pipe = {600.0, 2.0, 6.0, 206000.0, 0.3};

/* Sources and tolerances stand in the table; degrees are tested with the injection. */
START_TEST(delays_agree_with_published_values)
{
    refdata *table = refdata_open("delay.csv");
    for (size_t row = 0; row < refdata_rows(table); row++) {
        double ms = UNTOUCHED;
        ck_assert_int_eq(dialarc_line_delay(refdata_number(table, row, "length_mm"),
                                            refdata_number(table, row, "sound_m_per_s"),
                                            &ms),
                         DIALARC_OK);
        refdata_check_column(table, row, ms, "delay_ms", "ms_tolerance");
    }
    refdata_close(table);
}
END_TEST

/* Korteweg: 1/K' = 1/K + d/(E e) for a wall e thin against the bore d. */
START_TEST(a_thin_wall_follows_korteweg)
{
    for (double ratio = 1e-3; ratio > 1e-7; ratio *= 0.1) {
        dialarc_line thin = {1000.0, 100.0, 100.0 * (1.0 + 2.0 * ratio), 2e8, 0.3};
        double effective = UNTOUCHED,
               korteweg = 1.0 / (1.0 / 2000.0 + 1.0 / (2e8 * ratio));
        ck_assert_int_eq(dialarc_line_modulus(&thin, 2000.0, &effective), DIALARC_OK);
        ck_assert_double_eq_tol(effective, korteweg, 4.0 * ratio * korteweg);
    }
}
END_TEST

/* A bore in an endless block: 1/K' = 1/K + 2 (1 + nu)/E. */
START_TEST(a_thick_wall_has_a_limit)
{
    dialarc_line thick = {1000.0, 1.0, 1e6, 206000.0, 0.3};
    double effective = UNTOUCHED, limit = 1.0 / (1.0 / 1500.0 + 2.6 / 206000.0);
    ck_assert_int_eq(dialarc_line_modulus(&thick, 1500.0, &effective), DIALARC_OK);
    ck_assert_double_eq_tol(effective, limit, 1e-9);
}
END_TEST

START_TEST(a_rigid_wall_changes_nothing)
{
    dialarc_line rigid = {.length_mm = 600.0, .bore_mm = 2.0, .outer_mm = NAN};
    double modulus, sound, elastic;
    ck_assert_int_eq(dialarc_line_modulus(&rigid, 1500.0, &modulus), DIALARC_OK);
    ck_assert_double_eq(modulus, 1500.0);
    ck_assert_int_eq(dialarc_line_sound(&rigid, 1500.0, 830.0, &sound), DIALARC_OK);
    ck_assert_double_eq_tol(sound, 1344.332144844662, 1e-12); /* fuel.csv */
    ck_assert_int_eq(dialarc_line_sound(&pipe, 1500.0, 830.0, &elastic), DIALARC_OK);
    ck_assert_double_eq_tol(elastic, sqrt(1466.88820318063e6 / 830.0), 1e-10);
}
END_TEST

typedef struct spoilt {
    size_t field;
    double value;
    dialarc_status status;
} spoilt;

#define FIELD(name) offsetof(dialarc_line, name)

static const spoilt pipes[] = {
    {FIELD(length_mm), 0.0, DIALARC_ERR_LENGTH},
    {FIELD(length_mm), NAN, DIALARC_ERR_NOT_FINITE},
    {FIELD(bore_mm), 0.0, DIALARC_ERR_LENGTH},
    {FIELD(bore_mm), INFINITY, DIALARC_ERR_NOT_FINITE},
    {FIELD(outer_mm), 2.0, DIALARC_ERR_LENGTH},
    {FIELD(outer_mm), NAN, DIALARC_ERR_NOT_FINITE},
    {FIELD(young_mpa), -1.0, DIALARC_ERR_STIFFNESS},
    {FIELD(young_mpa), NAN, DIALARC_ERR_NOT_FINITE},
    {FIELD(poisson), -0.1, DIALARC_ERR_STIFFNESS},
    {FIELD(poisson), 0.6, DIALARC_ERR_STIFFNESS},
    {FIELD(poisson), NAN, DIALARC_ERR_NOT_FINITE},
};

START_TEST(every_pipe_is_checked)
{
    double x = UNTOUCHED;
    for (size_t i = 0; i < sizeof pipes / sizeof pipes[0]; i++) {
        dialarc_line bad = pipe;
        memcpy((char *)&bad + pipes[i].field, &pipes[i].value, sizeof(double));
        ck_assert_int_eq(dialarc_line_volume(&bad, &x), pipes[i].status);
        ck_assert_int_eq(dialarc_line_modulus(&bad, 1500.0, &x), pipes[i].status);
        ck_assert_int_eq(dialarc_line_sound(&bad, 1500.0, 830.0, &x), pipes[i].status);
    }
    ck_assert_double_eq(x, UNTOUCHED);
}
END_TEST

START_TEST(every_argument_is_checked)
{
    double x = UNTOUCHED;
    ck_assert_int_eq(dialarc_line_volume(NULL, &x), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_line_volume(&pipe, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_line_modulus(&pipe, 0.0, &x), DIALARC_ERR_POSITIVE);
    ck_assert_int_eq(dialarc_line_modulus(&pipe, NAN, &x), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_line_modulus(&pipe, 1500.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_line_sound(&pipe, 1500.0, 0.0, &x), DIALARC_ERR_POSITIVE);
    ck_assert_int_eq(dialarc_line_sound(&pipe, 1500.0, NAN, &x), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_line_sound(&pipe, 1500.0, 830.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_line_delay(0.0, 1350.0, &x), DIALARC_ERR_LENGTH);
    ck_assert_int_eq(dialarc_line_delay(600.0, 0.0, &x), DIALARC_ERR_POSITIVE);
    ck_assert_int_eq(dialarc_line_delay(NAN, 1350.0, &x), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_line_delay(600.0, INFINITY, &x), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_line_delay(600.0, 1350.0, NULL), DIALARC_ERR_NULL);
    ck_assert_double_eq(x, UNTOUCHED);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("line");
    TCase *tests = tcase_create("line");
    tcase_add_test(tests, delays_agree_with_published_values);
    tcase_add_test(tests, a_thin_wall_follows_korteweg);
    tcase_add_test(tests, a_thick_wall_has_a_limit);
    tcase_add_test(tests, a_rigid_wall_changes_nothing);
    tcase_add_test(tests, every_pipe_is_checked);
    tcase_add_test(tests, every_argument_is_checked);
    suite_add_tcase(suite, tests);
    return darc_run(suite);
}
