/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Findings about cam, lobes and a dial off its plunger, on simulated pumps of known make.
 */
#include <dialarc/reuse.h>

#include <dialarc/learned_cam.h>

#include "kit/review_kit.h"

START_TEST(a_dial_off_its_plunger)
{
    static const double off[] = {0.06, 0.1, 0.2, 0.3, 0.5};
    int at = 0;
    for (int k = 0; k < 5; k++)
        for (int known = 0; known <= 1; known++)
            for (double step = 0.002; step <= 0.01; step += 0.004) {
                if (kit_skips(at++))
                    continue;
                sim_job job = ordinary_job();
                job.off_mm = off[k];
                job.dial_step_mm = step;
                outcome o = look(&job, known, 61);
                expect_stop(&o, DIALARC_FINDING_DIAL_OFF_SPINDLE);
            }
}
END_TEST

START_TEST(a_dial_off_its_plunger_in_one_way_sweeps)
{
    for (int known = 0; known <= 1; known++) {
        sim_job job = ordinary_job();
        job.off_mm = 0.15;
        job.two_way = 0;
        outcome o = look(&job, known, 62);
        expect_stop(&o, DIALARC_FINDING_DIAL_OFF_SPINDLE);
        job.misread_share = 0.08;
        o = look(&job, known, 63);
        if (!has(&o, DIALARC_FINDING_DIAL_NOT_PRELOADED))
            expect_stop(&o, DIALARC_FINDING_DIAL_OFF_SPINDLE);
    }
}
END_TEST

/* Long base dwells, sharp and soft laws, whole graduations: the dial stands still by
 * right. */
START_TEST(a_base_dwell)
{
    int at = 0;
    for (int law = 0; law < SIM_LAWS; law++)
        for (double base = 6.0; base <= 22.0; base += 8.0)
            for (int known = 0; known <= 1; known++) {
                if (kit_skips(at++))
                    continue;
                sim_job job = ordinary_job();
                job.cam.rise_law = job.cam.fall_law = law;
                job.cam.base_deg = base;
                job.dial_step_mm = 0.01;
                job.dial_sd_mm = 0.002;
                job.start_deg = job.foot_crank_deg - 2.0 * base - 30.0;
                outcome o = look(&job, known, 64);
                expect_not(&o, DIALARC_FINDING_DIAL_OFF_SPINDLE);
                ck_assert_double_le(fabs(o.error_mm), 1.5 * o.timing.lift_u_mm);
            }
}
END_TEST

/* Residuals that belong to their readings: 0.2 degrees on 0.055 mm a degree, and 0.003.
 */
static void expect_residuals(const sim_job *job, uint64_t seed)
{
    static sim_sweep s;
    static double residual[SIM_MAX];
    sim_random r;
    dialarc_timing t;
    sim_seed(&r, seed);
    sim_run(job, &r, &s);
    for (int known = 0; known <= 1; known++) {
        dialarc_setup setup = kit_setup(job, known);
        dialarc_sweep sweep = kit_sweep(&s);
        dialarc_workspace *workspace = dialarc_workspace_new();
        ck_assert_int_eq(dialarc_timing_estimate(workspace, &setup, &sweep, residual, &t),
                         DIALARC_OK);
        dialarc_workspace_free(workspace);
        for (size_t i = 0; i < s.n; i++)
            ck_assert_double_le(fabs(residual[i]), 4.5 * 0.0115);
    }
}

/* A record is left as it was found, also where the crank turned in the dwell. */
START_TEST(looking_changes_nothing)
{
    double path[400];
    size_t n = 0;
    sim_job job = ordinary_job();
    expect_residuals(&job, 65);
    for (double crank = 20.0; crank > -46.0; crank -= 2.0)
        path[n++] = crank;
    for (double crank = -46.0; crank < 21.0; crank += 2.0)
        path[n++] = crank;
    job.path_deg = path;
    job.path_n = n;
    job.start_in_slack = 1;
    job.start_share = 1.0;
    expect_residuals(&job, 65);
}
END_TEST

/* Misread dials at the very beginning and end, where the dial stands still. */
START_TEST(misread_in_the_dwell)
{
    static sim_sweep s;
    sim_random r;
    sim_job job = ordinary_job();
    job.start_deg = job.foot_crank_deg - 18.0;
    sim_seed(&r, 77);
    sim_run(&job, &r, &s);
    s.dial_mm[0] -= 1.0;
    s.dial_mm[1] += 0.02;
    s.dial_mm[s.n - 1] -= 0.1;
    for (int known = 0; known <= 1; known++) {
        dialarc_setup setup = kit_setup(&job, known);
        dialarc_sweep sweep = kit_sweep(&s);
        outcome o = judged(&setup, &sweep);
        o.error_mm = o.timing.lift_mm - s.lift_tdc_mm;
        expect_not(&o, DIALARC_FINDING_DIAL_OFF_SPINDLE);
        expect_not(&o, DIALARC_FINDING_ZERO_DRIFT);
        ck_assert_double_le(fabs(o.error_mm), 1.5 * o.timing.lift_u_mm);
    }
}
END_TEST

/* A pointer that slips on the wheel is no fault of the cam's: none is learned, and none
 * can be asked for. */
START_TEST(a_pointer_that_slips)
{
    static sim_sweep s;
    sim_random r;
    dialarc_timing t;
    sim_job job = ordinary_job();
    sim_seed(&r, 78);
    sim_run(&job, &r, &s);
    for (size_t i = s.n * 2 / 3; i < s.n; i++)
        s.crank_deg[i] += 7.0;
    dialarc_setup setup = kit_setup(&job, GIVEN);
    dialarc_sweep sweep = kit_sweep(&s);
    dialarc_workspace *workspace = dialarc_workspace_new();
    dialarc_learned_cam *cam = NULL;
    ck_assert_int_eq(dialarc_learned_cam_new(workspace, &setup, &sweep, &cam),
                     DIALARC_ERR_NO_SOLUTION);
    ck_assert_ptr_null(cam);
    dialarc_timing_estimate(workspace, &setup, &sweep, NULL, &t);
    ck_assert_int_eq(t.cam_learned, 0);
    ck_assert(!dialarc_findings_has(&t.findings, DIALARC_FINDING_CAM_MISMATCH));
    ck_assert_int_eq(dialarc_findings_worst(&t.findings), DIALARC_SEVERITY_STOP);
    dialarc_workspace_free(workspace);
}
END_TEST

START_TEST(another_law_than_the_one_given)
{
    for (int law = 0; law < SIM_LAWS; law++) {
        sim_job job = ordinary_job();
        static sim_sweep s;
        sim_random r;
        sim_seed(&r, 66);
        sim_run(&job, &r, &s);
        dialarc_setup setup = kit_setup(&job, GIVEN);
        setup.tdc_sd_deg = 0.1;
        setup.cam_law = (dialarc_law)(law + 1);
        dialarc_sweep sweep = kit_sweep(&s);
        outcome o = judged(&setup, &sweep);
        o.error_mm = o.timing.lift_mm - s.lift_tdc_mm;
        ck_assert_double_le(fabs(o.error_mm), 1.5 * o.timing.lift_u_mm);
        if (law == job.cam.rise_law) {
            expect_fine(&o);
            continue;
        }
        expect(&o, DIALARC_FINDING_CAM_MISMATCH, DIALARC_SEVERITY_CAUTION);
        ck_assert_int_eq(o.timing.cam_learned, 1);
        ck_assert_int_eq(o.verdict, DIALARC_VERDICT_IN);
    }
}
END_TEST

START_TEST(other_angles_than_those_given)
{
    for (int k = 0; k < 3; k++) {
        sim_job job = ordinary_job();
        job.start_deg -= 30.0;
        static sim_sweep s;
        sim_random r;
        sim_seed(&r, 67);
        sim_run(&job, &r, &s);
        dialarc_setup setup = kit_setup(&job, GIVEN);
        setup.tdc_sd_deg = 0.1;
        setup.rise_deg += k == 0 ? 3.0 : 0.0;
        setup.base_dwell_deg += k == 1 ? 4.0 : 0.0;
        dialarc_sweep sweep = kit_sweep(&s);
        outcome o = judged(&setup, &sweep);
        ck_assert_double_le(fabs(o.timing.lift_mm - s.lift_tdc_mm),
                            1.5 * o.timing.lift_u_mm);
        if (k < 2)
            expect(&o, DIALARC_FINDING_CAM_MISMATCH, DIALARC_SEVERITY_CAUTION);
        else
            expect_not(&o, DIALARC_FINDING_CAM_MISMATCH);
    }
}
END_TEST

/* What else makes a poor fit is not put down to the cam. */
START_TEST(a_good_cam_is_not_doubted)
{
    uint64_t end = 68 + (uint64_t)kit_count(5);
    for (uint64_t seed = 68; seed < end; seed++) {
        sim_job job = ordinary_job();
        job.misread_share = 0.1;
        outcome o = look(&job, GIVEN, seed);
        expect_not(&o, DIALARC_FINDING_CAM_MISMATCH);
        job.misread_share = 0.0;
        job.drift_mm = 0.03;
        o = look(&job, GIVEN, seed);
        expect_not(&o, DIALARC_FINDING_CAM_MISMATCH);
        job.drift_mm = 0.0;
        job.off_mm = 0.1;
        o = look(&job, GIVEN, seed);
        expect_not(&o, DIALARC_FINDING_CAM_MISMATCH);
    }
}
END_TEST

/* The same cam shape on a pump with another number of lobes. */
static outcome with_lobes(int lobes, int known, double turns)
{
    static sim_sweep s;
    sim_random r;
    sim_job job = ordinary_job();
    job.end_deg = job.start_deg + 180.0 * turns;
    sim_seed(&r, 74);
    sim_run(&job, &r, &s);
    dialarc_setup setup = kit_setup(&job, known);
    setup.lobes = lobes;
    setup.tdc_sd_deg = 0.1;
    setup.rise_deg *= 4.0 / lobes;
    setup.top_dwell_deg *= 4.0 / lobes;
    setup.base_dwell_deg *= 4.0 / lobes;
    dialarc_sweep sweep = kit_sweep(&s);
    outcome o = judged(&setup, &sweep);
    o.error_mm = o.timing.lift_mm - s.lift_tdc_mm;
    return o;
}

START_TEST(another_number_of_lobes)
{
    int at = 0;
    for (int lobes = 2; lobes <= 8; lobes++)
        for (int known = 0; known <= 1; known++)
            for (double turns = 1.2; turns <= 3.0; turns += 0.9) {
                if (kit_skips(at++))
                    continue;
                outcome o = with_lobes(lobes, known, turns);
                if (lobes == 4)
                    expect_not(&o, DIALARC_FINDING_LOBE_COUNT_MISMATCH);
                else if (lobes > 4 || turns > 2.0)
                    expect_stop(&o, DIALARC_FINDING_LOBE_COUNT_MISMATCH);
                else /* less than a spacing of those lobes was seen: it does no harm */
                    ck_assert(o.verdict == DIALARC_VERDICT_UNUSABLE ||
                              fabs(o.error_mm) <= 1.5 * o.timing.lift_u_mm);
            }
}
END_TEST

/* Angles of the pump entered for those of the crank halve the spacing. */
START_TEST(pump_degrees_taken_for_crank_degrees)
{
    static sim_sweep s;
    sim_random r;
    sim_job job = ordinary_job();
    job.end_deg = job.start_deg + 400.0;
    sim_seed(&r, 75);
    sim_run(&job, &r, &s);
    for (size_t i = 0; i < s.n; i++)
        s.crank_deg[i] *= 0.5;
    dialarc_setup setup = kit_setup(&job, LEARNED);
    dialarc_sweep sweep = kit_sweep(&s);
    outcome o = judged(&setup, &sweep);
    expect_stop(&o, DIALARC_FINDING_LOBE_COUNT_MISMATCH);
}
END_TEST

/* Lobes that differ a little among themselves are no other number of lobes. */
START_TEST(uneven_lobes)
{
    sim_job job = ordinary_job();
    job.end_deg = job.start_deg + 720.0;
    job.cam.late_deg[1] = 0.5;
    job.cam.late_deg[3] = -0.4;
    job.cam.extra_mm[2] = 0.02;
    outcome o = look(&job, GIVEN, 76);
    expect_not(&o, DIALARC_FINDING_LOBE_COUNT_MISMATCH);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("review of the cam");
    TCase *tc = tcase_create("cam");
    tcase_set_timeout(tc, 900.0);
    tcase_add_test(tc, a_dial_off_its_plunger);
    tcase_add_test(tc, a_dial_off_its_plunger_in_one_way_sweeps);
    tcase_add_test(tc, a_base_dwell);
    tcase_add_test(tc, looking_changes_nothing);
    tcase_add_test(tc, misread_in_the_dwell);
    tcase_add_test(tc, a_pointer_that_slips);
    tcase_add_test(tc, another_law_than_the_one_given);
    tcase_add_test(tc, other_angles_than_those_given);
    tcase_add_test(tc, a_good_cam_is_not_doubted);
    tcase_add_test(tc, another_number_of_lobes);
    tcase_add_test(tc, pump_degrees_taken_for_crank_degrees);
    tcase_add_test(tc, uneven_lobes);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
