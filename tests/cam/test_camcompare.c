/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/camcompare.h>
#include <dialarc/tabled_cam.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdbool.h>

#include "kit/check_main.h"

#define UNTOUCHED 12345.0
#define POINTS    1800

/* Invented: a cam, and the same with 0.04 mm of its lift gone and 0.3 degrees late. */
static const dialarc_cam sound = {4, 2.20, 35.0, 5.0, 10.0, DIALARC_LAW_POLY4567,
                                  0, 0.0,  NULL};
static const dialarc_cam tired = {4, 2.16, 35.0, 5.0, 10.0, DIALARC_LAW_POLY4567,
                                  0, 0.0,  NULL};
static const double late_deg = 0.3;

static dialarc_camtable *reference, *worn;

static void make_tables(void)
{
    double x[POINTS], y[POINTS];
    ck_assert_int_eq(dialarc_camtable_from_cam(&sound, POINTS, &reference), DIALARC_OK);
    for (int i = 0; i < POINTS; i++)
        x[i] = 90.0 * i / POINTS - late_deg;
    dialarc_cam_lift_array(&tired, POINTS, x, y);
    for (int i = 0; i < POINTS; i++)
        x[i] += late_deg;
    ck_assert_int_eq(dialarc_camtable_new(POINTS, x, y, 90.0, &worn), DIALARC_OK);
}

static void free_tables(void)
{
    dialarc_camtable_free(reference);
    dialarc_camtable_free(worn);
}

/* The laws themselves tell what was lost, as closely as 1800 points follow them. */
START_TEST(loss_and_shift_by_angle)
{
    double x[360], lost[360], shift[360];
    for (int i = 0; i < 360; i++)
        x[i] = 0.25 * i + 0.1;
    ck_assert_int_eq(
        dialarc_camcompare_array(reference, worn, 1, 0.01, 360, x, lost, shift),
        DIALARC_OK);
    int on_flank = 0;
    for (int i = 0; i < 360; i++) {
        double a, b, rate, at;
        dialarc_cam_lift(&sound, x[i], &a);
        dialarc_cam_lift(&tired, x[i] - late_deg, &b);
        dialarc_cam_rate(&sound, x[i], &rate);
        ck_assert_double_eq_tol(lost[i], a - b, 1e-9);
        if (fabs(rate) < 0.01 || a > 2.16) {
            ck_assert(fabs(rate) > 0.0099 || isnan(shift[i]));
            continue;
        }
        dialarc_flank flank = rate > 0.0 ? DIALARC_FLANK_RISING : DIALARC_FLANK_FALLING;
        dialarc_cam_angle_at_lift(&tired, a, flank, &at);
        ck_assert_double_eq_tol(shift[i], at + late_deg - x[i], 1e-6);
        on_flank++;
    }
    ck_assert_int_gt(on_flank, 150);
}
END_TEST

/* A lift that the worn cam no longer reaches has no shift. */
START_TEST(lost_top_has_no_shift)
{
    double at, lost, shift;
    dialarc_cam_angle_at_lift(&sound, 2.18, DIALARC_FLANK_RISING, &at);
    ck_assert_int_eq(
        dialarc_camcompare_array(reference, worn, 1, 1e-6, 1, &at, &lost, &shift),
        DIALARC_OK);
    ck_assert(isnan(shift));
    ck_assert_double_gt(lost, 0.02);
}
END_TEST

START_TEST(summary_says_what_is_gone)
{
    dialarc_camwear wear;
    ck_assert_int_eq(dialarc_camcompare_summary(reference, worn, 1, 0, 0.0, &wear),
                     DIALARC_OK);
    ck_assert_double_eq_tol(wear.total_lift_lost_mm, 0.04, 1e-6);
    /* most is lost on the rise, where the delay adds to it */
    ck_assert(wear.greatest_loss_pump_deg > 5.0 && wear.greatest_loss_pump_deg < 35.0);
    ck_assert_double_gt(wear.greatest_loss_mm, 0.04);
    double a, b;
    dialarc_cam_lift(&sound, wear.greatest_loss_pump_deg, &a);
    dialarc_cam_lift(&tired, wear.greatest_loss_pump_deg - late_deg, &b);
    ck_assert_double_eq_tol(wear.greatest_loss_mm, a - b, 1e-9);
    /* the lower lift makes the rise later and the fall earlier than the delay alone */
    ck_assert(wear.rising_shift_pump_deg > 0.3 && wear.rising_shift_pump_deg < 0.7);
    ck_assert(wear.falling_shift_pump_deg < 0.3 && wear.falling_shift_pump_deg > -0.2);
}
END_TEST

/* A table of a whole turn, lobe 0 of which has lost 31 % of its lift. */
static dialarc_camtable *whole_turn(double first_lobe, double noise_mm, gsl_rng *rng)
{
    static double x[2 * POINTS], y[2 * POINTS];
    dialarc_camtable *table = NULL;
    for (int i = 0; i < 2 * POINTS; i++) {
        x[i] = 360.0 * i / (2 * POINTS);
        dialarc_cam_lift(&sound, x[i], &y[i]);
        y[i] *= x[i] < 90.0 ? first_lobe : 1.0;
        y[i] += rng ? gsl_ran_gaussian(rng, noise_mm) : 0.0;
    }
    ck_assert_int_eq(dialarc_camtable_new(2 * POINTS, x, y, 360.0, &table), DIALARC_OK);
    return table;
}

/* What the worn lobe has lost, it alone; the law tells the shift of its flanks. The next
 * lobe answered for it: a shift of 90 degrees and nothing lost. */
START_TEST(each_lobe_answers_for_itself)
{
    dialarc_camtable *good = whole_turn(1.0, 0.0, NULL),
                     *bad = whole_turn(0.69, 0.0, NULL);
    double x[360], lost[360], shift[360], later = 0.0;
    int levels = 0;
    for (int k = 0; k < 13; k++) {
        double lift = 2.2 * (0.2 + 0.05 * k), a, b;
        if (lift >= 0.69 * 2.2)
            continue;
        dialarc_cam_angle_at_lift(&sound, lift, DIALARC_FLANK_RISING, &a);
        dialarc_cam_angle_at_lift(&sound, lift / 0.69, DIALARC_FLANK_RISING, &b);
        later += b - a;
        levels++;
    }
    for (int lobe = 0; lobe < 4; lobe++) {
        dialarc_camwear wear;
        ck_assert_int_eq(dialarc_camcompare_summary(good, bad, 4, lobe, 0.001, &wear),
                         DIALARC_OK);
        bool is_worn = lobe == 0;
        ck_assert_double_eq_tol(wear.total_lift_lost_mm, is_worn ? 0.682 : 0.0, 1e-5);
        ck_assert_double_eq_tol(wear.greatest_loss_mm, is_worn ? 0.682 : 0.0, 1e-5);
        ck_assert_double_eq_tol(wear.rising_shift_pump_deg,
                                is_worn ? later / levels : 0.0, 1e-3);
        ck_assert_double_le(wear.falling_shift_pump_deg, is_worn ? -3.0 : 1e-3);
        ck_assert_double_ge(wear.falling_shift_pump_deg, is_worn ? -5.0 : -1e-3);
        ck_assert(is_worn == (wear.probability_chance < 0.05));
    }
    for (int i = 0; i < 360; i++)
        x[i] = i + 0.5;
    ck_assert_int_eq(dialarc_camcompare_array(good, bad, 4, 0.01, 360, x, lost, shift),
                     DIALARC_OK);
    for (int i = 0; i < 360; i++)
        ck_assert(isnan(shift[i]) || fabs(shift[i]) < 20.0);
    dialarc_camtable_free(good);
    dialarc_camtable_free(bad);
}
END_TEST

/* Two tables of one cam with 3 um of noise, seeded: each figure holds the truth, which is
 * 0, in 95 of 100, and wear is claimed in 5 of 100 at most. */
START_TEST(noise_is_no_wear)
{
    enum { RUNS = 150 };
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, 12);
    int total = 0, rising = 0, falling = 0, claimed = 0, greatest = 0;
    for (int run = 0; run < RUNS; run++) {
        dialarc_camtable *a = whole_turn(1.0, 0.003, rng),
                         *b = whole_turn(1.0, 0.003, rng);
        dialarc_camwear w;
        ck_assert_int_eq(dialarc_camcompare_summary(a, b, 4, run % 4, 0.003, &w),
                         DIALARC_OK);
        total += fabs(w.total_lift_lost_mm) <= w.total_lift_lost_u_mm;
        rising += fabs(w.rising_shift_pump_deg) <= w.rising_shift_u_pump_deg;
        falling += fabs(w.falling_shift_pump_deg) <= w.falling_shift_u_pump_deg;
        greatest += w.greatest_loss_mm <= w.greatest_loss_u_mm;
        claimed += w.probability_chance < 0.05;
        dialarc_camtable_free(a);
        dialarc_camtable_free(b);
    }
    const double least = RUNS * 0.95 - 4.0 * sqrt(RUNS * 0.95 * 0.05);
    ck_assert_double_ge(total, least);
    ck_assert_double_ge(rising, least);
    ck_assert_double_ge(falling, least);
    ck_assert_double_ge(greatest, least);
    ck_assert_double_le(claimed, RUNS - least);
    gsl_rng_free(rng);
}
END_TEST

START_TEST(cam_equals_itself)
{
    dialarc_camwear wear;
    ck_assert_int_eq(dialarc_camcompare_summary(reference, reference, 1, 0, 0.0, &wear),
                     DIALARC_OK);
    ck_assert_double_eq(wear.total_lift_lost_mm, 0.0);
    ck_assert_double_eq(wear.greatest_loss_mm, 0.0);
    ck_assert_double_eq_tol(wear.rising_shift_pump_deg, 0.0, 1e-12);
    ck_assert_double_eq_tol(wear.falling_shift_pump_deg, 0.0, 1e-12);
}
END_TEST

START_TEST(flat_cam_has_no_flanks)
{
    const double x[] = {0.0, 30.0, 60.0}, y[] = {1.0, 1.0, 1.0};
    dialarc_camtable *flat = NULL;
    dialarc_camwear wear;
    ck_assert_int_eq(dialarc_camtable_new(3, x, y, 90.0, &flat), DIALARC_OK);
    ck_assert_int_eq(dialarc_camcompare_summary(reference, flat, 1, 0, 0.0, &wear),
                     DIALARC_OK);
    ck_assert_double_eq_tol(wear.total_lift_lost_mm, 2.2, 1e-6);
    ck_assert(isnan(wear.rising_shift_pump_deg) && isnan(wear.falling_shift_pump_deg));
    dialarc_camtable_free(flat);
}
END_TEST

START_TEST(bad_arguments_are_refused)
{
    const double nan = (double)NAN;
    double x = 1.0, lost = UNTOUCHED, shift = UNTOUCHED;
    dialarc_camwear wear = {.total_lift_lost_mm = UNTOUCHED};
    dialarc_camtable *other = NULL;
    dialarc_cam six = {6, 2.2, 25.0, 5.0, 5.0, DIALARC_LAW_POLY345, 0, 0.0, NULL};
    dialarc_camtable_from_cam(&six, 60, &other);
#define ARRAY(a, b, rate, n, in, l, s, status)                                           \
    ck_assert_int_eq(dialarc_camcompare_array(a, b, 1, rate, n, in, l, s), status)
    ARRAY(NULL, worn, 0.01, 1, &x, &lost, &shift, DIALARC_ERR_NULL);
    ARRAY(reference, NULL, 0.01, 1, &x, &lost, &shift, DIALARC_ERR_NULL);
    ARRAY(reference, worn, 0.01, 1, NULL, &lost, &shift, DIALARC_ERR_NULL);
    ARRAY(reference, worn, 0.01, 1, &x, NULL, &shift, DIALARC_ERR_NULL);
    ARRAY(reference, worn, 0.01, 1, &x, &lost, NULL, DIALARC_ERR_NULL);
    ARRAY(reference, worn, 0.01, 0, NULL, NULL, NULL, DIALARC_OK);
    ARRAY(reference, worn, nan, 1, &x, &lost, &shift, DIALARC_ERR_NOT_FINITE);
    ARRAY(reference, worn, 0.01, 1, &nan, &lost, &shift, DIALARC_ERR_NOT_FINITE);
    ARRAY(reference, worn, 0.0, 1, &x, &lost, &shift, DIALARC_ERR_POSITIVE);
    ARRAY(reference, other, 0.01, 1, &x, &lost, &shift, DIALARC_ERR_ANGLE);
#undef ARRAY
    ck_assert_int_eq(dialarc_camcompare_summary(NULL, worn, 1, 0, 0.0, &wear),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_camcompare_summary(reference, NULL, 1, 0, 0.0, &wear),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_camcompare_summary(reference, worn, 1, 0, 0.0, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_camcompare_summary(reference, other, 1, 0, 0.0, &wear),
                     DIALARC_ERR_ANGLE);
    const struct {
        int lobes, lobe;
        double sd;
        dialarc_status status;
    } cases[] = {{0, 0, 0.0, DIALARC_ERR_LOBES}, {17, 0, 0.0, DIALARC_ERR_LOBES},
                 {4, 4, 0.0, DIALARC_ERR_SIZE},  {4, -1, 0.0, DIALARC_ERR_SIZE},
                 {4, 3, -0.001, DIALARC_ERR_SD}, {4, 3, nan, DIALARC_ERR_NOT_FINITE}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        ck_assert_int_eq(dialarc_camcompare_summary(reference, worn, cases[i].lobes,
                                                    cases[i].lobe, cases[i].sd, &wear),
                         cases[i].status);
    ck_assert_int_eq(
        dialarc_camcompare_array(reference, worn, 0, 0.01, 1, &x, &lost, &shift),
        DIALARC_ERR_LOBES);
    ck_assert_double_eq(lost, UNTOUCHED);
    ck_assert_double_eq(shift, UNTOUCHED);
    ck_assert_double_eq(wear.total_lift_lost_mm, UNTOUCHED);
    dialarc_camtable_free(other);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("camcompare");
    TCase *tests = tcase_create("camcompare");
    suite_add_tcase(suite, tests);
    tcase_add_checked_fixture(tests, make_tables, free_tables);
    tcase_add_test(tests, loss_and_shift_by_angle);
    tcase_add_test(tests, lost_top_has_no_shift);
    tcase_add_test(tests, summary_says_what_is_gone);
    tcase_add_test(tests, each_lobe_answers_for_itself);
    tcase_add_test(tests, noise_is_no_wear);
    tcase_add_test(tests, cam_equals_itself);
    tcase_add_test(tests, flat_cam_has_no_flanks);
    tcase_add_test(tests, bad_arguments_are_refused);
    return darc_run(suite);
}
