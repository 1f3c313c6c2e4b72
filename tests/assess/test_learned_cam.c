/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What one sweep teaches about the cam, against the simulator's cam. */
#include <math.h>
#include <stdlib.h>

#include <dialarc/assess.h>
#include <dialarc/learned_cam.h>
#include <dialarc/tabled_cam.h>

#include "kit/check_main.h"
#include "kit/learned_kit.h"

/* A bench for learning: one workspace, one sweep at a time. */
static dialarc_workspace *ws;
static sim_sweep sweep;

static void open_bench(void)
{
    ws = dialarc_workspace_new();
}

static void close_bench(void)
{
    dialarc_workspace_free(ws);
}

static dialarc_learned_cam *learned_from(const sim_job *j, sim_random *r,
                                         dialarc_timing *t)
{
    dialarc_learned_cam *cam = NULL;
    sim_run(j, r, &sweep);
    dialarc_setup setup = describe(j, 0);
    dialarc_sweep record = record_of(&sweep);
    ck_assert_int_ge(dialarc_learned_cam_new(ws, &setup, &record, &cam), 0);
    ck_assert_ptr_nonnull(cam);
    ck_assert_int_eq(dialarc_learned_cam_timing(cam, t), DIALARC_OK);
    return cam;
}

START_TEST(the_lobe_is_the_cam)
{
    sim_random r;
    dialarc_timing t;
    double angle[POINTS], lift[POINTS];
    sim_seed(&r, 5);
    sim_cam truth = draw_cam(&r);
    sim_job j = full_sweep(&truth, &r);
    dialarc_learned_cam *cam = learned_from(&j, &r, &t);
    ck_assert_int_eq(dialarc_learned_cam_lobe(cam, POINTS, angle, lift), DIALARC_OK);
    ck_assert_double_eq_tol(angle[1], 360.0 / truth.lobes / POINTS, 1e-12);
    for (int k = 0; k < POINTS; k++)
        ck_assert_double_eq_tol(lift[k], sim_lift(&truth, angle[k]), 0.02);
    /* and as a cam for everything that takes one */
    dialarc_camtable *table = NULL;
    dialarc_cam lobe;
    double one;
    ck_assert_int_eq(dialarc_learned_cam_table(cam, &table), DIALARC_OK);
    ck_assert_int_eq(dialarc_cam_from_table(table, &lobe), DIALARC_OK);
    ck_assert_int_eq(lobe.lobes, truth.lobes);
    for (double at = 0.5; at < 360.0; at += 7.7) {
        ck_assert_int_eq(dialarc_cam_lift(&lobe, at, &one), DIALARC_OK);
        ck_assert_double_eq_tol(one, sim_lift(&truth, at), 0.02);
    }
    ck_assert_int_eq(dialarc_learned_cam_table(NULL, &table), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_learned_cam_table(cam, NULL), DIALARC_ERR_NULL);
    dialarc_camtable_free(table);
    dialarc_learned_cam_free(cam);
}
END_TEST

/* What has been learned does not change with what the workspace is used for next. */
START_TEST(the_handle_stands_alone)
{
    sim_random r;
    dialarc_timing t;
    double angle[POINTS], before[POINTS], after[POINTS];
    sim_seed(&r, 7);
    sim_cam one = draw_cam(&r), two = draw_cam(&r);
    sim_job first = full_sweep(&one, &r), second = full_sweep(&two, &r);
    dialarc_learned_cam *cam = learned_from(&first, &r, &t);
    dialarc_learned_cam_lobe(cam, POINTS, angle, before);
    dialarc_learned_cam_free(learned_from(&second, &r, &t));
    close_bench();
    dialarc_learned_cam_lobe(cam, POINTS, angle, after);
    for (int k = 0; k < POINTS; k++)
        ck_assert_double_eq(before[k], after[k]);
    dialarc_learned_cam_free(cam);
    open_bench();
}
END_TEST

/* Shares of the lobe by the way that the simulated crank went. */
START_TEST(shares_of_the_lobe)
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
    dialarc_timing t;
    sim_seed(&r, 9);
    sim_cam truth = draw_cam(&r);
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        sim_job j = full_sweep(&truth, &r);
        double pitch = 720.0 / truth.lobes, start = j.start_deg, with, against;
        j.slack_deg = 3.0;
        j.start_deg = start + cases[k].from * pitch;
        j.end_deg = start + cases[k].to * pitch;
        j.two_way = cases[k].two_way;
        dialarc_learned_cam *cam = learned_from(&j, &r, &t);
        ck_assert_int_eq(dialarc_learned_cam_share(cam, &with, &against), DIALARC_OK);
        /* a step, the angle errors and the slack less */
        ck_assert_double_le(with, cases[k].with + 1.0 / pitch);
        ck_assert_double_ge(with, fmin(cases[k].with - 5.0 / pitch, 1.0));
        ck_assert_double_le(against, cases[k].against + 1.0 / pitch);
        ck_assert_double_ge(against, cases[k].against - 5.0 / pitch);
        int whole =
            with >= DIALARC_LEARNED_CAM_WHOLE && against >= DIALARC_LEARNED_CAM_WHOLE;
        ck_assert_int_eq(whole, k == 0);
        dialarc_learned_cam_free(cam);
    }
}
END_TEST

/* The TDC mark has no part in the uncertainty of the cam: JCGM 100:2008, 5.1.2. */
START_TEST(uncertainty_without_the_mark)
{
    sim_random r;
    dialarc_timing t;
    double sd;
    sim_seed(&r, 11);
    sim_cam truth = draw_cam(&r);
    sim_job j = full_sweep(&truth, &r);
    dialarc_learned_cam *cam = learned_from(&j, &r, &t);
    const dialarc_budget *b = &t.budget;
    ck_assert_int_eq(dialarc_learned_cam_sd(cam, &sd), DIALARC_OK);
    ck_assert_double_eq_tol(
        sd * sd,
        b->readings_mm * b->readings_mm + b->hysteresis_mm * b->hysteresis_mm +
            b->cam_mm * b->cam_mm + b->dial_mm * b->dial_mm + b->wheel_mm * b->wheel_mm,
        1e-15);
    ck_assert_double_gt(sd, 0.0);
    dialarc_learned_cam_free(cam);
}
END_TEST

START_TEST(refusals)
{
    sim_random r;
    dialarc_timing t;
    double x[POINTS], y[POINTS], with = -7.0, against = -7.0;
    sim_seed(&r, 6);
    sim_cam truth = draw_cam(&r);
    sim_job j = full_sweep(&truth, &r);
    dialarc_learned_cam *cam = learned_from(&j, &r, &t), *none = NULL;
    dialarc_setup known = describe(&j, 1), unknown = describe(&j, 0);
    dialarc_sweep record = record_of(&sweep);
    /* a cam that is given, and agrees with the readings, is not learned */
    ck_assert_int_eq(dialarc_learned_cam_new(ws, &known, &record, &none),
                     DIALARC_ERR_NO_SOLUTION);
    ck_assert_ptr_null(none);
    record.n = 3;
    ck_assert_int_eq(dialarc_learned_cam_new(ws, &unknown, &record, &none),
                     DIALARC_ERR_NO_SOLUTION);
    const dialarc_status null = DIALARC_ERR_NULL;
    ck_assert_int_eq(dialarc_learned_cam_new(NULL, &unknown, &record, &none), null);
    ck_assert_int_eq(dialarc_learned_cam_new(ws, NULL, &record, &none), null);
    ck_assert_int_eq(dialarc_learned_cam_new(ws, &unknown, NULL, &none), null);
    ck_assert_int_eq(dialarc_learned_cam_new(ws, &unknown, &record, NULL), null);
    unknown.lobes = 0;
    ck_assert_int_eq(dialarc_learned_cam_new(ws, &unknown, &record, &none),
                     DIALARC_ERR_LOBES);
    ck_assert_int_eq(dialarc_learned_cam_timing(NULL, &t), null);
    ck_assert_int_eq(dialarc_learned_cam_timing(cam, NULL), null);
    ck_assert_int_eq(dialarc_learned_cam_lobe(NULL, POINTS, x, y), null);
    ck_assert_int_eq(dialarc_learned_cam_lobe(cam, POINTS, NULL, y), null);
    ck_assert_int_eq(dialarc_learned_cam_lobe(cam, POINTS, x, NULL), null);
    ck_assert_int_eq(dialarc_learned_cam_lobe(cam, 15, x, y), DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_learned_cam_lobe(cam, 100001, x, y), DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_learned_cam_share(NULL, &with, &against), null);
    ck_assert_int_eq(dialarc_learned_cam_share(cam, NULL, &against), null);
    ck_assert_int_eq(dialarc_learned_cam_share(cam, &with, NULL), null);
    ck_assert_double_eq(with, -7.0);
    ck_assert_double_eq(against, -7.0);
    ck_assert_int_eq(dialarc_learned_cam_sd(NULL, &with), null);
    ck_assert_int_eq(dialarc_learned_cam_sd(cam, NULL), null);
    dialarc_learned_cam_free(cam);
    dialarc_learned_cam_free(NULL);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("learned_cam");
    TCase *c = tcase_create("learned cam");
    tcase_set_timeout(c, 600);
    tcase_add_checked_fixture(c, open_bench, close_bench);
    tcase_add_test(c, the_lobe_is_the_cam);
    tcase_add_test(c, the_handle_stands_alone);
    tcase_add_test(c, shares_of_the_lobe);
    tcase_add_test(c, uncertainty_without_the_mark);
    tcase_add_test(c, refusals);
    suite_add_tcase(s, c);
    return darc_run(s);
}
