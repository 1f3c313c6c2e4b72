/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A cam learned from one full sweep, and quick checks of the next pump with it. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <dialarc/assess.h>
#include <dialarc/learned_cam.h>
#include <dialarc/reuse.h>

#include "kit/check_main.h"
#include "kit/learned_kit.h"

#define PUMPS 120

/* Learns the cam of a job into a table; returns its uncertainty near TDC, mm. */
static double learn(dialarc_workspace *ws, const sim_job *j, sim_random *r,
                    sim_sweep *sweep, dialarc_camtable **table)
{
    double angle[POINTS], lift[POINTS];
    dialarc_learned_cam *cam;
    sim_run(j, r, sweep);
    dialarc_setup setup = describe(j, 0);
    dialarc_sweep record = record_of(sweep);
    ck_assert_int_ge(dialarc_learned_cam_new(ws, &setup, &record, &cam), 0);
    ck_assert_int_eq(dialarc_learned_cam_lobe(cam, POINTS, angle, lift), DIALARC_OK);
    ck_assert_int_eq(
        dialarc_camtable_new(POINTS, angle, lift, 360.0 / j->cam.lobes, table),
        DIALARC_OK);
    double sd;
    ck_assert_int_eq(dialarc_learned_cam_sd(cam, &sd), DIALARC_OK);
    dialarc_learned_cam_free(cam);
    return sd;
}

START_TEST(test_next_pump)
{
    sim_random r;
    sim_sweep *sweep = malloc(sizeof *sweep);
    dialarc_workspace *ws = dialarc_workspace_new();
    double learned2 = 0.0, known2 = 0.0;
    int covered = 0, pumps = kit_count(PUMPS);
    sim_seed(&r, 20);
    for (int k = 0; k < pumps; k++) {
        sim_cam cam = draw_cam(&r);
        sim_job first = full_sweep(&cam, &r), next = quick_check(&cam, &r);
        dialarc_camtable *table;
        dialarc_timing with_table, with_law;
        double sd = learn(ws, &first, &r, sweep, &table);
        sim_run(&next, &r, sweep);
        dialarc_sweep record = record_of(sweep);
        dialarc_setup plain = describe(&next, 0), law = describe(&next, 1);
        ck_assert_int_ge(
            dialarc_reuse_estimate(ws, &plain, table, sd, &record, NULL, &with_table), 0);
        ck_assert_int_ge(dialarc_timing_estimate(ws, &law, &record, NULL, &with_law), 0);
        double a = with_table.lift_mm - sweep->lift_tdc_mm;
        double b = with_law.lift_mm - sweep->lift_tdc_mm;
        learned2 += a * a;
        known2 += b * b;
        covered += fabs(a) <= with_table.lift_u_mm;
        ck_assert_int_eq(with_table.cam_learned, 0);
        dialarc_camtable_free(table);
    }
    double ratio = sqrt(learned2 / known2);
    double most = pumps == PUMPS ? 1.15 : 1.5;
    ck_assert_msg(ratio <= most, "rms error %.3f of that with the law known", ratio);
    /* 95 % less three binomial sds */
    ck_assert_double_ge(covered, 0.95 * pumps - 3.0 * sqrt(0.0475 * pumps));
    dialarc_workspace_free(ws);
    free(sweep);
}
END_TEST

/* A table of another cam, laws exchanged: over a whole lobe the readings tell, and more
 * of them never make it worse than being told nothing. */
START_TEST(test_another_shape)
{
    sim_random r;
    sim_sweep *sweep = malloc(sizeof *sweep);
    dialarc_workspace *ws = dialarc_workspace_new();
    int covered = 0, silent = 0, pumps = kit_count(60);
    sim_seed(&r, 77);
    for (int k = 0; k < pumps; k++) {
        sim_cam cam = draw_cam(&r), other = cam;
        other.rise_law = (cam.rise_law + 1 + sim_integer(&r, 0, 4)) % SIM_LAWS;
        other.fall_law = other.rise_law;
        sim_job first = full_sweep(&cam, &r), next = full_sweep(&other, &r);
        dialarc_camtable *table;
        dialarc_timing t;
        double sd = learn(ws, &first, &r, sweep, &table);
        sim_run(&next, &r, sweep);
        dialarc_sweep record = record_of(sweep);
        dialarc_setup plain = describe(&next, 0);
        ck_assert_int_ge(dialarc_reuse_estimate(ws, &plain, table, sd, &record, NULL, &t),
                         0);
        int held = fabs(t.lift_mm - sweep->lift_tdc_mm) <= t.lift_u_mm;
        covered += held;
        silent += !held && dialarc_findings_worst(&t.findings) < DIALARC_SEVERITY_CAUTION;
        dialarc_camtable_free(table);
    }
    ck_assert_double_ge(covered, 0.95 * pumps - 3.0 * sqrt(0.0475 * pumps));
    ck_assert_int_eq(silent, 0);
    dialarc_workspace_free(ws);
    free(sweep);
}
END_TEST

START_TEST(test_refusals)
{
    sim_random r;
    sim_sweep *sweep = malloc(sizeof *sweep);
    dialarc_workspace *ws = dialarc_workspace_new();
    dialarc_camtable *table;
    double x[POINTS] = {0}, y[POINTS] = {0};
    dialarc_timing t;
    sim_seed(&r, 6);
    sim_cam cam = draw_cam(&r);
    sim_job j = full_sweep(&cam, &r);
    learn(ws, &j, &r, sweep, &table);
    dialarc_sweep record = record_of(sweep);
    dialarc_setup s = describe(&j, 0);
    dialarc_setup other = s;
    other.lobes = s.lobes + 1;
    ck_assert_int_eq(dialarc_reuse_estimate(ws, &other, table, 0, &record, NULL, &t),
                     DIALARC_ERR_SEGMENTS);
    other.lobes = 0;
    ck_assert_int_eq(dialarc_reuse_estimate(ws, &other, table, 0, &record, NULL, &t),
                     DIALARC_ERR_LOBES);
    ck_assert_int_eq(dialarc_reuse_estimate(ws, &s, NULL, 0, &record, NULL, &t),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_reuse_estimate(ws, &s, table, -1, &record, NULL, &t),
                     DIALARC_ERR_SD);
    ck_assert_int_eq(dialarc_reuse_estimate(ws, &s, table, NAN, &record, NULL, &t),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_reuse_estimate(ws, &s, table, 0, &record, NULL, &t),
                     DIALARC_OK);
    dialarc_camtable_free(table);
    for (int i = 0; i < POINTS; i++) { /* a cam without a lobe */
        x[i] = 360.0 / s.lobes * i / POINTS;
        y[i] = 1.0;
    }
    ck_assert_int_eq(dialarc_camtable_new(POINTS, x, y, 360.0 / s.lobes, &table),
                     DIALARC_OK);
    ck_assert_int_eq(dialarc_reuse_estimate(ws, &s, table, 0, &record, NULL, &t),
                     DIALARC_ERR_LIFT);
    dialarc_camtable_free(table);
    dialarc_workspace_free(ws);
    free(sweep);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("reuse");
    TCase *c = tcase_create("reuse");
    tcase_set_timeout(c, 600);
    tcase_add_test(c, test_next_pump);
    tcase_add_test(c, test_another_shape);
    tcase_add_test(c, test_refusals);
    suite_add_tcase(s, c);
    return darc_run(s);
}
