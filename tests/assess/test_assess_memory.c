/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A workspace of which allocations failed, and one that has grown; test_memory.c has the
 * paths from the beginning.
 */
#include <dialarc/assess.h>

#include "kit/check_main.h"
#include "kit/memory_kit.h"
#include "kit/timing_kit.h"

/* The good sweep with directions, which have to be put in order. */
static dialarc_sweep backwards(const sim_job *job)
{
    static double crank[SIM_MAX], dial[SIM_MAX];
    static dialarc_direction direction[SIM_MAX];
    dialarc_sweep s = good_sweep(job);
    for (size_t i = 0; i < s.n; i++) {
        crank[i] = s.crank_deg[s.n - 1 - i];
        dial[i] = s.dial_mm[s.n - 1 - i];
        direction[i] = i < s.n / 2 ? DIALARC_DIRECTION_AGAINST : DIALARC_DIRECTION_WITH;
    }
    return (dialarc_sweep){s.n, crank, dial, direction};
}

/* A failure leaves the workspace as good as new. */
static void check_failures(const dialarc_setup *setup, const dialarc_sweep *s)
{
    dialarc_timing t = {.lift_mm = -7.0};
    dialarc_workspace *ws = dialarc_workspace_new();
    for (int failing = 0;; failing++) {
        memory_watch(failing);
        dialarc_status status = dialarc_timing_estimate(ws, setup, s, NULL, &t);
        if (!memory_ignore()) {
            ck_assert_int_eq(status, DIALARC_OK);
            ck_assert_int_ge(failing, 1);
            break;
        }
        ck_assert_int_eq(status, DIALARC_ERR_NO_MEMORY);
        ck_assert_double_eq(t.lift_mm, -7.0);
    }
    dialarc_timing again = timing_of(setup, s);
    check_same_bits(&t, &again);
    memory_watch(-1);
    dialarc_workspace_free(ws);
    memory_ignore();
    ck_assert_int_lt(memory_living(), 0); /* it was made before counting */
}

START_TEST(a_workspace_outlives_a_failure)
{
    sim_job job = good_job();
    for (int known = 0; known < 2; known++) {
        dialarc_setup setup = kit_setup(&job, known);
        dialarc_sweep s = good_sweep(&job);
        check_failures(&setup, &s);
        s = backwards(&job);
        check_failures(&setup, &s);
    }
}
END_TEST

START_TEST(no_memory_no_workspace)
{
    memory_watch(0);
    dialarc_workspace *ws = dialarc_workspace_new();
    memory_ignore();
    ck_assert_ptr_null(ws);
}
END_TEST

/* Once a workspace has grown, sweeps of that size allocate nothing. */
START_TEST(a_used_workspace_allocates_nothing)
{
    sim_job job = good_job();
    dialarc_timing t;
    dialarc_workspace *ws = dialarc_workspace_new();
    for (int known = 1; known >= 0; known--) {
        dialarc_setup setup = kit_setup(&job, known);
        dialarc_sweep s = good_sweep(&job);
        for (int k = 0; k < 2; k++) {
            memory_watch(-1);
            ck_assert_int_eq(dialarc_timing_estimate(ws, &setup, &s, NULL, &t), 0);
            memory_ignore();
        }
        ck_assert_int_eq(memory_asked(), 0);
    }
    dialarc_workspace_free(ws);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("timing_memory");
    TCase *tc = tcase_create("memory");
    tcase_add_test(tc, a_workspace_outlives_a_failure);
    tcase_add_test(tc, no_memory_no_workspace);
    tcase_add_test(tc, a_used_workspace_allocates_nothing);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
