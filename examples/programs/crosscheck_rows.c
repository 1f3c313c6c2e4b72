/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "crosscheck_rows.h"

#include <math.h>
#include <string.h>

#include "complain.h"
#include "tables.h"

const char crosscheck_columns[] =
    "setup witness! lift_mm! crank_deg crank_rpm lift_sd_mm crank_sd_deg mark "
    "mark_sd_deg wheel wheel_sd_deg cam_sd_deg";

static const char *const sd_column[CROSSCHECK_SDS] = {
    "lift_sd_mm", "crank_sd_deg", "mark_sd_deg", "wheel_sd_deg", "cam_sd_deg"};

static const char another[] = "is another in a row before: that is another witness";

int crosscheck_refuse(const crosscheck_place *at, const char *column, const char *text)
{
    return tables_row_fails(at->who, at->path, at->rows, at->row, column, text);
}

int crosscheck_is_ours(const crosscheck_place *at, size_t row)
{
    const char *setup = dialarc_rows_text(at->rows, row, "setup");
    return !setup[0] || strcmp(setup, at->engine->name) == 0;
}

const char *crosscheck_name(const crosscheck_place *at, size_t row)
{
    return dialarc_rows_text(at->rows, row, "witness");
}

/* A name that may stand in any row of a witness, but not in two ways. */
static int read_name(const crosscheck_place *at, const char *column, const char **name)
{
    const char *said = dialarc_rows_text(at->rows, at->row, column);
    if (said[0] && (*name)[0] && strcmp(said, *name) != 0)
        return crosscheck_refuse(at, column, another);
    if (said[0])
        *name = said;
    return DONE;
}

/* Standard uncertainties likewise. */
static int read_sds(const crosscheck_place *at, double *sd)
{
    for (int k = 0; k < CROSSCHECK_SDS; k++) {
        double said = tables_number(at->rows, at->row, sd_column[k], DIALARC_UNKNOWN);
        if (isnan(said))
            continue;
        if (said < 0.0)
            return crosscheck_refuse(at, sd_column[k], "must not be below 0");
        if (!isnan(sd[k]) && said != sd[k])
            return crosscheck_refuse(at, sd_column[k], another);
        sd[k] = said;
    }
    return DONE;
}

/* One more reading: the lift at that angle becomes the advance from mid-window. */
static int read_reading(const crosscheck_place *at, crosscheck_rows *r)
{
    const engine *e = at->engine;
    double lift = tables_number(at->rows, at->row, "lift_mm", DIALARC_UNKNOWN);
    double stated = tables_number(at->rows, at->row, "crank_deg", DIALARC_UNKNOWN);
    double rpm = tables_number(at->rows, at->row, "crank_rpm", DIALARC_UNKNOWN);
    double crank = isnan(stated) ? 0.0 : stated;
    if (fabs(crank) > 180.0)
        return crosscheck_refuse(at, "crank_deg", "must lie within half a turn of TDC");
    if (!isnan(rpm) && !(rpm > 0.0))
        return crosscheck_refuse(at, "crank_rpm", "must be above 0, or blank: at rest");
    if (r->n && r->running != !isnan(rpm))
        return crosscheck_refuse(
            at, "crank_rpm",
            "a witness saw the engine at rest or running: give it two names");
    if (r->n == CROSSCHECK_READINGS_MAX)
        return crosscheck_refuse(at, NULL, "a witness may have 1000 readings");
    dialarc_status status = dialarc_crosscheck_from_lift(
        &e->cam, lift, crank, e->tdc_mm[1], e->crank_per_pump, &r->advance_deg[r->n]);
    if (status != DIALARC_OK)
        return crosscheck_refuse(at, "lift_mm", dialarc_status_text(status));
    r->running = !isnan(rpm);
    r->at_angle |= !isnan(stated);
    r->crank_rpm[r->n++] = rpm;
    r->lift_mm += (lift - r->lift_mm) / (double)r->n;
    r->crank_deg += (crank - r->crank_deg) / (double)r->n;
    return DONE;
}

int crosscheck_gather(const crosscheck_place *first, crosscheck_rows *r)
{
    crosscheck_place at = *first;
    const char *name = crosscheck_name(first, first->row);
    *r = (crosscheck_rows){.mark = "", .wheel = ""};
    for (int k = 0; k < CROSSCHECK_SDS; k++)
        r->sd[k] = DIALARC_UNKNOWN;
    for (; at.row < dialarc_rows_count(at.rows); at.row++) {
        if (!crosscheck_is_ours(&at, at.row) ||
            strcmp(crosscheck_name(&at, at.row), name) != 0)
            continue;
        if (read_reading(&at, r) || read_sds(&at, r->sd) ||
            read_name(&at, "mark", &r->mark) || read_name(&at, "wheel", &r->wheel))
            return FAILED;
    }
    return DONE;
}
