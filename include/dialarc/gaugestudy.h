/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Gauge study: what several hands find on several engines, each more than once, tells how
 * well this shop measures, and which windows its method can judge.
 *
 * A lift is mean + engine + hand + engine and hand together + repetition, each but the
 * mean drawn from a normal distribution of its own. Hands must meet on engines: when each
 * measures engines of his own, nothing tells hands from engines. Engines are those of one
 * type, with one window. What all lifts share, such as a dial or a mark that is wrong, no
 * study shows.
 */
#ifndef DIALARC_GAUGESTUDY_H
#define DIALARC_GAUGESTUDY_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/status.h>

/** Engines, and hands, are numbered from 0 to below this. */
#define DIALARC_GAUGE_LEVELS_MAX 32

/** Most pairs of an engine and a hand of which there are lifts. */
#define DIALARC_GAUGE_CELLS_MAX 256

/** Most lifts of a study. */
#define DIALARC_GAUGE_LIFTS_MAX 100000

/** One lift that was measured. */
typedef struct dialarc_gauge_lift {
    double lift_mm; /**< what was found, mm, at most 1e9 either way */
    int engine;     /**< number of the engine as it was set */
    int hand;       /**< number of who measured it */
} dialarc_gauge_lift;

/** A line of the analysis of variance. */
typedef struct dialarc_gauge_line {
    double dof;             /**< degrees of freedom; 0: the design has no such line */
    double squares_mm2;     /**< sum of squares, mm^2 */
    double mean_square_mm2; /**< the same a degree of freedom; UNKNOWN without any */
    double f;               /**< ratio to the mean square that it would have if its
                                 component were 0; UNKNOWN without one, or within */
} dialarc_gauge_line;

/** A component of variance, or a sum of them. All fields are DIALARC_UNKNOWN where the
 * design does not show it. */
typedef struct dialarc_component {
    double variance_mm2; /**< by the mean squares, unbiased: below 0 at times, mm^2 */
    double sd_mm; /**< standard deviation by restricted maximum likelihood, mm, >= 0 */
    double sd_low_mm;  /**< lower end of its interval of 95 %, mm */
    double sd_high_mm; /**< upper end, mm */
} dialarc_component;

/** What a study says. */
typedef struct dialarc_gauge_study {
    size_t lifts;                 /**< how many there were */
    size_t engines;               /**< engines that were measured */
    size_t hands;                 /**< hands that measured */
    double mean_mm;               /**< mean of all lifts */
    dialarc_gauge_line by_engine; /**< engines, what hands explain taken off */
    dialarc_gauge_line by_hand;   /**< hands, what engines explain taken off */
    dialarc_gauge_line by_both; /**< what neither explains of the means of a hand's lifts
                                   of an engine */
    dialarc_gauge_line within;  /**< lifts of one hand of one engine; where none was
                                   repeated what by_both would be */
    dialarc_component engine;   /**< settings of the engines */
    dialarc_component hand;     /**< hands, the same on every engine */
    dialarc_component engine_hand;     /**< hands, another on every engine */
    dialarc_component repetition;      /**< a hand that measures an engine again; holds
                                          engine_hand, too, where no hand did */
    dialarc_component repeatability;   /**< s_r: that of repetition */
    dialarc_component reproducibility; /**< s_R: of one lift by whatever hand: hand,
                                          engine_hand and repetition */
} dialarc_gauge_study;

/** Whether a method can judge a window. Fields that cannot be given are UNKNOWN. */
typedef struct dialarc_gauge_window {
    double sd_mm;      /**< of one lift: reproducibility, of one hand alone repeatability,
                          and what all lifts share */
    double sd_low_mm;  /**< lower end of its interval of 95 %, mm */
    double sd_high_mm; /**< upper end, mm */
    double sd_needed_mm; /**< largest with which a lift in mid-window is told `in` */
    int can;             /**< 1: it can judge the window; -1: it cannot; 0: the study is
                            too small to tell */
    double narrowest_window_mm; /**< narrowest that sd_mm can judge */
    double consumer; /**< share of engines, set as those of the study, that would
                        be told `in` and are not */
    double producer; /**< share that are in and would not be told so */
} dialarc_gauge_window;

DIALARC_BEGIN_DECLS

/**
 * @brief Components of variance of repeated lifts, balanced or not.
 *
 * @param[in]  n      Lifts, 2..DIALARC_GAUGE_LIFTS_MAX.
 * @param[in]  lifts  n lifts in any order. Of one hand there is no reproducibility, of
 * one engine no component of engines.
 * @param[out] study  What they say.
 * @return DIALARC_OK; DIALARC_NOT_CONVERGED (written all the same: the likelihood may be
 *         bettered still); DIALARC_ERR_NULL; DIALARC_ERR_SIZE (n, or more than
 *         DIALARC_GAUGE_CELLS_MAX pairs of engine and hand); DIALARC_ERR_NOT_FINITE;
 *         DIALARC_ERR_CHOICE (the number of an engine or a hand);
 *         DIALARC_ERR_NO_SOLUTION (nothing was repeated, or every hand has engines of his
 *         own); DIALARC_ERR_NO_MEMORY.
 * @par Equation
 * mean squares by Henderson's third method, equal to their expectations: variance_mm2;
 * restricted maximum likelihood: sd_mm; modified large samples with Satterthwaite's
 * degrees of freedom: the intervals, widened to hold sd_mm; s_R^2 = hand + engine_hand +
 * s_r^2
 * @par Source
 * ISO 5725-2 (s_r, s_R) and S. R. Searle, G. Casella and C. E. McCulloch, Variance
 * Components, 1992; R. K. Burdick and F. A. Graybill, Confidence Intervals on Variance
 * Components, 1992, 3.2 and 3.3 (all from memory).
 */
DIALARC_API dialarc_status dialarc_gauge_assess(size_t n, const dialarc_gauge_lift *lifts,
                                                dialarc_gauge_study *study);

/**
 * @brief Whether the method of a study can judge a window.
 *
 * It can when a lift in mid-window is told `in` with the uncertainty at the upper end of
 * its interval, it cannot when it is not even at the lower end.
 *
 * @param[in]  study      What dialarc_gauge_assess() has said.
 * @param[in]  low_mm     Lower limit of the window, mm.
 * @param[in]  high_mm    Upper limit, mm, > low_mm.
 * @param[in]  shared_mm  Standard uncertainty that all lifts of the study share and it
 * does not show, such as that of one TDC mark or one dial, mm, >= 0.
 * @param[out] window     The answer.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_WINDOW,
 *         DIALARC_ERR_SD (shared_mm, or standard deviations of the study below 0).
 * @par Equation
 * sd^2 = s_R^2 + shared^2; needed: dialarc_conformity_budget() of 97.5 %; risks: those of
 * dialarc_conformity_risks() for engines drawn from the mean and sd of the study,
 * accepted between the limits of dialarc_conformity_acceptance()
 * @par Source
 * JCGM 106:2012, 7.4, 8.3.2 and 9.5.
 */
DIALARC_API dialarc_status dialarc_gauge_judge(const dialarc_gauge_study *study,
                                               double low_mm, double high_mm,
                                               double shared_mm,
                                               dialarc_gauge_window *window);

DIALARC_END_DECLS
#endif
