/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A cam learned from the sweep: its law found, its lobe drawn, and what the hypotheses
 * have in common. */
#include <math.h>

#include "estimate/learn.h"
#include "kit/fit_kit.h"

#define SWEEPS 14

/* A sharp dial over a whole lobe, each law in turn. */
static sim_job sharp(sim_random *r, int law)
{
    sim_job j = kit_job(r);
    double pitch = j.crank_per_pump * 360.0 / j.cam.lobes;
    j.cam.rise_law = j.cam.fall_law = law;
    j.start_deg = j.foot_crank_deg - 0.3 * pitch;
    j.end_deg = j.start_deg + 1.2 * pitch;
    j.step_deg = 1.0;
    j.angle_sd_deg = 0.05;
    j.dial_sd_mm = 0.001;
    j.dial_step_mm = 0.001;
    return j;
}

typedef struct run {
    int right;          /* the law of the cam is the likeliest */
    int covered;        /* the lift at TDC is within its uncertainty */
    double lobe_square; /* error of the rise over the total lift */
    double foot_square; /* of the foot, over its variance */
} run;

static void learn_one(bench *b, sim_random *r, int law, run *got)
{
    darc_estimate e;
    sim_job job = sharp(r, law);
    dialarc_setup setup = kit_setup(&job, 0);
    set_bench(b, &job, &setup, r);
    darc_fit_learn(&b->memory.fit, &b->memory.trial, &b->problem, &e);
    ck_assert(e.converged);
    double lift = e.mean[DARC_ASK_LIFT] - b->sweep.lift_tdc_mm;
    got->right += e.law == (dialarc_law)(DIALARC_LAW_HARMONIC + law);
    got->covered += lift * lift <= 4.0 * e.var[DARC_ASK_LIFT];
    double off = foot_off(&job, e.mean[DARC_ASK_FOOT]);
    got->foot_square += off * off / e.var[DARC_ASK_FOOT] / SWEEPS;
    for (int k = 0; k <= DIALARC_RISE_INTERVALS; k++) {
        double at = e.mean[DARC_ASK_RISE] * k / DIALARC_RISE_INTERVALS;
        double truth = sim_lift(&job.cam, at + off / job.crank_per_pump);
        got->lobe_square += pow((e.rise_mm[k] - truth) / job.cam.lift_mm, 2) /
                            (SWEEPS * (DIALARC_RISE_INTERVALS + 1));
    }
}

/* Each of the seven laws twice. The rise that is told is the true one to a thousandth of
 * the total lift. */
START_TEST(laws_are_told_apart)
{
    static bench b;
    sim_random r;
    run got = {0};
    sim_seed(&r, 930);
    for (int k = 0; k < SWEEPS; k++) {
        learn_one(&b, &r, k % SIM_LAWS, &got);
        clear_bench(&b);
    }
    ck_assert_int_ge(got.right, SWEEPS - 3);
    ck_assert_int_ge(got.covered, SWEEPS - 2);
    ck_assert_double_lt(sqrt(got.lobe_square), 1e-3);
    ck_assert_double_lt(got.foot_square, 1.0 + 4.0 * sqrt(2.0 / SWEEPS));
}
END_TEST

/* All face the same readings: one law each, six more blends of one of them; the mean foot
 * is the one that lobes are drawn from. */
START_TEST(hypotheses)
{
    static bench b;
    sim_random r;
    run got = {0};
    sim_seed(&r, 931);
    learn_one(&b, &r, 4, &got);
    const darc_learned *l = b.memory.fit.at.learned;
    int of[DIALARC_LAW_COUNT] = {0};
    ck_assert_int_ge(l->count, 1);
    ck_assert_int_le(l->count, DARC_HYPOTHESES);
    for (int k = 0; k < l->count; k++) {
        ck_assert(isfinite(l->hypothesis[k].log_evidence));
        of[l->hypothesis[k].law]++;
    }
    for (int law = 1; law < DIALARC_LAW_COUNT; law++)
        ck_assert_int_le(of[law], law == DIALARC_LAW_CONSTANT_RATE ? 7 : 1);
    darc_estimate e;
    darc_learned_average(l, &e);
    ck_assert_double_eq(l->foot_deg, e.mean[DARC_ASK_FOOT]);
    clear_bench(&b);
}
END_TEST

/* A blunt dial hides the first of the rise: the foot is told less surely than the
 * readings at the flanks alone would allow. */
START_TEST(a_hidden_foot)
{
    static bench b;
    sim_random r;
    darc_estimate e, average;
    sim_seed(&r, 932);
    sim_job job = sharp(&r, 5); /* leaves the dwell slowly */
    job.dial_sd_mm = job.dial_step_mm = 0.01;
    dialarc_setup setup = kit_setup(&job, 0);
    set_bench(&b, &job, &setup, &r);
    darc_fit_learn(&b.memory.fit, &b.memory.trial, &b.problem, &e);
    darc_learned_average(b.memory.fit.at.learned, &average);
    ck_assert_double_gt(sqrt(e.var[DARC_ASK_FOOT] - average.var[DARC_ASK_FOOT]), 1.0);
    ck_assert_double_eq(e.var[DARC_ASK_LIFT], average.var[DARC_ASK_LIFT]);
    clear_bench(&b);
}
END_TEST

/* Up the rise to just past TDC, one way: the top is not seen, and to know it from the
 * pump's data, to the 5 % that are supposed, helps. */
START_TEST(a_stated_lift_helps)
{
    static bench b;
    sim_random r;
    double square[2] = {0.0, 0.0};
    int covered[2] = {0, 0}, n = kit_count(100);
    sim_seed(&r, 933);
    for (int k = 0; k < n; k++) {
        sim_job job = kit_job(&r);
        job.start_deg =
            job.foot_crank_deg - 0.3 * job.crank_per_pump * 360.0 / job.cam.lobes;
        job.end_deg = 8.0;
        job.two_way = 0;
        double nominal = job.cam.lift_mm * (1.0 + 0.05 * sim_normal(&r));
        sim_random before = r;
        for (int stated = 0; stated < 2; stated++) {
            darc_estimate e;
            dialarc_setup setup = kit_setup(&job, 0);
            setup.cam_lift_mm = stated ? nominal : DIALARC_UNKNOWN;
            r = before;
            set_bench(&b, &job, &setup, &r);
            darc_fit_learn(&b.memory.fit, &b.memory.trial, &b.problem, &e);
            double off = e.mean[DARC_ASK_LIFT] - b.sweep.lift_tdc_mm;
            square[stated] += off * off / n;
            covered[stated] += off * off <= 3.84 * e.var[DARC_ASK_LIFT];
            clear_bench(&b);
        }
    }
    ck_assert_double_lt(square[1], 0.95 * square[0]);
    ck_assert_int_ge(100 * covered[1], 88 * n);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("learn");
    TCase *c = tcase_create("learn");
    tcase_add_test(c, laws_are_told_apart);
    tcase_add_test(c, hypotheses);
    tcase_add_test(c, a_hidden_foot);
    tcase_add_test(c, a_stated_lift_helps);
    suite_add_tcase(s, c);
    return darc_run(s);
}
