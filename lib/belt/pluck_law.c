/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "belt/pluck_law.h"

#include <math.h>

#include <gsl/gsl_math.h>

#include "numeric/leastsq.h"

/* No belt is an ideal string: sd of a partial's place, relative. */
#define OFF_LAW 0.002

bool darc_law_fit(const darc_string *string, const darc_bending *known, darc_law *law)
{
    darc_lsq rows;
    darc_lsq_result r;
    darc_lsq_begin(&rows, 2);
    for (int k = 0; k < string->partials; k++) {
        const darc_partial *p = &string->partial[k];
        double k2 = (double)p->order * p->order, sd = hypot(p->hz_sd, OFF_LAW * p->hz);
        darc_lsq_add(&rows, (const double[]){k2, k2 * k2}, p->hz * p->hz,
                     1.0 / (2.0 * p->hz * sd));
    }
    if (known) {
        double sd = hypot(known->hz2_sd, OFF_LAW * gsl_pow_2(string->partial[0].hz));
        darc_lsq_add(&rows, (const double[]){0.0, 1.0}, known->hz2, 1.0 / sd);
    }
    if (darc_lsq_solve(&rows, &r) != DIALARC_OK)
        return false;
    double a = r.param[0], b = r.param[1], free = string->partials - 2;
    if (!(a > 0.0) || !(a + b > 0.0))
        return false;
    double wider = free > 0.0 ? sqrt(fmax(1.0, r.rss / free)) : 1.0;
    *law = (darc_law){.hz = sqrt(a + b), .stiffness = fmax(0.0, b / a)};
    law->hz_sd = wider * darc_lsq_sd(&r, 2, (const double[]){0.5, 0.5}) / law->hz;
    law->stiffness_sd =
        wider * darc_lsq_sd(&r, 2, (const double[]){-b / (a * a), 1.0 / a});
    return true;
}
