/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reweighted Gauss-Newton on the path model. */
#include <float.h>
#include <math.h>
#include <string.h>

#include "fit.h"

#define MAX_ITERATIONS 100
#define DAMP_FROM      15   /* iterations after which steps are halved: it cycles */
#define FIRST_WIDENING 0.03 /* of the total lift: errors the first step may have */
#define LEAST_MISREAD  0.002
#define MOST_MISREAD   0.12
#define SETTLED        1e-4 /* largest last step, in posterior standard deviations */

int darc_cholesky(int n, double a[][DARC_MAX_PARAM], const double *diagonal,
                  double factor[][DARC_MAX_PARAM], double *log_det)
{
    double sum = 0.0;
    for (int i = 0; i < n; i++) {
        for (int k = 0; k <= i; k++) {
            double v = a[i][k] + (i == k ? diagonal[i] : 0.0);
            for (int l = 0; l < k; l++)
                v -= factor[i][l] * factor[k][l];
            if (i > k) {
                factor[i][k] = v / factor[k][k];
            } else {
                if (!(v > DBL_MIN))
                    return 0;
                factor[i][i] = sqrt(v);
                sum += log(v);
            }
        }
    }
    if (log_det)
        *log_det = sum;
    return 1;
}

void darc_cholesky_solve(int n, double factor[][DARC_MAX_PARAM], double *v)
{
    for (int i = 0; i < n; i++) {
        for (int k = 0; k < i; k++)
            v[i] -= factor[i][k] * v[k];
        v[i] /= factor[i][i];
    }
    for (int i = n - 1; i >= 0; i--) {
        for (int k = i + 1; k < n; k++)
            v[i] -= factor[k][i] * v[k];
        v[i] /= factor[i][i];
    }
}

void darc_fit_backsolve(const darc_fit *fit, double *v)
{
    darc_cholesky_solve(fit->model.n_param,
                        (double(*)[DARC_MAX_PARAM])(uintptr_t)fit->factor, v);
}

/* Pulls of all readings about the present rows; returns the mean misread probability. */
static double weigh(darc_fit *fit, const darc_record *record, double widen_mm,
                    const darc_row *rows, darc_pull *pulls)
{
    const darc_noise *e = &fit->noise;
    double misread = 0.0, loglik = 0.0;
    for (size_t i = 0; i < record->n; i++) {
        double turned = rows[i].slope * e->angle_sd_deg;
        double sd =
            sqrt(e->dial_sd_mm * e->dial_sd_mm + turned * turned + widen_mm * widen_mm);
        pulls[i] = darc_reading_pull(record->lift_mm[i], rows[i].mean, sd, e->step_mm,
                                     e->turn_mm, fit->misread_share);
        misread += 1.0 - pulls[i].sound;
        loglik += pulls[i].log_density;
    }
    fit->log_likelihood = loglik;
    return misread / (double)record->n;
}

/* Normal equations at the present rows. */
static void accumulate(darc_fit *fit, size_t n, const darc_row *rows,
                       const darc_pull *pulls)
{
    int m = fit->model.n_param;
    for (int k = 0; k < m; k++) {
        fit->pull[k] = 0.0;
        memset(fit->normal[k], 0, (size_t)m * sizeof fit->normal[k][0]);
    }
    for (size_t i = 0; i < n; i++) {
        const double *by = rows[i].by;
        for (int k = 0; k < m; k++) {
            if (by[k] == 0.0)
                continue;
            double wk = pulls[i].w * by[k];
            fit->pull[k] += pulls[i].g * by[k];
            for (int l = 0; l <= k; l++)
                fit->normal[k][l] += wk * by[l];
        }
    }
}

/* One Gauss-Newton step, or a share of it; returns its size in posterior sds, or -1 when
 * singular. */
static double step(darc_fit *fit, double share)
{
    int m = fit->model.n_param;
    double d[DARC_MAX_PARAM];
    if (!darc_cholesky(m, fit->normal, fit->prior.weight, fit->factor, NULL))
        return -1.0;
    for (int k = 0; k < m; k++)
        d[k] = fit->pull[k] + fit->prior.weight[k] * (fit->prior.mean[k] - fit->param[k]);
    darc_cholesky_solve(m, fit->factor, d);
    /* Keep within the range over which the model is nearly straight. */
    double limit[DARC_BASIC] = {1.0,
                                0.04 * fit->model.pitch_deg * fit->model.crank_per_pump,
                                0.3 * fit->param[DARC_LIFT], 3.0, 0.05};
    double scale = share, size = 0.0;
    for (int k = 0; k < DARC_BASIC; k++)
        if (fabs(d[k]) * scale > limit[k])
            scale = limit[k] / fabs(d[k]);
    for (int k = 0; k < m; k++) {
        fit->param[k] += scale * d[k];
        double sharp = fit->normal[k][k] + fit->prior.weight[k];
        size = fmax(size, fabs(d[k]) * sqrt(sharp));
    }
    double floor_mm = 0.05;
    if (fit->param[DARC_LIFT] < floor_mm)
        fit->param[DARC_LIFT] = floor_mm;
    return size;
}

/* Median absolute residual, by a histogram on a logarithmic scale: no sorting. */
static double typical_residual(const darc_record *record, const darc_row *rows)
{
    size_t bin[64] = {0}, seen = 0;
    for (size_t i = 0; i < record->n; i++) {
        double r = fabs(record->lift_mm[i] - rows[i].mean);
        int k = r > 1e-6 ? (int)(4.0 * log2(r / 1e-6)) : 0;
        bin[k < 0 ? 0 : k > 63 ? 63 : k]++;
    }
    for (int k = 0; k < 64; k++) {
        seen += bin[k];
        if (2 * seen >= record->n)
            return 1e-6 * exp2((k + 1) / 4.0);
    }
    return 0.0;
}

void darc_fit_iterate(darc_fit *fit, const darc_record *record, darc_row *rows,
                      darc_pull *pulls)
{
    double widen = -1.0;
    fit->converged = 0;
    for (int it = 0; it < MAX_ITERATIONS; it++) {
        darc_model_rows(&fit->model, fit->param, record, fit->noise.angle_sd_deg, rows);
        if (widen < 0.0)
            widen = fmax(typical_residual(record, rows),
                         FIRST_WIDENING * fit->param[DARC_LIFT]);
        else
            widen = widen > 0.25 * fit->noise.dial_sd_mm + 1e-5 ? 0.5 * widen : 0.0;
        double misread = weigh(fit, record, widen, rows, pulls);
        accumulate(fit, record->n, rows, pulls);
        if (fit->model.learned)
            darc_fit_shape_prior(fit);
        double size = step(fit, it < DAMP_FROM ? 1.0 : 0.5);
        if (size < 0.0)
            return;
        if (widen == 0.0) {
            double share = fmin(fmax(misread, LEAST_MISREAD), MOST_MISREAD);
            double moved = fabs(share - fit->misread_share);
            fit->misread_share = share;
            if (size < SETTLED && moved < 1e-5) {
                fit->converged = 1;
                break;
            }
        }
    }
    darc_model_rows(&fit->model, fit->param, record, fit->noise.angle_sd_deg, rows);
    weigh(fit, record, 0.0, rows, pulls);
    accumulate(fit, record->n, rows, pulls);
    darc_cholesky(fit->model.n_param, fit->normal, fit->prior.weight, fit->factor, NULL);
}
