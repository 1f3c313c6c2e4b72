/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a good foreman would notice: findings from a record and from its fit. Private. */
#ifndef DARC_SCRUTINY_H
#define DARC_SCRUTINY_H

#include <dialarc/setup.h>
#include <dialarc/timing.h>

#include "core/finding.h"
#include "estimate/fit.h"

/* Findings that need no fit. Returns 0 when there is nothing that could be fitted. */
int darc_scrutinise_record(const darc_scratch *s, const dialarc_setup *setup,
                           const darc_noise *noise, dialarc_timing *timing);

/*
 * Fits the record and looks at the fit. A given cam that the readings contradict gives
 * way to one learned from them; errors larger than stated give way to those seen. Also
 * counts the readings used and rejected. Rows and pulls describe the fit kept. Returns
 * the factor by which the variances of the readings must still grow to match the scatter,
 * >= 1.
 */
double darc_scrutinised_fit(darc_scratch *s, const dialarc_setup *setup,
                            const darc_noise *noise, darc_answer *answer,
                            dialarc_timing *timing);

/* Readings rejected on end that no misreading explains. */
#define DARC_SYSTEMATIC 6

/* How well a fit describes the readings. */
typedef struct darc_fitness {
    double dof;     /* readings not misread less what was learned from them */
    double scatter; /* sd of the readings over the sd stated */
    int excess;     /* 1: the scatter is significantly above 1 */
    size_t rejected;
    double rejected_share;
    int in_a_row;  /* most rejected on end, but for those the record begins with */
    double serial; /* correlation of neighbours, in sds of what chance brings */
    double log_likelihood;
} darc_fitness;

darc_fitness darc_fitness_of(darc_scratch *s);

/* A reading is set aside when it is more likely misread than not. */
static inline int darc_is_sound(const darc_pull *pull)
{
    return pull->sound >= 0.5;
}

/* Whether the cam's shape is given, by the setup or by a table. */
static inline int darc_cam_given(const darc_scratch *s, const dialarc_setup *setup)
{
    return s->table || dialarc_setup_cam_known(setup);
}

/* Misfit that scatter and misreading do not make. */
int darc_is_systematic(const darc_fitness *fitness);

/* Fits a given cam or learns it; rows and pulls describe the fit. */
void darc_fit_as(darc_scratch *s, const dialarc_setup *setup, const darc_noise *noise,
                 int learn, darc_answer *answer);

/* Puts back the fit kept in s->kept, with rows and pulls to match. */
void darc_fit_restore(darc_scratch *s);

/* What the other readings say of those in which the dial stood still at its lowest. */
typedef struct darc_floor {
    int found;       /* 1: there are such readings, and enough others */
    int good;        /* 1: the others are fitted well */
    size_t row;      /* the first of them */
    double below_mm; /* how far below them the plunger went ... */
    double sd_mm;    /* ... and how surely */
} darc_floor;

/* Looks for such readings and fits the record without them; the scratch's fit is lost. A
 * cam is learned only when they seem to leave off abruptly. */
darc_floor darc_floor_look(darc_scratch *s, const dialarc_setup *setup,
                           const darc_noise *noise, int learn);

/* Findings of one kind each, most of them about the fit now in the scratch. The first
 * returns 1 when made. */
int darc_scrutinise_floor(const darc_floor *floor, dialarc_timing *timing);
void darc_scrutinise_lobes(darc_scratch *s, const dialarc_setup *setup,
                           const darc_noise *noise, const darc_fitness *fitness,
                           dialarc_timing *timing);
void darc_scrutinise_drift(darc_scratch *s, const darc_noise *stated,
                           const darc_answer *answer, dialarc_timing *timing);
void darc_scrutinise_path(darc_scratch *s, const dialarc_setup *setup,
                          const darc_answer *answer, dialarc_timing *timing);

#endif
