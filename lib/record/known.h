/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A setup with its blanks resolved: what is stated, and what is assumed where it is
 * silent. This is the one place that reads the blanks of a setup on the way from readings
 * to a verdict; what stands below takes numbers.
 */
#ifndef DARC_KNOWN_H
#define DARC_KNOWN_H

#include <stdbool.h>

#include <dialarc/cam.h>
#include <dialarc/setup.h>

#include "record/travel.h"

/* Errors of dial and wheel. */
typedef struct darc_noise {
    double angle_sd_deg;    /* crank */
    double wheel_error_deg; /* half span over a turn, crank */
    double tdc_sd_deg;      /* of the place from which angles are counted, crank */
    double dial_sd_mm;      /* of a reading, rounding apart */
    double step_mm;         /* graduation; 0: not rounded */
    double turn_mm;         /* travel of one turn of the needle */
    double hysteresis_max_mm;
    double dial_error_mm; /* largest error of indication, from the minimum on */
    double dial_u_mm; /* instead of it: standard uncertainty of a calibration; 0: none */
    double dial_askew_sd; /* of an error in proportion to travel besides */
} darc_noise;

typedef struct darc_known {
    int lobes;
    double crank_per_pump;
    darc_dial_use dial;
    darc_noise noise;
    bool step_stated;       /* false: the graduation is assumed */
    bool dial_error_stated; /* false: so is the largest error of indication */
    bool has_window;
    double window_crank_deg;       /* crank angle at which it is asked for */
    double low_mm, high_mm;        /* the window, if there is one */
    bool has_shape;                /* law and segments of the cam are stated */
    bool has_lift;                 /* its total lift is */
    dialarc_cam cam;               /* what of it is stated */
    double cam_sd_mm, rise_sd_deg; /* how well */
    dialarc_turned turned;
    dialarc_turn_back turn_back;
    bool firing_tdc_seen; /* that crank angle 0 is firing TDC of the timed cylinder */
    bool has_body_radius;
    double body_radius_mm;
    bool has_teeth, has_radius; /* of the sprocket */
    int sprocket_teeth;
    double sprocket_radius_mm;
    dialarc_rotation rotation;
} darc_known;

/* Resolves a setup that has passed dialarc_setup_check(). */
darc_known darc_known_of(const dialarc_setup *setup);

/* Largest error of indication of a usual dial of this graduation, mm. */
double darc_usual_dial_error(double step_mm);

/* sd of one dial reading, graduation included, mm. */
double darc_reading_sd(const darc_noise *noise);

#endif
