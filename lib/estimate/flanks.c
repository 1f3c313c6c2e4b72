/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/flanks.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#include "numeric/cholesky.h"

enum {
    TERMS = DARC_SHAPE_TERMS,
    RISE_TERMS = DARC_TERMS,
    FALL_TERMS = DARC_TERMS + TERMS
};

/* Entry k, l of the normal matrix, of which only the upper triangle is held. */
static double normal_at(const darc_system *s, int k, int l)
{
    return s->normal[(k < l ? k : l) * (ptrdiff_t)s->stride + (k < l ? l : k)];
}

static bool meet(const darc_system *s)
{
    for (int k = 0; k < TERMS; k++)
        for (int l = 0; l < TERMS; l++)
            if (normal_at(s, RISE_TERMS + k, FALL_TERMS + l) != 0.0)
                return true;
    return false;
}

bool darc_head_open(const darc_system *s, darc_head *h)
{
    if (meet(s))
        return false;
    h->n = 0;
    for (int k = 0; k < s->n; k++)
        if (k < RISE_TERMS || k >= FALL_TERMS + TERMS)
            h->at[h->n++] = k;
    for (int i = 0; i < h->n; i++) {
        h->slope[i] = s->slope[h->at[i]];
        h->weight[i] = s->weight[h->at[i]];
        for (int j = i; j < h->n; j++)
            h->normal[i][j] = normal_at(s, h->at[i], h->at[j]);
    }
    return true;
}

/* Solves factor' R = N for all columns of the head at once. */
static void reach_out(int n, darc_flank *f)
{
    for (int k = 0; k < TERMS; k++) {
        double per = 1.0 / f->factor[k][k];
        for (int j = 0; j < n; j++)
            f->reach[k][j] *= per;
        for (int l = k + 1; l < TERMS; l++)
            darc_add_row(n, -f->factor[k][l], f->reach[k], f->reach[l]);
    }
}

bool darc_flank_take(const darc_system *s, const darc_head *h, int first, darc_flank *f)
{
    double own[TERMS][TERMS], log_det, gain = 0.0;
    for (int k = 0; k < TERMS; k++) {
        for (int l = k; l < TERMS; l++)
            own[k][l] = normal_at(s, first + k, first + l);
        for (int j = 0; j < h->n; j++)
            f->reach[k][j] = normal_at(s, first + k, h->at[j]);
        f->lean[k] = s->slope[first + k];
    }
    if (!darc_cholesky(TERMS, TERMS, own[0], s->weight + first, f->factor[0], &log_det))
        return false;
    darc_cholesky_forward(TERMS, TERMS, f->factor[0], f->lean);
    reach_out(h->n, f);
    memset(f->pull, 0, sizeof f->pull);
    memset(f->shade, 0, (size_t)h->n * sizeof f->shade[0]);
    for (int k = 0; k < TERMS; k++) {
        gain += f->lean[k] * f->lean[k];
        darc_add_row(h->n, f->lean[k], f->reach[k], f->pull);
        for (int j = 0; j < h->n; j++)
            darc_add_row(h->n - j, f->reach[k][j], f->reach[k] + j, f->shade[j] + j);
    }
    f->gain = 0.5 * (gain - log_det);
    return true;
}

double darc_head_take(darc_head *h, const darc_flank *rise, const darc_flank *fall)
{
    double left[DARC_HEAD][DARC_HEAD], log_det, gain = 0.0;
    h->rise = rise;
    h->fall = fall;
    for (int i = 0; i < h->n; i++) {
        h->lean[i] = h->slope[i] - rise->pull[i] - fall->pull[i];
        for (int j = i; j < h->n; j++)
            left[i][j] = h->normal[i][j] - rise->shade[i][j] - fall->shade[i][j];
    }
    if (!darc_cholesky(h->n, DARC_HEAD, left[0], h->weight, h->factor[0], &log_det))
        return -INFINITY;
    darc_cholesky_forward(h->n, DARC_HEAD, h->factor[0], h->lean);
    for (int i = 0; i < h->n; i++)
        gain += h->lean[i] * h->lean[i];
    return rise->gain + fall->gain + 0.5 * (gain - log_det);
}

/* The step of a flank's terms, where the head takes `head_step`. */
static void flank_step(const darc_head *h, const darc_flank *f, const double *head_step,
                       double *step)
{
    for (int k = 0; k < TERMS; k++) {
        step[k] = f->lean[k];
        for (int j = 0; j < h->n; j++)
            step[k] -= f->reach[k][j] * head_step[j];
    }
    darc_cholesky_back(TERMS, TERMS, f->factor[0], step);
}

void darc_head_step(const darc_head *h, double *step)
{
    double own[DARC_HEAD];
    memcpy(own, h->lean, (size_t)h->n * sizeof own[0]);
    darc_cholesky_back(h->n, DARC_HEAD, h->factor[0], own);
    flank_step(h, h->rise, own, step + RISE_TERMS);
    flank_step(h, h->fall, own, step + FALL_TERMS);
    for (int j = 0; j < h->n; j++)
        step[h->at[j]] = own[j];
}

/* What a flank's terms, which may have no part in it, take off the head's gradient `own`;
 * returns what they add to the variance. */
static double flank_variance(const darc_head *h, const darc_flank *f,
                             const double *gradient, double *own)
{
    double v[TERMS], sum = 0.0, size = 0.0;
    for (int k = 0; k < TERMS; k++)
        size += fabs(v[k] = gradient[k]);
    if (size == 0.0)
        return 0.0;
    darc_cholesky_forward(TERMS, TERMS, f->factor[0], v);
    for (int k = 0; k < TERMS; k++) {
        sum += v[k] * v[k];
        darc_add_row(h->n, -v[k], f->reach[k], own);
    }
    return sum;
}

double darc_head_variance(const darc_head *h, const double *gradient)
{
    double own[DARC_HEAD], sum;
    for (int j = 0; j < h->n; j++)
        own[j] = gradient[h->at[j]];
    sum = flank_variance(h, h->rise, gradient + RISE_TERMS, own);
    sum += flank_variance(h, h->fall, gradient + FALL_TERMS, own);
    darc_cholesky_forward(h->n, DARC_HEAD, h->factor[0], own);
    for (int j = 0; j < h->n; j++)
        sum += own[j] * own[j];
    return sum;
}
