/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/zero_drift.h"

#include <gsl/gsl_statistics_double.h>
#include <math.h>

#include "core/finding.h"

#define LEAST_GROUP   5 /* readings at the minimum, early and late */
#define MOST_GROUP    12
#define FLAT_SHARE    0.5  /* of the dial's sd: what the angle's error may add */
#define AT_MINIMUM_MM 0.02 /* lift up to which a reading counts as at the minimum */
#define DRIFT_SDS     4.5
#define DRIFT_MM      0.004
#define DRIFT_STOP_MM 0.02               /* comparable with half a service window */
#define MEDIAN_SD     1.2533141373155003 /* of a median over that of a mean */

static bool at_minimum(const darc_fit *fit, const darc_noise *e, double zero, size_t i)
{
    const darc_row *row = &fit->at.rows[i];
    return fabs(row->slope) * e->angle_sd_deg < FLAT_SHARE * darc_reading_sd(e) &&
           row->mean - zero < AT_MINIMUM_MM;
}

/* Residuals at the minimum, in the order taken; returns how many. */
static size_t collect(const darc_record *record, const darc_fit *fit,
                      const darc_noise *stated, double zero, double *residual_mm)
{
    size_t n = 0;
    for (size_t i = 0; i < record->n; i++)
        if (at_minimum(fit, stated, zero, i))
            residual_mm[n++] = record->lift_mm[i] - fit->at.rows[i].mean;
    return n;
}

static size_t last_row(const darc_record *record, const darc_fit *fit,
                       const darc_noise *stated, double zero)
{
    size_t i = record->n;
    while (i > 0 && !at_minimum(fit, stated, zero, i - 1))
        i--;
    return i > 0 ? record->row[i - 1] : DIALARC_NO_ROW;
}

/* sd of one reading: as stated, or as seen within a group where that is larger. */
static double seen_sd(const darc_noise *stated, const double *group, size_t n)
{
    double work[MOST_GROUP];
    return fmax(darc_reading_sd(stated), gsl_stats_mad(group, 1, n, work));
}

void darc_check_zero_drift(const darc_problem *problem, const darc_fit *fit,
                           const darc_estimate *estimate, double *sample_mm,
                           dialarc_timing *t)
{
    const darc_record *record = &problem->record;
    const darc_noise *stated = &problem->noise;
    double zero = estimate->mean[DARC_ASK_ZERO];
    size_t n = record->sorted ? 0 : collect(record, fit, stated, zero, sample_mm),
           group = n / 3;
    group = group > MOST_GROUP ? MOST_GROUP : group;
    if (group < LEAST_GROUP)
        return;
    double *first = sample_mm, *last = sample_mm + n - group;
    double sd = hypot(seen_sd(stated, first, group), seen_sd(stated, last, group));
    double drift =
        fabs(gsl_stats_median(last, 1, group) - gsl_stats_median(first, 1, group));
    double var = MEDIAN_SD * MEDIAN_SD * sd * sd / (double)group;
    if (darc_is_interval(stated->dial_sd_mm,
                         stated->step_mm)) /* a group is rounded alike */
        var += 2.0 * stated->step_mm * stated->step_mm / 12.0;
    if (drift > fmax(DRIFT_MM, DRIFT_SDS * sqrt(var)))
        darc_findings_add(&t->findings, DIALARC_FINDING_ZERO_DRIFT,
                          drift > DRIFT_STOP_MM ? DIALARC_SEVERITY_STOP
                                                : DIALARC_SEVERITY_CAUTION,
                          last_row(record, fit, stated, zero));
}
