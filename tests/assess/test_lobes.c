/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/lobes_kit.h"

static sim_sweep sweep;

/* --- what comes out ----------------------------------------------------------------- */

/* Nearly without noise the simulator's truth must come back. */
static void comes_back(const sim_job *j, int known, double timing_tol, double lift_tol)
{
    dialarc_lobes got = kit_measure(j, known, 5, &sweep);
    ck_assert_int_ne(dialarc_findings_worst(&got.findings), DIALARC_SEVERITY_STOP);
    ck_assert_int_eq(got.lobes, j->cam.lobes);
    ck_assert_int_eq(got.lobes_seen, j->cam.lobes);
    ck_assert_int_eq(got.cam_learned, !known);
    double low = 0.0, high = 0.0;
    for (int k = 0; k < j->cam.lobes; k++) {
        const dialarc_lobe *l = &got.lobe[k];
        double at =
            (360.0 / j->cam.lobes * k + j->cam.late_deg[k] - j->cam.run_out_phase_deg) *
            3.14159265358979323846 / 180.0;
        ck_assert_double_eq_tol(l->advance_crank_deg, kit_advance(j, k), timing_tol);
        ck_assert_double_eq_tol(l->lift_error_mm, kit_extra(j, k), lift_tol);
        ck_assert_double_eq_tol(l->lift_mm, j->cam.lift_mm + j->cam.extra_mm[k], 0.002);
        ck_assert_double_eq_tol(l->run_out_mm, j->cam.run_out_mm * cos(at), 0.001);
        ck_assert_uint_ge(l->readings, 40);
        low = fmin(low, kit_advance(j, k));
        high = fmax(high, kit_advance(j, k));
    }
    ck_assert_double_eq_tol(got.run_out_mm, j->cam.run_out_mm, lift_tol);
    double phase = remainder(got.run_out_phase_pump_deg - kit_phase(j), 360.0);
    ck_assert_double_eq_tol(phase, 0.0, 1.5);
    ck_assert_double_eq_tol(got.spread_crank_deg, high - low, 2.0 * timing_tol);
    ck_assert_double_eq_tol(got.slack_crank_deg, j->slack_deg, 0.02);
}

START_TEST(truth_comes_back_known_cam)
{
    sim_job j = kit_pump(0.02);
    comes_back(&j, 1, 0.005, 1e-4);
}
END_TEST

START_TEST(truth_comes_back_learned_cam)
{
    sim_job j = kit_pump(0.02);
    comes_back(&j, 0, 0.005, 2e-4);
}
END_TEST

/* Two lobes and eight: the fewest that can be compared, and a short pitch. */
START_TEST(other_lobe_counts)
{
    static const int lobes[] = {2, 3, 8};
    for (size_t i = 0; i < sizeof lobes / sizeof lobes[0]; i++) {
        sim_job j = kit_pump(0.02);
        double pitch = 360.0 / lobes[i];
        j.cam.lobes = lobes[i];
        j.cam.rise_deg = 0.42 * pitch;
        j.cam.top_deg = 0.03 * pitch;
        j.cam.base_deg = 0.14 * pitch;
        j.foot_crank_deg = -0.3 * pitch;
        j.cam.late_deg[7] = -0.3;
        comes_back(&j, 1, 0.005, 2e-4);
    }
}
END_TEST

/* Scatter and its limits, against the definition. */
START_TEST(scatter_is_that_of_the_lobes)
{
    sim_job j = kit_pump(0.02);
    dialarc_lobes got = kit_measure(&j, 1, 3, &sweep);
    double mean = 0.0, sum = 0.0;
    for (int k = 0; k < 4; k++)
        mean += kit_advance(&j, k) / 4.0;
    for (int k = 0; k < 4; k++)
        sum += pow(kit_advance(&j, k) - mean, 2) / 3.0;
    ck_assert_double_eq_tol(got.scatter_crank_deg, sqrt(sum), 0.003);
    ck_assert_double_lt(got.scatter_low_crank_deg, got.scatter_crank_deg);
    ck_assert_double_gt(got.scatter_high_crank_deg, got.scatter_crank_deg);
    ck_assert_double_lt(got.scatter_high_crank_deg - got.scatter_low_crank_deg, 0.01);
}
END_TEST

/* A pump without errors: nothing is found that is not there. */
START_TEST(a_true_pump_has_no_scatter)
{
    sim_job j = kit_pump(1.0);
    memset(j.cam.late_deg, 0, sizeof j.cam.late_deg);
    memset(j.cam.extra_mm, 0, sizeof j.cam.extra_mm);
    j.cam.run_out_mm = 0.0;
    int clear = 0;
    for (uint64_t seed = 1; seed <= 20; seed++) {
        dialarc_lobes got = kit_measure(&j, 1, seed, &sweep);
        clear += got.scatter_low_crank_deg == 0.0 && isnan(got.run_out_phase_pump_deg) &&
                 got.run_out_mm <= got.run_out_u_mm;
    }
    ck_assert_int_ge(clear, 16);
}
END_TEST

START_TEST(one_way_leaves_the_slack_open)
{
    sim_job j = kit_pump(1.0);
    j.two_way = 0;
    dialarc_lobes got = kit_measure(&j, 1, 2, &sweep);
    ck_assert(isnan(got.slack_crank_deg));
    ck_assert(!isnan(got.scatter_crank_deg));
}
END_TEST

/* --- the same readings written down otherwise --------------------------------------- */

static void same_lobes(const dialarc_lobes *a, const dialarc_lobes *b)
{
    for (int k = 0; k < a->lobes; k++) {
        ck_assert_double_eq_tol(a->lobe[k].advance_crank_deg,
                                b->lobe[k].advance_crank_deg, 1e-6);
        ck_assert_double_eq_tol(a->lobe[k].lift_error_mm, b->lobe[k].lift_error_mm, 1e-7);
        ck_assert_double_eq_tol(a->lobe[k].advance_u_crank_deg,
                                b->lobe[k].advance_u_crank_deg, 1e-6);
    }
    ck_assert_double_eq_tol(a->run_out_mm, b->run_out_mm, 1e-7);
}

START_TEST(the_wheel_may_begin_anew_and_the_dial_fall)
{
    sim_job j = kit_pump(1.0);
    dialarc_lobes plain = kit_measure(&j, 1, 4, &sweep);
    dialarc_setup setup = kit_setup(&j, 1);
    dialarc_sweep record = kit_sweep(&sweep);
    for (size_t i = 0; i < sweep.n; i++) {
        sweep.crank_deg[i] -= 360.0 * floor(sweep.crank_deg[i] / 360.0);
        sweep.dial_mm[i] = -sweep.dial_mm[i];
    }
    setup.dial_sense = -1;
    dialarc_lobes other = kit_estimate(&setup, &record);
    same_lobes(&plain, &other);
}
END_TEST

/* Firing TDC is the first 0 met, also when the second was read closer to 0. */
START_TEST(the_first_tdc_counts)
{
    sim_job j = kit_pump(0.02);
    sim_random r;
    sim_seed(&r, 4);
    sim_run(&j, &r, &sweep);
    for (size_t i = 0; i < sweep.n; i++) {
        double noise = fabs(sweep.crank_deg[i]) < 0.5 ? 0.03 : 0.0;
        sweep.crank_deg[i] += noise;
        sweep.crank_deg[i] -= 360.0 * floor(sweep.crank_deg[i] / 360.0 + 0.01);
    }
    dialarc_setup setup = kit_setup(&j, 1);
    dialarc_sweep record = kit_sweep(&sweep);
    dialarc_lobes got = kit_estimate(&setup, &record);
    for (int k = 1; k < 4; k++)
        ck_assert_double_eq_tol(got.lobe[k].advance_crank_deg, kit_advance(&j, k), 0.01);
}
END_TEST

/* Residuals stand by the caller's rows; those of misread rows show the misreading. */
START_TEST(misread_rows_are_named)
{
    sim_job j = kit_pump(1.0);
    sim_random r;
    sim_seed(&r, 9);
    sim_run(&j, &r, &sweep);
    sweep.dial_mm[100] += 0.1;
    sweep.dial_mm[200] -= 1.0;
    dialarc_setup setup = kit_setup(&j, 1);
    dialarc_sweep record = kit_sweep(&sweep);
    dialarc_workspace *w = dialarc_workspace_new();
    dialarc_lobes got;
    static double residual[SIM_MAX];
    ck_assert_int_eq(dialarc_lobes_estimate(w, &setup, &record, residual, &got),
                     DIALARC_OK);
    dialarc_workspace_free(w);
    ck_assert_double_eq_tol(residual[100], 0.1, 0.05);
    ck_assert_double_eq_tol(residual[200], -1.0, 0.05);
    ck_assert_uint_eq(got.findings.row[DIALARC_FINDING_READING_REJECTED], 100);
    ck_assert_uint_eq(got.findings.row[DIALARC_FINDING_WHOLE_TURN_MISREAD], 200);
    ck_assert_uint_eq(got.readings_rejected, 2);
    ck_assert_uint_eq(got.readings_used, sweep.n - 2);
    for (int k = 1; k < 4; k++)
        ck_assert_double_le(fabs(got.lobe[k].advance_crank_deg - kit_advance(&j, k)),
                            1.5 * got.lobe[k].advance_u_crank_deg);
}
END_TEST

/* Readings twice as coarse as stated: found, and the uncertainty grows to match. */
START_TEST(scatter_above_the_setup_widens)
{
    sim_job j = kit_pump(2.0);
    dialarc_lobes honest = kit_measure(&j, 1, 6, &sweep);
    dialarc_setup setup = kit_setup(&j, 1);
    dialarc_sweep record = kit_sweep(&sweep);
    setup.angle_sd_deg *= 0.5;
    setup.dial_sd_mm *= 0.5;
    dialarc_lobes got = kit_estimate(&setup, &record);
    ck_assert(dialarc_findings_has(&got.findings, DIALARC_FINDING_SCATTER_ABOVE_SETUP));
    ck_assert(
        !dialarc_findings_has(&honest.findings, DIALARC_FINDING_SCATTER_ABOVE_SETUP));
    ck_assert_double_eq_tol(honest.noise_ratio, 1.0, 0.1);
    ck_assert_double_eq_tol(
        got.lobe[2].advance_u_crank_deg / honest.lobe[2].advance_u_crank_deg, 1.0, 0.25);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("lobes");
    TCase *tc = tcase_create("estimate");
    tcase_set_timeout(tc, 0);
    tcase_add_test(tc, truth_comes_back_known_cam);
    tcase_add_test(tc, truth_comes_back_learned_cam);
    tcase_add_test(tc, other_lobe_counts);
    tcase_add_test(tc, scatter_is_that_of_the_lobes);
    tcase_add_test(tc, a_true_pump_has_no_scatter);
    tcase_add_test(tc, one_way_leaves_the_slack_open);
    tcase_add_test(tc, the_wheel_may_begin_anew_and_the_dial_fall);
    tcase_add_test(tc, the_first_tdc_counts);
    tcase_add_test(tc, misread_rows_are_named);
    tcase_add_test(tc, scatter_above_the_setup_widens);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
