/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/crank.h>

#include <float.h>
#include <math.h>

#include "core/angle.h"
#include "core/finite.h"

/* Least part of the rod by which it exceeds radius and offset: else rounding locks it. */
#define LEAST_SPARE 1e-9

dialarc_status dialarc_crank_check(const dialarc_crank *crank)
{
    if (!crank)
        return DIALARC_ERR_NULL;
    if (!isfinite(crank->radius_mm) || !isfinite(crank->rod_mm) ||
        !isfinite(crank->offset_mm))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_positive(crank->radius_mm) || !darc_positive(crank->rod_mm))
        return DIALARC_ERR_LENGTH;
    double spare = crank->rod_mm - crank->radius_mm - fabs(crank->offset_mm);
    if (!(spare > LEAST_SPARE * crank->rod_mm))
        return DIALARC_ERR_CRANK;
    return DIALARC_OK;
}

static dialarc_status check(const dialarc_crank *crank, const void *out)
{
    return out ? dialarc_crank_check(crank) : DIALARC_ERR_NULL;
}

/* sqrt(a^2 - b^2) */
static double leg(double a, double b)
{
    return sqrt((a - b) * (a + b));
}

/* Height of the gudgeon pin over the crank centre, along the cylinder. */
typedef struct heights {
    double top; /* at TDC */
    double stroke;
} heights;

static heights heights_of(const dialarc_crank *crank)
{
    double r = crank->radius_mm, l = crank->rod_mm;
    double top = leg(l + r, crank->offset_mm), bottom = leg(l - r, crank->offset_mm);
    return (heights){top, 4.0 * l * r / (top + bottom)};
}

/*
 * Angle between the throw and the line from the crank centre to the gudgeon pin, 0..pi,
 * for a drop of 0..stroke. D^2 = y^2 + e^2 falls with the drop by drop * (2 top - drop);
 * nothing cancels.
 */
static double spread_of(const dialarc_crank *crank, double drop_mm)
{
    double r = crank->radius_mm, l = crank->rod_mm, full = l + r;
    double top = heights_of(crank).top;
    double lost = drop_mm * (2.0 * top - drop_mm);
    double d = sqrt(full * full - lost);
    double less = lost / (full + d) * (l + d - r); /* 2 r d (1 - cos) */
    double more = (d + r - l) * (d + r + l);       /* 2 r d (1 + cos) */
    return 2.0 * atan2(sqrt(less), sqrt(fmax(more, 0.0)));
}

/* How far that line has swung in running direction since TDC. */
static double swing_of(const dialarc_crank *crank, double drop_mm)
{
    double top = heights_of(crank).top, e = crank->offset_mm;
    return atan2(e * drop_mm, (top - drop_mm) * top + e * e);
}

dialarc_status dialarc_crank_stroke_mm(const dialarc_crank *crank, double *stroke_mm)
{
    dialarc_status status = check(crank, stroke_mm);
    if (status == DIALARC_OK)
        *stroke_mm = heights_of(crank).stroke;
    return status;
}

dialarc_status dialarc_crank_tdc_throw_deg(const dialarc_crank *crank, double *throw_deg)
{
    dialarc_status status = check(crank, throw_deg);
    if (status == DIALARC_OK)
        *throw_deg = asin(crank->offset_mm / (crank->radius_mm + crank->rod_mm)) /
                     DARC_RAD_PER_DEG;
    return status;
}

dialarc_status dialarc_crank_bdc_deg(const dialarc_crank *crank, double *crank_deg)
{
    dialarc_status status = check(crank, crank_deg);
    if (status != DIALARC_OK)
        return status;
    double r = crank->radius_mm, l = crank->rod_mm, e = crank->offset_mm;
    *crank_deg = 180.0 + (asin(e / (l - r)) - asin(e / (l + r))) / DARC_RAD_PER_DEG;
    return DIALARC_OK;
}

/*
 * In axes turned with the throw at TDC the drop q is the smaller root of
 * q^2 - 2 B q + K = 0, in which K vanishes at TDC as the square of the angle: unlike in
 * the usual formula nothing cancels there.
 */
static dialarc_crank_motion motion_at(const dialarc_crank *crank, double crank_deg)
{
    double r = crank->radius_mm, l = crank->rod_mm;
    double x = fmod(crank_deg, 360.0) * DARC_RAD_PER_DEG;
    double along = heights_of(crank).top / (r + l); /* cos of the TDC throw */
    double across = crank->offset_mm / (r + l);     /* and its sine */
    double m = 2.0 * r * sin(0.5 * x) * sin(0.5 * x), dm = r * sin(x), ddm = r * cos(x);
    double k = m * (l + r), dk = dm * (l + r), ddk = ddm * (l + r); /* K/2 */
    double b = (l + m) * along + across * dm;
    double db = dm * along + across * ddm;
    double ddb = ddm * along - across * dm;
    double root = sqrt(b * b - 2.0 * k);
    double q = 2.0 * k / (b + root);
    double dq = (dk - q * db) / root;
    double ddq = (ddk - 2.0 * dq * db - q * ddb + dq * dq) / root;
    return (dialarc_crank_motion){q, dq * DARC_RAD_PER_DEG,
                                  ddq * DARC_RAD_PER_DEG * DARC_RAD_PER_DEG};
}

dialarc_status dialarc_crank_motion_at(const dialarc_crank *crank, double crank_deg,
                                       dialarc_crank_motion *motion)
{
    dialarc_status status = check(crank, motion);
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(crank_deg))
        return DIALARC_ERR_NOT_FINITE;
    *motion = motion_at(crank, crank_deg);
    return DIALARC_OK;
}

dialarc_status dialarc_crank_drop_array(const dialarc_crank *crank, size_t n,
                                        const double *crank_deg, double *drop_mm)
{
    dialarc_status status = dialarc_crank_check(crank);
    if (status != DIALARC_OK)
        return status;
    if (n > 0 && (!crank_deg || !drop_mm))
        return DIALARC_ERR_NULL;
    if (!darc_all_finite(n, crank_deg))
        return DIALARC_ERR_NOT_FINITE;
    for (size_t i = 0; i < n; i++)
        drop_mm[i] = motion_at(crank, crank_deg[i]).drop_mm;
    return DIALARC_OK;
}

dialarc_status dialarc_crank_velocity(const dialarc_crank *crank, double crank_deg,
                                      double crank_rpm, double *velocity_m_per_s)
{
    dialarc_status status = check(crank, velocity_m_per_s);
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(crank_deg) || !isfinite(crank_rpm))
        return DIALARC_ERR_NOT_FINITE;
    if (!(crank_rpm >= 0.0 && crank_rpm <= DARC_LARGEST))
        return DIALARC_ERR_SPEED;
    double rate = motion_at(crank, crank_deg).rate_mm_per_crank_deg;
    *velocity_m_per_s = rate * 6.0 * crank_rpm / 1000.0;
    return DIALARC_OK;
}

dialarc_status dialarc_crank_angle_at_drop(const dialarc_crank *crank, double drop_mm,
                                           dialarc_side side, double *crank_deg)
{
    dialarc_status status = check(crank, crank_deg);
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(drop_mm))
        return DIALARC_ERR_NOT_FINITE;
    if (side != DIALARC_SIDE_BEFORE && side != DIALARC_SIDE_AFTER)
        return DIALARC_ERR_SIDE;
    /* a drop that was computed at BDC may lie a rounding above the stroke */
    double stroke = heights_of(crank).stroke;
    if (!(drop_mm >= 0.0 && drop_mm <= stroke * (1.0 + 4.0 * DBL_EPSILON)))
        return DIALARC_ERR_DROP;
    double drop = drop_mm < stroke ? drop_mm : stroke;
    double spread = spread_of(crank, drop) * (side == DIALARC_SIDE_AFTER ? 1 : -1);
    *crank_deg = (spread + swing_of(crank, drop)) / DARC_RAD_PER_DEG;
    return DIALARC_OK;
}
