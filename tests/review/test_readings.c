/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What readings show before anything is fitted: records made by hand, on both sides of
 * each limit. */
#include <math.h>

#include "core/finding.h"
#include "kit/check_main.h"
#include "review/readings.h"

#define MOST 200

static double crank[MOST], lift[MOST];
static size_t row[MOST];

/* Four lobes, given cam, a dial of 0.01 mm read to 0.002, angles to 0.25 degrees. */
static darc_problem empty(void)
{
    darc_problem p = {.known = {.lobes = 4, .crank_per_pump = 2.0},
                      .noise = {.angle_sd_deg = 0.25, .dial_sd_mm = 0.002},
                      .cam = {.given = true}};
    p.noise.step_mm = 0.01;
    p.record = (darc_record){.crank_deg = crank, .lift_mm = lift, .row = row};
    return p;
}

/* A pass of n readings; the lift goes with the angle. */
static void add(darc_problem *p, double from, double to, size_t n)
{
    darc_record *r = &p->record;
    size_t begin = r->n;
    for (size_t k = 0; k < n; k++) {
        row[r->n] = r->n;
        crank[r->n] = n > 1 ? from + (to - from) * (double)k / (double)(n - 1) : from;
        lift[r->n] = 0.02 * crank[r->n];
        r->n++;
    }
    r->pass[r->passes] = (darc_pass){begin, r->n, to > from ? 1 : -1,
                                     r->passes ? DARC_START_TURN : DARC_START_FREE};
    r->passes++;
}

static dialarc_findings found(const darc_problem *p, bool *fit)
{
    dialarc_timing t = {.lift_mm = 0.0};
    darc_findings_clear(&t.findings);
    *fit = darc_check_readings(p, &t);
    return t.findings;
}

static void check(const darc_problem *p, dialarc_finding finding, int expected, bool fit)
{
    bool got;
    dialarc_findings f = found(p, &got);
    ck_assert_msg(dialarc_findings_has(&f, finding) == expected, "%s: %d",
                  dialarc_finding_code(finding), !expected);
    ck_assert(got == fit);
}

START_TEST(how_many)
{
    for (int given = 0; given < 2; given++)
        for (size_t n = 1; n <= 9; n++) {
            darc_problem p = empty();
            bool enough = n >= (given ? 6 : 8);
            p.cam.given = given != 0;
            add(&p, -20.0, 20.0, n);
            check(&p, DIALARC_FINDING_TOO_FEW_READINGS, !enough, enough);
        }
    darc_problem none = empty();
    check(&none, DIALARC_FINDING_TOO_FEW_READINGS, 1, false);
}
END_TEST

/* Within two sds of the angle, half a degree, TDC counts as reached. */
START_TEST(the_way_to_tdc)
{
    const dialarc_finding never = DIALARC_FINDING_TDC_NOT_REACHED;
    const dialarc_finding against = DIALARC_FINDING_APPROACH_AGAINST_ROTATION;
    darc_problem p = empty();
    add(&p, -40.0, -0.6, 20);
    check(&p, never, 1, true);
    p = empty();
    add(&p, -40.0, -0.4, 20);
    check(&p, never, 0, true);
    check(&p, against, 0, true);
    p = empty();
    add(&p, 40.0, -40.0, 20); /* against the running direction alone */
    check(&p, against, 1, true);
    p = empty();
    add(&p, 10.0, 40.0, 20); /* from behind it */
    add(&p, 40.0, -10.0, 20);
    check(&p, against, 1, true);
}
END_TEST

/* Turned past TDC and back to it; a sweep that goes on back does not stop there. */
START_TEST(turned_back_to_tdc)
{
    const dialarc_finding over = DIALARC_FINDING_OVERSHOT_TDC;
    darc_problem p = empty();
    add(&p, -40.0, 5.0, 20);
    add(&p, 4.0, 1.0, 3);
    check(&p, over, 1, true);
    p.record.sorted = true;
    check(&p, over, 0, true);
    p = empty();
    add(&p, -40.0, 5.0, 20);
    add(&p, 4.0, -3.0, 3);
    check(&p, over, 0, true);
}
END_TEST

/* A plunger that is driven moves by 0.05 mm at least. */
START_TEST(a_dial_that_stands_still)
{
    darc_problem p = empty();
    add(&p, -40.0, 20.0, 20);
    for (size_t i = 0; i < p.record.n; i++)
        lift[i] = i < 10 ? 0.0 : 0.049;
    check(&p, DIALARC_FINDING_MINIMUM_NOT_BRACKETED, 1, false);
    check(&p, DIALARC_FINDING_DIAL_OFF_SPINDLE, 0, false);
    for (size_t i = 0; i < p.record.n; i++)
        lift[i] = i < 10 ? 0.0 : 0.051;
    check(&p, DIALARC_FINDING_MINIMUM_NOT_BRACKETED, 0, true);
    for (size_t i = 0; i < p.record.n; i++)
        lift[i] = 0.3;
    check(&p, DIALARC_FINDING_DIAL_OFF_SPINDLE, 1, false);
    /* 2.5 sds of a reading whose rounding adds step^2 / 12 to its variance */
    ck_assert_double_eq_tol(darc_still_mm(&p.noise), 2.5 * sqrt(4e-6 + 1e-4 / 12.0),
                            1e-15);
}
END_TEST

/* Whether a crank turn on, half a pump turn, the pump stands just the same. */
START_TEST(which_stroke)
{
    const struct {
        int lobes;
        double ratio;
        int open;
    } cases[] = {{4, 2.0, 1}, {3, 2.0, 0}, {6, 2.0, 1}, {5, 2.0, 0},
                 {3, 1.0, 0}, {6, 1.5, 1}, {4, 1.5, 0}};
    for (size_t k = 0; k < sizeof cases / sizeof cases[0]; k++) {
        darc_problem p = empty();
        p.known.lobes = cases[k].lobes;
        p.known.crank_per_pump = cases[k].ratio;
        add(&p, -40.0, 20.0, 20);
        check(&p, DIALARC_FINDING_STROKE_NOT_DETERMINED, cases[k].open, true);
        p.known.firing_tdc_seen = true;
        check(&p, DIALARC_FINDING_STROKE_NOT_DETERMINED, 0, true);
    }
}
END_TEST

/* Eight jumps in fewer than eighty readings are no way that a crank took. */
START_TEST(jumps)
{
    for (size_t a_pass = 8; a_pass <= 10; a_pass++) {
        darc_problem p = empty();
        for (int k = 0; k < 9; k++) {
            add(&p, -40.0, 20.0, a_pass);
            p.record.pass[k].start = DARC_START_FREE;
        }
        bool fit, many = p.record.n < 80;
        dialarc_findings f = found(&p, &fit);
        ck_assert_int_eq(dialarc_findings_has(&f, DIALARC_FINDING_FIT_NOT_CONVERGED),
                         many);
        p.record.pass[1].start = DARC_START_TURN; /* seven jumps */
        f = found(&p, &fit);
        ck_assert(!dialarc_findings_has(&f, DIALARC_FINDING_FIT_NOT_CONVERGED));
    }
}
END_TEST

int main(void)
{
    Suite *s = suite_create("readings");
    TCase *c = tcase_create("readings");
    tcase_add_test(c, how_many);
    tcase_add_test(c, the_way_to_tdc);
    tcase_add_test(c, turned_back_to_tdc);
    tcase_add_test(c, a_dial_that_stands_still);
    tcase_add_test(c, which_stroke);
    tcase_add_test(c, jumps);
    suite_add_tcase(s, c);
    return darc_run(s);
}
