/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Findings about the way the crank took, one at a time: a good sweep, and estimates of it
 * altered in what the finding is about. */
#include <math.h>

#include "core/finding.h"
#include "estimate/known_cam.h"
#include "kit/fit_kit.h"
#include "review/approach.h"

static bench b;
static darc_estimate e;

/* Four lobes, 0.9 mm or so at TDC, from the fall before to the top and back. */
static void setup(void)
{
    sim_random r;
    sim_seed(&r, 980);
    sim_job job = kit_job(&r);
    job.cam.lobes = 4;
    job.cam.rise_deg = 40.0;
    job.cam.top_deg = 4.0;
    job.cam.base_deg = 10.0;
    job.foot_crank_deg = -36.0;
    job.slack_deg = 4.0;
    job.zero_mm = 0.005;
    job.start_deg = -80.0;
    job.end_deg = 50.0;
    job.step_deg = 2.0;
    dialarc_setup s = kit_setup(&job, 1);
    set_bench(&b, &job, &s, &r);
    darc_fit_known(&b.memory.fit, &b.memory.trial, &b.problem, &e);
}

static void teardown(void)
{
    clear_bench(&b);
}

static dialarc_findings found(const darc_problem *problem, const darc_estimate *estimate)
{
    dialarc_timing t = {.lift_mm = 0.0};
    darc_findings_clear(&t.findings);
    darc_check_approach(problem, &b.memory.fit, estimate, b.memory.pump_crank_deg, &t);
    return t.findings;
}

START_TEST(nothing_to_be_found)
{
    ck_assert_uint_eq(found(&b.problem, &e).present, 0);
}
END_TEST

/* Where the pump stood: behind the crank by nothing with, by the slack against, and still
 * while that is taken up. */
START_TEST(where_the_pump_stood)
{
    found(&b.problem, &e);
    const darc_record *r = &b.problem.record;
    const double *pump = b.memory.pump_crank_deg, slack = e.mean[DARC_ASK_SLACK];
    double turn = r->crank_deg[r->pass[0].end - 1];
    for (size_t i = 0; i < r->n; i++)
        ck_assert_double_eq_tol(pump[i],
                                i < r->pass[0].end ? r->crank_deg[i]
                                                   : fmin(r->crank_deg[i] + slack, turn),
                                1e-9);
}
END_TEST

/* Lift that falls through TDC, by more than what is next to nothing. */
START_TEST(the_wrong_way)
{
    darc_estimate falling = e;
    falling.mean[DARC_ASK_RATE] = -0.02;
    dialarc_findings f = found(&b.problem, &falling);
    ck_assert(dialarc_findings_has(&f, DIALARC_FINDING_APPROACH_AGAINST_ROTATION));
    ck_assert_int_eq(f.severity[DIALARC_FINDING_APPROACH_AGAINST_ROTATION],
                     DIALARC_SEVERITY_STOP);
    falling.mean[DARC_ASK_LIFT] = 0.02; /* on the dwell before the foot */
    ck_assert_uint_eq(found(&b.problem, &falling).present, 0);
}
END_TEST

/* The dial was set to zero near the minimum, which lies below it; a whole half turn of
 * the needle below is a dial that was never set. */
START_TEST(below_the_zero)
{
    const dialarc_finding below = DIALARC_FINDING_BELOW_ZERO;
    const double zero[] = {0.0, -0.012, -0.05, -0.5};
    const int expected[] = {0, 0, 1, 0};
    for (int k = 0; k < 4; k++) {
        darc_estimate at = e;
        double shift = zero[k] - e.mean[DARC_ASK_ZERO];
        at.mean[DARC_ASK_ZERO] = zero[k];
        at.var[DARC_ASK_ZERO] = 1e-6;
        for (size_t i = 0; i < b.problem.record.n; i++)
            b.memory.fit.at.rows[i].mean += shift;
        dialarc_findings f = found(&b.problem, &at);
        ck_assert_int_eq(dialarc_findings_has(&f, below), expected[k]);
        for (size_t i = 0; i < b.problem.record.n; i++)
            b.memory.fit.at.rows[i].mean -= shift;
    }
}
END_TEST

/* A window above all that was read. */
START_TEST(a_window_beyond_the_sweep)
{
    darc_problem p = b.problem;
    p.known.has_window = true;
    p.known.low_mm = 0.8;
    p.known.high_mm = 1.0;
    ck_assert_uint_eq(found(&p, &e).present, 0);
    p.known.high_mm = e.mean[DARC_ASK_TOTAL] + 0.5;
    dialarc_findings f = found(&p, &e);
    ck_assert(dialarc_findings_has(&f, DIALARC_FINDING_WINDOW_WIDER_THAN_SWEEP));
    ck_assert_int_eq(f.severity[DIALARC_FINDING_WINDOW_WIDER_THAN_SWEEP],
                     DIALARC_SEVERITY_NOTE);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("approach");
    TCase *c = tcase_create("approach");
    tcase_add_checked_fixture(c, setup, teardown);
    tcase_add_test(c, nothing_to_be_found);
    tcase_add_test(c, where_the_pump_stood);
    tcase_add_test(c, the_wrong_way);
    tcase_add_test(c, below_the_zero);
    tcase_add_test(c, a_window_beyond_the_sweep);
    suite_add_tcase(s, c);
    return darc_run(s);
}
