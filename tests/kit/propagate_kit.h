/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Inputs as the test programs of the propagation write them. */
#ifndef PROPAGATE_KIT_H
#define PROPAGATE_KIT_H

#include <check.h>
#include <dialarc/montecarlo.h>

static inline dialarc_input normal(double mean, double sd)
{
    return (dialarc_input){.shape = DIALARC_SHAPE_NORMAL, .centre = mean, .spread = sd};
}

static inline dialarc_input rectangular(double centre, double half_width)
{
    return (dialarc_input){
        .shape = DIALARC_SHAPE_RECTANGULAR, .centre = centre, .spread = half_width};
}

static inline dialarc_input student(double mean, double scale, double dof)
{
    return (dialarc_input){
        .shape = DIALARC_SHAPE_STUDENT, .centre = mean, .spread = scale, .dof = dof};
}

static inline dialarc_input inexact(double half_width, double d)
{
    return (dialarc_input){
        .shape = DIALARC_SHAPE_INEXACT, .spread = half_width, .inexact = d};
}

static inline double sum_of_four(const double *x, void *context)
{
    (void)context;
    return x[0] + x[1] + x[2] + x[3];
}

static inline dialarc_propagation kit_monte_carlo(size_t n, const dialarc_input *input,
                                                  dialarc_model model, size_t trials,
                                                  uint32_t seed, double coverage)
{
    dialarc_propagation p;
    ck_assert_int_eq(
        dialarc_propagate_monte_carlo(n, input, model, NULL, trials, seed, coverage, &p),
        DIALARC_OK);
    return p;
}

#endif
