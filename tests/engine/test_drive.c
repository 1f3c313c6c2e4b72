/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/drive.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/refdata.h"

#define UNTOUCHED 12345.0

/* An invented drive: crank to an idler shaft by gears, from there to the pump by belt. */
static const dialarc_stage two[2] = {
    {.driving_teeth = 30,
     .driven_teeth = 45,
     .reverses = 1,
     .pitch_mm = 7.0,
     .play_mm = 0.10},
    {.driving_teeth = 24,
     .driven_teeth = 32,
     .reverses = 0,
     .pitch_mm = 9.525,
     .play_mm = 0.20,
     .stretch_mm = 0.5},
};

static double tooth_crank(size_t n, const dialarc_stage *stage, size_t which)
{
    double crank = UNTOUCHED, pump = UNTOUCHED;
    ck_assert_int_eq(dialarc_drive_tooth(n, stage, which, &crank, &pump), DIALARC_OK);
    return crank;
}

static double tooth_pump(size_t n, const dialarc_stage *stage, size_t which)
{
    double crank = UNTOUCHED, pump = UNTOUCHED;
    ck_assert_int_eq(dialarc_drive_tooth(n, stage, which, &crank, &pump), DIALARC_OK);
    return pump;
}

static double arc(size_t n, const dialarc_stage *stage, size_t which, double arc_mm)
{
    double crank = UNTOUCHED;
    ck_assert_int_eq(dialarc_drive_arc(n, stage, which, arc_mm, &crank), DIALARC_OK);
    return crank;
}

/* Sources and tolerances stand in the table: a 2:1 drive with the given wheel. */
START_TEST(results_agree_with_published_values)
{
    refdata *table = refdata_open("drive.csv");
    for (size_t row = 0; row < refdata_rows(table); row++) {
        const char *quantity = refdata_text(table, row, "quantity");
        int teeth = (int)refdata_number(table, row, "teeth");
        const dialarc_stage pump = {teeth / 2, teeth, 0, 9.525, 0.0, 0.0};
        const dialarc_stage crank = {teeth, 2 * teeth, 0, 9.525, 0.0, 0.0};
        double found = UNTOUCHED;
        if (strcmp(quantity, "tooth_pump") == 0)
            found = tooth_pump(1, &pump, 0);
        else if (strcmp(quantity, "tooth_crank") == 0)
            found = tooth_crank(1, &pump, 0);
        else if (strcmp(quantity, "pitch_diameter") == 0)
            found = 360.0 / acos(-1.0) / arc(1, &crank, 0, 1.0);
        else
            found = arc(1, &crank, 0, 1.0);
        refdata_check(table, row, found);
    }
    refdata_close(table);
}
END_TEST

/* Worked by hand: ratio 45/30 * 32/24 = 2; a tooth of the gears is 12 crank degrees, one
 * of the belt 360/32 pump degrees. */
START_TEST(stages_multiply)
{
    double ratio = UNTOUCHED;
    int sense = 7;
    ck_assert_int_eq(dialarc_drive_ratio(2, two, &ratio, &sense), DIALARC_OK);
    ck_assert_double_eq(ratio, 2.0);
    ck_assert_int_eq(sense, -1);
    ck_assert_double_eq_tol(tooth_crank(2, two, 0), 12.0, 1e-14);
    ck_assert_double_eq_tol(tooth_pump(2, two, 0), 6.0, 1e-14);
    ck_assert_double_eq_tol(tooth_pump(2, two, 1), 11.25, 1e-14);
    ck_assert_double_eq_tol(tooth_crank(2, two, 1), 22.5, 1e-14);
    ck_assert_int_eq(dialarc_drive_ratio(1, two + 1, &ratio, &sense), DIALARC_OK);
    ck_assert_int_eq(sense, 1);
    ck_assert_double_eq_tol(ratio, 4.0 / 3.0, 1e-15);
}
END_TEST

/* Worked by hand: 0.10 mm of 7 mm is 1/70 tooth of 12 degrees, 0.20 mm of 9.525 mm is
 * 0.020997 tooth of 22.5 degrees; the belt has lengthened by 0.5 mm. */
START_TEST(play_and_stretch_add_up_at_the_crank)
{
    double slack = UNTOUCHED, advance = UNTOUCHED;
    ck_assert_int_eq(dialarc_drive_slack(2, two, &slack), DIALARC_OK);
    ck_assert_double_eq_tol(slack, 12.0 / 70.0 + 22.5 * 0.2 / 9.525, 1e-15);
    ck_assert_int_eq(dialarc_drive_stretch(2, two, &advance), DIALARC_OK);
    ck_assert_double_eq_tol(advance, -22.5 * 0.5 / 9.525, 1e-15);
    ck_assert_double_eq_tol(arc(2, two, 1, -0.5), advance, 1e-15);
}
END_TEST

/* Any drive: a tooth in crank degrees is the ratio times one in pump degrees. */
START_TEST(tooth_and_ratio_agree)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, 61);
    for (int k = 0; k < 500; k++) {
        dialarc_stage stage[DIALARC_STAGES_MAX];
        size_t n = 1 + gsl_rng_uniform_int(rng, DIALARC_STAGES_MAX);
        for (size_t i = 0; i < n; i++)
            stage[i] = (dialarc_stage){(int)(10 + gsl_rng_uniform_int(rng, 60)),
                                       (int)(10 + gsl_rng_uniform_int(rng, 60)),
                                       (int)gsl_rng_uniform_int(rng, 2),
                                       9.525,
                                       0.0,
                                       0.0};
        double ratio = UNTOUCHED;
        int sense = 0;
        ck_assert_int_eq(dialarc_drive_ratio(n, stage, &ratio, &sense), DIALARC_OK);
        for (size_t i = 0; i < n; i++)
            ck_assert_double_eq_tol(tooth_crank(n, stage, i) / tooth_pump(n, stage, i),
                                    ratio, 1e-12 * ratio);
        ck_assert_double_eq_tol(tooth_crank(n, stage, 0), 360.0 / stage[0].driving_teeth,
                                1e-13);
        ck_assert_double_eq_tol(tooth_pump(n, stage, n - 1),
                                360.0 / stage[n - 1].driven_teeth, 1e-13);
    }
    gsl_rng_free(rng);
}
END_TEST

static void check_refused(size_t n, const dialarc_stage *stage, dialarc_status status)
{
    double x = UNTOUCHED, y = UNTOUCHED;
    int sense = 7;
    ck_assert_int_eq(dialarc_drive_check(n, stage), status);
    ck_assert_int_eq(dialarc_drive_ratio(n, stage, &x, &sense), status);
    ck_assert_int_eq(dialarc_drive_tooth(n, stage, 0, &x, &y), status);
    ck_assert_int_eq(dialarc_drive_arc(n, stage, 0, 1.0, &x), status);
    ck_assert_int_eq(dialarc_drive_slack(n, stage, &x), status);
    ck_assert_int_eq(dialarc_drive_stretch(n, stage, &x), status);
    ck_assert_double_eq(x, UNTOUCHED);
    ck_assert_double_eq(y, UNTOUCHED);
    ck_assert_int_eq(sense, 7);
}

START_TEST(bad_drives_are_refused)
{
    const double nan = (double)NAN;
    const struct {
        dialarc_stage stage;
        dialarc_status status;
    } cases[] = {
        {{0, 40, 0, 9.5, 0.0, 0.0}, DIALARC_ERR_TEETH},
        {{20, 0, 0, 9.5, 0.0, 0.0}, DIALARC_ERR_TEETH},
        {{20, -40, 0, 9.5, 0.0, 0.0}, DIALARC_ERR_TEETH},
        {{20, 40, 2, 9.5, 0.0, 0.0}, DIALARC_ERR_DIRECTION},
        {{20, 40, -1, 9.5, 0.0, 0.0}, DIALARC_ERR_DIRECTION},
        {{20, 40, 0, 0.0, 0.0, 0.0}, DIALARC_ERR_LENGTH},
        {{20, 40, 0, 9.5, -0.1, 0.0}, DIALARC_ERR_SLACK},
        {{20, 40, 0, 9.5, 0.0, -0.1}, DIALARC_ERR_SLACK},
        {{20, 40, 0, nan, 0.0, 0.0}, DIALARC_ERR_NOT_FINITE},
        {{20, 40, 0, 9.5, nan, 0.0}, DIALARC_ERR_NOT_FINITE},
        {{20, 40, 0, 9.5, 0.0, (double)INFINITY}, DIALARC_ERR_NOT_FINITE},
    };
    check_refused(1, NULL, DIALARC_ERR_NULL);
    check_refused(0, two, DIALARC_ERR_SIZE);
    check_refused(DIALARC_STAGES_MAX + 1, two, DIALARC_ERR_SIZE);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const dialarc_stage pair[2] = {two[0], cases[i].stage};
        check_refused(1, &cases[i].stage, cases[i].status);
        check_refused(2, pair, cases[i].status);
    }
}
END_TEST

START_TEST(bad_arguments_are_refused)
{
    double x = UNTOUCHED, y = UNTOUCHED;
    int sense = 7;
    ck_assert_int_eq(dialarc_drive_tooth(2, two, 2, &x, &y), DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_drive_arc(2, two, 2, 1.0, &x), DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_drive_arc(2, two, 1, (double)NAN, &x),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_drive_ratio(2, two, NULL, &sense), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_drive_ratio(2, two, &x, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_drive_tooth(2, two, 0, NULL, &y), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_drive_tooth(2, two, 0, &x, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_drive_arc(2, two, 0, 1.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_drive_slack(2, two, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_drive_stretch(2, two, NULL), DIALARC_ERR_NULL);
    ck_assert_double_eq(x, UNTOUCHED);
    ck_assert_double_eq(y, UNTOUCHED);
}
END_TEST

/* Linear expansion by hand: 180 mm, 65 K, 18e-6 per K more in the engine. */
START_TEST(an_engine_that_warms_up_makes_the_pump_late)
{
    const dialarc_stage belt = {20, 40, 0, 9.525, 0.0, 0.0};
    double stretch = 0.0, crank_deg = 0.0;
    ck_assert_int_eq(dialarc_drive_warming(180, 65, 2.3e-5, 0.5e-5, &stretch), 0);
    ck_assert_double_eq_tol(stretch, 0.2106, 1e-12);
    ck_assert_int_eq(dialarc_drive_arc(1, &belt, 0, stretch, &crank_deg), 0);
    ck_assert_double_eq_tol(crank_deg, 0.2106 / 9.525 * 18.0, 1e-9);
    ck_assert_int_eq(dialarc_drive_warming(180, -65, 2.3e-5, 0.5e-5, &stretch), 0);
    ck_assert_double_eq_tol(stretch, -0.2106, 1e-12);
    ck_assert_int_eq(dialarc_drive_warming(180, 65, 2.3e-5, 0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_drive_warming(0, 65, 2.3e-5, 0, &stretch),
                     DIALARC_ERR_LENGTH);
    ck_assert_int_eq(dialarc_drive_warming(180, NAN, 2.3e-5, 0, &stretch),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_drive_warming(180, 65, -1e-5, 0, &stretch),
                     DIALARC_ERR_FRACTION);
    ck_assert_int_eq(dialarc_drive_warming(180, 65, 1e-5, 0.1, &stretch),
                     DIALARC_ERR_FRACTION);
    ck_assert_int_eq(dialarc_drive_warming(1e308, 1e300, 1e-3, 0, &stretch),
                     DIALARC_ERR_NOT_FINITE);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("drive");
    TCase *tests = tcase_create("drive");
    tcase_add_test(tests, an_engine_that_warms_up_makes_the_pump_late);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, results_agree_with_published_values);
    tcase_add_test(tests, stages_multiply);
    tcase_add_test(tests, play_and_stretch_add_up_at_the_crank);
    tcase_add_test(tests, tooth_and_ratio_agree);
    tcase_add_test(tests, bad_drives_are_refused);
    tcase_add_test(tests, bad_arguments_are_refused);
    return darc_run(suite);
}
