/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What must hold for the inputs of a model, whichever way they are propagated.
 */
#ifndef DARC_PROPAGATE_H
#define DARC_PROPAGATE_H

#include <dialarc/propagate.h>

/* At least one input, each of them allowed, and a model. */
dialarc_status darc_inputs_check(size_t n, const dialarc_input *input,
                                 dialarc_model model);

/* A table of correlation coefficients, other than 0 between normal inputs alone. */
dialarc_status darc_inputs_correlated(size_t n, const dialarc_input *input,
                                      const double *r);

#endif
