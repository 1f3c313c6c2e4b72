/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Advice: what to do next with a pump whose setting has been judged.
 */
#ifndef DIALARC_ADVICE_H
#define DIALARC_ADVICE_H

#include <dialarc/api.h>

/** What to do next; see dialarc_decision_judge() for when each is given. */
typedef enum dialarc_advice {
    DIALARC_ADVICE_NONE = 0,     /**< no window given */
    DIALARC_ADVICE_LEAVE,        /**< leave the pump as it is */
    DIALARC_ADVICE_TURN,         /**< set it to mid-window */
    DIALARC_ADVICE_TIGHTEN,      /**< tighten this setting and read it again */
    DIALARC_ADVICE_SEE_FINDINGS, /**< nothing can be said before they are put right */
    DIALARC_ADVICE_READ_AGAIN,   /**< first, more readings: they are the weakest point */
    DIALARC_ADVICE_FIND_TDC,     /**< first, TDC: it is the weakest point */
    DIALARC_ADVICE_LEARN_CAM,    /**< first, the cam: it is the weakest point */
    DIALARC_ADVICE_BETTER_DIAL,  /**< first, the dial: it is the weakest point */
    DIALARC_ADVICE_CENTRE_WHEEL  /**< first, the degree wheel: it is the weakest point */
} dialarc_advice;

DIALARC_BEGIN_DECLS

/**
 * @brief Word for an advice.
 *
 * @param[in] advice  An advice.
 * @return "leave", "turn", "tighten", "see_findings", "read_again", "find_tdc",
 *         "learn_cam", "better_dial", "centre_wheel", "" for none; "unknown" for other
 * values. A constant string.
 * @par Source
 * This project.
 */
DIALARC_API const char *dialarc_advice_name(dialarc_advice advice);

/**
 * @brief Sentence for an advice, in words a mechanic understands.
 *
 * @param[in] advice  An advice; other values get a sentence too.
 * @return A constant string in English; never NULL.
 * @par Source
 * Common practice, no source.
 */
DIALARC_API const char *dialarc_advice_text(dialarc_advice advice);

DIALARC_END_DECLS
#endif
