/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/camcompare.h>

#include <gsl/gsl_cdf.h>
#include <math.h>

#include <dialarc/uncertainty.h>

#include "cam/camtable.h"
#include "core/finite.h"
#include "core/normal.h"

/* Places of a lobe at which loss and range are looked for. */
#define LOBE_PLACES 4096

/* Lifts at which the shift of a flank is taken, 20 to 80 % of the range. */
#define LEVELS 13

/* Relative difference of periods that still counts as none. */
#define SAME_PERIOD 1e-12

#define MOST_LOBES 16

static double period_of(const dialarc_camtable *table)
{
    double period_deg = 0.0, low_mm, high_mm;
    dialarc_camtable_range(table, &period_deg, &low_mm, &high_mm);
    return period_deg;
}

static dialarc_status check(const dialarc_camtable *reference,
                            const dialarc_camtable *worn, int lobes)
{
    if (!reference || !worn)
        return DIALARC_ERR_NULL;
    if (lobes < 1 || lobes > MOST_LOBES)
        return DIALARC_ERR_LOBES;
    double a = period_of(reference), b = period_of(worn);
    return fabs(a - b) <= SAME_PERIOD * a ? DIALARC_OK : DIALARC_ERR_ANGLE;
}

static dialarc_cam_motion motion(const dialarc_camtable *table, double pump_deg)
{
    dialarc_cam_motion m = {0.0, 0.0, 0.0};
    dialarc_camtable_motion(table, pump_deg, &m);
    return m;
}

/*
 * How much later a flank of the worn cam passes a lift than `pump_deg`; NaN: never. What
 * is half a pitch away is the flank of another lobe.
 */
static double shift(const dialarc_camtable *worn, double pitch_deg, double lift_mm,
                    dialarc_flank flank, double pump_deg)
{
    double at = 0.0;
    if (dialarc_camtable_angle_at_lift(worn, lift_mm, flank, pump_deg, &at) !=
            DIALARC_OK ||
        !(fabs(at - pump_deg) < 0.5 * pitch_deg))
        return (double)NAN;
    return at - pump_deg;
}

dialarc_status dialarc_camcompare_array(const dialarc_camtable *reference,
                                        const dialarc_camtable *worn, int lobes,
                                        double least_rate_mm_per_pump_deg, size_t n,
                                        const double *pump_deg, double *lost_mm,
                                        double *shift_pump_deg)
{
    dialarc_status status = check(reference, worn, lobes);
    if (status != DIALARC_OK)
        return status;
    if (n > 0 && (!pump_deg || !lost_mm || !shift_pump_deg))
        return DIALARC_ERR_NULL;
    if (!isfinite(least_rate_mm_per_pump_deg) || !darc_all_finite(n, pump_deg))
        return DIALARC_ERR_NOT_FINITE;
    if (!(least_rate_mm_per_pump_deg > 0.0))
        return DIALARC_ERR_POSITIVE;
    double pitch = period_of(reference) / lobes;
    for (size_t i = 0; i < n; i++) {
        dialarc_cam_motion m = motion(reference, pump_deg[i]);
        double rate = m.rate_mm_per_pump_deg;
        dialarc_flank flank = rate > 0.0 ? DIALARC_FLANK_RISING : DIALARC_FLANK_FALLING;
        lost_mm[i] = m.lift_mm - motion(worn, pump_deg[i]).lift_mm;
        shift_pump_deg[i] = fabs(rate) >= least_rate_mm_per_pump_deg
                                ? shift(worn, pitch, m.lift_mm, flank, pump_deg[i])
                                : (double)NAN;
    }
    return DIALARC_OK;
}

/* One lobe of both tables. */
typedef struct twins {
    const dialarc_camtable *reference, *worn;
    double first_deg, pitch_deg;
    double low_mm, high_mm; /* of the reference */
    double points;          /* of the sparser table */
    double sd_mm;           /* of the difference of two lifts */
} twins;

/* Fills the losses, and the range of the reference. */
static void survey(twins *t, dialarc_camwear *w)
{
    double low = (double)INFINITY, high = -(double)INFINITY;
    t->low_mm = low;
    t->high_mm = w->greatest_loss_mm = high;
    for (int k = 0; k < LOBE_PLACES; k++) {
        double at = t->first_deg + t->pitch_deg * k / LOBE_PLACES;
        double lift = motion(t->reference, at).lift_mm,
               left = motion(t->worn, at).lift_mm;
        t->low_mm = fmin(t->low_mm, lift);
        t->high_mm = fmax(t->high_mm, lift);
        low = fmin(low, left);
        high = fmax(high, left);
        if (!(lift - left > w->greatest_loss_mm))
            continue;
        w->greatest_loss_mm = lift - left;
        w->greatest_loss_pump_deg = at;
    }
    w->total_lift_lost_mm = (t->high_mm - t->low_mm) - (high - low);
    w->total_lift_lost_u_mm = DARC_NORMAL_975 * sqrt(2.0) * t->sd_mm;
}

/* How sure the greatest loss is, being the greatest of many. */
static void judge(const twins *t, dialarc_camwear *w)
{
    double z = 0.0;
    dialarc_uncertainty_t_quantile(pow(0.975, 1.0 / t->points), 0.0, &z);
    w->greatest_loss_u_mm = z * t->sd_mm;
    w->probability_chance = w->greatest_loss_mm > 0.0 ? 0.0 : 1.0;
    if (t->sd_mm > 0.0)
        w->probability_chance = -expm1(
            t->points * log1p(-gsl_cdf_ugaussian_Q(w->greatest_loss_mm / t->sd_mm)));
}

/* Mean shift of a flank over the lifts that both lobes reach, and its uncertainty. */
static double mean_shift(const twins *t, dialarc_flank flank, double *u_deg)
{
    double sum = 0.0, squares = 0.0, middle = t->first_deg + 0.5 * t->pitch_deg;
    double first_deg = 0.0, last_deg = 0.0;
    int count = 0;
    for (int k = 0; k < LEVELS; k++) {
        double part = 0.2 + 0.6 * k / (LEVELS - 1), at = 0.0;
        double lift = t->low_mm + part * (t->high_mm - t->low_mm);
        if (dialarc_camtable_angle_at_lift(t->reference, lift, flank, middle, &at) !=
            DIALARC_OK)
            continue;
        double later = shift(t->worn, t->pitch_deg, lift, flank, at);
        if (!isfinite(later))
            continue;
        double error = t->sd_mm / motion(t->reference, at).rate_mm_per_pump_deg;
        sum += later;
        squares += error * error;
        first_deg = count == 0 ? at : first_deg;
        last_deg = at;
        count++;
    }
    double points = fabs(last_deg - first_deg) / t->pitch_deg * t->points;
    double independent = fmin(fmax(points, 1.0), count);
    *u_deg =
        count > 0 ? DARC_NORMAL_975 * sqrt(squares / count / independent) : (double)NAN;
    return count > 0 ? sum / count : (double)NAN;
}

dialarc_status dialarc_camcompare_summary(const dialarc_camtable *reference,
                                          const dialarc_camtable *worn, int lobes,
                                          int lobe, double point_sd_mm,
                                          dialarc_camwear *wear)
{
    dialarc_status status = wear ? check(reference, worn, lobes) : DIALARC_ERR_NULL;
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(point_sd_mm))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_not_negative(point_sd_mm))
        return DIALARC_ERR_SD;
    if (lobe < 0 || lobe >= lobes)
        return DIALARC_ERR_SIZE;
    double pitch = period_of(reference) / lobes;
    size_t points = darc_camtable_points(reference), others = darc_camtable_points(worn);
    twins t = {.reference = reference,
               .worn = worn,
               .first_deg = lobe * pitch,
               .pitch_deg = pitch,
               .points = fmax((double)(points < others ? points : others) / lobes, 1.0),
               .sd_mm = point_sd_mm * sqrt(2.0)};
    dialarc_camwear w = {0};
    survey(&t, &w);
    judge(&t, &w);
    w.rising_shift_pump_deg =
        mean_shift(&t, DIALARC_FLANK_RISING, &w.rising_shift_u_pump_deg);
    w.falling_shift_pump_deg =
        mean_shift(&t, DIALARC_FLANK_FALLING, &w.falling_shift_u_pump_deg);
    *wear = w;
    return DIALARC_OK;
}
