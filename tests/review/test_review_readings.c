/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Findings about single readings, their scatter and the dial's zero, on simulated sweeps
 * of known history.
 */
#include "kit/review_kit.h"

static dialarc_setup setup;
static sim_sweep record;

/* An ordinary sweep, kept in `record`. */
static void take(const sim_job *job, uint64_t seed, int known)
{
    sim_random r;
    sim_seed(&r, seed);
    sim_run(job, &r, &record);
    setup = kit_setup(job, known);
    setup.tdc_sd_deg = 0.1;
}

static outcome judge_record(void)
{
    dialarc_sweep sweep = kit_sweep(&record);
    outcome o = judged(&setup, &sweep);
    o.error_mm = o.timing.lift_mm - record.lift_tdc_mm;
    return o;
}

START_TEST(misread_readings_are_set_aside)
{
    static const double by[] = {0.1, -0.1, 0.05, 0.5, -0.3};
    for (int known = 0; known <= 1; known++) {
        sim_job job = ordinary_job();
        take(&job, 31, known);
        for (int k = 0; k < 5; k++)
            record.dial_mm[12 + 14 * k] += by[k];
        outcome o = judge_record();
        expect(&o, DIALARC_FINDING_READING_REJECTED, DIALARC_SEVERITY_NOTE);
        expect_not(&o, DIALARC_FINDING_WHOLE_TURN_MISREAD);
        ck_assert_uint_eq(o.timing.findings.row[DIALARC_FINDING_READING_REJECTED], 12);
        ck_assert_uint_eq(o.timing.readings_rejected, 5);
        ck_assert_uint_eq(o.timing.readings_used, record.n - 5);
        expect_fine(&o);
    }
}
END_TEST

START_TEST(many_misread_readings_call_for_caution)
{
    sim_job job = ordinary_job();
    take(&job, 32, GIVEN);
    for (size_t k = 3; k < record.n; k += 7) /* one in seven */
        record.dial_mm[k] += k % 2 ? 0.1 : -0.1;
    outcome o = judge_record();
    expect(&o, DIALARC_FINDING_READING_REJECTED, DIALARC_SEVERITY_CAUTION);
    ck_assert_double_le(fabs(o.error_mm), 1.5 * o.timing.lift_u_mm);
    for (size_t k = 1; k < record.n; k += 3) /* and now nearly half of them */
        record.dial_mm[k] += k % 2 ? 0.1 : -0.2;
    o = judge_record();
    expect_stop(&o, DIALARC_FINDING_FIT_NOT_CONVERGED);
}
END_TEST

START_TEST(whole_turns_are_told_apart)
{
    sim_job job = ordinary_job();
    take(&job, 33, GIVEN);
    record.dial_mm[20] += 1.0;
    record.dial_mm[40] -= 1.0;
    record.dial_mm[10] += 0.3;
    outcome o = judge_record();
    expect(&o, DIALARC_FINDING_WHOLE_TURN_MISREAD, DIALARC_SEVERITY_NOTE);
    ck_assert_uint_eq(o.timing.findings.row[DIALARC_FINDING_WHOLE_TURN_MISREAD], 20);
    ck_assert_uint_eq(o.timing.findings.row[DIALARC_FINDING_READING_REJECTED], 10);
    expect_fine(&o);
    for (size_t i = 5; i < record.n; i += 6)
        record.dial_mm[i] -= 1.0;
    o = judge_record();
    expect(&o, DIALARC_FINDING_WHOLE_TURN_MISREAD, DIALARC_SEVERITY_CAUTION);
    setup.dial_turn_mm = 0.5; /* another dial: a turn is half a millimetre */
    take(&job, 33, GIVEN);
    setup.dial_turn_mm = 0.5;
    record.dial_mm[30] += 0.5;
    o = judge_record();
    expect(&o, DIALARC_FINDING_WHOLE_TURN_MISREAD, DIALARC_SEVERITY_NOTE);
}
END_TEST

/* The needle alone was noted, without the turn counter: nothing can be said. */
START_TEST(turns_not_counted_at_all)
{
    for (uint64_t seed = 34; seed < 40; seed++) {
        sim_job job = ordinary_job();
        take(&job, seed, seed % 2 ? GIVEN : LEARNED);
        for (size_t i = 0; i < record.n; i++)
            record.dial_mm[i] -= floor(record.dial_mm[i] + 0.05);
        outcome o = judge_record();
        ck_assert_int_eq(o.verdict, DIALARC_VERDICT_UNUSABLE);
    }
}
END_TEST

/* Errors of dial and wheel larger than stated widen the uncertainty as they must. */
START_TEST(scatter_beyond_the_setup)
{
    for (double times = 2.0; times <= 4.0; times += 1.0)
        for (int known = 0; known <= 1; known++) {
            sim_job job = ordinary_job();
            outcome o = look(&job, known, 41);
            double stated = o.timing.budget.readings_mm;
            job.angle_sd_deg *= times;
            job.dial_sd_mm *= times;
            take(&job, 41, known);
            setup.angle_sd_deg /= times;
            setup.dial_sd_mm /= times;
            o = judge_record();
            expect(&o, DIALARC_FINDING_SCATTER_ABOVE_SETUP, DIALARC_SEVERITY_CAUTION);
            ck_assert_double_ge(o.timing.scatter, 0.7 * times);
            ck_assert_double_le(o.timing.scatter, 1.3 * times);
            ck_assert_double_ge(o.timing.budget.readings_mm, 0.6 * times * stated);
            ck_assert_double_le(fabs(o.error_mm), 1.5 * o.timing.lift_u_mm);
            expect_not(&o, DIALARC_FINDING_CAM_MISMATCH);
            expect_not(&o, DIALARC_FINDING_LOBE_COUNT_MISMATCH);
        }
}
END_TEST

/* Coverage where the errors are really twice the stated ones; 95 % less three standard
 * deviations of what 400 sweeps can show. */
START_TEST(uncertainty_covers_the_scatter_seen)
{
    int n = kit_count(400), covered = 0;
    sim_random r;
    sim_seed(&r, 42);
    for (int k = 0; k < n; k++) {
        sim_job job = kit_job(&r);
        job.angle_sd_deg *= 2.0;
        job.dial_sd_mm *= 2.0;
        sim_run(&job, &r, &record);
        setup = kit_setup(&job, GIVEN);
        setup.angle_sd_deg /= 2.0;
        setup.dial_sd_mm /= 2.0;
        outcome o = judge_record();
        covered += fabs(o.error_mm) <= o.timing.lift_u_mm;
    }
    ck_assert_double_ge(covered, 0.95 * n - 3.0 * sqrt(0.95 * 0.05 * n) - 1.0);
}
END_TEST

START_TEST(scatter_as_stated)
{
    sim_job job = ordinary_job();
    take(&job, 43, GIVEN);
    setup.angle_sd_deg *= 0.95; /* so little cannot be seen */
    outcome o = judge_record();
    expect_not(&o, DIALARC_FINDING_SCATTER_ABOVE_SETUP);
    ck_assert_double_le(fabs(o.timing.scatter - 1.0), 0.3);
    setup.angle_sd_deg = setup.dial_sd_mm = setup.dial_step_mm = DIALARC_UNKNOWN;
    o = judge_record(); /* what is assumed is not less */
    expect_not(&o, DIALARC_FINDING_SCATTER_ABOVE_SETUP);
}
END_TEST

START_TEST(a_zero_that_drifts)
{
    for (int known = 0; known <= 1; known++) {
        sim_job job = ordinary_job();
        job.drift_mm = 0.06;
        outcome o = look(&job, known, 44);
        expect_stop(&o, DIALARC_FINDING_ZERO_DRIFT);
        job.drift_mm = -0.06;
        o = look(&job, known, 44);
        expect_stop(&o, DIALARC_FINDING_ZERO_DRIFT);
        job.drift_mm = 0.018; /* less than the window is wide: look again */
        job.dial_step_mm = 0.002;
        o = look(&job, known, 45);
        expect(&o, DIALARC_FINDING_ZERO_DRIFT, DIALARC_SEVERITY_CAUTION);
        job.drift_mm = 0.0;
        o = look(&job, known, 45);
        expect_not(&o, DIALARC_FINDING_ZERO_DRIFT);
    }
}
END_TEST

START_TEST(a_dial_that_is_knocked)
{
    for (double share = 0.3; share <= 0.7; share += 0.1) {
        sim_job job = ordinary_job();
        job.knock_share = share;
        job.knock_mm = 0.08;
        outcome o = look(&job, GIVEN, 46);
        expect_stop(&o, DIALARC_FINDING_ZERO_DRIFT);
        job.knock_mm = 0.001;
        o = look(&job, GIVEN, 46);
        expect_fine(&o);
    }
}
END_TEST

/* Hysteresis larger than the setup allows is no drift: the dial comes back to its zero.
 */
START_TEST(hysteresis_is_no_drift)
{
    for (uint64_t seed = 47; seed < 52; seed++) {
        sim_job job = ordinary_job();
        job.hysteresis_mm = 0.012;
        outcome o = look(&job, GIVEN, seed);
        expect_not(&o, DIALARC_FINDING_ZERO_DRIFT);
    }
}
END_TEST

/* Rows named are those of the caller, also where directions put them in order. */
START_TEST(findings_point_at_the_callers_rows)
{
    static dialarc_direction direction[SIM_MAX];
    static sim_sweep mixed;
    sim_job job = ordinary_job();
    job.slack_deg = 0.2; /* the turn is not recorded, so none may be open after it */
    take(&job, 54, GIVEN);
    record.dial_mm[30] += 0.2;
    record.dial_mm[60] += 0.2;
    size_t half = record.n / 2 + 1;
    for (size_t i = 0; i < record.n; i++) { /* written down backward */
        size_t from = record.n - 1 - i;
        mixed.crank_deg[i] = record.crank_deg[from];
        mixed.dial_mm[i] = record.dial_mm[from];
        direction[i] = from < half ? DIALARC_DIRECTION_WITH : DIALARC_DIRECTION_AGAINST;
    }
    dialarc_sweep sweep = {record.n, mixed.crank_deg, mixed.dial_mm, direction};
    outcome o = judged(&setup, &sweep);
    expect(&o, DIALARC_FINDING_READING_REJECTED, DIALARC_SEVERITY_NOTE);
    ck_assert_uint_eq(o.timing.readings_rejected, 2);
    ck_assert_uint_eq(o.timing.findings.row[DIALARC_FINDING_READING_REJECTED],
                      record.n - 61);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("review of the readings");
    TCase *tc = tcase_create("readings");
    tcase_set_timeout(tc, 600.0);
    tcase_add_test(tc, misread_readings_are_set_aside);
    tcase_add_test(tc, many_misread_readings_call_for_caution);
    tcase_add_test(tc, whole_turns_are_told_apart);
    tcase_add_test(tc, turns_not_counted_at_all);
    tcase_add_test(tc, scatter_beyond_the_setup);
    tcase_add_test(tc, uncertainty_covers_the_scatter_seen);
    tcase_add_test(tc, scatter_as_stated);
    tcase_add_test(tc, a_zero_that_drifts);
    tcase_add_test(tc, a_dial_that_is_knocked);
    tcase_add_test(tc, hysteresis_is_no_drift);
    tcase_add_test(tc, findings_point_at_the_callers_rows);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
