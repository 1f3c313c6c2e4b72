/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Memory for estimates: it grows, it stays, and nothing is held when it is short. */
#include <math.h>
#include <string.h>

#include "estimate/memory.h"
#include "kit/check_main.h"
#include "kit/memory_kit.h"

/* Every reading has room; a smaller sweep moves nothing. */
START_TEST(it_grows_and_stays)
{
    darc_memory m = {.capacity = 0};
    ck_assert_int_eq(darc_memory_reserve(&m, 0), DIALARC_OK);
    ck_assert_uint_gt(m.capacity, 0);
    ck_assert_int_eq(darc_memory_reserve(&m, 1000), DIALARC_OK);
    ck_assert_uint_ge(m.capacity, 1000);
    m.readings.row[999] = 1;
    m.copy.lift_mm[999] = m.pump_crank_deg[999] = m.sample_mm[999] = 2.0;
    m.fit.at.rows[999].mean = m.other.at.pulls[999].g = m.trial.at.rows[999].mean = 3.0;
    const void *kept = m.fit.at.rows;
    size_t capacity = m.capacity;
    ck_assert_int_eq(darc_memory_reserve(&m, 999), DIALARC_OK);
    ck_assert_ptr_eq(m.fit.at.rows, kept);
    ck_assert_uint_eq(m.capacity, capacity);
    darc_memory_release(&m);
    ck_assert_uint_eq(m.capacity, 0);
}
END_TEST

static dialarc_status reserve(void *result)
{
    darc_memory m = {.capacity = 0};
    (void)result;
    dialarc_status status = darc_memory_reserve(&m, 100);
    ck_assert((status == DIALARC_OK) == (m.capacity > 0));
    darc_memory_release(&m);
    return status;
}

START_TEST(each_allocation_may_fail)
{
    char unused = 0;
    ck_assert_int_gt(memory_each_fails(reserve, &unused, sizeof unused), 15);
}
END_TEST

/* A sweep that is too long is refused before anything is asked for. */
START_TEST(too_long_a_sweep)
{
    darc_memory m = {.capacity = 0};
    darc_problem problem;
    const dialarc_setup setup = dialarc_setup_unknown(4);
    const dialarc_sweep sweep = {DIALARC_SWEEP_MAX + 1, NULL, NULL, NULL};
    ck_assert_int_eq(darc_memory_open(&m, &setup, NULL, 0.0, &sweep, &problem),
                     DIALARC_ERR_SIZE);
    ck_assert_int_eq(darc_memory_open_turn(&m, &setup, &sweep, &problem),
                     DIALARC_ERR_SIZE);
    ck_assert_uint_eq(m.capacity, 0);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("memory");
    TCase *c = tcase_create("memory");
    tcase_add_test(c, it_grows_and_stays);
    tcase_add_test(c, each_allocation_may_fail);
    tcase_add_test(c, too_long_a_sweep);
    suite_add_tcase(s, c);
    return darc_run(s);
}
