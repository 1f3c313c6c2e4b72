/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdbool.h>
#include <stddef.h>

#include <dialarc/setup.h>

#include "core/finite.h"

dialarc_setup dialarc_setup_unknown(int lobes)
{
    const double unknown = DIALARC_UNKNOWN;
    return (dialarc_setup){
        .lobes = lobes,
        .crank_per_pump = unknown,
        .lift_low_mm = unknown,
        .lift_high_mm = unknown,
        .window_at = DIALARC_WINDOW_AT_UNKNOWN,
        .window_crank_deg = unknown,
        .cam_law = DIALARC_LAW_UNKNOWN,
        .cam_fall_law = DIALARC_LAW_UNKNOWN,
        .cam_blend = unknown,
        .cam_lift_mm = unknown,
        .rise_deg = unknown,
        .top_dwell_deg = unknown,
        .base_dwell_deg = unknown,
        .cam_sd_mm = unknown,
        .rise_sd_deg = unknown,
        .angle_sd_deg = unknown,
        .wheel_error_deg = unknown,
        .tdc_sd_deg = unknown,
        .dial_sd_mm = unknown,
        .dial_step_mm = unknown,
        .dial_turn_mm = unknown,
        .dial_sense = 0,
        .dial_hysteresis_mm = unknown,
        .dial_error_mm = unknown,
        .dial_calibration = NULL,
        .dial_preload_mm = unknown,
        .turned = DIALARC_TURNED_UNKNOWN,
        .turn_back = DIALARC_TURN_BACK_UNKNOWN,
        .firing_tdc = DIALARC_FIRING_TDC_UNKNOWN,
        .body_radius_mm = unknown,
        .sprocket_teeth = 0,
        .sprocket_radius_mm = unknown,
        .rotation = DIALARC_ROTATION_UNKNOWN,
    };
}

/* What is stated lies within the numbers that an engine can have. The first fields may be
 * differences, and then nearly 0. */
static dialarc_status check_reach(const dialarc_setup *s)
{
    enum { DIFFERENCES = 4 };
    const double fields[] = {
        s->window_crank_deg, s->lift_low_mm,        s->top_dwell_deg,
        s->base_dwell_deg,   s->cam_sd_mm,          s->rise_sd_deg,
        s->wheel_error_deg,  s->dial_error_mm,      s->body_radius_mm,
        s->crank_per_pump,   s->lift_high_mm,       s->cam_lift_mm,
        s->rise_deg,         s->angle_sd_deg,       s->tdc_sd_deg,
        s->dial_sd_mm,       s->dial_step_mm,       s->dial_turn_mm,
        s->cam_blend,        s->dial_hysteresis_mm, s->sprocket_radius_mm,
        s->dial_preload_mm,
    };
    for (size_t i = 0; i < sizeof fields / sizeof fields[0]; i++) {
        double size = fabs(fields[i]);
        if (isinf(size))
            return DIALARC_ERR_NOT_FINITE;
        if (isgreater(size, DARC_LARGEST) ||
            (i >= DIFFERENCES && isgreater(size, 0.0) && isless(size, DARC_SMALLEST)))
            return DIALARC_ERR_RANGE;
    }
    return DIALARC_OK;
}

/* isless() and its like are false for NaN and, unlike "<", raise no floating-point
 * exception: a field passes that is not known, also where the host traps exceptions. */
static dialarc_status check_window(const dialarc_setup *s)
{
    bool low_known = !isnan(s->lift_low_mm), high_known = !isnan(s->lift_high_mm);
    if (low_known != high_known || isless(s->lift_low_mm, 0.0) ||
        isgreaterequal(s->lift_low_mm, s->lift_high_mm) ||
        isgreaterequal(s->lift_low_mm, s->cam_lift_mm))
        return DIALARC_ERR_WINDOW;
    if (isgreater(fabs(s->window_crank_deg), 180.0))
        return DIALARC_ERR_ANGLE;
    return DIALARC_OK;
}

static double known_or_zero(double x)
{
    return isnan(x) ? 0.0 : x;
}

static bool is_law(dialarc_law law)
{
    return (int)law >= 0 && (int)law < DIALARC_LAW_COUNT;
}

static dialarc_status check_cam(const dialarc_setup *s)
{
    if (!is_law(s->cam_law) || !is_law(s->cam_fall_law))
        return DIALARC_ERR_LAW;
    if (s->cam_fall_law != DIALARC_LAW_UNKNOWN && s->cam_law == DIALARC_LAW_UNKNOWN)
        return DIALARC_ERR_LAW; /* of half a cam nothing is made */
    if (isless(s->cam_blend, 0.0) || isgreater(s->cam_blend, 0.5))
        return DIALARC_ERR_BLEND;
    if (islessequal(s->cam_lift_mm, 0.0))
        return DIALARC_ERR_LIFT;
    if (islessequal(s->rise_deg, 0.0) || isless(s->top_dwell_deg, 0.0) ||
        isless(s->base_dwell_deg, 0.0))
        return DIALARC_ERR_SEGMENTS;
    if (s->cam_law != DIALARC_LAW_UNKNOWN && isnan(s->rise_deg))
        return DIALARC_ERR_SEGMENTS;
    double taken = known_or_zero(s->rise_deg) + known_or_zero(s->top_dwell_deg) +
                   known_or_zero(s->base_dwell_deg);
    /* something must be left for the fall */
    if (!(360.0 / s->lobes - taken >= DARC_SMALLEST))
        return DIALARC_ERR_SEGMENTS;
    return DIALARC_OK;
}

static dialarc_status check_measuring(const dialarc_setup *s)
{
    if (isless(s->angle_sd_deg, 0.0) || isless(s->tdc_sd_deg, 0.0) ||
        isless(s->dial_sd_mm, 0.0) || isless(s->cam_sd_mm, 0.0) ||
        isless(s->rise_sd_deg, 0.0))
        return DIALARC_ERR_SD;
    if (isless(s->wheel_error_deg, 0.0))
        return DIALARC_ERR_ANGLE;
    if (isless(s->dial_step_mm, 0.0) || islessequal(s->dial_turn_mm, 0.0) ||
        isless(s->dial_hysteresis_mm, 0.0) || isless(s->dial_error_mm, 0.0) ||
        isless(s->dial_preload_mm, 0.0) ||
        isgreaterequal(s->dial_step_mm, s->dial_turn_mm) || s->dial_sense < -1 ||
        s->dial_sense > 1)
        return DIALARC_ERR_DIAL;
    return DIALARC_OK;
}

static dialarc_status check_drive(const dialarc_setup *s)
{
    if (islessequal(s->crank_per_pump, 0.0))
        return DIALARC_ERR_RATIO;
    if (s->sprocket_teeth < 0)
        return DIALARC_ERR_TEETH;
    if (islessequal(s->sprocket_radius_mm, 0.0) || islessequal(s->body_radius_mm, 0.0))
        return DIALARC_ERR_LENGTH;
    if ((int)s->rotation < -1 || (int)s->rotation > 1)
        return DIALARC_ERR_DIRECTION;
    return DIALARC_OK;
}

static bool listed(int choice, int last)
{
    return choice >= 0 && choice <= last;
}

static dialarc_status check_choices(const dialarc_setup *s)
{
    return listed((int)s->window_at, DIALARC_WINDOW_AT_MARK) &&
                   listed((int)s->turned, DIALARC_TURNED_BODY) &&
                   listed((int)s->turn_back, DIALARC_TURN_BACK_FORBIDDEN) &&
                   listed((int)s->firing_tdc, DIALARC_FIRING_TDC_NOT_SEEN)
               ? DIALARC_OK
               : DIALARC_ERR_CHOICE;
}

dialarc_status dialarc_setup_check(const dialarc_setup *setup)
{
    if (!setup)
        return DIALARC_ERR_NULL;
    if (setup->lobes < 1 || setup->lobes > DIALARC_LOBES_MAX)
        return DIALARC_ERR_LOBES;
    dialarc_status status = check_reach(setup);
    if (status == DIALARC_OK)
        status = check_cam(setup);
    if (status == DIALARC_OK)
        status = check_window(setup);
    if (status == DIALARC_OK)
        status = check_measuring(setup);
    if (status == DIALARC_OK)
        status = check_drive(setup);
    if (status == DIALARC_OK)
        status = check_choices(setup);
    return status;
}

int dialarc_setup_cam_known(const dialarc_setup *setup)
{
    return setup && setup->cam_law != DIALARC_LAW_UNKNOWN && !isnan(setup->rise_deg) &&
           !isnan(setup->top_dwell_deg) && !isnan(setup->base_dwell_deg);
}
