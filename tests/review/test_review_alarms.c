/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * False alarms: how often sweeps with nothing wrong but ordinary errors, some of them
 * with 8 % misread dials, are given a finding that calls for caution or stops the
 * verdict. The rates allowed are what counts of that size can show of a true rate of 1 %
 * (0.2 % for findings that would send the mechanic looking for a fault): mean and three
 * standard deviations.
 */
#include "kit/review_kit.h"

typedef struct alarms {
    int n, stopped;
    int count[DIALARC_FINDING_COUNT]; /* above notes */
} alarms;

/* What an ordinary sweep is given when it is true: more misreads than one in ten. */
static int by_right(dialarc_finding finding)
{
    return finding == DIALARC_FINDING_READING_REJECTED;
}

static int would_mislead(dialarc_finding finding)
{
    return finding == DIALARC_FINDING_DIAL_OFF_SPINDLE ||
           finding == DIALARC_FINDING_LOBE_COUNT_MISMATCH ||
           finding == DIALARC_FINDING_CAM_MISMATCH ||
           finding == DIALARC_FINDING_MINIMUM_NOT_BRACKETED ||
           finding == DIALARC_FINDING_ZERO_DRIFT ||
           finding == DIALARC_FINDING_TOO_FEW_READINGS ||
           finding == DIALARC_FINDING_TDC_NOT_REACHED ||
           finding == DIALARC_FINDING_OVERSHOT_TDC;
}

static void count(alarms *a, const sim_job *job, int known, sim_random *r)
{
    static sim_sweep s;
    sim_run(job, r, &s);
    dialarc_setup setup = kit_setup(job, known);
    setup.tdc_sd_deg = 0.2;
    dialarc_sweep sweep = kit_sweep(&s);
    outcome o = judged(&setup, &sweep);
    a->n++;
    a->stopped += o.verdict == DIALARC_VERDICT_UNUSABLE;
    for (int k = 0; k < DIALARC_FINDING_COUNT; k++)
        a->count[k] += has(&o, (dialarc_finding)k) &&
                       o.timing.findings.severity[k] > DIALARC_SEVERITY_NOTE;
}

static double most(int n, double rate)
{
    return rate * n + 3.0 * sqrt(rate * n) + 0.5;
}

static void expect_few(const alarms *a)
{
    for (int k = 0; k < DIALARC_FINDING_COUNT; k++) {
        dialarc_finding f = (dialarc_finding)k;
        double rate = by_right(f) ? 0.05 : would_mislead(f) ? 0.002 : 0.01;
        ck_assert_msg(a->count[k] <= most(a->n, rate), "%s: %d of %d",
                      dialarc_finding_code(f), a->count[k], a->n);
    }
    ck_assert_msg(a->stopped <= most(a->n, 0.01), "%d of %d stopped", a->stopped, a->n);
}

/* Every second job with misread dials. */
static sim_job some_job(sim_random *r, int k)
{
    sim_job job = kit_job(r);
    job.misread_share = k % 2 ? 0.08 : 0.0;
    return job;
}

START_TEST(both_ways)
{
    alarms a = {0};
    sim_random r;
    sim_seed(&r, 81);
    for (int k = 0; k < kit_count(600); k++) {
        sim_job job = some_job(&r, k);
        count(&a, &job, GIVEN, &r);
    }
    expect_few(&a);
}
END_TEST

START_TEST(one_way)
{
    alarms a = {0};
    sim_random r;
    sim_seed(&r, 82);
    for (int k = 0; k < kit_count(600); k++) {
        sim_job job = some_job(&r, k);
        job.two_way = 0;
        count(&a, &job, GIVEN, &r);
    }
    expect_few(&a);
}
END_TEST

START_TEST(ten_readings)
{
    alarms a = {0};
    sim_random r;
    sim_seed(&r, 83);
    for (int k = 0; k < kit_count(600); k++) {
        sim_job job = some_job(&r, 0);
        kit_few(&job, &r);
        count(&a, &job, GIVEN, &r);
    }
    expect_few(&a);
}
END_TEST

/* From the dwell to a little after TDC and back. */
START_TEST(short_sweeps)
{
    alarms a = {0};
    sim_random r;
    sim_seed(&r, 84);
    for (int k = 0; k < kit_count(600); k++) {
        sim_job job = some_job(&r, k);
        job.start_deg =
            job.foot_crank_deg - 2.0 * job.cam.base_deg * sim_uniform(&r, 0.5, 1.0);
        job.end_deg = sim_uniform(&r, 8.0, 25.0);
        count(&a, &job, GIVEN, &r);
    }
    expect_few(&a);
}
END_TEST

START_TEST(begun_in_the_slack)
{
    alarms a = {0};
    sim_random r;
    sim_seed(&r, 85);
    for (int k = 0; k < kit_count(400); k++) {
        sim_job job = some_job(&r, k);
        job.start_in_slack = 1;
        job.start_share = sim_uniform(&r, 0.0, 1.0);
        count(&a, &job, GIVEN, &r);
    }
    expect_few(&a);
}
END_TEST

START_TEST(more_than_one_lobe)
{
    alarms a = {0};
    sim_random r;
    sim_seed(&r, 86);
    for (int k = 0; k < kit_count(300); k++) {
        sim_job job = some_job(&r, k);
        job.end_deg = job.start_deg + 720.0 / job.cam.lobes * sim_uniform(&r, 1.2, 2.2);
        count(&a, &job, GIVEN, &r);
    }
    expect_few(&a);
}
END_TEST

/* Readings closer than the error of their angles, as recorders take them. */
START_TEST(closely_read)
{
    alarms a = {0};
    sim_random r;
    sim_seed(&r, 88);
    for (int k = 0; k < kit_count(200); k++) {
        sim_job job = some_job(&r, 0);
        job.step_deg = sim_uniform(&r, 0.15, 0.3);
        count(&a, &job, GIVEN, &r);
    }
    expect_few(&a);
}
END_TEST

START_TEST(cam_learned)
{
    alarms a = {0};
    sim_random r;
    sim_seed(&r, 87);
    for (int k = 0; k < kit_count(300); k++) {
        sim_job job = some_job(&r, k);
        count(&a, &job, LEARNED, &r);
    }
    expect_few(&a);
}
END_TEST

START_TEST(cam_learned_one_way)
{
    alarms a = {0};
    sim_random r;
    sim_seed(&r, 88);
    for (int k = 0; k < kit_count(200); k++) {
        sim_job job = some_job(&r, k);
        job.two_way = 0;
        job.start_deg -= 10.0; /* so that the fall to the minimum is seen */
        count(&a, &job, LEARNED, &r);
    }
    expect_few(&a);
}
END_TEST

/* Mixed laws and other blends: none of the laws known to the library. */
START_TEST(cam_of_no_law_learned)
{
    alarms a = {0};
    sim_random r;
    sim_seed(&r, 89);
    for (int k = 0; k < kit_count(200); k++) {
        sim_job job = some_job(&r, k);
        if (k % 4 < 2) {
            job.cam.second_law = sim_integer(&r, 0, SIM_LAWS - 1);
            job.cam.mix = sim_uniform(&r, 0.2, 0.8);
        } else {
            job.cam.rise_law = job.cam.fall_law = 6;
            job.cam.blend = sim_uniform(&r, 0.1, 0.45);
        }
        count(&a, &job, LEARNED, &r);
    }
    expect_few(&a);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("false alarms");
    TCase *tc = tcase_create("alarms");
    tcase_set_timeout(tc, 900.0);
    tcase_add_test(tc, both_ways);
    tcase_add_test(tc, one_way);
    tcase_add_test(tc, ten_readings);
    tcase_add_test(tc, short_sweeps);
    tcase_add_test(tc, begun_in_the_slack);
    tcase_add_test(tc, more_than_one_lobe);
    tcase_add_test(tc, closely_read);
    tcase_add_test(tc, cam_learned);
    tcase_add_test(tc, cam_learned_one_way);
    tcase_add_test(tc, cam_of_no_law_learned);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
