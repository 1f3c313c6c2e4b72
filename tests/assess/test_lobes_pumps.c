/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Lobes of simulated pumps, whose errors are known: accuracy against the Cramer-Rao bound
 * of the simulator, and coverage of the uncertainties. The environment variable
 * LOBE_PUMPS asks for more pumps than the few of a usual run, and then for the limits
 * that so many pumps can show.
 */
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>

#include "kit/check_main.h"
#include "kit/lobes_kit.h"

#define USUAL_PUMPS 40
#define MANY        600 /* pumps from which on the promised limits are asked for */

typedef struct tally {
    int pumps, lobes, failed;
    double timing2, lift2, run_out2; /* squared errors over the bound's squares */
    int timing_in, lift_in, run_out_in, scatter_in, spread_in, phase_in, phases;
    double worst;
} tally;

static double true_scatter(const sim_cam *cam, double *spread)
{
    double mean = 0.0, sum = 0.0, low = INFINITY, high = -INFINITY;
    for (int k = 0; k < cam->lobes; k++) {
        mean += cam->late_deg[k] / cam->lobes;
        low = fmin(low, cam->late_deg[k]);
        high = fmax(high, cam->late_deg[k]);
    }
    for (int k = 0; k < cam->lobes; k++)
        sum += (cam->late_deg[k] - mean) * (cam->late_deg[k] - mean);
    *spread = 2.0 * (high - low);
    return 2.0 * sqrt(sum / (cam->lobes - 1));
}

static void compare_lobes(const sim_job *j, const dialarc_lobes *got, tally *t)
{
    double timing_sd[SIM_LOBES], lift_sd[SIM_LOBES];
    double run_out_sd = sim_lobe_bound(j, timing_sd, lift_sd);
    for (int k = 1; k < j->cam.lobes; k++) {
        const dialarc_lobe *l = &got->lobe[k];
        double timing = l->advance_crank_deg - kit_advance(j, k);
        double lift = l->lift_error_mm - kit_extra(j, k);
        t->timing2 += pow(timing / timing_sd[k], 2);
        t->lift2 += pow(lift / lift_sd[k], 2);
        t->timing_in += fabs(timing) <= l->advance_u_crank_deg;
        t->lift_in += fabs(lift) <= l->lift_error_u_mm;
        t->worst = fmax(t->worst, fabs(timing / timing_sd[k]));
        t->lobes++;
    }
    double run_out = got->run_out_mm - j->cam.run_out_mm;
    t->run_out2 += pow(run_out / run_out_sd, 2);
    t->run_out_in += fabs(run_out) <= got->run_out_u_mm;
    if (!isnan(got->run_out_phase_pump_deg)) {
        double off = remainder(got->run_out_phase_pump_deg - kit_phase(j), 360.0);
        t->phases++;
        t->phase_in += fabs(off) <= got->run_out_phase_u_pump_deg;
    }
}

static void one_pump(uint64_t seed, double misread_share, int known, dialarc_workspace *w,
                     tally *t)
{
    static sim_sweep sweep;
    sim_random r;
    sim_seed(&r, seed);
    sim_job j = kit_turn(&r);
    j.misread_share = misread_share;
    dialarc_setup setup = kit_setup(&j, known);
    sim_run(&j, &r, &sweep);
    dialarc_sweep record = kit_sweep(&sweep);
    dialarc_lobes got;
    double spread;
    t->pumps++;
    if (dialarc_lobes_estimate(w, &setup, &record, NULL, &got) != DIALARC_OK ||
        dialarc_findings_worst(&got.findings) == DIALARC_SEVERITY_STOP) {
        t->failed++;
        return;
    }
    compare_lobes(&j, &got, t);
    double scatter = true_scatter(&j.cam, &spread);
    t->scatter_in +=
        scatter >= got.scatter_low_crank_deg && scatter <= got.scatter_high_crank_deg;
    t->spread_in += fabs(spread - got.spread_crank_deg) <= got.spread_u_crank_deg;
}

static double share(int part, int whole)
{
    return 100.0 * part / whole;
}

/* Coverage of a share that is meant to be 95 %: within 1 % when there are many, else
 * within what chance allows for draws of which about half are independent. What is told
 * once a pump, and scatter and spread, whose intervals are on the safe side, are asked
 * for no more than that. */
static void covers(const char *what, int in, int of, bool many)
{
    double got = share(in, of), slack = many ? 1.0 : 4.0 * sqrt(2.0 * 95.0 * 5.0 / of);
    ck_assert_msg(fabs(got - 95.0) <= slack, "%s: %.2f %% of %d", what, got, of);
}

static void judge(const char *name, double misread_share, int known)
{
    const char *asked = getenv("LOBE_PUMPS");
    int pumps = asked ? atoi(asked) : kit_count(USUAL_PUMPS);
    tally t = {0};
    dialarc_workspace *w = dialarc_workspace_new();
    for (int k = 0; k < pumps; k++)
        one_pump((uint64_t)(k + 1), misread_share, known, w, &t);
    dialarc_workspace_free(w);
    int good = t.pumps - t.failed;
    bool many = pumps >= MANY;
    double timing = sqrt(t.timing2 / t.lobes), lift = sqrt(t.lift2 / t.lobes),
           run_out = sqrt(t.run_out2 / good);
    if (asked)
        printf(
            "%-22s pumps %d failed %d | over bound: timing %.3f lift %.3f run-out %.3f "
            "worst %.1f | covered: timing %.2f lift %.2f run-out %.2f phase %.2f "
            "scatter %.2f spread %.2f\n",
            name, t.pumps, t.failed, timing, lift, run_out, t.worst,
            share(t.timing_in, t.lobes), share(t.lift_in, t.lobes),
            share(t.run_out_in, good), share(t.phase_in, t.phases),
            share(t.scatter_in, good), share(t.spread_in, good));
    ck_assert_int_eq(t.failed, 0);
    double limit = many ? 1.2 : 1.2 + 3.0 / sqrt(2.0 * pumps); /* chance */
    ck_assert_double_le(timing, limit);
    ck_assert_double_le(lift, limit);
    ck_assert_double_le(run_out, limit);
    ck_assert_double_le(t.worst, 6.0);
    covers("timing", t.timing_in, t.lobes, many);
    covers("lift", t.lift_in, t.lobes, many);
    covers("run-out", t.run_out_in, good, false);
    covers("phase", t.phase_in, t.phases, false);
    covers("scatter", t.scatter_in, good, false);
    covers("spread", t.spread_in, good, false);
}

START_TEST(clean_readings_known_cam)
{
    judge("clean, known", 0.0, 1);
}
END_TEST

START_TEST(misread_dials_known_cam)
{
    judge("misread, known", 0.08, 1);
}
END_TEST

START_TEST(clean_readings_learned_cam)
{
    judge("clean, learned", 0.0, 0);
}
END_TEST

START_TEST(misread_dials_learned_cam)
{
    judge("misread, learned", 0.08, 0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("lobes of simulated pumps");
    TCase *tc = tcase_create("pumps");
    tcase_set_timeout(tc, 0);
    tcase_add_test(tc, clean_readings_known_cam);
    tcase_add_test(tc, misread_dials_known_cam);
    tcase_add_test(tc, clean_readings_learned_cam);
    tcase_add_test(tc, misread_dials_learned_cam);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
