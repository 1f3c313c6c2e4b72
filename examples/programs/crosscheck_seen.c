/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "crosscheck_seen.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "complain.h"
#include "crosscheck_rows.h"
#include "tables.h"

#define RAD_PER_DEG 0.017453292519943295

/* Where table and engine say nothing: common practice, no source. Mark, angle and wheel
 * are taken as dialarc assess takes them. */
#define LIFT_SD_MM      0.01
#define CRANK_SD_DEG    0.25
#define MARK_SD_DEG     0.5
#define MEETING_SD_DEG  0.1
#define WHEEL_ERROR_DEG 0.25

/* Errors of a cam's form at two places are the more alike the nearer these are: apart by
 * this share of the rise they have little in common, as the ten terms by which the
 * library bends a flank change their slope so fast. */
#define FORM_ALIKE 0.05

static double or_else(double value, double otherwise)
{
    return isnan(value) ? otherwise : value;
}

/* The mean of readings at rest, and its standard uncertainty by that of one reading or by
 * their scatter, whichever is larger. */
static void pool_at_rest(const crosscheck_rows *r, double sd_deg, dialarc_at_rest *rest)
{
    double mean = 0.0, squares = 0.0, n = (double)r->n;
    for (size_t i = 0; i < r->n; i++)
        mean += r->advance_deg[i] / n;
    for (size_t i = 0; i < r->n; i++)
        squares += (r->advance_deg[i] - mean) * (r->advance_deg[i] - mean);
    double scatter = sqrt(squares / fmax(n - 1.0, 1.0));
    *rest = (dialarc_at_rest){.advance_crank_deg = mean,
                              .sd_crank_deg = fmax(sd_deg, scatter) / sqrt(n),
                              .dof = n - 1.0};
}

/* The advance, and how well its readings tell it. */
static int pool(const crosscheck_place *at, const crosscheck_rows *r, double sd_deg,
                dialarc_at_rest *rest)
{
    double factor = 1.96;
    dialarc_status status = DIALARC_OK;
    if (r->running)
        status =
            dialarc_crosscheck_at_rest(r->n, r->crank_rpm, r->advance_deg, sd_deg, rest);
    else
        pool_at_rest(r, sd_deg, rest);
    if (status == DIALARC_ERR_NO_SOLUTION || status == DIALARC_ERR_SIZE)
        return crosscheck_refuse(at, "crank_rpm",
                                 "a running engine must be seen at two speeds at least");
    if (status != DIALARC_OK)
        return crosscheck_refuse(at, NULL, dialarc_status_text(status));
    if (sd_deg == 0.0 && rest->dof > 0.0) { /* their scatter is all there is */
        dialarc_uncertainty_coverage_factor(0.95, rest->dof, &factor);
        rest->sd_crank_deg *= factor / 1.96;
    }
    return DONE;
}

/* An angle that a lift was turned into errs by the form of the cam, there and where the
 * lift of mid-window is. */
static double form_sd(const engine *e, double pump_deg, double mm_per_crank_deg)
{
    double apart = fabs(pump_deg - e->tdc_deg[1]) / e->cam.rise_deg / FORM_ALIKE;
    return fmin(apart, sqrt(2.0)) * e->cam_sd_mm / mm_per_crank_deg;
}

static double mark_sd(const engine *e, const crosscheck_rows *r)
{
    int met = e->setup->window_at == DIALARC_WINDOW_AT_MARK;
    return r->mark[0] ? MARK_SD_DEG
                      : or_else(e->setup->tdc_sd_deg, met ? MEETING_SD_DEG : MARK_SD_DEG);
}

/* An error once a turn of which nothing is left at TDC, where the wheel is set. */
static double wheel_sd(const engine *e, const crosscheck_rows *r)
{
    double error = or_else(e->setup->wheel_error_deg, WHEEL_ERROR_DEG);
    return r->wheel[0] ? sqrt(2.0) * error * fabs(sin(0.5 * RAD_PER_DEG * r->crank_deg))
                       : 0.0;
}

static int conclude(const crosscheck_place *at, const crosscheck_rows *r,
                    crosscheck_seen *seen)
{
    const engine *e = at->engine;
    double pump_deg = 0.0, rate = 0.0;
    double read = r->at_angle ? or_else(e->setup->angle_sd_deg, CRANK_SD_DEG) : 0.0;
    dialarc_cam_angle_at_lift(&e->cam, r->lift_mm, DIALARC_FLANK_RISING, &pump_deg);
    dialarc_cam_rate(&e->cam, pump_deg, &rate);
    if (!(rate > 0.0))
        return crosscheck_refuse(at, "lift_mm", "must lie where the cam rises");
    if (pool(at, r, or_else(r->sd[CROSSCHECK_CRANK_DEG], read), &seen->rest) != DONE)
        return FAILED;
    rate /= e->crank_per_pump;
    double lift_sd = or_else(r->sd[CROSSCHECK_LIFT_MM], LIFT_SD_MM) / rate;
    seen->readings = r->n;
    seen->running = r->running;
    seen->crank_deg = r->crank_deg;
    seen->witness = (dialarc_witness){
        .advance_crank_deg = seen->rest.advance_crank_deg,
        .own_sd_crank_deg = hypot(seen->rest.sd_crank_deg, lift_sd),
        .mark_sd_crank_deg = or_else(r->sd[CROSSCHECK_MARK_DEG], mark_sd(e, r)),
        .wheel_sd_crank_deg = or_else(r->sd[CROSSCHECK_WHEEL_DEG], wheel_sd(e, r)),
        .cam_sd_crank_deg =
            or_else(r->sd[CROSSCHECK_CAM_DEG], form_sd(e, pump_deg, rate)),
    };
    const dialarc_witness *w = &seen->witness;
    seen->sd_deg = hypot(hypot(w->own_sd_crank_deg, w->mark_sd_crank_deg),
                         hypot(w->wheel_sd_crank_deg, w->cam_sd_crank_deg));
    if (w->own_sd_crank_deg > 0.0)
        return DONE;
    return crosscheck_refuse(at, NULL,
                             "lift_sd_mm and crank_sd_deg cannot both be 0, unless its "
                             "readings scatter");
}

/* The witness of a row, unless a row before has told it. */
static int take(const crosscheck_place *at, crosscheck_seen *seen, size_t *n)
{
    crosscheck_rows rows;
    crosscheck_seen *s = &seen[*n];
    const char *name = crosscheck_name(at, at->row);
    for (size_t i = 0; i < *n; i++)
        if (strcmp(seen[i].name, name) == 0)
            return DONE;
    if (*n == DIALARC_WITNESSES_MAX)
        return crosscheck_refuse(at, "witness", "a setting may have 24 witnesses");
    if (crosscheck_gather(at, &rows) != DONE || conclude(at, &rows, s) != DONE)
        return FAILED;
    snprintf(s->name, sizeof s->name, "%s", name);
    snprintf(s->mark, sizeof s->mark, "%s", rows.mark);
    snprintf(s->wheel, sizeof s->wheel, "%s", rows.wheel);
    s->witness.mark = s->witness.wheel = (int)*n; /* unless one before has the same */
    for (size_t i = *n; i-- > 0;) {
        s->witness.mark = strcmp(seen[i].mark, s->mark) ? s->witness.mark : (int)i;
        s->witness.wheel = strcmp(seen[i].wheel, s->wheel) ? s->witness.wheel : (int)i;
    }
    ++*n;
    return DONE;
}

int crosscheck_read(const char *who, const char *path, const engine *e,
                    crosscheck_seen *seen, size_t *n)
{
    dialarc_rows *rows = NULL;
    int result = tables_rows(who, path, crosscheck_columns, &rows);
    crosscheck_place at = {who, path, e, rows, 0};
    *n = 0;
    for (; result == DONE && at.row < dialarc_rows_count(rows); at.row++)
        if (crosscheck_is_ours(&at, at.row))
            result = take(&at, seen, n);
    if (result == DONE && *n == 0)
        result = complain(who, tables_name(path), "no row is about this engine");
    dialarc_rows_free(rows);
    return result;
}
