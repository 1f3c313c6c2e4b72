/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Design: what readings will tell before they are taken, which to take, and when it is
 * enough.
 *
 * Model, errors and priors are those of dialarc_assess(), so what is foretold is what the
 * sweep will say of itself. Angles are those of the sweeps table.
 */
#ifndef DIALARC_DESIGN_H
#define DIALARC_DESIGN_H

#include <stddef.h>

#include <dialarc/advice.h>
#include <dialarc/api.h>
#include <dialarc/finding.h>
#include <dialarc/setup.h>
#include <dialarc/status.h>
#include <dialarc/sweep.h>
#include <dialarc/timing.h>
#include <dialarc/workspace.h>

/** Most angles of a reach, on the way forward. */
#define DIALARC_REACH_MAX 400

/** Most readings that are chosen at once. */
#define DIALARC_CHOOSE_MAX 200

/** The crank angles at which readings can be taken: first, first + step, ... up to last.
 */
typedef struct dialarc_reach {
    double first_crank_deg; /**< where the way forward begins, slack taken up, degrees */
    double last_crank_deg;  /**< where it ends, degrees, above first_crank_deg */
    double step_crank_deg;  /**< from one angle to the next, degrees, > 0 */
    int both_ways;          /**< 1: readings are taken on the way back, too; else 0 */
} dialarc_reach;

/** What readings will tell. Fields that cannot be given are DIALARC_UNKNOWN. */
typedef struct dialarc_expectation {
    double lift_mm;               /**< the lift at TDC that was thought of */
    double lift_u_mm;             /**< expanded uncertainty to be expected, 95 % */
    double lift_u_worst_mm;       /**< the largest for a lift within 0.15 mm of that */
    dialarc_budget budget;        /**< its standard uncertainty by component */
    double rate_mm_per_crank_deg; /**< slope of the lift at TDC */
    /** share of the lobes that a cam may have, of which these readings can be used; of a
     * stated cam 1 or 0 */
    double usable;
    double chance_in; /**< chance that a setting in mid-window will be told `in` */
    /** chance that one anywhere within 0.15 mm of lift_mm will be in, low or high */
    double chance_verdict;
    double narrowest_window_mm; /**< narrowest window that a lift in its middle is in */
    double tdc_sd_deg;          /**< as of dialarc_decision */
    double tdc_sd_needed_deg;   /**< as of dialarc_decision, for a lift in mid-window */
    dialarc_advice weakest;     /**< what would better it most */
    dialarc_findings findings;  /**< what such readings show even without scatter, where
                                   they cannot be used */
} dialarc_expectation;

/** Whether further readings are worth taking. */
typedef enum dialarc_prospect {
    DIALARC_PROSPECT_MORE = 0, /**< take the reading that is named */
    DIALARC_PROSPECT_ENOUGH,   /**< the sweep says all that is asked of it */
    DIALARC_PROSPECT_NEVER     /**< further readings will hardly decide it */
} dialarc_prospect;

/** The reading to take next. Fields that cannot be given are DIALARC_UNKNOWN. */
typedef struct dialarc_next {
    dialarc_prospect prospect;   /**< more, enough or never */
    double crank_deg;            /**< where to read next */
    dialarc_direction direction; /**< way in which to come there */
    double lift_mm;              /**< what the readings so far say */
    double lift_u_mm;            /**< its expanded uncertainty, 95 % */
    double lift_u_next_mm;       /**< the same to be expected after that reading */
    double chance_verdict; /**< chance of a verdict with four times as many readings */
    dialarc_advice advice; /**< why it is enough, or never: what to do instead */
} dialarc_next;

DIALARC_BEGIN_DECLS

/**
 * @brief What readings at given angles will tell, before a dial is read.
 *
 * A stated cam is taken as stated. Of one to be learned, 14 lobes are tried, seven laws
 * with a short and a long rise, and the root mean square of their uncertainties is told.
 *
 * @param[in,out] workspace  Workspace of this thread.
 * @param[in]  setup      What is known; checked by dialarc_setup_check().
 * @param[in]  lift_mm    Lift at TDC that is thought of, mm, above 0: mid-window, say.
 * @param[in]  n          Readings, 1..DIALARC_SWEEP_MAX.
 * @param[in]  crank_deg  n crank angles in the order in which they are come to, degrees.
 * @param[out] expectation  What is to be expected.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_RANGE,
 *         DIALARC_ERR_SIZE, DIALARC_ERR_LIFT (a lift that the cam has not),
 *         DIALARC_ERR_NO_MEMORY, or a code of dialarc_setup_check().
 * @par Equation
 * u^2 = g'(sum w x x' + P)^-1 g + (rate tdc_sd)^2 + cam_sd^2; x rows of the model, w
 * their expected weights, P the prior, g the gradient of the lift; a verdict when the
 * estimate, normal about the lift with sd u, lies within the acceptance limits
 * @par Source
 * Atkinson, Donev and Tobias, Optimum Experimental Designs, with SAS, 2007, chapters 9
 * and 17 (from memory); JCGM 106:2012, 8.3.
 */
DIALARC_API dialarc_status dialarc_design_expect(dialarc_workspace *workspace,
                                                 const dialarc_setup *setup,
                                                 double lift_mm, size_t n,
                                                 const double *crank_deg,
                                                 dialarc_expectation *expectation);

/**
 * @brief The n readings of a reach from which the lift at TDC is known best.
 *
 * Each angle is taken once a way. Some are settled beforehand: the one at TDC, two in the
 * base dwell (three with a cam to be learned), the turning point where the crank is
 * turned back, and evenly spaced ones, a fifth (half, and at least 12, of a cam to be
 * learned). The others are exchanged until none betters what is left when the worst
 * reading is lost, for lifts within 0.15 mm of that thought of.
 *
 * @param[in,out] workspace  Workspace of this thread.
 * @param[in]  setup      What is known; checked by dialarc_setup_check().
 * @param[in]  lift_mm    Lift at TDC that is thought of, mm, above 0.15.
 * @param[in]  reach      Where readings can be taken.
 * @param[in]  n          Readings, 6..DIALARC_CHOOSE_MAX, and no more than the reach has.
 * @param[out] plan_crank_deg  n crank angles in the order in which they are come to,
 * degrees.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_ANGLE (the
 *         reach: no step, beyond 720 degrees, upside down or without the angle of the
 *         window), DIALARC_ERR_SIZE (n, or a reach of more than DIALARC_REACH_MAX
 *         angles), DIALARC_ERR_LIFT, DIALARC_ERR_NO_SOLUTION,
 *         DIALARC_ERR_NO_MEMORY, or a code of dialarc_setup_check().
 * @par Source
 * c-optimal by Fedorov's exchange: Atkinson, Donev and Tobias, Optimum Experimental
 * Designs, with SAS, 2007, 10.4 and 12.6 (from memory); leaving one out: this project.
 */
DIALARC_API dialarc_status dialarc_design_choose(dialarc_workspace *workspace,
                                                 const dialarc_setup *setup,
                                                 double lift_mm,
                                                 const dialarc_reach *reach, size_t n,
                                                 double *plan_crank_deg);

/**
 * @brief The reading to take after those so far, or that it is enough.
 *
 * While the readings so far cannot be used, the next one of a plan by
 * dialarc_design_choose() that has not been taken; then the one that lessens the
 * uncertainty most. It is enough when there is a verdict; without a window, when the next
 * reading lessens the uncertainty by less than 1 %. It is never when as many have been
 * taken as are planned and four times as many lead to a verdict with a chance below 5 %;
 * the advice tells what would help.
 *
 * @param[in,out] workspace  Workspace of this thread.
 * @param[in]  setup    What is known; checked by dialarc_setup_check().
 * @param[in]  sweep    The readings so far; n may be 0. A reading against the running
 *                      direction is proposed only where directions are given or the
 *                      readings have come that far.
 * @param[in]  reach    Where readings can be taken.
 * @param[out] next     The reading to take.
 * @return DIALARC_OK, DIALARC_NOT_CONVERGED (written all the same), the codes of
 *         dialarc_assess(), and those of dialarc_design_choose() for the reach.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_design_next(dialarc_workspace *workspace,
                                               const dialarc_setup *setup,
                                               const dialarc_sweep *sweep,
                                               const dialarc_reach *reach,
                                               dialarc_next *next);

/**
 * @brief Word for a prospect: "more", "enough" or "never".
 *
 * @param[in] prospect  A prospect.
 * @return A constant string; "unknown" for other values.
 * @par Source
 * This project.
 */
DIALARC_API const char *dialarc_prospect_name(dialarc_prospect prospect);

DIALARC_END_DECLS
#endif
