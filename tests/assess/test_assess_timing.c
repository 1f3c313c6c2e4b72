/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The estimate as a caller sees it: statuses, what is not known, residuals, defaults, and
 * the same bits whatever ran before.
 */
#include <dialarc/assess.h>
#include <locale.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/sweep_kit.h"
#include "kit/timing_kit.h"

/* --- statuses ---------------------------------------------------------------- */

static void refused(const dialarc_setup *setup, const dialarc_sweep *s,
                    dialarc_status expected)
{
    dialarc_timing t;
    double residual[1] = {-7.0};
    memset(&t, 0x5a, sizeof t);
    dialarc_timing before = t;
    ck_assert_int_eq(estimate(setup, s, residual, &t), expected);
    ck_assert_int_eq(memcmp(&t, &before, sizeof t), 0); /* written only on success */
    ck_assert_double_eq(residual[0], -7.0);
}

START_TEST(bad_setups_are_refused)
{
    sim_job job = good_job();
    dialarc_sweep s = good_sweep(&job);
    const dialarc_setup good = kit_setup(&job, 1);
#define REFUSED(field, value, status)                                                    \
    do {                                                                                 \
        dialarc_setup bad = good;                                                        \
        bad.field = value;                                                               \
        refused(&bad, &s, status);                                                       \
    } while (0)
    REFUSED(lobes, 0, DIALARC_ERR_LOBES);
    REFUSED(lobes, 17, DIALARC_ERR_LOBES);
    REFUSED(crank_per_pump, 0.0, DIALARC_ERR_RATIO);
    REFUSED(lift_low_mm, 0.8, DIALARC_ERR_WINDOW);
    REFUSED(cam_law, (dialarc_law)99, DIALARC_ERR_LAW);
    REFUSED(cam_lift_mm, 0.0, DIALARC_ERR_LIFT);
    REFUSED(rise_deg, 95.0, DIALARC_ERR_SEGMENTS);
    REFUSED(angle_sd_deg, -0.1, DIALARC_ERR_SD);
    REFUSED(tdc_sd_deg, -0.1, DIALARC_ERR_SD);
    REFUSED(dial_sd_mm, -0.1, DIALARC_ERR_SD);
    REFUSED(dial_step_mm, -0.1, DIALARC_ERR_DIAL);
    REFUSED(dial_turn_mm, 0.0, DIALARC_ERR_DIAL);
    REFUSED(dial_sense, 2, DIALARC_ERR_DIAL);
    REFUSED(dial_hysteresis_mm, -0.1, DIALARC_ERR_DIAL);
    REFUSED(sprocket_teeth, -1, DIALARC_ERR_TEETH);
    REFUSED(sprocket_radius_mm, 0.0, DIALARC_ERR_LENGTH);
    REFUSED(rotation, (dialarc_rotation)2, DIALARC_ERR_DIRECTION);
    REFUSED(angle_sd_deg, INFINITY, DIALARC_ERR_NOT_FINITE);
    REFUSED(cam_lift_mm, INFINITY, DIALARC_ERR_NOT_FINITE);
#undef REFUSED
}
END_TEST

START_TEST(bad_sweeps_are_refused)
{
    sim_job job = good_job();
    dialarc_sweep good = good_sweep(&job), s = good;
    dialarc_setup setup = kit_setup(&job, 1);
    static dialarc_direction direction[SIM_MAX];
    dialarc_timing t = {.lift_mm = -7.0};
    dialarc_workspace *ws = dialarc_workspace_new();
    ck_assert_int_eq(dialarc_timing_estimate(NULL, &setup, &s, NULL, &t),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_timing_estimate(ws, NULL, &s, NULL, &t), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_timing_estimate(ws, &setup, NULL, NULL, &t),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_timing_estimate(ws, &setup, &s, NULL, NULL),
                     DIALARC_ERR_NULL);
    dialarc_workspace_free(ws);
    ck_assert_double_eq(t.lift_mm, -7.0);
    s.crank_deg = NULL;
    refused(&setup, &s, DIALARC_ERR_NULL);
    s = good;
    s.dial_mm = NULL;
    refused(&setup, &s, DIALARC_ERR_NULL);
    s = good;
    s.n = DIALARC_SWEEP_MAX + 1;
    refused(&setup, &s, DIALARC_ERR_SIZE);
    s = good;
    s.direction = direction;
    direction[s.n - 1] = (dialarc_direction)7;
    refused(&setup, &s, DIALARC_ERR_DIRECTION);
    s.direction = NULL;
    sweep.crank_deg[3] = NAN;
    refused(&setup, &s, DIALARC_ERR_NOT_FINITE);
    sweep.crank_deg[3] = 0.0;
    sweep.dial_mm[s.n - 1] = -INFINITY;
    refused(&setup, &s, DIALARC_ERR_NOT_FINITE);
    dialarc_workspace_free(NULL);
}
END_TEST

/* --- what is not known
 * ------------------------------------------------------------------ */

START_TEST(too_few_readings_leave_everything_unknown)
{
    sim_job job = good_job();
    dialarc_sweep s = good_sweep(&job);
    for (int known = 0; known <= 1; known++)
        for (s.n = 0; s.n < 5; s.n++) {
            dialarc_setup setup = kit_setup(&job, known);
            dialarc_timing t = timing_of(&setup, &s);
            double x[MOST_NUMBERS];
            size_t n = numbers(&t, x);
            for (size_t k = 0; k < n; k++)
                ck_assert_msg(isnan(x[k]), "%zu readings, number %zu: %g", s.n, k, x[k]);
            ck_assert(
                dialarc_findings_has(&t.findings, DIALARC_FINDING_TOO_FEW_READINGS));
            ck_assert_uint_eq(t.readings_used, 0);
            ck_assert_uint_eq(t.readings_rejected, 0);
        }
    dialarc_setup setup = kit_setup(&job, 1);
    s = (dialarc_sweep){0, NULL, NULL, NULL};
    ck_assert_double_nan(timing_of(&setup, &s).lift_mm);
}
END_TEST

START_TEST(one_way_shows_no_slack)
{
    sim_job job = good_job();
    job.two_way = 0;
    for (int known = 0; known <= 1; known++) {
        dialarc_setup setup = kit_setup(&job, known);
        dialarc_timing t = job_timing(&job, &setup);
        ck_assert_double_nan(t.slack_crank_deg);
        ck_assert_double_nan(t.slack_u_crank_deg);
        ck_assert(isfinite(t.lift_mm) && isfinite(t.minimum_crank_deg));
    }
}
END_TEST

/* The nominal lift of a known cam helps a sweep that ends before the top. */
START_TEST(nominal_lift_helps)
{
    sim_job job = good_job();
    job.two_way = 0;
    job.end_deg = -20.0;
    dialarc_setup setup = kit_setup(&job, 1);
    dialarc_timing without = job_timing(&job, &setup);
    setup.cam_lift_mm = job.cam.lift_mm;
    dialarc_timing with = job_timing(&job, &setup);
    ck_assert_double_lt(with.lift_u_mm, 0.98 * without.lift_u_mm);
    ck_assert_double_lt(fabs(with.total_lift_mm - job.cam.lift_mm),
                        fabs(without.total_lift_mm - job.cam.lift_mm));
}
END_TEST

/* Readings that contradict each other get a finding and no confidence, never a crash. */
START_TEST(nonsense_is_survived)
{
    sim_random r;
    sim_job job = good_job();
    int gave_up = 0;
    sim_seed(&r, 1002);
    for (int k = 0; k < kit_count(60); k++) {
        dialarc_sweep s = good_sweep(&job);
        dialarc_setup setup = kit_setup(&job, k % 3 > 0);
        dialarc_timing t;
        for (size_t i = 0; i < s.n; i++)
            sweep.dial_mm[i] = sim_uniform(&r, -2.0, 2.0);
        s.n = (size_t)sim_integer(&r, 0, (int)s.n);
        dialarc_status status = estimate(&setup, &s, NULL, &t);
        ck_assert(status == DIALARC_OK || status == DIALARC_NOT_CONVERGED);
        ck_assert_int_eq(dialarc_findings_worst(&t.findings), DIALARC_SEVERITY_STOP);
        gave_up += status == DIALARC_NOT_CONVERGED;
        if (status == DIALARC_NOT_CONVERGED)
            ck_assert(
                dialarc_findings_has(&t.findings, DIALARC_FINDING_FIT_NOT_CONVERGED));
    }
    ck_assert(gave_up > 0 || kit_count(60) < 60); /* some of many */
}
END_TEST

/* --- residuals, defaults, bits ----------------------------------------------- */

/* Each residual stands beside its reading: a planted misread shows as what it is. */
START_TEST(residuals_stand_beside_their_readings)
{
    static double residual[SIM_MAX];
    sim_job job = good_job();
    for (int known = 0; known <= 1; known++)
        for (int k = 0; k < 4; k++) {
            dialarc_setup setup = kit_setup(&job, known);
            dialarc_sweep s = good_sweep(&job);
            dialarc_timing t;
            size_t planted = 7 + 20 * (size_t)k;
            sweep.dial_mm[planted] += 1.0;
            ck_assert_int_eq(estimate(&setup, &s, residual, &t), DIALARC_OK);
            for (size_t i = 0; i < s.n; i++) {
                double expected = i == planted ? 1.0 : 0.0;
                /* flank 0.06 mm a degree times 0.2 degrees, rounded to 0.01 mm */
                ck_assert_double_eq_tol(residual[i], expected, 5.0 * 0.0125);
            }
            ck_assert_uint_eq(t.readings_rejected, 1);
            ck_assert_uint_eq(t.readings_used, s.n - 1);
            ck_assert_double_eq_tol(t.scatter, 1.0, 0.3);
        }
}
END_TEST

/* A silent setup is one that says: angles to 0.25 degrees, mark to 0.5, dial to 0.003 mm,
 * the graduation on which all readings lie, turns of 1 mm, hysteresis to 0.005 mm, two
 * turns of the crank, a wheel centred to 0.25 degrees, a stated cam known to 0.003 mm and
 * its angles to 0.25 degrees. */
START_TEST(blanks_have_defaults)
{
    static const double graduation[] = {0.01, 0.002, 0.005};
    for (int k = 0; k < 3; k++) {
        sim_job job = good_job();
        job.dial_step_mm = graduation[k];
        dialarc_setup said = kit_setup(&job, k > 0);
        said.angle_sd_deg = 0.25;
        said.tdc_sd_deg = 0.5;
        said.dial_sd_mm = 0.003;
        said.dial_hysteresis_mm = 0.005;
        said.dial_sense = 1;
        said.dial_error_mm = DIALARC_UNKNOWN; /* 0.4 % besides: no number says so */
        said.wheel_error_deg = 0.25;
        said.cam_sd_mm = 0.003;
        said.rise_sd_deg = 0.25;
        dialarc_setup silent = dialarc_setup_unknown(4);
        silent.cam_law = said.cam_law;
        silent.rise_deg = said.rise_deg;
        silent.top_dwell_deg = said.top_dwell_deg;
        silent.base_dwell_deg = said.base_dwell_deg;
        dialarc_timing a = job_timing(&job, &said), b = job_timing(&job, &silent);
        check_same_bits(&a, &b);
        ck_assert_double_eq_tol(b.budget.tdc_mm, 0.5 * b.rate_mm_per_crank_deg, 1e-15);
    }
    /* readings on no graduation count as not rounded */
    sim_job job = good_job();
    dialarc_setup setup = kit_setup(&job, 1);
    dialarc_sweep s = good_sweep(&job);
    for (size_t i = 0; i < s.n; i++)
        sweep.dial_mm[i] += 1e-4 * (double)(i % 7);
    setup.dial_step_mm = 0.0;
    dialarc_timing a = timing_of(&setup, &s);
    setup.dial_step_mm = DIALARC_UNKNOWN;
    dialarc_timing b = timing_of(&setup, &s);
    check_same_bits(&a, &b);
}
END_TEST

/* Results of a few sweeps of all kinds, from one workspace, from the `first` on. */
static void run_kinds(dialarc_workspace *ws, int first, dialarc_timing *t)
{
    for (int k = 0; k < 6; k++) {
        int kind = (k + first) % 6;
        sim_random r;
        sim_seed(&r, 1100 + (uint64_t)kind);
        sim_job job = kit_job(&r);
        job.two_way = kind % 3 > 0;
        job.misread_share = kind % 4 == 0 ? 0.08 : 0.0;
        dialarc_setup setup = kit_setup(&job, kind % 2);
        sim_run(&job, &r, &sweep);
        dialarc_sweep s = kit_sweep(&sweep);
        memset(&t[kind], 0, sizeof t[kind]);
        ck_assert_int_ge(dialarc_timing_estimate(ws, &setup, &s, NULL, &t[kind]), 0);
    }
}

START_TEST(same_bits_whatever_ran_before)
{
    dialarc_timing t[3][6];
    dialarc_workspace *fresh = dialarc_workspace_new(), *used = dialarc_workspace_new();
    run_kinds(fresh, 0, t[0]);
    run_kinds(used, 3, t[1]);
    run_kinds(used, 5, t[2]);
    for (int k = 0; k < 6; k++) {
        check_same_bits(&t[0][k], &t[1][k]);
        check_same_bits(&t[0][k], &t[2][k]);
        dialarc_workspace *own = dialarc_workspace_new();
        run_kinds(own, k, t[1]);
        check_same_bits(&t[0][k], &t[1][k]);
        dialarc_workspace_free(own);
    }
    dialarc_workspace_free(fresh);
    dialarc_workspace_free(used);
}
END_TEST

/* The suite also runs as a whole in a locale with a decimal comma; here both in one. */
START_TEST(same_bits_in_any_locale)
{
    const char *comma = getenv("TEST_LOCALE");
    dialarc_timing t[2][6];
    dialarc_workspace *ws = dialarc_workspace_new();
    if (!comma)
        comma = "de_DE.UTF-8"; /* when the system has it */
    ck_assert_ptr_nonnull(setlocale(LC_ALL, "C"));
    run_kinds(ws, 0, t[0]);
    if (setlocale(LC_ALL, comma)) {
        run_kinds(ws, 0, t[1]);
        for (int k = 0; k < 6; k++)
            check_same_bits(&t[0][k], &t[1][k]);
    }
    dialarc_workspace_free(ws);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("timing");
    TCase *tc = tcase_create("statuses");
    tcase_add_test(tc, bad_setups_are_refused);
    tcase_add_test(tc, bad_sweeps_are_refused);
    suite_add_tcase(suite, tc);
    tc = tcase_create("unknown");
    tcase_set_timeout(tc, 60);
    tcase_add_test(tc, too_few_readings_leave_everything_unknown);
    tcase_add_test(tc, one_way_shows_no_slack);
    tcase_add_test(tc, nominal_lift_helps);
    tcase_add_test(tc, nonsense_is_survived);
    suite_add_tcase(suite, tc);
    tc = tcase_create("results");
    tcase_set_timeout(tc, 60);
    tcase_add_test(tc, residuals_stand_beside_their_readings);
    tcase_add_test(tc, blanks_have_defaults);
    tcase_add_test(tc, same_bits_whatever_ran_before);
    tcase_add_test(tc, same_bits_in_any_locale);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
