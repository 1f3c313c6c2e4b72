/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/tooth.h>

#include <math.h>
#include <stdlib.h>

#define COUNTS (2 * DIALARC_TOOTH_MAX + 1)

/* Within these no square overflows and no variance vanishes. */
#define LEAST_SD    1e-12
#define LARGEST_DEG 720.0

/* Logarithm of prior times likelihood of `teeth`, but for a constant. */
static double log_weight(int teeth, double jump_probability, double miss, double variance)
{
    double prior = teeth == 0 ? log1p(-jump_probability)
                              : log(jump_probability) - (abs(teeth) + 1) * log(2.0);
    return prior - 0.5 * (miss * miss / variance + log(variance));
}

/* Weights to probabilities; -INFINITY marks what is left out. */
static dialarc_tooth choose(const double *weight)
{
    int best = 0;
    for (int i = 1; i < COUNTS; i++)
        if (weight[i] > weight[best])
            best = i;
    double sum = 0.0, jumped = 0.0;
    for (int i = 0; i < COUNTS; i++) {
        double part = exp(weight[i] - weight[best]);
        sum += part;
        jumped += i == DIALARC_TOOTH_MAX ? 0.0 : part;
    }
    return (dialarc_tooth){best - DIALARC_TOOTH_MAX, 1.0 / sum, jumped / sum};
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
    if (!(tooth_deg > 0.0 && tooth_deg <= LARGEST_DEG && fabs(error) <= LARGEST_DEG))
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
    double variance =
        sd_crank_deg * sd_crank_deg + setting_sd_crank_deg * setting_sd_crank_deg;
    for (int i = 0; i < COUNTS; i++) {
        int teeth = i - DIALARC_TOOTH_MAX;
        double miss = advance_error_crank_deg - teeth * tooth_crank_deg;
        weight[i] = log_weight(teeth, jump_probability, miss, variance);
    }
    *tooth = choose(weight);
    return DIALARC_OK;
}

/* The cam and both lifts are good; `at_deg` is where it has the lift wanted. */
static dialarc_tooth from_lift(const dialarc_cam *cam, double at_deg, double lift_mm,
                               double lift_sd_mm, double tooth_deg, double setting_sd_deg,
                               double jump_probability)
{
    double weight[COUNTS], half_pitch = 180.0 / cam->lobes;
    for (int i = 0; i < COUNTS; i++) {
        int teeth = i - DIALARC_TOOTH_MAX;
        double moved = teeth * tooth_deg, lift = 0.0, rate = 0.0;
        weight[i] = -(double)INFINITY;
        if (teeth != 0 && !(fabs(moved) < half_pitch))
            continue;
        dialarc_cam_lift(cam, at_deg + moved, &lift);
        dialarc_cam_rate(cam, at_deg + moved, &rate);
        double spread = rate * setting_sd_deg;
        weight[i] = log_weight(teeth, jump_probability, lift_mm - lift,
                               lift_sd_mm * lift_sd_mm + spread * spread);
    }
    return choose(weight);
}

dialarc_status dialarc_tooth_from_lift(const dialarc_cam *cam, double target_lift_mm,
                                       double lift_mm, double lift_sd_mm,
                                       double tooth_pump_deg, double setting_sd_pump_deg,
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
    *tooth = from_lift(cam, at_deg, lift_mm, lift_sd_mm, tooth_pump_deg,
                       setting_sd_pump_deg, jump_probability);
    return DIALARC_OK;
}
