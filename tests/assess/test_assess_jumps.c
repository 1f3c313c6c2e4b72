/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The crank taken back with nothing read on the way, and brought forward again: what most
 * mechanics do; or turned on after the last reading, and then back. The readings after it
 * are as good as the others.
 */
#include <math.h>
#include <stdlib.h>

#include <dialarc/assess.h>

#include "kit/check_main.h"
#include "kit/sweep_kit.h"

#define SWEEPS   150
#define STEP_DEG 1.5
#define ROOM     512

typedef struct tally {
    int sweeps, covered, stopped, rejected;
    int slack_missed; /* given, and the truth outside its uncertainty */
} tally;

static size_t go(double from, double to, size_t n, double *path)
{
    int steps = (int)ceil(fabs(to - from) / STEP_DEG);
    for (int k = 1; k <= steps && n < ROOM; k++)
        path[n++] = from + (to - from) * k / steps;
    return n;
}

static void count(tally *t, dialarc_workspace *ws, const sim_job *job, int known,
                  const sim_sweep *sweep)
{
    dialarc_setup setup = kit_setup(job, known);
    dialarc_sweep record = kit_sweep(sweep);
    dialarc_timing timing;
    ck_assert_int_ge(dialarc_timing_estimate(ws, &setup, &record, NULL, &timing), 0);
    t->covered += fabs(timing.lift_mm - sweep->lift_tdc_mm) <= timing.lift_u_mm;
    t->stopped += dialarc_findings_worst(&timing.findings) == DIALARC_SEVERITY_STOP;
    t->slack_missed +=
        fabs(timing.slack_crank_deg - job->slack_deg) > timing.slack_u_crank_deg;
    t->rejected += (int)timing.readings_rejected;
}

/* Forward to just before TDC, back by `back` degrees, read on the way or not, forward
 * past TDC, and assessed with the cam known. */
static tally jump(double back, int read_on_the_way, uint64_t seed)
{
    tally t = {0, 0, 0, 0, 0};
    sim_random r;
    sim_sweep *sweep = malloc(sizeof *sweep);
    dialarc_workspace *ws = dialarc_workspace_new();
    sim_seed(&r, seed);
    t.sweeps = kit_count(SWEEPS);
    for (int k = 0; k < t.sweeps; k++) {
        double path[ROOM];
        sim_job job = kit_job(&r);
        double start = job.foot_crank_deg - 40.0, turn = -4.0;
        path[0] = start;
        size_t n = go(start, turn, 1, path);
        if (read_on_the_way)
            n = go(turn, turn - back, n, path);
        else
            path[n++] = turn - back;
        n = go(turn - back, 35.0, n, path);
        job.slack_deg = 8.0;
        job.path_deg = path;
        job.path_n = n;
        sim_run(&job, &r, sweep);
        count(&t, ws, &job, 1, sweep);
    }
    dialarc_workspace_free(ws);
    free(sweep);
    return t;
}

/* Forward to 45 degrees past TDC and back, read no further than `read_to`. */
static tally turn_unread(double read_to, int known, int sweeps, uint64_t seed)
{
    tally t = {0, 0, 0, 0, 0};
    sim_random r;
    sim_sweep *sweep = malloc(sizeof *sweep);
    dialarc_workspace *ws = dialarc_workspace_new();
    sim_seed(&r, seed);
    t.sweeps = kit_count(sweeps);
    for (int k = 0; k < t.sweeps; k++) {
        double path[ROOM];
        sim_job job = kit_job(&r);
        path[0] = job.foot_crank_deg - 40.0;
        job.path_n = go(45.0, path[0], go(path[0], 45.0, 1, path), path);
        job.path_deg = path;
        sim_run(&job, &r, sweep);
        size_t n = 0;
        for (size_t i = 0; i < sweep->n; i++)
            if (path[i] <= read_to) {
                sweep->crank_deg[n] = sweep->crank_deg[i];
                sweep->dial_mm[n++] = sweep->dial_mm[i];
            }
        sweep->n = n;
        count(&t, ws, &job, known, sweep);
    }
    dialarc_workspace_free(ws);
    free(sweep);
    return t;
}

/* `rejected`: readings set aside in each sweep, on average. */
static void check(tally t, double back, double rejected)
{
    ck_assert_msg(t.slack_missed <= 0.05 * t.sweeps + 3.0 * sqrt(0.0475 * t.sweeps),
                  "%g back: slack outside its uncertainty in %d of %d", back,
                  t.slack_missed, t.sweeps);
    ck_assert_msg(t.stopped <= 1 + t.sweeps / 50, "%g back: %d of %d stopped", back,
                  t.stopped, t.sweeps);
    ck_assert_msg(t.rejected <= rejected * t.sweeps + 3, "%g back: %d readings rejected",
                  back, t.rejected);
    /* 95 % less three binomial sds, and one for small numbers */
    ck_assert_msg(t.covered >= 0.95 * t.sweeps - 3.0 * sqrt(0.0475 * t.sweeps) - 1.0,
                  "%g back: %d of %d covered", back, t.covered, t.sweeps);
}

START_TEST(jump_further_than_the_slack)
{
    check(jump(12.0, 0, 1), 12.0, 0.5);
    check(jump(20.0, 0, 2), 20.0, 0.5);
}
END_TEST

START_TEST(jump_shorter_than_the_slack)
{
    check(jump(5.0, 0, 3), 5.0, 0.5);
}
END_TEST

START_TEST(way_back_that_was_read)
{
    check(jump(3.0, 1, 4), 3.0, 0.5);
    check(jump(6.0, 1, 5), 6.0, 0.5);
    check(jump(20.0, 1, 6), 20.0, 0.5);
}
END_TEST

/* The crank goes on after the last reading before it turns. */
START_TEST(turn_beyond_the_last_reading)
{
    check(turn_unread(43.0, 1, SWEEPS, 7), 2.0, 1.0);
    check(turn_unread(40.0, 1, SWEEPS, 8), 5.0, 1.0);
    check(turn_unread(42.0, 0, 40, 9), 3.0, 1.0);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("timing_jumps");
    TCase *c = tcase_create("timing_jumps");
    tcase_set_timeout(c, 600);
    tcase_add_test(c, jump_further_than_the_slack);
    tcase_add_test(c, jump_shorter_than_the_slack);
    tcase_add_test(c, way_back_that_was_read);
    tcase_add_test(c, turn_beyond_the_last_reading);
    suite_add_tcase(s, c);
    return darc_run(s);
}
