/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Timing: what a recorded sweep says about plunger lift at TDC, and how far to trust it.
 * dialarc_assess() and dialarc_timing_estimate() fill it in.
 */
#ifndef DIALARC_TIMING_H
#define DIALARC_TIMING_H

#include <stddef.h>

#include <dialarc/finding.h>
#include <dialarc/setup.h>

/** Intervals of dialarc_timing.rise_mm. */
#define DIALARC_RISE_INTERVALS 64

/** Uncertainty of the lift at TDC by component: standard uncertainties, mm. */
typedef struct dialarc_budget {
    double readings_mm;   /**< scatter of dial and angle readings, graduation included */
    double tdc_mm;        /**< error of the TDC mark times the lift rate */
    double hysteresis_mm; /**< part of the dial hysteresis that the sweep does not show */
    double cam_mm;        /**< shape of the cam, or the tolerance of a stated one */
    double dial_mm;       /**< errors of indication of the dial, askew included */
    double wheel_mm;      /**< eccentricity of the degree wheel */
    double total_mm;      /**< root sum of squares of the above */
} dialarc_budget;

/** What a sweep says about the setting. Lengths in mm, angles in crank degrees unless
 * named. Where the setup asks for its window at another crank angle than TDC, or at a
 * mark, "at TDC" is there: lift_crank_deg says where. Such a lift is no lift at TDC for
 * the functions of delivery and injection. Fields that cannot be given are
 * DIALARC_UNKNOWN. */
typedef struct dialarc_timing {
    double lift_mm; /**< true plunger lift at TDC, slack taken up in running direction */
    double lift_u_mm;            /**< its expanded uncertainty, 95 % */
    double lift_crank_deg;       /**< crank angle of that lift: 0, or window_crank_deg */
    dialarc_budget budget;       /**< its standard uncertainty by component */
    double minimum_mm;           /**< dial reading at zero lift, hysteresis removed */
    double minimum_u_mm;         /**< expanded, 95 % */
    double minimum_crank_deg;    /**< crank angle of the foot of the rise before TDC */
    double minimum_u_crank_deg;  /**< expanded, 95 %; of a learned cam with a share of the
                                    angle in which the lift climbs out of the scatter */
    double slack_crank_deg;      /**< full play of the drive; DIALARC_UNKNOWN in a one-way
                                    sweep */
    double slack_u_crank_deg;    /**< expanded, 95 % */
    double dial_hysteresis_mm;   /**< full width */
    double dial_hysteresis_u_mm; /**< expanded, 95 % */
    double rate_mm_per_crank_deg; /**< slope of the lift at TDC */
    double total_lift_mm;         /**< total lift of the cam */
    double rise_pump_deg;         /**< length of the rise, pump degrees */
    /** lift at equal steps of the rise, foot to top */
    double rise_mm[DIALARC_RISE_INTERVALS + 1];
    dialarc_law law;           /**< the law given, or the likeliest one when learned */
    double law_probability;    /**< posterior probability of that law; 1 when given */
    int cam_learned;           /**< 1 when the cam was learned from the sweep */
    double scatter;            /**< rms of accepted residuals over their expected sd */
    size_t readings_used;      /**< readings that carry the result */
    size_t readings_rejected;  /**< readings set aside as misread */
    dialarc_findings findings; /**< rows count from 0 within the sweep */
} dialarc_timing;

#endif
