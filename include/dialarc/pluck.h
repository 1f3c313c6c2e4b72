/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Pluck: the note of a belt span from a recording of it being plucked.
 */
#ifndef DIALARC_PLUCK_H
#define DIALARC_PLUCK_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/belt.h>
#include <dialarc/status.h>

/** Usual lower end of the band in which the note of a span is looked for, Hz. */
#define DIALARC_PLUCK_LOW_HZ 20.0
/** Usual upper end of that band, Hz. */
#define DIALARC_PLUCK_HIGH_HZ 600.0

/** Shortest recording, seconds. */
#define DIALARC_PLUCK_SHORTEST_S 0.2
/** Most samples in a recording. */
#define DIALARC_PLUCK_MAX 16777216

/** A note and how far to trust it. */
typedef struct dialarc_pluck {
    double frequency_hz; /**< lowest natural frequency of the span, Hz */
    double
        frequency_sd_hz;   /**< standard uncertainty, Hz; the recorder's clock left out */
    double frequency_u_hz; /**< expanded uncertainty, 95 %, Hz */
    double decay_s;        /**< time in which the note falls to 1/e of its amplitude, s */
    double onset_s;        /**< where the pluck begins in the recording, s */
    double snr_db;         /**< string over noise in the stretch used, hum left out, dB */
    double mains_hz;       /**< mains frequency of the hum found, Hz; 0 when none */
    int partials;          /**< partials of the string that were told apart, >= 1 */
    double stiffness;      /**< s: bending over tension in the fundamental, >= 0;
                                NaN where one partial alone was heard */
    double stiffness_sd;   /**< its standard uncertainty; NaN with it */
} dialarc_pluck;

DIALARC_BEGIN_DECLS

/**
 * @brief Frequency of a plucked span from the loudest pluck in a recording.
 *
 * The spectrum of the pluck gives the partials, their common fundamental and the noise
 * between them; steady lines (mains hum at multiples of 50 or 60 Hz, a fan) are told
 * apart by not dying away and are removed. Decaying partials and hum are then fitted
 * together by least squares, which refines the frequency and gives its uncertainty.
 * A stiff span's partials lie wider apart than a string's: the stiffness is searched,
 * one for all partials. A note that moves as it dies away gets a wider uncertainty. No
 * number is given unless a clear, dying tone stands out, nor where another fundamental
 * explains the tones nearly as well, or clear tones are left over.
 *
 * @param[in]  n        Number of samples, at least DIALARC_PLUCK_SHORTEST_S of recording
 *                      and at most DIALARC_PLUCK_MAX.
 * @param[in]  sample   n samples of one channel, any unit.
 * @param[in]  rate_hz  Sampling rate, Hz, > 0.
 * @param[in]  low_hz   Lowest frequency looked for, Hz, > 0, at least two periods in
 *                      DIALARC_PLUCK_SHORTEST_S; DIALARC_PLUCK_LOW_HZ is usual.
 * @param[in]  high_hz  Highest frequency looked for, Hz, > low_hz, at most 0.4 rate_hz;
 *                      DIALARC_PLUCK_HIGH_HZ is usual.
 * @param[out] pluck    The note.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_SIZE,
 *         DIALARC_ERR_FREQUENCY (rate or band), DIALARC_ERR_NO_TONE,
 *         DIALARC_ERR_AMBIGUOUS, DIALARC_ERR_NO_MEMORY.
 * @note Simulated recordings of 1.5 s at 8 kHz, spans of 35 to 350 Hz with a quality of
 *       15 to 60, s from 0 to 0.2, 0 to 30 dB, white or pink noise, half of them with
 *       hum, seeds that the library had not met: of 12000, 11968 were read right, 32
 *       refused and none wrong, that is off by more than its U and 0.2 %; the farthest
 *       by 0.62 %, and U held the truth in 98.4 %. Of 150 of a kind, right, refused,
 *       wrong: s to 0.01 147, 3, 0; at 0 to 6 dB 150, 0, 0; hum within 3 Hz of the note
 *       149, 1, 0; a blow 141, 9, 0; a microphone nearly deaf to the fundamental 149, 1,
 *       0. Off the law: no fundamental at all 113, 36, 1 (an octave high); plucked twice
 *       113, 34, 3; each partial split in two 122, 1, 27 (by up to 1.2 %); gliding 149,
 *       0, 1; another span beside it 122, 28, 0; partials missing, detuned or damped
 *       592, 8, 0. Hum and less than half a second after the pluck, looked at earlier:
 *       errors up to 0.9 %, one pluck in eight refused. One of 11000 recordings without
 *       a tone got a number then.
 * @par Equation
 * sample = sum A_k exp(-a_k t) cos(2 pi f_k t + p_k) + sum B_j cos(2 pi j mains t + q_j)
 * + noise; f_k = k f sqrt((1 + s k^2) / (1 + s))
 * @par Source
 * Least squares for damped sinusoids after any textbook of spectral analysis (from
 * memory); partials of a pinned beam under tension: as
 * dialarc_belt_tension_from_frequency(); thresholds: this project, measured on simulated
 * recordings.
 */
DIALARC_API dialarc_status dialarc_pluck_frequency(size_t n, const double *sample,
                                                   double rate_hz, double low_hz,
                                                   double high_hz, dialarc_pluck *pluck);

/**
 * @brief The same for a span whose mass, length and bending are known.
 *
 * What is known foretells how far apart the partials lie. It is taken to be good to a
 * fifth, ends that are no pins included, and beside that to its uncertainties. A note
 * that contradicts it is not given.
 *
 * @param[in]  n        As dialarc_pluck_frequency().
 * @param[in]  sample   As dialarc_pluck_frequency().
 * @param[in]  rate_hz  As dialarc_pluck_frequency().
 * @param[in]  low_hz   As dialarc_pluck_frequency().
 * @param[in]  high_hz  As dialarc_pluck_frequency().
 * @param[in]  span     The span; a bending of 0 means a flexible belt. Its stretch is not
 *                      looked at.
 * @param[out] pluck    The note.
 * @return As dialarc_pluck_frequency(), or a code of
 *         dialarc_belt_frequency_from_tension() for the span.
 * @par Equation
 * s f^2 / (1 + s) = pi^2 E I / (4 m L^4)
 * @par Source
 * As dialarc_pluck_frequency().
 */
DIALARC_API dialarc_status dialarc_pluck_span_frequency(size_t n, const double *sample,
                                                        double rate_hz, double low_hz,
                                                        double high_hz,
                                                        const dialarc_span *span,
                                                        dialarc_pluck *pluck);

DIALARC_END_DECLS
#endif
