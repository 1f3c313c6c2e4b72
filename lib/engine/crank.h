/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Geometry of a slider-crank, shared by crank.c and tdc.c. Angles in radians. Private. */
#ifndef DARC_CRANK_H
#define DARC_CRANK_H

#include <dialarc/crank.h>

/* Height of the gudgeon pin over the crank centre, along the cylinder. */
typedef struct darc_crank_heights {
    double top; /* at TDC */
    double stroke;
} darc_crank_heights;

/* The crank must have passed dialarc_crank_check(). */
darc_crank_heights darc_crank_heights_of(const dialarc_crank *crank);

/*
 * Angle between the throw and the line from the crank centre to the gudgeon pin, 0..pi,
 * for a drop of 0..stroke.
 */
double darc_crank_spread(const dialarc_crank *crank, double drop_mm);

/* How far that line has swung in running direction since TDC. */
double darc_crank_swing(const dialarc_crank *crank, double drop_mm);

#endif
