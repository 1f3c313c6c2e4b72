/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/crosscheck.h>

#include <math.h>
#include <stdbool.h>
#include <string.h>

#include <gsl/gsl_cdf.h>

#include "core/finite.h"
#include "numeric/cholesky.h"
#include "numeric/leastsq.h"

#define AGREE        0.05 /* chance below which witnesses do not agree: Cox */
#define MOST_TIMINGS 1000
#define MOST_RPM     1e5
#define DEG_PER_MS   0.006 /* crank degrees a millisecond at 1 rpm */

dialarc_status dialarc_crosscheck_from_lift(const dialarc_cam *cam, double lift_mm,
                                            double at_crank_deg, double reference_lift_mm,
                                            double crank_per_pump,
                                            double *advance_crank_deg)
{
    double there, reference;
    if (!advance_crank_deg)
        return DIALARC_ERR_NULL;
    dialarc_status status =
        dialarc_cam_angle_at_lift(cam, lift_mm, DIALARC_FLANK_RISING, &there);
    if (status == DIALARC_OK)
        status = dialarc_cam_angle_at_lift(cam, reference_lift_mm, DIALARC_FLANK_RISING,
                                           &reference);
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(at_crank_deg) || !isfinite(crank_per_pump))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_positive(crank_per_pump))
        return DIALARC_ERR_RATIO;
    if (fabs(at_crank_deg) > DARC_LARGEST)
        return DIALARC_ERR_RANGE;
    return darc_give((there - reference) * crank_per_pump - at_crank_deg,
                     advance_crank_deg);
}

static dialarc_status check_timings(size_t n, const double *crank_rpm,
                                    const double *timing_crank_deg, double timing_sd_deg)
{
    if (n < 2 || n > MOST_TIMINGS)
        return DIALARC_ERR_SIZE;
    if (!crank_rpm || !timing_crank_deg)
        return DIALARC_ERR_NULL;
    if (!isfinite(timing_sd_deg))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_not_negative(timing_sd_deg))
        return DIALARC_ERR_SD;
    for (size_t i = 0; i < n; i++) {
        if (!isfinite(crank_rpm[i]) || !isfinite(timing_crank_deg[i]))
            return DIALARC_ERR_NOT_FINITE;
        if (!(crank_rpm[i] > 0.0))
            return DIALARC_ERR_SPEED;
        if (crank_rpm[i] > MOST_RPM || fabs(timing_crank_deg[i]) > DARC_LARGEST)
            return DIALARC_ERR_RANGE;
    }
    return DIALARC_OK;
}

dialarc_status dialarc_crosscheck_at_rest(size_t n, const double *crank_rpm,
                                          const double *timing_crank_deg,
                                          double timing_sd_deg, dialarc_at_rest *at_rest)
{
    enum { ADVANCE, DELAY, PARAMS };
    darc_lsq problem;
    darc_lsq_result r;
    dialarc_status status =
        at_rest ? check_timings(n, crank_rpm, timing_crank_deg, timing_sd_deg)
                : DIALARC_ERR_NULL;
    if (status != DIALARC_OK)
        return status;
    darc_lsq_begin(&problem, PARAMS);
    for (size_t i = 0; i < n; i++) {
        const double row[PARAMS] = {1.0, -DEG_PER_MS * crank_rpm[i]};
        darc_lsq_add(&problem, row, timing_crank_deg[i], 1.0);
    }
    status = darc_lsq_solve(&problem, &r);
    if (status != DIALARC_OK)
        return status;
    double dof = (double)(n - PARAMS), stated = timing_sd_deg * timing_sd_deg;
    double found = dof > 0.0 ? r.rss / dof : (double)NAN;
    bool scatters = timing_sd_deg == 0.0 || isgreater(found, stated);
    double sd = sqrt(scatters ? found : stated);
    *at_rest =
        (dialarc_at_rest){.advance_crank_deg = r.param[ADVANCE],
                          .sd_crank_deg = sd * sqrt(r.covariance[ADVANCE][ADVANCE]),
                          .delay_ms = r.param[DELAY],
                          .delay_sd_ms = sd * sqrt(r.covariance[DELAY][DELAY]),
                          .dof = scatters ? dof : 0.0,
                          .scatter = stated > 0.0 ? sqrt(found / stated) : (double)NAN};
    return DIALARC_OK;
}

static dialarc_status check_one(const dialarc_witness *w)
{
    const double sd[] = {w->own_sd_crank_deg, w->mark_sd_crank_deg, w->wheel_sd_crank_deg,
                         w->cam_sd_crank_deg};
    if (!isfinite(w->advance_crank_deg))
        return DIALARC_ERR_NOT_FINITE;
    if (fabs(w->advance_crank_deg) > DARC_LARGEST)
        return DIALARC_ERR_RANGE;
    for (int k = 0; k < 4; k++) {
        if (!isfinite(sd[k]))
            return DIALARC_ERR_NOT_FINITE;
        if (!(k == 0 ? darc_positive(sd[k]) : darc_not_negative(sd[k])))
            return DIALARC_ERR_SD;
    }
    return DIALARC_OK;
}

static dialarc_status check_all(size_t n, size_t least, const dialarc_witness *witness)
{
    if (n < least || n > DIALARC_WITNESSES_MAX)
        return DIALARC_ERR_SIZE;
    if (!witness)
        return DIALARC_ERR_NULL;
    for (size_t i = 0; i < n; i++) {
        dialarc_status status = check_one(&witness[i]);
        if (status != DIALARC_OK)
            return status;
    }
    return DIALARC_OK;
}

/* The covariance of what two share by one cause: the larger error is the smaller and some
 * of its own besides. */
static double shared(double a_sd, double b_sd, bool same)
{
    double least = fmin(a_sd, b_sd);
    return same ? least * least : 0.0;
}

static double covariance(const dialarc_witness *a, const dialarc_witness *b)
{
    bool itself = a == b;
    return shared(a->mark_sd_crank_deg, b->mark_sd_crank_deg,
                  itself || a->mark == b->mark) +
           shared(a->wheel_sd_crank_deg, b->wheel_sd_crank_deg,
                  itself || a->wheel == b->wheel) +
           shared(a->cam_sd_crank_deg, b->cam_sd_crank_deg, itself || a->cam == b->cam);
}

/* The witnesses pooled: what solves and sums with their covariance. */
typedef struct pooled {
    double factor[DIALARC_WITNESSES_MAX * DIALARC_WITNESSES_MAX];
    double weight[DIALARC_WITNESSES_MAX]; /* C^-1 1 */
    double turned[DIALARC_WITNESSES_MAX]; /* C^-1 r */
    double weights, mean, chi_square;
} pooled;

static dialarc_status pool(size_t n, const dialarc_witness *witness, pooled *p)
{
    double c[DIALARC_WITNESSES_MAX * DIALARC_WITNESSES_MAX] = {0.0},
                                     own[DIALARC_WITNESSES_MAX] = {0.0},
                                     away[DIALARC_WITNESSES_MAX];
    for (size_t i = 0; i < n; i++) {
        for (size_t k = i; k < n; k++)
            c[i * DIALARC_WITNESSES_MAX + k] = covariance(&witness[i], &witness[k]);
        own[i] = witness[i].own_sd_crank_deg * witness[i].own_sd_crank_deg;
        p->weight[i] = 1.0;
    }
    if (!darc_cholesky((int)n, DIALARC_WITNESSES_MAX, c, own, p->factor, NULL))
        return DIALARC_ERR_NO_SOLUTION;
    darc_cholesky_solve((int)n, DIALARC_WITNESSES_MAX, p->factor, p->weight);
    p->weights = p->mean = p->chi_square = 0.0;
    double origin = witness[0].advance_crank_deg;
    for (size_t i = 0; i < n; i++) {
        p->weights += p->weight[i];
        p->mean += p->weight[i] * (witness[i].advance_crank_deg - origin);
    }
    if (!(p->weights > 0.0))
        return DIALARC_ERR_NO_SOLUTION;
    p->mean = origin + p->mean / p->weights;
    for (size_t i = 0; i < n; i++)
        p->turned[i] = away[i] = witness[i].advance_crank_deg - p->mean;
    darc_cholesky_solve((int)n, DIALARC_WITNESSES_MAX, p->factor, p->turned);
    for (size_t i = 0; i < n; i++)
        p->chi_square += away[i] * p->turned[i];
    return DIALARC_OK;
}

/* How far one is from the others: a shift of it as an unknown. */
static dialarc_status apart(size_t n, const pooled *p, size_t which, double *off_deg,
                            double *sd_deg)
{
    double unit[DIALARC_WITNESSES_MAX] = {0.0};
    unit[which] = 1.0;
    darc_cholesky_solve((int)n, DIALARC_WITNESSES_MAX, p->factor, unit);
    double left = unit[which] - p->weight[which] * p->weight[which] / p->weights;
    if (!(left > 0.0))
        return DIALARC_ERR_NO_SOLUTION;
    *off_deg = p->turned[which] / left;
    *sd_deg = 1.0 / sqrt(left);
    return DIALARC_OK;
}

dialarc_status dialarc_crosscheck_apart(size_t n, const dialarc_witness *witness,
                                        size_t which, double *off_crank_deg,
                                        double *off_sd_deg)
{
    pooled p;
    double off, sd;
    if (!off_crank_deg || !off_sd_deg)
        return DIALARC_ERR_NULL;
    dialarc_status status = check_all(n, 2, witness);
    if (status == DIALARC_OK && which >= n)
        status = DIALARC_ERR_SIZE;
    if (status == DIALARC_OK)
        status = pool(n, witness, &p);
    if (status == DIALARC_OK)
        status = apart(n, &p, which, &off, &sd);
    if (status == DIALARC_OK) {
        *off_crank_deg = off;
        *off_sd_deg = sd;
    }
    return status;
}

/* Chance of a larger chi-square; 0 where it would underflow. */
static double surely(double chi_square, double dof)
{
    return chi_square > 500.0 + 10.0 * dof ? 0.0
                                           : gsl_cdf_chisq_Q(fmax(chi_square, 0.0), dof);
}

dialarc_status dialarc_crosscheck_assess(size_t n, const dialarc_witness *witness,
                                         dialarc_crosscheck *crosscheck)
{
    pooled p;
    const double nan = (double)NAN;
    dialarc_status status = crosscheck ? check_all(n, 1, witness) : DIALARC_ERR_NULL;
    if (status == DIALARC_OK)
        status = pool(n, witness, &p);
    if (status != DIALARC_OK)
        return status;
    double dof = (double)n - 1.0;
    dialarc_crosscheck c = {.witnesses = n,
                            .advance_crank_deg = p.mean,
                            .sd_crank_deg = 1.0 / sqrt(p.weights),
                            .chi_square = p.chi_square,
                            .dof = dof,
                            .agree_probability = n > 1 ? surely(p.chi_square, dof) : nan,
                            .farthest_crank_deg = nan,
                            .farthest_sd_crank_deg = nan,
                            .farthest_probability = nan};
    c.agree = !isless(c.agree_probability, AGREE);
    double most = -1.0;
    for (size_t i = 0; n > 1 && i < n; i++) {
        double off, sd;
        status = apart(n, &p, i, &off, &sd);
        if (status != DIALARC_OK)
            return status;
        if (fabs(off) / sd > most) {
            most = fabs(off) / sd;
            c.farthest = i;
            c.farthest_crank_deg = off;
            c.farthest_sd_crank_deg = sd;
        }
    }
    if (n > 1) { /* of two there is one difference, not two */
        double one = surely(most * most, 1.0); /* either way */
        c.farthest_probability =
            n == 2 ? one : -expm1((double)n * log1p(-fmin(one, 1.0 - 1e-15)));
    }
    *crosscheck = c;
    return DIALARC_OK;
}
