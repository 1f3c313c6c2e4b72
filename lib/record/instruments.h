/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What is thought, before any reading, of the errors that dial and degree wheel make
 * alike at every reading: sds of the amplitudes of model/instrument.h.
 */
#ifndef DARC_INSTRUMENTS_H
#define DARC_INSTRUMENTS_H

#include "record/known.h"

typedef struct darc_instruments {
    double travel_sd;    /* of the dial, in proportion to the travel */
    double needle_sd_mm; /* of the dial, once a turn of the needle, sine and cosine */
    double wheel_sd_deg; /* of the wheel, once a turn of the crank, likewise */
} darc_instruments;

/* From what is stated or assumed; the dial goes over `travel_mm`. */
darc_instruments darc_instruments_of(const darc_noise *noise, double travel_mm);

/* Standard uncertainty of a travel from the minimum as the dial shows it, scatter apart,
 * mm; over no more than `travel_mm` it errs by what is stated or assumed. */
double darc_dial_error_sd(const darc_noise *noise, double travel_mm, double lift_mm);

/* The largest error of a dial that makes this standard uncertainty at the end of its way.
 */
double darc_dial_error_of(double sd_mm);

#endif
