/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "numeric/exchange.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "numeric/cholesky.h"

#define WORTH_AN_EXCHANGE 1e-7 /* in the sum of logarithms that is worth an exchange */
#define LEAST_LEFT        1e-9 /* share of its own information that others also give */
#define MOST_ROUNDS       60
#define NO_DESIGN         1e300

/*
 * Every view is followed by its kernel: for rows x and y of candidates, and of what is
 * wanted as the last one, x'Vy, V the covariance of the parameters. When a row z comes in
 * or goes out, V changes by a multiple of Vz z'V, and so the kernel changes by a product.
 */
typedef struct kernel {
    double *at;   /* size by size, row by row */
    double *less; /* the same without the reading that may be exchanged */
} kernel;

typedef struct search {
    const darc_choice *choice;
    size_t size; /* candidates and what is wanted */
    size_t n;
    size_t *taken;
    size_t *times; /* a candidate is taken */
    kernel *kernel;
} search;

/* Takes a row out of a kernel (sign -1) or into it (+1); false when all hangs on it. */
static bool update(size_t size, const double *from, size_t row, double sign, double *to)
{
    const double *r = from + row * size;
    double left = 1.0 + sign * r[row];
    if (!(left > LEAST_LEFT))
        return false;
    for (size_t i = 0; i < size; i++) {
        double share = sign * r[i] / left;
        for (size_t j = 0; j < size; j++)
            to[i * size + j] = from[i * size + j] - share * r[j];
    }
    return true;
}

/* Logarithm of the variance that counts, when candidate `in` comes in beside the readings
 * but the `out`-th; `k` is the kernel of these. */
static double cost_with(const search *s, const double *k, size_t out, size_t in)
{
    size_t size = s->size, wanted = size - 1;
    const double *row = k + in * size;
    double scale = 1.0 / (1.0 + row[in]), by_in = row[wanted];
    double variance = k[wanted * size + wanted] - scale * by_in * by_in, worst = 0.0;
    for (size_t m = 0; s->choice->robust && m < s->n; m++) {
        size_t other = m == out ? in : s->taken[m];
        double cross = k[wanted * size + other] - scale * by_in * row[other];
        double own = k[other * size + other] - scale * row[other] * row[other];
        double left = 1.0 - own;
        if (!(left > LEAST_LEFT))
            return NO_DESIGN;
        worst = fmax(worst, cross * cross / left);
    }
    return log(fmax(variance, 0.0) + worst + 1.0 / NO_DESIGN);
}

static bool may_come(const search *s, size_t out, size_t in)
{
    return in == s->taken[out] || s->times[in] < s->choice->most;
}

/* The cost over all views when `in` takes the place of the `out`-th reading. */
static double cost_over_views(const search *s, size_t out, size_t in)
{
    double sum = 0.0;
    for (int v = 0; v < s->choice->views && sum < NO_DESIGN; v++)
        sum += cost_with(s, s->kernel[v].less, out, in);
    return sum;
}

/* Exchanges one reading for the best one in its place; true when that is another. */
static bool exchange_one(search *s, size_t out)
{
    size_t was = s->taken[out], best = was;
    for (int v = 0; v < s->choice->views; v++)
        if (!update(s->size, s->kernel[v].at, was, -1.0, s->kernel[v].less))
            return false; /* nothing is known without it */
    double least = cost_over_views(s, out, was) - WORTH_AN_EXCHANGE;
    for (size_t in = 0; in < s->choice->candidates; in++) {
        double cost = may_come(s, out, in) ? cost_over_views(s, out, in) : NO_DESIGN;
        if (cost < least) {
            least = cost;
            best = in;
        }
    }
    if (best == was)
        return false;
    for (int v = 0; v < s->choice->views; v++)
        update(s->size, s->kernel[v].less, best, 1.0, s->kernel[v].at);
    s->taken[out] = best;
    s->times[was]--;
    s->times[best]++;
    return true;
}

/* The kernel of a view for the readings taken; false when they leave a parameter open. */
static bool begin_view(const search *s, const darc_view *view, double *work, double *k)
{
    size_t p = (size_t)s->choice->n_param;
    double *normal = work, *factor = normal + p * p, *x = factor + p * p;
    memset(normal, 0, p * p * sizeof *normal);
    for (size_t m = 0; m < s->n; m++) {
        const double *row = view->row + s->taken[m] * p;
        for (size_t i = 0; i < p; i++)
            for (size_t j = i; j < p; j++)
                normal[i * p + j] += row[i] * row[j];
    }
    if (!darc_cholesky((int)p, (int)p, normal, view->prior, factor, NULL))
        return false;
    for (size_t i = 0; i < s->size; i++) {
        memcpy(x, i + 1 < s->size ? view->row + i * p : view->wanted, p * sizeof *x);
        darc_cholesky_solve((int)p, (int)p, factor, x);
        for (size_t j = 0; j < s->size; j++) {
            const double *row = j + 1 < s->size ? view->row + j * p : view->wanted;
            double sum = 0.0;
            for (size_t q = 0; q < p; q++)
                sum += row[q] * x[q];
            k[i * s->size + j] = sum;
        }
    }
    return true;
}

static bool begin(search *s, double *work)
{
    for (int v = 0; v < s->choice->views; v++)
        if (!begin_view(s, &s->choice->view[v], work, s->kernel[v].at))
            return false;
    return true;
}

/* Rounds of exchanges, the kernels made anew before each of them so that no error grows;
 * false when the first readings leave a parameter open. */
static bool exchange_all(search *s, double *work)
{
    bool better = true;
    for (size_t m = 0; m < s->n; m++)
        s->times[s->taken[m]]++;
    for (int round = 0; round < MOST_ROUNDS && better; round++) {
        if (!begin(s, work))
            return false;
        better = false;
        for (size_t out = s->choice->kept; out < s->n; out++)
            better |= exchange_one(s, out);
    }
    return true;
}

dialarc_status darc_exchange(const darc_choice *choice, size_t n, size_t *taken)
{
    size_t size = choice->candidates + 1, p = (size_t)choice->n_param;
    size_t views = (size_t)choice->views;
    double *room = malloc(2 * views * size * size * sizeof *room);
    double *work = malloc((2 * p * p + p) * sizeof *work);
    kernel *kernels = malloc(views * sizeof *kernels);
    search s = {choice, size, n, taken, calloc(size, sizeof *s.times), kernels};
    dialarc_status status = DIALARC_ERR_NO_MEMORY;
    if (room && work && kernels && s.times) {
        for (size_t v = 0; v < views; v++)
            kernels[v] =
                (kernel){room + 2 * v * size * size, room + (2 * v + 1) * size * size};
        status = exchange_all(&s, work) ? DIALARC_OK : DIALARC_ERR_NO_SOLUTION;
    }
    free(room);
    free(work);
    free(kernels);
    free(s.times);
    return status;
}
