/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whole-turn sweeps that cannot be used, and firing orders. */
#include <math.h>

#include "kit/check_main.h"
#include "kit/lobes_kit.h"
#include "record/lobe_count.h"

static sim_sweep sweep;

/* --- what is refused, and what stops a result -------------------------------- */

static void stops(const dialarc_lobes *got, dialarc_finding why)
{
    ck_assert(dialarc_findings_has(&got->findings, why));
    ck_assert_int_eq(got->findings.severity[why], DIALARC_SEVERITY_STOP);
    ck_assert(isnan(got->lobe[1].advance_crank_deg));
    ck_assert(isnan(got->lobe[0].lift_mm));
    ck_assert(isnan(got->scatter_crank_deg));
    ck_assert(isnan(got->run_out_mm));
}

START_TEST(part_of_a_turn_is_not_enough)
{
    sim_job j = kit_pump(1.0);
    j.end_deg = j.start_deg + 690.0;
    dialarc_lobes got = kit_measure(&j, 1, 1, &sweep);
    stops(&got, DIALARC_FINDING_TURN_NOT_COVERED);
}
END_TEST

/* Both ends of the turn are there, but nothing of one lobe. */
START_TEST(a_lobe_left_out_is_noticed)
{
    sim_job j = kit_pump(1.0);
    j.two_way = 0;
    sim_random r;
    sim_seed(&r, 1);
    sim_run(&j, &r, &sweep);
    size_t kept = 0;
    for (size_t i = 0; i < sweep.n; i++)
        if (sweep.crank_deg[i] < 325.0 || sweep.crank_deg[i] > 505.0) {
            sweep.crank_deg[kept] = sweep.crank_deg[i];
            sweep.dial_mm[kept++] = sweep.dial_mm[i];
        }
    sweep.n = kept;
    dialarc_setup setup = kit_setup(&j, 1);
    dialarc_sweep record = kit_sweep(&sweep);
    dialarc_lobes got = kit_estimate(&setup, &record);
    stops(&got, DIALARC_FINDING_TURN_NOT_COVERED);
}
END_TEST

START_TEST(too_few_readings_are_told)
{
    sim_job j = kit_pump(1.0);
    dialarc_setup setup = kit_setup(&j, 1);
    dialarc_sweep none = {0, NULL, NULL, NULL};
    dialarc_lobes got = kit_estimate(&setup, &none);
    stops(&got, DIALARC_FINDING_TOO_FEW_READINGS);
    ck_assert_int_eq(got.lobes_seen, 0);
    j.two_way = 0;
    j.step_deg = 24.0; /* 31 readings; 32 are needed */
    got = kit_measure(&j, 1, 1, &sweep);
    stops(&got, DIALARC_FINDING_TOO_FEW_READINGS);
}
END_TEST

START_TEST(lobes_are_counted)
{
    for (int lobes = 2; lobes <= 8; lobes++) {
        sim_job j = kit_pump(1.0);
        j.misread_share = 0.08;
        double pitch = 360.0 / lobes;
        j.cam.lobes = lobes;
        j.cam.rise_deg = 0.45 * pitch;
        j.cam.top_deg = 0.02 * pitch;
        j.cam.base_deg = 0.1 * pitch;
        j.foot_crank_deg = -0.3 * pitch;
        sim_random r;
        sim_seed(&r, (uint64_t)lobes);
        sim_run(&j, &r, &sweep);
        dialarc_setup setup = kit_setup(&j, 0);
        dialarc_sweep record = kit_sweep(&sweep);
        setup.lobes = lobes == 4 ? 6 : 4;
        dialarc_lobes got = kit_estimate(&setup, &record);
        ck_assert_int_eq(got.lobes_seen, lobes);
        if (lobes != 4)
            stops(&got, DIALARC_FINDING_LOBE_COUNT_MISMATCH);
    }
}
END_TEST

/* A dial that does not move shows no lobes at all. */
START_TEST(a_still_dial_shows_no_lobes)
{
    sim_job j = kit_pump(1.0);
    sim_random r;
    sim_seed(&r, 1);
    sim_run(&j, &r, &sweep);
    for (size_t i = 0; i < sweep.n; i++)
        sweep.dial_mm[i] = 0.5 + 0.002 * sim_normal(&r);
    dialarc_setup setup = kit_setup(&j, 1);
    dialarc_sweep record = kit_sweep(&sweep);
    dialarc_lobes got = kit_estimate(&setup, &record);
    stops(&got, DIALARC_FINDING_LOBE_COUNT_MISMATCH);
    ck_assert_int_eq(got.lobes_seen, 0);
}
END_TEST

/* Waves that repeat from reading to reading cannot be told from a still dial; the others
 * can. */
START_TEST(even_readings_tell_some_waves)
{
    double crank[16], dial[16];
    darc_record record = {.n = 16, .crank_deg = crank, .lift_mm = dial, .passes = 1};
    record.pass[0].end = 16;
    for (int i = 0; i < 16; i++) {
        crank[i] = 45.0 * i;
        dial[i] = cos(3.14159265358979323846 / 180.0 * 3.0 * crank[i] / 2.0);
    }
    ck_assert_int_eq(darc_lobes_seen(&record, 2.0), 3);
}
END_TEST

/* Readings that no lobes explain: in another unit than the setup's, or cut off. */
START_TEST(hopeless_turns_get_no_numbers)
{
    int refused = 0;
    for (int k = 0; k < 24; k++) {
        sim_random r;
        sim_seed(&r, (uint64_t)(5100 + k));
        sim_job j = kit_turn(&r);
        sim_run(&j, &r, &sweep);
        const double level = sweep.dial_mm[sweep.n / 4];
        for (size_t i = 0; i < sweep.n; i++)
            sweep.dial_mm[i] = k % 3 == 0   ? 1e6 * sweep.dial_mm[i]
                               : k % 3 == 1 ? 25.4 * sweep.dial_mm[i]
                                            : fmin(sweep.dial_mm[i], level);
        dialarc_setup setup = kit_setup(&j, k % 2);
        dialarc_sweep record = kit_sweep(&sweep);
        dialarc_workspace *w = dialarc_workspace_new();
        dialarc_lobes got;
        dialarc_status status = dialarc_lobes_estimate(w, &setup, &record, NULL, &got);
        if (status == DIALARC_NOT_CONVERGED)
            stops(&got, DIALARC_FINDING_FIT_NOT_CONVERGED);
        else
            ck_assert_int_eq(status, DIALARC_OK);
        refused += status == DIALARC_NOT_CONVERGED;
        dialarc_workspace_free(w);
    }
    ck_assert_int_ge(refused, 8);
}
END_TEST

START_TEST(bad_arguments_are_refused)
{
    sim_job j = kit_pump(1.0);
    dialarc_lobes kept = kit_measure(&j, 1, 1, &sweep), got = kept;
    dialarc_setup setup = kit_setup(&j, 1);
    dialarc_sweep record = kit_sweep(&sweep);
    dialarc_workspace *w = dialarc_workspace_new();
#define REFUSED(code, call) ck_assert_int_eq(call, code)
    REFUSED(DIALARC_ERR_NULL, dialarc_lobes_estimate(NULL, &setup, &record, NULL, &got));
    REFUSED(DIALARC_ERR_NULL, dialarc_lobes_estimate(w, NULL, &record, NULL, &got));
    REFUSED(DIALARC_ERR_NULL, dialarc_lobes_estimate(w, &setup, NULL, NULL, &got));
    REFUSED(DIALARC_ERR_NULL, dialarc_lobes_estimate(w, &setup, &record, NULL, NULL));
    dialarc_setup wrong = setup;
    wrong.lobes = 1;
    REFUSED(DIALARC_ERR_LOBES, dialarc_lobes_estimate(w, &wrong, &record, NULL, &got));
    wrong.lobes = 17;
    REFUSED(DIALARC_ERR_LOBES, dialarc_lobes_estimate(w, &wrong, &record, NULL, &got));
    wrong = setup;
    wrong.dial_sd_mm = -1.0;
    REFUSED(DIALARC_ERR_SD, dialarc_lobes_estimate(w, &wrong, &record, NULL, &got));
    dialarc_sweep bad = record;
    bad.n = DIALARC_SWEEP_MAX + 1;
    REFUSED(DIALARC_ERR_SIZE, dialarc_lobes_estimate(w, &setup, &bad, NULL, &got));
    bad = record;
    bad.dial_mm = NULL;
    REFUSED(DIALARC_ERR_NULL, dialarc_lobes_estimate(w, &setup, &bad, NULL, &got));
    static dialarc_direction way[SIM_MAX];
    way[3] = (dialarc_direction)7;
    bad = record;
    bad.direction = way;
    REFUSED(DIALARC_ERR_DIRECTION, dialarc_lobes_estimate(w, &setup, &bad, NULL, &got));
    sweep.dial_mm[7] = NAN;
    REFUSED(DIALARC_ERR_NOT_FINITE,
            dialarc_lobes_estimate(w, &setup, &record, NULL, &got));
    sweep.dial_mm[7] = 0.5;
    sweep.crank_deg[7] = INFINITY;
    REFUSED(DIALARC_ERR_NOT_FINITE,
            dialarc_lobes_estimate(w, &setup, &record, NULL, &got));
    ck_assert_mem_eq(&got, &kept, sizeof got);
    dialarc_workspace_free(w);
}
END_TEST

/* --- firing order ------------------------------------------------------------ */

START_TEST(lobes_get_their_cylinders)
{
    static const int order[] = {1, 5, 3, 6, 2, 4}, from_three[] = {3, 6, 2, 4, 1, 5};
    int cylinder[6], outlet[6];
    ck_assert_int_eq(
        dialarc_lobes_assign(6, order, 1, DIALARC_ROTATION_CW, cylinder, outlet),
        DIALARC_OK);
    for (int k = 0; k < 6; k++) {
        ck_assert_int_eq(cylinder[k], order[k]);
        ck_assert_int_eq(outlet[k], k);
    }
    ck_assert_int_eq(
        dialarc_lobes_assign(6, order, 3, DIALARC_ROTATION_CCW, cylinder, outlet),
        DIALARC_OK);
    for (int k = 0; k < 6; k++) {
        ck_assert_int_eq(cylinder[k], from_three[k]);
        ck_assert_int_eq(outlet[k], k ? 6 - k : 0);
    }
    ck_assert_int_eq(
        dialarc_lobes_assign(6, order, 1, DIALARC_ROTATION_UNKNOWN, cylinder, outlet),
        DIALARC_OK);
    ck_assert_int_eq(outlet[2], -1);
    ck_assert_int_eq(
        dialarc_lobes_assign(1, order, 1, DIALARC_ROTATION_CW, cylinder, NULL),
        DIALARC_OK);
    ck_assert_int_eq(cylinder[0], 1);
}
END_TEST

START_TEST(bad_firing_orders_are_refused)
{
    static const int twice[] = {1, 3, 3, 2}, missing[] = {1, 3, 5, 2},
                     zero[] = {0, 1, 2, 3}, good[] = {1, 3, 4, 2};
    int c[4] = {-7, -7, -7, -7};
#define ASSIGN(n, order, timed, way) dialarc_lobes_assign(n, order, timed, way, c, NULL)
    ck_assert_int_eq(ASSIGN(4, twice, 1, DIALARC_ROTATION_CW), DIALARC_ERR_FIRING_ORDER);
    ck_assert_int_eq(ASSIGN(4, missing, 1, DIALARC_ROTATION_CW),
                     DIALARC_ERR_FIRING_ORDER);
    ck_assert_int_eq(ASSIGN(4, zero, 1, DIALARC_ROTATION_CW), DIALARC_ERR_FIRING_ORDER);
    ck_assert_int_eq(ASSIGN(4, good, 5, DIALARC_ROTATION_CW), DIALARC_ERR_FIRING_ORDER);
    ck_assert_int_eq(ASSIGN(4, good, 0, DIALARC_ROTATION_CW), DIALARC_ERR_FIRING_ORDER);
    ck_assert_int_eq(ASSIGN(0, good, 1, DIALARC_ROTATION_CW), DIALARC_ERR_LOBES);
    ck_assert_int_eq(ASSIGN(17, good, 1, DIALARC_ROTATION_CW), DIALARC_ERR_LOBES);
    ck_assert_int_eq(ASSIGN(4, good, 1, (dialarc_rotation)2), DIALARC_ERR_DIRECTION);
    ck_assert_int_eq(ASSIGN(4, NULL, 1, DIALARC_ROTATION_CW), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_lobes_assign(4, good, 1, DIALARC_ROTATION_CW, NULL, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(c[0], -7);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("lobes refused");
    TCase *tc = tcase_create("sweeps");
    tcase_set_timeout(tc, 0);
    tcase_add_test(tc, part_of_a_turn_is_not_enough);
    tcase_add_test(tc, a_lobe_left_out_is_noticed);
    tcase_add_test(tc, too_few_readings_are_told);
    tcase_add_test(tc, lobes_are_counted);
    tcase_add_test(tc, a_still_dial_shows_no_lobes);
    tcase_add_test(tc, even_readings_tell_some_waves);
    tcase_add_test(tc, hopeless_turns_get_no_numbers);
    tcase_add_test(tc, bad_arguments_are_refused);
    suite_add_tcase(suite, tc);
    tc = tcase_create("firing order");
    tcase_add_test(tc, lobes_get_their_cylinders);
    tcase_add_test(tc, bad_firing_orders_are_refused);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
