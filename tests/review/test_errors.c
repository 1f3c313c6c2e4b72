/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Errors of dial and wheel judged apart, on simulated sweeps of which they are known. */
#include <math.h>

#include "estimate/solve.h"
#include "kit/fit_kit.h"
#include "kit/simulate_shape.h"
#include "review/errors.h"

#define SWEEPS 60

typedef struct tally {
    int sure;           /* told */
    double dial, wheel; /* mean factors */
} tally;

/* Sweeps with errors of so many times those stated, the cam given. */
static tally ask(double dial_times, double wheel_times, bool misread)
{
    static bench b;
    sim_random r;
    tally all = {0, 0.0, 0.0};
    int n = kit_count(SWEEPS);
    sim_seed(&r, 940);
    for (int k = 0; k < n; k++) {
        sim_job job = kit_job(&r);
        job.dial_step_mm = 0.001;
        job.dial_sd_mm = 0.003;
        dialarc_setup setup = kit_setup(&job, 1);
        darc_estimate e;
        job.dial_sd_mm *= dial_times;
        job.angle_sd_deg *= wheel_times;
        set_bench(&b, &job, &setup, &r);
        const darc_noise stated = b.problem.noise;
        darc_fit_solve(&b.memory.fit, &b.memory.trial, &b.problem, false, &e);
        all.sure += darc_errors_seen(false, misread, &b.memory.fit, &b.memory.trial, &e,
                                     &b.problem)
                        .sure;
        all.dial += b.problem.noise.dial_sd_mm / stated.dial_sd_mm / n;
        all.wheel += b.problem.noise.angle_sd_deg / stated.angle_sd_deg / n;
        ck_assert(darc_estimate_is_sensible(&e));
        clear_bench(&b);
    }
    return all;
}

START_TEST(as_stated)
{
    tally all = ask(1.0, 1.0, false);
    ck_assert_int_eq(all.sure, 0);
    ck_assert_double_le(all.dial, 1.1);
    ck_assert_double_le(all.wheel, 1.1);
}
END_TEST

START_TEST(the_wheel_three_times_worse)
{
    tally all = ask(1.0, 3.0, false);
    ck_assert_int_ge(10 * all.sure, 9 * kit_count(SWEEPS));
    ck_assert_double_ge(all.wheel, 2.2);
    ck_assert_double_le(all.wheel, 4.0);
    ck_assert_double_lt(all.dial, all.wheel);
}
END_TEST

START_TEST(the_dial_three_times_worse)
{
    tally all = ask(3.0, 1.0, false);
    ck_assert_int_ge(10 * all.sure, 9 * kit_count(SWEEPS));
    ck_assert_double_ge(all.dial, 2.0);
    ck_assert_double_le(all.dial, 3.3);
    ck_assert_double_lt(all.wheel, 1.3);
}
END_TEST

/* Many misread: what lies off is that, and no larger error. */
START_TEST(not_where_many_are_misread)
{
    tally all = ask(3.0, 3.0, true);
    ck_assert_int_eq(all.sure, 0);
    ck_assert_double_eq_tol(all.dial, 1.0, 1e-12);
    ck_assert_double_eq_tol(all.wheel, 1.0, 1e-12);
}
END_TEST

/* A rise that no law comes closer to than 1 to 2 % of the lift, read by a dial of 0.3
 * micrometres. */
START_TEST(a_misfit_is_no_scatter)
{
    static bench b;
    sim_random r;
    int n = kit_count(12), misfits = 0;
    sim_seed(&r, 941);
    for (int k = 0; k < n; k++) {
        sim_job job = kit_job(&r);
        double lift = sim_lift(&job.cam, -job.foot_crank_deg / job.crank_per_pump);
        sim_shape rise = sim_draw_shape(&r, 0.01, 0.02);
        job.cam.rise_shape = rise.lift;
        job.foot_crank_deg = -job.crank_per_pump * sim_angle_of(&job.cam, lift);
        job.dial_sd_mm = 0.0003;
        job.dial_step_mm = 0.0005;
        job.angle_sd_deg = 0.02;
        job.misread_share = 0.0;
        dialarc_setup setup = kit_setup(&job, 0);
        darc_estimate e;
        set_bench(&b, &job, &setup, &r);
        const darc_noise stated = b.problem.noise;
        darc_fit_solve(&b.memory.fit, &b.memory.trial, &b.problem, true, &e);
        if (!darc_estimate_is_sensible(&e)) {
            clear_bench(&b);
            continue;
        }
        darc_errors_seen(true, true, &b.memory.fit, &b.memory.trial, &e, &b.problem);
        misfits += b.problem.noise.dial_sd_mm > stated.dial_sd_mm;
        ck_assert_double_eq(b.problem.noise.angle_sd_deg, stated.angle_sd_deg);
        clear_bench(&b);
    }
    ck_assert_int_ge(2 * misfits, n);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("errors");
    TCase *c = tcase_create("errors");
    tcase_set_timeout(c, 240);
    tcase_add_test(c, as_stated);
    tcase_add_test(c, the_wheel_three_times_worse);
    tcase_add_test(c, the_dial_three_times_worse);
    tcase_add_test(c, not_where_many_are_misread);
    tcase_add_test(c, a_misfit_is_no_scatter);
    suite_add_tcase(s, c);
    return darc_run(s);
}
