/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From what the dial shows to what the plunger did, and back. */
#include "record/travel.h"

#include <math.h>

#include "kit/check_main.h"
#include "kit/rng_kit.h"

#define N 5

/* An invented calibration: errors of a few micrometres, none at the ends. */
static const double shown[N] = {0.0, 0.5, 1.0, 2.0, 5.0};
static const double truth[N] = {0.0, 0.503, 1.004, 1.998, 5.0};
static dialarc_dialcal *table;

static void make(void)
{
    ck_assert_int_eq(dialarc_dialcal_new(N, shown, truth, 0.001, &table), DIALARC_OK);
}

static void give_up(void)
{
    dialarc_dialcal_free(table);
}

START_TEST(without_a_calibration_only_the_sense_counts)
{
    for (int sense = -1; sense <= 1; sense += 2) {
        const darc_dial_use dial = {.sense = sense};
        ck_assert_double_eq(darc_travel(&dial, 0.123), sense * 0.123);
        ck_assert_double_eq(darc_shown(&dial, 0.123), sense * 0.123);
        ck_assert_double_eq(darc_shown_way(&dial, 0.4, 0.9), 0.9);
    }
}
END_TEST

/* By hand: with the stem 0.5 mm in, 0.5 mm further on the dial is 1.004 - 0.503. */
START_TEST(a_calibration_counts_from_the_preload)
{
    const darc_dial_use dial = {1.0, table, 0.5}, falling = {-1.0, table, 2.0};
    ck_assert_double_eq_tol(darc_travel(&dial, 0.5), 0.501, 1e-15);
    ck_assert_double_eq(darc_travel(&dial, 0.0), 0.0);
    ck_assert_double_eq_tol(darc_shown(&dial, 0.501), 0.5, 1e-15);
    ck_assert_double_eq_tol(darc_travel(&falling, -1.0), 1.998 - 1.004, 1e-15);
    ck_assert_double_eq_tol(darc_shown(&falling, 1.998 - 1.004), -1.0, 1e-15);
    /* zeroed anew where it shows 0.5, it is to show 1 for a way of 0.994 mm */
    const darc_dial_use plain = {1.0, table, 0.5};
    ck_assert_double_eq_tol(darc_shown_way(&plain, 0.5, 1.998 - 1.004), 1.0, 1e-15);
    ck_assert_double_eq_tol(darc_shown_way(&falling, 0.0, 1.998 - 1.004), 1.0, 1e-15);
}
END_TEST

START_TEST(there_and_back_again)
{
    gsl_rng *rng = kit_seeded(31);
    for (int k = 0; k < 2000; k++) {
        const darc_dial_use dial = {k % 2 ? 1.0 : -1.0, table,
                                    5.0 * gsl_rng_uniform(rng)};
        double x = -7.0 + 14.0 * gsl_rng_uniform(rng); /* beyond both ends too */
        double way = darc_travel(&dial, x);
        ck_assert_double_eq_tol(darc_shown(&dial, way), x, 1e-14);
        ck_assert_double_eq_tol(way, dial.sense * x, 0.02);
    }
    gsl_rng_free(rng);
}
END_TEST

/* Beyond its ends the correction there holds on: the dial goes on by what it shows. */
START_TEST(beyond_the_ends)
{
    const darc_dial_use dial = {1.0, table, 4.0};
    double end = darc_travel(&dial, 1.0);
    ck_assert_double_eq_tol(darc_travel(&dial, 3.5) - end, 2.5, 1e-15);
    ck_assert_double_eq_tol(darc_travel(&dial, -5.0) - darc_travel(&dial, -4.0), -1.0,
                            1e-15);
}
END_TEST

START_TEST(one_reading_in_ten_may_lie_outside)
{
    double dial_mm[20] = {0}, crank_deg[20] = {0};
    const dialarc_sweep sweep = {20, crank_deg, dial_mm, NULL};
    const darc_dial_use dial = {1.0, table, 1.0}, none = {.sense = 1.0};
    ck_assert(darc_travel_covers(&dial, &sweep));
    dial_mm[3] = 4.1;
    dial_mm[4] = -1.1;
    ck_assert(darc_travel_covers(&dial, &sweep));
    dial_mm[5] = 9.0;
    ck_assert(!darc_travel_covers(&dial, &sweep));
    ck_assert(darc_travel_covers(&none, &sweep));
    /* a dwell that reads a hair below the first point lies at it, not outside */
    for (int i = 5; i < 15; i++)
        dial_mm[i] = -1.04;
    ck_assert(darc_travel_covers(&dial, &sweep));
    for (int i = 5; i < 15; i++)
        dial_mm[i] = -1.06;
    ck_assert(!darc_travel_covers(&dial, &sweep));
    for (int i = 6; i < 15; i++)
        dial_mm[i] = 0.0;
    dial_mm[5] = 4.0; /* its very end */
    ck_assert(darc_travel_covers(&dial, &sweep));
}
END_TEST

int main(void)
{
    Suite *s = suite_create("travel");
    TCase *c = tcase_create("travel");
    tcase_add_checked_fixture(c, make, give_up);
    tcase_add_test(c, without_a_calibration_only_the_sense_counts);
    tcase_add_test(c, a_calibration_counts_from_the_preload);
    tcase_add_test(c, there_and_back_again);
    tcase_add_test(c, beyond_the_ends);
    tcase_add_test(c, one_reading_in_ten_may_lie_outside);
    suite_add_tcase(s, c);
    return darc_run(s);
}
