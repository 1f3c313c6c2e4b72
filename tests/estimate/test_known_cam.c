/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The estimate with the cam given, against the truth of simulated pumps. */
#include <math.h>

#include "cam/law.h"
#include "estimate/known_cam.h"
#include "kit/fit_kit.h"

#define SWEEPS 120

/* Squared errors over their variances; each has a mean of 1 when the variances are right.
 * Of so many sweeps 120 +- 15 are expected. */
START_TEST(errors_are_as_large_as_told)
{
    static bench b;
    sim_random r;
    double square[DARC_ASKED] = {0.0};
    int n = kit_count(SWEEPS);
    sim_seed(&r, 910);
    for (int k = 0; k < n; k++) {
        sim_job job = kit_job(&r);
        dialarc_setup setup = kit_setup(&job, 1);
        darc_estimate e;
        set_bench(&b, &job, &setup, &r);
        darc_fit_known(&b.memory.fit, &b.memory.trial, &b.problem, &e);
        ck_assert(e.converged);
        ck_assert_int_eq(e.law, setup.cam_law);
        const double off[DARC_ASKED] = {
            [DARC_ASK_LIFT] = e.mean[DARC_ASK_LIFT] - b.sweep.lift_tdc_mm,
            [DARC_ASK_ZERO] = e.mean[DARC_ASK_ZERO] - job.zero_mm,
            [DARC_ASK_FOOT] = foot_off(&job, e.mean[DARC_ASK_FOOT]),
            [DARC_ASK_SLACK] = e.mean[DARC_ASK_SLACK] - job.slack_deg,
            [DARC_ASK_TOTAL] = e.mean[DARC_ASK_TOTAL] - job.cam.lift_mm};
        for (int q = 0; q < DARC_ASKED; q++)
            if (e.var[q] > 0.0)
                square[q] += off[q] * off[q] / e.var[q] / n;
        clear_bench(&b);
    }
    const int told[] = {DARC_ASK_LIFT, DARC_ASK_ZERO, DARC_ASK_FOOT, DARC_ASK_SLACK,
                        DARC_ASK_TOTAL};
    double chance = 4.0 * sqrt(2.0 / n);
    for (int k = 0; k < 5; k++) {
        ck_assert_double_lt(square[told[k]], 1.0 + chance);
        ck_assert_double_gt(square[told[k]], 1.0 - chance);
    }
}
END_TEST

/* The lobe that is told is the given law at the fitted height: h (1 - cos pi u) / 2. */
START_TEST(the_lobe_is_the_law)
{
    static bench b;
    sim_random r;
    darc_estimate e;
    sim_seed(&r, 911);
    sim_job job = kit_job(&r);
    job.cam.rise_law = job.cam.fall_law = 0; /* harmonic */
    dialarc_setup setup = kit_setup(&job, 1);
    set_bench(&b, &job, &setup, &r);
    darc_fit_known(&b.memory.fit, &b.memory.trial, &b.problem, &e);
    for (int k = 0; k <= DIALARC_RISE_INTERVALS; k++)
        ck_assert_double_eq_tol(e.rise_mm[k],
                                0.5 * e.mean[DARC_ASK_TOTAL] *
                                    (1.0 - cos(DARC_PI * k / DIALARC_RISE_INTERVALS)),
                                1e-12);
    ck_assert_double_eq(e.mean[DARC_ASK_RISE], setup.rise_deg);
    ck_assert_double_eq(e.law_probability, 1.0);
    clear_bench(&b);
}
END_TEST

/* Readings and hysteresis share the variance of the lift; a dial that cannot have any
 * hysteresis has no share. */
START_TEST(the_variance_is_shared)
{
    static bench b;
    darc_estimate e;
    for (int k = 0; k < 2; k++) {
        sim_random r;
        sim_seed(&r, 912);
        sim_job job = kit_job(&r);
        job.hysteresis_mm = 0.0;
        dialarc_setup setup = kit_setup(&job, 1);
        setup.dial_hysteresis_mm = k ? 0.0 : 0.02;
        set_bench(&b, &job, &setup, &r);
        darc_fit_known(&b.memory.fit, &b.memory.trial, &b.problem, &e);
        double lift = e.var[DARC_ASK_LIFT];
        ck_assert_double_eq_tol(e.var_readings + e.var_hysteresis, lift, 1e-12 * lift);
        if (k)
            ck_assert_double_lt(e.var_hysteresis, 1e-3 * lift);
        else
            ck_assert_double_gt(e.var_hysteresis, 0.01 * lift);
        ck_assert_double_eq(e.var_cam, 0.0);
        clear_bench(&b);
    }
}
END_TEST

int main(void)
{
    Suite *s = suite_create("known_cam");
    TCase *c = tcase_create("estimate");
    tcase_add_test(c, errors_are_as_large_as_told);
    tcase_add_test(c, the_lobe_is_the_law);
    tcase_add_test(c, the_variance_is_shared);
    suite_add_tcase(s, c);
    return darc_run(s);
}
