/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What dial and degree wheel err by in the same way at every reading of a sweep, beside
 * the scatter: terms that are straight in their amplitudes, which are parameters.
 *
 *   dial:  a0 x + a1 sin(2 pi x / turn) + a2 (1 - cos(2 pi x / turn)),  x the travel
 *   wheel: b0 sin(crank) + b1 (cos(crank) - 1),  crank from TDC
 *
 * The dial is set to zero at the minimum and the wheel at TDC: there both terms vanish,
 * wherever the window may be asked for.
 */
#ifndef DARC_INSTRUMENT_H
#define DARC_INSTRUMENT_H

#include "model/path.h"

/* Adds the terms that the model has to the row of a reading taken at a crank angle: to
 * its mean, its slope and its derivatives `by`, which are those without the terms. */
void darc_instrument_add(const darc_model *model, const double *param, double crank_deg,
                         double *mean, double *slope, double *by);

/* The same for n rows of readings taken at these crank angles, to the same bits. */
void darc_instrument_add_rows(const darc_model *model, const double *param,
                              const double *crank_deg, size_t n, darc_row *row);

#endif
