/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/law.h>

#include <math.h>
#include <string.h>

#include "cam/motion.h"

static const char *const names[DIALARC_LAW_COUNT] = {
    [DIALARC_LAW_UNKNOWN] = "unknown",
    [DIALARC_LAW_HARMONIC] = "harmonic",
    [DIALARC_LAW_CYCLOIDAL] = "cycloidal",
    [DIALARC_LAW_POLY345] = "poly345",
    [DIALARC_LAW_POLY4567] = "poly4567",
    [DIALARC_LAW_MODIFIED_SINE] = "modified_sine",
    [DIALARC_LAW_MODIFIED_TRAPEZOID] = "modified_trapezoid",
    [DIALARC_LAW_CONSTANT_RATE] = "constant_rate",
    [DIALARC_LAW_CONSTANT_RATE_HARMONIC] = "constant_rate_harmonic",
    [DIALARC_LAW_CONSTANT_RATE_CYCLOIDAL] = "constant_rate_cycloidal",
};

bool darc_law_known(dialarc_law law)
{
    return (int)law > DIALARC_LAW_UNKNOWN && (int)law < DIALARC_LAW_COUNT;
}

static bool has_blend(dialarc_law law)
{
    return law == DIALARC_LAW_CONSTANT_RATE ||
           law == DIALARC_LAW_CONSTANT_RATE_HARMONIC ||
           law == DIALARC_LAW_CONSTANT_RATE_CYCLOIDAL;
}

dialarc_status darc_law_check(dialarc_law law, double blend)
{
    if (!darc_law_known(law))
        return DIALARC_ERR_LAW;
    if (!isfinite(blend))
        return DIALARC_ERR_NOT_FINITE;
    if (has_blend(law) && !(blend >= 0.0 && blend <= 0.5))
        return DIALARC_ERR_BLEND;
    return DIALARC_OK;
}

const char *dialarc_law_name(dialarc_law law)
{
    return names[darc_law_known(law) ? law : DIALARC_LAW_UNKNOWN];
}

dialarc_status dialarc_law_from_name(const char *name, dialarc_law *law)
{
    if (!name || !law)
        return DIALARC_ERR_NULL;
    for (int i = DIALARC_LAW_UNKNOWN + 1; i < DIALARC_LAW_COUNT; i++) {
        if (strcmp(name, names[i]) != 0)
            continue;
        *law = (dialarc_law)i;
        return DIALARC_OK;
    }
    return DIALARC_ERR_LAW;
}

dialarc_status dialarc_law_motion(dialarc_law law, double blend, double u,
                                  dialarc_unit_motion *motion)
{
    if (!motion)
        return DIALARC_ERR_NULL;
    dialarc_status status = darc_law_check(law, blend);
    if (status != DIALARC_OK)
        return status;
    if (!isfinite(u))
        return DIALARC_ERR_NOT_FINITE;
    if (!(u >= 0.0 && u <= 1.0))
        return DIALARC_ERR_ANGLE;
    darc_motion m = darc_flank_motion(law, darc_blend(blend), u);
    *motion = (dialarc_unit_motion){m.s, m.v, m.a};
    return DIALARC_OK;
}

static dialarc_law_peaks peaks_of(dialarc_law law, double f)
{
    const double pi = DARC_PI, k = 4.0 + pi, t = 2.0 + pi;
    double rate = 1.0 / (1.0 - f);
    switch (law) {
    case DIALARC_LAW_HARMONIC:
        return (dialarc_law_peaks){0.5 * pi, 0.5 * pi * pi, HUGE_VAL};
    case DIALARC_LAW_CYCLOIDAL:
        return (dialarc_law_peaks){2.0, 2.0 * pi, 4.0 * pi * pi};
    case DIALARC_LAW_POLY345:
        return (dialarc_law_peaks){1.875, 10.0 / sqrt(3.0), 60.0};
    case DIALARC_LAW_POLY4567:
        return (dialarc_law_peaks){2.1875, 84.0 * sqrt(5.0) / 25.0, 52.5};
    case DIALARC_LAW_MODIFIED_SINE:
        return (dialarc_law_peaks){4.0 * pi / k, 4.0 * pi * pi / k,
                                   16.0 * pi * pi * pi / k};
    case DIALARC_LAW_MODIFIED_TRAPEZOID:
        return (dialarc_law_peaks){2.0, 8.0 * pi / t, 32.0 * pi * pi / t};
    case DIALARC_LAW_CONSTANT_RATE:
        return (dialarc_law_peaks){rate, rate / f, HUGE_VAL};
    case DIALARC_LAW_CONSTANT_RATE_HARMONIC:
        rate = 1.0 / (1.0 - 2.0 * f + 4.0 * f / pi);
        return (dialarc_law_peaks){rate, 0.5 * pi * rate / f, HUGE_VAL};
    case DIALARC_LAW_CONSTANT_RATE_CYCLOIDAL:
    case DIALARC_LAW_UNKNOWN: /* both were refused before */
    case DIALARC_LAW_COUNT:
        break;
    }
    return (dialarc_law_peaks){rate, 0.5 * pi * rate / f, 0.5 * pi * pi * rate / (f * f)};
}

dialarc_status dialarc_law_peak_factors(dialarc_law law, double blend,
                                        dialarc_law_peaks *peaks)
{
    if (!peaks)
        return DIALARC_ERR_NULL;
    dialarc_status status = darc_law_check(law, blend);
    if (status != DIALARC_OK)
        return status;
    *peaks = peaks_of(law, darc_blend(blend));
    return DIALARC_OK;
}
