/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The maximum posterior of the estimator against GSL's trust region, on the same weighted
 * residuals and priors.
 */
#include <gsl/gsl_multifit_nlinear.h>
#include <math.h>
#include <string.h>

#include "estimate/known_cam.h"
#include "estimate/memory.h"
#include "kit/check_main.h"
#include "kit/sweep_kit.h"

#define MOST_ROWS 700

/* The readings as the fit ended up weighing them, and the prior, as least squares. */
typedef struct weighed {
    const darc_fit *fit;
    const darc_record *record;
    darc_row rows[MOST_ROWS];
    double target[MOST_ROWS], root[MOST_ROWS]; /* pseudo-readings, roots of weights */
} weighed;

static int residuals(const gsl_vector *x, void *data, gsl_vector *f)
{
    weighed *w = data;
    const darc_fit *fit = w->fit;
    double param[DARC_MAX_PARAM];
    size_t n = w->record->n;
    for (int k = 0; k < fit->model.n_param; k++)
        param[k] = gsl_vector_get(x, (size_t)k);
    darc_model_rows(&fit->model, param, w->record, fit->noise.angle_sd_deg, w->rows);
    for (size_t i = 0; i < n; i++)
        gsl_vector_set(f, i, w->root[i] * (w->rows[i].mean - w->target[i]));
    for (int k = 0; k < fit->model.n_param; k++)
        gsl_vector_set(f, n + (size_t)k,
                       sqrt(fit->prior.weight[k]) * (param[k] - fit->prior.mean[k]));
    return GSL_SUCCESS;
}

/* GSL's trust region with derivatives by central differences, from `start`. */
static void by_gsl(weighed *w, const double *start, double *param, double *sd)
{
    size_t m = (size_t)w->fit->model.n_param, n = w->record->n + m;
    gsl_multifit_nlinear_parameters how = gsl_multifit_nlinear_default_parameters();
    how.fdtype = GSL_MULTIFIT_NLINEAR_CTRDIFF;
    how.h_df = 1e-6;
    gsl_multifit_nlinear_fdf fdf = {.f = residuals, .n = n, .p = m, .params = w};
    gsl_multifit_nlinear_workspace *work =
        gsl_multifit_nlinear_alloc(gsl_multifit_nlinear_trust, &how, n, m);
    gsl_vector_const_view x = gsl_vector_const_view_array(start, m);
    gsl_matrix *covariance = gsl_matrix_alloc(m, m);
    int info;
    gsl_multifit_nlinear_init(&x.vector, &fdf, work);
    gsl_multifit_nlinear_driver(200, 1e-13, 1e-13, 0.0, NULL, NULL, &info, work);
    gsl_multifit_nlinear_covar(gsl_multifit_nlinear_jac(work), 0.0, covariance);
    for (size_t k = 0; k < m; k++) {
        param[k] = gsl_vector_get(gsl_multifit_nlinear_position(work), k);
        sd[k] = sqrt(gsl_matrix_get(covariance, k, k));
    }
    gsl_matrix_free(covariance);
    gsl_multifit_nlinear_free(work);
}

/* True values, off by what a person would guess. */
static void guess(const sim_job *job, const darc_fit *fit, double *start)
{
    memcpy(start, fit->prior.mean, sizeof fit->prior.mean); /* turning points */
    start[DARC_ZERO] = job->zero_mm + 0.01;
    start[DARC_FOOT] = job->foot_crank_deg + 0.5;
    start[DARC_LIFT] = job->cam.lift_mm * 1.02;
    start[DARC_SLACK] = job->slack_deg + 0.4;
    start[DARC_HYST] = 0.002;
}

/* Fits one simulated sweep both ways; returns how far the lift at TDC is apart, in its
 * sds, and the largest such distance of any parameter. */
static double compare_fit(darc_memory *memory, sim_random *r, double angle_share,
                          double *most)
{
    static sim_sweep sweep;
    static weighed w;
    darc_problem problem;
    darc_estimate answer;
    double start[DARC_MAX_PARAM], param[DARC_MAX_PARAM], sd[DARC_MAX_PARAM];
    sim_job job = kit_job(r);
    job.dial_step_mm = 0.0;
    job.angle_sd_deg *= angle_share;
    job.two_way = sim_integer(r, 0, 4) > 0;
    sim_run(&job, r, &sweep);
    dialarc_setup setup = kit_setup(&job, 1);
    dialarc_sweep given = kit_sweep(&sweep);
    ck_assert_uint_le(sweep.n, MOST_ROWS);
    ck_assert_int_eq(darc_memory_open(memory, &setup, NULL, 0.0, &given, &problem),
                     DIALARC_OK);
    darc_fit_known(&memory->fit, &memory->trial, &problem, &answer);
    ck_assert_int_eq(answer.converged, 1);
    const darc_fit *fit = w.fit = &memory->fit;
    w.record = &problem.record;
    darc_model_rows(&fit->model, fit->param, w.record, fit->noise.angle_sd_deg, w.rows);
    for (size_t i = 0; i < sweep.n; i++) {
        w.root[i] = sqrt(fit->at.pulls[i].w);
        w.target[i] = w.rows[i].mean + fit->at.pulls[i].g / fit->at.pulls[i].w;
    }
    guess(&job, fit, start);
    by_gsl(&w, start, param, sd);
    *most = 0.0;
    for (int k = 0; k < fit->model.n_param; k++)
        *most = fmax(*most, fabs(fit->param[k] - param[k]) / sd[k]);
    darc_lift here, there;
    darc_model_lift(&fit->model, fit->param, -0.5 * fit->param[DARC_FOOT], &here);
    darc_model_lift(&fit->model, param, -0.5 * param[DARC_FOOT], &there);
    return (here.mm - there.mm) / sqrt(answer.var[DARC_ASK_LIFT]);
}

/* Without errors of the angles the model's derivatives are exact: the same maximum to
 * 1e-4 of the sd of every parameter, but for a few sweeps that end up with a reading on
 * the very corner of a play, where there is no derivative. */
START_TEST(maximum_posterior_is_that_of_gsl)
{
    darc_memory memory = {.capacity = 0};
    sim_random r;
    int apart = 0, n = kit_count(300);
    sim_seed(&r, 602);
    for (int k = 0; k < n; k++) {
        double most, lift = compare_fit(&memory, &r, 0.0, &most);
        ck_assert_double_lt(fabs(lift), 0.1);
        apart += most > 1e-4;
    }
    ck_assert_int_le(apart, 1 + n / 50);
    darc_memory_release(&memory);
}
END_TEST

/* With them the estimator holds the width of the rounded corners and the bend of the
 * mean; what that costs is little beside the lift's own uncertainty. */
START_TEST(maximum_posterior_with_angle_errors)
{
    darc_memory memory = {.capacity = 0};
    sim_random r;
    double square = 0.0;
    int n = kit_count(300);
    sim_seed(&r, 603);
    for (int k = 0; k < n; k++) {
        double most, lift = compare_fit(&memory, &r, 1.0, &most);
        ck_assert_double_lt(fabs(lift), 0.1);
        square += lift * lift / n;
    }
    ck_assert_double_lt(sqrt(square), 0.01);
    darc_memory_release(&memory);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("oracle");
    TCase *tc = tcase_create("posterior");
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, maximum_posterior_is_that_of_gsl);
    tcase_add_test(tc, maximum_posterior_with_angle_errors);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
