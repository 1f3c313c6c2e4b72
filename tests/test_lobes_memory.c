/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Every allocation of a whole-turn estimate fails once: the answer is
 * DIALARC_ERR_NO_MEMORY, the result stays as it was, and nothing leaks. The linker puts
 * the functions below in place of the C library's.
 */
#include <stdlib.h>

#include "check_main.h"
#include "lobes_kit.h"

void *__real_malloc(size_t size);
void *__real_calloc(size_t n, size_t size);
void __real_free(void *old);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t n, size_t size);
void __wrap_free(void *old);

static int counting, until_failure;
static long living;

void *__wrap_malloc(size_t size)
{
    if (counting && until_failure-- == 0)
        return NULL;
    void *made = __real_malloc(size);
    living += counting && made != NULL;
    return made;
}

void *__wrap_calloc(size_t n, size_t size)
{
    if (counting && until_failure-- == 0)
        return NULL;
    void *made = __real_calloc(n, size);
    living += counting && made != NULL;
    return made;
}

void __wrap_free(void *old)
{
    living -= counting && old != NULL;
    __real_free(old);
}

START_TEST(no_allocation_is_trusted)
{
    static sim_sweep sweep;
    sim_job j = kit_pump(1.0);
    kit_measure(&j, 1, 1, &sweep);
    dialarc_setup setup = kit_setup(&j, 1);
    dialarc_sweep record = kit_sweep(&sweep);
    dialarc_lobes got = {.lobes = -7};
    dialarc_status status = DIALARC_ERR_NO_MEMORY;
    int failed = -1;
    while (status == DIALARC_ERR_NO_MEMORY) {
        living = 0;
        until_failure = ++failed;
        counting = 1;
        dialarc_workspace *w = dialarc_workspace_new();
        if (w)
            status = dialarc_lobes_estimate(w, &setup, &record, NULL, &got);
        dialarc_workspace_free(w);
        counting = 0;
        ck_assert_int_eq(living, 0);
        ck_assert(status == DIALARC_OK || got.lobes == -7);
    }
    ck_assert_int_eq(status, DIALARC_OK);
    ck_assert_int_eq(failed, 9); /* workspace, seven arrays, normal equations */
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("memory of whole turns");
    TCase *tc = tcase_create("allocations");
    tcase_add_test(tc, no_allocation_is_trusted);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
