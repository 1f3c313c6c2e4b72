/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How well a fit describes the readings: scatter, misreads and what neither explains. */
#include <math.h>

#include "scrutiny.h"

#define SIGNIFICANT 3.5 /* sds of a mean square that nothing but scatter exceeds */
#define LEAST_DOF   4.0
#define CLIP        3.0 /* sds beyond which an error counts no more */
#define SERIAL_SDS  3.5 /* of the correlation between neighbours, to look further */

/* Number of quantities that the readings determined rather than the prior. */
static double learned_from_readings(darc_fit *fit)
{
    double unit[DARC_MAX_PARAM], count = 0.0;
    int m = fit->model.n_param;
    if (!fit->solved)
        return m;
    for (int k = 0; k < m; k++) {
        for (int l = 0; l < m; l++)
            unit[l] = l == k ? 1.0 : 0.0;
        if (fit->prior.weight[k] > 0.0)
            darc_fit_backsolve(fit, unit);
        count += 1.0 - fmin(fit->prior.weight[k] * unit[k], 1.0);
    }
    return count;
}

/* Most readings rejected on end within a pass. Those that the record begins with may have
 * been taken while the slack was being taken up. */
static int rejected_in_a_row(const darc_scratch *s)
{
    int most = 0;
    size_t i = 0;
    while (i < s->record.n && !darc_is_sound(&s->pulls[i]))
        i++;
    for (int k = 0; k < s->record.passes; k++) {
        int run = 0;
        for (; i < s->record.pass[k].end; i++) {
            run = darc_is_sound(&s->pulls[i]) ? 0 : run + 1;
            most = run > most ? run : most;
        }
    }
    return most;
}

static double clipped(const darc_scratch *s, size_t i)
{
    double size = fmin(sqrt(s->pulls[i].score2), CLIP);
    return copysign(size, s->record.lift_mm[i] - s->rows[i].mean);
}

/* Correlation between the errors of neighbours on the flanks, in sds of what chance
 * brings. Where the lift stands still, rounding alone makes neighbours err alike. */
static double serial_correlation(const darc_scratch *s)
{
    double sum = 0.0, square = 0.0;
    const darc_record *r = &s->record;
    for (int k = 0; k < r->passes; k++)
        for (size_t i = r->pass[k].begin + 1; i < r->pass[k].end; i++) {
            if (fabs(s->rows[i].mean - s->rows[i - 1].mean) < 2.0 * s->fit.noise.step_mm)
                continue;
            double product = clipped(s, i) * clipped(s, i - 1);
            sum += product;
            square += product * product;
        }
    return square > 0.0 ? sum / sqrt(square) : 0.0;
}

darc_fitness darc_fitness_of(darc_scratch *s)
{
    darc_fitness f = {.log_likelihood = s->fit.log_likelihood};
    double n = (double)s->record.n, sound = 0.0, square = 0.0;
    for (size_t i = 0; i < s->record.n; i++) {
        sound += s->pulls[i].sound;
        square += s->pulls[i].sound * s->pulls[i].score2;
        f.rejected += !darc_is_sound(&s->pulls[i]);
    }
    double learned = learned_from_readings(&s->fit);
    f.dof = fmax(sound - learned, 1.0);
    f.scatter = sqrt(square / f.dof);
    f.rejected_share = (double)f.rejected / n;
    f.in_a_row = rejected_in_a_row(s);
    f.serial = serial_correlation(s) + learned / sqrt(n); /* what fitting takes from it */
    f.excess =
        f.dof >= LEAST_DOF && square / f.dof > 1.0 + SIGNIFICANT * sqrt(2.0 / f.dof);
    return f;
}

int darc_is_systematic(const darc_fitness *f)
{
    return !(fabs(f->serial) <= SERIAL_SDS) || f->in_a_row >= DARC_SYSTEMATIC;
}
