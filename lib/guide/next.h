/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The reading to take after those so far. */
#ifndef DARC_NEXT_H
#define DARC_NEXT_H

#include <dialarc/design.h>

#include "estimate/memory.h"

/* dialarc_design_next() of arguments that have been checked. */
dialarc_status darc_next(darc_memory *memory, const dialarc_setup *setup,
                         const dialarc_sweep *sweep, const dialarc_reach *reach,
                         dialarc_next *next);

#endif
