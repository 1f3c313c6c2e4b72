/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Lift of a cam at many pump angles, in loops that a compiler can vectorise: every
 * branch of the law is turned into a choice between coefficients.
 */
#ifndef DARC_CAMLIFT_H
#define DARC_CAMLIFT_H

#include <stdbool.h>
#include <stddef.h>

#include <dialarc/cam.h>

/*
 * Fills lift_mm[0..n-1] and returns true; or returns false and writes nothing when an
 * angle is not finite or is too far out for this form. The cam must have passed
 * dialarc_cam_check(). Both arrays may be the same.
 */
bool darc_cam_lift_many(const dialarc_cam *cam, size_t n, const double *pump_deg,
                        double *lift_mm);

/* The same, in the instructions that every processor has: the same bits. */
bool darc_cam_lift_plain(const dialarc_cam *cam, size_t n, const double *pump_deg,
                         double *lift_mm);

#endif
