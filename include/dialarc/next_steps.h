/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Next steps: what to do with a pump whose setting has been judged, step by step, in
 * words for the person who does it. Every page of dialarc says these.
 */
#ifndef DIALARC_NEXT_STEPS_H
#define DIALARC_NEXT_STEPS_H

#include <stddef.h>

#include <dialarc/advice.h>
#include <dialarc/api.h>
#include <dialarc/decision.h>
#include <dialarc/rounds.h>
#include <dialarc/setup.h>
#include <dialarc/status.h>
#include <dialarc/timing.h>

/** Bytes that hold the sentences of any step, zero byte included. */
#define DIALARC_STEP_SIZE 1024

/** What is to be done. */
typedef enum dialarc_step_code {
    DIALARC_STEP_NONE = 0,     /**< nothing: there are no more steps */
    DIALARC_STEP_FIND_WINDOW,  /**< look up the window and enter it */
    DIALARC_STEP_PUT_RIGHT,    /**< put right what stops the verdict */
    DIALARC_STEP_SEE_CAUTIONS, /**< see to the findings that say caution */
    DIALARC_STEP_BETTER_FIRST, /**< better the weakest point before anything is moved */
    DIALARC_STEP_TDC_NEEDED,   /**< how well TDC, or the mark, must be known */
    DIALARC_STEP_ALL_THE_SAME, /**< what follows is for who sets it anew all the same */
    DIALARC_STEP_TURN,         /**< turn the pump to mid-window */
    DIALARC_STEP_WHOLE_TOOTH,  /**< look whether the drive is a tooth out */
    DIALARC_STEP_COME_FORWARD, /**< come to TDC, or the mark, with the slack taken up */
    DIALARC_STEP_AIM,          /**< the reading to aim at */
    DIALARC_STEP_TIGHTEN,      /**< tighten, turn by hand, and read again */
    DIALARC_STEP_LEAVE_SMALL,  /**< leave it: the correction is not worth making */
    DIALARC_STEP_LEAVE_GOOD,   /**< leave it: it is in the window */
    DIALARC_STEP_TORQUE,       /**< closing: fasteners to the maker's torque */
    DIALARC_STEP_TURN_BY_HAND, /**< closing: pins out, two turns by hand, read again */
    DIALARC_STEP_CLOSE_UP,     /**< closing: cold-start advance back, dial out, plug in */
    DIALARC_STEP_FUEL,         /**< closing: lines and bleeding */
    DIALARC_STEP_LEAKS         /**< closing: start, and look for leaks */
} dialarc_step_code;

/** A step. Numbers that do not belong to its code, or are not known, are
 * DIALARC_UNKNOWN. */
typedef struct dialarc_step {
    dialarc_step_code code; /**< what is to be done */
    int number;             /**< counts from 1; 0: belongs to the step before */
    int of_rounds;          /**< 1: of work without a degree wheel; 0: of a sweep */
    dialarc_advice advice;  /**< that of the decision, of which the step is a part */
    /** `turn`: way to turn what the setup says is turned, the body the other way than
     * the shaft, seen from the drive end; else unknown */
    dialarc_rotation turn_rotation;
    double turn_pump_deg;      /**< `turn` and `leave_small`: as in the decision */
    double turn_u_pump_deg;    /**< its expanded uncertainty, 95 % */
    double turn_along_mm;      /**< `turn`: the same along the rim of what is turned */
    double turn_teeth;         /**< `turn`: the same in sprocket teeth */
    double back_crank_deg;     /**< `come_forward`: so far back first, or more */
    double aim_mm;             /**< `aim`: decision.aim_mm as this dial can show it */
    double aim_probability_in; /**< chance to be in the window then, once tight */
    double tdc_sd_deg;         /**< `tdc_needed`: as in the decision */
    double tdc_sd_needed_deg;  /**< as in the decision; 0: none would do */
} dialarc_step;

DIALARC_BEGIN_DECLS

/**
 * @brief A step of what to do next, after a sweep.
 *
 * aim_mm of the step is rounded to the graduation, dial_step_mm or 0.01 mm, as long as
 * that moves it by no more than a third of the window's half width; else to half of it,
 * or to 0.001 mm. A correction counts as a tooth's from 0.75 teeth on. The steps after
 * `leave_good` are the closing list.
 *
 * @param[in]  setup     Window, drive and dial; checked by dialarc_setup_check().
 * @param[in]  timing    What the sweep says; its slack and findings are used.
 * @param[in]  decision  What dialarc_decision_judge() or dialarc_joint_assess() made of
 *                       it.
 * @param[in]  which     Which step, counting from 0. Take them until the code is `none`.
 * @param[out] step      The step.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE (an infinity in the
 *         decision, or the slack), or a code of dialarc_setup_check().
 * @par Source
 * Common practice, no source.
 */
DIALARC_API dialarc_status dialarc_next_step(const dialarc_setup *setup,
                                             const dialarc_timing *timing,
                                             const dialarc_decision *decision,
                                             size_t which, dialarc_step *step);

/**
 * @brief A step of what to do next, after a round without a degree wheel.
 *
 * @param[in]  setup  Window, drive and dial; checked by dialarc_setup_check().
 * @param[in]  plan   What dialarc_plan_rounds() made of the rounds.
 * @param[in]  which  Which step, counting from 0. Take them until the code is `none`.
 * @param[out] step   The step.
 * @return As dialarc_next_step().
 * @par Source
 * Common practice, no source.
 */
DIALARC_API dialarc_status dialarc_next_round_step(const dialarc_setup *setup,
                                                   const dialarc_plan *plan, size_t which,
                                                   dialarc_step *step);

/**
 * @brief The sentences of a step, in words a mechanic understands.
 *
 * @param[in]  setup   The setup for which the step was made.
 * @param[in]  step    The step.
 * @param[out] text    Room for the sentences: English, one line, ASCII, ended by a zero
 *                     byte; empty for `none`.
 * @param[in]  size    Size of that room, bytes, at least DIALARC_STEP_SIZE.
 * @param[out] length  Length of the text without the zero byte; may be NULL.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_SIZE, DIALARC_ERR_CHOICE (no such
 *         code), DIALARC_ERR_NOT_FINITE (an infinity in the step), or a code of
 *         dialarc_setup_check().
 * @par Source
 * Common practice, no source.
 */
DIALARC_API dialarc_status dialarc_step_text(const dialarc_setup *setup,
                                             const dialarc_step *step, char *text,
                                             size_t size, size_t *length);

DIALARC_END_DECLS
#endif
