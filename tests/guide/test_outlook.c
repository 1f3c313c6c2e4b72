/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings that nobody has taken: what the estimate makes of them. */
#include "guide/outlook.h"

#include <dialarc/assess.h>

#include "kit/guide_kit.h"

/* The estimate finds in them the lift and the slack that were thought of. */
START_TEST(readings_say_what_was_thought_of)
{
    static darc_memory memory;
    dialarc_workspace *ws = dialarc_workspace_new();
    sim_random r;
    sim_seed(&r, 17);
    for (int k = 0; k < kit_count(40); k++) {
        sim_job job = kit_pump(&r);
        dialarc_setup setup = kit_setup(&job, 1);
        double crank[KIT_MOST], dial[KIT_MOST];
        const dialarc_reach reach = kit_reach(&job, 1);
        const darc_guess guess = {0.88, 5.0, DIALARC_LAW_UNKNOWN, 0.0};
        darc_problem problem;
        dialarc_timing t;
        kit_even(&reach, 40, crank);
        setup.dial_sense = k % 2 ? 1 : -1;
        setup.dial_step_mm = 0.0;
        ck_assert_int_eq(
            darc_outlook_open(&memory, &setup, &guess, 40, crank, dial, &problem),
            DIALARC_OK);
        const dialarc_sweep sweep = {40, crank, dial, NULL};
        ck_assert_int_eq(dialarc_timing_estimate(ws, &setup, &sweep, NULL, &t),
                         DIALARC_OK);
        ck_assert_double_eq_tol(t.lift_mm, 0.88, 2e-4);
        ck_assert_double_eq_tol(t.slack_crank_deg, 5.0, 0.05);
        ck_assert_double_eq_tol(t.scatter, 0.0, 0.1);
    }
    dialarc_workspace_free(ws);
    darc_memory_release(&memory);
}
END_TEST

START_TEST(lifts_that_the_cam_has_not)
{
    static const double crank[] = {-80.0, -40.0, -20.0, 0.0, 10.0, 20.0};
    static const double lift[] = {0.0, -0.1, 2.5, 100.0};
    static darc_memory memory;
    double dial[6];
    dialarc_setup setup = dialarc_setup_unknown(4);
    darc_problem problem;
    setup.cam_lift_mm = 2.4;
    for (int k = 0; k < 4; k++) {
        const darc_guess guess = {lift[k], 3.0, DIALARC_LAW_HARMONIC, 0.0};
        ck_assert_int_eq(
            darc_outlook_open(&memory, &setup, &guess, 6, crank, dial, &problem),
            DIALARC_ERR_LIFT);
    }
    darc_memory_release(&memory);
}
END_TEST

/* The weight of a reading is its information, the mean square of the slope of its log
 * likelihood: by simulation of readings that are rounded. */
START_TEST(weight_is_information)
{
    static const double step[] = {0.0, 0.002, 0.01};
    const int n = kit_count(200000);
    sim_random r;
    sim_seed(&r, 23);
    for (int k = 0; k < 3; k++) {
        const darc_noise noise = {
            .dial_sd_mm = 0.003, .step_mm = step[k], .turn_mm = 1.0};
        const darc_row row = {.slope = 0.0};
        double square = 0.0;
        for (int i = 0; i < n; i++) {
            double mean = sim_uniform(&r, 0.0, 0.01);
            double read = mean + 0.003 * sim_normal(&r);
            if (step[k] > 0.0)
                read = step[k] * floor(read / step[k] + 0.5);
            double g = darc_reading_pull(&noise, 0.0, read, mean, 0.003).g;
            square += g * g / n;
        }
        ck_assert_double_eq_tol(darc_outlook_weight(&noise, &row) / square, 1.0,
                                0.01 + 4.0 / sqrt(n));
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("outlook");
    TCase *tc = tcase_create("outlook");
    tcase_add_test(tc, readings_say_what_was_thought_of);
    tcase_add_test(tc, lifts_that_the_cam_has_not);
    tcase_add_test(tc, weight_is_information);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
