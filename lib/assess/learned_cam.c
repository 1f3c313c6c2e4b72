/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/learned_cam.h>

#include <math.h>
#include <stdlib.h>

#include "assess/assess.h"
#include "assess/workspace.h"

#define MOST_POINTS 100000

struct dialarc_learned_cam {
    darc_learned learned;
    dialarc_timing timing;
    double with_share, against_share; /* of a lobe pitch that the sweep has shown */
};

/* Pump degrees that a pass has gone through at least, whatever slack it took up. */
static double way_of(const darc_record *r, const darc_pass *p, double slack_crank_deg,
                     double crank_per_pump)
{
    double low = r->crank_deg[p->begin], high = low;
    for (size_t i = p->begin; i < p->end; i++) {
        low = fmin(low, r->crank_deg[i]);
        high = fmax(high, r->crank_deg[i]);
    }
    return (high - low - slack_crank_deg) / crank_per_pump;
}

static void count_shares(const darc_record *record, dialarc_learned_cam *cam)
{
    const darc_model *model = &cam->learned.model;
    double slack = cam->timing.slack_crank_deg;
    for (int k = 0; k < record->passes; k++) {
        const darc_pass *p = &record->pass[k];
        double way =
            way_of(record, p, isfinite(slack) ? slack : 0.0, model->crank_per_pump) /
            model->pitch_deg;
        double *share = p->direction > 0 ? &cam->with_share : &cam->against_share;
        *share = fmin(fmax(*share, way), 1.0);
    }
}

dialarc_status dialarc_learned_cam_new(dialarc_workspace *workspace,
                                       const dialarc_setup *setup,
                                       const dialarc_sweep *sweep,
                                       dialarc_learned_cam **cam)
{
    darc_problem problem;
    dialarc_timing timing;
    if (!workspace || !setup || !sweep || !cam)
        return DIALARC_ERR_NULL;
    darc_memory *memory = &workspace->memory;
    dialarc_status status = darc_memory_open(memory, setup, NULL, 0.0, sweep, &problem);
    if (status != DIALARC_OK)
        return status;
    status = darc_assess_timing(&problem, memory, NULL, &timing);
    const darc_learned *learned = memory->fit.at.learned;
    if (!timing.cam_learned || learned->count == 0)
        return DIALARC_ERR_NO_SOLUTION;
    dialarc_learned_cam *made = calloc(1, sizeof *made);
    if (!made)
        return DIALARC_ERR_NO_MEMORY;
    made->learned = *learned;
    made->timing = timing;
    count_shares(&problem.record, made);
    *cam = made;
    return status;
}

dialarc_status dialarc_learned_cam_timing(const dialarc_learned_cam *cam,
                                          dialarc_timing *timing)
{
    if (!cam || !timing)
        return DIALARC_ERR_NULL;
    *timing = cam->timing;
    return DIALARC_OK;
}

void dialarc_learned_cam_free(dialarc_learned_cam *cam)
{
    free(cam);
}

dialarc_status dialarc_learned_cam_lobe(const dialarc_learned_cam *cam, size_t n,
                                        double *pump_deg, double *lift_mm)
{
    if (!cam || !pump_deg || !lift_mm)
        return DIALARC_ERR_NULL;
    if (n < DIALARC_LEARNED_CAM_MIN || n > MOST_POINTS)
        return DIALARC_ERR_SIZE;
    double step = cam->learned.model.pitch_deg / (double)n;
    for (size_t k = 0; k < n; k++)
        pump_deg[k] = (double)k * step;
    darc_learned_lifts(&cam->learned, step, (int)n, lift_mm);
    return DIALARC_OK;
}

dialarc_status dialarc_learned_cam_table(const dialarc_learned_cam *cam,
                                         dialarc_camtable **table)
{
    double pump_deg[DIALARC_LEARNED_CAM_POINTS], lift_mm[DIALARC_LEARNED_CAM_POINTS];
    const size_t n = DIALARC_LEARNED_CAM_POINTS;
    if (!cam || !table)
        return DIALARC_ERR_NULL;
    dialarc_status status = dialarc_learned_cam_lobe(cam, n, pump_deg, lift_mm);
    return status == DIALARC_OK
               ? dialarc_camtable_new(n, pump_deg, lift_mm, cam->learned.model.pitch_deg,
                                      table)
               : status;
}

dialarc_status dialarc_learned_cam_share(const dialarc_learned_cam *cam,
                                         double *with_share, double *against_share)
{
    if (!cam || !with_share || !against_share)
        return DIALARC_ERR_NULL;
    *with_share = cam->with_share;
    *against_share = cam->against_share;
    return DIALARC_OK;
}

dialarc_status dialarc_learned_cam_sd(const dialarc_learned_cam *cam, double *cam_sd_mm)
{
    if (!cam || !cam_sd_mm)
        return DIALARC_ERR_NULL;
    const dialarc_budget *b = &cam->timing.budget;
    double sd = hypot(hypot(b->readings_mm, b->hysteresis_mm), b->cam_mm);
    sd = hypot(sd, hypot(b->dial_mm, b->wheel_mm));
    if (!isfinite(sd))
        return DIALARC_ERR_NO_SOLUTION;
    *cam_sd_mm = sd;
    return DIALARC_OK;
}
