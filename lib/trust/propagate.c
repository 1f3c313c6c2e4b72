/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/propagate.h>

#include <float.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include <gsl/gsl_math.h>

#include "core/finite.h"
#include "trust/correlation.h"
#include "trust/propagate.h"

/* Step of the differences of second and third order, in standard uncertainties: short
 * enough for a hundredth of them, long enough that rounding does not show. */
#define BEND_STEP 0.1

static dialarc_status check_input(const dialarc_input *input)
{
    if ((int)input->shape < 0 || (int)input->shape >= DIALARC_SHAPE_COUNT)
        return DIALARC_ERR_SHAPE;
    if (!isfinite(input->centre) || !isfinite(input->spread))
        return DIALARC_ERR_NOT_FINITE;
    if (input->spread < 0.0)
        return DIALARC_ERR_SD;
    if (input->shape == DIALARC_SHAPE_INEXACT) {
        if (!isfinite(input->inexact))
            return DIALARC_ERR_NOT_FINITE;
        if (input->inexact < 0.0 || input->inexact > input->spread)
            return DIALARC_ERR_SD;
    }
    if (input->shape == DIALARC_SHAPE_STUDENT) {
        if (!isfinite(input->dof))
            return DIALARC_ERR_NOT_FINITE;
        if (input->dof < 1.0)
            return DIALARC_ERR_DOF;
    }
    return DIALARC_OK;
}

dialarc_status dialarc_input_sd(const dialarc_input *input, double *sd)
{
    if (!input || !sd)
        return DIALARC_ERR_NULL;
    dialarc_status status = check_input(input);
    if (status != DIALARC_OK)
        return status;
    double a = input->spread;
    switch (input->shape) {
    case DIALARC_SHAPE_NORMAL:
        *sd = a;
        return DIALARC_OK;
    case DIALARC_SHAPE_STUDENT:
        if (!(input->dof > 2.0))
            return DIALARC_ERR_DOF;
        return darc_give(a * sqrt(input->dof / (input->dof - 2.0)), sd);
    case DIALARC_SHAPE_INEXACT:
        return darc_give(sqrt(a * a / 3.0 + input->inexact * input->inexact / 9.0), sd);
    default:
        return dialarc_uncertainty_half_width(input->shape, a, sd);
    }
}

dialarc_status darc_inputs_check(size_t n, const dialarc_input *input,
                                 dialarc_model model)
{
    if ((n && !input) || !model)
        return DIALARC_ERR_NULL;
    if (n == 0)
        return DIALARC_ERR_SIZE;
    for (size_t i = 0; i < n; i++) {
        dialarc_status status = check_input(&input[i]);
        if (status != DIALARC_OK)
            return status;
    }
    return DIALARC_OK;
}

dialarc_status darc_inputs_correlated(size_t n, const dialarc_input *input,
                                      const double *r)
{
    dialarc_status status = darc_correlation_check(n, r);
    for (size_t i = 0; status == DIALARC_OK && i < n; i++)
        for (size_t j = 0; j < n; j++)
            if (i != j && r[i * n + j] != 0.0 && input[i].shape != DIALARC_SHAPE_NORMAL)
                return DIALARC_ERR_SHAPE;
    return status;
}

/* Partial derivative by input i; x is left as it was. */
static double derivative(double *x, size_t i, double step, dialarc_model model,
                         void *context)
{
    static const double weights[] = {-1.0, 8.0, 0.0, -8.0,
                                     1.0}; /* of x + 2h ... x - 2h */
    double centre = x[i], sum = 0.0;
    for (int k = 0; k < 5; k++) {
        if (k == 2)
            continue;
        x[i] = centre + (2 - k) * step;
        sum += weights[k] * model(x, context);
    }
    x[i] = centre;
    return sum / (12.0 * step);
}

/* The sums of dialarc_propagate_linear(), in x as working memory. */
static dialarc_status linear(size_t n, const dialarc_input *input, dialarc_model model,
                             void *context, double *x, double *slope, double *value,
                             double *sd)
{
    double sum = 0.0;
    for (size_t i = 0; i < n; i++)
        x[i] = input[i].centre;
    double y = model(x, context);
    for (size_t i = 0; i < n; i++) {
        double u, step;
        dialarc_status status = dialarc_input_sd(&input[i], &u);
        if (status != DIALARC_OK)
            return status;
        step = u > 0.0 ? 0.01 * u : 1e-4 * fmax(fabs(x[i]), 1.0);
        double d = derivative(x, i, step, model, context);
        if (!isfinite(d))
            return DIALARC_ERR_NO_SOLUTION;
        x[n + i] = d;
        sum += d * u * d * u;
    }
    if (!isfinite(y) || !isfinite(sum))
        return DIALARC_ERR_NO_SOLUTION;
    for (size_t i = 0; slope && i < n; i++)
        slope[i] = x[n + i];
    *value = y;
    *sd = sqrt(sum);
    return DIALARC_OK;
}

dialarc_status dialarc_propagate_linear(size_t n, const dialarc_input *input,
                                        dialarc_model model, void *context, double *slope,
                                        double *value, double *sd)
{
    if (!value || !sd)
        return DIALARC_ERR_NULL;
    dialarc_status status = darc_inputs_check(n, input, model);
    if (status != DIALARC_OK)
        return status;
    double *x = calloc(n, 2 * sizeof *x); /* the inputs, then the slopes */
    if (!x)
        return DIALARC_ERR_NO_MEMORY;
    status = linear(n, input, model, context, x, slope, value, sd);
    free(x);
    return status;
}

/* Standard uncertainty of a checked input as JCGM 100 has it, and the fourth moment of
 * its distribution over the square of its variance. */
static double spread_of(const dialarc_input *input, double *fourth)
{
    static const double moment[DIALARC_SHAPE_COUNT] = {[DIALARC_SHAPE_NORMAL] = 3.0,
                                                       [DIALARC_SHAPE_STUDENT] = 3.0,
                                                       [DIALARC_SHAPE_RECTANGULAR] = 1.8,
                                                       [DIALARC_SHAPE_TRIANGULAR] = 2.4,
                                                       [DIALARC_SHAPE_ARCSINE] = 1.5};
    double sd = input->spread;
    *fourth = moment[input->shape];
    if (input->shape != DIALARC_SHAPE_STUDENT)
        dialarc_input_sd(input, &sd); /* cannot fail: checked */
    if (input->shape == DIALARC_SHAPE_INEXACT && sd > 0.0) {
        double a2 = gsl_pow_2(input->spread), d2 = gsl_pow_2(input->inexact);
        *fourth = (a2 * a2 + 2.0 * a2 * d2 + 0.2 * d2 * d2) / (5.0 * gsl_pow_4(sd));
    }
    return sd;
}

/*
 * The model as a function of independent quantities of variance 1: `way`, n by n, holds
 * what each of them adds to the inputs.
 */
typedef struct bench {
    size_t n;
    dialarc_model model;
    void *context;
    double *way, *fourth;
    double *centre, *sd, *x; /* n each; x is working memory */
    double *slope;           /* by each input */
    double *rate;            /* by each independent quantity */
    double *up, *down;       /* the model one step up or down each of them */
} bench;

/* The model at so many steps along ways k and l. */
static double at(const bench *b, size_t k, double steps, size_t l, double others)
{
    for (size_t i = 0; i < b->n; i++)
        b->x[i] = b->centre[i] + BEND_STEP * (steps * b->way[k * b->n + i] +
                                              others * b->way[l * b->n + i]);
    return b->model(b->x, b->context);
}

static bool is_fixed(const bench *b, size_t k)
{
    for (size_t i = k; i < b->n; i++)
        if (b->way[k * b->n + i] != 0.0)
            return false;
    return true;
}

/* Adds what one quantity alone contributes in second order. */
static void add_own(const bench *b, size_t k, double value, dialarc_propagated *budget,
                    double *variance)
{
    const double h = BEND_STEP;
    double up = b->up[k] = at(b, k, 1.0, k, 0.0);
    double down = b->down[k] = at(b, k, -1.0, k, 0.0);
    double up2 = at(b, k, 2.0, k, 0.0), down2 = at(b, k, -2.0, k, 0.0);
    double second =
        (16.0 * (up + down) - up2 - down2 - 30.0 * value) / (12.0 * gsl_pow_2(h));
    double third = (up2 - 2.0 * (up - down) - down2) / (2.0 * gsl_pow_3(h));
    budget->mean += 0.5 * second;
    *variance += 0.25 * (b->fourth[k] - 1.0) * gsl_pow_2(second) +
                 b->fourth[k] / 3.0 * b->rate[k] * third;
}

/* What two quantities contribute together. */
static double of_pair(const bench *b, size_t k, size_t l)
{
    const double h = BEND_STEP;
    double pp = at(b, k, 1.0, l, 1.0), pm = at(b, k, 1.0, l, -1.0);
    double mp = at(b, k, -1.0, l, 1.0), mm = at(b, k, -1.0, l, -1.0);
    double mixed = (pp - pm - mp + mm) / (4.0 * gsl_pow_2(h));
    double k_ll = pp + pm - mp - mm - 2.0 * (b->up[k] - b->down[k]);
    double l_kk = pp + mp - pm - mm - 2.0 * (b->up[l] - b->down[l]);
    return gsl_pow_2(mixed) +
           (b->rate[k] * k_ll + b->rate[l] * l_kk) / (2.0 * gsl_pow_3(h));
}

/* JCGM 100:2008, note to 5.1.2, in quantities that are not correlated. */
static void second_order(const bench *b, dialarc_propagated *budget)
{
    double variance = gsl_pow_2(budget->sd);
    for (size_t k = 0; k < b->n; k++)
        if (!is_fixed(b, k))
            add_own(b, k, budget->value, budget, &variance);
    for (size_t k = 0; k < b->n; k++)
        for (size_t l = k + 1; l < b->n; l++)
            if (!is_fixed(b, k) && !is_fixed(b, l))
                variance += of_pair(b, k, l);
    bool known =
        isgreaterequal(variance, 0.0) && !isinf(variance) && isfinite(budget->mean);
    budget->second_sd = known ? sqrt(variance) : (double)NAN;
}

/* Slopes, value, uncertainty and degrees of freedom. */
static dialarc_status first_order(const bench *b, const dialarc_input *input,
                                  dialarc_propagated *budget)
{
    double sum = 0.0, spread = 0.0;
    for (size_t i = 0; i < b->n; i++)
        b->x[i] = b->centre[i];
    budget->value = budget->mean = b->model(b->x, b->context);
    for (size_t i = 0; i < b->n; i++) {
        double step = b->sd[i] > 0.0 ? 0.01 * b->sd[i] : 1e-4 * fmax(fabs(b->x[i]), 1.0);
        b->slope[i] = derivative(b->x, i, step, b->model, b->context);
        if (!isfinite(b->slope[i]))
            return DIALARC_ERR_NO_SOLUTION;
    }
    for (size_t k = 0; k < b->n; k++) {
        b->rate[k] = 0.0;
        for (size_t i = 0; i < b->n; i++)
            b->rate[k] += b->way[k * b->n + i] * b->slope[i];
        sum += gsl_pow_2(b->rate[k]);
    }
    budget->sd = sqrt(sum);
    for (size_t i = 0; i < b->n; i++)
        if (input[i].shape == DIALARC_SHAPE_STUDENT && sum > 0.0)
            spread += gsl_pow_4(b->rate[i] / budget->sd) / input[i].dof;
    budget->dof = spread > DBL_MIN ? 1.0 / spread : 0.0;
    return isfinite(budget->value) && isfinite(sum) ? DIALARC_OK
                                                    : DIALARC_ERR_NO_SOLUTION;
}

/* Ways, centres, uncertainties and moments. */
static dialarc_status lay_out(const dialarc_input *input, const double *correlation,
                              bench *b)
{
    size_t n = b->n;
    dialarc_status status = DIALARC_OK;
    if (correlation)
        status = darc_correlation_factor(n, correlation, b->way, b->x);
    for (size_t i = 0; i < n; i++) {
        b->centre[i] = input[i].centre;
        b->sd[i] = spread_of(&input[i], &b->fourth[i]);
        if (!correlation)
            b->way[i * n + i] = 1.0;
        for (size_t k = 0; k <= i; k++)
            b->way[k * n + i] *= b->sd[i];
    }
    return status;
}

dialarc_status dialarc_propagate_budget(size_t n, const dialarc_input *input,
                                        const double *correlation, dialarc_model model,
                                        void *context, dialarc_propagated *budget)
{
    dialarc_status status =
        budget ? darc_inputs_check(n, input, model) : DIALARC_ERR_NULL;
    if (status == DIALARC_OK && n > DIALARC_INPUTS_MAX)
        status = DIALARC_ERR_SIZE;
    if (status == DIALARC_OK && correlation)
        status = darc_inputs_correlated(n, input, correlation);
    if (status != DIALARC_OK)
        return status;
    double *room = calloc(n * (n + 8), sizeof *room), *next;
    if (!room)
        return DIALARC_ERR_NO_MEMORY;
    next = room + n * n;
    bench b = {.n = n, .model = model, .context = context, .way = room};
    double **part[] = {&b.fourth, &b.centre, &b.sd, &b.x,
                       &b.slope,  &b.rate,   &b.up, &b.down};
    for (size_t i = 0; i < 8; i++, next += n)
        *part[i] = next;
    dialarc_propagated got = {0};
    status = lay_out(input, correlation, &b);
    if (status == DIALARC_OK)
        status = first_order(&b, input, &got);
    if (status == DIALARC_OK) {
        second_order(&b, &got);
        if (isfinite(got.mean))
            *budget = got;
        else
            status = DIALARC_ERR_NO_SOLUTION;
    }
    free(room);
    return status;
}
