/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Findings that the order of the readings shows, on simulated sweeps of known history. */
#include "kit/review_kit.h"

START_TEST(an_ordinary_sweep_is_fine)
{
    for (uint64_t seed = 1; seed <= 10; seed++) {
        sim_job job = ordinary_job();
        outcome o = look(&job, GIVEN, seed);
        expect_fine(&o);
        ck_assert_int_eq(o.verdict, DIALARC_VERDICT_IN);
        ck_assert_int_eq(o.timing.cam_learned, 0);
        o = look(&job, LEARNED, seed);
        expect_fine(&o);
        ck_assert_int_eq(o.timing.cam_learned, 1);
        job.two_way = 0;
        o = look(&job, GIVEN, seed);
        expect_fine(&o);
    }
}
END_TEST

/* The first n readings of an even one-way sweep from the dwell past TDC. */
static outcome with_readings(int n, int known)
{
    sim_job job = ordinary_job();
    job.two_way = 0;
    job.start_deg = job.foot_crank_deg - (known == GIVEN ? 15.0 : 45.0);
    job.end_deg = 10.0;
    job.step_deg = (job.end_deg - job.start_deg) / (n - 1.0);
    job.end_deg += 0.1;
    return look(&job, known, 7);
}

START_TEST(five_readings_are_too_few)
{
    outcome o = with_readings(5, GIVEN);
    expect_stop(&o, DIALARC_FINDING_TOO_FEW_READINGS);
    ck_assert(isnan(o.timing.lift_mm));
    o = with_readings(6, GIVEN);
    expect_not(&o, DIALARC_FINDING_TOO_FEW_READINGS);
    ck_assert(isfinite(o.timing.lift_mm));
    o = with_readings(7, LEARNED);
    expect_stop(&o, DIALARC_FINDING_TOO_FEW_READINGS);
    o = with_readings(10, LEARNED);
    expect_fine(&o);
}
END_TEST

START_TEST(no_readings_are_too_few)
{
    dialarc_setup setup = dialarc_setup_unknown(4);
    dialarc_sweep sweep = {0, NULL, NULL, NULL};
    outcome o = judged(&setup, &sweep);
    expect_stop(&o, DIALARC_FINDING_TOO_FEW_READINGS);
    for (int k = 0; k < DIALARC_FINDING_COUNT; k++)
        ck_assert(o.timing.findings.row[k] == DIALARC_NO_ROW);
}
END_TEST

/* Readings that are left when the misread ones are set aside count, not those taken. */
START_TEST(readings_set_aside_do_not_count)
{
    double crank[] = {-60, -52, -44, -20, -8, 0, 6}, dial[7];
    sim_job job = ordinary_job();
    for (int k = 0; k < 7; k++)
        dial[k] = sim_lift(&job.cam, (crank[k] - job.foot_crank_deg) / 2.0);
    dialarc_setup setup = kit_setup(&job, GIVEN);
    dialarc_sweep sweep = {7, crank, dial, NULL};
    outcome o = judged(&setup, &sweep);
    expect_not(&o, DIALARC_FINDING_TOO_FEW_READINGS);
    dial[1] += 1.0;
    dial[3] -= 0.3;
    dial[6] += 0.1;
    o = judged(&setup, &sweep);
    ck_assert_uint_eq(o.timing.readings_used, 4);
    expect_stop(&o, DIALARC_FINDING_TOO_FEW_READINGS);
}
END_TEST

START_TEST(a_dial_that_does_not_move_has_lost_the_plunger)
{
    double crank[60], dial[60];
    for (int k = 0; k < 60; k++) {
        crank[k] = -80.0 + 1.5 * k;
        dial[k] = 0.31;
    }
    dialarc_setup setup = dialarc_setup_unknown(4);
    dialarc_sweep sweep = {60, crank, dial, NULL};
    outcome o = judged(&setup, &sweep);
    expect_stop(&o, DIALARC_FINDING_DIAL_OFF_SPINDLE);
    ck_assert_uint_eq(o.timing.findings.row[DIALARC_FINDING_DIAL_OFF_SPINDLE], 0);
    ck_assert(isnan(o.timing.lift_mm));
    for (int k = 0; k < 60; k++) /* it trembles, but nobody turns the engine */
        dial[k] += 0.002 * (k % 3);
    o = judged(&setup, &sweep);
    expect_stop(&o, DIALARC_FINDING_MINIMUM_NOT_BRACKETED);
    expect_not(&o, DIALARC_FINDING_DIAL_OFF_SPINDLE);
}
END_TEST

START_TEST(a_sweep_has_to_reach_tdc)
{
    for (int two_way = 0; two_way <= 1; two_way++) {
        sim_job job = ordinary_job();
        job.two_way = two_way;
        job.end_deg = job.start_deg + 2.0 * floor((-4.0 - job.start_deg) / 2.0);
        outcome o = look(&job, GIVEN, 3);
        expect_stop(&o, DIALARC_FINDING_TDC_NOT_REACHED);
        expect_not(&o, DIALARC_FINDING_APPROACH_AGAINST_ROTATION);
        job.start_deg = -90.0; /* the last reading is taken at TDC itself */
        job.end_deg = 0.0;
        job.angle_sd_deg = 0.02;
        o = look(&job, GIVEN, 3);
        expect_not(&o, DIALARC_FINDING_TDC_NOT_REACHED);
    }
}
END_TEST

START_TEST(a_sweep_that_begins_after_tdc_does_not_reach_it)
{
    sim_job job = ordinary_job();
    job.start_deg = 10.0; /* the next lobe is seen whole */
    job.end_deg = 260.0;
    outcome o = look(&job, GIVEN, 3);
    expect_stop(&o, DIALARC_FINDING_TDC_NOT_REACHED);
}
END_TEST

/* Crank angles there and back again in steps of 2 degrees. */
static size_t go(double *path, size_t n, double from, double to)
{
    double step = to > from ? 2.0 : -2.0;
    for (int k = 0; k <= (int)(fabs(to - from) / 2.0 + 0.5); k++)
        if (n == 0 || path[n - 1] != from + step * k)
            path[n++] = from + step * k;
    return n;
}

static outcome along(const double *path, size_t n, int known, double slack_deg,
                     int from_above)
{
    sim_job job = ordinary_job();
    job.path_deg = path;
    job.path_n = n;
    job.slack_deg = slack_deg;
    job.start_in_slack = from_above;
    job.start_share = 1.0;
    return look(&job, known, 11);
}

START_TEST(turning_backward_alone_leaves_the_slack_on_the_wrong_side)
{
    double path[400];
    size_t n = go(path, 0, 16.0, -80.0);
    for (int known = 0; known <= 1; known++) {
        outcome o = along(path, n, known, 4.0, 1);
        expect_stop(&o, DIALARC_FINDING_APPROACH_AGAINST_ROTATION);
    }
    n = go(path, n, -80.0, 16.0);
    for (int known = 0; known <= 1; known++) {
        outcome o = along(path, n, known, 4.0, 1);
        expect_fine(&o);
    }
}
END_TEST

/* Forward the sweep stops short of TDC, so that TDC is seen on the way back only. The
 * flank seen both ways tells the slack; without it nothing does. */
START_TEST(tdc_seen_backward_only)
{
    double path[400];
    size_t n = go(path, go(path, 0, 16.0, -80.0), -80.0, -10.0);
    outcome o = along(path, n, GIVEN, 4.0, 1);
    expect(&o, DIALARC_FINDING_APPROACH_AGAINST_ROTATION, DIALARC_SEVERITY_CAUTION);
    expect_not(&o, DIALARC_FINDING_TDC_NOT_REACHED);
    ck_assert_double_le(fabs(o.error_mm), 1.5 * o.timing.lift_u_mm);
    n = go(path, go(path, 0, 16.0, -50.0), -50.0, -40.0); /* turns in the dwell */
    o = along(path, n, GIVEN, 4.0, 1);
    expect_stop(&o, DIALARC_FINDING_APPROACH_AGAINST_ROTATION);
}
END_TEST

START_TEST(passing_tdc_and_turning_back_to_it)
{
    double path[400];
    for (double past = 4.0; past <= 12.0; past += 4.0) {
        size_t n = go(path, 0, -80.0, past);
        path[n] = 0.0;
        outcome o = along(path, n + 1, GIVEN, 4.0, 0);
        expect(&o, DIALARC_FINDING_OVERSHOT_TDC, DIALARC_SEVERITY_CAUTION);
        ck_assert_uint_eq(o.timing.findings.row[DIALARC_FINDING_OVERSHOT_TDC], n);
        n = go(path, n, past - 2.0, 0.0);
        o = along(path, n, GIVEN, 4.0, 0);
        expect(&o, DIALARC_FINDING_OVERSHOT_TDC, DIALARC_SEVERITY_CAUTION);
    }
}
END_TEST

START_TEST(a_sweep_both_ways_has_not_overshot)
{
    double path[400];
    size_t m = go(path, 0, -80.0, 0.0); /* to TDC, and a little back from it */
    path[m] = -1.5;
    outcome back = along(path, m + 1, GIVEN, 4.0, 0);
    expect_not(&back, DIALARC_FINDING_OVERSHOT_TDC);
    for (double past = 6.0; past <= 40.0; past += 2.0) {
        size_t n = go(path, go(path, 0, -80.0, past), past, -80.0);
        outcome o = along(path, n, GIVEN, 4.0, 0);
        expect_fine(&o);
        n = go(path, n, -80.0, 0.0); /* and comes forward to TDC in the end */
        o = along(path, n, GIVEN, 4.0, 0);
        expect_fine(&o);
    }
}
END_TEST

START_TEST(even_lobes_leave_the_stroke_open)
{
    for (int lobes = 2; lobes <= 6; lobes++) {
        sim_job job = ordinary_job();
        job.cam.lobes = lobes;
        job.cam.rise_deg = 0.42 * 360.0 / lobes;
        job.foot_crank_deg = -0.8 * job.cam.rise_deg;
        job.start_deg = job.foot_crank_deg - 24.0;
        outcome o = look(&job, GIVEN, 5);
        if (lobes % 2)
            expect_not(&o, DIALARC_FINDING_STROKE_NOT_DETERMINED);
        else
            expect(&o, DIALARC_FINDING_STROKE_NOT_DETERMINED, DIALARC_SEVERITY_NOTE);
        job.crank_per_pump = 1.0; /* a two-stroke's pump turns with the crank */
        job.foot_crank_deg *= 0.5;
        o = look(&job, GIVEN, 5);
        expect_not(&o, DIALARC_FINDING_STROKE_NOT_DETERMINED);
    }
}
END_TEST

/* Only where somebody says that it was seen: the readings do not show it. */
START_TEST(firing_tdc_that_was_seen_is_not_asked_for)
{
    double crank[] = {-40, -30, -20, -10, 0, 10}, dial[] = {0, 0, 0.1, 0.4, 0.9, 1.4};
    dialarc_sweep sweep = {6, crank, dial, NULL};
    dialarc_setup setup = dialarc_setup_unknown(4);
    setup.firing_tdc = DIALARC_FIRING_TDC_NOT_SEEN;
    outcome o = judged(&setup, &sweep);
    expect(&o, DIALARC_FINDING_STROKE_NOT_DETERMINED, DIALARC_SEVERITY_NOTE);
    setup.firing_tdc = DIALARC_FIRING_TDC_SEEN;
    o = judged(&setup, &sweep);
    expect_not(&o, DIALARC_FINDING_STROKE_NOT_DETERMINED);
}
END_TEST

/* Rows of the record exchanged at random: no cam and no slack explains that. */
START_TEST(shuffled_rows_contradict_each_other)
{
    static sim_sweep s;
    int stopped = 0;
    for (uint64_t seed = 1; seed <= 20; seed++) {
        sim_random r;
        sim_seed(&r, seed);
        sim_job job = ordinary_job();
        sim_run(&job, &r, &s);
        for (int i = (int)s.n - 1; i > 0; i--) {
            int k = sim_integer(&r, 0, i);
            double crank = s.crank_deg[i], dial = s.dial_mm[i];
            s.crank_deg[i] = s.crank_deg[k];
            s.dial_mm[i] = s.dial_mm[k];
            s.crank_deg[k] = crank;
            s.dial_mm[k] = dial;
        }
        dialarc_setup setup = kit_setup(&job, GIVEN);
        dialarc_sweep sweep = kit_sweep(&s);
        outcome o = judged(&setup, &sweep);
        stopped += o.verdict == DIALARC_VERDICT_UNUSABLE &&
                   has(&o, DIALARC_FINDING_FIT_NOT_CONVERGED);
    }
    ck_assert_int_ge(stopped, 19);
}
END_TEST

/* Both ways, but written down by angle: forward and backward readings take turns. */
static outcome sorted_by_angle(double slack_deg, uint64_t seed)
{
    static sim_sweep s, by_angle;
    sim_random r;
    sim_seed(&r, seed);
    sim_job job = ordinary_job();
    job.slack_deg = slack_deg;
    sim_run(&job, &r, &s);
    by_angle.n = 0;
    for (size_t i = 0, k = s.n - 1; i <= k; i++, k--) {
        by_angle.crank_deg[by_angle.n] = s.crank_deg[i];
        by_angle.dial_mm[by_angle.n++] = s.dial_mm[i];
        if (i == k)
            break;
        by_angle.crank_deg[by_angle.n] = s.crank_deg[k];
        by_angle.dial_mm[by_angle.n++] = s.dial_mm[k];
    }
    dialarc_setup setup = kit_setup(&job, GIVEN);
    dialarc_sweep sweep = kit_sweep(&by_angle);
    return judged(&setup, &sweep);
}

START_TEST(rows_sorted_by_angle_contradict_each_other)
{
    int stopped = 0, n = kit_count(10);
    for (uint64_t seed = 1; seed <= (uint64_t)n; seed++) {
        outcome o = sorted_by_angle(4.0, seed);
        expect_stop(&o, DIALARC_FINDING_FIT_NOT_CONVERGED);
        o = sorted_by_angle(0.9, seed); /* neighbours err in opposite senses */
        stopped += has(&o, DIALARC_FINDING_FIT_NOT_CONVERGED);
    }
    ck_assert_int_ge(stopped, n - 1);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("review of the record");
    TCase *tc = tcase_create("record");
    tcase_set_timeout(tc, 300.0);
    tcase_add_test(tc, an_ordinary_sweep_is_fine);
    tcase_add_test(tc, five_readings_are_too_few);
    tcase_add_test(tc, no_readings_are_too_few);
    tcase_add_test(tc, readings_set_aside_do_not_count);
    tcase_add_test(tc, a_dial_that_does_not_move_has_lost_the_plunger);
    tcase_add_test(tc, a_sweep_has_to_reach_tdc);
    tcase_add_test(tc, a_sweep_that_begins_after_tdc_does_not_reach_it);
    tcase_add_test(tc, turning_backward_alone_leaves_the_slack_on_the_wrong_side);
    tcase_add_test(tc, tdc_seen_backward_only);
    tcase_add_test(tc, passing_tdc_and_turning_back_to_it);
    tcase_add_test(tc, a_sweep_both_ways_has_not_overshot);
    tcase_add_test(tc, even_lobes_leave_the_stroke_open);
    tcase_add_test(tc, firing_tdc_that_was_seen_is_not_asked_for);
    tcase_add_test(tc, shuffled_rows_contradict_each_other);
    tcase_add_test(tc, rows_sorted_by_angle_contradict_each_other);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
