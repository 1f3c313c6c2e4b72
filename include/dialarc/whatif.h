/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * What-if: what each error or change does to the lift at TDC and to the advance.
 *
 * The chain from the dial to the running engine: the mechanic brings the dial to a
 * reading at his TDC mark and tightens. The true lift there differs from the reading by
 * cosine error, dial scale, hysteresis and tightening shift; the pump at true TDC differs
 * from that at the mark by the error of the mark, slack that was left in, stretch of the
 * belt and teeth. A worn cam reaches a lift later than it did when new: set to the same
 * lift, the pump stands earlier, and that is the advance told here.
 */
#ifndef DIALARC_WHATIF_H
#define DIALARC_WHATIF_H

#include <stddef.h>
#include <stdint.h>

#include <dialarc/api.h>
#include <dialarc/cam.h>
#include <dialarc/dial.h>
#include <dialarc/montecarlo.h>
#include <dialarc/setup.h>
#include <dialarc/status.h>

/** Inputs of the chain. */
typedef enum dialarc_whatif_input {
    DIALARC_WHATIF_READING = 0, /**< dial reading at the mark, from the minimum, mm,
                                   before tightening */
    DIALARC_WHATIF_TDC_MARK,    /**< mark minus true TDC, crank degrees; positive: late */
    DIALARC_WHATIF_SLACK,       /**< slack left in at the reading, crank degrees */
    DIALARC_WHATIF_SHIFT,       /**< change of lift on tightening, mm */
    DIALARC_WHATIF_TILT,        /**< spindle against travel, degrees, within 89 */
    DIALARC_WHATIF_SCALE,       /**< travel of the spindle over reading, less 1 */
    DIALARC_WHATIF_HYSTERESIS,  /**< by which the dial lags at the reading, mm, full width
                                 */
    DIALARC_WHATIF_STRETCH,     /**< advance by stretch of the drive in service, crank
                                   degrees, <= 0, as of dialarc_drive_stretch() */
    DIALARC_WHATIF_TEETH,       /**< teeth of the pump sprocket that the pump is early */
    DIALARC_WHATIF_RATIO,       /**< crank turns per pump turn, > 0 */
    DIALARC_WHATIF_WEAR, /**< part of each lift that the cam had lost when the pump was
                            set, 0 to below 1 */
    DIALARC_WHATIF_COUNT
} dialarc_whatif_input;

/** One case: what is fixed, and a distribution for each input. */
typedef struct dialarc_whatif {
    dialarc_cam cam;         /**< the cam as it was made */
    dialarc_cam cam_now;     /**< the cam as it is now, where that is known, such as a
                                measured lobe; lobes 0: as it was made */
    double target_lift_mm;   /**< lift at TDC that was wanted of it, mm */
    int pump_teeth;          /**< teeth of the pump sprocket; 0: not known, no teeth */
    dialarc_contact contact; /**< how a tilted spindle meets the plunger */
    dialarc_input input[DIALARC_WHATIF_COUNT]; /**< by dialarc_whatif_input */
} dialarc_whatif;

/** What becomes of a setting, or by how much per unit of an input. */
typedef struct dialarc_outcome {
    double lift_mm;           /**< true lift at true TDC */
    double advance_crank_deg; /**< by which the pump stands earlier than wanted */
} dialarc_outcome;

/** Outcome with its uncertainty by both ways. */
typedef struct dialarc_whatif_result {
    dialarc_outcome value;                 /**< at the centres of the inputs */
    dialarc_outcome sd;                    /**< standard uncertainty to first order */
    dialarc_propagation lift_mm;           /**< lift by Monte Carlo */
    dialarc_propagation advance_crank_deg; /**< advance by Monte Carlo */
} dialarc_whatif_result;

DIALARC_BEGIN_DECLS

/**
 * @brief Word for an input, with its unit.
 *
 * @param[in] input  An input.
 * @return A constant string such as "tdc_mark_crank_deg"; "unknown" for other values.
 * @par Source
 * This project.
 */
DIALARC_API const char *dialarc_whatif_name(dialarc_whatif_input input);

/**
 * @brief A case with one more change; several follow one another.
 *
 * @param[in]  whatif   The case.
 * @param[in]  name     An input, by dialarc_whatif_name().
 * @param[in]  change   By how much more, in the unit that the name ends in.
 * @param[out] changed  The case changed; may be whatif.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_CHOICE (no
 *         such name).
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_whatif_change(const dialarc_whatif *whatif,
                                                 const char *name, double change,
                                                 dialarc_whatif *changed);

/**
 * @brief The case of a setup whose cam is known: aimed at mid-window, errors as stated.
 *
 * Reading, TDC mark and hysteresis get the uncertainties of the setup (or what is assumed
 * in dialarc_plan_rounds()), the shift 0.015 mm about 0; everything else is fixed at what
 * it should be. Change the inputs to ask what if.
 *
 * @param[in]  setup   The setup; checked by dialarc_setup_check().
 * @param[out] whatif  The case.
 * @return DIALARC_OK, DIALARC_ERR_NULL, a code of dialarc_setup_check(), or
 *         DIALARC_ERR_LAW, DIALARC_ERR_LIFT, DIALARC_ERR_WINDOW when cam shape, total
 *         lift or window are not known.
 * @par Source
 * Common practice, no source.
 */
DIALARC_API dialarc_status dialarc_whatif_from_setup(const dialarc_setup *setup,
                                                     dialarc_whatif *whatif);

/**
 * @brief The case of a setup with a cam of its own, measured or learned for instance.
 *
 * @param[in]  setup   As for dialarc_whatif_from_setup(), but its cam is not asked for.
 * @param[in]  cam     The cam, with as many lobes; a table that it has must live as long
 *                     as the case.
 * @param[out] whatif  The case.
 * @return As dialarc_whatif_from_setup(), a code of dialarc_cam_check(), or
 *         DIALARC_ERR_LOBES (another number of lobes).
 * @par Source
 * Common practice, no source.
 */
DIALARC_API dialarc_status dialarc_whatif_from_cam(const dialarc_setup *setup,
                                                   const dialarc_cam *cam,
                                                   dialarc_whatif *whatif);

/**
 * @brief Outcome at the centres of the inputs.
 *
 * What cannot be is refused: slack or hysteresis below 0, stretch that advances, a dial
 * that runs backwards, wear below 0.
 *
 * @param[in]  whatif   The case; of each input the centre alone is used.
 * @param[out] outcome  Lift and advance.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_LIFT (lift at
 *         the mark, or wanted, that the cam has not), DIALARC_ERR_RATIO,
 *         DIALARC_ERR_ANGLE (tilt), DIALARC_ERR_TEETH (teeth without pump_teeth),
 *         DIALARC_ERR_DIAL (contact, hysteresis, scale), DIALARC_ERR_SLACK (slack,
 *         stretch), DIALARC_ERR_FRACTION (wear), or a code of dialarc_cam_check().
 * @par Equation
 * lift at mark = reading (1 + scale) cos(tilt) + hysteresis + shift, 1/cos for a point
 * contact; pump = angle(lift at mark / (1 - wear)) - (mark + slack - stretch) / ratio +
 * 360 teeth / pump_teeth; lift = (1 - wear) lift(pump), both of the cam as it is now;
 * advance = (pump - angle(target)) ratio, angle() of the cam as made
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_whatif_evaluate(const dialarc_whatif *whatif,
                                                   dialarc_outcome *outcome);

/**
 * @brief Sensitivities: partial derivatives of the outcome by each input.
 *
 * @param[in]  whatif  The case; of each input the centre alone is used.
 * @param[out] slope   DIALARC_WHATIF_COUNT derivatives, per unit of the input.
 * @return As dialarc_whatif_evaluate(); DIALARC_ERR_NO_SOLUTION when the cam does not
 * rise at the mark.
 * @par Equation
 * chain rule through dialarc_whatif_evaluate()
 * @par Source
 * JCGM 100:2008, 5.1.3.
 */
DIALARC_API dialarc_status dialarc_whatif_sensitivity(const dialarc_whatif *whatif,
                                                      dialarc_outcome *slope);

/**
 * @brief Outcome and its uncertainty, to first order and by Monte Carlo.
 *
 * Where both disagree the chain is not linear over the spread of its inputs, and Monte
 * Carlo is right. Distributions may reach beyond what dialarc_whatif_evaluate() takes, as
 * far as the chain can be followed.
 *
 * @param[in]  whatif  The case.
 * @param[in]  trials  Trials, DIALARC_TRIALS_MIN..DIALARC_TRIALS_MAX.
 * @param[in]  seed    Start of the generator; the same seed gives the same bits.
 * @param[out] result  Outcome; coverage intervals of 95 %.
 * @return As dialarc_whatif_sensitivity() and dialarc_propagate_monte_carlo(); trials
 *         that leave the cam are counted there.
 * @par Source
 * JCGM 100:2008, 5.1; JCGM 101:2008, clause 7.
 */
DIALARC_API dialarc_status dialarc_whatif_propagate(const dialarc_whatif *whatif,
                                                    size_t trials, uint32_t seed,
                                                    dialarc_whatif_result *result);

DIALARC_END_DECLS
#endif
