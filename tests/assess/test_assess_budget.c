/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The uncertainty budget: it adds up, and each component answers to its own cause.
 */
#include <dialarc/timing.h>
#include <math.h>

#include "kit/check_main.h"
#include "kit/sweep_kit.h"
#include "kit/timing_kit.h"

#define U95 1.959963984540054 /* standard normal quantile at 0.975 */

static void check_sum(const dialarc_timing *t)
{
    const dialarc_budget *b = &t->budget;
    double sum =
        hypot(hypot(b->readings_mm, b->tdc_mm), hypot(b->hysteresis_mm, b->cam_mm));
    ck_assert_double_eq_tol(b->total_mm, sum, 1e-12);
    ck_assert_double_eq_tol(t->lift_u_mm, U95 * b->total_mm, 1e-12);
}

START_TEST(budget_adds_up)
{
    sim_random r;
    sim_seed(&r, 1003);
    for (int k = 0; k < kit_count(60); k++) {
        sim_job job = kit_job(&r);
        job.two_way = k % 2;
        dialarc_setup setup = kit_setup(&job, k % 5 > 0);
        setup.tdc_sd_deg = sim_uniform(&r, 0.0, 0.5);
        sim_run(&job, &r, &sweep);
        dialarc_sweep s = kit_sweep(&sweep);
        dialarc_timing t = timing_of(&setup, &s);
        check_sum(&t);
        ck_assert_double_eq_tol(t.budget.tdc_mm,
                                fabs(t.rate_mm_per_crank_deg) * setup.tdc_sd_deg, 1e-15);
        ck_assert_double_eq_tol(t.rate_mm_per_crank_deg, sweep.rate_tdc, 0.004);
        ck_assert(k % 5 > 0 ? t.budget.cam_mm == 0.0 : t.budget.cam_mm > 1e-4);
    }
}
END_TEST

START_TEST(mark_of_tdc_in_the_budget)
{
    sim_job job = good_job();
    dialarc_setup setup = kit_setup(&job, 1);
    dialarc_timing none = job_timing(&job, &setup);
    setup.tdc_sd_deg = 0.4;
    dialarc_timing some = job_timing(&job, &setup);
    ck_assert_double_eq(none.budget.tdc_mm, 0.0);
    ck_assert_double_eq_tol(some.budget.tdc_mm, 0.4 * none.rate_mm_per_crank_deg, 1e-15);
    ck_assert_double_eq(some.budget.readings_mm, none.budget.readings_mm);
    ck_assert_double_eq(some.lift_mm, none.lift_mm);
    ck_assert_double_eq_tol(pow(some.minimum_u_crank_deg / U95, 2),
                            pow(none.minimum_u_crank_deg / U95, 2) + 0.16, 1e-12);
}
END_TEST

START_TEST(hysteresis_in_the_budget)
{
    sim_job job = good_job();
    job.two_way = 0;
    dialarc_setup setup = kit_setup(&job, 1);
    double most[] = {0.0, 0.004, 0.02}, sd[3];
    for (int k = 0; k < 3; k++) {
        setup.dial_hysteresis_mm = most[k];
        dialarc_timing t = job_timing(&job, &setup);
        sd[k] = t.budget.hysteresis_mm;
        check_sum(&t);
        ck_assert_double_ge(t.dial_hysteresis_mm, 0.0);
        ck_assert_double_le(t.dial_hysteresis_mm, most[k]);
    }
    ck_assert_double_lt(sd[0], 2e-5);
    ck_assert_double_gt(sd[1], 1e-4);
    /* one way shows little of it: it grows with what the dial may have */
    ck_assert_double_gt(sd[2], 1.5 * sd[1]);
    job.two_way = 1; /* both ways show it */
    dialarc_timing t = job_timing(&job, &setup);
    ck_assert_double_lt(t.budget.hysteresis_mm, 0.8 * sd[2]);
    /* the rise alone shows little: nearly even from 0 to the most (JCGM 100, 4.3.7) */
    job.two_way = 0;
    job.start_deg = -44.0;
    job.end_deg = 6.0;
    setup.dial_hysteresis_mm = 0.004;
    t = job_timing(&job, &setup);
    double even = U95 * 0.004 / sqrt(12.0);
    ck_assert_double_eq_tol(t.dial_hysteresis_u_mm, even, 0.06 * even);
    ck_assert_double_lt(t.dial_hysteresis_u_mm, even);
}
END_TEST

/* Four times the readings halve what they contribute; a cam to be learned adds. */
START_TEST(readings_and_cam_in_the_budget)
{
    sim_job job = good_job();
    dialarc_setup setup = kit_setup(&job, 1);
    dialarc_timing few = job_timing(&job, &setup);
    job.step_deg = 0.5;
    dialarc_timing many = job_timing(&job, &setup);
    ck_assert_double_eq_tol(few.budget.readings_mm / many.budget.readings_mm, 2.0, 0.15);
    setup = kit_setup(&job, 0);
    dialarc_timing learned = job_timing(&job, &setup);
    ck_assert_double_gt(learned.budget.cam_mm, 2e-4);
    ck_assert_double_gt(learned.budget.total_mm, many.budget.total_mm);
    ck_assert_int_eq(learned.cam_learned, 1);
    ck_assert_int_eq(many.cam_learned, 0);
    ck_assert_double_eq(many.law_probability, 1.0);
    ck_assert_int_eq(many.law, DIALARC_LAW_MODIFIED_SINE);
    ck_assert(learned.law_probability > 0.0 && learned.law_probability <= 1.0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("timing_budget");
    TCase *tc = tcase_create("budget");
    tcase_set_timeout(tc, 60);
    tcase_add_test(tc, budget_adds_up);
    tcase_add_test(tc, mark_of_tdc_in_the_budget);
    tcase_add_test(tc, hysteresis_in_the_budget);
    tcase_add_test(tc, readings_and_cam_in_the_budget);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
