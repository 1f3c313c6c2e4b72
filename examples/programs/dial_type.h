/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A dial of which no more is known than its type: what that allows, and what it makes of
 * a lift.
 */
#ifndef DIAL_TYPE_H
#define DIAL_TYPE_H

#include <dialarc.h>
#include <stdio.h>

typedef struct dial_type {
    const char *name, *certificate, *on; /* the last two NULL: not said */
    dialarc_bezel bezel;
    double step_mm, range_mm;
    int guard; /* of names in tables */
    /* standard uncertainty of a lift, by the limit within a turn or, where there is
     * none, the whole range */
    double lift_sd_mm;
} dial_type;

/* Works out lift_sd_mm from the others: DONE, or FAILED after a complaint. */
int dial_type_find(const char *who, dial_type *type);

void dial_type_page(FILE *out, const dial_type *type);

/* Two rows of the table of dials, without its header. */
void dial_type_rows(FILE *out, const dial_type *type);

#endif
