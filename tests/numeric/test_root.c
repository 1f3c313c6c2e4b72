/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "numeric/root.h"

#include <float.h>
#include <math.h>

#include "kit/check_main.h"

/* x^3 less the number in the context. */
static void cube(double x, const void *context, double *value, double *slope)
{
    *value = x * x * x - *(const double *)context;
    *slope = 3.0 * x * x;
}

/* A jump from -1 to 1 at 0, with no slope to follow. */
static void jump(double x, const void *context, double *value, double *slope)
{
    (void)context;
    *value = x < 0.0 ? -1.0 : 1.0;
    *slope = 0.0;
}

/* Cube roots by their powers: of 2 to 17 digits, recomputed with 30. */
START_TEST(cube_roots)
{
    const double two = 2.0, eight = 8.0;
    ck_assert_double_eq_tol(darc_root(cube, &two, 0.0, 2.0, 1.0), 1.2599210498948732,
                            DBL_EPSILON);
    ck_assert_double_eq_tol(darc_root(cube, &eight, 0.0, 10.0, 10.0), 2.0, DBL_EPSILON);
}
END_TEST

/* From the flat of the curve Newton's step leads out of the interval. */
START_TEST(from_where_there_is_no_slope)
{
    const double two = 2.0;
    ck_assert_double_eq_tol(darc_root(cube, &two, -1.0, 2.0, 0.0), 1.2599210498948732,
                            DBL_EPSILON);
}
END_TEST

START_TEST(met_by_chance)
{
    const double eight = 8.0;
    ck_assert_double_eq(darc_root(cube, &eight, 0.0, 10.0, 2.0), 2.0);
}
END_TEST

/* Last places without end towards 0: the search ends all the same, and near it. */
START_TEST(a_jump_at_zero)
{
    ck_assert_double_le(fabs(darc_root(jump, NULL, -1.0, 2.0, 1.0)), 1e-12);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("root");
    TCase *tc = tcase_create("root");
    tcase_add_test(tc, cube_roots);
    tcase_add_test(tc, from_where_there_is_no_slope);
    tcase_add_test(tc, met_by_chance);
    tcase_add_test(tc, a_jump_at_zero);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
