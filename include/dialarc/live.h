/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Live: a sweep while it is taken, line by line.
 *
 * What comes from a keyboard or an indicator goes in as text, in whatever pieces it
 * comes; out come the readings, the estimate so far and the next angle. It knows nothing
 * of ports and files. One thread at a time may use a live sweep.
 *
 * A line ends with a line feed, a carriage return or both. It holds an angle and a
 * reading, "-34 0.12", or a reading alone at the angle that was asked for last; "back",
 * which strikes the last reading; or "turn", from which on readings are taken on the way
 * back, or forward again. Blanks, tabs and semicolons stand between; so does a comma in a
 * line with a decimal point, in others it is the decimal sign. A sign may be + or -, or
 * U+2212; mm, in or a double prime may follow a reading, deg or a degree sign an angle.
 */
#ifndef DIALARC_LIVE_H
#define DIALARC_LIVE_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/design.h>
#include <dialarc/setup.h>
#include <dialarc/status.h>
#include <dialarc/sweep.h>
#include <dialarc/timing.h>

/** Most bytes of text that can be handed over at once. */
#define DIALARC_LIVE_PIECE_MAX 4096

/** Most readings of a live sweep. */
#define DIALARC_LIVE_MAX 10000

/** Largest size of a reading that is typed or sent, mm. */
#define DIALARC_LIVE_LARGEST_MM 30.0

/** A sweep while it is taken. */
typedef struct dialarc_live dialarc_live;

/** What a line was. */
typedef enum dialarc_heard {
    DIALARC_HEARD_WAITING = 0,    /**< no whole line has come yet */
    DIALARC_HEARD_BLANK,          /**< nothing in it */
    DIALARC_HEARD_READING,        /**< a reading, taken */
    DIALARC_HEARD_FROM_BEHIND,    /**< taken; it lies behind the last one of its way */
    DIALARC_HEARD_STRUCK,         /**< the last reading is struck */
    DIALARC_HEARD_TURNED,         /**< the way is the other one now */
    DIALARC_HEARD_REPEATED,       /**< the same line came twice at once: taken once */
    DIALARC_HEARD_NOT_UNDERSTOOD, /**< neither numbers nor a word that is known */
    DIALARC_HEARD_NO_ANGLE,       /**< a reading alone, and no angle was asked for */
    DIALARC_HEARD_OUT_OF_REACH,   /**< an angle that cannot be reached */
    DIALARC_HEARD_TOO_LARGE,      /**< a reading beyond DIALARC_LIVE_LARGEST_MM */
    DIALARC_HEARD_NOT_BACK,       /**< the way back is not to be read */
    DIALARC_HEARD_NOTHING_TAKEN,  /**< nothing to strike */
    DIALARC_HEARD_FULL            /**< DIALARC_LIVE_MAX readings have been taken */
} dialarc_heard;

/** A reading that was taken. */
typedef struct dialarc_taken {
    double crank_deg;            /**< crank angle, degrees */
    double dial_mm;              /**< dial reading, mm */
    dialarc_direction direction; /**< way in which it was come to: with or against */
    double time_s;               /**< when its line ended, by the clock of the host */
} dialarc_taken;

DIALARC_BEGIN_DECLS

/**
 * @brief Begins a live sweep.
 *
 * @param[in]  setup  What is known; copied. Checked by dialarc_setup_check().
 * @param[in]  reach  Where readings can be taken; angles a step beyond are taken, too.
 * @param[out] live   The sweep, without a reading; free with dialarc_live_free().
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NO_MEMORY, the codes of
 *         dialarc_design_choose() for the reach, or of dialarc_setup_check().
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_live_new(const dialarc_setup *setup,
                                            const dialarc_reach *reach,
                                            dialarc_live **live);

/**
 * @brief Frees a live sweep.
 *
 * @param[in] live  The sweep; NULL is allowed and does nothing.
 * @par Source
 * This project.
 */
DIALARC_API void dialarc_live_free(dialarc_live *live);

/**
 * @brief Takes what has come, and does what the next whole line says.
 *
 * One line a call: where more have come, call again with "" until the answer is
 * DIALARC_HEARD_WAITING. A half line is kept until the rest of it comes.
 *
 * @param[in,out] live    The sweep.
 * @param[in]     text    What has come, at most DIALARC_LIVE_PIECE_MAX bytes, ended by a
 *                        zero; "" for nothing.
 * @param[in]     time_s  Now, by any clock that does not run backwards, seconds.
 * @param[out]    heard   What the line was.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE (time_s),
 *         DIALARC_ERR_SIZE (text too long, or lines that were never asked for; none of it
 *         is kept), DIALARC_ERR_NO_MEMORY (the line is lost, no reading is).
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_live_hear(dialarc_live *live, const char *text,
                                             double time_s, dialarc_heard *heard);

/**
 * @brief Adds a reading that was taken before, as when a sweep is gone on with.
 *
 * @param[in,out] live   The sweep.
 * @param[in]     taken  The reading; its direction must be known.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_RANGE,
 *         DIALARC_ERR_DIRECTION, DIALARC_ERR_SIZE (DIALARC_LIVE_MAX readings),
 *         DIALARC_ERR_NO_MEMORY.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_live_add(dialarc_live *live,
                                            const dialarc_taken *taken);

/**
 * @brief How many readings have been taken and not struck.
 *
 * @param[in] live  The sweep; NULL counts as none.
 * @return Their number.
 * @par Source
 * This project.
 */
DIALARC_API size_t dialarc_live_count(const dialarc_live *live);

/**
 * @brief One of the readings.
 *
 * @param[in]  live   The sweep.
 * @param[in]  which  Which one, from 0 in the order taken.
 * @param[out] taken  The reading.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_SIZE (no such reading).
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_live_reading(const dialarc_live *live, size_t which,
                                                dialarc_taken *taken);

/**
 * @brief The line with which a reading came.
 *
 * @param[in] live   The sweep.
 * @param[in] index  Which reading, from 0 in the order taken.
 * @return The line without its end, until the next call that changes the sweep; "" of a
 *         reading that was added, NULL when there is no such reading.
 * @par Source
 * This project.
 */
DIALARC_API const char *dialarc_live_line(const dialarc_live *live, size_t index);

/**
 * @brief What the readings so far say: to the bit what the sweep says afterwards.
 *
 * @param[in,out] live    The sweep.
 * @param[out]    timing  As of dialarc_timing_estimate() for the readings with their
 *                        directions.
 * @return The codes of dialarc_timing_estimate().
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_live_timing(dialarc_live *live,
                                               dialarc_timing *timing);

/**
 * @brief The reading to take next; it is asked for from then on.
 *
 * @param[in,out] live  The sweep.
 * @param[out]    next  As of dialarc_design_next().
 * @return The codes of dialarc_design_next().
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_live_next(dialarc_live *live, dialarc_next *next);

/**
 * @brief Sentence for what a line was: what has been done, or what is wrong with it.
 *
 * @param[in] heard  What a line was.
 * @return A constant string in English; never NULL.
 * @par Source
 * This project.
 */
DIALARC_API const char *dialarc_heard_text(dialarc_heard heard);

DIALARC_END_DECLS
#endif
