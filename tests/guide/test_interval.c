/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "guide/interval.h"

#include <math.h>

#include "kit/check_main.h"

/* One mean square of 5 degrees of freedom: exact. Chi-square 12.8325 and 0.831212. */
START_TEST(one_mean_square)
{
    const darc_part one = {1.0, 2.0, 5.0};
    darc_variance v = darc_interval(1, &one);
    ck_assert_double_eq(v.value, 2.0);
    ck_assert_double_eq_tol(v.low, 10.0 / 12.8325, 1e-5);
    ck_assert_double_eq_tol(v.high, 10.0 / 0.831212, 1e-4);
}
END_TEST

/* What has no coefficient does not matter, whatever its degrees of freedom. */
START_TEST(nothing_of_a_part)
{
    const darc_part parts[] = {{1.0, 2.0, 5.0}, {0.0, 7.0, 0.0}};
    darc_variance one = darc_interval(1, parts), both = darc_interval(2, parts);
    ck_assert_double_eq(one.low, both.low);
    ck_assert_double_eq(one.high, both.high);
}
END_TEST

/* A difference begins at 0 just where the ratio of its mean squares is the quantile of F
 * that tests it: 5.0526 of 4 and 8 degrees of freedom. */
START_TEST(begins_where_f_tells)
{
    darc_part parts[] = {{1.0, 5.06, 4.0}, {-1.0, 1.0, 8.0}};
    ck_assert_double_gt(darc_interval(2, parts).low, 0.0);
    parts[0].mean_square = 5.04;
    ck_assert_double_eq(darc_interval(2, parts).low, 0.0);
    /* and ends at 0 below that of the other end, 0.11137 */
    parts[0].mean_square = 0.111;
    ck_assert_double_eq(darc_interval(2, parts).high, 0.0);
    parts[0].mean_square = 0.112;
    ck_assert_double_gt(darc_interval(2, parts).high, 0.0);
}
END_TEST

/* A sum is never known worse than its parts put together, nor better than the larger. */
START_TEST(sum_of_two)
{
    const darc_part parts[] = {{0.5, 3.0, 6.0}, {0.25, 2.0, 20.0}};
    darc_variance sum = darc_interval(2, parts), one = darc_interval(1, parts),
                  other = darc_interval(1, parts + 1);
    ck_assert_double_eq(sum.value, 2.0);
    ck_assert_double_eq_tol(sum.high - sum.value,
                            hypot(one.high - one.value, other.high - other.value), 1e-12);
    ck_assert_double_eq_tol(sum.value - sum.low,
                            hypot(one.value - one.low, other.value - other.low), 1e-12);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("interval");
    TCase *t = tcase_create("interval");
    tcase_add_test(t, one_mean_square);
    tcase_add_test(t, nothing_of_a_part);
    tcase_add_test(t, begins_where_f_tells);
    tcase_add_test(t, sum_of_two);
    suite_add_tcase(s, t);
    return darc_run(s);
}
