/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a calibration of a dial is made of. */
#ifndef DARC_DIALCAL_H
#define DARC_DIALCAL_H

#include <stdatomic.h>

#include <dialarc/dialcal.h>

struct dialarc_dialcal {
    atomic_uint shares; /* owners beside the first */
    size_t n;
    double u_mm;
    double *shown_mm; /* n readings ... */
    double *true_mm;  /* ... and travels, in one block with them */
};

/* As dialarc_dialcal_true() and _shown() for one finite value; beyond the last point of
 * either end the correction of that point holds on. */
double darc_dialcal_travel(const dialarc_dialcal *dialcal, double shown_mm);
double darc_dialcal_reading(const dialarc_dialcal *dialcal, double true_mm);

#endif
