/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/design.h>

#include <string.h>

#include "kit/guide_kit.h"

static const double angles[] = {-60, -50, -30, -25, -10, 0, 5, 10};
#define N (sizeof angles / sizeof angles[0])

static dialarc_setup known_cam(void)
{
    dialarc_setup s = dialarc_setup_unknown(4);
    s.lift_low_mm = 0.88;
    s.lift_high_mm = 0.92;
    s.cam_law = DIALARC_LAW_HARMONIC;
    s.cam_lift_mm = 2.4;
    s.rise_deg = 40.0;
    s.top_dwell_deg = 3.0;
    s.base_dwell_deg = 12.0;
    s.tdc_sd_deg = 0.1;
    return s;
}

static dialarc_expectation expected(const dialarc_setup *s, double lift, size_t n,
                                    const double *crank)
{
    dialarc_workspace *ws = dialarc_workspace_new();
    dialarc_expectation x;
    ck_assert_int_eq(dialarc_design_expect(ws, s, lift, n, crank, &x), DIALARC_OK);
    dialarc_workspace_free(ws);
    return x;
}

/* What is said of the window follows from u: recomputed by its definitions. */
START_TEST(window_by_its_definitions)
{
    const dialarc_setup s = known_cam();
    dialarc_expectation x = expected(&s, 0.9, N, angles);
    double u = x.budget.total_mm, rest;
    ck_assert_double_eq(x.usable, 1.0);
    ck_assert_double_eq(x.lift_mm, 0.9);
    ck_assert_double_eq_tol(x.lift_u_mm, 1.959963984540054 * u, 1e-12);
    ck_assert_double_ge(x.lift_u_worst_mm, x.lift_u_mm);
    ck_assert_double_eq_tol(x.budget.tdc_mm, 0.1 * x.rate_mm_per_crank_deg, 1e-12);
    /* recomputed: Phi^-1(0.9875) = 2.241402727604945 */
    ck_assert_double_eq_tol(x.narrowest_window_mm, 2.0 * 2.241402727604945 * u, 1e-12);
    rest = sqrt(u * u - x.budget.tdc_mm * x.budget.tdc_mm);
    if (0.02 / 2.241402727604945 > rest)
        ck_assert_double_eq_tol(x.tdc_sd_needed_deg,
                                sqrt(pow(0.02 / 2.241402727604945, 2) - rest * rest) /
                                    x.rate_mm_per_crank_deg,
                                1e-9);
    ck_assert_double_eq(x.tdc_sd_deg, 0.1);
    ck_assert_double_ge(x.chance_in, 0.0);
    ck_assert_double_le(x.chance_verdict, 1.0);
}
END_TEST

/* More readings, a better mark, a sharper dial: each betters it. */
START_TEST(what_betters_it)
{
    dialarc_setup s = known_cam();
    double crank[40];
    for (int k = 0; k < 40; k++)
        crank[k] = -60.0 + 2.0 * k;
    dialarc_expectation few = expected(&s, 0.9, N, angles);
    dialarc_expectation many = expected(&s, 0.9, 40, crank);
    ck_assert_double_lt(many.lift_u_mm, few.lift_u_mm);
    ck_assert_double_ge(many.chance_in, few.chance_in);
    ck_assert_double_gt(many.chance_verdict, few.chance_verdict);
    s.tdc_sd_deg = 0.5;
    dialarc_expectation blunt = expected(&s, 0.9, 40, crank);
    ck_assert_double_gt(blunt.lift_u_mm, many.lift_u_mm);
    ck_assert_int_eq(blunt.weakest, DIALARC_ADVICE_FIND_TDC);
    ck_assert_double_eq(blunt.chance_in, 0.0);
    ck_assert_double_gt(blunt.narrowest_window_mm, 0.04);
    ck_assert_double_lt(blunt.tdc_sd_needed_deg, 0.5);
}
END_TEST

START_TEST(without_a_window)
{
    dialarc_setup s = known_cam();
    s.lift_low_mm = s.lift_high_mm = DIALARC_UNKNOWN;
    dialarc_expectation x = expected(&s, 0.9, N, angles);
    ck_assert_double_gt(x.lift_u_mm, 0.0);
    ck_assert_double_nan(x.chance_in);
    ck_assert_double_nan(x.chance_verdict);
    ck_assert_double_nan(x.tdc_sd_needed_deg);
    ck_assert_double_gt(x.narrowest_window_mm, 0.0);
}
END_TEST

START_TEST(readings_that_cannot_be_used)
{
    const dialarc_setup s = known_cam();
    dialarc_expectation x = expected(&s, 0.9, 4, angles);
    ck_assert_double_eq(x.usable, 0.0);
    ck_assert_double_nan(x.lift_u_mm);
    ck_assert_double_nan(x.chance_in);
    ck_assert_int_eq(x.weakest, DIALARC_ADVICE_SEE_FINDINGS);
    ck_assert_int_eq(dialarc_findings_worst(&x.findings), DIALARC_SEVERITY_STOP);
}
END_TEST

START_TEST(arguments_of_expect)
{
    dialarc_setup s = known_cam();
    dialarc_workspace *ws = dialarc_workspace_new();
    dialarc_expectation x;
    memset(&x, 0x55, sizeof x);
    const dialarc_expectation before = x;
    double bad[] = {-10.0, NAN, 3.0}, far[] = {-10.0, 2e9};
#define EXPECT(...) ck_assert_int_eq(dialarc_design_expect(__VA_ARGS__), status)
    dialarc_status status = DIALARC_ERR_NULL;
    EXPECT(NULL, &s, 0.9, N, angles, &x);
    EXPECT(ws, NULL, 0.9, N, angles, &x);
    EXPECT(ws, &s, 0.9, N, NULL, &x);
    EXPECT(ws, &s, 0.9, N, angles, NULL);
    status = DIALARC_ERR_SIZE;
    EXPECT(ws, &s, 0.9, 0, angles, &x);
    EXPECT(ws, &s, 0.9, DIALARC_SWEEP_MAX + 1, angles, &x);
    status = DIALARC_ERR_NOT_FINITE;
    EXPECT(ws, &s, NAN, N, angles, &x);
    EXPECT(ws, &s, INFINITY, N, angles, &x);
    EXPECT(ws, &s, 0.9, 3, bad, &x);
    status = DIALARC_ERR_RANGE;
    EXPECT(ws, &s, 0.9, 2, far, &x);
    status = DIALARC_ERR_LIFT;
    EXPECT(ws, &s, 0.0, N, angles, &x);
    EXPECT(ws, &s, 2.4, N, angles, &x);
    s.lobes = 0;
    status = DIALARC_ERR_LOBES;
    EXPECT(ws, &s, 0.9, N, angles, &x);
    ck_assert_mem_eq(&x, &before, sizeof x);
    dialarc_workspace_free(ws);
}
END_TEST

static dialarc_status choose(const dialarc_setup *s, double lift,
                             const dialarc_reach *reach, size_t n)
{
    double crank[DIALARC_CHOOSE_MAX + 1] = {0.0};
    dialarc_workspace *ws = dialarc_workspace_new();
    dialarc_status status = dialarc_design_choose(ws, s, lift, reach, n, crank);
    dialarc_workspace_free(ws);
    return status;
}

START_TEST(arguments_of_choose)
{
    dialarc_setup s = known_cam();
    const dialarc_reach good = {-60.0, 20.0, 1.0, 0};
    static const struct {
        dialarc_reach reach;
        dialarc_status status;
    } reaches[] = {{{-60.0, 20.0, 0.0, 0}, DIALARC_ERR_ANGLE},
                   {{-60.0, 20.0, -1.0, 0}, DIALARC_ERR_ANGLE},
                   {{20.0, -60.0, 1.0, 0}, DIALARC_ERR_ANGLE},
                   {{-60.0, -5.0, 1.0, 0}, DIALARC_ERR_ANGLE},
                   {{5.0, 20.0, 1.0, 0}, DIALARC_ERR_ANGLE},
                   {{-721.0, 20.0, 2.0, 0}, DIALARC_ERR_ANGLE},
                   {{-60.0, 721.0, 2.0, 0}, DIALARC_ERR_ANGLE},
                   {{-60.0, 20.0, 0.1, 0}, DIALARC_ERR_SIZE},
                   {{-60.0, 20.0, (double)NAN, 0}, DIALARC_ERR_NOT_FINITE},
                   {{-(double)INFINITY, 20.0, 1.0, 0}, DIALARC_ERR_NOT_FINITE}};
    for (size_t k = 0; k < sizeof reaches / sizeof reaches[0]; k++)
        ck_assert_int_eq(choose(&s, 0.9, &reaches[k].reach, 10), reaches[k].status);
    ck_assert_int_eq(choose(&s, 0.9, &good, 10), DIALARC_OK);
    ck_assert_int_eq(choose(&s, 0.9, &good, 5), DIALARC_ERR_SIZE);
    ck_assert_int_eq(choose(&s, 0.9, &good, 82), DIALARC_ERR_SIZE);
    ck_assert_int_eq(choose(&s, 0.9, &good, DIALARC_CHOOSE_MAX + 1), DIALARC_ERR_SIZE);
    ck_assert_int_eq(choose(&s, 0.1, &good, 10), DIALARC_ERR_LIFT);
    ck_assert_int_eq(choose(&s, 5.0, &good, 10), DIALARC_ERR_LIFT);
    ck_assert_int_eq(choose(&s, NAN, &good, 10), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(choose(NULL, 0.9, &good, 10), DIALARC_ERR_NULL);
    ck_assert_int_eq(choose(&s, 0.9, NULL, 10), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_design_choose(NULL, &s, 0.9, &good, 10, (double[10]){0}),
                     DIALARC_ERR_NULL);
    s.rise_deg = -1.0;
    ck_assert_int_eq(choose(&s, 0.9, &good, 10), DIALARC_ERR_SEGMENTS);
}
END_TEST

/* All the angles that there are, and a window that lies elsewhere. */
START_TEST(edges_of_choose)
{
    dialarc_setup s = known_cam();
    const dialarc_reach six = {-40.0, 10.0, 10.0, 0}, both = {-40.0, 10.0, 10.0, 1};
    const dialarc_reach later = {-40.0, 40.0, 1.0, 0};
    dialarc_workspace *ws = dialarc_workspace_new();
    double crank[20];
    ck_assert_int_eq(dialarc_design_choose(ws, &s, 0.9, &six, 6, crank), DIALARC_OK);
    for (int k = 0; k < 6; k++)
        ck_assert_double_eq(crank[k], -40.0 + 10.0 * k);
    ck_assert_int_eq(choose(&s, 0.9, &both, 11), DIALARC_OK);
    ck_assert_int_eq(choose(&s, 0.9, &both, 12), DIALARC_ERR_SIZE);
    s.window_crank_deg = 15.0;
    ck_assert_int_eq(choose(&s, 0.9, &six, 6), DIALARC_ERR_ANGLE);
    ck_assert_int_eq(dialarc_design_choose(ws, &s, 0.9, &later, 10, crank), DIALARC_OK);
    int at_window = 0;
    for (int k = 0; k < 10; k++)
        at_window += crank[k] == 15.0;
    ck_assert_int_eq(at_window, 1);
    dialarc_workspace_free(ws);
}
END_TEST

START_TEST(arguments_of_next)
{
    dialarc_setup s = known_cam();
    const dialarc_reach good = {-60.0, 20.0, 1.0, 0}, bad = {5.0, 20.0, 1.0, 0};
    const double crank[] = {NAN}, dial[] = {0.0};
    const dialarc_sweep none = {0, NULL, NULL, NULL}, nan = {1, crank, dial, NULL};
    dialarc_workspace *ws = dialarc_workspace_new();
    dialarc_next next;
    memset(&next, 0x55, sizeof next);
    const dialarc_next before = next;
#define NEXT(...) ck_assert_int_eq(dialarc_design_next(__VA_ARGS__), status)
    dialarc_status status = DIALARC_ERR_NULL;
    NEXT(NULL, &s, &none, &good, &next);
    NEXT(ws, NULL, &none, &good, &next);
    NEXT(ws, &s, NULL, &good, &next);
    NEXT(ws, &s, &none, NULL, &next);
    NEXT(ws, &s, &none, &good, NULL);
    status = DIALARC_ERR_ANGLE;
    NEXT(ws, &s, &none, &bad, &next);
    status = DIALARC_ERR_NOT_FINITE;
    NEXT(ws, &s, &nan, &good, &next);
    ck_assert_mem_eq(&next, &before, sizeof next);
    s.tdc_sd_deg = -1.0;
    status = DIALARC_ERR_SD;
    NEXT(ws, &s, &none, &good, &next);
    s = known_cam();
    status = DIALARC_OK;
    NEXT(ws, &s, &none, &good, &next);
    ck_assert_int_eq(next.prospect, DIALARC_PROSPECT_MORE);
    ck_assert_int_eq(next.direction, DIALARC_DIRECTION_WITH);
    ck_assert_double_nan(next.lift_mm);
    dialarc_workspace_free(ws);
}
END_TEST

START_TEST(words)
{
    ck_assert_str_eq(dialarc_prospect_name(DIALARC_PROSPECT_MORE), "more");
    ck_assert_str_eq(dialarc_prospect_name(DIALARC_PROSPECT_ENOUGH), "enough");
    ck_assert_str_eq(dialarc_prospect_name(DIALARC_PROSPECT_NEVER), "never");
    ck_assert_str_eq(dialarc_prospect_name((dialarc_prospect)9), "unknown");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("design");
    TCase *tc = tcase_create("design");
    tcase_add_test(tc, window_by_its_definitions);
    tcase_add_test(tc, what_betters_it);
    tcase_add_test(tc, without_a_window);
    tcase_add_test(tc, readings_that_cannot_be_used);
    tcase_add_test(tc, arguments_of_expect);
    tcase_add_test(tc, arguments_of_choose);
    tcase_add_test(tc, edges_of_choose);
    tcase_add_test(tc, arguments_of_next);
    tcase_add_test(tc, words);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
