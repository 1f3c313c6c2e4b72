/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/montecarlo.h>

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include <gsl/gsl_math.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_sort.h>

#include "core/angle.h"
#include "trust/correlation.h"
#include "trust/propagate.h"

/* JCGM 101:2008, 7.9.4 b: trials in a block, at least so many ... */
#define TRIALS_BLOCK ((size_t)10000)
/* ... and at least so many outside the interval. */
#define BLOCK_OUTSIDE 100.0
/* Probability within two standard deviations of a normal distribution. */
#define TWO_SIGMA 0.9544997361036416

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

/* Where trials come from. */
typedef struct source {
    size_t n;
    const dialarc_input *input;
    const double *factor; /* of the correlation, n by n; NULL: none */
    dialarc_model model;
    void *context;
    gsl_rng random;
    double *x, *z; /* n each: inputs, and independent normal numbers */
} source;

/* Room for n inputs and a generator; end_source() frees both. Not gsl_rng_alloc(), which
 * reports a failed allocation to the host's handler. */
static bool begin_source(source *s, uint32_t seed)
{
    s->random = (gsl_rng){gsl_rng_mt19937, calloc(1, gsl_rng_mt19937->size)};
    s->x = calloc(s->n, 2 * sizeof *s->x);
    if (!s->random.state || !s->x)
        return false;
    s->z = s->x + s->n;
    gsl_rng_set(&s->random, seed);
    return true;
}

static void end_source(source *s)
{
    free(s->random.state);
    free(s->x);
}

/* One draw of all inputs. Those that are correlated are normal. */
static void draw_inputs(source *s)
{
    for (size_t i = 0; i < s->n; i++) {
        if (!s->factor || s->input[i].shape != DIALARC_SHAPE_NORMAL) {
            s->x[i] = draw(&s->random, &s->input[i]);
            continue;
        }
        double sum = 0.0;
        s->z[i] = gsl_ran_gaussian_ziggurat(&s->random, 1.0);
        for (size_t k = 0; k <= i; k++) /* z is 0 where an input is not normal */
            sum += s->factor[k * s->n + i] * s->z[k];
        s->x[i] = s->input[i].centre + s->input[i].spread * sum;
    }
}

/* Fills y with the `valued` trials that have a value. */
static dialarc_status run_trials(source *s, size_t trials, double *y, size_t *valued)
{
    *valued = 0;
    for (size_t k = 0; k < trials; k++) {
        draw_inputs(s);
        double value = s->model(s->x, s->context);
        if (isinf(value))
            return DIALARC_ERR_NO_SOLUTION;
        if (!isnan(value))
            y[(*valued)++] = value;
    }
    return *valued > trials / 2 ? DIALARC_OK : DIALARC_ERR_NO_SOLUTION;
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
    dialarc_status status = darc_inputs_check(n, input, model);
    if (status != DIALARC_OK)
        return status;
    if (trials < DIALARC_TRIALS_MIN || trials > DIALARC_TRIALS_MAX)
        return DIALARC_ERR_SIZE;
    if (!isfinite(coverage))
        return DIALARC_ERR_NOT_FINITE;
    if (!covers(coverage, trials))
        return DIALARC_ERR_PROBABILITY;
    size_t valued = 0;
    source from = {.n = n, .input = input, .model = model, .context = context};
    double *y = calloc(trials, sizeof *y);
    status = begin_source(&from, seed) && y ? run_trials(&from, trials, y, &valued)
                                            : DIALARC_ERR_NO_MEMORY;
    if (status == DIALARC_OK && !covers(coverage, valued))
        status = DIALARC_ERR_PROBABILITY;
    if (status == DIALARC_OK) {
        dialarc_propagation got = summarise(valued, y, covers(coverage, valued));
        got.refused = (double)(trials - valued) / (double)trials;
        if (isfinite(got.sd))
            *output = got;
        else
            status = DIALARC_ERR_RANGE;
    }
    end_source(&from);
    free(y);
    return status;
}

/* What must come to rest: mean, sd, low and high. */
#define FIGURES 4

/* Figures of so many blocks: their means, and sums of squares about these. */
typedef struct blocks {
    size_t count, size;
    double mean[FIGURES], squares[FIGURES];
    double *y; /* values of all trials that have one */
    size_t room, valued;
    double within; /* sum of squares of all values about the means of their blocks */
} blocks;

/* Room for one more block. */
static bool make_room(blocks *b)
{
    if (b->room - b->valued >= b->size)
        return true;
    size_t room = GSL_MAX(2 * b->room, b->valued + b->size);
    double *larger = realloc(b->y, room * sizeof *larger);
    if (!larger)
        return false;
    b->y = larger;
    b->room = room;
    return true;
}

/* Runs one more block. */
static dialarc_status add_block(source *s, double coverage, blocks *b)
{
    size_t valued = 0;
    if (!make_room(b))
        return DIALARC_ERR_NO_MEMORY;
    double *y = b->y + b->valued;
    dialarc_status status = run_trials(s, b->size, y, &valued);
    if (status == DIALARC_OK && !covers(coverage, valued))
        status = DIALARC_ERR_PROBABILITY;
    if (status != DIALARC_OK)
        return status;
    dialarc_propagation p = summarise(valued, y, covers(coverage, valued));
    if (!isfinite(p.sd * p.sd * (double)valued))
        return DIALARC_ERR_RANGE;
    const double figure[FIGURES] = {p.mean, p.sd, p.low, p.high};
    b->count++;
    b->valued += valued;
    b->within += gsl_pow_2(p.sd) * (double)(valued - 1);
    for (int k = 0; k < FIGURES; k++) {
        double away = figure[k] - b->mean[k];
        b->mean[k] += away / (double)b->count;
        b->squares[k] += away * (figure[k] - b->mean[k]);
    }
    return DIALARC_OK;
}

/* Expanded uncertainty of the mean over the blocks, of the figure that scatters most.
 * JCGM 101, 7.9.4 takes two standard deviations; of few blocks that is too little: by
 * chance they agree, and one run in seven ended before its digits stood. Student's factor
 * for as many blocks keeps the promise. */
static double scatter_of(const blocks *b)
{
    double most = 0.0, h = (double)b->count, factor = 2.0;
    for (int k = 0; k < FIGURES; k++)
        most = fmax(most, b->squares[k]);
    dialarc_uncertainty_coverage_factor(TWO_SIGMA, h - 1.0, &factor);
    return factor * sqrt(most / (h * (h - 1.0)));
}

/* JCGM 101:2008, 7.9.2: half a unit of the last of so many significant digits. */
static double tolerance_of(double sd, int digits)
{
    if (!(sd > 0.0))
        return 0.0;
    double unit = pow(10.0, floor(log10(sd)) - digits + 1.0);
    if (!(rint(sd / unit) < gsl_pow_int(10.0, digits))) /* 0.996 is 1.0 in two digits */
        unit *= 10.0;
    return 0.5 * unit;
}

/* Blocks until the figures rest, or the trials are used up. */
static dialarc_status run_blocks(source *s, int digits, size_t most, double coverage,
                                 blocks *b, dialarc_adaptive *result)
{
    do {
        dialarc_status status = add_block(s, coverage, b);
        if (status != DIALARC_OK)
            return status;
        if (b->count < 2)
            continue;
        double sd = sqrt(b->within / (double)(b->valued - b->count));
        result->scatter = scatter_of(b);
        result->tolerance = tolerance_of(sd, digits);
        result->digits = digits;
        while (result->digits > 0 && result->scatter > tolerance_of(sd, result->digits))
            result->digits--;
    } while (result->digits < digits && (b->count + 1) * b->size <= most);
    size_t trials = b->count * b->size;
    result->trials = (int)trials;
    result->output = summarise(b->valued, b->y, covers(coverage, b->valued));
    result->output.refused = (double)(trials - b->valued) / (double)trials;
    return DIALARC_OK;
}

static dialarc_status check_adaptive(size_t n, const dialarc_input *input,
                                     const double *correlation, dialarc_model model,
                                     int digits, size_t most, double coverage)
{
    dialarc_status status = darc_inputs_check(n, input, model);
    if (status != DIALARC_OK)
        return status;
    if (n > DIALARC_INPUTS_MAX || digits < 1 || digits > DIALARC_DIGITS_MAX ||
        most < 2 * TRIALS_BLOCK || most > DIALARC_TRIALS_MAX)
        return DIALARC_ERR_SIZE;
    if (!isfinite(coverage))
        return DIALARC_ERR_NOT_FINITE;
    if (!(coverage > 0.0 && coverage < 1.0))
        return DIALARC_ERR_PROBABILITY;
    if (!(2.0 * ceil(BLOCK_OUTSIDE / (1.0 - coverage)) <= (double)most))
        return DIALARC_ERR_SIZE;
    return correlation ? darc_inputs_correlated(n, input, correlation) : DIALARC_OK;
}

dialarc_status dialarc_propagate_adaptive(size_t n, const dialarc_input *input,
                                          const double *correlation, dialarc_model model,
                                          void *context, int digits, size_t most,
                                          uint32_t seed, double coverage,
                                          dialarc_adaptive *result)
{
    dialarc_status status =
        result ? check_adaptive(n, input, correlation, model, digits, most, coverage)
               : DIALARC_ERR_NULL;
    if (status != DIALARC_OK)
        return status;
    source from = {.n = n, .input = input, .model = model, .context = context};
    blocks b = {
        .size = GSL_MAX(TRIALS_BLOCK, (size_t)ceil(BLOCK_OUTSIDE / (1.0 - coverage)))};
    dialarc_adaptive got = {0};
    double *factor = calloc(n, n * sizeof *factor);
    if (!begin_source(&from, seed) || !factor)
        status = DIALARC_ERR_NO_MEMORY;
    if (status == DIALARC_OK && correlation) {
        status = darc_correlation_factor(n, correlation, factor, from.x);
        from.factor = factor;
    }
    if (status == DIALARC_OK)
        status = run_blocks(&from, digits, most, coverage, &b, &got);
    if (status == DIALARC_OK && !isfinite(got.scatter + got.output.sd))
        status = DIALARC_ERR_RANGE;
    if (status == DIALARC_OK)
        *result = got;
    end_source(&from);
    free(factor);
    free(b.y);
    return status;
}
