/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What one descent does not find about the slack, in simulated sweeps that have it; and
 * sweeps that have not, which stay as they are to the bit. */
#include <math.h>
#include <string.h>

#include "estimate/known_cam.h"
#include "kit/fit_kit.h"

#define SWEEPS 40

static void fit_bench(bench *b, const sim_job *job, sim_random *r, darc_estimate *e)
{
    dialarc_setup setup = kit_setup(job, 1);
    set_bench(b, job, &setup, r);
    darc_fit_known(&b->memory.fit, &b->memory.trial, &b->problem, e);
}

/* There and back in steps of 2 degrees, from well before the foot. */
static sim_job usual(sim_random *r)
{
    sim_job j = kit_job(r);
    j.slack_deg = sim_uniform(r, 6.0, 12.0);
    j.step_deg = 2.0;
    return j;
}

/* The crank is turned back on the fall, where the pump follows at once, and the first
 * reading is taken with four fifths of the slack still open. */
START_TEST(a_record_that_begins_inside_the_slack)
{
    static bench b;
    sim_random r;
    darc_estimate e;
    int seen = 0, within = 0, n = kit_count(SWEEPS);
    sim_seed(&r, 950);
    for (int k = 0; k < n; k++) {
        sim_job job = usual(&r);
        job.start_in_slack = 1;
        job.start_share = 0.8;
        fit_bench(&b, &job, &r, &e);
        const darc_fit *fit = &b.memory.fit;
        if (fit->model.free_passes & 1u) {
            double open = job.start_share * job.slack_deg;
            double begun = fit->param[fit->model.first_turn] + fit->param[DARC_SLACK];
            seen++;
            within += fabs(begun - b.problem.record.crank_deg[0] - open) < 1.5;
        }
        double off = e.mean[DARC_ASK_LIFT] - b.sweep.lift_tdc_mm;
        ck_assert_double_lt(off * off, 25.0 * e.var[DARC_ASK_LIFT]);
        clear_bench(&b);
    }
    ck_assert_int_ge(10 * seen, 8 * n);
    ck_assert_int_ge(10 * within, 8 * seen);
}
END_TEST

/* Where the slack is taken up everywhere no start becomes a parameter. */
START_TEST(an_ordinary_record)
{
    static bench b;
    sim_random r;
    darc_estimate e;
    int n = kit_count(SWEEPS);
    sim_seed(&r, 951);
    for (int k = 0; k < n; k++) {
        sim_job job = usual(&r);
        fit_bench(&b, &job, &r, &e);
        const darc_fit *fit = &b.memory.fit;
        ck_assert_uint_eq(fit->model.free_passes, 0);
        ck_assert_int_eq(fit->model.n_param, DARC_BASIC + 1);
        ck_assert_double_eq(fit->prior.mean[DARC_SLACK], 3.0);
        clear_bench(&b);
    }
}
END_TEST

/* A way back that is shorter than the slack: the pump stands all the while. How large the
 * slack is nobody has seen; that it is at least so large is told. */
START_TEST(a_slack_that_is_never_taken_up)
{
    static double path[60];
    static bench b;
    sim_random r;
    darc_estimate e;
    sim_seed(&r, 952);
    sim_job job = usual(&r);
    job.slack_deg = 14.0;
    size_t n = 0;
    double end = job.foot_crank_deg + 60.0; /* on the rise */
    for (double at = job.foot_crank_deg - 30.0; at < end; at += 2.0)
        path[n++] = at;
    double last = path[n - 1];
    for (int k = 1; k <= 5; k++)
        path[n++] = last - 1.6 * k;
    job.path_deg = path;
    job.path_n = n;
    fit_bench(&b, &job, &r, &e);
    ck_assert_double_gt(e.mean[DARC_ASK_SLACK], 9.0);
    ck_assert_double_gt(sqrt(e.var[DARC_ASK_SLACK]), 2.0);
    double off = e.mean[DARC_ASK_LIFT] - b.sweep.lift_tdc_mm;
    ck_assert_double_lt(off * off, 16.0 * e.var[DARC_ASK_LIFT]);
    clear_bench(&b);
}
END_TEST

/* One way, begun on the fall inside the slack: the flat stretch that comes of it must not
 * pass for the minimum. */
START_TEST(a_flat_stretch_that_is_no_minimum)
{
    static bench b;
    sim_random r;
    darc_estimate e;
    int right = 0, n = kit_count(SWEEPS);
    sim_seed(&r, 953);
    for (int k = 0; k < n; k++) {
        sim_job job = usual(&r);
        job.two_way = 0;
        job.start_in_slack = 1;
        job.start_share = 0.9;
        fit_bench(&b, &job, &r, &e);
        double off = e.mean[DARC_ASK_LIFT] - b.sweep.lift_tdc_mm;
        right += off * off < 16.0 * e.var[DARC_ASK_LIFT];
        clear_bench(&b);
    }
    ck_assert_int_ge(right, n - 1);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("slack_start");
    TCase *c = tcase_create("slack");
    tcase_add_test(c, a_record_that_begins_inside_the_slack);
    tcase_add_test(c, an_ordinary_record);
    tcase_add_test(c, a_slack_that_is_never_taken_up);
    tcase_add_test(c, a_flat_stretch_that_is_no_minimum);
    suite_add_tcase(s, c);
    return darc_run(s);
}
