/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Every allocation of the estimate fails once: the answer is DIALARC_ERR_NO_MEMORY, the
 * result is untouched, the workspace works again, and nothing leaks. The linker puts the
 * functions below in place of the C library's.
 */
#include <dialarc/timing.h>

#include "check_main.h"
#include "timing_kit.h"

void *__real_malloc(size_t size);
void *__real_calloc(size_t n, size_t size);
void __real_free(void *old);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t n, size_t size);
void __wrap_free(void *old);

static int counting, until_failure;
static long living, made_in_all;

static void *count(void *made)
{
    living += counting && made != NULL;
    made_in_all += counting && made != NULL;
    return made;
}

void *__wrap_malloc(size_t size)
{
    return counting && until_failure-- == 0 ? NULL : count(__real_malloc(size));
}

void *__wrap_calloc(size_t n, size_t size)
{
    return counting && until_failure-- == 0 ? NULL : count(__real_calloc(n, size));
}

void __wrap_free(void *old)
{
    living -= counting && old != NULL;
    __real_free(old);
}

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

START_TEST(a_failed_allocation_is_told_and_leaks_nothing)
{
    sim_job job = good_job();
    dialarc_setup setup = kit_setup(&job, 1);
    dialarc_sweep s = backwards(&job);
    dialarc_timing t = {.lift_mm = -7.0};
    dialarc_status status = DIALARC_ERR_NO_MEMORY;
    int failures = -1;
    dialarc_workspace *ws = dialarc_workspace_new();
    while (status == DIALARC_ERR_NO_MEMORY) {
        ck_assert_double_eq(t.lift_mm, -7.0);
        until_failure = ++failures;
        counting = 1;
        status = dialarc_timing_estimate(ws, &setup, &s, NULL, &t);
        counting = 0;
        ck_assert_int_lt(failures, 50);
    }
    ck_assert_int_eq(status, DIALARC_OK);
    ck_assert_int_ge(failures, 3);
    dialarc_timing again = timing_of(&setup, &s);
    check_same_bits(&t, &again);
    counting = 1;
    dialarc_workspace_free(ws);
    counting = 0;
    ck_assert_int_eq(living, -1); /* the workspace itself was made before counting */
}
END_TEST

START_TEST(no_memory_no_workspace)
{
    counting = 1;
    until_failure = 0;
    dialarc_workspace *ws = dialarc_workspace_new();
    counting = 0;
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
        until_failure = -1;
        for (int k = 0; k < 2; k++) {
            made_in_all = 0;
            counting = 1;
            ck_assert_int_eq(dialarc_timing_estimate(ws, &setup, &s, NULL, &t), 0);
            counting = 0;
        }
        ck_assert_int_eq(made_in_all, 0);
    }
    dialarc_workspace_free(ws);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("timing_memory");
    TCase *tc = tcase_create("memory");
    tcase_add_test(tc, a_failed_allocation_is_told_and_leaks_nothing);
    tcase_add_test(tc, no_memory_no_workspace);
    tcase_add_test(tc, a_used_workspace_allocates_nothing);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
