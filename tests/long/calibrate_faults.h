/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What real instruments and careless hands do to a sweep: the table of faults, and sweeps
 * with one of them.
 */
#ifndef CALIBRATE_FAULTS_H
#define CALIBRATE_FAULTS_H

#include <stdbool.h>

#include <dialarc.h>

#include "kit/simulate_shape.h"
#include "kit/simulate_slips.h"

/* With what a fault is tried. */
enum { KNOWN = 1, LEARNED = 2, ONE_WAY = 4, TWO_WAY = 8, EVERY_WAY = 15 };

typedef enum tool_kind { ANY_TOOL, COARSE, FINE, DIGITAL } tool_kind;
typedef enum cam_form { A_LAW, DRAWN, MEASURED } cam_form;
typedef enum told_law { TRUE_LAW, OTHER_LAW, NEAREST_LAW } told_law;

/* The term of a setup that speaks of a fault, if there is one. */
typedef enum stated_term {
    NO_TERM,
    DIAL_ERROR,
    DIAL_HYSTERESIS,
    WHEEL_ERROR,
    CAM_FORM,
    RISE_LENGTH
} stated_term;

/* One fault and its size; what is 0 is as it should be. */
typedef struct fault {
    const char *name;
    double least_use;      /* share of the sweeps, %, that ought to get a lift, or 0 */
    unsigned tried;        /* 0: every way */
    stated_term term;      /* tried blank, and stated truly */
    sim_slip slip;         /* of the hand that writes */
    double window_factor;  /* by which the window is mistyped */
    told_law law;          /* what the setup says of the cam */
    cam_form form;         /* of the cam */
    tool_kind tool;        /* dial and wheel, stated truly */
    bool unstated;         /* scatter of dial and wheel is left blank */
    bool whole_degrees;    /* each stand is a mark of the wheel; nothing wrong in that */
    int stands;            /* of one pass to a little after TDC; 0: a usual sweep */
    int readings;          /* at each stand */
    double late_deg;       /* crank degrees past the foot where the sweep begins */
    double off_mm;         /* lift below which the dial has lost the plunger */
    double stop_mm;        /* lift at which it stands at its stop */
    double dial_factor;    /* true scatter of the dial over the stated one */
    double wheel_factor;   /* ... and of the wheel */
    double askew_deg;      /* of the stem against the plunger */
    double scale;          /* of the dial: share of the travel */
    double turn_error_mm;  /* of the dial, once a turn, half the span */
    double wheel_deg;      /* of the wheel, once a turn, half the span */
    double windup_deg;     /* of the drive, crank degrees at twice the mean rate */
    double slack_share;    /* by which the slack varies */
    double creep_mm;       /* of the zero, settling */
    double drift_mm;       /* of the zero, evenly */
    double wear_mm;        /* off the middle of the rise */
    double rise_off_deg;   /* stated rise beside the true one */
    double hysteresis_mm;  /* the true one, where 0.004 is stated */
    double overshot_share; /* of the readings: approached from beyond */
} fault;

extern const fault faults[];
extern const int faults_n;

/* A fault, tried with one kind of cam and of sweep, its term stated or blank. */
typedef struct family {
    const fault *fault;
    bool learned, two_way, stated;
} family;

/* Flanks of a measured cam, for those families whose form is MEASURED. */
typedef struct measured_cam {
    sim_shape rise, fall;
} measured_cam;

/* One sweep as it was written down, with the setup as it was stated and the truth. */
typedef struct trial {
    sim_job job;
    sim_shape rise, fall;
    double path_deg[SIM_MAX], overshoot_deg[SIM_MAX];
    sim_sweep sweep;
    sim_sheet sheet;
    dialarc_setup setup;
    double lift_mm;         /* at true TDC */
    double low_mm, high_mm; /* the window that was meant */
} trial;

void draw_trial(const family *of, const measured_cam *measured, sim_random *random,
                trial *to);

#endif
