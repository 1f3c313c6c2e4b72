/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/timing.h"

#include <math.h>
#include <string.h>

#include "core/normal.h"

/* A slack known no better than this is what the estimator assumed, not what it saw. */
#define SLACK_SEEN_SD_DEG 2.0

void darc_timing_clear(dialarc_timing *t)
{
    memset(t, 0, sizeof *t);
    double *field[] = {&t->lift_mm,
                       &t->lift_u_mm,
                       &t->budget.readings_mm,
                       &t->budget.tdc_mm,
                       &t->budget.hysteresis_mm,
                       &t->budget.cam_mm,
                       &t->budget.total_mm,
                       &t->minimum_mm,
                       &t->minimum_u_mm,
                       &t->minimum_crank_deg,
                       &t->minimum_u_crank_deg,
                       &t->slack_crank_deg,
                       &t->slack_u_crank_deg,
                       &t->dial_hysteresis_mm,
                       &t->dial_hysteresis_u_mm,
                       &t->rate_mm_per_crank_deg,
                       &t->total_lift_mm,
                       &t->rise_pump_deg,
                       &t->law_probability,
                       &t->scatter};
    for (size_t k = 0; k < sizeof field / sizeof field[0]; k++)
        *field[k] = DIALARC_UNKNOWN;
    for (int k = 0; k <= DIALARC_RISE_INTERVALS; k++)
        t->rise_mm[k] = DIALARC_UNKNOWN;
    for (int k = 0; k < DIALARC_FINDING_COUNT; k++)
        t->findings.row[k] = DIALARC_NO_ROW;
}

void darc_timing_tell(const darc_estimate *a, const darc_noise *e, double inflate,
                      double sense, dialarc_timing *t)
{
    const double k = DARC_NORMAL_975;
    t->lift_mm = a->mean[DARC_ASK_LIFT];
    t->rate_mm_per_crank_deg = a->mean[DARC_ASK_RATE];
    t->budget.readings_mm = sqrt(inflate * a->var_readings);
    t->budget.hysteresis_mm = sqrt(a->var_hysteresis);
    t->budget.cam_mm = sqrt(inflate * a->var_cam);
    t->budget.tdc_mm = fabs(t->rate_mm_per_crank_deg) * e->tdc_sd_deg;
    t->budget.total_mm = sqrt(inflate * (a->var_readings + a->var_cam) +
                              a->var_hysteresis + t->budget.tdc_mm * t->budget.tdc_mm);
    t->lift_u_mm = k * t->budget.total_mm;
    t->minimum_mm = sense * a->mean[DARC_ASK_ZERO]; /* as the dial shows it */
    t->minimum_u_mm = k * sqrt(inflate * a->var[DARC_ASK_ZERO]);
    t->minimum_crank_deg = a->mean[DARC_ASK_FOOT];
    t->minimum_u_crank_deg =
        k * sqrt(inflate * a->var[DARC_ASK_FOOT] + e->tdc_sd_deg * e->tdc_sd_deg);
    if (a->var[DARC_ASK_SLACK] < SLACK_SEEN_SD_DEG * SLACK_SEEN_SD_DEG) {
        t->slack_crank_deg = fmax(a->mean[DARC_ASK_SLACK], 0.0);
        t->slack_u_crank_deg = k * sqrt(inflate * a->var[DARC_ASK_SLACK]);
    }
    t->dial_hysteresis_mm = fmin(fmax(a->mean[DARC_ASK_HYST], 0.0), e->hysteresis_max_mm);
    t->dial_hysteresis_u_mm = k * sqrt(a->var[DARC_ASK_HYST]);
    t->total_lift_mm = a->mean[DARC_ASK_TOTAL];
    t->rise_pump_deg = a->mean[DARC_ASK_RISE];
    memcpy(t->rise_mm, a->rise_mm, sizeof t->rise_mm);
    t->law = a->law;
    t->law_probability = a->law_probability;
}
