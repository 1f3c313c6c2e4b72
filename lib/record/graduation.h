/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The graduation that readings show. */
#ifndef DARC_GRADUATION_H
#define DARC_GRADUATION_H

#include <stddef.h>

#define DARC_LEAST_GRADED 8 /* readings that show a graduation, or that there is none */

/* Coarsest of the usual graduations that all readings lie on; 0 when none. */
double darc_graduation(size_t n, const double *dial_mm);

#endif
