/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Pairs of equal height of the piston, from the command line or from a table.
 */
#ifndef TDC_PAIRS_H
#define TDC_PAIRS_H

#include <dialarc.h>

enum { TDC_PAIRS_MAX = 100 };

/* What holds where a pair says nothing else. */
typedef struct tdc_usual {
    double sd_deg, drop_sd_mm; /* of a reading, of a height that is met again */
    double wheel_deg;          /* half span of the error of the wheel's centring */
    double rim_mm; /* DIALARC_UNKNOWN: pairs of the command line are degrees */
    int chord;     /* they are chords of that rim */
    const dialarc_wheel *wheel; /* as two pointers show it, or NULL */
} tdc_usual;

/* The pairs of one engine, as dialarc_tdc_from_means() takes them. */
typedef struct tdc_pairs {
    char name[DIALARC_NAME_SIZE]; /* "": not said */
    size_t n;
    double before_deg[TDC_PAIRS_MAX], after_deg[TDC_PAIRS_MAX];
    double sd_deg[TDC_PAIRS_MAX], drop_sd_mm[TDC_PAIRS_MAX];
    double wheel_error_deg[TDC_PAIRS_MAX];
} tdc_pairs;

/* The pairs BEFORE:AFTER of the command line: DONE, or FAILED after a complaint. */
int tdc_pairs_words(const char *who, char **word, const tdc_usual *usual,
                    tdc_pairs *pairs);

/* The pairs of a table by engine, in the order of the table; free them. */
int tdc_pairs_table(const char *who, const char *path, const tdc_usual *usual,
                    tdc_pairs **pairs, size_t *engines);

#endif
