/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/propagate.h>

#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_sort.h>

#include "core/angle.h"

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
        *sd = a * sqrt(input->dof / (input->dof - 2.0));
        return DIALARC_OK;
    case DIALARC_SHAPE_INEXACT:
        *sd = sqrt(a * a / 3.0 + input->inexact * input->inexact / 9.0);
        return DIALARC_OK;
    default:
        return dialarc_uncertainty_half_width(input->shape, a, sd);
    }
}

static dialarc_status check_inputs(size_t n, const dialarc_input *input,
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
    if (!isfinite(y))
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
    dialarc_status status = check_inputs(n, input, model);
    if (status != DIALARC_OK)
        return status;
    double *x = calloc(n, 2 * sizeof *x); /* the inputs, then the slopes */
    if (!x)
        return DIALARC_ERR_NO_MEMORY;
    status = linear(n, input, model, context, x, slope, value, sd);
    free(x);
    return status;
}

static double draw(const gsl_rng *random, const dialarc_input *input)
{
    double a = input->spread, from, to;
    switch (input->shape) {
    case DIALARC_SHAPE_NORMAL:
        return input->centre + gsl_ran_gaussian_ziggurat(random, a);
    case DIALARC_SHAPE_STUDENT:
        return input->centre + a * gsl_ran_tdist(random, input->dof);
    case DIALARC_SHAPE_TRIANGULAR:
        from = gsl_rng_uniform(random);
        return input->centre + a * (from + gsl_rng_uniform(random) - 1.0);
    case DIALARC_SHAPE_ARCSINE:
        return input->centre + a * sin(2.0 * DARC_PI * gsl_rng_uniform(random));
    case DIALARC_SHAPE_INEXACT: /* JCGM 101, 6.4.3: both limits move against each other */
        from = -a + input->inexact * (2.0 * gsl_rng_uniform(random) - 1.0);
        to = -from;
        return input->centre + from + (to - from) * gsl_rng_uniform(random);
    default:
        return input->centre + a * (2.0 * gsl_rng_uniform(random) - 1.0);
    }
}

/* Fills y with the `valued` trials that have a value; x is room for one set of inputs. */
static dialarc_status run_trials(size_t n, const dialarc_input *input,
                                 dialarc_model model, void *context, uint32_t seed,
                                 size_t trials, double *x, double *y, size_t *valued)
{
    /* Not gsl_rng_alloc(), which reports a failed allocation to the host's handler. */
    gsl_rng random = {gsl_rng_mt19937, calloc(1, gsl_rng_mt19937->size)};
    if (!random.state)
        return DIALARC_ERR_NO_MEMORY;
    dialarc_status status = DIALARC_OK;
    gsl_rng_set(&random, seed);
    *valued = 0;
    for (size_t k = 0; k < trials && status == DIALARC_OK; k++) {
        for (size_t i = 0; i < n; i++)
            x[i] = draw(&random, &input[i]);
        double value = model(x, context);
        if (isinf(value))
            status = DIALARC_ERR_NO_SOLUTION;
        else if (!isnan(value))
            y[(*valued)++] = value;
    }
    free(random.state);
    if (status == DIALARC_OK && *valued <= trials / 2)
        status = DIALARC_ERR_NO_SOLUTION;
    return status;
}

/* JCGM 101:2008, 7.6 and 7.7; `inside` trials make up the interval. Sorts y. */
static dialarc_propagation summarise(size_t trials, double *y, size_t inside)
{
    dialarc_propagation p = {0};
    double squares = 0.0;
    for (size_t k = 0; k < trials; k++) {
        double away = y[k] - p.mean;
        p.mean += away / (double)(k + 1);
        squares += away * (y[k] - p.mean);
    }
    p.sd = sqrt(squares / (double)(trials - 1));
    gsl_sort(y, 1, trials);
    size_t left = (trials - inside) / 2, best = 0;
    for (size_t k = 1; k + inside < trials; k++)
        if (y[k + inside] - y[k] < y[best + inside] - y[best])
            best = k;
    p.low = y[left];
    p.high = y[left + inside];
    p.shortest_low = y[best];
    p.shortest_high = y[best + inside];
    return p;
}

/* How many of so many trials make up an interval; 0 when that cannot be told of them. */
static size_t covers(double coverage, size_t trials)
{
    if (!(coverage > 0.0 && coverage < 1.0))
        return 0;
    size_t inside = (size_t)(coverage * (double)trials + 0.5);
    return inside < trials ? inside : 0;
}

dialarc_status dialarc_propagate_monte_carlo(size_t n, const dialarc_input *input,
                                             dialarc_model model, void *context,
                                             size_t trials, uint32_t seed,
                                             double coverage, dialarc_propagation *output)
{
    if (!output)
        return DIALARC_ERR_NULL;
    dialarc_status status = check_inputs(n, input, model);
    if (status != DIALARC_OK)
        return status;
    if (trials < DIALARC_TRIALS_MIN || trials > DIALARC_TRIALS_MAX)
        return DIALARC_ERR_SIZE;
    if (!isfinite(coverage))
        return DIALARC_ERR_NOT_FINITE;
    if (!covers(coverage, trials))
        return DIALARC_ERR_PROBABILITY;
    size_t valued = 0;
    double *x = calloc(n, sizeof *x), *y = calloc(trials, sizeof *y);
    status = x && y ? run_trials(n, input, model, context, seed, trials, x, y, &valued)
                    : DIALARC_ERR_NO_MEMORY;
    if (status == DIALARC_OK && !covers(coverage, valued))
        status = DIALARC_ERR_PROBABILITY;
    if (status == DIALARC_OK) {
        *output = summarise(valued, y, covers(coverage, valued));
        output->refused = (double)(trials - valued) / (double)trials;
    }
    free(x);
    free(y);
    return status;
}
