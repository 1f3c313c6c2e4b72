/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Findings about minimum, slack, zero and window, on simulated sweeps of known history.
 */
#include "kit/review_kit.h"

/* A job whose forward pass begins at a lift, before or after the foot of the rise. */
static sim_job from_lift(double lift_mm, int two_way)
{
    sim_job job = ordinary_job();
    double low = 0.0, high = job.cam.rise_deg;
    for (int k = 0; k < 60; k++) {
        double middle = 0.5 * (low + high);
        *(sim_lift(&job.cam, middle) < lift_mm ? &low : &high) = middle;
    }
    job.start_deg = job.foot_crank_deg + 2.0 * low;
    job.end_deg = 40.0;
    job.two_way = two_way;
    return job;
}

START_TEST(begun_on_the_flank)
{
    static const double lift[] = {0.06, 0.1, 0.2, 0.4, 0.6};
    for (int k = 0; k < 5; k++)
        for (int known = 0; known <= 1; known++)
            for (int two_way = 0; two_way <= 1; two_way++) {
                sim_job job = from_lift(lift[k], two_way);
                outcome o = look(&job, known, 21);
                expect_stop(&o, DIALARC_FINDING_MINIMUM_NOT_BRACKETED);
            }
}
END_TEST

/* Five to twenty degrees before the foot: the needle has stood still, and then risen. */
START_TEST(begun_in_the_dwell)
{
    for (double before = 5.0; before <= 20.0; before += 5.0)
        for (int known = 0; known <= 1; known++)
            for (int two_way = 0; two_way <= 1; two_way++) {
                sim_job job = from_lift(0.0, two_way);
                job.start_deg -= before;
                outcome o = look(&job, known, 22);
                if (known || two_way)
                    expect_fine(&o);
                else /* the flat stretch might be slack as well */
                    expect_stop(&o, DIALARC_FINDING_MINIMUM_NOT_BRACKETED);
            }
}
END_TEST

/* One way, from the flank just above the foot, the slack still open: what is flat then is
 * slack, not the minimum. A verdict, if one is given, must be true. */
START_TEST(flat_stretch_of_slack)
{
    for (int seed = 1; seed <= kit_count(20); seed++)
        for (int known = 0; known <= 1; known++)
            for (double above = 2.0; above <= 8.0; above += 1.5) {
                sim_job job = from_lift(0.0, 0);
                job.start_deg += above;
                job.slack_deg = 4.5;
                job.start_in_slack = 1;
                job.start_share = 1.0;
                outcome o = look(&job, known, (uint64_t)seed);
                if (o.verdict != DIALARC_VERDICT_UNUSABLE)
                    ck_assert_double_le(fabs(o.error_mm), 1.5 * o.timing.lift_u_mm);
            }
}
END_TEST

/* The dwell after the lobe does not stand for the one before it. */
START_TEST(only_the_next_minimum_seen)
{
    sim_job job = from_lift(0.4, 0);
    job.end_deg = job.foot_crank_deg + 195.0;
    outcome o = look(&job, GIVEN, 23);
    expect_stop(&o, DIALARC_FINDING_MINIMUM_NOT_BRACKETED);
    job.start_deg = job.foot_crank_deg - 20.0;
    o = look(&job, GIVEN, 23);
    expect_fine(&o);
}
END_TEST

/* A pump so late that its lobe begins to rise only after TDC. */
START_TEST(tdc_in_the_dwell)
{
    sim_job job = ordinary_job();
    job.foot_crank_deg = 3.0;
    job.start_deg = -60.0;
    job.end_deg = 60.0;
    outcome o = look(&job, GIVEN, 24);
    expect_not(&o, DIALARC_FINDING_MINIMUM_NOT_BRACKETED);
    expect_not(&o, DIALARC_FINDING_APPROACH_AGAINST_ROTATION);
    ck_assert_int_eq(o.verdict, DIALARC_VERDICT_LOW);
    ck_assert_double_le(fabs(o.error_mm), 0.01);
}
END_TEST

/* Crank angles counted the other way round: the lift falls where it should rise. */
START_TEST(angles_counted_the_wrong_way)
{
    static sim_sweep s;
    sim_random r;
    sim_job job = ordinary_job();
    sim_seed(&r, 25);
    sim_run(&job, &r, &s);
    for (size_t i = 0; i < s.n; i++)
        s.crank_deg[i] = -s.crank_deg[i];
    dialarc_sweep sweep = kit_sweep(&s);
    for (int known = 0; known <= 1; known++) {
        dialarc_setup setup = kit_setup(&job, known);
        outcome o = judged(&setup, &sweep);
        expect_stop(&o, DIALARC_FINDING_APPROACH_AGAINST_ROTATION);
    }
}
END_TEST

static size_t go(double *path, size_t n, double from, double to)
{
    double step = to > from ? 1.0 : -1.0;
    for (int k = 0; k <= (int)(fabs(to - from) + 0.5); k++)
        if (n == 0 || path[n - 1] != from + step * k)
            path[n++] = from + step * k;
    return n;
}

/* From beyond TDC back to a little before it, and forward again: the pump has not moved
 * yet when the crank comes to TDC. */
START_TEST(the_way_forward_too_short_for_the_slack)
{
    double path[400];
    sim_job job = ordinary_job();
    job.path_deg = path;
    job.start_in_slack = 1;
    job.start_share = 1.0;
    job.path_n = go(path, go(path, 0, 30.0, -5.0), -5.0, 20.0);
    job.slack_deg = 9.0;
    outcome o = look(&job, GIVEN, 26);
    expect(&o, DIALARC_FINDING_SLACK_NOT_TAKEN_UP, DIALARC_SEVERITY_CAUTION);
    size_t row = o.timing.findings.row[DIALARC_FINDING_SLACK_NOT_TAKEN_UP];
    ck_assert_uint_ge(row, 38); /* 35 readings backward, then 5 to TDC */
    ck_assert_uint_le(row, 40);
    job.slack_deg = 22.0; /* nothing within 8 degrees of TDC is good then */
    o = look(&job, GIVEN, 26);
    expect_stop(&o, DIALARC_FINDING_SLACK_NOT_TAKEN_UP);
    job.slack_deg = 3.0;
    o = look(&job, GIVEN, 26);
    expect_not(&o, DIALARC_FINDING_SLACK_NOT_TAKEN_UP);
}
END_TEST

/* Slack is taken up well before TDC, also where the record begins in it. */
START_TEST(slack_taken_up_in_time)
{
    for (double slack = 1.0; slack <= 12.0; slack += 5.5)
        for (int two_way = 0; two_way <= 1; two_way++) {
            sim_job job = ordinary_job();
            job.slack_deg = slack;
            job.two_way = two_way;
            outcome o = look(&job, GIVEN, 27);
            expect_fine(&o);
            job.start_in_slack = 1;
            job.start_share = 0.8;
            o = look(&job, GIVEN, 27);
            expect_not(&o, DIALARC_FINDING_SLACK_NOT_TAKEN_UP);
            ck_assert_double_le(fabs(o.error_mm), 1.5 * o.timing.lift_u_mm);
        }
}
END_TEST

/* To and fro more often than there are parameters for the turns: those beyond stand where
 * the wheel says. */
START_TEST(to_and_fro_many_times)
{
    static double path[SIM_MAX];
    for (int ways = 4; ways <= 40; ways += 9) {
        sim_job job = ordinary_job();
        size_t n = go(path, 0, -60.0, 10.0);
        for (int k = 1; k < ways; k++)
            n = go(path, n, k % 2 ? 10.0 : -20.0, k % 2 ? -20.0 : 10.0);
        job.path_deg = path;
        job.path_n = n;
        outcome o = look(&job, GIVEN, 28);
        ck_assert_msg(o.verdict != DIALARC_VERDICT_UNUSABLE, "%d ways", ways);
        ck_assert_uint_le(o.timing.readings_rejected, n / 50);
        ck_assert_double_le(fabs(o.error_mm), 1.5 * o.timing.lift_u_mm);
    }
}
END_TEST

/* One reading in running direction, and that a misread one, then all the others against
 * it: the slack cannot be told from the angle of the pump. */
START_TEST(no_sound_reading_in_running_direction)
{
    double path[400];
    static sim_sweep s;
    sim_random r;
    sim_job job = ordinary_job();
    job.path_deg = path;
    path[0] = 8.5;
    job.path_n = go(path, 1, 10.0, -50.0);
    for (uint64_t seed = 240; seed < 260; seed++) {
        sim_seed(&r, seed);
        sim_run(&job, &r, &s);
        s.dial_mm[0] += 1.0;
        dialarc_setup setup = kit_setup(&job, GIVEN);
        dialarc_sweep sweep = kit_sweep(&s);
        outcome o = judged(&setup, &sweep);
        ck_assert_int_eq(o.verdict, DIALARC_VERDICT_UNUSABLE);
        expect_stop(&o, DIALARC_FINDING_APPROACH_AGAINST_ROTATION);
    }
}
END_TEST

/* Passing TDC properly once is enough, whatever follows. */
START_TEST(a_good_pass_and_then_a_short_one)
{
    double path[400];
    sim_job job = ordinary_job();
    job.path_deg = path;
    job.path_n = go(path, go(path, go(path, 0, -70.0, 12.0), 12.0, -4.0), -4.0, 14.0);
    job.slack_deg = 9.0;
    outcome o = look(&job, GIVEN, 28);
    expect_not(&o, DIALARC_FINDING_SLACK_NOT_TAKEN_UP);
    expect_not(&o, DIALARC_FINDING_APPROACH_AGAINST_ROTATION);
    ck_assert_double_le(fabs(o.error_mm), 1.5 * o.timing.lift_u_mm);
}
END_TEST

static outcome zeroed_at(double zero_mm, int sense)
{
    static sim_sweep s;
    sim_random r;
    sim_job job = ordinary_job();
    job.zero_mm = zero_mm;
    sim_seed(&r, 29);
    sim_run(&job, &r, &s);
    for (size_t i = 0; i < s.n; i++)
        s.dial_mm[i] *= sense;
    dialarc_setup setup = kit_setup(&job, GIVEN);
    setup.dial_sense = sense;
    dialarc_sweep sweep = kit_sweep(&s);
    outcome o = judged(&setup, &sweep);
    o.error_mm = o.timing.lift_mm - s.lift_tdc_mm;
    return o;
}

/* The true minimum lies below what the dial was set to zero at. */
START_TEST(minimum_below_zero)
{
    for (int sense = -1; sense <= 1; sense += 2) {
        outcome o = zeroed_at(-0.04, sense);
        expect(&o, DIALARC_FINDING_BELOW_ZERO, DIALARC_SEVERITY_NOTE);
        expect_fine(&o); /* the lift is counted from the minimum all the same */
        o = zeroed_at(0.0, sense);
        expect_not(&o, DIALARC_FINDING_BELOW_ZERO);
        o = zeroed_at(0.03, sense);
        expect_not(&o, DIALARC_FINDING_BELOW_ZERO);
        o = zeroed_at(-3.7, sense); /* never set to zero */
        expect_not(&o, DIALARC_FINDING_BELOW_ZERO);
        expect_fine(&o);
    }
}
END_TEST

static outcome ended_at(double end_deg, int known, double low_mm, double high_mm)
{
    static sim_sweep s;
    sim_random r;
    dialarc_decision decision;
    sim_job job = ordinary_job();
    job.end_deg = end_deg;
    sim_seed(&r, 30);
    sim_run(&job, &r, &s);
    dialarc_setup setup = kit_setup(&job, known);
    setup.lift_low_mm = low_mm;
    setup.lift_high_mm = high_mm;
    dialarc_sweep sweep = kit_sweep(&s);
    outcome o = {.status = DIALARC_OK};
    dialarc_workspace *workspace = dialarc_workspace_new();
    o.status = dialarc_timing_estimate(workspace, &setup, &sweep, NULL, &o.timing);
    dialarc_decision_judge(&setup, &o.timing, &decision);
    o.verdict = decision.verdict;
    dialarc_workspace_free(workspace);
    return o;
}

/* 0.9 mm at TDC, 0.05 mm a degree: four degrees on there are 1.1 mm. */
START_TEST(window_beyond_the_readings)
{
    outcome o = ended_at(4.0, GIVEN, 1.25, 1.35);
    expect(&o, DIALARC_FINDING_WINDOW_WIDER_THAN_SWEEP, DIALARC_SEVERITY_NOTE);
    ck_assert_int_eq(o.verdict, DIALARC_VERDICT_LOW);
    o = ended_at(4.0, LEARNED, 1.25, 1.35); /* the cam was not seen there */
    expect(&o, DIALARC_FINDING_WINDOW_WIDER_THAN_SWEEP, DIALARC_SEVERITY_CAUTION);
    o = ended_at(4.0, LEARNED, 0.95, 1.15); /* its middle was */
    expect(&o, DIALARC_FINDING_WINDOW_WIDER_THAN_SWEEP, DIALARC_SEVERITY_NOTE);
    o = ended_at(4.0, LEARNED, 0.85, 0.95);
    expect_not(&o, DIALARC_FINDING_WINDOW_WIDER_THAN_SWEEP);
    o = ended_at(14.0, LEARNED, 1.25, 1.35);
    expect_not(&o, DIALARC_FINDING_WINDOW_WIDER_THAN_SWEEP);
    o = ended_at(4.0, GIVEN, DIALARC_UNKNOWN, DIALARC_UNKNOWN);
    expect_not(&o, DIALARC_FINDING_WINDOW_WIDER_THAN_SWEEP);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("review of the path");
    TCase *tc = tcase_create("path");
    tcase_set_timeout(tc, 300.0);
    tcase_add_test(tc, begun_on_the_flank);
    tcase_add_test(tc, begun_in_the_dwell);
    tcase_add_test(tc, flat_stretch_of_slack);
    tcase_add_test(tc, only_the_next_minimum_seen);
    tcase_add_test(tc, tdc_in_the_dwell);
    tcase_add_test(tc, no_sound_reading_in_running_direction);
    tcase_add_test(tc, angles_counted_the_wrong_way);
    tcase_add_test(tc, the_way_forward_too_short_for_the_slack);
    tcase_add_test(tc, slack_taken_up_in_time);
    tcase_add_test(tc, to_and_fro_many_times);
    tcase_add_test(tc, a_good_pass_and_then_a_short_one);
    tcase_add_test(tc, minimum_below_zero);
    tcase_add_test(tc, window_beyond_the_readings);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
