/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether the reading at the minimum wanders from the beginning of a record to its
 * end. */
#include <gsl/gsl_statistics_double.h>
#include <math.h>

#include "review/review.h"

#define LEAST_GROUP   5 /* readings at the minimum, early and late */
#define MOST_GROUP    12
#define FLAT_SHARE    0.5  /* of the dial's sd: what the angle's error may add */
#define AT_MINIMUM_MM 0.02 /* lift up to which a reading counts as at the minimum */
#define DRIFT_SDS     4.5
#define DRIFT_MM      0.004
#define DRIFT_STOP_MM 0.02               /* comparable with half a service window */
#define MEDIAN_SD     1.2533141373155003 /* of a median over that of a mean */
/* sd over graduation from which rounding averages out */
#define FINE_STEP 0.6

static int at_minimum(const darc_scratch *s, double zero, size_t i)
{
    const darc_noise *e = &s->fit.noise;
    return fabs(s->rows[i].slope) * e->angle_sd_deg < FLAT_SHARE * darc_reading_sd(e) &&
           s->rows[i].mean - zero < AT_MINIMUM_MM;
}

/* Residuals at the minimum, in the order taken, go to s->mean0; returns how many. */
static size_t collect(darc_scratch *s, double zero)
{
    size_t n = 0;
    for (size_t i = 0; i < s->record.n; i++)
        if (at_minimum(s, zero, i))
            s->mean0[n++] = s->record.lift_mm[i] - s->rows[i].mean;
    return n;
}

static size_t last_row(const darc_scratch *s, double zero)
{
    size_t i = s->record.n;
    while (i > 0 && !at_minimum(s, zero, i - 1))
        i--;
    return i > 0 ? s->record.row[i - 1] : DIALARC_NO_ROW;
}

/* sd of one reading: as stated, or as seen within a group where that is larger. */
static double reading_sd(const darc_noise *stated, const double *group, size_t n)
{
    double work[MOST_GROUP];
    return fmax(darc_reading_sd(stated), gsl_stats_mad(group, 1, n, work));
}

void darc_scrutinise_drift(darc_scratch *s, const darc_noise *stated,
                           const darc_answer *answer, dialarc_timing *t)
{
    double zero = answer->mean[DARC_ASK_ZERO];
    size_t n = s->record.sorted ? 0 : collect(s, zero), group = n / 3;
    group = group > MOST_GROUP ? MOST_GROUP : group;
    if (group < LEAST_GROUP)
        return;
    double *first = s->mean0, *last = s->mean0 + n - group;
    double sd = hypot(reading_sd(stated, first, group), reading_sd(stated, last, group));
    double drift =
        fabs(gsl_stats_median(last, 1, group) - gsl_stats_median(first, 1, group));
    double var = MEDIAN_SD * MEDIAN_SD * sd * sd / (double)group;
    if (stated->dial_sd_mm < FINE_STEP * stated->step_mm) /* a group is rounded alike */
        var += 2.0 * stated->step_mm * stated->step_mm / 12.0;
    if (drift > fmax(DRIFT_MM, DRIFT_SDS * sqrt(var)))
        darc_findings_add(&t->findings, DIALARC_FINDING_ZERO_DRIFT,
                          drift > DRIFT_STOP_MM ? DIALARC_SEVERITY_STOP
                                                : DIALARC_SEVERITY_CAUTION,
                          last_row(s, zero));
}
