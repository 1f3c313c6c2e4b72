/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/tooth.h>

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include "core/finite.h"
#include "core/normal.h"

#define COUNTS (2 * DIALARC_TOOTH_MAX + 1)

/* Within these no square overflows and no variance vanishes. */
#define LEAST_SD    1e-12
#define LARGEST_DEG 720.0

/* Shares of what is neither a wrong setting nor teeth, and of settings that err widely,
 * and by how many times more. */
#define NEITHER    0.01
#define WIDE_SHARE 0.1
#define WIDE_SDS   3.0

/* Density of an error made of an ordinary wrong setting and of measurement. */
static double density(double error, double sd, double setting_sd)
{
    double narrow = hypot(sd, setting_sd), wide = hypot(sd, WIDE_SDS * setting_sd);
    return (1.0 - WIDE_SHARE) * darc_normal_density(error / narrow) / narrow +
           WIDE_SHARE * darc_normal_density(error / wide) / wide;
}

static double prior(int teeth, double jump_probability)
{
    return (1.0 - NEITHER) * (teeth == 0 ? 1.0 - jump_probability
                                         : ldexp(jump_probability, -abs(teeth) - 1));
}

/* From the weight of each number of teeth, and of neither, which is above 0. */
static dialarc_tooth choose(const double *weight, double neither)
{
    int best = DIALARC_TOOTH_MAX;
    double sum = neither, jumped = 0.0;
    for (int i = 0; i < COUNTS; i++) {
        if (weight[i] > weight[best])
            best = i;
        sum += weight[i];
        jumped += i == DIALARC_TOOTH_MAX ? 0.0 : weight[i];
    }
    return (dialarc_tooth){best - DIALARC_TOOTH_MAX, weight[best] / sum, jumped / sum,
                           neither / sum};
}

static dialarc_status check(double error, double sd, double tooth_deg, double setting_sd,
                            double jump_probability, const dialarc_tooth *tooth)
{
    if (!tooth)
        return DIALARC_ERR_NULL;
    if (!isfinite(error) || !isfinite(sd) || !isfinite(tooth_deg) ||
        !isfinite(setting_sd) || !isfinite(jump_probability))
        return DIALARC_ERR_NOT_FINITE;
    double both = hypot(sd, setting_sd);
    if (!(sd >= 0.0 && setting_sd >= 0.0 && both >= LEAST_SD && both <= LARGEST_DEG))
        return DIALARC_ERR_SD;
    if (!(tooth_deg >= DARC_SMALLEST && tooth_deg <= LARGEST_DEG &&
          fabs(error) <= LARGEST_DEG))
        return DIALARC_ERR_ANGLE;
    if (!(jump_probability > 0.0 && jump_probability < 1.0))
        return DIALARC_ERR_PROBABILITY;
    return DIALARC_OK;
}

dialarc_status dialarc_tooth_from_advance(double advance_error_crank_deg,
                                          double sd_crank_deg, double tooth_crank_deg,
                                          double setting_sd_crank_deg,
                                          double jump_probability, dialarc_tooth *tooth)
{
    dialarc_status status = check(advance_error_crank_deg, sd_crank_deg, tooth_crank_deg,
                                  setting_sd_crank_deg, jump_probability, tooth);
    if (status != DIALARC_OK)
        return status;
    double weight[COUNTS];
    for (int i = 0; i < COUNTS; i++) {
        int teeth = i - DIALARC_TOOTH_MAX;
        double miss = advance_error_crank_deg - teeth * tooth_crank_deg;
        weight[i] = prior(teeth, jump_probability) *
                    density(miss, sd_crank_deg, setting_sd_crank_deg);
    }
    *tooth = choose(weight, NEITHER / (COUNTS * tooth_crank_deg));
    return DIALARC_OK;
}

/* Cells of angle about where the lift was found, out to so many of its sd. */
#define CELLS     64
#define REACH_SDS 5.0

/* Where on its flank a lift was found. */
typedef struct found {
    double edge_deg[CELLS + 1];
    double density[CELLS]; /* of the lift, when the pump stands in that cell */
} found;

static dialarc_status find(const dialarc_cam *cam, double lift_mm, double sd_mm,
                           dialarc_flank flank, found *f)
{
    double ends_mm[] = {fmax(lift_mm - REACH_SDS * sd_mm, 0.0),
                        fmin(lift_mm + REACH_SDS * sd_mm, cam->lift_mm)};
    double ends_deg[2], middle_deg[CELLS], middle_mm[CELLS];
    dialarc_status status =
        dialarc_cam_angle_at_lift_array(cam, 2, ends_mm, flank, ends_deg);
    if (status != DIALARC_OK)
        return status;
    double width = (ends_deg[1] - ends_deg[0]) / CELLS;
    for (int i = 0; i <= CELLS; i++)
        f->edge_deg[i] = ends_deg[0] + i * width;
    for (int i = 0; i < CELLS; i++)
        middle_deg[i] = ends_deg[0] + (i + 0.5) * width;
    status = dialarc_cam_lift_array(cam, CELLS, middle_deg, middle_mm);
    for (int i = 0; i < CELLS; i++)
        f->density[i] = darc_normal_density((middle_mm[i] - lift_mm) / sd_mm) / sd_mm;
    return status;
}

/* Share of ordinary wrong settings below an error; all the same when they do not err. */
static double below(double error, double setting_sd)
{
    if (!(setting_sd >= LEAST_SD))
        return error >= 0.0;
    return (1.0 - WIDE_SHARE) * gsl_cdf_ugaussian_P(error / setting_sd) +
           WIDE_SHARE * gsl_cdf_ugaussian_P(error / (WIDE_SDS * setting_sd));
}

/* Density of the lift when the pump was set for `at_deg`, on this lobe or the next ones.
 */
static double set_for(const found *f, double pitch_deg, double at_deg, double setting_sd)
{
    double sum = 0.0;
    for (int lobe = -1; lobe <= 1; lobe++)
        for (int i = 0; i < CELLS; i++) {
            double away = lobe * pitch_deg - at_deg;
            sum += f->density[i] * fabs(below(f->edge_deg[i + 1] + away, setting_sd) -
                                        below(f->edge_deg[i] + away, setting_sd));
        }
    return sum;
}

/* Density of the lift when the pump may stand anywhere. */
static double set_anyhow(const found *f, double pitch_deg)
{
    double sum = 0.0;
    for (int i = 0; i < CELLS; i++)
        sum += f->density[i] * fabs(f->edge_deg[i + 1] - f->edge_deg[i]) / pitch_deg;
    return sum;
}

dialarc_status dialarc_tooth_from_lift(const dialarc_cam *cam, double target_lift_mm,
                                       double lift_mm, double lift_sd_mm,
                                       dialarc_flank flank, double tooth_pump_deg,
                                       double setting_sd_pump_deg,
                                       double jump_probability, dialarc_tooth *tooth)
{
    double at_deg = 0.0;
    dialarc_status status = check(lift_mm, lift_sd_mm, tooth_pump_deg,
                                  setting_sd_pump_deg, jump_probability, tooth);
    if (status == DIALARC_OK)
        status =
            dialarc_cam_angle_at_lift(cam, target_lift_mm, DIALARC_FLANK_RISING, &at_deg);
    if (status != DIALARC_OK)
        return status;
    if (!(lift_sd_mm >= LEAST_SD))
        return DIALARC_ERR_SD;
    if (!(lift_mm >= 0.0 && lift_mm <= cam->lift_mm))
        return DIALARC_ERR_LIFT;
    found f;
    double weight[COUNTS], pitch = 360.0 / cam->lobes;
    status = find(cam, lift_mm, lift_sd_mm, flank, &f);
    if (status != DIALARC_OK)
        return status;
    for (int i = 0; i < COUNTS; i++) {
        int teeth = i - DIALARC_TOOTH_MAX;
        double moved = teeth * tooth_pump_deg;
        bool near = teeth == 0 || fabs(moved) < 0.5 * pitch;
        weight[i] = near ? prior(teeth, jump_probability) *
                               set_for(&f, pitch, at_deg + moved, setting_sd_pump_deg)
                         : 0.0;
    }
    const dialarc_tooth chosen = choose(weight, NEITHER * set_anyhow(&f, pitch));
    if (!isfinite(
            chosen.probability_neither)) /* a lift too sharp for any cell to hold it */
        return DIALARC_ERR_NO_SOLUTION;
    *tooth = chosen;
    return DIALARC_OK;
}
