/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Dials, degree wheels and cams that are not what they should be: U covers the truth when
 * their errors are stated, and when they are within what is assumed of a blank.
 */
#include <math.h>

#include <dialarc/assess.h>

#include "kit/check_main.h"
#include "kit/sweep_kit.h"

#define SWEEPS 150
#define LEAST  0.90 /* of the sweeps: 93 % less twice the sd of such a share */

typedef struct wrong {
    double scale, needle_mm, wheel_deg, rise_deg;
} wrong;

typedef enum kind { PERFECT, STATED, BLANK } kind;

/* Largest error of indication over the lift of the cam, from the minimum on. */
static double largest(const sim_job *j)
{
    const sim_faults *f = &j->faults;
    double most = 0.0;
    for (int k = 0; k <= 500; k++) {
        double x = j->cam.lift_mm * k / 500.0;
        double turn = 2.0 * acos(-1.0) * x / j->dial_turn_mm;
        double e = f->turn_error_mm * (sin(turn + f->turn_phase) - sin(f->turn_phase));
        most = fmax(most, fabs((x + e) * (1.0 + f->scale) - x));
    }
    return most;
}

static dialarc_setup setup_of(const sim_job *j, const wrong *w, int known, kind told)
{
    dialarc_setup s = kit_setup(j, known); /* which says that there are no such errors */
    if (told == STATED) {
        s.dial_error_mm = largest(j);
        s.wheel_error_deg = w->wheel_deg;
        s.rise_sd_deg = w->rise_deg;
    } else if (told == BLANK) {
        s.dial_error_mm = s.wheel_error_deg = DIALARC_UNKNOWN;
        s.cam_sd_mm = s.rise_sd_deg = DIALARC_UNKNOWN;
    }
    return s;
}

/* Share of sweeps whose U covers the truth. */
static double cover(const wrong *w, int known, int two_way, kind told, uint64_t seed)
{
    static sim_sweep sweep;
    dialarc_workspace *workspace = dialarc_workspace_new();
    int covered = 0, sweeps = kit_count(known ? SWEEPS : SWEEPS / 3);
    for (int k = 0; k < sweeps; k++) {
        sim_random r;
        sim_seed(&r, seed + (uint64_t)k);
        sim_job j = kit_job(&r);
        dialarc_timing t;
        j.two_way = two_way;
        double sign = sim_integer(&r, 0, 1) ? 1.0 : -1.0;
        j.faults.scale = sign * w->scale;
        j.faults.turn_error_mm = w->needle_mm;
        j.faults.turn_phase = sim_uniform(&r, 0.0, 6.283);
        j.faults.wheel_error_deg = w->wheel_deg;
        j.faults.wheel_phase = sim_uniform(&r, 0.0, 6.283);
        dialarc_setup s = setup_of(&j, w, known, told);
        if (known)
            s.rise_deg += sign * w->rise_deg;
        sim_run(&j, &r, &sweep);
        dialarc_sweep readings = kit_sweep(&sweep);
        ck_assert_int_ge(dialarc_timing_estimate(workspace, &s, &readings, NULL, &t),
                         DIALARC_OK);
        covered += fabs(t.lift_mm - sweep.lift_tdc_mm) <= t.lift_u_mm;
    }
    dialarc_workspace_free(workspace);
    return (double)covered / sweeps;
}

static void check_cover(const wrong *w, kind told)
{
    for (int way = 0; way < 3; way++) {
        double share = cover(w, way < 2, way != 1, told, 90001u + 1000u * (unsigned)way);
        ck_assert_msg(share >= LEAST, "way %d: %.3f", way, share);
    }
}

/* The errors that no reading shows: without a word of them U is far too small. */
START_TEST(they_matter)
{
    const wrong askew = {.scale = 0.0154};
    ck_assert_double_lt(cover(&askew, 1, 1, PERFECT, 90001u), 0.5);
    ck_assert_double_lt(cover(&askew, 1, 1, BLANK, 90001u), 0.7);
}
END_TEST

START_TEST(stated_errors_are_covered)
{
    const wrong all[] = {{.scale = 0.0154},
                         {.scale = 0.005},
                         {.needle_mm = 0.010},
                         {.wheel_deg = 0.5},
                         {.rise_deg = 1.0}};
    for (size_t k = 0; k < sizeof all / sizeof all[0]; k++)
        check_cover(&all[k], STATED);
}
END_TEST

/* Square within 5 degrees, once a turn within JIS B 7503:2011, a wheel centred to 0.4 mm
 * on a radius of 100: common practice, no source. */
START_TEST(usual_errors_are_assumed)
{
    const wrong all[] = {
        {.scale = 0.0038}, {.needle_mm = 0.004}, {.wheel_deg = 0.25}, {.rise_deg = 0.4}};
    for (size_t k = 0; k < sizeof all / sizeof all[0]; k++)
        check_cover(&all[k], BLANK);
}
END_TEST

/* Each line of the budget is there where its error is, and they sum up. */
START_TEST(lines_of_the_budget)
{
    static sim_sweep sweep;
    sim_random r;
    sim_seed(&r, 77);
    sim_job j = kit_job(&r);
    sim_run(&j, &r, &sweep);
    dialarc_sweep readings = kit_sweep(&sweep);
    dialarc_workspace *workspace = dialarc_workspace_new();
    for (int known = 0; known < 2; known++)
        for (int what = 0; what < 4; what++) {
            dialarc_timing t;
            dialarc_setup s = kit_setup(&j, known);
            s.tdc_sd_deg = 0.05;
            s.dial_error_mm = what == 1 ? 0.01 : 0.0;
            s.wheel_error_deg = what == 2 ? 0.4 : 0.0;
            s.cam_sd_mm = what == 3 ? 0.004 : 0.0;
            ck_assert_int_eq(dialarc_timing_estimate(workspace, &s, &readings, NULL, &t),
                             DIALARC_OK);
            const dialarc_budget *b = &t.budget;
            double sum = hypot(hypot(b->readings_mm, b->tdc_mm),
                               hypot(b->hysteresis_mm, b->cam_mm));
            sum = hypot(sum, hypot(b->dial_mm, b->wheel_mm));
            ck_assert_double_eq_tol(sum, b->total_mm, 1e-12);
            ck_assert((b->dial_mm > 1e-4) == (what == 1));
            ck_assert((b->wheel_mm > 1e-5) == (what == 2));
            if (known && what == 3)
                ck_assert_double_eq_tol(b->cam_mm, 0.004, 1e-12);
            else if (known)
                ck_assert_double_eq(b->cam_mm, 0.0);
        }
    dialarc_workspace_free(workspace);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("assess_instruments");
    TCase *c = tcase_create("assess_instruments");
    tcase_set_timeout(c, 300);
    tcase_add_test(c, they_matter);
    tcase_add_test(c, stated_errors_are_covered);
    tcase_add_test(c, usual_errors_are_assumed);
    tcase_add_test(c, lines_of_the_budget);
    suite_add_tcase(s, c);
    return darc_run(s);
}
