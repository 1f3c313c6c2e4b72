/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * One flank of a cam, forward and back, with full relative accuracy down to the foot.
 * The fast form without that accuracy is darc_law() of law.h.
 */
#ifndef DARC_MOTION_H
#define DARC_MOTION_H

#include "cam/law.h"

/* Motion at u, 0..1, dwelling outside. The blend is that of darc_blend(). */
darc_motion darc_flank_motion(dialarc_law law, double blend, double u);

/* The u at which the displacement is s, 0..1. */
double darc_flank_inverse(dialarc_law law, double blend, double s);

#endif
