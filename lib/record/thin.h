/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A few readings that stand for a record while the fit is still far off. Private. */
#ifndef DARC_THIN_H
#define DARC_THIN_H

#include "record/record.h"

#define DARC_THIN_READINGS 48 /* about so many, besides the ends of the passes */
#define DARC_THIN_MAX      (DARC_THIN_READINGS + 2 * DARC_MAX_PASSES)

typedef struct darc_thin {
    darc_record record; /* in the arrays below; the ends of each pass are among them */
    size_t at[DARC_THIN_MAX]; /* in the whole record; this record's rows */
    double crank_deg[DARC_THIN_MAX], lift_mm[DARC_THIN_MAX];
    double median_mm[DARC_THIN_MAX]; /* of a reading and its neighbours in the record */
} darc_thin;

/* Every n-th reading of each pass, n so that about DARC_THIN_READINGS are left. `thin`
 * points into itself: not to be copied. */
void darc_thin_out(const darc_record *record, darc_thin *thin);

#endif
