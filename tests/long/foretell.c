/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Uncertainty foretold against that obtained: `foretell [SWEEPS [LEARNED [SEED]]]`, so
 * many simulated pumps a line with the cam known and with it learned.
 *
 *   foretold   mean expanded uncertainty that was foretold for mid-window, mm
 *   obtained   mean of what the sweeps then said, those that cannot be used left out
 *   ratio      of these two; 0.95 to 1.05 is aimed at
 *   covered    share of the lifts within what was said, 95 % aimed at
 *   unusable   share of the sweeps
 *   misread    share of the sweeps that one misread reading makes unusable
 */
#include <stdio.h>
#include <stdlib.h>

#include "kit/guide_kit.h"

typedef struct line {
    int known, both_ways, chosen;
    size_t n;
} line;

typedef struct score {
    double foretold, obtained;
    int used, covered, unusable, lost;
} score;

static dialarc_timing read_plan(dialarc_workspace *ws, sim_job *job,
                                const dialarc_setup *setup, size_t n,
                                const double *crank_deg, int misread, sim_random *r,
                                double *truth)
{
    static sim_sweep sweep;
    dialarc_timing t;
    const dialarc_sweep taken = kit_take(job, n, crank_deg, r, &sweep);
    if (misread)
        sweep.dial_mm[sim_integer(r, 0, (int)n - 1)] +=
            sim_uniform(r, 0, 1) < 0.5 ? -0.1 : 1.0;
    dialarc_timing_estimate(ws, setup, &taken, NULL, &t);
    *truth = sweep.lift_tdc_mm;
    return t;
}

static void one_pump(dialarc_workspace *ws, const line *l, sim_random *r, score *s)
{
    double crank[KIT_MOST], truth;
    sim_job job = kit_pump(r);
    const dialarc_setup setup = kit_setup(&job, l->known);
    const dialarc_reach reach = kit_reach(&job, l->both_ways);
    dialarc_expectation x;
    if (l->chosen)
        dialarc_design_choose(ws, &setup, KIT_MIDDLE, &reach, l->n, crank);
    else
        kit_even(&reach, l->n, crank);
    dialarc_design_expect(ws, &setup, KIT_MIDDLE, l->n, crank, &x);
    dialarc_timing t = read_plan(ws, &job, &setup, l->n, crank, 0, r, &truth);
    s->unusable += kit_stopped(&t);
    if (!kit_stopped(&t) && x.usable > 0.0) {
        s->used++;
        s->foretold += x.lift_u_mm;
        s->obtained += t.lift_u_mm;
        s->covered += fabs(t.lift_mm - truth) <= t.lift_u_mm;
    }
    t = read_plan(ws, &job, &setup, l->n, crank, 1, r, &truth);
    s->lost += kit_stopped(&t);
}

static void show(const line *l, int pumps, uint64_t seed)
{
    dialarc_workspace *ws = dialarc_workspace_new();
    score s = {0};
    sim_random r;
    sim_seed(&r, seed);
    for (int k = 0; k < pumps; k++)
        one_pump(ws, l, &r, &s);
    dialarc_workspace_free(ws);
    printf("%-8s %-7s %-7s %3zu  %.4f    %.4f    %.3f  %6.2f %%  %6.2f %%  %6.2f %%\n",
           l->known ? "known" : "learned", l->both_ways ? "both" : "forward",
           l->chosen ? "chosen" : "even", l->n, s.foretold / s.used, s.obtained / s.used,
           s.obtained / s.foretold, 100.0 * s.covered / s.used,
           100.0 * s.unusable / pumps, 100.0 * s.lost / pumps);
    fflush(stdout);
}

int main(int argc, char **argv)
{
    static const size_t n[] = {8, 12, 20, 30};
    int pumps = argc > 1 ? atoi(argv[1]) : 10000,
        learned = argc > 2 ? atoi(argv[2]) : 400;
    uint64_t seed = argc > 3 ? strtoull(argv[3], NULL, 10) : 1;
    puts("cam      ways    angles    n  foretold  obtained  ratio  covered   unusable  "
         "misread");
    for (int known = 1; known >= 0; known--)
        for (int both = 0; both < 2; both++)
            for (size_t k = 0; k < sizeof n / sizeof n[0]; k++)
                for (int chosen = 0; chosen < 2; chosen++) {
                    const line l = {known, both, chosen, n[k]};
                    show(&l, known ? pumps : learned, seed);
                }
    return 0;
}
