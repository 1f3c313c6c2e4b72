/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Passes that are copies of each other are noticed; readings that repeat by right, on a
 * wheel brought to its marks, are not.
 */
#include "kit/review_kit.h"
#include "kit/simulate_slips.h"

#define SWEEPS 40

static sim_sweep taken;
static sim_sheet sheet;

/* An ordinary sweep written down in one of the ways, and what is said of it. */
static outcome written(sim_job *job, sim_slip slip, int known, uint64_t seed)
{
    sim_random r;
    sim_seed(&r, seed);
    sim_run(job, &r, &taken);
    sim_write(&taken, job->two_way ? (taken.n + 1) / 2 : taken.n, slip, &sheet);
    dialarc_setup setup = kit_setup(job, known);
    setup.tdc_sd_deg = 0.1;
    dialarc_sweep sweep = {sheet.n, sheet.crank_deg, sheet.dial_mm, NULL};
    return judged(&setup, &sweep);
}

static void expect_noticed(sim_slip slip, int two_way, size_t row)
{
    for (int known = 0; known <= 1; known++)
        for (int k = 0; k < kit_count(SWEEPS); k++) {
            sim_job job = ordinary_job();
            job.two_way = two_way;
            job.dial_step_mm = k % 2 ? 0.01 : 0.001;
            outcome o = written(&job, slip, known, 700 + (uint64_t)k);
            expect(&o, DIALARC_FINDING_PASSES_COPIED, DIALARC_SEVERITY_CAUTION);
            size_t at = o.timing.findings.row[DIALARC_FINDING_PASSES_COPIED];
            ck_assert_msg(at + 2 >= row && at <= row + 2, "row %zu", at);
        }
}

START_TEST(rows_pasted_twice)
{
    expect_noticed(SIM_PASTED_TWICE, 0, 49);
    expect_noticed(SIM_PASTED_TWICE, 1, 97);
}
END_TEST

START_TEST(way_back_copied_from_the_way_out)
{
    expect_noticed(SIM_BACK_COPIED, 1, 49);
}
END_TEST

START_TEST(angles_that_repeat_are_no_copies)
{
    static double path[SIM_MAX];
    int alarms = 0;
    for (int k = 0; k < kit_count(4 * SWEEPS); k++) {
        sim_random r;
        sim_seed(&r, 900 + (uint64_t)k);
        sim_job job = ordinary_job();
        job.slack_deg = 0.2;
        job.dial_step_mm = 0.01;
        job.angle_sd_deg = 0.1;
        job.path_n = sim_angles(&job, path);
        for (size_t i = 0; i < job.path_n; i++) /* brought to the marks twice over */
            path[job.path_n + i] = path[i] = round(path[i]);
        sim_job twice = job;
        twice.path_n = 2 * job.path_n;
        for (size_t i = 0; i < twice.path_n; i++)
            path[i] += job.angle_sd_deg * sim_normal(&r);
        twice.path_deg = path;
        twice.angle_sd_deg = 0.0;
        sim_run(&twice, &r, &taken);
        for (size_t i = 0; i < taken.n; i++)
            taken.crank_deg[i] = round(taken.crank_deg[i]);
        dialarc_setup setup = kit_setup(&job, k % 2);
        dialarc_sweep sweep = kit_sweep(&taken);
        outcome o = judged(&setup, &sweep);
        alarms += has(&o, DIALARC_FINDING_PASSES_COPIED);
    }
    ck_assert_int_eq(alarms, 0);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("copied");
    TCase *c = tcase_create("copies");
    tcase_set_timeout(c, 400);
    tcase_add_test(c, rows_pasted_twice);
    tcase_add_test(c, way_back_copied_from_the_way_out);
    tcase_add_test(c, angles_that_repeat_are_no_copies);
    suite_add_tcase(s, c);
    return darc_run(s);
}
