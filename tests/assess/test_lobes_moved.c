/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A dial that was moved or a degree wheel that slipped once, in a sweep over a whole
 * turn: no lobe is blamed for it. Simulated pumps whose errors are known.
 */
#include <math.h>
#include <stdio.h>

#include "kit/check_main.h"
#include "kit/lobes_kit.h"

typedef enum fault { NONE, DIAL_MOVED, WHEEL_SLIPPED } fault;

typedef struct tally {
    int pumps, stopped, near, blamed;
} tally;

/* One pump; `blamed`: a lobe is told to be off by more than its U, without a stop. */
static void one_pump(uint64_t seed, fault what, int known, dialarc_workspace *w, tally *t)
{
    static sim_sweep sweep;
    sim_random r;
    sim_seed(&r, seed);
    sim_job j = kit_turn(&r);
    double share = sim_uniform(&r, 0.2, 0.8);
    if (what == DIAL_MOVED) {
        j.knock_mm = sim_uniform(&r, 0.0, 1.0) < 0.5 ? -0.1 : 0.1;
        j.knock_share = share;
    }
    dialarc_setup setup = kit_setup(&j, known);
    sim_run(&j, &r, &sweep);
    size_t at = (size_t)(share * (double)sweep.n);
    for (size_t i = at; what == WHEEL_SLIPPED && i < sweep.n; i++)
        sweep.crank_deg[i] += 4.0;
    dialarc_sweep record = kit_sweep(&sweep);
    dialarc_lobes got;
    t->pumps++;
    if (dialarc_lobes_estimate(w, &setup, &record, NULL, &got) < DIALARC_OK)
        return;
    if (dialarc_findings_worst(&got.findings) == DIALARC_SEVERITY_STOP) {
        size_t row = got.findings.row[DIALARC_FINDING_ZERO_DRIFT];
        t->stopped++;
        t->near +=
            row != DIALARC_NO_ROW && row + sweep.n / 4 >= at && row <= at + sweep.n / 4;
        ck_assert_double_nan(got.lobe[1].advance_crank_deg);
        ck_assert_double_nan(got.spread_crank_deg);
        return;
    }
    for (int k = 1; k < j.cam.lobes; k++)
        if (fabs(got.lobe[k].advance_crank_deg - kit_advance(&j, k)) >
            3.0 * got.lobe[k].advance_u_crank_deg + 0.5) {
            t->blamed++;
            return;
        }
}

static tally many(fault what, int known, int n)
{
    tally t = {.pumps = 0};
    dialarc_workspace *w = dialarc_workspace_new();
    for (int i = 0; i < n; i++)
        one_pump(4000 + (uint64_t)i, what, known, w, &t);
    dialarc_workspace_free(w);
    printf("fault %d, cam %s: %d stopped, %d of them within a quarter of the sweep, "
           "%d blamed, of %d\n",
           (int)what, known ? "known" : "learned", t.stopped, t.near, t.blamed, t.pumps);
    return t;
}

START_TEST(right_sweeps_raise_no_alarm)
{
    ck_assert_int_eq(many(NONE, _i, 100).stopped, 0);
}
END_TEST

START_TEST(moved_dials_are_found)
{
    tally t = many(DIAL_MOVED, _i, 60);
    ck_assert_int_ge(t.stopped, 57);
    ck_assert_int_ge(t.near, 50);
    ck_assert_int_eq(t.blamed, 0);
}
END_TEST

START_TEST(slipped_wheels_are_found)
{
    tally t = many(WHEEL_SLIPPED, _i, 60);
    ck_assert_int_ge(t.stopped, 54);
    ck_assert_int_ge(t.near, 40);
    ck_assert_int_le(t.blamed, 1);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("lobes_moved");
    TCase *tc = tcase_create("moved");
    tcase_set_timeout(tc, 120.0);
    tcase_add_loop_test(tc, right_sweeps_raise_no_alarm, 0, 2);
    tcase_add_loop_test(tc, moved_dials_are_found, 0, 2);
    tcase_add_loop_test(tc, slipped_wheels_are_found, 0, 2);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
