/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A span of belt: what every formula asks of it.
 */
#ifndef DARC_SPAN_H
#define DARC_SPAN_H

#include <dialarc/belt.h>

/* Checks length, stiffness, stretch and their uncertainties. */
dialarc_status darc_span_check(const dialarc_span *span);

/* Checks the mass too. */
dialarc_status darc_span_check_mass(const dialarc_span *span);

/* The tension that would give a flexible belt the stiff one's frequency without tension.
 */
double darc_span_bending_n(const dialarc_span *span);

#endif
