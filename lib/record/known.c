/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/known.h"

#include <math.h>

#include <dialarc/diallimit.h>

/* What is assumed where a setup is silent. Common practice, no source, unless noted. */
#define CRANK_PER_PUMP 2.0 /* four-stroke */
#define ANGLE_SD_DEG   0.25
#define TDC_SD_DEG     0.5 /* of the mark about true TDC ... */
#define MARK_SD_DEG    0.1 /* ... and with which a mark or a pin is met */
#define DIAL_SD_MM     0.003
#define DIAL_STEP_MM   0.01
#define DIAL_TURN_MM   1.0
/* Half a 0.01 mm graduation; JIS B 7503:2011 allows 3 to 5 micrometres. */
#define HYSTERESIS_MM 0.005
/* Degree wheels are centred to a few tenths of a millimetre on a radius of 100. */
#define WHEEL_ERROR_DEG 0.25
/* Dials stand square to the plunger within 4 degrees, sd; 1 - cos of that is 0.42 % in
 * the root of the mean square. */
#define ASKEW_SD 0.004
/* Ground cams keep their form within 0.005 mm either way, and their angles within half a
 * degree. */
#define CAM_SD_MM   0.003
#define RISE_SD_DEG 0.25
/* No dial reads better: keeps the weights of the readings finite. */
#define LEAST_DIAL_SD_MM 1e-5

static double or_else(double value, double otherwise)
{
    return isnan(value) ? otherwise : value;
}

/* Half of what JIS B 7503:2011 allows within one turn, a span, to dials of a range of
 * 5 mm of this graduation or, where it names none, of the next coarser or finer. */
double darc_usual_dial_error(double step_mm)
{
    double graduation = step_mm > 0.002 ? 0.01 : 0.001, span = 0.0;
    dialarc_diallimit_mm(DIALARC_BEZEL_STANDARD, graduation, 5.0, DIALARC_DIAL_ONE_TURN,
                         &span);
    return 0.5 * span;
}

static darc_noise noise_of(const dialarc_setup *s)
{
    double step_mm = or_else(s->dial_step_mm, DIAL_STEP_MM);
    bool calibrated = s->dial_calibration && isnan(s->dial_error_mm);
    double low, high, u = 0.0;
    if (calibrated)
        dialarc_dialcal_range(s->dial_calibration, &low, &high, &u);
    return (darc_noise){
        .angle_sd_deg = or_else(s->angle_sd_deg, ANGLE_SD_DEG),
        .wheel_error_deg = or_else(s->wheel_error_deg, WHEEL_ERROR_DEG),
        .tdc_sd_deg =
            or_else(s->tdc_sd_deg,
                    s->window_at == DIALARC_WINDOW_AT_MARK ? MARK_SD_DEG : TDC_SD_DEG),
        .dial_sd_mm = fmax(or_else(s->dial_sd_mm, DIAL_SD_MM), LEAST_DIAL_SD_MM),
        .step_mm = step_mm,
        .turn_mm = or_else(s->dial_turn_mm, DIAL_TURN_MM),
        .hysteresis_max_mm = or_else(s->dial_hysteresis_mm, HYSTERESIS_MM),
        .dial_error_mm =
            calibrated ? 0.0 : or_else(s->dial_error_mm, darc_usual_dial_error(step_mm)),
        .dial_u_mm = u,
        .dial_askew_sd = isnan(s->dial_error_mm) ? ASKEW_SD : 0.0,
    };
}

static void state_cam(const dialarc_setup *s, darc_known *k)
{
    k->has_shape = dialarc_setup_cam_known(s);
    k->has_lift = !isnan(s->cam_lift_mm);
    k->cam = (dialarc_cam){.lobes = s->lobes,
                           .lift_mm = s->cam_lift_mm,
                           .rise_deg = s->rise_deg,
                           .top_dwell_deg = s->top_dwell_deg,
                           .base_dwell_deg = s->base_dwell_deg,
                           .law = s->cam_law,
                           .fall_law = s->cam_fall_law,
                           .blend = or_else(s->cam_blend, 0.0)};
    k->cam_sd_mm = or_else(s->cam_sd_mm, CAM_SD_MM);
    k->rise_sd_deg = or_else(s->rise_sd_deg, RISE_SD_DEG);
}

darc_known darc_known_of(const dialarc_setup *s)
{
    darc_known k = {
        .lobes = s->lobes,
        .crank_per_pump = or_else(s->crank_per_pump, CRANK_PER_PUMP),
        .dial = {s->dial_sense < 0 ? -1.0 : 1.0, s->dial_calibration,
                 or_else(s->dial_preload_mm, 0.0)},
        .noise = noise_of(s),
        .step_stated = !isnan(s->dial_step_mm),
        .dial_error_stated = !isnan(s->dial_error_mm) || s->dial_calibration,
        .has_window = !isnan(s->lift_low_mm) && !isnan(s->lift_high_mm),
        .window_crank_deg = or_else(s->window_crank_deg, 0.0),
        .low_mm = s->lift_low_mm,
        .high_mm = s->lift_high_mm,
        .turned = s->turned,
        .turn_back = s->turn_back,
        .firing_tdc_seen = s->firing_tdc == DIALARC_FIRING_TDC_SEEN,
        .has_body_radius = !isnan(s->body_radius_mm),
        .body_radius_mm = s->body_radius_mm,
        .has_teeth = s->sprocket_teeth > 0,
        .has_radius = !isnan(s->sprocket_radius_mm),
        .sprocket_teeth = s->sprocket_teeth,
        .sprocket_radius_mm = s->sprocket_radius_mm,
        .rotation = s->rotation,
    };
    state_cam(s, &k);
    return k;
}

double darc_reading_sd(const darc_noise *noise)
{
    return sqrt(noise->dial_sd_mm * noise->dial_sd_mm +
                noise->step_mm * noise->step_mm / 12.0);
}
