/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/drive.h>

#include <math.h>

#include "core/finite.h"

static dialarc_status check_stage(const dialarc_stage *s)
{
    if (!isfinite(s->pitch_mm) || !isfinite(s->play_mm) || !isfinite(s->stretch_mm))
        return DIALARC_ERR_NOT_FINITE;
    if (s->driving_teeth < 1 || s->driven_teeth < 1)
        return DIALARC_ERR_TEETH;
    if (s->reverses != 0 && s->reverses != 1)
        return DIALARC_ERR_DIRECTION;
    if (!darc_positive(s->pitch_mm))
        return DIALARC_ERR_LENGTH;
    if (s->play_mm > DARC_LARGEST || s->stretch_mm > DARC_LARGEST)
        return DIALARC_ERR_RANGE;
    return darc_not_negative(s->play_mm) && darc_not_negative(s->stretch_mm)
               ? DIALARC_OK
               : DIALARC_ERR_SLACK;
}

dialarc_status dialarc_drive_check(size_t n, const dialarc_stage *stage)
{
    if (!stage)
        return DIALARC_ERR_NULL;
    if (n < 1 || n > DIALARC_STAGES_MAX)
        return DIALARC_ERR_SIZE;
    dialarc_status status = DIALARC_OK;
    for (size_t i = 0; i < n && status == DIALARC_OK; i++)
        status = check_stage(&stage[i]);
    return status;
}

/* Turns of the first of these stages' driving wheel per turn of the last's driven one. */
static double turns(size_t n, const dialarc_stage *stage)
{
    double driven = 1.0, driving = 1.0; /* whole numbers: exact for any real drive */
    for (size_t i = 0; i < n; i++) {
        driven *= stage[i].driven_teeth;
        driving *= stage[i].driving_teeth;
    }
    return driven / driving;
}

/* Crank degrees of one tooth of a stage. */
static double tooth(const dialarc_stage *stage, size_t which)
{
    return 360.0 * turns(which, stage) / stage[which].driving_teeth;
}

dialarc_status dialarc_drive_ratio(size_t n, const dialarc_stage *stage,
                                   double *crank_per_pump, int *sense)
{
    if (!crank_per_pump || !sense)
        return DIALARC_ERR_NULL;
    dialarc_status status = dialarc_drive_check(n, stage);
    if (status != DIALARC_OK)
        return status;
    int turned = 1;
    for (size_t i = 0; i < n; i++)
        turned = stage[i].reverses ? -turned : turned;
    *crank_per_pump = turns(n, stage);
    *sense = turned;
    return DIALARC_OK;
}

static dialarc_status check_which(size_t n, const dialarc_stage *stage, size_t which)
{
    dialarc_status status = dialarc_drive_check(n, stage);
    return status == DIALARC_OK && which >= n ? DIALARC_ERR_SIZE : status;
}

dialarc_status dialarc_drive_tooth(size_t n, const dialarc_stage *stage, size_t which,
                                   double *crank_deg, double *pump_deg)
{
    if (!crank_deg || !pump_deg)
        return DIALARC_ERR_NULL;
    dialarc_status status = check_which(n, stage, which);
    if (status != DIALARC_OK)
        return status;
    *crank_deg = tooth(stage, which);
    *pump_deg =
        360.0 / (stage[which].driven_teeth * turns(n - which - 1, stage + which + 1));
    return DIALARC_OK;
}

dialarc_status dialarc_drive_arc(size_t n, const dialarc_stage *stage, size_t which,
                                 double arc_mm, double *crank_deg)
{
    if (!crank_deg)
        return DIALARC_ERR_NULL;
    dialarc_status status = check_which(n, stage, which);
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(arc_mm))
        return DIALARC_ERR_NOT_FINITE;
    return darc_give(arc_mm / stage[which].pitch_mm * tooth(stage, which), crank_deg);
}

dialarc_status dialarc_drive_slack(size_t n, const dialarc_stage *stage,
                                   double *slack_crank_deg)
{
    dialarc_status status =
        slack_crank_deg ? dialarc_drive_check(n, stage) : DIALARC_ERR_NULL;
    if (status != DIALARC_OK)
        return status;
    double sum = 0.0;
    for (size_t i = 0; i < n; i++)
        sum += stage[i].play_mm / stage[i].pitch_mm * tooth(stage, i);
    *slack_crank_deg = sum;
    return DIALARC_OK;
}

dialarc_status dialarc_drive_stretch(size_t n, const dialarc_stage *stage,
                                     double *advance_crank_deg)
{
    dialarc_status status =
        advance_crank_deg ? dialarc_drive_check(n, stage) : DIALARC_ERR_NULL;
    if (status != DIALARC_OK)
        return status;
    double sum = 0.0;
    for (size_t i = 0; i < n; i++)
        sum -= stage[i].stretch_mm / stage[i].pitch_mm * tooth(stage, i);
    *advance_crank_deg = sum;
    return DIALARC_OK;
}

/* No metal and no cord expands more per kelvin. */
#define MOST_PER_K 1e-3

dialarc_status dialarc_drive_warming(double run_mm, double warming_k, double engine_per_k,
                                     double belt_per_k, double *stretch_mm)
{
    if (!stretch_mm)
        return DIALARC_ERR_NULL;
    if (!isfinite(run_mm) || !isfinite(warming_k) || !isfinite(engine_per_k) ||
        !isfinite(belt_per_k))
        return DIALARC_ERR_NOT_FINITE;
    if (!(run_mm > 0.0))
        return DIALARC_ERR_LENGTH;
    if (!(engine_per_k >= 0.0 && engine_per_k <= MOST_PER_K &&
          fabs(belt_per_k) <= MOST_PER_K))
        return DIALARC_ERR_FRACTION;
    double stretch = run_mm * warming_k * (engine_per_k - belt_per_k);
    if (!isfinite(stretch))
        return DIALARC_ERR_NOT_FINITE;
    *stretch_mm = stretch;
    return DIALARC_OK;
}
