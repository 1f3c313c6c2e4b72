/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A host that runs out of threads and locks. The linker puts the functions here in place
 * of the C library's, in the library under test as well.
 */
#include <dialarc/batch.h>
#include <errno.h>

#include "kit/batch_kit.h"
#include "many/threads.h"

#ifndef DARC_NO_THREADS
static int mutex_fails, condition_fails, thread_fails;

int __real_pthread_mutex_init(pthread_mutex_t *, const pthread_mutexattr_t *);
int __wrap_pthread_mutex_init(pthread_mutex_t *, const pthread_mutexattr_t *);
int __real_pthread_cond_init(pthread_cond_t *, const pthread_condattr_t *);
int __wrap_pthread_cond_init(pthread_cond_t *, const pthread_condattr_t *);
int __real_pthread_create(pthread_t *, const pthread_attr_t *, void *(*)(void *), void *);
int __wrap_pthread_create(pthread_t *, const pthread_attr_t *, void *(*)(void *), void *);

int __wrap_pthread_mutex_init(pthread_mutex_t *mutex, const pthread_mutexattr_t *kind)
{
    return mutex_fails ? EAGAIN : __real_pthread_mutex_init(mutex, kind);
}

int __wrap_pthread_cond_init(pthread_cond_t *condition, const pthread_condattr_t *kind)
{
    return condition_fails ? EAGAIN : __real_pthread_cond_init(condition, kind);
}

int __wrap_pthread_create(pthread_t *thread, const pthread_attr_t *kind,
                          void *(*work)(void *), void *context)
{
    return thread_fails ? EAGAIN : __real_pthread_create(thread, kind, work, context);
}

static dialarc_status assess(const kit_archive *archive, dialarc_batch_result *result)
{
    const dialarc_batch_options four = {.threads = 4, .chunk = 1};
    memset(result, 0x5a, KIT_SWEEPS * sizeof *result);
    return dialarc_batch_assess(&archive->batch, &four, result);
}

START_TEST(without_locks_nothing_is_done)
{
    enum { N = 3 };
    static dialarc_batch_result result[KIT_SWEEPS], before[KIT_SWEEPS];
    kit_archive *archive = kit_archive_new(N, 0, 5);
    memset(before, 0x5a, sizeof before);
    mutex_fails = 1;
    ck_assert_int_eq(assess(archive, result), DIALARC_ERR_NO_MEMORY);
    ck_assert_mem_eq(result, before, sizeof result);
    mutex_fails = 0;
    condition_fails = 1;
    ck_assert_int_eq(assess(archive, result), DIALARC_ERR_NO_MEMORY);
    ck_assert_mem_eq(result, before, sizeof result);
    condition_fails = 0;
    ck_assert_int_eq(assess(archive, result), DIALARC_OK);
    kit_archive_free(archive);
}
END_TEST

START_TEST(without_helpers_the_caller_works)
{
    enum { N = 10 };
    static dialarc_batch_result helped[KIT_SWEEPS], alone[KIT_SWEEPS];
    kit_archive *archive = kit_archive_new(N, 0, 6);
    ck_assert_int_eq(assess(archive, helped), DIALARC_OK);
    thread_fails = 1;
    ck_assert_int_eq(assess(archive, alone), DIALARC_OK);
    for (size_t i = 0; i < N; i++)
        kit_same_result(&helped[i], &alone[i], i);
    kit_archive_free(archive);
}
END_TEST

START_TEST(how_many_are_wanted)
{
    ck_assert_uint_eq(darc_threads_wanted(3), 3);
    ck_assert_uint_ge(darc_threads_wanted(0), 1);
    ck_assert_uint_eq(darc_threads_wanted(1000000), DIALARC_THREADS_MAX);
}
END_TEST
#endif

int main(void)
{
    Suite *suite = suite_create("threads");
    TCase *tc = tcase_create("short of threads");
#ifndef DARC_NO_THREADS
    tcase_add_test(tc, how_many_are_wanted);
    tcase_add_test(tc, without_locks_nothing_is_done);
    tcase_add_test(tc, without_helpers_the_caller_works);
#endif
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
