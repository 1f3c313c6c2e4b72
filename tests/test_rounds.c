/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/rounds.h>
#include <math.h>
#include <stdlib.h>

#include "check_main.h"
#include "simulate.h"

#define PI   3.14159265358979323846
#define LOW  0.85
#define HIGH 0.90

static dialarc_setup shop(void)
{
    dialarc_setup s = dialarc_setup_unknown(4);
    s.lift_low_mm = LOW;
    s.lift_high_mm = HIGH;
    s.tdc_sd_deg = 0.1;
    s.dial_sd_mm = 0.003;
    s.dial_step_mm = 0.01;
    s.dial_hysteresis_mm = 0.005;
    return s;
}

/* The same with a pump of known cam, total lift 2.2 mm in 40 pump degrees. */
static dialarc_setup shop_with_cam(void)
{
    dialarc_setup s = shop();
    s.cam_law = DIALARC_LAW_HARMONIC;
    s.cam_lift_mm = 2.2;
    s.rise_deg = 40.0;
    s.top_dwell_deg = 0.0;
    s.base_dwell_deg = 5.0;
    return s;
}

static dialarc_plan plan_of(dialarc_setup setup, size_t n, const dialarc_round *rounds)
{
    dialarc_plan plan;
    ck_assert_int_eq(dialarc_plan_rounds(&setup, n, rounds, &plan), DIALARC_OK);
    return plan;
}

/* --- the lift ----------------------------------------------------------------------- */

START_TEST(lift_and_uncertainty_of_one_reading)
{
    const dialarc_round tight[] = {{1, 0.01, 0.88, 1}};
    dialarc_plan p = plan_of(shop(), 1, tight);
    ck_assert_int_eq(p.tight, 1);
    ck_assert_double_eq_tol(p.lift_mm, 0.87 + 0.0025, 1e-12);
    /* two readings of dial and graduation, TDC mark, hysteresis */
    double variance = 2.0 * (0.003 * 0.003 + 0.01 * 0.01 / 12.0) + pow(0.1 * 0.04, 2) +
                      0.005 * 0.005 / 12.0;
    ck_assert_double_eq_tol(p.lift_u_mm, 1.96 * sqrt(variance), 1e-5);
    ck_assert_uint_eq(p.findings.present, 0);
    ck_assert_uint_eq(p.shifts, 0);
}
END_TEST

START_TEST(repeats_are_averaged)
{
    const dialarc_round rows[] = {
        {1, 0.0, 0.87, 1}, {1, 0.0, 0.88, 1}, {1, 0.0, 0.87, 1}, {1, 0.0, 0.86, 1}};
    dialarc_plan p = plan_of(shop(), 4, rows);
    ck_assert_double_eq_tol(p.lift_mm, 0.87 + 0.0025, 1e-12);
    double variance = 0.5 * (0.003 * 0.003 + 0.01 * 0.01 / 12.0) + pow(0.1 * 0.04, 2) +
                      0.005 * 0.005 / 12.0;
    ck_assert_double_eq_tol(p.lift_u_mm, 1.96 * sqrt(variance), 1e-5);
    /* Other rounds are other settings. */
    const dialarc_round apart[] = {{1, 0.0, 0.80, 1}, {2, 0.0, 0.87, 1}};
    ck_assert_double_eq_tol(plan_of(shop(), 2, apart).lift_mm, 0.8725, 1e-12);
}
END_TEST

START_TEST(falling_dials_are_turned_round)
{
    dialarc_setup s = shop();
    const dialarc_round rises[] = {{1, 0.0, 0.83, 0}, {1, 0.0, 0.85, 1}};
    const dialarc_round falls[] = {{1, 0.0, -0.83, 0}, {1, 0.0, -0.85, 1}};
    dialarc_plan a = plan_of(s, 2, rises);
    s.dial_sense = -1;
    dialarc_plan b = plan_of(s, 2, falls);
    ck_assert_double_eq(a.lift_mm, b.lift_mm);
    ck_assert_double_eq(a.shift_mm, b.shift_mm);
    ck_assert_double_eq(a.decision.aim_mm, b.decision.aim_mm);
    ck_assert_uint_eq(b.findings.present, 0);
}
END_TEST

START_TEST(silent_setups_are_filled_in)
{
    dialarc_setup s = dialarc_setup_unknown(4);
    const dialarc_round tight[] = {{1, 0.0, 0.87, 1}};
    dialarc_plan p = plan_of(s, 1, tight);
    double variance = 2.0 * (0.003 * 0.003 + 0.01 * 0.01 / 12.0) + pow(0.5 * 0.04, 2) +
                      0.005 * 0.005 / 12.0;
    ck_assert_double_eq_tol(p.lift_mm, 0.8725, 1e-12);
    ck_assert_double_eq_tol(p.lift_u_mm, 1.96 * sqrt(variance), 1e-5);
    ck_assert_int_eq(p.decision.verdict, DIALARC_VERDICT_NONE);
    ck_assert_double_nan(p.decision.probability_in);
    ck_assert_double_nan(p.decision.aim_mm);
}
END_TEST

/* A known cam gives the rate at the lift: harmonic, ds/du = pi/2 sin(pi u). */
START_TEST(known_cams_give_rate_and_turn)
{
    dialarc_setup s = shop_with_cam();
    s.tdc_sd_deg = 1.0;
    const dialarc_round tight[] = {{1, 0.0, 0.9475, 1}};
    dialarc_plan p = plan_of(s, 1, tight);
    double u = acos(1.0 - 2.0 * 0.9475 / 2.2) / PI;
    double rate = 2.2 / 40.0 * 0.5 * PI * sin(PI * u) / 2.0;
    double variance =
        2.0 * (0.003 * 0.003 + 0.01 * 0.01 / 12.0) + rate * rate + 0.005 * 0.005 / 12.0;
    ck_assert_double_eq_tol(p.lift_u_mm, 1.96 * sqrt(variance), 1e-5);
    double from = 40.0 * acos(1.0 - 2.0 * 0.95 / 2.2) / PI;
    double to = 40.0 * acos(1.0 - 2.0 * 0.875 / 2.2) / PI;
    ck_assert_double_eq_tol(p.decision.turn_pump_deg, to - from, 1e-9);
    ck_assert_double_eq_tol(p.decision.advance_error_crank_deg, 2.0 * (from - to), 1e-9);
    ck_assert_double_nan(plan_of(shop(), 1, tight).decision.turn_pump_deg);
}
END_TEST

/* --- verdict ------------------------------------------------------------------------ */

START_TEST(verdicts_of_tight_readings)
{
    const struct {
        double tdc_mm;
        dialarc_verdict verdict;
    } cases[] = {{0.80, DIALARC_VERDICT_LOW},
                 {0.85, DIALARC_VERDICT_UNDECIDED},
                 {0.8725, DIALARC_VERDICT_IN},
                 {0.90, DIALARC_VERDICT_UNDECIDED},
                 {0.95, DIALARC_VERDICT_HIGH}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const dialarc_round row[] = {{1, 0.0, cases[i].tdc_mm, 1}};
        dialarc_plan p = plan_of(shop(), 1, row);
        ck_assert_int_eq(p.decision.verdict, cases[i].verdict);
        ck_assert_double_eq_tol(p.decision.probability_in + p.decision.probability_low +
                                    p.decision.probability_high,
                                1.0, 1e-12);
    }
}
END_TEST

START_TEST(loose_readings_are_never_in)
{
    dialarc_setup s = shop();
    s.lift_low_mm = 0.5; /* so wide that it will be inside whatever happens */
    s.lift_high_mm = 1.2;
    const dialarc_round row[] = {{1, 0.0, 0.87, 0}};
    dialarc_plan p = plan_of(s, 1, row);
    ck_assert_int_eq(p.tight, 0);
    ck_assert_double_gt(p.decision.probability_in, 0.999);
    ck_assert_int_eq(p.decision.verdict, DIALARC_VERDICT_UNDECIDED);
    const dialarc_round low[] = {{1, 0.0, 0.70, 0}}, high[] = {{1, 0.0, 1.05, 0}};
    ck_assert_int_eq(plan_of(shop(), 1, low).decision.verdict, DIALARC_VERDICT_LOW);
    ck_assert_int_eq(plan_of(shop(), 1, high).decision.verdict, DIALARC_VERDICT_HIGH);
}
END_TEST

/* A loose reading is judged, and turned, by what tightening will make of it. */
START_TEST(loose_readings_are_judged_after_the_shift)
{
    const dialarc_round rows[] = {{1, 0.0, 0.80, 0}, {1, 0.0, 0.83, 1}, {2, 0.0, 0.82, 0},
                                  {2, 0.0, 0.85, 1}, {3, 0.0, 0.84, 0}, {3, 0.0, 0.87, 1},
                                  {4, 0.0, 0.845, 0}};
    dialarc_plan p = plan_of(shop_with_cam(), 7, rows);
    ck_assert_uint_eq(p.shifts, 3);
    ck_assert(p.shift_mm > 0.02 && p.shift_mm < 0.03);
    ck_assert_double_eq_tol(p.lift_mm, 0.8475, 1e-12);
    ck_assert_double_gt(p.decision.probability_in, 0.9);
    ck_assert_int_eq(p.decision.verdict, DIALARC_VERDICT_UNDECIDED);
    double ends = p.lift_mm + p.shift_mm;
    double from = 40.0 * acos(1.0 - 2.0 * ends / 2.2) / PI;
    double to = 40.0 * acos(1.0 - 2.0 * 0.875 / 2.2) / PI;
    ck_assert_double_eq_tol(p.decision.turn_pump_deg, to - from, 1e-9);
}
END_TEST

/* --- the shift ---------------------------------------------------------------------- */

START_TEST(shift_is_learned_from_pairs_alone)
{
    const dialarc_round loose[] = {{1, 0.0, 0.80, 0}, {2, 0.0, 0.83, 0}};
    dialarc_plan none = plan_of(shop(), 2, loose);
    ck_assert_uint_eq(none.shifts, 0);
    ck_assert_double_eq_tol(none.shift_mm, 0.0, 1e-15);
    ck_assert(none.shift_sd_mm > 0.010 && none.shift_sd_mm < 0.020);
    ck_assert_double_eq_tol(none.decision.aim_mm, 0.8725, 1e-9);

    const dialarc_round rows[] = {
        {1, 0.0, 0.84, 0}, {1, 0.0, 0.86, 1}, {2, 0.0, 0.85, 0}};
    dialarc_plan one = plan_of(shop(), 3, rows);
    ck_assert_uint_eq(one.shifts, 1);
    ck_assert(one.shift_mm > 0.008 && one.shift_mm < 0.02); /* shrunk towards 0 */
    ck_assert_double_lt(one.shift_sd_mm, none.shift_sd_mm);
    ck_assert_double_eq_tol(one.decision.aim_mm, 0.8725 - one.shift_mm, 1e-3);
    ck_assert_double_gt(one.decision.aim_probability_in,
                        none.decision.aim_probability_in);

    /* The same numbered row by row. */
    const dialarc_round numbered[] = {
        {1, 0.0, 0.84, 0}, {2, 0.0, 0.86, 1}, {3, 0.0, 0.85, 0}};
    ck_assert_double_eq(plan_of(shop(), 3, numbered).shift_mm, one.shift_mm);
    /* Turned between loose and tight: no shift. */
    const dialarc_round moved[] = {
        {1, 0.0, 0.60, 0}, {2, 0.0, 0.86, 1}, {3, 0.0, 0.85, 0}};
    dialarc_plan no = plan_of(shop(), 3, moved);
    ck_assert_uint_eq(no.shifts, 0);
    ck_assert_uint_eq(no.findings.present, 0);
    /* Tight, then loose: no shift either. */
    const dialarc_round back[] = {{1, 0.0, 0.84, 1}, {1, 0.0, 0.86, 0}};
    ck_assert_uint_eq(plan_of(shop(), 2, back).shifts, 0);
}
END_TEST

START_TEST(sign_of_the_shift_follows_the_pairs)
{
    dialarc_round up[10], down[10];
    for (int k = 0; k < 10; k++) {
        up[k] = (dialarc_round){k / 2 + 1, 0.0, 0.87 + (k % 2 ? 0.015 : 0.0), k % 2};
        down[k] = (dialarc_round){k / 2 + 1, 0.0, 0.87 - (k % 2 ? 0.015 : 0.0), k % 2};
    }
    dialarc_plan a = plan_of(shop(), 10, up), b = plan_of(shop(), 10, down);
    ck_assert_double_eq_tol(a.shift_mm, -b.shift_mm, 1e-12);
    ck_assert(a.shift_mm > 0.013 && a.shift_mm < 0.0151);
    ck_assert_double_eq_tol(0.8725 - a.decision.aim_mm, b.decision.aim_mm - 0.8725, 1e-6);
}
END_TEST

/* --- findings ----------------------------------------------------------------------- */

static void check_only(const dialarc_plan *plan, dialarc_finding finding,
                       dialarc_severity severity, size_t row)
{
    ck_assert_uint_eq(plan->findings.present, 1u << finding);
    ck_assert_int_eq(plan->findings.severity[finding], severity);
    ck_assert_uint_eq(plan->findings.row[finding], row);
}

static void check_unusable(const dialarc_plan *plan)
{
    ck_assert_int_eq(plan->decision.verdict, DIALARC_VERDICT_UNUSABLE);
    ck_assert_double_nan(plan->lift_mm);
    ck_assert_double_nan(plan->lift_u_mm);
    ck_assert_double_nan(plan->decision.probability_in);
    ck_assert_double_nan(plan->decision.aim_mm);
}

START_TEST(no_rows)
{
    dialarc_plan p = plan_of(shop(), 0, NULL);
    check_only(&p, DIALARC_FINDING_TOO_FEW_READINGS, DIALARC_SEVERITY_STOP,
               DIALARC_NO_ROW);
    check_unusable(&p);
}
END_TEST

START_TEST(zero_drift)
{
    dialarc_round rows[] = {{1, 0.0, 0.86, 0}, {1, 0.01, 0.87, 1}, {2, 0.0, 0.86, 0}};
    dialarc_plan p = plan_of(shop(), 3, rows);
    ck_assert_uint_eq(p.findings.present, 0); /* one graduation is nothing */
    rows[2].minimum_mm = 0.04;
    rows[2].tdc_mm = 0.90;
    p = plan_of(shop(), 3, rows);
    check_only(&p, DIALARC_FINDING_ZERO_DRIFT, DIALARC_SEVERITY_CAUTION, 2);
    ck_assert_double_eq_tol(p.lift_mm, 0.8625, 1e-12); /* its own minimum counts */
    /* A slow creep is seen too, though each step is small. */
    dialarc_round creep[6];
    for (int k = 0; k < 6; k++)
        creep[k] = (dialarc_round){k + 1, 0.01 * k, 0.86 + 0.01 * k, 1};
    p = plan_of(shop(), 6, creep);
    ck_assert_int_eq(dialarc_findings_has(&p.findings, DIALARC_FINDING_ZERO_DRIFT), 1);
    ck_assert_uint_ge(p.findings.row[DIALARC_FINDING_ZERO_DRIFT], 2);
}
END_TEST

START_TEST(below_zero)
{
    dialarc_round rows[] = {{1, 0.0, 0.86, 0}, {1, 0.0, 0.87, 1}};
    rows[0].minimum_mm = -0.01;
    ck_assert_uint_eq(plan_of(shop(), 2, rows).findings.present, 0);
    /* The minimum lies below the zero of the dial. */
    rows[0].minimum_mm = rows[1].minimum_mm = -0.03;
    dialarc_plan p = plan_of(shop(), 2, rows);
    check_only(&p, DIALARC_FINDING_BELOW_ZERO, DIALARC_SEVERITY_CAUTION, 0);
    ck_assert_double_eq_tol(p.lift_mm, 0.9025, 1e-12);
    /* TDC reads below the minimum: that reading is none. */
    const dialarc_round early[] = {{1, 0.0, -0.20, 0}, {1, 0.0, 0.87, 1}};
    p = plan_of(shop(), 2, early);
    check_only(&p, DIALARC_FINDING_BELOW_ZERO, DIALARC_SEVERITY_CAUTION, 0);
    ck_assert_uint_eq(p.shifts, 0);
    ck_assert_double_eq_tol(p.lift_mm, 0.8725, 1e-12);
    const dialarc_round late[] = {{1, 0.0, 0.86, 0}, {1, 0.0, -0.20, 1}};
    p = plan_of(shop(), 2, late);
    check_only(&p, DIALARC_FINDING_BELOW_ZERO, DIALARC_SEVERITY_STOP, 1);
    check_unusable(&p);
    /* A lift of nothing is still a lift. */
    const dialarc_round nothing[] = {{1, 0.0, 0.0, 1}};
    p = plan_of(shop(), 1, nothing);
    ck_assert_uint_eq(p.findings.present, 0);
    ck_assert_int_eq(p.decision.verdict, DIALARC_VERDICT_LOW);
}
END_TEST

START_TEST(repeatability)
{
    dialarc_round rows[] = {{1, 0.0, 0.87, 1}, {1, 0.0, 0.88, 1}, {1, 0.0, 0.87, 1}};
    dialarc_plan good = plan_of(shop(), 3, rows);
    ck_assert_uint_eq(good.findings.present, 0);
    rows[1].tdc_mm = 0.92;
    dialarc_plan bad = plan_of(shop(), 3, rows);
    check_only(&bad, DIALARC_FINDING_REPEATABILITY, DIALARC_SEVERITY_CAUTION, 1);
    ck_assert_double_gt(bad.lift_u_mm,
                        2.0 * good.lift_u_mm); /* the scatter is believed */
    ck_assert_int_ne(bad.decision.verdict, DIALARC_VERDICT_IN);
    /* Scatter far beyond any table. */
    rows[1].tdc_mm = 50.0;
    bad = plan_of(shop(), 3, rows);
    ck_assert_int_eq(dialarc_findings_has(&bad.findings, DIALARC_FINDING_REPEATABILITY),
                     1);
}
END_TEST

START_TEST(whole_turn)
{
    const dialarc_round last[] = {{1, 0.0, 0.86, 0}, {1, 0.0, 1.87, 1}};
    dialarc_plan p = plan_of(shop(), 2, last);
    check_only(&p, DIALARC_FINDING_WHOLE_TURN_MISREAD, DIALARC_SEVERITY_STOP, 1);
    check_unusable(&p);
    const dialarc_round before[] = {
        {1, 0.0, 0.86, 0}, {1, 0.0, 1.87, 1}, {2, 0.0, 0.87, 0}};
    p = plan_of(shop(), 3, before);
    check_only(&p, DIALARC_FINDING_WHOLE_TURN_MISREAD, DIALARC_SEVERITY_CAUTION, 1);
    ck_assert_uint_eq(p.shifts, 0);
    ck_assert_int_ne(p.decision.verdict, DIALARC_VERDICT_UNUSABLE);
    /* More than the cam can lift. */
    const dialarc_round beyond[] = {{1, 0.0, 2.87, 1}};
    p = plan_of(shop_with_cam(), 1, beyond);
    check_only(&p, DIALARC_FINDING_WHOLE_TURN_MISREAD, DIALARC_SEVERITY_STOP, 0);
    check_unusable(&p);
    ck_assert_uint_eq(plan_of(shop(), 1, beyond).findings.present, 0);
}
END_TEST

START_TEST(slip_while_tightening)
{
    const dialarc_round rows[] = {{1, 0.0, 0.86, 0}, {1, 0.0, 0.60, 1}};
    dialarc_plan p = plan_of(shop(), 2, rows);
    check_only(&p, DIALARC_FINDING_READING_REJECTED, DIALARC_SEVERITY_CAUTION, 1);
    ck_assert_uint_eq(p.shifts, 0);
    ck_assert_int_eq(p.decision.verdict, DIALARC_VERDICT_LOW);
}
END_TEST

static double round_half(double x)
{
    return floor(x + 0.5);
}

/* --- promises kept ------------------------------------------------------------------ */

/* A shop as the mathematics assume it: what is drawn once per job, and readings in it. */
typedef struct world {
    double mean_shift, scatter, hysteresis, tdc_mm, dial_sd, step;
} world;

static world draw_world(sim_random *r, const dialarc_setup *s)
{
    double chi = 0.0;
    for (int k = 0; k < 6; k++)
        chi += pow(sim_normal(r), 2);
    return (world){.mean_shift = 0.014 * sim_normal(r),
                   .scatter = 0.005 * sqrt(6.0 / chi),
                   .hysteresis = sim_uniform(r, 0.0, s->dial_hysteresis_mm),
                   .tdc_mm = 0.04 * s->tdc_sd_deg * sim_normal(r),
                   .dial_sd = s->dial_sd_mm,
                   .step = s->dial_step_mm};
}

/* Reading minus true lift. */
static double error_of(sim_random *r, const world *w)
{
    return -w->hysteresis - w->tdc_mm + w->dial_sd * (sim_normal(r) + sim_normal(r));
}

static dialarc_round read_pair(sim_random *r, const world *w, int round, int tight,
                               double lift, double zero)
{
    double minimum = zero + w->dial_sd * sim_normal(r);
    double tdc = zero + lift - w->hysteresis - w->tdc_mm + w->dial_sd * sim_normal(r);
    return (dialarc_round){round, w->step * round_half(minimum / w->step),
                           w->step * round_half(tdc / w->step), tight};
}

typedef struct score {
    int n, covered, in, false_in, out, false_out;
    double promised, kept, naive, findings;
} score;

/* One job of `pairs` loose-tight pairs; then the aim is tried, and mid-window beside it.
 */
static void one_job(sim_random *r, const dialarc_setup *s, int pairs, score *sum)
{
    dialarc_round rows[12];
    int n = 0;
    world w = draw_world(r, s);
    double lift = 0.0, zero = sim_uniform(r, 0.0, 0.01);
    for (int k = 1; k <= pairs; k++) {
        lift = sim_uniform(r, 0.80, 0.95);
        rows[n++] = read_pair(r, &w, k, 0, lift, zero);
        lift += w.mean_shift + w.scatter * sim_normal(r);
        rows[n++] = read_pair(r, &w, k, 1, lift, zero);
    }
    if (pairs == 0) {
        lift = sim_uniform(r, 0.80, 0.95);
        rows[n++] = read_pair(r, &w, 1, 1, lift, zero);
    }
    dialarc_plan p = plan_of(*s, (size_t)n, rows);
    int good = lift >= LOW && lift <= HIGH;
    dialarc_verdict v = p.decision.verdict;
    sum->n++;
    sum->covered += fabs(p.lift_mm - lift) <= p.lift_u_mm;
    sum->in += v == DIALARC_VERDICT_IN;
    sum->false_in += v == DIALARC_VERDICT_IN && !good;
    sum->out += v == DIALARC_VERDICT_LOW || v == DIALARC_VERDICT_HIGH;
    sum->false_out += (v == DIALARC_VERDICT_LOW && lift >= LOW) ||
                      (v == DIALARC_VERDICT_HIGH && lift <= HIGH);
    sum->findings += p.findings.present != 0;

    /* He turns until the dial shows the reading, then tightens. */
    double off = -error_of(r, &w) + w.mean_shift + w.scatter * sim_normal(r);
    off += w.step * (sim_uniform(r, -0.5, 0.5) + sim_uniform(r, -0.5, 0.5));
    double aimed = p.decision.aim_mm + off, middle = 0.5 * (LOW + HIGH) + off;
    sum->promised += p.decision.aim_probability_in;
    sum->kept += aimed >= LOW && aimed <= HIGH;
    sum->naive += middle >= LOW && middle <= HIGH;
}

static score many_jobs(const dialarc_setup *s, int pairs, int n)
{
    score sum = {0};
    sim_random r;
    sim_seed(&r, 100 + (uint64_t)pairs);
    for (int i = 0; i < n; i++)
        one_job(&r, s, pairs, &sum);
    return sum;
}

static void check_promises(const dialarc_setup *s, int pairs, int n)
{
    score sum = many_jobs(s, pairs, n);
    double p = sum.promised / n;
    ck_assert_double_eq_tol(sum.kept / n, p, 4.0 * sqrt(p * (1.0 - p) / n));
    ck_assert_double_eq_tol((double)sum.covered / n, 0.95, 0.01);
    ck_assert_int_gt(sum.in, n / 50);
    ck_assert_double_le(sum.false_in, 0.025 * sum.in);
    ck_assert_double_le(sum.false_out, 0.025 * sum.out);
    ck_assert_double_le(sum.findings, 0.01 * n); /* nothing is wrong, so no alarms */
    if (pairs) /* the aim halves the failures at least */
        ck_assert_double_lt(n - sum.kept, 0.5 * (n - sum.naive));
    else
        ck_assert_double_gt(sum.kept, sum.naive - 4.0 * sqrt(n));
}

START_TEST(promises_with_a_common_dial)
{
    dialarc_setup s = shop();
    check_promises(&s, _i, 8000);
}
END_TEST

START_TEST(promises_with_a_fine_dial)
{
    dialarc_setup s = shop();
    s.dial_sd_mm = 0.002;
    s.dial_step_mm = 0.002;
    check_promises(&s, _i, 4000);
}
END_TEST

START_TEST(promises_with_much_hysteresis)
{
    dialarc_setup s = shop();
    s.dial_sd_mm = 0.001;
    s.dial_step_mm = 0.001;
    s.dial_hysteresis_mm = 0.02;
    check_promises(&s, _i, 4000);
}
END_TEST

/* Shifts of 0.01 to 0.02 mm, always the same way in one shop: not drawn from the prior.
 */
START_TEST(aim_wins_outside_its_prior_too)
{
    dialarc_setup s = shop();
    sim_random r;
    const int n = 6000;
    int aimed = 0, naive = 0;
    double promised = 0.0;
    sim_seed(&r, 55);
    for (int i = 0; i < n; i++) {
        world w = draw_world(&r, &s);
        w.mean_shift =
            sim_uniform(&r, 0.01, 0.02) * (sim_uniform(&r, 0, 1) < 0.5 ? -1 : 1);
        w.scatter = 0.003;
        dialarc_round rows[4];
        for (int k = 0; k < 2; k++) {
            double lift = sim_uniform(&r, 0.82, 0.92);
            rows[2 * k] = read_pair(&r, &w, k + 1, 0, lift, 0.0);
            lift += w.mean_shift + w.scatter * sim_normal(&r);
            rows[2 * k + 1] = read_pair(&r, &w, k + 1, 1, lift, 0.0);
        }
        dialarc_plan p = plan_of(s, 4, rows);
        double off = -error_of(&r, &w) + w.mean_shift + w.scatter * sim_normal(&r);
        off += w.step * (sim_uniform(&r, -0.5, 0.5) + sim_uniform(&r, -0.5, 0.5));
        promised += p.decision.aim_probability_in;
        aimed += fabs(p.decision.aim_mm + off - 0.875) <= 0.025;
        naive += fabs(0.875 + off - 0.875) <= 0.025;
    }
    ck_assert_int_lt(n - aimed, (n - naive) / 2);
    ck_assert_double_ge((double)aimed / n, promised / n - 0.01);
}
END_TEST

/* --- edges -------------------------------------------------------------------------- */

START_TEST(bad_input_is_refused)
{
    dialarc_setup s = shop();
    const dialarc_round good[] = {{1, 0.0, 0.86, 0}, {2, 0.0, 0.87, 1}};
    dialarc_plan p = {.lift_mm = -7.0};
    ck_assert_int_eq(dialarc_plan_rounds(NULL, 2, good, &p), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_plan_rounds(&s, 2, NULL, &p), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_plan_rounds(&s, 2, good, NULL), DIALARC_ERR_NULL);
    const dialarc_round bad[][2] = {{{1, NAN, 0.86, 0}, {2, 0.0, 0.87, 1}},
                                    {{1, 0.0, 0.86, 0}, {2, 0.0, INFINITY, 1}},
                                    {{2, 0.0, 0.86, 0}, {1, 0.0, 0.87, 1}},
                                    {{0, 0.0, 0.86, 0}, {1, 0.0, 0.87, 1}}};
    const dialarc_status codes[] = {DIALARC_ERR_NOT_FINITE, DIALARC_ERR_NOT_FINITE,
                                    DIALARC_ERR_ORDER, DIALARC_ERR_ORDER};
    for (size_t i = 0; i < 4; i++)
        ck_assert_int_eq(dialarc_plan_rounds(&s, 2, bad[i], &p), codes[i]);
    s.lobes = 17;
    ck_assert_int_eq(dialarc_plan_rounds(&s, 2, good, &p), DIALARC_ERR_LOBES);
    ck_assert_double_eq(p.lift_mm, -7.0);
}
END_TEST

/* Perfect instruments are legal, and so are thousands of rows. */
START_TEST(extremes_are_survived)
{
    dialarc_setup s = shop();
    s.dial_sd_mm = s.dial_step_mm = s.dial_hysteresis_mm = s.tdc_sd_deg = 0.0;
    const dialarc_round rows[] = {{1, 0.0, 0.86, 0}, {1, 0.0, 0.87, 1}};
    dialarc_plan p = plan_of(s, 2, rows);
    ck_assert_int_eq(p.decision.verdict, DIALARC_VERDICT_IN);
    ck_assert_double_eq_tol(p.lift_mm, 0.87, 1e-12);
    ck_assert_double_lt(p.lift_u_mm, 1e-4);

    const size_t n = 20000;
    dialarc_round *many = malloc(n * sizeof *many);
    sim_random r;
    sim_seed(&r, 3);
    s = shop();
    for (size_t i = 0; i < n; i++) /* one setting, read again and again */
        many[i] = (dialarc_round){1, 0.01 * round_half(0.3 * sim_normal(&r)),
                                  0.01 * round_half(87.0 + 0.3 * sim_normal(&r)), 1};
    p = plan_of(s, n, many);
    ck_assert_int_eq(dialarc_findings_has(&p.findings, DIALARC_FINDING_REPEATABILITY), 0);
    ck_assert_double_eq_tol(p.lift_mm, 0.8725, 5e-4);
    for (size_t i = 0; i < n; i++)
        many[i] = (dialarc_round){(int)(i / 2) + 1, 0.0, i % 2 ? 0.885 : 0.87, i % 2};
    p = plan_of(s, n, many);
    ck_assert_uint_eq(p.shifts, n / 2);
    ck_assert_double_eq_tol(p.shift_mm, 0.015, 1e-4);
    free(many);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rounds");
    TCase *tc = tcase_create("plan");
    tcase_add_test(tc, lift_and_uncertainty_of_one_reading);
    tcase_add_test(tc, repeats_are_averaged);
    tcase_add_test(tc, falling_dials_are_turned_round);
    tcase_add_test(tc, silent_setups_are_filled_in);
    tcase_add_test(tc, known_cams_give_rate_and_turn);
    tcase_add_test(tc, verdicts_of_tight_readings);
    tcase_add_test(tc, loose_readings_are_never_in);
    tcase_add_test(tc, loose_readings_are_judged_after_the_shift);
    tcase_add_test(tc, shift_is_learned_from_pairs_alone);
    tcase_add_test(tc, sign_of_the_shift_follows_the_pairs);
    suite_add_tcase(suite, tc);
    tc = tcase_create("findings");
    tcase_add_test(tc, no_rows);
    tcase_add_test(tc, zero_drift);
    tcase_add_test(tc, below_zero);
    tcase_add_test(tc, repeatability);
    tcase_add_test(tc, whole_turn);
    tcase_add_test(tc, slip_while_tightening);
    suite_add_tcase(suite, tc);
    tc = tcase_create("promises");
    tcase_set_timeout(tc, 120.0);
    tcase_add_loop_test(tc, promises_with_a_common_dial, 0, 4);
    tcase_add_loop_test(tc, promises_with_a_fine_dial, 0, 4);
    tcase_add_loop_test(tc, promises_with_much_hysteresis, 0, 3);
    tcase_add_test(tc, aim_wins_outside_its_prior_too);
    suite_add_tcase(suite, tc);
    tc = tcase_create("edges");
    tcase_add_test(tc, bad_input_is_refused);
    tcase_add_test(tc, extremes_are_survived);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
