/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Starting values: near enough to the truth of simulated pumps, whatever was misread. */
#include <math.h>

#include "estimate/look.h"
#include "estimate/prior.h"
#include "estimate/start.h"
#include "kit/fit_kit.h"

#define SWEEPS 60

/* A fit laid out for the given cam of a problem, or for one to be learned. */
static darc_fit *laid_out(bench *b, bool learn)
{
    darc_fit *fit = &b->memory.fit;
    const darc_given_cam *cam = &b->problem.cam;
    darc_fit_begin(fit, &b->problem);
    fit->model.rise_law = fit->model.fall_law = cam->law;
    fit->model.rise_deg = cam->rise_deg;
    fit->model.top_deg = cam->top_deg;
    fit->model.base_deg = cam->base_deg;
    fit->model.learned = learn;
    darc_model_layout(&fit->model, &b->problem.record);
    darc_prior_basic(fit, &b->problem);
    return fit;
}

/* Largest errors of so many starts: of the foot as a share of the lobe pitch, of the
 * slack in degrees, of the total lift as a share. */
typedef struct errors {
    double foot, slack, total;
} errors;

static errors worst_of(int known, double misread_share)
{
    static bench b;
    sim_random r;
    errors e = {0.0, 0.0, 0.0};
    sim_seed(&r, 900);
    for (int k = 0; k < kit_count(SWEEPS); k++) {
        sim_job job = kit_job(&r);
        job.misread_share = misread_share;
        dialarc_setup setup = kit_setup(&job, known);
        set_bench(&b, &job, &setup, &r);
        darc_fit *fit = laid_out(&b, !known);
        darc_fit_start(fit, &b.problem.record);
        double pitch = job.crank_per_pump * 360.0 / job.cam.lobes;
        e.foot = fmax(e.foot, fabs(foot_off(&job, fit->param[DARC_FOOT])) / pitch);
        e.slack = fmax(e.slack, fabs(fit->param[DARC_SLACK] - job.slack_deg));
        e.total = fmax(e.total, fabs(fit->param[DARC_LIFT] / job.cam.lift_mm - 1.0));
        clear_bench(&b);
    }
    return e;
}

/* The finer grid has steps of 1/48 of the pitch and of 2 degrees; between its points the
 * foot makes up for the slack. */
START_TEST(a_given_cam_is_found)
{
    errors e = worst_of(1, 0.0);
    ck_assert_double_lt(e.foot, 2.0 / 48.0);
    ck_assert_double_lt(e.slack, 6.0);
    ck_assert_double_lt(e.total, 0.1);
}
END_TEST

START_TEST(misread_dials_do_not_lead_astray)
{
    errors e = worst_of(1, 0.1);
    ck_assert_double_lt(e.foot, 2.0 / 48.0);
    ck_assert_double_lt(e.slack, 6.0);
    ck_assert_double_lt(e.total, 0.1);
}
END_TEST

/* A foot that is hard to see may be a few degrees off; the flanks are where they are. */
START_TEST(a_cam_to_be_learned_is_found)
{
    errors e = worst_of(0, 0.1);
    ck_assert_double_lt(e.foot, 6.0 / 48.0);
    ck_assert_double_lt(e.slack, 6.0);
    ck_assert_double_lt(e.total, 0.15);
}
END_TEST

/* In one direction the slack does not show: what is tried first stays. */
START_TEST(one_way_tells_no_slack)
{
    static bench b;
    sim_random r;
    sim_seed(&r, 901);
    sim_job job = kit_job(&r);
    job.two_way = 0;
    dialarc_setup setup = kit_setup(&job, 1);
    double slack[2];
    for (int k = 0; k < 2; k++) {
        job.slack_deg = k ? 10.0 : 1.0;
        set_bench(&b, &job, &setup, &r);
        darc_fit *fit = laid_out(&b, false);
        darc_fit_start(fit, &b.problem.record);
        slack[k] = fit->param[DARC_SLACK];
        clear_bench(&b);
    }
    ck_assert_double_eq_tol(slack[0], slack[1], 4.0);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("start");
    TCase *c = tcase_create("grid");
    tcase_add_test(c, a_given_cam_is_found);
    tcase_add_test(c, misread_dials_do_not_lead_astray);
    tcase_add_test(c, a_cam_to_be_learned_is_found);
    tcase_add_test(c, one_way_tells_no_slack);
    suite_add_tcase(s, c);
    return darc_run(s);
}
