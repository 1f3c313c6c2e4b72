/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/reuse.h>

#include <math.h>

#include "assess/workspace.h"
#include "estimate/law_average.h"

#define MOST_POINTS 100000

dialarc_status dialarc_reuse_lobe(const dialarc_workspace *workspace, size_t n,
                                  double *pump_deg, double *lift_mm)
{
    if (!workspace || !pump_deg || !lift_mm)
        return DIALARC_ERR_NULL;
    if (n < DIALARC_REUSE_MIN || n > MOST_POINTS)
        return DIALARC_ERR_SIZE;
    const darc_scratch *s = &workspace->scratch;
    if (s->explanations < 1)
        return DIALARC_ERR_NO_SOLUTION;
    double step = s->fit.model.pitch_deg / (double)n;
    for (size_t k = 0; k < n; k++)
        pump_deg[k] = (double)k * step;
    darc_explanation_lifts(&s->fit.model, s->learned, s->explanations, s->foot_deg, step,
                           (int)n, lift_mm);
    return DIALARC_OK;
}

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

dialarc_status dialarc_reuse_share(const dialarc_workspace *workspace,
                                   const dialarc_timing *timing, double *with_share,
                                   double *against_share)
{
    if (!workspace || !timing || !with_share || !against_share)
        return DIALARC_ERR_NULL;
    const darc_scratch *s = &workspace->scratch;
    if (s->explanations < 1)
        return DIALARC_ERR_NO_SOLUTION;
    double with = 0.0, against = 0.0, pitch = s->fit.model.pitch_deg;
    double slack = isfinite(timing->slack_crank_deg) ? timing->slack_crank_deg : 0.0;
    for (int k = 0; k < s->record.passes; k++) {
        const darc_pass *p = &s->record.pass[k];
        double way = way_of(&s->record, p, slack, s->fit.model.crank_per_pump) / pitch;
        double *share = p->direction > 0 ? &with : &against;
        *share = fmin(fmax(*share, way), 1.0);
    }
    *with_share = with;
    *against_share = against;
    return DIALARC_OK;
}

dialarc_status dialarc_reuse_sd(const dialarc_timing *timing, double *cam_sd_mm)
{
    if (!timing || !cam_sd_mm)
        return DIALARC_ERR_NULL;
    const dialarc_budget *b = &timing->budget;
    if (!timing->cam_learned || !isfinite(b->readings_mm) ||
        !isfinite(b->hysteresis_mm) || !isfinite(b->cam_mm))
        return DIALARC_ERR_NO_SOLUTION;
    if (b->readings_mm < 0.0 || b->hysteresis_mm < 0.0 || b->cam_mm < 0.0)
        return DIALARC_ERR_SD;
    *cam_sd_mm = hypot(hypot(b->readings_mm, b->hysteresis_mm), b->cam_mm);
    return DIALARC_OK;
}

dialarc_status dialarc_reuse_estimate(dialarc_workspace *workspace,
                                      const dialarc_setup *setup,
                                      const dialarc_camtable *cam, double cam_sd_mm,
                                      const dialarc_sweep *sweep, double *residual_mm,
                                      dialarc_timing *timing)
{
    double period, low, high;
    if (!cam || !setup)
        return DIALARC_ERR_NULL;
    if (!isfinite(cam_sd_mm))
        return DIALARC_ERR_NOT_FINITE;
    if (cam_sd_mm < 0.0)
        return DIALARC_ERR_SD;
    dialarc_status status = dialarc_setup_check(setup);
    if (status == DIALARC_OK)
        status = dialarc_camtable_range(cam, &period, &low, &high);
    if (status != DIALARC_OK)
        return status;
    if (fabs(period * setup->lobes - 360.0) > 1e-6)
        return DIALARC_ERR_SEGMENTS;
    if (!(high > low))
        return DIALARC_ERR_LIFT;
    return darc_timing_run(workspace, setup, cam, cam_sd_mm, sweep, residual_mm, timing);
}
