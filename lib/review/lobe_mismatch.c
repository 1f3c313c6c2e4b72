/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/lobe_mismatch.h"

#include <gsl/gsl_sort_double.h>
#include <gsl/gsl_statistics_double.h>
#include <math.h>

#include "core/finding.h"
#include "estimate/look.h"

#define OUTLYING 0.04 /* share of readings at either end that may be misread */
/* Of the span: a crossing runs from below the one to above the other. */
#define LOW_SHARE     0.35
#define HIGH_SHARE    0.65
#define MOST_SLIP     0.07 /* of the spacing: what lobes and wheel may be out by */
#define POOR_REJECTED 0.2  /* share of readings */
#define POOR_SCATTER  2.0
#define GOOD_SCATTER  1.6
#define MUCH_BETTER   30.0 /* gain in log likelihood that proves another count */
#define FEWEST_LOBES  2

/* Spacings between crossings of the middle of the lift in one sense. */
typedef struct spacing {
    double sum;
    int count;
    double last[2]; /* where the lift last crossed, falling and rising */
    int side;       /* -1 low, +1 high, 0 not yet known */
} spacing;

/* Side on which three readings in a row stand; 0 when they do not, or between the two. */
static int side_of(const darc_record *r, const darc_pass *p, size_t i, double low,
                   double high)
{
    int all = 0;
    for (size_t k = i; k + 3 > i && k >= p->begin && k < p->end; k--) {
        double at = (darc_record_middle(r, k) - low) / (high - low);
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

static bool spacing_fits(const darc_record *r, double pitch_crank_deg, double *sorted_mm)
{
    spacing x = {0};
    for (size_t i = 0; i < r->n; i++)
        sorted_mm[i] = r->lift_mm[i];
    gsl_sort(sorted_mm, 1, r->n);
    double low = gsl_stats_quantile_from_sorted_data(sorted_mm, 1, r->n, OUTLYING);
    double high = gsl_stats_quantile_from_sorted_data(sorted_mm, 1, r->n, 1.0 - OUTLYING);
    for (int k = 0; k < r->passes && high > low; k++)
        spacings(r, &r->pass[k], low, high, &x);
    return x.count == 0 ||
           fabs(x.sum / x.count - pitch_crank_deg) <= MOST_SLIP * pitch_crank_deg;
}

static bool is_poor(const darc_goodness *g, size_t readings)
{
    return (double)g->rejected / (double)readings > POOR_REJECTED ||
           !(g->scatter <= POOR_SCATTER) || g->in_a_row >= DARC_SYSTEMATIC;
}

/* Whether a cam of any shape and of another number of lobes is much likelier. */
static bool others_fit(const darc_problem *problem, double log_likelihood, darc_fit *fit)
{
    darc_problem other = *problem;
    for (int lobes = FEWEST_LOBES; lobes <= DIALARC_LOBES_MAX; lobes++) {
        if (lobes == problem->known.lobes)
            continue;
        other.known.lobes = lobes;
        darc_fit_look(fit, &other);
        darc_goodness g = darc_goodness_of(fit, &problem->record);
        if (!is_poor(&g, problem->record.n) && g.scatter < GOOD_SCATTER &&
            g.log_likelihood > log_likelihood + MUCH_BETTER)
            return true;
    }
    return false;
}

void darc_check_lobes(const darc_problem *problem, const darc_goodness *goodness,
                      darc_fit *spare, double *sample_mm, dialarc_timing *t)
{
    double pitch = 360.0 / problem->known.lobes * problem->known.crank_per_pump;
    if (!spacing_fits(&problem->record, pitch, sample_mm) ||
        (is_poor(goodness, problem->record.n) &&
         others_fit(problem, goodness->log_likelihood, spare)))
        darc_findings_add(&t->findings, DIALARC_FINDING_LOBE_COUNT_MISMATCH,
                          DIALARC_SEVERITY_STOP, DIALARC_NO_ROW);
}
