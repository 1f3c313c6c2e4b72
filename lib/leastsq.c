/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "leastsq.h"

#include <float.h>
#include <math.h>
#include <string.h>

#include <gsl/gsl_blas.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_matrix.h>
#include <gsl/gsl_vector.h>

void darc_lsq_begin(darc_lsq *problem, size_t p)
{
    problem->p = p;
    problem->n = 0;
    problem->held = 0;
}

/* Replaces the rows held by the upper triangle of their QR decomposition. */
static void triangularise(darc_lsq *problem)
{
    size_t columns = problem->p + 1, rows = problem->held;
    double tau[DARC_LSQ_PARAM + 1];
    if (rows < 2)
        return;
    size_t steps = rows < columns ? rows : columns;
    gsl_matrix_view a = gsl_matrix_view_array(problem->block, rows, columns);
    gsl_vector_view t = gsl_vector_view_array(tau, steps);
    gsl_linalg_QR_decomp(&a.matrix, &t.vector);
    for (size_t i = 1; i < steps; i++) /* the reflectors below the diagonal */
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
static int is_singular(const darc_lsq *problem)
{
    size_t p = problem->p, columns = p + 1;
    for (size_t j = 0; j < p; j++) {
        double largest = 0.0;
        for (size_t i = 0; i <= j; i++)
            largest = fmax(largest, fabs(problem->block[i * columns + j]));
        if (!(fabs(problem->block[j * columns + j]) > 8.0 * DBL_EPSILON * largest))
            return 1;
    }
    return 0;
}

/* Inverse of the triangle, upper too; covariance = inverse * inverse'. */
static void fill_covariance(const darc_lsq *problem, darc_lsq_result *result)
{
    size_t p = problem->p;
    double inverse[DARC_LSQ_PARAM * DARC_LSQ_PARAM];
    gsl_matrix_const_view whole = gsl_matrix_const_view_array(problem->block, p, p + 1);
    gsl_matrix_const_view r = gsl_matrix_const_submatrix(&whole.matrix, 0, 0, p, p);
    gsl_matrix_view inv = gsl_matrix_view_array(inverse, p, p);
    gsl_matrix_set_identity(&inv.matrix);
    gsl_blas_dtrsm(CblasLeft, CblasUpper, CblasNoTrans, CblasNonUnit, 1.0, &r.matrix,
                   &inv.matrix);
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
    gsl_matrix_const_view whole = gsl_matrix_const_view_array(problem->block, p, p + 1);
    gsl_matrix_const_view r = gsl_matrix_const_submatrix(&whole.matrix, 0, 0, p, p);
    gsl_vector_view x = gsl_vector_view_array(result->param, p);
    for (size_t i = 0; i < p; i++)
        result->param[i] = problem->block[i * (p + 1) + p];
    gsl_blas_dtrsv(CblasUpper, CblasNoTrans, CblasNonUnit, &r.matrix, &x.vector);
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
