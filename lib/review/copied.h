/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether one pass is a copy of another: rows pasted twice, or a way back copied from the
 * way out. */
#ifndef DARC_COPIED_H
#define DARC_COPIED_H

#include <dialarc/timing.h>

#include "estimate/fit.h"

/* Adds the finding when two passes hold the same readings at the same angles and chance
 * does not bring that; `fit` tells how far readings taken anew would differ. */
void darc_check_copied(const darc_record *record, const darc_fit *fit,
                       dialarc_timing *timing);

#endif
