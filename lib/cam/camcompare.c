/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/camcompare.h>

#include <math.h>

#include "core/finite.h"

/* Places at which the greatest loss is looked for. */
#define PLACES 4096

/* Lifts at which the shift of a flank is taken, 20 to 80 % of the range. */
#define LEVELS 13

/* Relative difference of periods that still counts as none. */
#define SAME_PERIOD 1e-12

typedef struct extent {
    double period_deg, low_mm, high_mm;
} extent;

static extent extent_of(const dialarc_camtable *table)
{
    extent e = {0.0, 0.0, 0.0};
    dialarc_camtable_range(table, &e.period_deg, &e.low_mm, &e.high_mm);
    return e;
}

static dialarc_status check(const dialarc_camtable *reference,
                            const dialarc_camtable *worn)
{
    if (!reference || !worn)
        return DIALARC_ERR_NULL;
    double a = extent_of(reference).period_deg, b = extent_of(worn).period_deg;
    return fabs(a - b) <= SAME_PERIOD * a ? DIALARC_OK : DIALARC_ERR_ANGLE;
}

static dialarc_cam_motion motion(const dialarc_camtable *table, double pump_deg)
{
    dialarc_cam_motion m = {0.0, 0.0, 0.0};
    dialarc_camtable_motion(table, pump_deg, &m);
    return m;
}

/* How much later a flank of the worn cam passes a lift than `pump_deg`; NaN: never. */
static double shift(const dialarc_camtable *worn, double lift_mm, dialarc_flank flank,
                    double pump_deg)
{
    double at = 0.0;
    if (dialarc_camtable_angle_at_lift(worn, lift_mm, flank, pump_deg, &at) != DIALARC_OK)
        return (double)NAN;
    return at - pump_deg;
}

dialarc_status dialarc_camcompare_array(const dialarc_camtable *reference,
                                        const dialarc_camtable *worn,
                                        double least_rate_mm_per_pump_deg, size_t n,
                                        const double *pump_deg, double *lost_mm,
                                        double *shift_pump_deg)
{
    dialarc_status status = check(reference, worn);
    if (status != DIALARC_OK)
        return status;
    if (n > 0 && (!pump_deg || !lost_mm || !shift_pump_deg))
        return DIALARC_ERR_NULL;
    if (!isfinite(least_rate_mm_per_pump_deg) || !darc_all_finite(n, pump_deg))
        return DIALARC_ERR_NOT_FINITE;
    if (!(least_rate_mm_per_pump_deg > 0.0))
        return DIALARC_ERR_POSITIVE;
    for (size_t i = 0; i < n; i++) {
        dialarc_cam_motion m = motion(reference, pump_deg[i]);
        double rate = m.rate_mm_per_pump_deg;
        lost_mm[i] = m.lift_mm - motion(worn, pump_deg[i]).lift_mm;
        shift_pump_deg[i] = (double)NAN;
        if (fabs(rate) >= least_rate_mm_per_pump_deg)
            shift_pump_deg[i] = shift(
                worn, m.lift_mm,
                rate > 0.0 ? DIALARC_FLANK_RISING : DIALARC_FLANK_FALLING, pump_deg[i]);
    }
    return DIALARC_OK;
}

/* Mean shift of a flank over the lifts that both cams reach. */
static double mean_shift(const dialarc_camtable *reference, const dialarc_camtable *worn,
                         dialarc_flank flank)
{
    extent e = extent_of(reference);
    double sum = 0.0;
    int count = 0;
    for (int k = 0; k < LEVELS; k++) {
        double part = 0.2 + 0.6 * k / (LEVELS - 1), at = 0.0;
        double lift = e.low_mm + part * (e.high_mm - e.low_mm);
        if (dialarc_camtable_angle_at_lift(reference, lift, flank, 0.0, &at) !=
            DIALARC_OK)
            continue;
        double later = shift(worn, lift, flank, at);
        if (!isfinite(later))
            continue;
        sum += later;
        count++;
    }
    return count > 0 ? sum / count : (double)NAN;
}

dialarc_status dialarc_camcompare_summary(const dialarc_camtable *reference,
                                          const dialarc_camtable *worn,
                                          dialarc_camwear *wear)
{
    dialarc_status status = wear ? check(reference, worn) : DIALARC_ERR_NULL;
    if (status != DIALARC_OK)
        return status;
    extent a = extent_of(reference), b = extent_of(worn);
    dialarc_camwear w = {
        .total_lift_lost_mm = (a.high_mm - a.low_mm) - (b.high_mm - b.low_mm),
        .greatest_loss_mm = -(double)INFINITY,
        .rising_shift_pump_deg = mean_shift(reference, worn, DIALARC_FLANK_RISING),
        .falling_shift_pump_deg = mean_shift(reference, worn, DIALARC_FLANK_FALLING)};
    for (int k = 0; k < PLACES; k++) {
        double at = a.period_deg * k / PLACES;
        double loss = motion(reference, at).lift_mm - motion(worn, at).lift_mm;
        if (!(loss > w.greatest_loss_mm))
            continue;
        w.greatest_loss_mm = loss;
        w.greatest_loss_pump_deg = at;
    }
    *wear = w;
    return DIALARC_OK;
}
