/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Every allocation of the pluck fails once: the answer is DIALARC_ERR_NO_MEMORY, and
 * nothing leaks. The linker puts the functions below in place of the C library's.
 */
#include <dialarc/pluck.h>
#include <stdlib.h>

#include "check_main.h"
#include "pluck_sim.h"

void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void __real_free(void *old);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void __wrap_free(void *old);

static int counting, until_failure;
static long living;

static void *count(void *made)
{
    living += counting && made != NULL;
    return made;
}

/* Whether this is the one that fails. */
static int fails(void)
{
    return counting && until_failure-- == 0;
}

void *__wrap_malloc(size_t size)
{
    return fails() ? NULL : count(__real_malloc(size));
}

void *__wrap_calloc(size_t number, size_t size)
{
    return fails() ? NULL : count(__real_calloc(number, size));
}

void __wrap_free(void *old)
{
    living -= counting && old != NULL;
    __real_free(old);
}

/* Listens to a clear pluck with the allocation number `failing` refused. */
static dialarc_status listen(int failing)
{
    static double sample[8000];
    const pluck_sim clear = {.seed = 5,
                             .rate_hz = 8000.0,
                             .seconds = 1.0,
                             .onset_s = 0.2,
                             .hz = 120.0,
                             .decay_s = 0.1,
                             .place = 0.3,
                             .snr_db = 20.0,
                             .hum = 0.3,
                             .mains_hz = 50.0};
    dialarc_pluck p;
    pluck_simulate(&clear, 8000, sample);
    until_failure = failing;
    living = 0;
    counting = 1;
    dialarc_status status =
        dialarc_pluck_frequency(8000, sample, 8000.0, 20.0, 600.0, &p);
    counting = 0;
    return status;
}

START_TEST(every_allocation_may_fail)
{
    dialarc_status status = DIALARC_ERR_NO_MEMORY;
    int n = 0;
    for (; n < 100 && status == DIALARC_ERR_NO_MEMORY; n++) {
        status = listen(n);
        ck_assert_int_eq(living, 0);
    }
    ck_assert_int_eq(status, DIALARC_OK);
    ck_assert_int_ge(n, 4); /* at least three places can fail */
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("pluck_memory");
    TCase *tests = tcase_create("pluck_memory");
    tcase_set_timeout(tests, 300.0);
    tcase_add_test(tests, every_allocation_may_fail);
    suite_add_tcase(suite, tests);
    return darc_run(suite);
}
