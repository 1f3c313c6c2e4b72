/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "numeric/leastsq.h"

#include <float.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

void darc_lsq_begin(darc_lsq *problem, size_t p)
{
    problem->p = p;
    problem->n = 0;
    problem->held = 0;
}

/* Length of n values of a column, scaled: the square of a value may overflow.
 */
static double column_length(size_t n, const double *value, size_t columns)
{
    double scale = 0.0, sum = 1.0;
    for (size_t i = 0; i < n; i++) {
        double size = fabs(value[i * columns]);
        if (size > scale) {
            sum = 1.0 + sum * (scale / size) * (scale / size);
            scale = size;
        } else if (size > 0.0)
            sum += (size / scale) * (size / scale);
    }
    return scale * sqrt(sum);
}

/* Makes column k zero below row k: a reflection of these rows, 1 - tau v v',
 * v[k] = 1. */
static void reflect(double *block, size_t rows, size_t columns, size_t k)
{
    double *v = block + k; /* the column itself */
    double alpha = v[k * columns], product[DARC_LSQ_PARAM + 1] = {0};
    double length = column_length(rows - k - 1, v + (k + 1) * columns, columns);
    double diagonal = alpha >= 0.0 ? -hypot(alpha, length) : hypot(alpha, length);
    if (!(length > 0.0) || !(fabs(alpha - diagonal) > DBL_MIN))
        return; /* nothing there that counts */
    double tau = (diagonal - alpha) / diagonal;
    v[k * columns] = 1.0;
    for (size_t i = k; i < rows; i++) {
        if (i > k)
            v[i * columns] *= 1.0 / (alpha - diagonal);
        for (size_t j = k + 1; j < columns; j++)
            product[j] += v[i * columns] * block[i * columns + j];
    }
    for (size_t i = k; i < rows; i++)
        for (size_t j = k + 1; j < columns; j++)
            block[i * columns + j] += product[j] * (-tau * v[i * columns]);
    v[k * columns] = diagonal;
}

/* Replaces the rows held by the upper triangle of their QR decomposition. */
static void triangularise(darc_lsq *problem)
{
    size_t columns = problem->p + 1, rows = problem->held;
    size_t steps = rows < columns ? rows : columns;
    if (rows < 2)
        return;
    for (size_t k = 0; k < steps; k++)
        reflect(problem->block, rows, columns, k);
    for (size_t i = 1; i < steps; i++) /* the reflections below the diagonal */
        memset(problem->block + i * columns, 0, i * sizeof problem->block[0]);
    problem->held = steps;
}

void darc_lsq_add(darc_lsq *problem, const double *x, double y, double weight)
{
    size_t p = problem->p;
    if (problem->held == DARC_LSQ_BLOCK + DARC_LSQ_PARAM + 1)
        triangularise(problem);
    double *row = problem->block + problem->held * (p + 1);
    for (size_t j = 0; j < p; j++)
        row[j] = weight * x[j];
    row[p] = weight * y;
    problem->held++;
    problem->n++;
}

/* Whether a diagonal element is lost in the rounding of its own column. */
static bool is_singular(const darc_lsq *problem)
{
    size_t p = problem->p, columns = p + 1;
    for (size_t j = 0; j < p; j++) {
        double largest = 0.0;
        for (size_t i = 0; i <= j; i++)
            largest = fmax(largest, fabs(problem->block[i * columns + j]));
        if (!(fabs(problem->block[j * columns + j]) > 8.0 * DBL_EPSILON * largest))
            return true;
    }
    return false;
}

/* Inverse of the triangle, upper too; covariance = inverse * inverse'. */
static void fill_covariance(const darc_lsq *problem, darc_lsq_result *result)
{
    size_t p = problem->p, columns = p + 1;
    double inverse[DARC_LSQ_PARAM * DARC_LSQ_PARAM] = {0};
    for (size_t i = p; i-- > 0;) {
        inverse[i * p + i] = 1.0;
        for (size_t j = i; j < p; j++)
            inverse[i * p + j] /= problem->block[i * columns + i];
        for (size_t k = 0; k < i; k++)
            for (size_t j = i; j < p; j++)
                inverse[k * p + j] -=
                    problem->block[k * columns + i] * inverse[i * p + j];
    }
    for (size_t i = 0; i < p; i++)
        for (size_t j = 0; j < p; j++) {
            double sum = 0.0;
            for (size_t k = i > j ? i : j; k < p; k++)
                sum += inverse[i * p + k] * inverse[j * p + k];
            result->covariance[i][j] = sum;
        }
}

dialarc_status darc_lsq_solve(darc_lsq *problem, darc_lsq_result *result)
{
    size_t p = problem->p;
    triangularise(problem);
    if (problem->held < p || is_singular(problem))
        return DIALARC_ERR_NO_SOLUTION;
    for (size_t i = p; i-- > 0;) {
        double sum = problem->block[i * (p + 1) + p];
        for (size_t j = i + 1; j < p; j++)
            sum -= problem->block[i * (p + 1) + j] * result->param[j];
        result->param[i] = sum / problem->block[i * (p + 1) + i];
    }
    double left = problem->held > p ? problem->block[p * (p + 1) + p] : 0.0;
    result->rss = left * left;
    fill_covariance(problem, result);
    return DIALARC_OK;
}

double darc_lsq_sd(const darc_lsq_result *result, size_t p, const double *gradient)
{
    double sum = 0.0;
    for (size_t i = 0; i < p; i++)
        for (size_t j = 0; j < p; j++)
            sum += gradient[i] * gradient[j] * result->covariance[i][j];
    return sum > 0.0 ? sqrt(sum) : 0.0;
}
