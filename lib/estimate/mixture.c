/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/mixture.h"

#include <math.h>

double darc_rivals_weigh(const darc_rival *rival, int n, double *probability)
{
    double top = 0.0;
    for (int k = 0; k < n; k++)
        top = fmax(top, rival[k].log_odds);
    double own = exp(-top), sum = own;
    for (int k = 0; k < n; k++)
        sum += probability[k] = exp(rival[k].log_odds - top);
    for (int k = 0; k < n; k++)
        probability[k] /= sum;
    return own / sum;
}

void darc_estimate_mix(darc_estimate *e, const darc_rival *rival,
                       const double *probability, int n)
{
    double *lift = &e->mean[DARC_ASK_LIFT], *var = &e->var[DARC_ASK_LIFT];
    double shift = 0.0, gain = 0.0;
    for (int k = 0; k < n; k++) {
        double away = rival[k].lift_mm - *lift;
        shift += probability[k] * away;
        gain += probability[k] * (rival[k].var - *var + away * away);
    }
    gain = fmax(gain - shift * shift, 0.0);
    *lift += shift;
    *var += gain;
    e->var_readings += gain;
}
