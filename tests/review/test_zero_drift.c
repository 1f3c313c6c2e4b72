/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A zero that wanders, in records made by hand: 30 readings at the minimum among others.
 */
#include <math.h>
#include <string.h>

#include "core/finding.h"
#include "kit/check_main.h"
#include "kit/simulate.h"
#include "review/zero_drift.h"

#define AT_REST 30
#define N       (3 * AT_REST)

static double crank[N], lift[N], sample[N];
static size_t row[N];
static darc_row rows[N];
static const darc_noise fine = {.angle_sd_deg = 0.2, .dial_sd_mm = 0.002};

/* Every third reading is at the minimum, 0.4 mm; the others are on a flank. `rest` is
 * what those at the minimum are off by. */
static darc_problem make(const double *rest, darc_fit *fit)
{
    darc_problem p = {.noise = fine};
    p.record = (darc_record){.n = N, .crank_deg = crank, .lift_mm = lift, .row = row};
    *fit = (darc_fit){.noise = fine, .at = {.rows = rows}};
    for (size_t i = 0; i < N; i++) {
        bool low = i % 3 == 0;
        row[i] = 1000 + i;
        rows[i].mean = low ? 0.401 : 1.5;
        rows[i].slope = low ? 0.0 : 0.05;
        lift[i] = rows[i].mean + (low ? rest[i / 3] : 0.3 * (double)i);
    }
    return p;
}

static dialarc_findings look(const darc_problem *p, const darc_fit *fit)
{
    dialarc_timing t = {.lift_mm = 0.0};
    darc_estimate e = {.mean = {[DARC_ASK_ZERO] = 0.4}};
    darc_findings_clear(&t.findings);
    darc_check_zero_drift(p, fit, &e, sample, &t);
    return t.findings;
}

/* The last ten of thirty are off by so much; the group scatters by 0.001 mm. */
static dialarc_findings moved(double by_mm, bool sorted)
{
    double rest[AT_REST];
    darc_fit fit;
    for (int k = 0; k < AT_REST; k++)
        rest[k] = (k % 2 ? 0.001 : -0.001) + (k >= 20 ? by_mm : 0.0);
    darc_problem p = make(rest, &fit);
    p.record.sorted = sorted;
    return look(&p, &fit);
}

/* Medians of ten differ by 1.2533 0.002 sqrt(2/10) = 0.0011 mm (sd): 4.5 of them are
 * 0.0050 mm, and more than 0.02 mm stop the verdict. The row is that of the last. */
START_TEST(so_much_is_a_drift)
{
    const dialarc_finding drift = DIALARC_FINDING_ZERO_DRIFT;
    const double mm[] = {0.0048, -0.0048, 0.0052, -0.0052, 0.0198, 0.0202};
    const dialarc_severity severity[] = {
        DIALARC_SEVERITY_NOTE,    DIALARC_SEVERITY_NOTE,    DIALARC_SEVERITY_CAUTION,
        DIALARC_SEVERITY_CAUTION, DIALARC_SEVERITY_CAUTION, DIALARC_SEVERITY_STOP};
    for (int k = 0; k < 6; k++) {
        dialarc_findings f = moved(mm[k], false);
        ck_assert_int_eq(dialarc_findings_has(&f, drift), k > 1);
        if (k > 1) {
            ck_assert_int_eq(f.severity[drift], severity[k]);
            ck_assert_uint_eq(f.row[drift], 1000 + N - 3);
        }
    }
}
END_TEST

/* In rows that were put in order there is no early and no late. */
START_TEST(sorted_rows_tell_nothing)
{
    dialarc_findings f = moved(0.1, true);
    ck_assert_uint_eq(f.present, 0);
}
END_TEST

/* Noise as stated, or three times as much: no drift in a thousand records. */
START_TEST(noise_is_no_drift)
{
    sim_random r;
    sim_seed(&r, 1);
    for (int k = 0; k < 1000; k++) {
        double rest[AT_REST];
        darc_fit fit;
        for (int i = 0; i < AT_REST; i++)
            rest[i] = (k % 2 ? 0.006 : 0.002) * sim_normal(&r);
        darc_problem p = make(rest, &fit);
        dialarc_findings f = look(&p, &fit);
        ck_assert_uint_eq(f.present, 0);
    }
}
END_TEST

/* Fourteen readings at the minimum are no three groups of five. */
START_TEST(too_few_to_tell)
{
    double rest[AT_REST];
    darc_fit fit;
    for (int k = 0; k < AT_REST; k++)
        rest[k] = 0.01 * k;
    darc_problem p = make(rest, &fit);
    p.record.n = 3 * 14;
    dialarc_findings f = look(&p, &fit);
    ck_assert_uint_eq(f.present, 0);
    p.record.n = 3 * 15;
    f = look(&p, &fit);
    ck_assert(dialarc_findings_has(&f, DIALARC_FINDING_ZERO_DRIFT));
}
END_TEST

int main(void)
{
    Suite *s = suite_create("zero_drift");
    TCase *c = tcase_create("drift");
    tcase_add_test(c, so_much_is_a_drift);
    tcase_add_test(c, sorted_rows_tell_nothing);
    tcase_add_test(c, noise_is_no_drift);
    tcase_add_test(c, too_few_to_tell);
    suite_add_tcase(s, c);
    return darc_run(s);
}
