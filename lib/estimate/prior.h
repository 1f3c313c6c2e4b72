/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is thought of the parameters before any reading. Weak throughout: it matters only
 * where a sweep leaves a quantity undetermined. */
#ifndef DARC_PRIOR_H
#define DARC_PRIOR_H

#include "estimate/fit.h"

/* Zero and foot flat; lift, slack, hysteresis and turning points. Puts the turning points
 * that were read at their readings; starts that are parameters stay where they are. */
void darc_prior_basic(darc_fit *fit, const darc_problem *problem);

/* The same for the turning points and starts alone, which have been laid out anew; the
 * parameters keep their values. */
void darc_prior_turns(darc_fit *fit, const darc_problem *problem);

/* What a lobe looks like, about the present parameters of a learned cam. */
void darc_prior_shape(darc_fit *fit);

/* Sets the prior of the free terms: sd of the first term of each flank as a share of the
 * total lift; the k-th has it over k^1.5. */
void darc_prior_terms(darc_fit *fit, double total_mm, double rise_share,
                      double fall_share);

#endif
