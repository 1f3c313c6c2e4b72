/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The average over hypotheses: two of which the odds are known. */
#include <math.h>
#include <string.h>

#include "cam/law.h"
#include "estimate/law_average.h"
#include "kit/check_main.h"

/* Odds of 1 to 3: the first says a lift of 0.9 +- 0.01 mm, the second 1.0 +- 0.02. */
static void make_pair(darc_learned *l, double log_evidence)
{
    memset(l, 0, sizeof *l);
    l->count = 2;
    l->model = (darc_model){.pitch_deg = 90.0, .crank_per_pump = 2.0, .learned = true};
    for (int k = 0; k < 2; k++) {
        darc_hypothesis *x = &l->hypothesis[k];
        x->law = k ? DIALARC_LAW_HARMONIC : DIALARC_LAW_POLY345;
        x->log_evidence = log_evidence + (k ? log(3.0) : 0.0);
        x->mean[DARC_ASK_LIFT] = k ? 1.0 : 0.9;
        x->second[DARC_ASK_LIFT] = k ? 1.0 + 4e-4 : 0.81 + 1e-4;
        x->var_readings = k ? 2e-4 : 0.5e-4;
        x->var_hysteresis = k ? 1e-4 : 0.1e-4;
    }
}

/* Law of total variance: within 0.25 1e-4 + 0.75 4e-4, between 0.25 0.75 0.1^2. */
START_TEST(weighted_by_the_odds)
{
    static darc_learned l;
    darc_estimate e;
    const double shift[] = {0.0, 2000.0, -2000.0}; /* beyond what exp() can hold */
    for (int k = 0; k < 3; k++) {
        make_pair(&l, shift[k]);
        darc_learned_average(&l, &e);
        double variance = 3.25e-4 + 0.1875e-2;
        ck_assert_double_eq_tol(e.mean[DARC_ASK_LIFT], 0.975, 1e-12);
        ck_assert_double_eq_tol(e.var[DARC_ASK_LIFT], variance, 1e-12);
        ck_assert_double_eq_tol(e.var_readings, 1.625e-4, 1e-15);
        ck_assert_double_eq_tol(e.var_hysteresis, 0.775e-4, 1e-15);
        ck_assert_double_eq_tol(e.var_readings + e.var_hysteresis + e.var_cam, variance,
                                1e-12);
        ck_assert_int_eq(e.law, DIALARC_LAW_HARMONIC);
        ck_assert_double_eq_tol(e.law_probability, 0.75, 1e-12);
    }
}
END_TEST

static void shape(darc_hypothesis *x, double foot_crank_deg, double lift_mm)
{
    x->law = DIALARC_LAW_HARMONIC;
    x->param[DARC_FOOT] = foot_crank_deg;
    x->param[DARC_LIFT] = lift_mm;
    x->param[DARC_RISE] = 40.0;
    x->param[DARC_TOP] = 5.0;
    x->param[DARC_BASE] = 5.0;
}

/* Simple harmonic motion on a rise of 40 degrees. */
static double harmonic(double lift_mm, double pump_deg)
{
    double u = fmin(fmax(pump_deg / 40.0, 0.0), 1.0);
    return 0.5 * lift_mm * (1.0 - cos(DARC_PI * u));
}

/* Feet 4 crank degrees apart, one of them counted on the next lobe: the lobes are laid
 * over each other at equal crank angles, not foot on foot. */
START_TEST(lifts_at_equal_crank_angles)
{
    static darc_learned l;
    double lift[40];
    make_pair(&l, 0.0);
    shape(&l.hypothesis[0], -33.0, 2.0);
    shape(&l.hypothesis[1], -29.0 + 180.0, 2.4);
    l.foot_deg = 0.25 * -33.0 + 0.75 * -29.0; /* -30 */
    darc_learned_lifts(&l, 1.0, 40, lift);
    for (int k = 0; k < 40; k++)
        ck_assert_double_eq_tol(
            lift[k], 0.25 * harmonic(2.0, k + 1.5) + 0.75 * harmonic(2.4, k - 0.5),
            1e-12);
}
END_TEST

/* One that nobody believes does not shape the lobe, nor make it less high. */
START_TEST(the_unlikely_is_left_out)
{
    static darc_learned l;
    double lift[40];
    make_pair(&l, 0.0);
    shape(&l.hypothesis[0], -90.0, 1000.0);
    shape(&l.hypothesis[1], -30.0, 2.4);
    l.hypothesis[0].log_evidence = l.hypothesis[1].log_evidence - 10.0;
    l.foot_deg = -30.0;
    darc_learned_lifts(&l, 1.0, 40, lift);
    for (int k = 0; k < 40; k++)
        ck_assert_double_eq_tol(lift[k], harmonic(2.4, k), 1e-12);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("law_average");
    TCase *c = tcase_create("average");
    tcase_add_test(c, weighted_by_the_odds);
    tcase_add_test(c, lifts_at_equal_crank_angles);
    tcase_add_test(c, the_unlikely_is_left_out);
    suite_add_tcase(s, c);
    return darc_run(s);
}
