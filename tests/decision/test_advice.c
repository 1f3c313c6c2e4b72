/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What TDC must be known to, whether a correction is worth making, what to do next. */
#include <dialarc/advice.h>
#include <dialarc/decision.h>
#include <dialarc/rounds.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/simulate.h"

#define Z    1.959963984540054
#define RATE 0.045 /* mm per crank degree, 0.09 per pump degree */
#define LOW  0.86
#define HIGH 0.90

/* A timing on a straight flank. */
static dialarc_timing timing_of(double lift, double readings, double tdc, double cam)
{
    dialarc_timing t;
    memset(&t, 0, sizeof t);
    t.lift_mm = lift;
    t.budget.readings_mm = readings;
    t.budget.tdc_mm = tdc;
    t.budget.cam_mm = cam;
    t.budget.total_mm = sqrt(readings * readings + tdc * tdc + cam * cam);
    t.lift_u_mm = Z * t.budget.total_mm;
    t.dial_hysteresis_mm = 0.003;
    t.dial_hysteresis_u_mm = 0.001;
    t.rate_mm_per_crank_deg = RATE;
    t.rise_pump_deg = 24.0;
    for (int k = 0; k <= DIALARC_RISE_INTERVALS; k++)
        t.rise_mm[k] = 2.0 * RATE * 24.0 * k / DIALARC_RISE_INTERVALS;
    return t;
}

static dialarc_setup setup_of(double low, double high, double tdc_sd_deg)
{
    dialarc_setup s = dialarc_setup_unknown(4);
    s.lift_low_mm = low;
    s.lift_high_mm = high;
    s.tdc_sd_deg = tdc_sd_deg;
    s.dial_sd_mm = 0.001;
    s.dial_step_mm = 0.002;
    return s;
}

static dialarc_decision judge(dialarc_setup setup, dialarc_timing timing)
{
    dialarc_decision d;
    ck_assert_int_eq(dialarc_decision_judge(&setup, &timing, &d), DIALARC_OK);
    return d;
}

START_TEST(advice_has_names_and_sentences)
{
    const char *names[] = {
        "",           "leave",    "turn",      "tighten",     "see_findings",
        "read_again", "find_tdc", "learn_cam", "better_dial", "centre_wheel"};
    for (int a = 0; a <= DIALARC_ADVICE_CENTRE_WHEEL; a++) {
        ck_assert_str_eq(dialarc_advice_name((dialarc_advice)a), names[a]);
        const char *text = dialarc_advice_text((dialarc_advice)a);
        ck_assert_int_eq(text[strlen(text) - 1], '.');
        ck_assert_ptr_null(strstr(text, "Unknown"));
    }
    const int strangers[] = {-1, DIALARC_ADVICE_CENTRE_WHEEL + 1};
    for (size_t i = 0; i < 2; i++) {
        ck_assert_str_eq(dialarc_advice_name((dialarc_advice)strangers[i]), "unknown");
        ck_assert_ptr_nonnull(
            strstr(dialarc_advice_text((dialarc_advice)strangers[i]), "Unknown"));
    }
}
END_TEST

/* With the sd of TDC that is needed a lift in mid-window is just sure to be in: the rule
 * of the verdict (JCGM 106:2012, 7.4) turned round. */
START_TEST(the_sd_needed_just_decides)
{
    const double rest[] = {0.0, 0.003, 0.006, 0.0089}, width[] = {0.04, 0.06, 0.2};
    for (size_t i = 0; i < 4; i++)
        for (size_t k = 0; k < 3; k++) {
            double high = LOW + width[k], middle = 0.5 * (LOW + high);
            dialarc_decision d =
                judge(setup_of(LOW, high, 0.5), timing_of(0.7, rest[i], 0.5 * RATE, 0.0));
            double needed = d.tdc_sd_needed_deg;
            ck_assert_double_gt(needed, 0.0);
            ck_assert_double_eq(d.tdc_sd_deg, 0.5);
            d = judge(setup_of(LOW, high, 0.999999 * needed),
                      timing_of(middle, rest[i], 0.999999 * needed * RATE, 0.0));
            ck_assert_int_eq(d.verdict, DIALARC_VERDICT_IN);
            ck_assert_double_eq_tol(d.probability_in, 0.975, 1e-6);
            d = judge(setup_of(LOW, high, 1.000001 * needed),
                      timing_of(middle, rest[i], 1.000001 * needed * RATE, 0.0));
            ck_assert_int_eq(d.verdict, DIALARC_VERDICT_UNDECIDED);
        }
}
END_TEST

/* 0.04 mm, and nothing else uncertain: 0.02 mm over the normal quantile of 0.9875
 * (recomputed to 25 digits: 2.2414027276049454), over the rate. */
START_TEST(the_sd_needed_in_closed_form)
{
    dialarc_decision d =
        judge(setup_of(LOW, HIGH, 0.1), timing_of(0.88, 0.0, 0.1 * RATE, 0.0));
    ck_assert_double_eq_tol(d.tdc_sd_needed_deg, 0.02 / 2.2414027276049454 / RATE, 1e-14);
    d = judge(setup_of(LOW, HIGH, 0.1), timing_of(0.88, 0.009, 0.1 * RATE, 0.0));
    ck_assert_double_eq(d.tdc_sd_needed_deg, 0.0); /* 0.00892 is the most there may be */
    dialarc_timing flat = timing_of(0.88, 0.001, 0.0, 0.0);
    flat.rate_mm_per_crank_deg = 0.0; /* TDC does not matter */
    ck_assert_double_nan(judge(setup_of(LOW, HIGH, 0.1), flat).tdc_sd_needed_deg);
    dialarc_setup none = dialarc_setup_unknown(4);
    ck_assert_double_nan(judge(none, timing_of(0.88, 0.0, 0.0, 0.0)).tdc_sd_needed_deg);
}
END_TEST

/* Where the mark itself is meant, what is not stated is how well it is met. */
START_TEST(what_is_assumed_of_tdc_and_of_a_mark)
{
    dialarc_setup s = setup_of(LOW, HIGH, DIALARC_UNKNOWN);
    dialarc_timing t = timing_of(0.88, 0.001, 0.01, 0.0);
    ck_assert_double_eq(judge(s, t).tdc_sd_deg, 0.5);
    s.window_at = DIALARC_WINDOW_AT_TDC;
    ck_assert_double_eq(judge(s, t).tdc_sd_deg, 0.5);
    s.window_at = DIALARC_WINDOW_AT_MARK;
    ck_assert_double_eq(judge(s, t).tdc_sd_deg, 0.1);
    s.tdc_sd_deg = 0.03;
    ck_assert_double_eq(judge(s, t).tdc_sd_deg, 0.03);
}
END_TEST

/* The same rule in rounds, where the hysteresis may be anything up to its largest. */
START_TEST(the_sd_needed_of_rounds)
{
    const double hysteresis[] = {0.0, 0.004, 0.02};
    for (int k = 0; k < 3; k++) {
        dialarc_setup s = setup_of(LOW, HIGH, 0.3);
        s.dial_hysteresis_mm = hysteresis[k];
        const dialarc_round r[] = {{1, 0.0, 0.88 - 0.5 * hysteresis[k], 1}};
        dialarc_plan p;
        ck_assert_int_eq(dialarc_plan_rounds(&s, 1, r, &p), DIALARC_OK);
        double needed = p.decision.tdc_sd_needed_deg;
        ck_assert_double_gt(needed, 0.05);
        for (int over = 0; over < 2; over++) {
            s.tdc_sd_deg = needed * (over ? 1.00001 : 0.99999);
            ck_assert_int_eq(dialarc_plan_rounds(&s, 1, r, &p), DIALARC_OK);
            ck_assert_int_eq(p.decision.verdict,
                             over ? DIALARC_VERDICT_UNDECIDED : DIALARC_VERDICT_IN);
        }
    }
    dialarc_setup s = setup_of(LOW, HIGH, 0.3);
    s.dial_hysteresis_mm = 0.05; /* wider than the window */
    const dialarc_round r[] = {{1, 0.0, 0.855, 1}};
    dialarc_plan p;
    ck_assert_int_eq(dialarc_plan_rounds(&s, 1, r, &p), DIALARC_OK);
    ck_assert_double_eq(p.decision.tdc_sd_needed_deg, 0.0);
    ck_assert(dialarc_findings_has(&p.findings, DIALARC_FINDING_WINDOW_TOO_NARROW));
}
END_TEST

START_TEST(what_is_sure_needs_no_more)
{
    dialarc_setup s = setup_of(LOW, HIGH, 0.1);
    ck_assert_int_eq(judge(s, timing_of(0.88, 0.002, 0.0045, 0.0)).advice,
                     DIALARC_ADVICE_LEAVE);
    ck_assert_int_eq(judge(s, timing_of(0.80, 0.002, 0.0045, 0.0)).advice,
                     DIALARC_ADVICE_TURN);
    ck_assert_int_eq(judge(s, timing_of(0.95, 0.002, 0.0045, 0.0)).advice,
                     DIALARC_ADVICE_TURN);
    ck_assert_int_eq(judge(s, timing_of(DIALARC_UNKNOWN, 0.0, 0.0, 0.0)).advice,
                     DIALARC_ADVICE_SEE_FINDINGS);
    ck_assert_int_eq(
        judge(dialarc_setup_unknown(4), timing_of(0.88, 0.002, 0.0045, 0.0)).advice,
        DIALARC_ADVICE_NONE);
}
END_TEST

/* What is too unsure for the window: the weakest point first. */
START_TEST(the_weakest_point_comes_first)
{
    dialarc_setup s = setup_of(LOW, HIGH, 0.5);
    ck_assert_int_eq(judge(s, timing_of(0.88, 0.004, 0.5 * RATE, 0.0)).advice,
                     DIALARC_ADVICE_FIND_TDC);
    s.tdc_sd_deg = 0.1;
    ck_assert_int_eq(judge(s, timing_of(0.88, 0.012, 0.1 * RATE, 0.0)).advice,
                     DIALARC_ADVICE_READ_AGAIN);
    ck_assert_int_eq(judge(s, timing_of(0.88, 0.004, 0.1 * RATE, 0.012)).advice,
                     DIALARC_ADVICE_LEARN_CAM);
}
END_TEST

/* Near a limit of a window that can be decided: a correction of 0.007 mm at a standard
 * uncertainty of 0.008 is none, one of 0.017 mm is; and none that would shift
 * the setting by less than tightening does. */
START_TEST(no_correction_below_its_uncertainty)
{
    dialarc_setup s = setup_of(LOW, HIGH, 0.15);
    dialarc_decision d = judge(s, timing_of(0.887, 0.004, 0.15 * RATE, 0.0));
    ck_assert_int_eq(d.verdict, DIALARC_VERDICT_UNDECIDED);
    ck_assert_double_gt(d.tdc_sd_needed_deg, 0.15);
    ck_assert_double_eq_tol(d.turn_pump_deg, -0.007 / (2.0 * RATE), 1e-9);
    ck_assert_double_eq_tol(d.turn_u_pump_deg, Z * hypot(0.004, 0.15 * RATE) / 2.0 / RATE,
                            1e-12);
    ck_assert_int_eq(d.advice, DIALARC_ADVICE_LEAVE);
    d = judge(s, timing_of(0.897, 0.004, 0.15 * RATE, 0.0));
    ck_assert_int_eq(d.verdict, DIALARC_VERDICT_UNDECIDED);
    ck_assert_int_eq(d.advice, DIALARC_ADVICE_TURN);
    /* the same by readings that could be bettered */
    s.tdc_sd_deg = 0.05;
    d = judge(s, timing_of(0.886, 0.0075, 0.05 * RATE, 0.0));
    ck_assert_int_eq(d.verdict, DIALARC_VERDICT_UNDECIDED);
    ck_assert_int_eq(d.advice, DIALARC_ADVICE_READ_AGAIN);
}
END_TEST

/* A window so narrow that the correction is one that no hand can set: 0.1 mm at the
 * radius at which the body or the sprocket is turned. */
START_TEST(no_correction_that_no_hand_can_turn)
{
    dialarc_setup s = setup_of(0.870, 0.890, 0.02);
    dialarc_timing t = timing_of(0.8915, 0.0015, 0.02 * RATE, 0.0);
    t.rate_mm_per_crank_deg *= 2.0; /* 0.0115 mm: 0.064 pump degrees */
    for (int k = 0; k <= DIALARC_RISE_INTERVALS; k++)
        t.rise_mm[k] *= 2.0;
    dialarc_decision d = judge(s, t);
    ck_assert_int_eq(d.verdict, DIALARC_VERDICT_UNDECIDED);
    ck_assert_double_gt(d.aim_probability_in, d.probability_in);
    ck_assert_double_gt(fabs(d.turn_pump_deg), d.turn_u_pump_deg);
    ck_assert_int_ne(d.advice, DIALARC_ADVICE_TURN);
    s.sprocket_radius_mm = 100.0; /* 0.057 degrees */
    ck_assert_int_eq(judge(s, t).advice, DIALARC_ADVICE_TURN);
    s.turned = DIALARC_TURNED_BODY;
    s.body_radius_mm = 80.0; /* 0.072 degrees */
    ck_assert_int_ne(judge(s, t).advice, DIALARC_ADVICE_TURN);
    s.body_radius_mm = 110.0;
    d = judge(s, t);
    ck_assert_int_eq(d.advice, DIALARC_ADVICE_TURN);
    ck_assert_double_eq_tol(d.turn_body_mm,
                            d.turn_pump_deg * 3.14159265358979 / 180.0 * 110.0, 1e-12);
}
END_TEST

/* Tightening shifts a setting by 0.015 mm rms, as the decision assumes. */
static double shifted(sim_random *r)
{
    double chi = 0.0;
    for (int k = 0; k < 6; k++)
        chi += pow(sim_normal(r), 2.0);
    return 0.014 * sim_normal(r) + 0.005 * sqrt(6.0 / chi) * sim_normal(r);
}

/* A mechanic who comes to the aim, reads, and tightens; what the lift is then. */
static double set_anew(const dialarc_setup *s, const dialarc_decision *d, double mark,
                       sim_random *r)
{
    double half = 0.5 * s->dial_step_mm;
    double error = s->dial_sd_mm * (sim_normal(r) + sim_normal(r)) +
                   sim_uniform(r, -half, half) + sim_uniform(r, -half, half);
    return d->aim_mm + 0.003 + 0.0005 * sim_normal(r) + error + mark + shifted(r);
}

/*
 * Mechanics with pumps anywhere about the window. Who turns when told to ends in the
 * window more often than he was before; who is told to leave it, more often than had he
 * turned.
 */
START_TEST(mechanics_do_well_to_follow)
{
    const double readings = 0.004, tdc_sd = 0.12;
    dialarc_setup s = setup_of(LOW, HIGH, tdc_sd);
    int told = 0, turn_before = 0, turn_after = 0, left = 0, left_before = 0,
        left_after = 0;
    sim_random r;
    sim_seed(&r, 20261);
    for (int k = 0; k < 20000; k++) {
        double truth = sim_uniform(&r, LOW - 0.03, HIGH + 0.03);
        double mark = RATE * tdc_sd * sim_normal(&r);
        double seen = truth - mark + readings * sim_normal(&r);
        dialarc_decision d = judge(s, timing_of(seen, readings, RATE * tdc_sd, 0.0));
        bool in = truth >= LOW && truth <= HIGH;
        double after = set_anew(&s, &d, mark, &r);
        bool in_after = after >= LOW && after <= HIGH;
        if (d.verdict == DIALARC_VERDICT_UNDECIDED && d.advice == DIALARC_ADVICE_TURN) {
            told++;
            turn_before += in;
            turn_after += in_after;
        } else if (d.advice == DIALARC_ADVICE_LEAVE) {
            left++;
            left_before += in;
            left_after += in_after;
        }
    }
    ck_assert_int_gt(told, 1000);
    ck_assert_int_gt(left, 2000);
    ck_assert_int_gt(turn_after, turn_before + told / 10);
    ck_assert_int_gt(left_before, left_after + left / 10);
}
END_TEST

/* A loose setting of rounds: tighten where turning would not better its chance. */
START_TEST(loose_rounds)
{
    dialarc_setup s = setup_of(LOW, HIGH, 0.1);
    const dialarc_round good[] = {{1, 0.0, 0.877, 0}}, poor[] = {{1, 0.0, 0.897, 0}},
                        bad[] = {{1, 0.0, 0.70, 0}};
    dialarc_plan p;
    ck_assert_int_eq(dialarc_plan_rounds(&s, 1, good, &p), DIALARC_OK);
    ck_assert_int_eq(p.decision.advice, DIALARC_ADVICE_TIGHTEN);
    ck_assert_int_eq(dialarc_plan_rounds(&s, 1, poor, &p), DIALARC_OK);
    ck_assert_int_eq(p.decision.advice, DIALARC_ADVICE_TURN);
    ck_assert_int_eq(dialarc_plan_rounds(&s, 1, bad, &p), DIALARC_OK);
    ck_assert_int_eq(p.decision.advice, DIALARC_ADVICE_TURN);
    ck_assert_int_eq(dialarc_plan_rounds(&s, 0, NULL, &p), DIALARC_OK);
    ck_assert_int_eq(p.decision.advice, DIALARC_ADVICE_SEE_FINDINGS);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("advice");
    TCase *c = tcase_create("tdc");
    tcase_add_test(c, advice_has_names_and_sentences);
    tcase_add_test(c, the_sd_needed_just_decides);
    tcase_add_test(c, the_sd_needed_in_closed_form);
    tcase_add_test(c, what_is_assumed_of_tdc_and_of_a_mark);
    tcase_add_test(c, the_sd_needed_of_rounds);
    suite_add_tcase(s, c);
    c = tcase_create("advice");
    tcase_add_test(c, what_is_sure_needs_no_more);
    tcase_add_test(c, the_weakest_point_comes_first);
    tcase_add_test(c, no_correction_below_its_uncertainty);
    tcase_add_test(c, no_correction_that_no_hand_can_turn);
    tcase_add_test(c, mechanics_do_well_to_follow);
    tcase_add_test(c, loose_rounds);
    suite_add_tcase(s, c);
    return darc_run(s);
}
