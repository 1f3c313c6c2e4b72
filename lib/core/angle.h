/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pi, and the factors between degrees and radians: here alone. */
#ifndef DARC_ANGLE_H
#define DARC_ANGLE_H

#define DARC_PI          3.14159265358979323846
#define DARC_RAD_PER_DEG (DARC_PI / 180.0)
#define DARC_DEG_PER_RAD (180.0 / DARC_PI)

#endif
