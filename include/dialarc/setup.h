/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Setup: what is known of an engine, its pump, the dial and the degree wheel.
 *
 * The fields are the columns of the setups table. A field that is not known holds
 * DIALARC_UNKNOWN (a quiet NaN), the one place where a number that is not finite is
 * accepted. dialarc ships no manufacturer's settings: the user supplies the window
 * from the service literature, and with it what it refers to. Where that is a mark or a
 * locking pin itself (window_at), the pump is right when it is right there, wherever
 * true TDC may be: then tdc_sd_deg is the sd with which the mark is met, 0.1 when not
 * known, and angles are counted from the mark.
 */
#ifndef DIALARC_SETUP_H
#define DIALARC_SETUP_H

#include <math.h>

#include <dialarc/api.h>
#include <dialarc/cam.h>
#include <dialarc/dialcal.h>
#include <dialarc/status.h>

/** Marks a field of a setup, or of a result, that is not known. */
#define DIALARC_UNKNOWN ((double)NAN)

/** Most lobes a pump may have. */
#define DIALARC_LOBES_MAX 16

/** Sense of rotation of the pump shaft seen from its drive end. */
typedef enum dialarc_rotation {
    DIALARC_ROTATION_UNKNOWN = 0,
    DIALARC_ROTATION_CW = 1,
    DIALARC_ROTATION_CCW = -1
} dialarc_rotation;

/** What the crank angle of the window is counted from. */
typedef enum dialarc_window_at {
    DIALARC_WINDOW_AT_UNKNOWN = 0, /**< not known: taken as true TDC */
    DIALARC_WINDOW_AT_TDC,         /**< true TDC: the error of the mark counts */
    DIALARC_WINDOW_AT_MARK /**< the mark or locking pin itself, wherever it stands */
} dialarc_window_at;

/** What the mechanic turns to correct the setting. */
typedef enum dialarc_turned {
    DIALARC_TURNED_UNKNOWN = 0, /**< not known: corrections are told for the shaft */
    DIALARC_TURNED_SHAFT,       /**< sprocket or shaft, the body standing still */
    DIALARC_TURNED_BODY         /**< the pump body in its slots */
} dialarc_turned;

/** Whether the crank may be turned against its running direction. */
typedef enum dialarc_turn_back {
    DIALARC_TURN_BACK_UNKNOWN = 0, /**< not known: the mechanic is told to look it up */
    DIALARC_TURN_BACK_ALLOWED,     /**< it may */
    DIALARC_TURN_BACK_FORBIDDEN    /**< never: the belt or its tensioner forbids it */
} dialarc_turn_back;

/** Whether crank angle 0 was seen to be the timed cylinder's firing TDC, by cams or
 * valves. */
typedef enum dialarc_firing_tdc {
    DIALARC_FIRING_TDC_UNKNOWN = 0, /**< not known: the mechanic is told to look */
    DIALARC_FIRING_TDC_SEEN,        /**< it was */
    DIALARC_FIRING_TDC_NOT_SEEN     /**< it was not: as when not known */
} dialarc_firing_tdc;

/** One row of the setups table. */
typedef struct dialarc_setup {
    int lobes;             /**< cam lobes, 1..16; the only field that must be known */
    double crank_per_pump; /**< crank turns per pump turn, > 0; 2 when not known */
    double lift_low_mm;    /**< lower limit of the window, mm, >= 0 */
    double lift_high_mm;   /**< upper limit of the window, mm, > lift_low_mm */
    dialarc_window_at window_at; /**< what the window refers to */
    double window_crank_deg;   /**< its crank angle, -180..180; 0, TDC, when not known */
    dialarc_law cam_law;       /**< DIALARC_LAW_UNKNOWN: the cam is learned */
    dialarc_law cam_fall_law;  /**< law of the fall; DIALARC_LAW_UNKNOWN: as the rise */
    double cam_blend;          /**< blend at each end of constant-rate laws, up to 0.5;
                                  0.25 when 0 or not known */
    double cam_lift_mm;        /**< total lift, mm, > 0; right to 5 % (sd) */
    double rise_deg;           /**< pump degrees, > 0 */
    double top_dwell_deg;      /**< pump degrees, >= 0 */
    double base_dwell_deg;     /**< pump degrees, >= 0 */
    double cam_sd_mm;          /**< sd of the form of a stated cam, mm, >= 0; 0.003;
                                    0: its law is certain, no other is weighed */
    double rise_sd_deg;        /**< sd of each of its angles, pump degrees, >= 0; 0.25 */
    double angle_sd_deg;       /**< sd of one angle reading, as the table has it, >= 0 */
    double wheel_error_deg;    /**< half span of the wheel's error over a turn, likewise;
                                  0.25 when not known */
    double tdc_sd_deg;         /**< sd of the TDC mark, or with which it is met, crank */
    double dial_sd_mm;         /**< sd of one dial reading without rounding, mm, >= 0 */
    double dial_step_mm;       /**< graduation to which the dial is read, mm, >= 0 */
    double dial_turn_mm;       /**< travel of one turn of the needle, mm, > 0 */
    int dial_sense;            /**< 1: rises with the lift; -1: falls; 0: not known, 1 */
    double dial_hysteresis_mm; /**< largest full hysteresis the dial may have, mm, >= 0 */
    double dial_error_mm; /**< largest error of indication from the minimum on, a stem
                             that is not square included, mm, >= 0; not known: 0.005
                             or, of a graduation up to 0.002, 0.003, and 0.4 % of the
                             travel */
    const dialarc_dialcal *dial_calibration; /**< its calibration, which corrects the
                              readings; NULL: none. What it leaves, its u_mm, then
                              counts in place of dial_error_mm, unless that is stated
                              too, and 0.4 % of the travel for a stem not square */
    double dial_preload_mm; /**< reading of the calibration at which this dial shows 0:
                               how far its stem is in then, mm, >= 0; 0 when not known */
    dialarc_turned turned;  /**< what is turned to correct the setting */
    dialarc_turn_back turn_back;   /**< whether the crank may be turned back */
    dialarc_firing_tdc firing_tdc; /**< whether firing TDC was seen to be that */
    double body_radius_mm;     /**< radius at which a turn of the body shows, mm, > 0 */
    int sprocket_teeth;        /**< pump sprocket teeth; 0: not known */
    double sprocket_radius_mm; /**< radius at which movement is measured, mm, > 0 */
    dialarc_rotation rotation; /**< pump rotation seen from the drive end */
} dialarc_setup;

DIALARC_BEGIN_DECLS

/**
 * @brief A setup in which nothing is known but the lobe count.
 *
 * @param[in] lobes  Cam lobes, 1..16 (not checked here; see dialarc_setup_check()).
 * @return The setup; every other field says "not known".
 * @par Source
 * This project.
 */
DIALARC_API dialarc_setup dialarc_setup_unknown(int lobes);

/**
 * @brief Whether a setup is usable.
 *
 * @param[in] setup  The setup.
 * @return DIALARC_OK; DIALARC_ERR_NULL; or the code that names the field at fault:
 *         DIALARC_ERR_LOBES, DIALARC_ERR_RATIO, DIALARC_ERR_WINDOW, DIALARC_ERR_LAW,
 *         DIALARC_ERR_LIFT, DIALARC_ERR_SEGMENTS, DIALARC_ERR_SD, DIALARC_ERR_DIAL,
 *         DIALARC_ERR_TEETH, DIALARC_ERR_LENGTH, DIALARC_ERR_DIRECTION (rotation),
 *         DIALARC_ERR_ANGLE (window_crank_deg, wheel_error_deg), DIALARC_ERR_CHOICE
 *         (window_at, turned, turn_back, firing_tdc), DIALARC_ERR_NOT_FINITE (an
 *         infinity), DIALARC_ERR_RANGE (beyond 1e9, or not 0 and below 1e-9).
 * @note One window limit without the other is DIALARC_ERR_WINDOW, and so is a window
 *       that begins at or above cam_lift_mm. A law without rise_deg is
 *       DIALARC_ERR_SEGMENTS. dial_step_mm not below dial_turn_mm is DIALARC_ERR_DIAL.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_setup_check(const dialarc_setup *setup);

/**
 * @brief Whether a setup fixes the cam's shape (law and segment angles).
 *
 * @param[in] setup  The setup; NULL counts as no.
 * @return 1 when law, rise and both dwells are known (total lift may be unknown), else 0.
 * @par Source
 * This project.
 */
DIALARC_API int dialarc_setup_cam_known(const dialarc_setup *setup);

DIALARC_END_DECLS
#endif
