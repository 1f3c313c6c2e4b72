/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows from the last to the first, or with their directions exchanged. */
#include <math.h>

#include "kit/check_main.h"
#include "kit/review_kit.h"

#define SWEEPS 100

static void reverse(sim_sweep *s)
{
    for (size_t i = 0, k = s->n - 1; i < k; i++, k--) {
        double crank = s->crank_deg[i], dial = s->dial_mm[i];
        s->crank_deg[i] = s->crank_deg[k];
        s->dial_mm[i] = s->dial_mm[k];
        s->crank_deg[k] = crank;
        s->dial_mm[k] = dial;
    }
}

/* Sweeps there and back, slack from 1 degree on; how many are silent, neither stopped nor
 * with a caution, although the lift is off by more than U, and how many alarm. */
static void typed_backwards(int given, bool backwards, int *silent, int *alarms)
{
    static sim_sweep s;
    sim_random r;
    sim_seed(&r, (uint64_t)(500 + given));
    *silent = *alarms = 0;
    for (int k = 0; k < kit_count(SWEEPS); k++) {
        sim_job job = kit_job(&r);
        job.two_way = 1;
        job.slack_deg = sim_uniform(&r, backwards ? 1.0 : 0.0, 6.0);
        sim_run(&job, &r, &s);
        if (backwards)
            reverse(&s);
        dialarc_setup setup = kit_setup(&job, given);
        dialarc_sweep sweep = kit_sweep(&s);
        outcome o = judged(&setup, &sweep);
        bool off = fabs(o.timing.lift_mm - s.lift_tdc_mm) > o.timing.lift_u_mm;
        bool quiet =
            dialarc_findings_worst(&o.timing.findings) < DIALARC_SEVERITY_CAUTION;
        *silent += quiet && off;
        *alarms += has(&o, DIALARC_FINDING_ORDER_REVERSED);
    }
}

START_TEST(from_the_last_to_the_first)
{
    for (int given = 0; given <= 1; given++) {
        int silent, alarms, n = kit_count(SWEEPS);
        typed_backwards(given, true, &silent, &alarms);
        ck_assert_int_ge(100 * alarms, 95 * n);
        ck_assert_int_le(silent, n / 50);
    }
}
END_TEST

START_TEST(no_alarm_in_the_order_taken)
{
    for (int given = 0; given <= 1; given++) {
        int silent, alarms;
        typed_backwards(given, false, &silent, &alarms);
        ck_assert_int_eq(alarms, 0);
    }
}
END_TEST

int main(void)
{
    Suite *s = suite_create("row_order");
    TCase *c = tcase_create("order");
    tcase_set_timeout(c, 400);
    tcase_add_test(c, from_the_last_to_the_first);
    tcase_add_test(c, no_alarm_in_the_order_taken);
    suite_add_tcase(s, c);
    return darc_run(s);
}
