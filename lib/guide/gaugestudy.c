/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/gaugestudy.h>

#include <math.h>
#include <stdbool.h>

#include <dialarc/conformity.h>
#include <dialarc/setup.h>

#include "core/finite.h"
#include "core/normal.h"
#include "guide/anova.h"
#include "guide/interval.h"
#include "guide/reml.h"

#define TO_BE_SURE 0.975 /* the verdict's definition */
#define NOTHING    1e-9  /* of the share of a component's own mean square */

/* A variance as a sum of mean squares, each times its coefficient. */
typedef struct mixed {
    double of[DARC_COMPONENTS];
} mixed;

static mixed plus(mixed a, double times, const mixed *b)
{
    for (int k = 0; k < DARC_COMPONENTS; k++)
        a.of[k] += times * b->of[k];
    return a;
}

/* Each component by the mean squares: their expectations, turned round. */
static void solve(const darc_anova *anova, mixed component[DARC_COMPONENTS])
{
    component[DARC_REPETITION] = (mixed){.of[DARC_REPETITION] = 1.0};
    for (int k = DARC_BOTH; k >= DARC_ENGINE; k--) {
        const darc_anova_line *line = &anova->line[k];
        component[k] = (mixed){{0.0}};
        if (line->dof == 0)
            continue;
        mixed rest = {{0.0}};
        rest.of[k] = 1.0;
        rest = plus(rest, -1.0, &component[DARC_REPETITION]);
        if (k != DARC_BOTH)
            rest = plus(rest, -line->by[DARC_BOTH], &component[DARC_BOTH]);
        component[k] = plus(component[k], 1.0 / line->by[k], &rest);
        for (int i = 0; i < DARC_COMPONENTS; i++) /* what is left by rounding alone */
            if (fabs(component[k].of[i]) < NOTHING * component[k].of[k])
                component[k].of[i] = 0.0;
    }
}

/* What the design does not show. */
static const dialarc_component unknown = {DIALARC_UNKNOWN, DIALARC_UNKNOWN,
                                          DIALARC_UNKNOWN, DIALARC_UNKNOWN};

static dialarc_component tell(const darc_anova *anova, const double *dof, const mixed *m,
                              double variance)
{
    darc_part part[DARC_COMPONENTS];
    for (int k = 0; k < DARC_COMPONENTS; k++)
        part[k] = (darc_part){m->of[k], anova->line[k].mean_square, dof[k]};
    darc_variance v = darc_interval(DARC_COMPONENTS, part);
    return (dialarc_component){v.value, sqrt(variance), sqrt(fmin(v.low, variance)),
                               sqrt(fmax(v.high, variance))};
}

/* The mean square that a line would have, were its component 0: that of both, where there
 * is one. */
static dialarc_gauge_line tell_line(const darc_anova *anova, int k)
{
    const darc_anova_line *line = &anova->line[k], *both = &anova->line[DARC_BOTH];
    const darc_anova_line *under =
        k < DARC_BOTH && both->dof ? both : &anova->line[DARC_REPETITION];
    bool there = line->dof > 0;
    return (dialarc_gauge_line){line->dof, line->squares,
                                there ? line->mean_square : DIALARC_UNKNOWN,
                                there && k != DARC_REPETITION && under->mean_square > 0.0
                                    ? line->mean_square / under->mean_square
                                    : DIALARC_UNKNOWN};
}

static void tell_components(const darc_anova *anova, const darc_cells *cells,
                            const double *variance, dialarc_gauge_study *study)
{
    mixed component[DARC_COMPONENTS];
    double dof[DARC_COMPONENTS], between = variance[DARC_REPETITION];
    dialarc_component *const to[] = {&study->engine, &study->hand, &study->engine_hand,
                                     &study->repetition};
    solve(anova, component);
    for (int k = 0; k < DARC_COMPONENTS; k++)
        dof[k] = anova->line[k].dof ? darc_anova_dof(anova, cells, k, variance) : 1.0;
    mixed all = component[DARC_REPETITION];
    for (int k = 0; k < DARC_COMPONENTS; k++) {
        bool there = anova->line[k].dof > 0;
        *to[k] = there ? tell(anova, dof, &component[k], variance[k]) : unknown;
        if (k != DARC_HAND && k != DARC_BOTH)
            continue;
        all = plus(all, 1.0, &component[k]);
        between += variance[k];
    }
    study->repeatability = study->repetition;
    study->reproducibility =
        anova->line[DARC_HAND].dof ? tell(anova, dof, &all, between) : unknown;
}

static void tell_study(const darc_anova *anova, const darc_cells *cells,
                       const double *variance, dialarc_gauge_study *study)
{
    double sum = 0.0;
    for (int i = 0; i < cells->n; i++)
        sum += cells->cell[i].count * cells->cell[i].mean;
    *study = (dialarc_gauge_study){.lifts = (size_t)cells->lifts,
                                   .engines = (size_t)cells->engines,
                                   .hands = (size_t)cells->hands,
                                   .mean_mm = cells->origin + sum / cells->lifts,
                                   .by_engine = tell_line(anova, DARC_ENGINE),
                                   .by_hand = tell_line(anova, DARC_HAND),
                                   .by_both = tell_line(anova, DARC_BOTH),
                                   .within = tell_line(anova, DARC_REPETITION)};
    tell_components(anova, cells, variance, study);
}

static dialarc_status check_lifts(size_t n, const dialarc_gauge_lift *lifts)
{
    for (size_t i = 0; i < n; i++) {
        const dialarc_gauge_lift *l = &lifts[i];
        if (!isfinite(l->lift_mm))
            return DIALARC_ERR_NOT_FINITE;
        if (!darc_all_within(1, &l->lift_mm))
            return DIALARC_ERR_RANGE;
        if (l->engine < 0 || l->engine >= DIALARC_GAUGE_LEVELS_MAX || l->hand < 0 ||
            l->hand >= DIALARC_GAUGE_LEVELS_MAX)
            return DIALARC_ERR_CHOICE;
    }
    return DIALARC_OK;
}

dialarc_status dialarc_gauge_assess(size_t n, const dialarc_gauge_lift *lifts,
                                    dialarc_gauge_study *study)
{
    darc_cells cells;
    darc_anova anova;
    double variance[DARC_COMPONENTS];
    if (!study || (n && !lifts))
        return DIALARC_ERR_NULL;
    if (n < 2 || n > DIALARC_GAUGE_LIFTS_MAX)
        return DIALARC_ERR_SIZE;
    dialarc_status status = check_lifts(n, lifts);
    if (status == DIALARC_OK)
        status = darc_cells_of(n, lifts, &cells);
    if (status == DIALARC_OK)
        status = darc_anova_of(&cells, &anova);
    if (status != DIALARC_OK)
        return status;
    status = darc_reml(&cells, &anova, variance);
    if (status >= DIALARC_OK)
        tell_study(&anova, &cells, variance, study);
    darc_anova_free(&anova);
    return status;
}

/* ---- the window ------------------------------------------------------------- */

/* Risks for engines as those of the study, where the method accepts anything at all. */
static void tell_risks(const dialarc_gauge_study *study, double low_mm, double high_mm,
                       dialarc_gauge_window *window)
{
    double from, to;
    dialarc_risks risks;
    window->consumer = window->producer = DIALARC_UNKNOWN;
    if (!isgreater(study->engine.sd_mm, 0.0) || !(window->sd_mm > 0.0) ||
        dialarc_conformity_acceptance(TO_BE_SURE, window->sd_mm, low_mm, high_mm, &from,
                                      &to) != DIALARC_OK)
        return;
    const dialarc_inspection inspection = {.process_mean = study->mean_mm,
                                           .process_sd = study->engine.sd_mm,
                                           .gauge_sd = window->sd_mm,
                                           .low = low_mm,
                                           .high = high_mm,
                                           .guard = from - low_mm};
    if (dialarc_conformity_risks(&inspection, &risks) != DIALARC_OK)
        return;
    window->consumer = risks.consumer;
    window->producer = risks.producer;
}

dialarc_status dialarc_gauge_judge(const dialarc_gauge_study *study, double low_mm,
                                   double high_mm, double shared_mm,
                                   dialarc_gauge_window *window)
{
    if (!study || !window)
        return DIALARC_ERR_NULL;
    const dialarc_component *c = isnan(study->reproducibility.sd_mm)
                                     ? &study->repeatability
                                     : &study->reproducibility;
    const double numbers[] = {low_mm,   high_mm,      shared_mm,    study->mean_mm,
                              c->sd_mm, c->sd_low_mm, c->sd_high_mm};
    const size_t n = sizeof numbers / sizeof numbers[0];
    if (!darc_all_finite(n, numbers))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_all_within(n, numbers))
        return DIALARC_ERR_RANGE;
    if (!(low_mm < high_mm))
        return DIALARC_ERR_WINDOW;
    if (!(shared_mm >= 0.0 && c->sd_mm >= 0.0 && c->sd_low_mm >= 0.0 &&
          c->sd_high_mm >= 0.0))
        return DIALARC_ERR_SD;
    dialarc_gauge_window w = {.sd_mm = hypot(c->sd_mm, shared_mm),
                              .sd_low_mm = hypot(c->sd_low_mm, shared_mm),
                              .sd_high_mm = hypot(c->sd_high_mm, shared_mm)};
    dialarc_status status =
        dialarc_conformity_budget(TO_BE_SURE, low_mm, high_mm, &w.sd_needed_mm);
    if (status != DIALARC_OK)
        return status;
    w.can = w.sd_high_mm <= w.sd_needed_mm ? 1 : w.sd_low_mm > w.sd_needed_mm ? -1 : 0;
    w.narrowest_window_mm = 2.0 * DARC_NORMAL_9875 * w.sd_mm;
    tell_risks(study, low_mm, high_mm, &w);
    *window = w;
    return DIALARC_OK;
}
