/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How well a fit describes the readings: scatter, misreads and what neither explains. */
#ifndef DARC_GOODNESS_H
#define DARC_GOODNESS_H

#include <stdbool.h>

#include "estimate/fit.h"

/* Readings rejected one after the other that no misreading explains. */
#define DARC_SYSTEMATIC 6

typedef struct darc_goodness {
    double dof;     /* readings not misread less what was learned from them */
    double scatter; /* sd of the readings over the sd stated */
    bool excess;    /* the scatter is significantly above 1 */
    size_t rejected;
    int in_a_row;  /* most rejected in a row, but for those the record begins with */
    double serial; /* correlation of neighbours, in sds of what chance brings */
    double log_likelihood;
} darc_goodness;

darc_goodness darc_goodness_of(const darc_fit *fit, const darc_record *record);

/* Whether a mean square of standardised residuals with so many degrees of freedom is more
 * than the errors stated bring about by chance. */
bool darc_scatter_is_excessive(double mean_square, double freedom);

/* Whether it is more than most sweeps show by chance: worth a closer look. */
bool darc_scatter_is_suspect(const darc_goodness *goodness);

/* Misfit that scatter and misreading do not make. */
bool darc_is_systematic(const darc_goodness *goodness);

/* Whether so few of the readings are rejected that another fit could hardly find more to
 * explain in them. */
bool darc_few_are_rejected(const darc_goodness *goodness, size_t readings);

#endif
