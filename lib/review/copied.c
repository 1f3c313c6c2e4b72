/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/copied.h"

#include <math.h>

#include "core/finding.h"
#include "core/normal.h"

/* Chance, one in a million, at which equal readings are copies. At the minimum readings
 * taken anew are often equal too: one alone tells little. */
#define COPIED_LOG_CHANCE (-13.8)
#define MOST_ALIKE        0.9
#define LEAST_ALIKE       1e-6 /* on a dial without graduations */

/* The readings of a pass in the order of rising angles. */
typedef struct climb {
    size_t first, n;
    bool falling;
} climb;

static climb climb_of(const darc_pass *pass)
{
    return (climb){pass->begin, pass->end - pass->begin, pass->direction < 0};
}

static size_t reading_at(const climb *c, size_t k)
{
    return c->first + (c->falling ? c->n - 1 - k : k);
}

/* Logarithm of the chance that a reading taken anew shows the same graduation. */
static double log_chance(const darc_fit *fit, size_t i)
{
    double sd = darc_pull_sd(&fit->noise, fit->at.rows[i].slope, 0.0);
    double chance = darc_normal_density(0.0) * fit->noise.step_mm / (sqrt(2.0) * sd);
    return log(fmin(fmax(chance, LEAST_ALIKE), MOST_ALIKE));
}

/* Whether all readings at angles that both passes have are the same; the row of the first
 * of them that was written down later goes to *row. */
static bool are_copies(const darc_record *r, const darc_fit *fit, const climb *a,
                       const climb *b, size_t *row)
{
    double chance = 0.0;
    for (size_t k = 0, l = 0; k < a->n && l < b->n;) {
        size_t i = reading_at(a, k), j = reading_at(b, l);
        if (r->crank_deg[i] == r->crank_deg[j]) {
            if (r->lift_mm[i] != r->lift_mm[j])
                return false;
            if (i != j)
                chance += log_chance(fit, i);
            size_t later = r->row[i] > r->row[j] ? r->row[i] : r->row[j];
            *row = later < *row ? later : *row;
            k++;
            l++;
        } else if (r->crank_deg[i] < r->crank_deg[j]) {
            k++;
        } else {
            l++;
        }
    }
    return chance < COPIED_LOG_CHANCE;
}

void darc_check_copied(const darc_record *r, const darc_fit *fit, dialarc_timing *t)
{
    for (int k = 0; k < r->passes; k++)
        for (int l = 0; l < k; l++) {
            climb a = climb_of(&r->pass[l]), b = climb_of(&r->pass[k]);
            size_t row = DIALARC_NO_ROW;
            if (are_copies(r, fit, &a, &b, &row))
                darc_findings_add(&t->findings, DIALARC_FINDING_PASSES_COPIED,
                                  DIALARC_SEVERITY_CAUTION, row);
        }
}
