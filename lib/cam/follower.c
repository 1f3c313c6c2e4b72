/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/follower.h>

#include <dialarc/camsmooth.h>
#include <math.h>
#include <stdbool.h>

#include "cam/camtable.h"
#include "cam/motion.h"
#include "core/angle.h"
#include "core/finite.h"
#include "core/normal.h"
#include "numeric/minimiser.h"

/* Places of the upper half of a flank at which its crest is looked for first. */
#define CREST_PLACES 2000

/* The sharpest place of a curve that errs is picked among many: so many of its standard
 * uncertainties must stand between it and the roller. */
#define CREST_SDS 3.0

static dialarc_status check(const dialarc_follower *follower)
{
    if (!follower)
        return DIALARC_ERR_NULL;
    if (!isfinite(follower->radius_mm) || !isfinite(follower->roller_mm))
        return DIALARC_ERR_NOT_FINITE;
    return darc_positive(follower->radius_mm) && darc_positive(follower->roller_mm)
               ? DIALARC_OK
               : DIALARC_ERR_LENGTH;
}

/* Slope of the developed curve, its tangent. */
static double tangent(const dialarc_follower *follower, double rate_mm_per_deg)
{
    return rate_mm_per_deg * DARC_DEG_PER_RAD / follower->radius_mm;
}

dialarc_status dialarc_follower_pressure(const dialarc_follower *follower,
                                         double rate_mm_per_pump_deg,
                                         double *pressure_deg)
{
    dialarc_status status = pressure_deg ? check(follower) : DIALARC_ERR_NULL;
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(rate_mm_per_pump_deg))
        return DIALARC_ERR_NOT_FINITE;
    *pressure_deg = atan(tangent(follower, rate_mm_per_pump_deg)) * DARC_DEG_PER_RAD;
    return DIALARC_OK;
}

/* Moves points along their normals, down (sign 1) or up (-1) by the roller radius. */
static dialarc_status offset(const dialarc_follower *follower, double sign, size_t n,
                             const double *deg, const double *mm, const double *rate,
                             double *out_deg, double *out_mm)
{
    dialarc_status status = check(follower);
    if (status != DIALARC_OK)
        return status;
    if (n > 0 && (!deg || !mm || !rate || !out_deg || !out_mm))
        return DIALARC_ERR_NULL;
    if (!darc_all_finite(n, deg) || !darc_all_finite(n, mm) || !darc_all_finite(n, rate))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_all_within(n, deg) || !darc_all_within(n, mm) || !darc_all_within(n, rate))
        return DIALARC_ERR_RANGE;
    double r = sign * follower->roller_mm;
    for (size_t i = 0; i < n; i++) {
        double t = tangent(follower, rate[i]), secant = hypot(1.0, t);
        /* r sin and r (1 - cos) of the pressure angle, the latter without cancellation */
        double aside = r * t / secant, down = aside * t / (1.0 + secant);
        out_deg[i] = deg[i] + aside / follower->radius_mm * DARC_DEG_PER_RAD;
        out_mm[i] = mm[i] + down;
    }
    return DIALARC_OK;
}

dialarc_status dialarc_follower_surface(const dialarc_follower *follower, size_t n,
                                        const double *pump_deg, const double *lift_mm,
                                        const double *rate_mm_per_pump_deg,
                                        double *surface_deg, double *surface_mm)
{
    return offset(follower, 1.0, n, pump_deg, lift_mm, rate_mm_per_pump_deg, surface_deg,
                  surface_mm);
}

dialarc_status dialarc_follower_pitch(const dialarc_follower *follower, size_t n,
                                      const double *surface_deg, const double *surface_mm,
                                      const double *slope_mm_per_pump_deg,
                                      double *pump_deg, double *lift_mm)
{
    return offset(follower, -1.0, n, surface_deg, surface_mm, slope_mm_per_pump_deg,
                  pump_deg, lift_mm);
}

/* Curvature of the pitch curve. */
static double bend(const dialarc_follower *follower, double rate, double acceleration)
{
    double secant = hypot(1.0, tangent(follower, rate));
    double second =
        acceleration * DARC_DEG_PER_RAD / follower->radius_mm * DARC_DEG_PER_RAD;
    return second / follower->radius_mm / secant / secant / secant;
}

dialarc_status dialarc_follower_curvature(const dialarc_follower *follower,
                                          double rate_mm_per_pump_deg,
                                          double acceleration_mm_per_pump_deg2,
                                          dialarc_curvature *curvature)
{
    dialarc_status status = curvature ? check(follower) : DIALARC_ERR_NULL;
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(rate_mm_per_pump_deg) || !isfinite(acceleration_mm_per_pump_deg2))
        return DIALARC_ERR_NOT_FINITE;
    if (fabs(rate_mm_per_pump_deg) > DARC_LARGEST ||
        fabs(acceleration_mm_per_pump_deg2) > DARC_LARGEST)
        return DIALARC_ERR_RANGE;
    double k = bend(follower, rate_mm_per_pump_deg, acceleration_mm_per_pump_deg2);
    double share = 1.0 + follower->roller_mm * k;
    if (!(share > 0.0))
        return DIALARC_ERR_UNDERCUT;
    *curvature = (dialarc_curvature){k, k / share};
    return DIALARC_OK;
}

/* One flank as the roller meets it. */
typedef struct flank {
    const dialarc_follower *follower;
    dialarc_law law;
    double blend, lift_mm, length_deg;
} flank;

static double bend_at(double u, const void *context)
{
    const flank *f = context;
    darc_motion m = darc_flank_motion(f->law, f->blend, u);
    double scale = f->lift_mm / f->length_deg;
    return bend(f->follower, scale * m.v, scale / f->length_deg * m.a);
}

/*
 * Place on the flank where its crest, the upper half, is sharpest. Some laws end in a
 * step of acceleration, so the last places before the top are looked at too.
 */
static double sharpest(const flank *f)
{
    const double step = 0.5 / CREST_PLACES, least = 1e-9;
    double best = 1.0 - least;
    for (int i = 0; i < CREST_PLACES; i++) {
        double u = 0.5 + (i + 0.5) * step;
        if (bend_at(u, f) < bend_at(best, f))
            best = u;
    }
    double low = fmax(best - step, 0.5), high = fmin(best + step, 1.0 - least);
    double refined = darc_minimum(bend_at, f, low, high, 1e-14);
    return bend_at(refined, f) < bend_at(best, f) ? refined : best;
}

/* Greatest pressure angle of a flank: at half-way, where every law is steepest. */
static double steepest_deg(const flank *f)
{
    double rate = f->lift_mm / f->length_deg * darc_flank_motion(f->law, f->blend, 0.5).v;
    return atan(tangent(f->follower, rate)) * DARC_DEG_PER_RAD;
}

/* A cam with a table, at a pump angle. */
typedef struct tabled {
    const dialarc_follower *follower;
    const dialarc_cam *cam;
} tabled;

static double tabled_bend(double pump_deg, const void *context)
{
    const tabled *t = context;
    dialarc_cam_motion m = darc_tabled_motion(t->cam, pump_deg);
    return bend(t->follower, m.rate_mm_per_pump_deg, m.acceleration_mm_per_pump_deg2);
}

/*
 * The survey of a curve that is known by its points: anywhere on the flanks may be the
 * steepest place, anywhere on the lobe the sharpest one.
 */
static dialarc_status survey_table(const dialarc_follower *follower,
                                   const dialarc_cam *cam,
                                   dialarc_follower_survey *survey)
{
    const tabled t = {follower, cam};
    double pitch = 360.0 / cam->lobes, step = pitch / (2 * CREST_PLACES);
    double up = 0.0, down = 0.0, sharpest_deg = 0.0;
    for (int i = 0; i < 2 * CREST_PLACES; i++) {
        double at = i * step;
        double rate = darc_tabled_motion(cam, at).rate_mm_per_pump_deg;
        up = fmax(up, rate);
        down = fmin(down, rate);
        if (tabled_bend(at, &t) < tabled_bend(sharpest_deg, &t))
            sharpest_deg = at;
    }
    double refined =
        darc_minimum(tabled_bend, &t, sharpest_deg - step, sharpest_deg + step, 1e-10);
    if (tabled_bend(refined, &t) < tabled_bend(sharpest_deg, &t))
        sharpest_deg = refined;
    dialarc_cam_motion sd;
    dialarc_status status =
        dialarc_camtable_motion_sd(cam->lobe_table, sharpest_deg, &sd);
    if (status != DIALARC_OK)
        return status;
    double k = tabled_bend(sharpest_deg, &t);
    double rate = darc_tabled_motion(cam, sharpest_deg).rate_mm_per_pump_deg;
    double sd_k =
        bend(follower, rate, sd.acceleration_mm_per_pump_deg2 * darc_tabled_scale(cam));
    double room = 1.0 + follower->roller_mm * k; /* above 0: the roller fits */
    double doubt = CREST_SDS * follower->roller_mm * sd_k;
    *survey = (dialarc_follower_survey){
        .rising_pressure_deg = atan(tangent(follower, up)) * DARC_DEG_PER_RAD,
        .falling_pressure_deg = -atan(tangent(follower, down)) * DARC_DEG_PER_RAD,
        .crest_radius_mm = -1.0 / k,
        .crest_pump_deg = sharpest_deg,
        .crest_u_per_mm = DARC_NORMAL_975 * sd_k,
        .undercut = room - doubt > 0.0   ? 0
                    : room + doubt > 0.0 ? -1
                                         : 1};
    return DIALARC_OK;
}

dialarc_status dialarc_follower_survey_cam(const dialarc_follower *follower,
                                           const dialarc_cam *cam,
                                           dialarc_follower_survey *survey)
{
    double fall_deg = 0.0;
    dialarc_status status = survey ? check(follower) : DIALARC_ERR_NULL;
    if (status == DIALARC_OK)
        status = dialarc_cam_fall_deg(cam, &fall_deg);
    if (status != DIALARC_OK)
        return status;
    if (cam->lobe_table)
        return survey_table(follower, cam, survey);
    double blend = darc_blend(cam->blend);
    flank rise = {follower, cam->law, blend, cam->lift_mm, cam->rise_deg};
    flank fall = {follower, cam->fall_law ? cam->fall_law : cam->law, blend, cam->lift_mm,
                  fall_deg};
    double up = sharpest(&rise), down = sharpest(&fall);
    bool on_rise = bend_at(up, &rise) <= bend_at(down, &fall);
    double k = on_rise ? bend_at(up, &rise) : bend_at(down, &fall);
    double end = 360.0 / cam->lobes - cam->base_dwell_deg;
    *survey = (dialarc_follower_survey){.rising_pressure_deg = steepest_deg(&rise),
                                        .falling_pressure_deg = steepest_deg(&fall),
                                        .crest_radius_mm = -1.0 / k,
                                        .crest_pump_deg = on_rise ? up * cam->rise_deg
                                                                  : end - down * fall_deg,
                                        .undercut = !(-1.0 / k > follower->roller_mm)};
    return DIALARC_OK;
}
