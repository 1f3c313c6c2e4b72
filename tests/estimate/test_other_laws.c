/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A stated law tried by the others, on simulated sweeps of which the law is known. */
#include <math.h>

#include "estimate/known_cam.h"
#include "estimate/other_laws.h"
#include "kit/fit_kit.h"

#define SWEEPS 60

/* Readings over a base dwell and the first part of a rise, forward. */
static void few_readings(sim_job *job, int n, sim_random *r)
{
    job->two_way = 0;
    job->start_deg = job->foot_crank_deg - 12.0;
    job->end_deg = sim_uniform(r, 5.0, 12.0);
    job->step_deg = (job->end_deg - job->start_deg) / (n - 1);
}

static const dialarc_law other_of[] = {
    [DIALARC_LAW_HARMONIC] = DIALARC_LAW_CYCLOIDAL,
    [DIALARC_LAW_CYCLOIDAL] = DIALARC_LAW_HARMONIC,
    [DIALARC_LAW_POLY345] = DIALARC_LAW_HARMONIC,
    [DIALARC_LAW_POLY4567] = DIALARC_LAW_HARMONIC,
    [DIALARC_LAW_MODIFIED_SINE] = DIALARC_LAW_HARMONIC,
    [DIALARC_LAW_MODIFIED_TRAPEZOID] = DIALARC_LAW_HARMONIC,
    [DIALARC_LAW_CONSTANT_RATE] = DIALARC_LAW_CYCLOIDAL,
};

typedef struct tally {
    int rivals, kept; /* sweeps that leave a rival; in which the stated law is likelier */
    double left;      /* mean probability of the stated law */
} tally;

/* Of sweeps with n readings, or whole ones when that is 0. */
static tally ask(int n, bool right)
{
    static bench b;
    sim_random r;
    tally all = {0, 0, 0.0};
    int sweeps = kit_count(SWEEPS);
    sim_seed(&r, 920);
    for (int k = 0; k < sweeps; k++) {
        darc_rival rival[DARC_CANDIDATES];
        double probability[DARC_CANDIDATES];
        darc_estimate e;
        sim_job job = kit_job(&r);
        if (n > 0)
            few_readings(&job, n, &r);
        dialarc_setup setup = kit_setup(&job, 1);
        if (!right)
            setup.cam_law = other_of[setup.cam_law];
        set_bench(&b, &job, &setup, &r);
        darc_fit_known(&b.memory.fit, &b.memory.other, &b.problem, &e);
        int rivals = darc_other_laws(&b.memory.fit, e.log_evidence, &b.problem.record,
                                     &b.memory.trial, rival);
        double left = darc_rivals_weigh(rival, rivals, probability);
        all.rivals += rivals > 0;
        all.kept += left > 0.5;
        all.left += left / sweeps;
        clear_bench(&b);
    }
    return all;
}

START_TEST(a_whole_sweep_confirms_its_law)
{
    tally all = ask(0, true);
    ck_assert_double_gt(all.left, 0.95);
}
END_TEST

START_TEST(a_whole_sweep_refutes_another)
{
    ck_assert_double_lt(ask(0, false).left, 0.05);
}
END_TEST

/* Ten readings cannot: both are possible, the right one more often. */
START_TEST(ten_readings_leave_it_open)
{
    int n = kit_count(SWEEPS);
    tally right = ask(10, true), wrong = ask(10, false);
    ck_assert_int_gt(right.rivals, 9 * n / 10);
    ck_assert_double_gt(right.left, 0.4);
    ck_assert_double_lt(wrong.left, 0.35);
}
END_TEST

/* A rival is what a fit by that law gives. */
START_TEST(a_rival_is_the_fit_by_its_law)
{
    static bench b;
    sim_random r;
    sim_seed(&r, 921);
    sim_job job = kit_job(&r);
    job.cam.rise_law = job.cam.fall_law = 0; /* harmonic */
    few_readings(&job, 12, &r);
    dialarc_setup setup = kit_setup(&job, 1);
    darc_rival rival[DARC_CANDIDATES];
    darc_estimate stated, other;
    int found = 0;
    set_bench(&b, &job, &setup, &r);
    darc_fit_known(&b.memory.fit, &b.memory.other, &b.problem, &stated);
    int n = darc_other_laws(&b.memory.fit, stated.log_evidence, &b.problem.record,
                            &b.memory.trial, rival);
    ck_assert_int_gt(n, 0);
    for (int k = 0; k < DARC_CANDIDATES; k++) {
        darc_problem by = b.problem;
        by.cam.law = by.cam.fall_law = darc_candidates[k].law;
        if (darc_candidates[k].log_prior < 0.0 || by.cam.law == b.problem.cam.law)
            continue;
        darc_fit_known(&b.memory.fit, &b.memory.other, &by, &other);
        for (int j = 0; j < n; j++)
            found += fabs(rival[j].lift_mm - other.mean[DARC_ASK_LIFT]) < 1e-4 &&
                     fabs(rival[j].var / other.var[DARC_ASK_LIFT] - 1.0) < 0.01;
    }
    ck_assert_int_ge(found, 1);
    clear_bench(&b);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("other_laws");
    TCase *c = tcase_create("other_laws");
    tcase_set_timeout(c, 120);
    tcase_add_test(c, a_whole_sweep_confirms_its_law);
    tcase_add_test(c, a_whole_sweep_refutes_another);
    tcase_add_test(c, ten_readings_leave_it_open);
    tcase_add_test(c, a_rival_is_the_fit_by_its_law);
    suite_add_tcase(s, c);
    return darc_run(s);
}
