/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * One flank of a cam, forward and back, with full relative accuracy down to the foot.
 * The fast form without that accuracy is darc_law() of law.h.
 */
#ifndef DARC_FLANK_H
#define DARC_FLANK_H

#include "cam/law.h"

/* Blend to be used for what the caller gave: 0 stands for the usual one. */
static inline double darc_blend(double blend)
{
    return blend == 0.0 ? DARC_DEFAULT_BLEND : blend;
}

/* Whether a law is one of the list, DIALARC_LAW_UNKNOWN excluded. */
int darc_law_known(dialarc_law law);

/* DIALARC_OK, DIALARC_ERR_LAW, DIALARC_ERR_NOT_FINITE or DIALARC_ERR_BLEND. */
dialarc_status darc_law_check(dialarc_law law, double blend);

/* Motion at u, 0..1, dwelling outside. The blend is that of darc_blend(). */
darc_motion darc_flank_motion(dialarc_law law, double blend, double u);

/* The u at which the displacement is s, 0..1. */
double darc_flank_inverse(dialarc_law law, double blend, double s);

#endif
