/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/camtable.h>

#include <gsl/gsl_interp.h>
#include <gsl/gsl_poly.h>
#include <math.h>
#include <stdlib.h>

#include "cam/camtable.h"
#include "core/angle.h"
#include "core/finite.h"
#include "numeric/periodic_spline.h"
#include "numeric/root.h"

/* Where the curve of a table stands this share of its span from its ends, its flanks
 * begin and end; it decides no more than in which dwell the dial turns. */
#define DWELL_SHARE 0.002

/* Rounding of the lobe pitch, times the lobes. */
#define PERIOD_SLIP_DEG 1e-6

/* One interval of the curve. */
typedef struct piece {
    double from, width, y0, y1, m0, m1;
} piece;

static piece piece_of(const dialarc_camtable *t, size_t i)
{
    size_t next = i + 1 < t->n ? i + 1 : 0;
    double end = next ? t->x[next] : t->period_deg;
    return (piece){t->x[i],    end - t->x[i], t->y[i],
                   t->y[next], t->second[i],  t->second[next]};
}

/* Motion at a distance z from the beginning of a piece. */
static dialarc_cam_motion motion_in(const piece *p, double z)
{
    double h = p->width, b = z / h, a = 1.0 - b;
    double bend = (a * a * a - a) * p->m0 + (b * b * b - b) * p->m1;
    double turn = (3.0 * b * b - 1.0) * p->m1 - (3.0 * a * a - 1.0) * p->m0;
    return (dialarc_cam_motion){a * p->y0 + b * p->y1 + bend * h * h / 6.0,
                                (p->y1 - p->y0) / h + turn * h / 6.0,
                                a * p->m0 + b * p->m1};
}

/*
 * Cuts a piece where its slope is 0: `cut` receives 2 to 4 distances from its beginning,
 * between which the curve only rises or only falls. Returns how many.
 */
static int cut_monotone(const piece *p, double *cut)
{
    double h = p->width, a = 0.5 * (p->m1 - p->m0) / h, b = p->m0;
    double c = motion_in(p, 0.0).rate_mm_per_pump_deg, root[2];
    int found = gsl_poly_solve_quadratic(a, b, c, &root[0], &root[1]), count = 0;
    cut[count++] = 0.0;
    for (int i = 0; i < found; i++)
        if (root[i] > cut[count - 1] && root[i] < h)
            cut[count++] = root[i];
    cut[count++] = h;
    return count;
}

void darc_camtable_find_range(dialarc_camtable *t)
{
    t->low_mm = t->high_mm = t->y[0];
    for (size_t i = 0; i < t->n; i++) {
        piece p = piece_of(t, i);
        double cut[4];
        int count = cut_monotone(&p, cut);
        for (int k = 0; k < count; k++) {
            double lift = motion_in(&p, cut[k]).lift_mm;
            t->low_mm = fmin(t->low_mm, lift);
            t->high_mm = fmax(t->high_mm, lift);
        }
    }
}

dialarc_status darc_camtable_check_points(size_t n, const double *pump_deg,
                                          const double *lift_mm, double period_deg)
{
    if (!pump_deg || !lift_mm)
        return DIALARC_ERR_NULL;
    if (n < 3 || n > DIALARC_CAMTABLE_MAX)
        return DIALARC_ERR_SIZE;
    if (!isfinite(period_deg) || !darc_all_finite(n, pump_deg) ||
        !darc_all_finite(n, lift_mm))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_all_within(n, pump_deg) || !darc_all_within(n, lift_mm))
        return DIALARC_ERR_RANGE;
    if (!(period_deg > 0.0 && period_deg <= 360.0))
        return DIALARC_ERR_ANGLE;
    for (size_t i = 1; i < n; i++)
        if (!darc_camtable_follows(pump_deg[0], pump_deg[i - 1], pump_deg[i], period_deg))
            return DIALARC_ERR_ORDER;
    return DIALARC_OK;
}

dialarc_camtable *darc_camtable_begin(size_t n, const double *pump_deg,
                                      const double *lift_mm, double period_deg)
{
    dialarc_camtable *t = malloc(sizeof *t);
    double *room = malloc(3 * n * sizeof *room);
    if (!t || !room) {
        free(t);
        free(room);
        return NULL;
    }
    *t = (dialarc_camtable){.n = n,
                            .origin_deg = pump_deg[0],
                            .period_deg = period_deg,
                            .x = room,
                            .y = room + n,
                            .second = room + 2 * n};
    for (size_t i = 0; i < n; i++) {
        t->x[i] = pump_deg[i] - pump_deg[0];
        t->y[i] = lift_mm[i];
    }
    return t;
}

dialarc_status dialarc_camtable_new(size_t n, const double *pump_deg,
                                    const double *lift_mm, double period_deg,
                                    dialarc_camtable **table)
{
    dialarc_status status =
        table ? darc_camtable_check_points(n, pump_deg, lift_mm, period_deg)
              : DIALARC_ERR_NULL;
    if (status != DIALARC_OK)
        return status;
    dialarc_camtable *t = darc_camtable_begin(n, pump_deg, lift_mm, period_deg);
    double *work = malloc(2 * n * sizeof *work);
    if (!t || !work) {
        dialarc_camtable_free(t);
        free(work);
        return DIALARC_ERR_NO_MEMORY;
    }
    darc_periodic_spline(n, t->x, t->y, period_deg, t->second, work);
    free(work);
    if (!darc_all_finite(n, t->second)) { /* points that all but coincide */
        dialarc_camtable_free(t);
        return DIALARC_ERR_RANGE;
    }
    darc_camtable_find_range(t);
    *table = t;
    return DIALARC_OK;
}

dialarc_status dialarc_camtable_share(const dialarc_camtable *table,
                                      dialarc_camtable **shared)
{
    if (!table || !shared)
        return DIALARC_ERR_NULL;
    *shared = (dialarc_camtable *)table; /* but for the count it stays as it is */
    atomic_fetch_add(&(*shared)->shares, 1U);
    return DIALARC_OK;
}

void dialarc_camtable_free(dialarc_camtable *table)
{
    if (!table || atomic_fetch_sub(&table->shares, 1U) != 0U)
        return;
    free(table->x);
    free(table->room);
    free(table);
}

dialarc_status dialarc_camtable_range(const dialarc_camtable *table, double *period_deg,
                                      double *low_mm, double *high_mm)
{
    if (!table || !period_deg || !low_mm || !high_mm)
        return DIALARC_ERR_NULL;
    *period_deg = table->period_deg;
    *low_mm = table->low_mm;
    *high_mm = table->high_mm;
    return DIALARC_OK;
}

size_t darc_camtable_points(const dialarc_camtable *table)
{
    return table->n;
}

double darc_camtable_place(const dialarc_camtable *t, double pump_deg)
{
    double r = fmod(fmod(pump_deg, t->period_deg) - fmod(t->origin_deg, t->period_deg),
                    t->period_deg);
    r = r < 0.0 ? r + t->period_deg : r;
    return r < t->period_deg ? r : 0.0;
}

static dialarc_cam_motion motion_at(const dialarc_camtable *t, double pump_deg)
{
    double r = darc_camtable_place(t, pump_deg);
    piece p = piece_of(t, gsl_interp_bsearch(t->x, r, 0, t->n));
    return motion_in(&p, r - p.from);
}

dialarc_status dialarc_camtable_motion(const dialarc_camtable *table, double pump_deg,
                                       dialarc_cam_motion *motion)
{
    if (!table || !motion)
        return DIALARC_ERR_NULL;
    if (!isfinite(pump_deg))
        return DIALARC_ERR_NOT_FINITE;
    *motion = motion_at(table, pump_deg);
    return DIALARC_OK;
}

dialarc_status dialarc_camtable_lift_array(const dialarc_camtable *table, size_t n,
                                           const double *pump_deg, double *lift_mm)
{
    if (!table || (n > 0 && (!pump_deg || !lift_mm)))
        return DIALARC_ERR_NULL;
    if (!darc_all_finite(n, pump_deg))
        return DIALARC_ERR_NOT_FINITE;
    for (size_t i = 0; i < n; i++)
        lift_mm[i] = motion_at(table, pump_deg[i]).lift_mm;
    return DIALARC_OK;
}

typedef struct target {
    piece piece;
    double lift_mm;
    double sign; /* 1 where the curve rises, -1 where it falls */
} target;

static void excess(double z, const void *context, double *value, double *slope)
{
    const target *t = context;
    dialarc_cam_motion m = motion_in(&t->piece, z);
    *value = t->sign * (m.lift_mm - t->lift_mm);
    *slope = t->sign * m.rate_mm_per_pump_deg;
}

/* The signed distance to `angle` from `near`, within half a period. */
static double distance(const dialarc_camtable *t, double near, double angle)
{
    return remainder(angle - near, t->period_deg);
}

/* Keeps in *best the passage nearest to `near`, if this stretch holds one. */
static void try_stretch(const dialarc_camtable *t, const target *aim, double from,
                        double to, double near, double *best)
{
    double start = motion_in(&aim->piece, from).lift_mm - aim->lift_mm;
    double end = motion_in(&aim->piece, to).lift_mm - aim->lift_mm;
    if (!(aim->sign * start <= 0.0 && aim->sign * end >= 0.0 && start != end))
        return;
    double z = start == 0.0 ? from
               : end == 0.0 ? to
                            : darc_root(excess, aim, from, to,
                                        from + (to - from) * (start / (start - end)));
    double away = distance(t, near, aim->piece.from + z);
    if (!isgreaterequal(fabs(away), fabs(*best))) /* no exception where best is NaN */
        *best = away;
}

/* Keeps in *best the passage of one interval that is nearest to `near`. */
static void try_piece(const dialarc_camtable *t, size_t i, double lift_mm,
                      dialarc_flank flank, double near, double *best)
{
    target aim = {piece_of(t, i), lift_mm, flank == DIALARC_FLANK_RISING ? 1.0 : -1.0};
    double cut[4];
    int count = cut_monotone(&aim.piece, cut);
    for (int k = 1; k < count; k++)
        try_stretch(t, &aim, cut[k - 1], cut[k], near, best);
}

/*
 * Signed distance to the nearest passage, or NaN: from the interval of near_deg outwards
 * to both sides, until what is left lies farther away than what was found.
 */
static double nearest_passage(const dialarc_camtable *t, double lift_mm,
                              dialarc_flank flank, double near_deg)
{
    double best = (double)NAN, near = darc_camtable_place(t, near_deg);
    size_t below = gsl_interp_bsearch(t->x, near, 0, t->n), above = below;
    try_piece(t, below, lift_mm, flank, near, &best);
    for (size_t done = 1; done < t->n; done += 2) {
        /* Intervals between both are looked at: the next ones begin at their ends. */
        double up = piece_of(t, above).from + piece_of(t, above).width - near;
        double down = near - t->x[below];
        up = up < 0.0 ? up + t->period_deg : up;
        down = down < 0.0 ? down + t->period_deg : down;
        if (isless(fabs(best), fmin(up, down)))
            break;
        above = above + 1 < t->n ? above + 1 : 0;
        below = below > 0 ? below - 1 : t->n - 1;
        try_piece(t, above, lift_mm, flank, near, &best);
        try_piece(t, below, lift_mm, flank, near, &best);
    }
    return best;
}

dialarc_status dialarc_camtable_angle_at_lift(const dialarc_camtable *table,
                                              double lift_mm, dialarc_flank flank,
                                              double near_deg, double *pump_deg)
{
    if (!table || !pump_deg)
        return DIALARC_ERR_NULL;
    if (!isfinite(lift_mm) || !isfinite(near_deg))
        return DIALARC_ERR_NOT_FINITE;
    if (flank != DIALARC_FLANK_RISING && flank != DIALARC_FLANK_FALLING)
        return DIALARC_ERR_FLANK;
    if (!(lift_mm >= table->low_mm && lift_mm <= table->high_mm))
        return DIALARC_ERR_LIFT;
    double best = nearest_passage(table, lift_mm, flank, near_deg);
    if (!isfinite(best))
        return DIALARC_ERR_NO_SOLUTION;
    *pump_deg = near_deg + best;
    return DIALARC_OK;
}

darc_segments darc_camtable_segments(const dialarc_camtable *table)
{
    double foot = 0.0, top = 0.0, leave = 0.0, rest = 0.0, period = table->period_deg;
    double low = table->low_mm, high = table->high_mm, small = DWELL_SHARE * (high - low);
    dialarc_camtable_angle_at_lift(table, low + small, DIALARC_FLANK_RISING, 0.0, &foot);
    dialarc_camtable_angle_at_lift(table, high - small, DIALARC_FLANK_RISING,
                                   foot + 0.4 * period, &top);
    dialarc_camtable_angle_at_lift(table, high - small, DIALARC_FLANK_FALLING, top,
                                   &leave);
    dialarc_camtable_angle_at_lift(table, low + small, DIALARC_FLANK_FALLING,
                                   leave + 0.4 * period, &rest);
    return (darc_segments){top, fmax(leave - top, 0.0), fmax(period - rest, 0.0)};
}

bool darc_tabled_fits(const dialarc_cam *cam)
{
    return fabs(cam->lobe_table->period_deg * cam->lobes - 360.0) <= PERIOD_SLIP_DEG;
}

double darc_tabled_scale(const dialarc_cam *cam)
{
    return cam->lift_mm / (cam->lobe_table->high_mm - cam->lobe_table->low_mm);
}

dialarc_cam_motion darc_tabled_motion(const dialarc_cam *cam, double pump_deg)
{
    const dialarc_camtable *t = cam->lobe_table;
    double scale = darc_tabled_scale(cam);
    dialarc_cam_motion m = motion_at(t, pump_deg);
    return (dialarc_cam_motion){scale * (m.lift_mm - t->low_mm),
                                scale * m.rate_mm_per_pump_deg,
                                scale * m.acceleration_mm_per_pump_deg2};
}

double darc_tabled_angle(const dialarc_cam *cam, double lift_mm, dialarc_flank flank)
{
    const dialarc_camtable *t = cam->lobe_table;
    double share = lift_mm / cam->lift_mm, at = 0.0;
    double along = acos(1.0 - 2.0 * share) / DARC_PI; /* of a harmonic flank */
    double lift = fmin(t->low_mm + share * (t->high_mm - t->low_mm), t->high_mm);
    if (flank == DIALARC_FLANK_RISING) {
        dialarc_camtable_angle_at_lift(t, lift, flank, along * cam->rise_deg, &at);
        return fmax(at, 0.0); /* the base dwell counts as its end, as with laws */
    }
    double top = cam->rise_deg + cam->top_dwell_deg;
    double end = t->period_deg - cam->base_dwell_deg;
    dialarc_camtable_angle_at_lift(t, lift, flank, end - along * (end - top), &at);
    return fmax(at, top);
}
