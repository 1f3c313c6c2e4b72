/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Chances of verdicts against verdicts that were given. */
#include "guide/chance.h"

#include <dialarc/decision.h>
#include <math.h>

#include "kit/check_main.h"
#include "kit/simulate.h"
#include "kit/sweep_kit.h"

static dialarc_setup window(void)
{
    dialarc_setup s = dialarc_setup_unknown(4);
    s.lift_low_mm = 0.88;
    s.lift_high_mm = 0.92;
    return s;
}

/* The verdicts of dialarc_decision_judge() on estimates drawn at random. */
START_TEST(as_the_decision_gives_them)
{
    const dialarc_setup s = window();
    const darc_known known = darc_known_of(&s);
    static const double sd[] = {0.004, 0.0085, 0.02}, mean[] = {0.9, 0.915, 0.86};
    const int n = kit_count(1500);
    sim_random r;
    sim_seed(&r, 5);
    for (int a = 0; a < 3; a++)
        for (int b = 0; b < 3; b++) {
            int seen[DIALARC_VERDICT_UNUSABLE + 1] = {0};
            for (int k = 0; k < n; k++) {
                dialarc_timing t = {.lift_mm = mean[b] + sd[a] * sim_normal(&r),
                                    .lift_u_mm = 1.959964 * sd[a],
                                    .rate_mm_per_crank_deg = 0.04};
                dialarc_decision d;
                ck_assert_int_eq(dialarc_decision_judge(&s, &t, &d), DIALARC_OK);
                seen[d.verdict]++;
            }
            darc_chances c = darc_chances_of(&known, mean[b], sd[a], sd[a]);
            double fine = 4.0 * sqrt(0.25 / n);
            ck_assert_double_eq_tol((double)seen[DIALARC_VERDICT_IN] / n, c.in, fine);
            ck_assert_double_eq_tol((double)seen[DIALARC_VERDICT_LOW] / n, c.low, fine);
            ck_assert_double_eq_tol((double)seen[DIALARC_VERDICT_HIGH] / n, c.high, fine);
        }
}
END_TEST

/* In mid-window with a sharp estimate it is sure; with a blunt one it is never told. */
START_TEST(edges)
{
    const dialarc_setup s = window();
    const darc_known known = darc_known_of(&s);
    ck_assert_double_eq_tol(darc_chances_of(&known, 0.9, 0.0, 0.001).in, 1.0, 1e-12);
    ck_assert_double_eq(darc_chances_of(&known, 0.9, 0.02, 0.02).in, 0.0);
    ck_assert_double_eq_tol(darc_chance_within(&known, 0.9, 0.15, 1e-6), 1.0, 1e-2);
    ck_assert_double_le(darc_chance_within(&known, 0.9, 0.15, 0.1), 0.15);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("chance");
    TCase *tc = tcase_create("chance");
    tcase_add_test(tc, as_the_decision_gives_them);
    tcase_add_test(tc, edges);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
