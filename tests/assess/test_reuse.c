/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A cam learned from one full sweep, and quick checks of the next pump with it. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <dialarc/reuse.h>

#include "kit/check_main.h"
#include "kit/simulate.h"
#include "kit/sweep_kit.h"

#define POINTS 240
#define PUMPS  120

static sim_cam draw_cam(sim_random *r)
{
    sim_cam c;
    memset(&c, 0, sizeof c);
    c.lobes = sim_integer(r, 3, 6);
    double pitch = 360.0 / c.lobes;
    c.lift_mm = sim_uniform(r, 2.0, 2.8);
    c.rise_deg = pitch * sim_uniform(r, 0.40, 0.50);
    c.top_deg = pitch * sim_uniform(r, 0.0, 0.06);
    c.base_deg = pitch * sim_uniform(r, 0.08, 0.18);
    c.rise_law = c.fall_law = sim_integer(r, 0, SIM_LAWS - 1);
    c.blend = 0.25;
    return c;
}

static sim_job draw_job(const sim_cam *cam, sim_random *r)
{
    sim_job j;
    memset(&j, 0, sizeof j);
    j.cam = *cam;
    j.crank_per_pump = 2.0;
    j.foot_crank_deg = -2.0 * cam->rise_deg * sim_uniform(r, 0.40, 0.46);
    j.slack_deg = sim_uniform(r, 0.5, 6.0);
    j.hysteresis_mm = sim_uniform(r, 0.0, 0.004);
    j.angle_sd_deg = 0.2;
    j.dial_sd_mm = 0.003;
    j.dial_step_mm = 0.005;
    j.dial_turn_mm = 1.0;
    return j;
}

static sim_job full_sweep(const sim_cam *cam, sim_random *r)
{
    sim_job j = draw_job(cam, r);
    j.two_way = 1;
    j.step_deg = 1.0;
    j.start_deg = j.foot_crank_deg - 240.0 / cam->lobes;
    j.end_deg = j.start_deg + 760.0 / cam->lobes;
    return j;
}

/* Ten readings in running direction, from the base dwell past TDC. */
static sim_job quick_check(const sim_cam *cam, sim_random *r)
{
    sim_job j = draw_job(cam, r);
    j.start_deg = j.foot_crank_deg - 1.6 * cam->base_deg;
    double end = sim_uniform(r, 5.0, 12.0);
    j.step_deg = (end - j.start_deg) / 9.0;
    j.end_deg = end + 0.01;
    return j;
}

static dialarc_setup describe(const sim_job *j, int with_law)
{
    dialarc_setup s = dialarc_setup_unknown(j->cam.lobes);
    s.crank_per_pump = j->crank_per_pump;
    s.angle_sd_deg = j->angle_sd_deg;
    s.dial_sd_mm = j->dial_sd_mm;
    s.dial_step_mm = j->dial_step_mm;
    s.dial_turn_mm = j->dial_turn_mm;
    s.dial_hysteresis_mm = 0.004;
    s.tdc_sd_deg = 0.0;
    if (with_law) {
        s.cam_law = (dialarc_law)(DIALARC_LAW_HARMONIC + j->cam.rise_law);
        s.rise_deg = j->cam.rise_deg;
        s.top_dwell_deg = j->cam.top_deg;
        s.base_dwell_deg = j->cam.base_deg;
    }
    return s;
}

static dialarc_sweep record_of(const sim_sweep *s)
{
    return (dialarc_sweep){s->n, s->crank_deg, s->dial_mm, NULL};
}

/* Learns the cam of a job into a table; returns its uncertainty near TDC, mm. */
static double learn(dialarc_workspace *ws, const sim_job *j, sim_random *r,
                    sim_sweep *sweep, dialarc_camtable **table)
{
    double angle[POINTS], lift[POINTS];
    dialarc_timing t;
    sim_run(j, r, sweep);
    dialarc_setup setup = describe(j, 0);
    dialarc_sweep record = record_of(sweep);
    ck_assert_int_ge(dialarc_timing_estimate(ws, &setup, &record, NULL, &t), 0);
    ck_assert_int_eq(dialarc_reuse_lobe(ws, POINTS, angle, lift), DIALARC_OK);
    ck_assert_int_eq(
        dialarc_camtable_new(POINTS, angle, lift, 360.0 / j->cam.lobes, table),
        DIALARC_OK);
    double sd;
    ck_assert_int_eq(dialarc_reuse_sd(&t, &sd), DIALARC_OK);
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

START_TEST(test_lobe_is_the_cam)
{
    sim_random r;
    sim_sweep *sweep = malloc(sizeof *sweep);
    dialarc_workspace *ws = dialarc_workspace_new();
    dialarc_camtable *table;
    sim_seed(&r, 5);
    sim_cam cam = draw_cam(&r);
    sim_job j = full_sweep(&cam, &r);
    learn(ws, &j, &r, sweep, &table);
    double angle[POINTS], lift[POINTS];
    dialarc_reuse_lobe(ws, POINTS, angle, lift);
    ck_assert_double_eq_tol(angle[1], 360.0 / cam.lobes / POINTS, 1e-12);
    for (int k = 0; k < POINTS; k++)
        ck_assert_double_eq_tol(lift[k], sim_lift(&cam, angle[k]), 0.02);
    dialarc_camtable_free(table);
    dialarc_workspace_free(ws);
    free(sweep);
}
END_TEST

/* Shares of the lobe by the way that the simulated crank went. */
START_TEST(test_share)
{
    static const struct {
        double from, to; /* of a lobe pitch, past the start of the whole sweep */
        int two_way;
        double with, against;
    } cases[] = {{0.0, 1.1, 1, 1.0, 1.0},
                 {0.0, 1.1, 0, 1.0, 0.0},
                 {0.0, 0.75, 1, 0.75, 0.75},
                 {0.2, 1.0, 1, 0.8, 0.8}};
    sim_random r;
    sim_sweep *sweep = malloc(sizeof *sweep);
    dialarc_workspace *ws = dialarc_workspace_new();
    dialarc_timing t = {0};
    double with = -7.0, against = -7.0;
    sim_seed(&r, 9);
    sim_cam cam = draw_cam(&r);
    ck_assert_int_eq(dialarc_reuse_share(ws, &t, &with, &against),
                     DIALARC_ERR_NO_SOLUTION);
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        sim_job j = full_sweep(&cam, &r);
        double pitch = 720.0 / cam.lobes, start = j.start_deg;
        j.slack_deg = 3.0;
        j.start_deg = start + cases[k].from * pitch;
        j.end_deg = start + cases[k].to * pitch;
        j.two_way = cases[k].two_way;
        sim_run(&j, &r, sweep);
        dialarc_setup setup = describe(&j, 0);
        dialarc_sweep record = record_of(sweep);
        ck_assert_int_ge(dialarc_timing_estimate(ws, &setup, &record, NULL, &t), 0);
        ck_assert_int_eq(dialarc_reuse_share(ws, &t, &with, &against), DIALARC_OK);
        /* a step, the angle errors and the slack less */
        ck_assert_double_le(with, cases[k].with + 1.0 / pitch);
        ck_assert_double_ge(with, fmin(cases[k].with - 5.0 / pitch, 1.0));
        ck_assert_double_le(against, cases[k].against + 1.0 / pitch);
        ck_assert_double_ge(against, cases[k].against - 5.0 / pitch);
        int whole = with >= DIALARC_REUSE_WHOLE && against >= DIALARC_REUSE_WHOLE;
        ck_assert_int_eq(whole, k == 0);
    }
    ck_assert_int_eq(dialarc_reuse_share(NULL, &t, &with, &against), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_reuse_share(ws, NULL, &with, &against), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_reuse_share(ws, &t, NULL, &against), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_reuse_share(ws, &t, &with, NULL), DIALARC_ERR_NULL);
    dialarc_workspace_free(ws);
    free(sweep);
}
END_TEST

/* 2, 3 and 6 make 7; the TDC mark has no part in it. */
START_TEST(test_sd)
{
    dialarc_timing t = {.cam_learned = 1, .budget = {2e-3, 9.0, 3e-3, 6e-3, 9.0}}, other;
    double sd = -7.0;
    ck_assert_int_eq(dialarc_reuse_sd(&t, &sd), DIALARC_OK);
    ck_assert_double_eq_tol(sd, 7e-3, 1e-17);
    sd = -7.0;
    ck_assert_int_eq(dialarc_reuse_sd(NULL, &sd), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_reuse_sd(&t, NULL), DIALARC_ERR_NULL);
    double *part[] = {&other.budget.readings_mm, &other.budget.hysteresis_mm,
                      &other.budget.cam_mm};
    for (int k = 0; k < 3; k++) {
        other = t;
        *part[k] = DIALARC_UNKNOWN;
        ck_assert_int_eq(dialarc_reuse_sd(&other, &sd), DIALARC_ERR_NO_SOLUTION);
        *part[k] = -1e-9;
        ck_assert_int_eq(dialarc_reuse_sd(&other, &sd), DIALARC_ERR_SD);
    }
    t.cam_learned = 0;
    ck_assert_int_eq(dialarc_reuse_sd(&t, &sd), DIALARC_ERR_NO_SOLUTION);
    ck_assert_double_eq(sd, -7.0);
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
    ck_assert_int_eq(dialarc_reuse_lobe(ws, POINTS, x, y), DIALARC_ERR_NO_SOLUTION);
    learn(ws, &j, &r, sweep, &table);
    ck_assert_int_eq(dialarc_reuse_lobe(NULL, POINTS, x, y), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_reuse_lobe(ws, 15, x, y), DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_reuse_lobe(ws, POINTS, NULL, y), DIALARC_ERR_NULL);
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
    ck_assert_int_eq(dialarc_reuse_lobe(ws, POINTS, x, y), DIALARC_ERR_NO_SOLUTION);
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
    tcase_add_test(c, test_lobe_is_the_cam);
    tcase_add_test(c, test_share);
    tcase_add_test(c, test_sd);
    tcase_add_test(c, test_refusals);
    suite_add_tcase(s, c);
    return darc_run(s);
}
