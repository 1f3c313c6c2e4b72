/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/archive.h>

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "assess/assess.h"
#include "assess/error_grid.h"
#include "assess/workspace.h"

/* Usual errors, by which readings are counted: common practice, no source. */
#define ANGLE_DEG 0.25
#define DIAL_MM   0.003
#define FLAT      0.3 /* of the dial's error: less is made by that of the angle */

struct dialarc_archive {
    darc_error_grid grid;
    size_t sweeps, left_out;
    size_t flat, flank;
};

dialarc_status dialarc_archive_new(dialarc_archive **archive)
{
    if (!archive)
        return DIALARC_ERR_NULL;
    dialarc_archive *made = calloc(1, sizeof *made);
    if (!made)
        return DIALARC_ERR_NO_MEMORY;
    *archive = made;
    return DIALARC_OK;
}

void dialarc_archive_free(dialarc_archive *archive)
{
    free(archive);
}

/* Log evidence of a fit by other errors of reading, about its rows, up to a constant. */
static double evidence_by(const darc_fit *fit, const darc_record *record,
                          const darc_noise *noise, darc_fit *about)
{
    double step[DARC_MAX_PARAM], sum = 0.0;
    for (size_t i = 0; i < record->n; i++) {
        about->at.pulls[i] = darc_row_pull(noise, fit->misread_share, record->lift_mm[i],
                                           &fit->at.rows[i]);
        sum += log(about->at.pulls[i].density);
    }
    darc_fit_accumulate(about, record->n);
    return darc_fit_evidence(about, sum, step);
}

/* False when some pair of errors leaves something open. */
static bool fill_grid(const darc_fit *fit, const darc_problem *problem, darc_fit *about,
                      darc_error_grid *grid)
{
    const darc_record *record = &problem->record;
    darc_noise noise = problem->noise;
    darc_fit_follow(about, fit);
    memcpy(about->at.rows, fit->at.rows, record->n * sizeof *fit->at.rows);
    for (int i = 0; i < DARC_GRID; i++)
        for (int k = 0; k < DARC_GRID; k++) {
            noise.dial_sd_mm = darc_grid_dial_mm(i);
            noise.angle_sd_deg = darc_grid_angle_deg(k);
            grid->log_evidence[i][k] = evidence_by(fit, record, &noise, about);
            if (!isfinite(grid->log_evidence[i][k]))
                return false;
        }
    return true;
}

/* Which of the two errors the readings show. */
static void count(dialarc_archive *a, const darc_fit *fit, const darc_record *record)
{
    for (size_t i = 0; i < record->n; i++) {
        double turned = fabs(fit->at.rows[i].slope) * ANGLE_DEG;
        a->flat += turned < FLAT * DIAL_MM;
        a->flank += turned > DIAL_MM;
    }
}

dialarc_status dialarc_archive_add(dialarc_archive *archive, dialarc_workspace *workspace,
                                   const dialarc_setup *setup, const dialarc_sweep *sweep)
{
    darc_problem problem;
    dialarc_timing timing;
    darc_error_grid grid;
    if (!archive || !workspace || !setup || !sweep)
        return DIALARC_ERR_NULL;
    darc_memory *m = &workspace->memory;
    dialarc_status status = darc_memory_open(m, setup, NULL, 0.0, sweep, &problem);
    if (status != DIALARC_OK)
        return status;
    status = darc_assess_timing(&problem, m, NULL, &timing);
    if (dialarc_findings_worst(&timing.findings) == DIALARC_SEVERITY_STOP ||
        isnan(timing.lift_mm) || !fill_grid(&m->fit, &problem, &m->trial, &grid)) {
        archive->left_out++;
        return status;
    }
    for (int i = 0; i < DARC_GRID; i++)
        for (int k = 0; k < DARC_GRID; k++)
            archive->grid.log_evidence[i][k] += grid.log_evidence[i][k];
    count(archive, &m->fit, &problem.record);
    archive->sweeps++;
    return status;
}

/* An end of a range: that of the grid stands for anything below it. */
static double least(double place, double value)
{
    return place > 0.0 ? value : 0.0;
}

dialarc_status dialarc_archive_errors(const dialarc_archive *archive,
                                      dialarc_reading_errors *errors)
{
    darc_grid_range dial, angle;
    if (!archive || !errors)
        return DIALARC_ERR_NULL;
    dialarc_reading_errors e = {.sweeps = archive->sweeps,
                                .left_out = archive->left_out,
                                .flat_readings = archive->flat,
                                .flank_readings = archive->flank,
                                .dial_sd_mm = DIALARC_UNKNOWN,
                                .dial_sd_low_mm = DIALARC_UNKNOWN,
                                .dial_sd_high_mm = DIALARC_UNKNOWN,
                                .angle_sd_deg = DIALARC_UNKNOWN,
                                .angle_sd_low_deg = DIALARC_UNKNOWN,
                                .angle_sd_high_deg = DIALARC_UNKNOWN};
    if (archive->sweeps) {
        darc_grid_ranges(&archive->grid, &dial, &angle);
        e.dial_sd_mm = darc_grid_dial_mm(dial.mean);
        e.dial_sd_low_mm = least(dial.low, darc_grid_dial_mm(dial.low));
        e.dial_sd_high_mm = darc_grid_dial_mm(dial.high);
        e.angle_sd_deg = darc_grid_angle_deg(angle.mean);
        e.angle_sd_low_deg = least(angle.low, darc_grid_angle_deg(angle.low));
        e.angle_sd_high_deg = darc_grid_angle_deg(angle.high);
    }
    *errors = e;
    return DIALARC_OK;
}
