/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A dial that has more hysteresis than it may have. */
#ifndef DARC_HYSTERESIS_H
#define DARC_HYSTERESIS_H

#include "estimate/memory.h"
#include "estimate/mixture.h"

/* What the readings say when the dial may have several times the hysteresis that the
 * setup allows: fitted only where the estimate so far, at a glance, asks for that. Its
 * weight counts from `log_evidence`, the estimate's; `*most_mm` becomes the hysteresis
 * allowed then. Uses the memory's fits beside the first. */
darc_rival darc_more_hysteresis(const darc_problem *problem, bool learned,
                                const darc_estimate *estimate, double log_evidence,
                                darc_memory *memory, double *most_mm);

#endif
