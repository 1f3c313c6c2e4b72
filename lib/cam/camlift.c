/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cam/camlift.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <string.h>

#include "cam/motion.h"
#include "core/wide.h"

/* Angles per pass: both buffers stay in the first-level cache. */
#define BLOCK 512

/* Farther out the rounding trick of locate() no longer holds. */
#define FARTHEST_DEG 1e9

#define ZONES   3
#define HALF_PI (0.5 * DARC_PI)

/* On the lower half of a flank: c0 + c1 u + c2 u^2 + amplitude * cos(w u + phase). */
typedef struct zone {
    double c0, c1, c2, amplitude, w, phase;
} zone;

typedef enum shape { SHAPE_POLYNOMIAL, SHAPE_QUADRATIC, SHAPE_COSINE } shape;

typedef struct curve {
    shape shape;
    int zones;
    double edge[ZONES - 1]; /* u below edge[k] belongs to zone k */
    zone zone[ZONES];
    double c[8]; /* SHAPE_POLYNOMIAL */
} curve;

/* Where on a flank an angle lies. */
typedef struct place {
    double pitch_deg, per_pitch, per_rise, fall_end_deg, per_fall;
} place;

static curve cosine_curve(dialarc_law law)
{
    const double pi = DARC_PI, k = 1.0 / (4.0 + pi), t = 1.0 / (2.0 + pi);
    switch (law) {
    case DIALARC_LAW_HARMONIC:
        return (curve){SHAPE_COSINE, 1, {0}, {{0.5, 0, 0, -0.5, pi, 0}}, {0}};
    case DIALARC_LAW_CYCLOIDAL:
        return (curve){
            SHAPE_COSINE, 1, {0}, {{0, 1, 0, -0.5 / pi, 2 * pi, -HALF_PI}}, {0}};
    case DIALARC_LAW_MODIFIED_SINE:
        return (curve){SHAPE_COSINE,
                       2,
                       {0.125},
                       {{0, k * pi, 0, -0.25 * k, 4 * pi, -HALF_PI},
                        {2 * k, k * pi, 0, -2.25 * k, 4 * pi / 3, -pi / 6}},
                       {0}};
    default: { /* modified trapezoid */
        double a = 4 * pi * t, v = 2 * t - 0.25 * a;
        double s = t * (0.25 - 0.5 / pi - 0.25) + a / 64;
        return (curve){
            SHAPE_COSINE,
            3,
            {0.125, 0.375},
            {{0, 2 * t, 0, -0.5 * t / pi, 4 * pi, -HALF_PI},
             {s, v, a, 0, 0, 0},
             {-0.5 * pi * t, 2 * (1 + pi) * t, 0, -0.5 * t / pi, 4 * pi, -1.5 * pi}},
            {0}};
    }
    }
}

/* Constant rate: a blend, then a straight line. */
static curve blended_curve(dialarc_law law, double f)
{
    double rate = 1.0 / (1.0 - f), w = DARC_PI / f;
    curve c = {.shape = SHAPE_COSINE, .zones = 2, .edge = {f}};
    c.zone[1] = (zone){-0.5 * rate * f, rate, 0, 0, 0, 0};
    if (law == DIALARC_LAW_CONSTANT_RATE) {
        c.shape = SHAPE_QUADRATIC;
        c.zone[0].c2 = 0.5 * rate / f;
    } else if (law == DIALARC_LAW_CONSTANT_RATE_CYCLOIDAL) {
        c.zone[0] = (zone){0, 0.5 * rate, 0, -0.5 * rate / w, w, -HALF_PI};
    } else {
        rate = 1.0 / (1.0 - 2.0 * f + 4.0 * f / DARC_PI);
        w = HALF_PI / f;
        c.zone[0] = (zone){rate / w, 0, 0, -rate / w, w, 0};
        c.zone[1] = (zone){rate * (1.0 / w - f), rate, 0, 0, 0, 0};
    }
    return c;
}

static curve curve_of(dialarc_law law, double blend)
{
    switch (law) {
    case DIALARC_LAW_POLY345:
        return (curve){.shape = SHAPE_POLYNOMIAL, .c = {0, 0, 0, 10, -15, 6, 0, 0}};
    case DIALARC_LAW_POLY4567:
        return (curve){.shape = SHAPE_POLYNOMIAL, .c = {0, 0, 0, 0, 35, -84, 70, -20}};
    case DIALARC_LAW_CONSTANT_RATE:
    case DIALARC_LAW_CONSTANT_RATE_HARMONIC:
    case DIALARC_LAW_CONSTANT_RATE_CYCLOIDAL:
        return blended_curve(law, darc_blend(blend));
    default:
        return cosine_curve(law);
    }
}

/*
 * Angles to places on a flank: 0 at its foot, 1 at its top, dwells included. `falling`,
 * when wanted, is negative on the fall.
 */
DARC_INLINE void locate(const place *p, const double *deg, double *restrict u,
                        double *restrict falling)
{
    const double to_integer = 6755399441055744.0; /* 1.5 * 2^52 rounds what is added */
    const double pitch = p->pitch_deg, per_pitch = p->per_pitch, end = p->fall_end_deg;
    const double per_rise = p->per_rise, per_fall = p->per_fall;
    for (int i = 0; i < BLOCK; i++) {
        double turns = (deg[i] * per_pitch + to_integer) - to_integer;
        double r = deg[i] - turns * pitch;
        r += r < 0.0 ? pitch : 0.0;
        double rise = r * per_rise;
        double fall = (end - r) * per_fall;
        double x = rise < fall ? rise : fall;
        x = x < 1.0 ? x : 1.0;
        u[i] = x > 0.0 ? x : 0.0;
        if (falling)
            falling[i] = fall - rise;
    }
}

/*
 * cos t for |t| <= pi/2: the even polynomial of degree 16 with value 1 at 0 and the least
 * largest error, 5e-18, found by Remez exchange in 40 digits. At both ends it comes out
 * as 0, so that dwells are exact.
 */
DARC_INLINE double cosine(double t)
{
    double z = t * t;
    double s = 4.6102941837201801816e-14;
    s = s * z - 1.1463039371462821918e-11;
    s = s * z + 2.0876567741101437093e-9;
    s = s * z - 2.755731652522920269e-7;
    s = s * z + 2.4801587279149036459e-5;
    s = s * z - 1.3888888888785652355e-3;
    s = s * z + 4.1666666666664369266e-2;
    s = s * z - 0.49999999999999982524;
    return s * z + 1.0;
}

/* Displacements of a law built of zones; `zones` and `with_cosine` are constants. */
DARC_INLINE void fill_zones(const curve *c, int zones, bool with_cosine,
                            const double *restrict u, double *restrict s)
{
    const zone a = c->zone[0], b = c->zone[1], d = c->zone[2];
    const double first = c->edge[0], second = c->edge[1];
    for (int i = 0; i < BLOCK; i++) {
        double side = 0.5 - u[i], h = 0.5 - fabs(side);
        zone z = a;
        if (zones > 1) {
            z.c0 = h < first ? a.c0 : b.c0;
            z.c1 = h < first ? a.c1 : b.c1;
            z.c2 = h < first ? a.c2 : b.c2;
            z.amplitude = h < first ? a.amplitude : b.amplitude;
            z.w = h < first ? a.w : b.w;
            z.phase = h < first ? a.phase : b.phase;
        }
        if (zones > 2) {
            z.c0 = h < second ? z.c0 : d.c0;
            z.c1 = h < second ? z.c1 : d.c1;
            z.c2 = h < second ? z.c2 : d.c2;
            z.amplitude = h < second ? z.amplitude : d.amplitude;
            z.w = h < second ? z.w : d.w;
            z.phase = h < second ? z.phase : d.phase;
        }
        double lower = z.c0 + h * (z.c1 + h * z.c2);
        if (with_cosine)
            lower += z.amplitude * cosine(z.w * h + z.phase);
        s[i] = (side >= 0.0 ? 0.0 : 1.0) + copysign(lower, side);
    }
}

DARC_INLINE void fill_polynomial(const curve *c, const double *restrict u,
                                 double *restrict s)
{
    const double c3 = c->c[3], c4 = c->c[4], c5 = c->c[5], c6 = c->c[6], c7 = c->c[7];
    for (int i = 0; i < BLOCK; i++) {
        double side = 0.5 - u[i], h = 0.5 - fabs(side);
        double lower = h * h * h * (c3 + h * (c4 + h * (c5 + h * (c6 + h * c7))));
        s[i] = (side >= 0.0 ? 0.0 : 1.0) + copysign(lower, side);
    }
}

DARC_INLINE void fill_curve(const curve *c, const double *u, double *s)
{
    if (c->shape == SHAPE_POLYNOMIAL)
        fill_polynomial(c, u, s);
    else if (c->shape == SHAPE_QUADRATIC)
        fill_zones(c, 2, false, u, s);
    else if (c->zones == 1)
        fill_zones(c, 1, true, u, s);
    else if (c->zones == 2)
        fill_zones(c, 2, true, u, s);
    else
        fill_zones(c, 3, true, u, s);
}

typedef struct plan {
    place place;
    curve rise, fall;
    bool same; /* both flanks follow one law */
    double lift_mm;
} plan;

/* BLOCK angles; `lift` may be `deg` itself, which is read before lift is written. */
DARC_INLINE void fill_block(const plan *p, const double *deg, double *lift)
{
    double u[BLOCK], s[BLOCK];
    if (p->same) {
        locate(&p->place, deg, u, NULL);
        fill_curve(&p->rise, u, s);
    } else {
        double falling[BLOCK], other[BLOCK];
        locate(&p->place, deg, u, falling);
        fill_curve(&p->rise, u, s);
        fill_curve(&p->fall, u, other);
        for (int i = 0; i < BLOCK; i++)
            s[i] = falling[i] < 0.0 ? other[i] : s[i];
    }
    const double total = p->lift_mm;
    for (int i = 0; i < BLOCK; i++)
        lift[i] = total * (s[i] > 0.0 ? s[i] : 0.0); /* no rounding below the dwell */
}

/* Whether BLOCK numbers are finite and near enough for locate(). */
DARC_INLINE bool all_near(const double *deg)
{
    uint64_t far = 0;
    for (int i = 0; i < BLOCK; i++)
        far |= fabs(deg[i]) <= FARTHEST_DEG ? (uint64_t)0 : (uint64_t)1;
    return far == 0;
}

DARC_INLINE bool fill_all(const plan *p, size_t n, const double *deg, double *lift)
{
    double rest[BLOCK] = {0.0};
    size_t whole = n - n % BLOCK;
    memcpy(rest, deg + whole, (n - whole) * sizeof *rest);
    bool near = all_near(rest);
    for (size_t i = 0; i < whole && near; i += BLOCK)
        near = all_near(deg + i);
    if (!near)
        return false;
    for (size_t i = 0; i < whole; i += BLOCK)
        fill_block(p, deg + i, lift + i);
    fill_block(p, rest, rest);
    memcpy(lift + whole, rest, (n - whole) * sizeof *rest);
    return true;
}

#if DARC_HAVE_WIDE
DARC_WIDE static bool fill_wide(const plan *p, size_t n, const double *deg, double *lift)
{
    return fill_all(p, n, deg, lift);
}
#endif

static plan plan_of(const dialarc_cam *cam)
{
    double pitch = 360.0 / cam->lobes;
    double end = pitch - cam->base_dwell_deg;
    double fall = end - cam->rise_deg - cam->top_dwell_deg;
    dialarc_law fall_law = cam->fall_law ? cam->fall_law : cam->law;
    return (plan){{pitch, 1.0 / pitch, 1.0 / cam->rise_deg, end, 1.0 / fall},
                  curve_of(cam->law, cam->blend),
                  curve_of(fall_law, cam->blend),
                  fall_law == cam->law,
                  cam->lift_mm};
}

bool darc_cam_lift_plain(const dialarc_cam *cam, size_t n, const double *pump_deg,
                         double *lift_mm)
{
    plan p = plan_of(cam);
    return fill_all(&p, n, pump_deg, lift_mm);
}

bool darc_cam_lift_many(const dialarc_cam *cam, size_t n, const double *pump_deg,
                        double *lift_mm)
{
#if DARC_HAVE_WIDE
    if (darc_is_wide()) {
        plan p = plan_of(cam);
        return fill_wide(&p, n, pump_deg, lift_mm);
    }
#endif
    return darc_cam_lift_plain(cam, n, pump_deg, lift_mm);
}
