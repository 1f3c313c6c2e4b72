/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/goodness.h"

#include <math.h>

#define SIGNIFICANT      3.5  /* sds of a mean square that nothing but scatter exceeds */
#define SUSPECT          1.5  /* of which it is worth while to ask whether they do */
#define FEW_REJECTED     0.02 /* of the readings */
#define LEAST_DOF        4.0
#define CLIP             3.0 /* sds beyond which an error counts no more */
#define SERIAL_SDS       3.5 /* of the correlation between neighbours, to look further */
#define NEIGHBOURS_APART 2.0 /* graduations between readings that count as neighbours */
#define AROUND           8   /* readings either side that tell how closely they stand */

/* Number of quantities that the readings determined rather than the prior. */
static double learned_from_readings(const darc_fit *fit)
{
    double unit[DARC_MAX_PARAM] = {0.0}, count = 0.0;
    int m = fit->model.n_param;
    if (!fit->solved)
        return m;
    for (int k = 0; k < m; k++) {
        double w = fit->prior.weight[k];
        unit[k] = 1.0;
        count += w > 0.0 ? 1.0 - fmin(w * darc_fit_variance(fit, unit), 1.0) : 1.0;
        unit[k] = 0.0;
    }
    return count;
}

/* Whether a reading was taken where the one before it was: the error of the wheel is the
 * same in both, and they tell the same. */
static bool at_one_stand(const darc_record *r, size_t i, size_t before)
{
    return r->crank_deg[i] == r->crank_deg[before];
}

/* Most readings rejected in a row within a pass, those of one stand counted once. Those
 * that the record begins with may have been taken while the slack was being taken up. */
static int rejected_in_a_row(const darc_fit *fit, const darc_record *record)
{
    int most = 0;
    size_t i = 0;
    while (i < record->n && !darc_is_sound(&fit->at.pulls[i]))
        i++;
    for (int k = 0; k < record->passes; k++) {
        int run = 0;
        for (; i < record->pass[k].end; i++) {
            bool again = run > 0 && at_one_stand(record, i, i - 1);
            run = darc_is_sound(&fit->at.pulls[i]) ? 0 : run + !again;
            most = run > most ? run : most;
        }
    }
    return most;
}

static double clipped(const darc_fit *fit, const darc_record *record, size_t i)
{
    double size = fmin(sqrt(fit->at.pulls[i].score2), CLIP);
    return copysign(size, record->lift_mm[i] - fit->at.rows[i].mean);
}

/* Crank degrees from reading to reading about one of a pass; from so many of them that
 * the errors of single angles do not matter. */
static double spacing(const darc_record *r, const darc_pass *pass, size_t i)
{
    size_t low = i - pass->begin < AROUND ? pass->begin : i - AROUND;
    size_t high = pass->end - i <= AROUND ? pass->end - 1 : i + AROUND;
    return fabs(r->crank_deg[high] - r->crank_deg[low]) / (double)(high - low);
}

/* Correlation between the errors of readings on the flanks and those shortly before, in
 * sds of what chance brings. Closer than some graduations rounding alone makes them err
 * alike. How far they are apart must not be judged by their own angles: those that seem
 * far apart have errors of opposite sense. */
static double serial_correlation(const darc_fit *fit, const darc_record *r)
{
    double sum = 0.0, square = 0.0,
           apart_mm = fmax(NEIGHBOURS_APART * fit->noise.step_mm, 1e-9);
    for (int k = 0; k < r->passes; k++) {
        const darc_pass *pass = &r->pass[k];
        for (size_t i = pass->begin + 1; i < pass->end; i++) {
            double way_mm = fabs(fit->at.rows[i].slope) * spacing(r, pass, i);
            double most = (double)(i - pass->begin);
            if (!(way_mm * most >= apart_mm))
                continue;
            size_t back = (size_t)fmin(ceil(apart_mm / way_mm), most);
            if (at_one_stand(r, i, i - back))
                continue;
            double product = clipped(fit, r, i) * clipped(fit, r, i - back);
            sum += product;
            square += product * product;
        }
    }
    return square > 0.0 ? sum / sqrt(square) : 0.0;
}

bool darc_scatter_is_excessive(double mean_square, double freedom)
{
    return mean_square > 1.0 + SIGNIFICANT * sqrt(2.0 / freedom);
}

darc_goodness darc_goodness_of(const darc_fit *fit, const darc_record *record)
{
    darc_goodness g = {.log_likelihood = fit->log_likelihood};
    double n = (double)record->n, sound = 0.0, square = 0.0;
    for (size_t i = 0; i < record->n; i++) {
        const darc_pull *p = &fit->at.pulls[i];
        sound += p->sound;
        square += p->sound * p->score2;
        g.rejected += !darc_is_sound(p);
    }
    double learned = learned_from_readings(fit);
    g.dof = fmax(sound - learned, 1.0);
    g.scatter = sqrt(square / g.dof);
    g.in_a_row = rejected_in_a_row(fit, record);
    g.serial =
        serial_correlation(fit, record) + learned / sqrt(n); /* what fitting takes */
    g.excess = g.dof >= LEAST_DOF && darc_scatter_is_excessive(square / g.dof, g.dof);
    return g;
}

bool darc_scatter_is_suspect(const darc_goodness *g)
{
    return g->dof >= LEAST_DOF &&
           g->scatter * g->scatter > 1.0 + SUSPECT * sqrt(2.0 / g->dof);
}

bool darc_is_systematic(const darc_goodness *g)
{
    return !(fabs(g->serial) <= SERIAL_SDS) || g->in_a_row >= DARC_SYSTEMATIC;
}

bool darc_few_are_rejected(const darc_goodness *g, size_t readings)
{
    return (double)g->rejected <= FEW_REJECTED * (double)readings;
}
