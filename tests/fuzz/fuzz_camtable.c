/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any points as a cam table: motion, inverse, comparison with another cam. */
#include <dialarc/camcompare.h>

#include "fuzz_kit.h"

const char fuzz_name[] = "camtable";

#define MOST 64

/* Points at growing angles, with now and then one that is not. */
static size_t any_points(fuzz_bytes *b, double *x, double *y)
{
    size_t n = fuzz_byte(b) % MOST;
    double at = 0.0;
    for (size_t i = 0; i < n; i++) {
        unsigned step = fuzz_byte(b);
        at = step < 250 ? at + step / 25.0 : fuzz_number(b);
        x[i] = at;
        unsigned kind = fuzz_byte(b);
        y[i] = kind < 250 ? kind / 100.0 : fuzz_number(b);
    }
    return n;
}

static int small(const double *y, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (!(fabs(y[i]) < 1e6))
            return 0;
    return 1;
}

static void check_table(const dialarc_camtable *t, const double *x, const double *y,
                        size_t n, double at)
{
    double period, low, high, lift[MOST];
    FUZZ_CHECK(dialarc_camtable_range(t, &period, &low, &high) == DIALARC_OK);
    FUZZ_CHECK(dialarc_camtable_lift_array(t, n, x, lift) == DIALARC_OK);
    double least = period;
    for (size_t i = 0; i < n; i++) {
        double next = i + 1 < n ? x[i + 1] : x[0] + period;
        least = fmin(least, next - x[i]);
        FUZZ_CHECK(low <= y[i] && high >= y[i]);
    }
    /* Points crowded to a 1e-9 of the period cost digits: only others are held to this.
     */
    int crowded = least < 1e-3 * period || !small(y, n) || !(fabs(x[0]) < 1e6);
    double scale = fmax(fabs(low), fabs(high));
    for (size_t i = 0; i < n && !crowded; i++)
        FUZZ_CHECK(fabs(lift[i] - y[i]) <= 1e-9 * scale);
    if (!isfinite(at))
        return;
    dialarc_cam_motion m;
    FUZZ_CHECK(dialarc_camtable_motion(t, at, &m) == DIALARC_OK);
    if (crowded || !(fabs(at) < 1e6))
        return;
    FUZZ_CHECK(isfinite(m.rate_mm_per_pump_deg) &&
               isfinite(m.acceleration_mm_per_pump_deg2));
    FUZZ_CHECK(m.lift_mm >= low - 1e-9 * scale && m.lift_mm <= high + 1e-9 * scale);
}

static void check_inverse(const dialarc_camtable *t, double lift, dialarc_flank flank,
                          double near)
{
    double angle, period, low, high;
    dialarc_status status = dialarc_camtable_angle_at_lift(t, lift, flank, near, &angle);
    FUZZ_CHECK(status <= DIALARC_OK);
    FUZZ_CHECK(dialarc_camtable_range(t, &period, &low, &high) == DIALARC_OK);
    if (status == DIALARC_OK)
        FUZZ_CHECK(fabs(angle - near) <= 0.5 * period + 1e-15 * fabs(near) + 1e-12);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fuzz_bytes b = {data, size};
    double x[MOST], y[MOST], period = fuzz_field(&b, 20.0, 360.0), at = fuzz_number(&b);
    double lift = fuzz_byte(&b) / 100.0;
    unsigned choice = fuzz_byte(&b); /* comparing takes long: one in eight */
    dialarc_flank flank = choice & 1 ? DIALARC_FLANK_RISING : DIALARC_FLANK_FALLING;
    period = isnan(period) ? 90.0 : period;
    size_t n = any_points(&b, x, y);
    dialarc_camtable *t = NULL, *other = NULL;
    dialarc_status status = dialarc_camtable_new(n, x, y, period, &t);
    FUZZ_CHECK((t != NULL) == (status == DIALARC_OK));
    if (!t)
        return 0;
    check_table(t, x, y, n, at);
    check_inverse(t, lift, flank, isfinite(at) ? at : 0.0);
    n = choice % 8 == 1 ? any_points(&b, x, y) : 0;
    if (n && dialarc_camtable_new(n, x, y, period, &other) == DIALARC_OK) {
        dialarc_camwear wear;
        double lost[MOST], shift[MOST];
        FUZZ_CHECK(dialarc_camcompare_summary(t, other, 4, 1, 0.003, &wear) ==
                   DIALARC_OK);
        FUZZ_CHECK(dialarc_camcompare_array(t, other, 4, 1e-3, n, x, lost, shift) ==
                   DIALARC_OK);
    }
    dialarc_camtable_free(t);
    dialarc_camtable_free(other);
    return 0;
}
