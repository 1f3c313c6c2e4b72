/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/diallimit.h>

#include <math.h>
#include <stddef.h>

/* Graduations given by a caller are decimal numbers that binary ones only approach. */
#define SAME_MM 1e-9

/* One grade of dials; limits in micrometres in the order of the items, 0: none. */
typedef struct grade {
    dialarc_bezel bezel;
    double graduation_mm;
    double range_mm; /* measuring range up to and including this */
    double limit_um[DIALARC_DIAL_ITEM_COUNT];
} grade;

/* JIS B 7503:2011; compared with refdata/dial_limits.csv in the tests. */
static const grade grades[] = {
    {DIALARC_BEZEL_STANDARD, 0.01, 1.0, {3, 3, 5, 8, 8, 8}},
    {DIALARC_BEZEL_STANDARD, 0.01, 3.0, {3, 3, 5, 8, 9, 10}},
    {DIALARC_BEZEL_STANDARD, 0.01, 5.0, {3, 3, 5, 9, 10, 12}},
    {DIALARC_BEZEL_STANDARD, 0.01, 10.0, {3, 3, 5, 9, 10, 15}},
    {DIALARC_BEZEL_STANDARD, 0.01, 20.0, {5, 4, 8, 10, 15, 25}},
    {DIALARC_BEZEL_STANDARD, 0.01, 30.0, {7, 5, 10, 12, 15, 30}},
    {DIALARC_BEZEL_STANDARD, 0.01, 50.0, {8, 5, 10, 12, 15, 40}},
    {DIALARC_BEZEL_STANDARD, 0.01, 100.0, {9, 5, 12, 17, 20, 50}},
    {DIALARC_BEZEL_STANDARD, 0.005, 5.0, {3, 3, 5, 9, 10, 12}},
    {DIALARC_BEZEL_STANDARD, 0.001, 1.0, {2, 0.5, 2, 3.5, 4, 5}},
    {DIALARC_BEZEL_STANDARD, 0.001, 2.0, {2, 0.5, 2, 4, 5, 7}},
    {DIALARC_BEZEL_STANDARD, 0.001, 5.0, {3, 1, 3.5, 5, 6, 10}},
    {DIALARC_BEZEL_SMALL, 0.01, 1.0, {4, 3, 0, 0, 0, 15}},
    {DIALARC_BEZEL_SMALL, 0.01, 3.0, {4, 3, 0, 0, 0, 16}},
    {DIALARC_BEZEL_SMALL, 0.01, 5.0, {4, 3, 0, 0, 0, 18}},
    {DIALARC_BEZEL_SMALL, 0.01, 10.0, {5, 3, 0, 0, 0, 20}},
    {DIALARC_BEZEL_SMALL, 0.005, 5.0, {3.5, 3, 0, 0, 0, 12}},
    {DIALARC_BEZEL_SMALL, 0.002, 1.0, {2.5, 1, 0, 0, 0, 6}},
    {DIALARC_BEZEL_SMALL, 0.001, 1.0, {2, 1, 0, 0, 0, 5}},
};

/* The first grade that holds the dial: ranges rise within a graduation. */
static const grade *find(dialarc_bezel bezel, double graduation_mm, double range_mm)
{
    for (size_t i = 0; i < sizeof grades / sizeof grades[0]; i++) {
        const grade *g = &grades[i];
        if (g->bezel == bezel && fabs(g->graduation_mm - graduation_mm) < SAME_MM &&
            range_mm <= g->range_mm)
            return g;
    }
    return NULL;
}

dialarc_status dialarc_diallimit_mm(dialarc_bezel bezel, double graduation_mm,
                                    double range_mm, dialarc_dial_item item,
                                    double *limit_mm)
{
    if (!limit_mm)
        return DIALARC_ERR_NULL;
    if (!isfinite(graduation_mm) || !isfinite(range_mm))
        return DIALARC_ERR_NOT_FINITE;
    if (!(range_mm > 0.0) || (int)item < 0 || (int)item >= DIALARC_DIAL_ITEM_COUNT)
        return DIALARC_ERR_DIAL;
    const grade *g = find(bezel, graduation_mm, range_mm);
    if (!g || !(g->limit_um[item] > 0.0))
        return DIALARC_ERR_DIAL;
    *limit_mm = g->limit_um[item] / 1000.0;
    return DIALARC_OK;
}

static dialarc_status divide(double limit_mm, double divisor, double *sd_mm)
{
    if (!sd_mm)
        return DIALARC_ERR_NULL;
    if (!isfinite(limit_mm))
        return DIALARC_ERR_NOT_FINITE;
    if (!(limit_mm >= 0.0))
        return DIALARC_ERR_DIAL;
    *sd_mm = limit_mm / divisor;
    return DIALARC_OK;
}

dialarc_status dialarc_diallimit_reading_sd(double limit_mm, double *sd_mm)
{
    return divide(limit_mm, sqrt(12.0), sd_mm);
}

dialarc_status dialarc_diallimit_lift_sd(double limit_mm, double *sd_mm)
{
    return divide(limit_mm, sqrt(6.0), sd_mm);
}
