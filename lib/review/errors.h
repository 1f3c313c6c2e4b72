/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The errors of dial and wheel, judged apart by the evidence of a fit. Where the errors
 * stated leave something to be explained, larger ones are tried: of the dial, by which
 * also goes the misfit of a learned cam that neither a law nor a bend of one gives; then
 * of the wheel.
 */
#ifndef DARC_ERRORS_H
#define DARC_ERRORS_H

#include "estimate/fit.h"

typedef struct darc_errors {
    double times; /* how much larger than those stated, 1 or more */
    bool sure;    /* readings do scatter more; a misfit of the cam does not count */
} darc_errors;

/* Makes the errors of a problem those for which most speaks, and the fit and the
 * estimate, so far of the errors stated, those by them. Where many readings count as
 * misread, that is what they are taken to be, and only a misfit is looked for. */
darc_errors darc_errors_seen(bool learn, bool misread, darc_fit *fit, darc_fit *spare,
                             darc_estimate *estimate, darc_problem *problem);

#endif
