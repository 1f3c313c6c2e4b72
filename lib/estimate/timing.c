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
                       &t->lift_crank_deg,
                       &t->budget.readings_mm,
                       &t->budget.tdc_mm,
                       &t->budget.hysteresis_mm,
                       &t->budget.cam_mm,
                       &t->budget.dial_mm,
                       &t->budget.wheel_mm,
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

void darc_timing_tell(const darc_estimate *e, const darc_known *known,
                      const darc_noise *noise, double inflate, dialarc_timing *t)
{
    const double k = DARC_NORMAL_975;
    t->lift_mm = e->mean[DARC_ASK_LIFT];
    t->lift_crank_deg = known->window_crank_deg;
    t->rate_mm_per_crank_deg = e->mean[DARC_ASK_RATE];
    t->budget.readings_mm = sqrt(inflate * e->var_readings);
    t->budget.hysteresis_mm = sqrt(e->var_hysteresis);
    t->budget.cam_mm = sqrt(inflate * e->var_cam);
    t->budget.dial_mm = sqrt(e->var_dial);
    t->budget.wheel_mm = sqrt(e->var_wheel);
    t->budget.tdc_mm = fabs(t->rate_mm_per_crank_deg) * noise->tdc_sd_deg;
    t->budget.total_mm =
        sqrt(inflate * (e->var_readings + e->var_cam) + e->var_hysteresis +
             t->budget.tdc_mm * t->budget.tdc_mm + e->var_dial + e->var_wheel);
    t->lift_u_mm = k * t->budget.total_mm;
    t->minimum_mm = darc_shown(&known->dial, e->mean[DARC_ASK_ZERO]);
    t->minimum_u_mm = k * sqrt(inflate * e->var[DARC_ASK_ZERO]);
    t->minimum_crank_deg = e->mean[DARC_ASK_FOOT] + known->window_crank_deg;
    t->minimum_u_crank_deg =
        k * sqrt(inflate * e->var[DARC_ASK_FOOT] + noise->tdc_sd_deg * noise->tdc_sd_deg);
    if (e->var[DARC_ASK_SLACK] < SLACK_SEEN_SD_DEG * SLACK_SEEN_SD_DEG) {
        t->slack_crank_deg = fmax(e->mean[DARC_ASK_SLACK], 0.0);
        t->slack_u_crank_deg = k * sqrt(inflate * e->var[DARC_ASK_SLACK]);
    }
    t->dial_hysteresis_mm = fmax(e->mean[DARC_ASK_HYST], 0.0);
    t->dial_hysteresis_u_mm = k * sqrt(e->var[DARC_ASK_HYST]);
    t->total_lift_mm = e->mean[DARC_ASK_TOTAL];
    t->rise_pump_deg = e->mean[DARC_ASK_RISE];
    memcpy(t->rise_mm, e->rise_mm, sizeof t->rise_mm);
    t->law = e->law;
    t->law_probability = e->law_probability;
}
