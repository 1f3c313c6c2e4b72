/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Every allocation of the cam table fails once: the answer is DIALARC_ERR_NO_MEMORY, and
 * nothing leaks. The linker puts the functions below in place of the C library's.
 */
#include <dialarc/camtable.h>

#include "check_main.h"

void *__real_malloc(size_t size);
void __real_free(void *old);
void *__wrap_malloc(size_t size);
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

void __wrap_free(void *old)
{
    living -= counting && old != NULL;
    __real_free(old);
}

START_TEST(a_failed_allocation_is_told_and_leaks_nothing)
{
    const dialarc_cam cam = {4, 2.2, 35.0, 5.0, 10.0, DIALARC_LAW_POLY345, 0, 0.0};
    dialarc_camtable *table = NULL;
    dialarc_status status = DIALARC_ERR_NO_MEMORY;
    int failures = -1;
    while (status == DIALARC_ERR_NO_MEMORY) {
        ck_assert_ptr_null(table);
        until_failure = ++failures;
        counting = 1;
        status = dialarc_camtable_from_cam(&cam, 50, &table);
        counting = 0;
        ck_assert_int_eq(living == 0, status != DIALARC_OK);
    }
    ck_assert_int_eq(status, DIALARC_OK);
    ck_assert_int_eq(failures, 4); /* points, table, its arrays, work */
    until_failure = -1;
    counting = 1;
    dialarc_camtable_free(table);
    counting = 0;
    ck_assert_int_eq(living, 0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("camtable_memory");
    TCase *tests = tcase_create("camtable_memory");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, a_failed_allocation_is_told_and_leaks_nothing);
    return darc_run(suite);
}
