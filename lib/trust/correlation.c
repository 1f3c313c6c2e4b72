/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trust/correlation.h"

#include <math.h>

#include "numeric/cholesky.h"

/* Added to each variance of 1, so that what is wholly determined by others keeps a pivot:
 * a millionth of a standard deviation of its own. */
#define OWN 1e-12

dialarc_status darc_correlation_check(size_t n, const double *r)
{
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j <= i; j++) {
            double x = r[i * n + j];
            if (!isfinite(x) || !isfinite(r[j * n + i]))
                return DIALARC_ERR_NOT_FINITE;
            if (x < -1.0 || x > 1.0 || x != r[j * n + i] || (i == j && x != 1.0))
                return DIALARC_ERR_PROBABILITY;
        }
    return DIALARC_OK;
}

dialarc_status darc_correlation_factor(size_t n, const double *r, double *factor,
                                       double *diagonal)
{
    for (size_t i = 0; i < n; i++)
        diagonal[i] = OWN;
    return darc_cholesky((int)n, (int)n, r, diagonal, factor, NULL)
               ? DIALARC_OK
               : DIALARC_ERR_PROBABILITY;
}
