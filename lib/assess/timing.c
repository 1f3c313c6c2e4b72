/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/timing.h>

#include <float.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "assess/workspace.h"
#include "core/assumed.h"
#include "estimate/fit.h"
#include "review/review.h"

#define DEFAULT_ANGLE_SD_DEG 0.25 /* common practice, no source */

/* A slack known no better than this is what the estimator assumed, not what it saw. */
#define SLACK_SEEN_SD_DEG 2.0

#define COVERAGE_FACTOR 1.959963984540054 /* 95 % of the normal distribution */

dialarc_workspace *dialarc_workspace_new(void)
{
    return calloc(1, sizeof(dialarc_workspace));
}

static void release(darc_scratch *s)
{
    free(s->record.crank_deg);
    free(s->record.lift_mm);
    free(s->record.row);
    free(s->rows);
    free(s->tried);
    free(s->pulls);
    free(s->mean0);
    memset(s, 0, sizeof *s);
}

void dialarc_workspace_free(dialarc_workspace *workspace)
{
    if (workspace)
        release(&workspace->scratch);
    free(workspace);
}

dialarc_status darc_scratch_reserve(darc_scratch *s, size_t n)
{
    if (n <= s->capacity)
        return DIALARC_OK;
    size_t room = 64;
    while (room < n)
        room *= 2;
    release(s);
    s->record.crank_deg = malloc(room * sizeof *s->record.crank_deg);
    s->record.lift_mm = malloc(room * sizeof *s->record.lift_mm);
    s->record.row = malloc(room * sizeof *s->record.row);
    s->rows = malloc(room * sizeof *s->rows);
    s->tried = malloc(room * sizeof *s->tried);
    s->pulls = malloc(room * sizeof *s->pulls);
    s->mean0 = malloc(room * sizeof *s->mean0);
    if (!s->record.crank_deg || !s->record.lift_mm || !s->record.row || !s->rows ||
        !s->tried || !s->pulls || !s->mean0) {
        release(s);
        return DIALARC_ERR_NO_MEMORY;
    }
    s->capacity = room;
    return DIALARC_OK;
}

/* Coarsest of the usual graduations that all readings lie on; 0 when none. */
static double graduation(size_t n, const double *dial_mm)
{
    static const double usual[] = {0.0254, 0.0127, 0.01, 0.005, 0.00254, 0.002, 0.001};
    for (size_t k = 0; k < sizeof usual / sizeof usual[0] && n >= 8; k++) {
        size_t on = 0;
        while (on < n &&
               fabs(dial_mm[on] / usual[k] - round(dial_mm[on] / usual[k])) < 1e-3)
            on++;
        if (on == n)
            return usual[k];
    }
    return 0.0;
}

darc_noise darc_noise_of(const dialarc_setup *setup, const dialarc_sweep *sweep)
{
    darc_noise e;
    e.angle_sd_deg = darc_known_or(setup->angle_sd_deg, DEFAULT_ANGLE_SD_DEG);
    e.tdc_sd_deg = darc_known_or(setup->tdc_sd_deg, DARC_ASSUMED_TDC_SD_DEG);
    e.dial_sd_mm = fmax(darc_known_or(setup->dial_sd_mm, DARC_ASSUMED_DIAL_SD_MM), 1e-5);
    e.step_mm = isnan(setup->dial_step_mm) ? graduation(sweep->n, sweep->dial_mm)
                                           : setup->dial_step_mm;
    e.turn_mm = darc_known_or(setup->dial_turn_mm, DARC_ASSUMED_DIAL_TURN_MM);
    e.hysteresis_max_mm =
        darc_known_or(setup->dial_hysteresis_mm, DARC_ASSUMED_HYSTERESIS_MM);
    return e;
}

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

/* Variances in the answer are those of the stated errors; `inflate` is the square of what
 * the readings show beyond them. */
static void report(const darc_answer *a, const darc_noise *e, double inflate,
                   double sense, dialarc_timing *t)
{
    double k = COVERAGE_FACTOR;
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

dialarc_status darc_timing_run(dialarc_workspace *workspace, const dialarc_setup *setup,
                               const dialarc_camtable *table, double cam_sd_mm,
                               const dialarc_sweep *sweep, double *residual_mm,
                               dialarc_timing *timing)
{
    if (!workspace || !setup || !sweep || !timing)
        return DIALARC_ERR_NULL;
    dialarc_status status = dialarc_setup_check(setup);
    if (status != DIALARC_OK)
        return status;
    if (sweep->n > DIALARC_SWEEP_MAX)
        return DIALARC_ERR_SIZE;
    darc_scratch *s = &workspace->scratch;
    status = darc_scratch_reserve(s, sweep->n);
    if (status != DIALARC_OK)
        return status;
    darc_noise noise = darc_noise_of(setup, sweep);
    status = darc_record_fill(sweep, setup, noise.angle_sd_deg, &s->record);
    if (status != DIALARC_OK)
        return status;

    dialarc_timing t;
    darc_timing_clear(&t);
    darc_answer answer;
    s->table = table;
    s->explanations = 0;
    if (!darc_scrutinise_record(s, setup, &noise, &t)) {
        *timing = t;
        return DIALARC_OK;
    }
    double inflate = darc_scrutinised_fit(s, setup, &noise, &answer, &t);
    if (!t.cam_learned)
        answer.var_cam += cam_sd_mm * cam_sd_mm;
    double sense = setup->dial_sense < 0 ? -1.0 : 1.0;
    if (darc_answer_is_sensible(&answer))
        report(&answer, &noise, inflate, sense, &t);
    for (size_t i = 0; residual_mm && i < s->record.n; i++)
        residual_mm[s->record.row[i]] = sense * (s->record.lift_mm[i] - s->rows[i].mean);
    *timing = t;
    return answer.converged ? DIALARC_OK : DIALARC_NOT_CONVERGED;
}

dialarc_status dialarc_timing_estimate(dialarc_workspace *workspace,
                                       const dialarc_setup *setup,
                                       const dialarc_sweep *sweep, double *residual_mm,
                                       dialarc_timing *timing)
{
    return darc_timing_run(workspace, setup, NULL, 0.0, sweep, residual_mm, timing);
}
