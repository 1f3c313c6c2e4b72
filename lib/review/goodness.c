/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How well a fit describes the readings: scatter, misreads and what neither explains. */
#include <math.h>

#include "review/review.h"

#define SIGNIFICANT 3.5 /* sds of a mean square that nothing but scatter exceeds */
#define LEAST_DOF   4.0
#define CLIP        3.0 /* sds beyond which an error counts no more */
#define SERIAL_SDS  3.5 /* of the correlation between neighbours, to look further */
#define APART       2.0 /* graduations between readings that count as neighbours */
#define ABOUT       8   /* readings either side that tell how closely they stand */

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

/* Crank degrees from reading to reading about one of a pass; from so many of them that
 * the errors of single angles do not matter. */
static double spacing(const darc_record *r, const darc_pass *pass, size_t i)
{
    size_t low = i - pass->begin < ABOUT ? pass->begin : i - ABOUT;
    size_t high = pass->end - i <= ABOUT ? pass->end - 1 : i + ABOUT;
    return fabs(r->crank_deg[high] - r->crank_deg[low]) / (double)(high - low);
}

/* Correlation between the errors of readings on the flanks and those shortly before, in
 * sds of what chance brings. Closer than some graduations rounding alone makes them err
 * alike. How far they are apart must not be judged by their own angles: those that seem
 * far apart have errors of opposite sense. */
static double serial_correlation(const darc_scratch *s)
{
    double sum = 0.0, square = 0.0, apart_mm = fmax(APART * s->fit.noise.step_mm, 1e-9);
    const darc_record *r = &s->record;
    for (int k = 0; k < r->passes; k++) {
        const darc_pass *pass = &r->pass[k];
        for (size_t i = pass->begin + 1; i < pass->end; i++) {
            double way_mm = fabs(s->rows[i].slope) * spacing(r, pass, i);
            double most = (double)(i - pass->begin);
            if (!(way_mm * most >= apart_mm))
                continue;
            size_t back = (size_t)fmin(ceil(apart_mm / way_mm), most);
            double product = clipped(s, i) * clipped(s, i - back);
            sum += product;
            square += product * product;
        }
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
