/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Inputs as the test programs of the propagation write them. */
#ifndef PROPAGATE_KIT_H
#define PROPAGATE_KIT_H

#include <dialarc/propagate.h>

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

#endif
