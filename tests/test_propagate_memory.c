/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Every allocation of a propagation fails once: the answer is DIALARC_ERR_NO_MEMORY, and
 * nothing leaks. The linker puts the functions below in place of the C library's.
 */
#include <dialarc/propagate.h>
#include <stdlib.h>

#include "check_main.h"

void *__real_calloc(size_t n, size_t size);
void __real_free(void *old);
void *__wrap_calloc(size_t n, size_t size);
void __wrap_free(void *old);

static int counting, until_failure;
static long living;

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

static double sum(const double *x, void *context)
{
    (void)context;
    return x[0] + x[1];
}

static const dialarc_input input[] = {{.shape = DIALARC_SHAPE_NORMAL, .spread = 1.0},
                                      {.shape = DIALARC_SHAPE_ARCSINE, .spread = 1.0}};

static dialarc_status by_monte_carlo(void)
{
    dialarc_propagation p;
    return dialarc_propagate_monte_carlo(2, input, sum, NULL, 1000, 1, 0.95, &p);
}

static dialarc_status to_first_order(void)
{
    double value, sd;
    return dialarc_propagate_linear(2, input, sum, NULL, NULL, &value, &sd);
}

/* Calls until no allocation fails any more; returns how many did. */
static int failures(dialarc_status (*call)(void))
{
    dialarc_status status = DIALARC_ERR_NO_MEMORY;
    int failed = -1;
    while (status == DIALARC_ERR_NO_MEMORY) {
        until_failure = ++failed;
        counting = 1;
        status = call();
        counting = 0;
        ck_assert_int_eq(living, 0);
    }
    ck_assert_int_eq(status, DIALARC_OK);
    return failed;
}

START_TEST(a_failed_allocation_is_told_and_leaks_nothing)
{
    ck_assert_int_eq(failures(by_monte_carlo), 3); /* inputs, values, generator */
    ck_assert_int_eq(failures(to_first_order), 1);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("propagate_memory");
    TCase *tc = tcase_create("propagate_memory");
    suite_add_tcase(suite, tc);
    tcase_add_test(tc, a_failed_allocation_is_told_and_leaks_nothing);
    return darc_run(suite);
}
