/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Priors: where turning points stand, and shapes that no lobe has. */
#include <math.h>
#include <string.h>

#include "estimate/prior.h"
#include "kit/fit_kit.h"

/* There, back and there again, with a cam to be learned; the first pass with its start in
 * the slack as a parameter. */
static void set_three_passes(bench *b)
{
    static double path[90];
    for (int k = 0; k < 30; k++) {
        path[k] = -80.0 + 4.0 * k;
        path[30 + k] = 36.0 - 4.0 * k;
        path[60 + k] = -80.0 + 4.0 * k;
    }
    sim_random r;
    sim_seed(&r, 3);
    sim_job job = kit_job(&r);
    job.path_deg = path;
    job.path_n = 90;
    job.angle_sd_deg = 0.25;
    dialarc_setup setup = kit_setup(&job, 0);
    set_bench(b, &job, &setup, &r);
    ck_assert_int_eq(b->problem.record.passes, 3);
    darc_fit *fit = &b->memory.fit;
    darc_fit_begin(fit, &b->problem);
    fit->model.learned = true;
    fit->model.terms = DARC_SHAPE_TERMS;
    fit->model.free_passes = 1;
    darc_model_layout(&fit->model, &b->problem.record);
    ck_assert_int_eq(fit->model.n_param, fit->model.first_turn + 3);
    fit->param[fit->model.first_turn] = -83.5;
}

/* A turning point is at the last reading before it, as surely as the wheel is read; a
 * start in the slack is where its caller put it. */
START_TEST(turning_points_are_where_they_were_read)
{
    static bench b;
    set_three_passes(&b);
    darc_fit *fit = &b.memory.fit;
    const darc_record *record = &b.problem.record;
    int first = fit->model.first_turn;
    darc_prior_basic(fit, &b.problem);
    ck_assert_double_eq(fit->param[first], -83.5);
    ck_assert_double_eq(fit->prior.mean[first], -83.5);
    for (int k = 1; k < 3; k++) {
        double read = record->crank_deg[record->pass[k].begin - 1];
        ck_assert_double_eq(fit->param[first + k], read);
        ck_assert_double_eq(fit->prior.mean[first + k], read);
        ck_assert_double_eq_tol(fit->prior.weight[first + k], 16.0, 1e-12);
    }
    ck_assert_double_lt(fit->prior.weight[first], 1.0); /* a start is hardly known */
    clear_bench(&b);
}
END_TEST

/* Laid out anew: no parameter moves, and nothing else that was thought before changes. */
START_TEST(turns_alone)
{
    static bench b;
    set_three_passes(&b);
    darc_fit *fit = &b.memory.fit;
    darc_prior_basic(fit, &b.problem);
    for (int k = 0; k < fit->model.n_param; k++) {
        fit->param[k] = 1000.0 + k;
        fit->prior.mean[k] = fit->prior.weight[k] = 2000.0 + k;
    }
    darc_prior_turns(fit, &b.problem);
    int first = fit->model.first_turn;
    for (int k = 0; k < fit->model.n_param; k++) {
        ck_assert_double_eq(fit->param[k], 1000.0 + k);
        if (k < first) {
            ck_assert_double_eq(fit->prior.mean[k], 2000.0 + k);
            ck_assert_double_eq(fit->prior.weight[k], 2000.0 + k);
        }
    }
    ck_assert_double_eq(fit->prior.mean[first], 1000.0 + first);
    ck_assert_double_lt(fit->prior.mean[first + 1], 60.0);
    clear_bench(&b);
}
END_TEST

/* Hysteresis uniform from none to the largest: its mean and its variance. */
START_TEST(hysteresis_is_anything_up_to_its_largest)
{
    static bench b;
    set_three_passes(&b);
    darc_fit *fit = &b.memory.fit;
    fit->noise.hysteresis_max_mm = 0.012;
    darc_prior_basic(fit, &b.problem);
    ck_assert_double_eq_tol(fit->prior.mean[DARC_HYST], 0.006, 1e-15);
    ck_assert_double_eq_tol(1.0 / fit->prior.weight[DARC_HYST], 0.012 * 0.012 / 12.0,
                            1e-15);
    ck_assert_double_eq(fit->prior.weight[DARC_ZERO], 0.0);
    ck_assert_double_eq(fit->prior.weight[DARC_FOOT], 0.0);
    clear_bench(&b);
}
END_TEST

/* Below zero a second normal about 0 joins in: the product of both. */
START_TEST(a_dwell_is_not_negative)
{
    static bench b;
    set_three_passes(&b);
    darc_fit *fit = &b.memory.fit;
    double pitch = fit->model.pitch_deg, share[2];
    darc_prior_basic(fit, &b.problem);
    for (int negative = 0; negative < 2; negative++) {
        fit->param[DARC_TOP] = negative ? -1e-6 : 1e-6;
        darc_prior_shape(fit);
        share[negative] = fit->prior.mean[DARC_TOP] / pitch;
        double sd = 1.0 / sqrt(fit->prior.weight[DARC_TOP]) / pitch;
        if (negative)
            ck_assert_double_lt(sd, 0.005); /* 5 shares of a thousand of the pitch */
        else
            ck_assert_double_gt(sd, 0.03);
    }
    ck_assert_double_gt(share[0], 0.04);
    ck_assert_double_lt(share[1], 1e-3);
    ck_assert_double_gt(share[1], 0.0);
    clear_bench(&b);
}
END_TEST

/* The k-th term has its sd over k^1.5, each flank its own. */
START_TEST(terms_grow_smaller)
{
    static bench b;
    set_three_passes(&b);
    darc_fit *fit = &b.memory.fit;
    darc_prior_terms(fit, 2.4, 0.01, 0.03);
    for (int k = 0; k < DARC_SHAPE_TERMS; k++) {
        double rise = 1.0 / sqrt(fit->prior.weight[DARC_TERMS + k]);
        double fall = 1.0 / sqrt(fit->prior.weight[DARC_TERMS + DARC_SHAPE_TERMS + k]);
        ck_assert_double_eq_tol(rise, 0.024 * pow(k + 1.0, -1.5), 1e-15);
        ck_assert_double_eq_tol(fall, 0.072 * pow(k + 1.0, -1.5), 1e-15);
    }
    clear_bench(&b);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("prior");
    TCase *c = tcase_create("prior");
    tcase_add_test(c, turning_points_are_where_they_were_read);
    tcase_add_test(c, turns_alone);
    tcase_add_test(c, hysteresis_is_anything_up_to_its_largest);
    tcase_add_test(c, a_dwell_is_not_negative);
    tcase_add_test(c, terms_grow_smaller);
    suite_add_tcase(s, c);
    return darc_run(s);
}
