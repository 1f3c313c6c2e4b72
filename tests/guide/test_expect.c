/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Uncertainty foretold against that obtained, by simulated sweeps with known truth; the
 * same with 10,000 sweeps a line by `make foretell`.
 */
#include "guide/expect.h"

#include "kit/guide_kit.h"

/* Mean of what was obtained over the mean of what was foretold for mid-window. */
static double obtained_over_foretold(int known, int both_ways, size_t n, int pumps,
                                     uint64_t seed)
{
    static sim_sweep sweep;
    static darc_memory memory;
    dialarc_workspace *ws = dialarc_workspace_new();
    double obtained = 0.0, foretold = 0.0;
    sim_random r;
    sim_seed(&r, seed);
    for (int k = 0; k < pumps; k++) {
        double crank[KIT_MOST], room[KIT_MOST];
        sim_job job = kit_pump(&r);
        const dialarc_setup setup = kit_setup(&job, known);
        const dialarc_reach reach = kit_reach(&job, both_ways);
        dialarc_timing t;
        darc_expected e;
        kit_even(&reach, n, crank);
        const dialarc_sweep taken = kit_take(&job, n, crank, &r, &sweep);
        ck_assert_int_ge(dialarc_timing_estimate(ws, &setup, &taken, NULL, &t),
                         DIALARC_OK);
        ck_assert_int_eq(darc_expect(&memory, &setup, KIT_MIDDLE, n, crank, room, &e),
                         DIALARC_OK);
        /* A plan foretells no doubt of the dial, which widens some sweeps. */
        if (kit_stopped(&t) || !(e.usable > 0.0) ||
            dialarc_findings_has(&t.findings, DIALARC_FINDING_DIAL_NOT_PRELOADED))
            continue;
        obtained += t.budget.total_mm;
        foretold += e.budget.total_mm;
    }
    dialarc_workspace_free(ws);
    darc_memory_release(&memory);
    return obtained / foretold;
}

static const struct {
    int known, both_ways;
    size_t n;
} cases[] = {{1, 0, 8},  {1, 0, 12}, {1, 0, 20}, {1, 0, 30},
             {1, 1, 12}, {1, 1, 20}, {1, 1, 30}};

/* Within 5 %, and two sds of chance of the few sweeps here. */
START_TEST(cam_known)
{
    int pumps = kit_count(400);
    double ratio = obtained_over_foretold(1, cases[_i].both_ways, cases[_i].n, pumps,
                                          40 + (uint64_t)_i);
    ck_assert_double_eq_tol(ratio, 1.0, 0.05 + 2.0 * 0.15 / sqrt(pumps));
}
END_TEST

static const struct {
    int both_ways;
    size_t n;
} learned[] = {{0, 24}, {1, 30}};

START_TEST(cam_learned)
{
    int pumps = kit_count(40);
    double ratio = obtained_over_foretold(0, learned[_i].both_ways, learned[_i].n, pumps,
                                          60 + (uint64_t)_i);
    ck_assert_double_eq_tol(ratio, 1.0, 0.05 + 2.0 * 0.3 / sqrt(pumps));
}
END_TEST

/* What cannot be used is told beforehand, with the finding that would tell afterwards. */
START_TEST(plans_that_cannot_be_used)
{
    static const double short_of_tdc[] = {-70, -60, -50, -40, -30, -20, -15, -10};
    static const double few[] = {-60, -40, -20, 0, 10};
    static const double rise_alone[] = {-20, -15, -10, -5, 0, 5, 10, 15, 20, 25};
    static darc_memory memory;
    dialarc_setup setup = dialarc_setup_unknown(4);
    double room[10];
    darc_expected e;
    setup.cam_lift_mm = 2.4;
    ck_assert_int_eq(darc_expect(&memory, &setup, 0.9, 8, short_of_tdc, room, &e),
                     DIALARC_OK);
    ck_assert_double_eq(e.usable, 0.0);
    ck_assert_double_nan(e.budget.total_mm);
    ck_assert_int_eq(dialarc_findings_has(&e.findings, DIALARC_FINDING_TDC_NOT_REACHED),
                     1);
    ck_assert_int_eq(darc_expect(&memory, &setup, 0.9, 5, few, room, &e), DIALARC_OK);
    ck_assert_int_eq(dialarc_findings_has(&e.findings, DIALARC_FINDING_TOO_FEW_READINGS),
                     1);
    ck_assert_int_eq(darc_expect(&memory, &setup, 0.9, 10, rise_alone, room, &e),
                     DIALARC_OK);
    ck_assert_double_eq(e.usable, 0.0);
    ck_assert_int_eq(
        dialarc_findings_has(&e.findings, DIALARC_FINDING_MINIMUM_NOT_BRACKETED), 1);
    darc_memory_release(&memory);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("expect");
    TCase *tc = tcase_create("expect");
    tcase_set_timeout(tc, 120);
    tcase_add_loop_test(tc, cam_known, 0, (int)(sizeof cases / sizeof cases[0]));
    tcase_add_loop_test(tc, cam_learned, 0, (int)(sizeof learned / sizeof learned[0]));
    tcase_add_test(tc, plans_that_cannot_be_used);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
