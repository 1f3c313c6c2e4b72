/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether the lift repeats at the spacing of the lobes that the setup gives. */
#include <gsl/gsl_sort_double.h>
#include <gsl/gsl_statistics_double.h>
#include <math.h>

#include "review/review.h"

/* share of readings at either end that may be misread */
#define OUTLYING 0.04
/* of the span: a crossing runs from below the one ... */
#define LOW_SHARE 0.35
/* ... to above the other */
#define HIGH_SHARE 0.65
/* of the spacing: what lobes and wheel may be out by */
#define MOST_SLIP     0.07
#define POOR_REJECTED 0.2 /* share of readings */
#define POOR_SCATTER  2.0
#define GOOD_SCATTER  1.6
#define BETTER_LOG    30.0
#define FEWEST_LOBES  2
#define MOST_LOBES    12
/* of the lift: sd of the first free term of the cam */
#define SHAPE_SHARE 0.05

/* Spacings between crossings of the middle of the lift in one sense. */
typedef struct spacing {
    double sum;
    int count;
    double last[2]; /* where the lift last crossed, falling and rising */
    int side;       /* -1 low, +1 high, 0 not yet known */
} spacing;

static double middle(const darc_record *r, size_t i)
{
    if (i == 0 || i + 1 >= r->n)
        return r->lift_mm[i];
    double a = r->lift_mm[i - 1], b = r->lift_mm[i], c = r->lift_mm[i + 1];
    return fmax(fmin(a, b), fmin(fmax(a, b), c));
}

/* Side on which three readings on end stand; 0 when they do not, or between the two. */
static int side_of(const darc_record *r, const darc_pass *p, size_t i, double low,
                   double high)
{
    int all = 0;
    for (size_t k = i; k + 3 > i && k >= p->begin && k < p->end; k--) {
        double at = (middle(r, k) - low) / (high - low);
        int side = at < LOW_SHARE ? -1 : at > HIGH_SHARE ? 1 : 0;
        if (side == 0 || side == -all)
            return 0;
        all = side;
    }
    return all;
}

static void cross(spacing *x, int side, double crank)
{
    int rising = side > 0;
    if (x->side == -side) {
        if (isfinite(x->last[rising])) {
            x->sum += fabs(crank - x->last[rising]);
            x->count++;
        }
        x->last[rising] = crank;
    }
    x->side = side;
}

/* Follows one pass; a crossing stands half-way between leaving one side and reaching the
 * other. */
static void spacings(const darc_record *r, const darc_pass *p, double low, double high,
                     spacing *x)
{
    double left = r->crank_deg[p->begin];
    x->last[0] = x->last[1] = NAN;
    x->side = 0;
    for (size_t i = p->begin; i < p->end; i++) {
        int side = side_of(r, p, i, low, high);
        if (side && side != x->side)
            cross(x, side, 0.5 * (left + r->crank_deg[i]));
        if (side)
            left = r->crank_deg[i];
    }
}

static int spacing_fits(darc_scratch *s, double pitch_crank_deg)
{
    const darc_record *r = &s->record;
    spacing x = {0};
    for (size_t i = 0; i < r->n; i++)
        s->mean0[i] = r->lift_mm[i];
    gsl_sort(s->mean0, 1, r->n);
    double low = gsl_stats_quantile_from_sorted_data(s->mean0, 1, r->n, OUTLYING);
    double high = gsl_stats_quantile_from_sorted_data(s->mean0, 1, r->n, 1.0 - OUTLYING);
    for (int k = 0; k < r->passes && high > low; k++)
        spacings(r, &r->pass[k], low, high, &x);
    return x.count == 0 ||
           fabs(x.sum / x.count - pitch_crank_deg) <= MOST_SLIP * pitch_crank_deg;
}

static int poor(const darc_fitness *f)
{
    return f->rejected_share > POOR_REJECTED || !(f->scatter <= POOR_SCATTER) ||
           f->in_a_row >= DARC_SYSTEMATIC;
}

/* Fits a cam of any shape and of another number of lobes. */
static darc_fitness with_lobes(darc_scratch *s, const dialarc_setup *setup,
                               const darc_noise *noise, int lobes)
{
    dialarc_setup other = *setup;
    darc_fit *fit = &s->fit;
    other.lobes = lobes;
    darc_fit_model_init(fit, &other, noise);
    fit->model.learned = 1;
    fit->model.terms = DARC_SHAPE_TERMS;
    darc_model_layout(&fit->model, &s->record);
    darc_fit_prior_basic(fit, &s->record);
    darc_fit_start(fit, &s->record);
    for (int k = 0; k < 2 * DARC_SHAPE_TERMS; k++) {
        double sd = SHAPE_SHARE * fit->param[DARC_LIFT] / (k % DARC_SHAPE_TERMS + 1.0);
        fit->prior.weight[DARC_TERMS + k] = 1.0 / (sd * sd);
    }
    darc_fit_iterate(fit, &s->record, s->rows, s->pulls);
    return darc_fitness_of(s);
}

static int others_fit(darc_scratch *s, const dialarc_setup *setup,
                      const darc_noise *noise, double log_likelihood)
{
    int found = 0;
    s->kept = s->fit;
    for (int lobes = FEWEST_LOBES; lobes <= MOST_LOBES && !found; lobes++) {
        if (lobes == setup->lobes)
            continue;
        darc_fitness f = with_lobes(s, setup, noise, lobes);
        found = !poor(&f) && f.scatter < GOOD_SCATTER &&
                f.log_likelihood > log_likelihood + BETTER_LOG;
    }
    darc_fit_restore(s);
    return found;
}

void darc_scrutinise_lobes(darc_scratch *s, const dialarc_setup *setup,
                           const darc_noise *noise, const darc_fitness *fitness,
                           dialarc_timing *t)
{
    double pitch = s->fit.model.pitch_deg * s->fit.model.crank_per_pump;
    if (!spacing_fits(s, pitch) ||
        (poor(fitness) && others_fit(s, setup, noise, fitness->log_likelihood)))
        darc_findings_add(&t->findings, DIALARC_FINDING_LOBE_COUNT_MISMATCH,
                          DIALARC_SEVERITY_STOP, DIALARC_NO_ROW);
}
