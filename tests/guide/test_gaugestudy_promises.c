/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Intervals of components hold the truth 95 times in 100, in balanced studies, unbalanced
 * ones and where a component is 0: simulated lifts that share nothing with the library.
 */
#include <dialarc/gaugestudy.h>
#include <math.h>

#include "kit/check_main.h"
#include "kit/simulate.h"
#include "kit/sweep_kit.h"

#define MOST 12 /* engines, and hands */

typedef struct design {
    const char *name;
    int engines, hands;
    int lifts[MOST]; /* of a cell, by (engine + 2 hand) modulo the number of entries */
    int entries;
    double engine, hand, both, repetition; /* standard deviations, mm */
} design;

static const design designs[] = {
    {"balanced", 5, 3, {2}, 1, 0.03, 0.004, 0.003, 0.005},
    {"balanced, hands alike", 5, 3, {2}, 1, 0.03, 0.0, 0.003, 0.005},
    {"balanced, no interaction", 6, 4, {3}, 1, 0.01, 0.004, 0.0, 0.005},
    {"balanced, hands differ", 4, 3, {2}, 1, 0.005, 0.02, 0.01, 0.002},
    {"nothing repeated", 10, 4, {1}, 1, 0.02, 0.004, 0.0, 0.005},
    {"cells of 1 to 4", 6, 3, {1, 4, 2, 2, 3}, 5, 0.02, 0.004, 0.003, 0.005},
    {"cells missing", 8, 4, {2, 0, 3, 1, 2}, 5, 0.02, 0.004, 0.003, 0.005},
    {"cells missing, hands differ", 8, 4, {2, 0, 3, 1, 0}, 5, 0.02, 0.02, 0.01, 0.003},
    {"one hand", 8, 1, {3}, 1, 0.01, 0.0, 0.0, 0.005},
    {"one hand, 1 to 9 lifts", 8, 1, {1, 9, 2, 3}, 4, 0.01, 0.0, 0.0, 0.005},
};
enum { DESIGNS = sizeof designs / sizeof designs[0], PARTS = 5 };

static size_t draw(const design *d, sim_random *r, dialarc_gauge_lift *lifts)
{
    double engine[MOST], hand[MOST];
    size_t n = 0;
    for (int i = 0; i < MOST; i++) {
        engine[i] = d->engine * sim_normal(r);
        hand[i] = d->hand * sim_normal(r);
    }
    for (int i = 0; i < d->engines; i++)
        for (int j = 0; j < d->hands; j++) {
            double both = d->both * sim_normal(r);
            for (int k = 0; k < d->lifts[(i + 2 * j) % d->entries]; k++)
                lifts[n++] = (dialarc_gauge_lift){0.9 + engine[i] + hand[j] + both +
                                                      d->repetition * sim_normal(r),
                                                  i, j};
        }
    return n;
}

typedef struct score {
    int low[PARTS], high[PARTS]; /* truths below and above the interval */
    double square[PARTS];        /* sum of the variances found, unbiased */
} score;

static void count(const dialarc_component *c, double truth, int part, score *s)
{
    s->low[part] += truth < c->sd_low_mm;
    s->high[part] += truth > c->sd_high_mm;
    s->square[part] += c->variance_mm2;
}

START_TEST(intervals_hold_the_truth)
{
    const design *d = &designs[_i];
    const int n = kit_count(700);
    const char *const part[] = {"engine", "hand", "both", "repetition", "s_R"};
    const double truth[] = {
        d->engine, d->hand, d->both, d->repetition,
        sqrt(d->hand * d->hand + d->both * d->both + d->repetition * d->repetition)};
    sim_random r;
    score s = {{0}, {0}, {0.0}};
    sim_seed(&r, 20261201u + (unsigned)_i);
    for (int k = 0; k < n; k++) {
        dialarc_gauge_lift lifts[300];
        dialarc_gauge_study study;
        size_t lifts_n = draw(d, &r, lifts);
        ck_assert_int_eq(dialarc_gauge_assess(lifts_n, lifts, &study), DIALARC_OK);
        const dialarc_component *c[] = {&study.engine, &study.hand, &study.engine_hand,
                                        &study.repetition, &study.reproducibility};
        for (int p = 0; p < PARTS; p++)
            count(c[p], truth[p], p, &s);
    }
    for (int p = 0; p < PARTS; p++) {
        if (isnan(s.square[p]))
            continue; /* the design does not show it */
        double missed = (double)(s.low[p] + s.high[p]) / n, chance = sqrt(0.0475 / n);
        ck_assert_msg(missed < 0.055 + 3.0 * chance, "%s, %s: %.1f %% missed", d->name,
                      part[p], 100.0 * missed);
        /* A truth of 0 is never above the interval, and all others often enough. */
        ck_assert_msg(missed > (truth[p] > 0.0 ? 0.04 - 3.0 * chance : 0.0) || n < 500,
                      "%s, %s: %.1f %% missed", d->name, part[p], 100.0 * missed);
        double wide = sqrt(700.0 / n);
        ck_assert_double_eq_tol(s.square[p] / n, truth[p] * truth[p],
                                wide * (0.17 * truth[p] * truth[p] + 2e-6));
    }
}
END_TEST

int main(void)
{
    Suite *s = suite_create("gaugestudy_promises");
    TCase *t = tcase_create("cover");
    tcase_set_timeout(t, 300);
    tcase_add_loop_test(t, intervals_hold_the_truth, 0, DESIGNS);
    suite_add_tcase(s, t);
    return darc_run(s);
}
