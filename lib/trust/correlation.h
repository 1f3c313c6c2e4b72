/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Tables of correlation coefficients, n by n, row by row.
 */
#ifndef DARC_CORRELATION_H
#define DARC_CORRELATION_H

#include <stddef.h>

#include <dialarc/status.h>

/* Most quantities of which a factor is made. */
#define DARC_CORRELATED_MAX 1000

/* DIALARC_ERR_NOT_FINITE, or DIALARC_ERR_PROBABILITY unless all is within -1 to 1,
 * symmetric, and 1 on the diagonal. */
dialarc_status darc_correlation_check(size_t n, const double *r);

/* Upper triangle U with U'U = r for a table that was checked, `diagonal` being room for n
 * numbers: the sums of U[k][i] z[k] over k are correlated as r says when all z are
 * independent. Quantities that go wholly together are allowed; DIALARC_ERR_PROBABILITY
 * when no quantities have such correlations. */
dialarc_status darc_correlation_factor(size_t n, const double *r, double *factor,
                                       double *diagonal);

#endif
