/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether a sweep can be read: every reason not to, and the largest that can. */
#include <math.h>

#include "kit/check_main.h"
#include "record/sweep.h"

#define N 4

static double crank[N], dial[N];
static dialarc_direction direction[N];

static dialarc_sweep good(void)
{
    for (int i = 0; i < N; i++) {
        crank[i] = dial[i] = i;
        direction[i] = DIALARC_DIRECTION_UNKNOWN;
    }
    return (dialarc_sweep){N, crank, dial, direction};
}

START_TEST(what_can_be_read)
{
    const dialarc_sweep none = {0, NULL, NULL, NULL};
    dialarc_sweep s = good();
    ck_assert_int_eq(darc_sweep_check(&s), DIALARC_OK);
    s.direction = NULL;
    ck_assert_int_eq(darc_sweep_check(&s), DIALARC_OK);
    crank[3] = -DIALARC_SWEEP_LARGEST;
    dial[3] = DIALARC_SWEEP_LARGEST;
    ck_assert_int_eq(darc_sweep_check(&s), DIALARC_OK);
    ck_assert_int_eq(darc_sweep_check(&none), DIALARC_OK);
}
END_TEST

START_TEST(what_cannot)
{
    const double bad[] = {NAN, INFINITY, -INFINITY};
    double *const column[] = {crank, dial};
    dialarc_sweep s = good();
    for (int c = 0; c < 2; c++)
        for (int at = 0; at < N; at++) {
            for (int k = 0; k < 3; k++) {
                column[c][at] = bad[k];
                ck_assert_int_eq(darc_sweep_check(&s), DIALARC_ERR_NOT_FINITE);
            }
            for (int sign = -1; sign <= 1; sign += 2) {
                column[c][at] = sign * nextafter(DIALARC_SWEEP_LARGEST, INFINITY);
                ck_assert_int_eq(darc_sweep_check(&s), DIALARC_ERR_RANGE);
            }
            s = good();
        }
    for (int at = 0; at < N; at++) {
        direction[at] = (dialarc_direction)2;
        ck_assert_int_eq(darc_sweep_check(&s), DIALARC_ERR_DIRECTION);
        direction[at] = (dialarc_direction)-2;
        ck_assert_int_eq(darc_sweep_check(&s), DIALARC_ERR_DIRECTION);
        s = good();
    }
}
END_TEST

/* Columns that are missing or too long are not looked into. */
START_TEST(columns)
{
    dialarc_sweep s = good();
    s.crank_deg = NULL;
    ck_assert_int_eq(darc_sweep_check(&s), DIALARC_ERR_NULL);
    s = good();
    s.dial_mm = NULL;
    ck_assert_int_eq(darc_sweep_check(&s), DIALARC_ERR_NULL);
    s = good();
    s.n = DIALARC_SWEEP_MAX + 1;
    ck_assert_int_eq(darc_sweep_check(&s), DIALARC_ERR_SIZE);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("sweep");
    TCase *c = tcase_create("sweep");
    tcase_add_test(c, what_can_be_read);
    tcase_add_test(c, what_cannot);
    tcase_add_test(c, columns);
    suite_add_tcase(s, c);
    return darc_run(s);
}
