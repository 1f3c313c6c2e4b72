/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Steps and their words, for every kind of verdict, advice and engine. That who obeys
 * them ends in the window is shown by tests/programs/mechanic.py. */
#include <dialarc.h>
#include <math.h>
#include <string.h>

#include "kit/check_main.h"

enum { MOST = 16 };

typedef struct told {
    size_t n;
    dialarc_step step[MOST];
    char text[MOST][DIALARC_STEP_SIZE];
} told;

static dialarc_setup engine(void)
{
    dialarc_setup s = dialarc_setup_unknown(4);
    s.lift_low_mm = 0.88;
    s.lift_high_mm = 0.92;
    s.dial_step_mm = 0.01;
    s.tdc_sd_deg = 0.08;
    s.rotation = DIALARC_ROTATION_CW;
    s.sprocket_teeth = 44;
    s.sprocket_radius_mm = 66.0;
    s.body_radius_mm = 75.0;
    return s;
}

/* 0.5 pump degrees too late. */
static dialarc_decision late(void)
{
    return (dialarc_decision){.verdict = DIALARC_VERDICT_LOW,
                              .probability_in = 0.001,
                              .probability_low = 0.999,
                              .advance_error_crank_deg = -1.0,
                              .turn_pump_deg = 0.5,
                              .turn_u_pump_deg = 0.1,
                              .turn_rim_mm = 0.576,
                              .turn_body_mm = 0.654,
                              .turn_teeth = 0.061,
                              .turn_rotation = DIALARC_ROTATION_CW,
                              .aim_mm = 0.8973,
                              .aim_probability_in = 0.764,
                              .tdc_sd_deg = 0.08,
                              .tdc_sd_needed_deg = 0.11,
                              .worth_turning = 1,
                              .advice = DIALARC_ADVICE_TURN};
}

static void take(const dialarc_setup *setup, const dialarc_step *step, told *all)
{
    size_t length = 0, k = all->n++;
    all->step[k] = *step;
    ck_assert_int_eq(
        dialarc_step_text(setup, step, all->text[k], DIALARC_STEP_SIZE, &length),
        DIALARC_OK);
    ck_assert_uint_eq(length, strlen(all->text[k]));
}

static told tell(const dialarc_setup *setup, const dialarc_timing *timing,
                 const dialarc_decision *decision)
{
    told all = {0};
    dialarc_step step;
    for (size_t k = 0; k <= MOST; k++) {
        ck_assert_int_eq(dialarc_next_step(setup, timing, decision, k, &step),
                         DIALARC_OK);
        if (step.code == DIALARC_STEP_NONE)
            return all;
        ck_assert_uint_lt(k, MOST);
        take(setup, &step, &all);
    }
    return all;
}

static told tell_rounds(const dialarc_setup *setup, const dialarc_decision *decision)
{
    told all = {0};
    dialarc_step step;
    dialarc_plan plan = {.decision = *decision};
    for (size_t k = 0; k <= MOST; k++) {
        ck_assert_int_eq(dialarc_next_round_step(setup, &plan, k, &step), DIALARC_OK);
        if (step.code == DIALARC_STEP_NONE)
            return all;
        ck_assert_int_eq(step.of_rounds, 1);
        ck_assert_uint_lt(k, MOST);
        take(setup, &step, &all);
    }
    return all;
}

static told tell_late(const dialarc_setup *setup)
{
    const dialarc_timing timing = {.slack_crank_deg = 2.3};
    const dialarc_decision d = late();
    return tell(setup, &timing, &d);
}

/* Place of a step; MOST when it is not told. */
static size_t where(const told *all, dialarc_step_code code)
{
    for (size_t k = 0; k < all->n; k++)
        if (all->step[k].code == code)
            return k;
    return MOST;
}

static int says(const told *all, const char *words)
{
    for (size_t k = 0; k < all->n; k++)
        if (strstr(all->text[k], words))
            return 1;
    return 0;
}

/* One line of plain sentences, counted from 1 without a gap. */
static void check_form(const told *all)
{
    int number = 0;
    ck_assert_uint_gt(all->n, 0);
    ck_assert_int_eq(all->step[0].number, 1);
    for (size_t k = 0; k < all->n; k++) {
        const char *text = all->text[k];
        size_t length = strlen(text);
        if (all->step[k].number)
            ck_assert_int_eq(all->step[k].number, ++number);
        ck_assert_uint_gt(length, 10);
        ck_assert_ptr_nonnull(strchr(".:", text[length - 1]));
        for (size_t i = 0; i < length; i++)
            ck_assert(text[i] >= ' ' && text[i] <= '~');
        ck_assert_ptr_null(strstr(text, "  "));
        ck_assert_ptr_null(strstr(text, "nan"));
        ck_assert_ptr_null(strstr(text, " ,"));
    }
}

/* Every verdict with every advice, of every engine: well formed, and where turning back
 * is forbidden nothing asks for it. */
START_TEST(every_case_is_told)
{
    const dialarc_timing timing = {.slack_crank_deg = DIALARC_UNKNOWN};
    for (int kind = 0; kind < 3 * 3 * 2 * 2; kind++) {
        dialarc_setup s = engine();
        s.turned = (dialarc_turned)(kind % 3);
        s.turn_back = (dialarc_turn_back)(kind / 3 % 3);
        s.window_at = kind / 9 % 2 ? DIALARC_WINDOW_AT_MARK : DIALARC_WINDOW_AT_TDC;
        if (kind / 18 % 2)
            s = dialarc_setup_unknown(4);
        for (int v = 0; v <= DIALARC_VERDICT_UNUSABLE; v++)
            for (int a = 0; a <= DIALARC_ADVICE_CENTRE_WHEEL; a++) {
                dialarc_decision d = late();
                d.verdict = (dialarc_verdict)v;
                d.advice = (dialarc_advice)a;
                d.worth_turning = a % 2;
                const told both[] = {tell(&s, &timing, &d), tell_rounds(&s, &d)};
                for (int k = 0; k < 2; k++) {
                    check_form(&both[k]);
                    if (s.turn_back == DIALARC_TURN_BACK_FORBIDDEN) {
                        ck_assert(!says(&both[k], "crank back"));
                        ck_assert(!says(&both[k], "forward and back"));
                    }
                }
            }
    }
}
END_TEST

/* Wherever the engine is turned over by hand, pins come out first. */
START_TEST(pins_come_out_before_it_is_turned)
{
    dialarc_decision d = late();
    for (int v = DIALARC_VERDICT_IN; v <= DIALARC_VERDICT_LOW; v++) {
        const dialarc_setup s = engine();
        d.verdict = (dialarc_verdict)v;
        const dialarc_timing timing = {.slack_crank_deg = 2.0};
        const told both[] = {tell(&s, &timing, &d), tell_rounds(&s, &d)};
        for (int k = 0; k < 2; k++)
            for (size_t i = 0; i < both[k].n; i++) {
                const char *turns = strstr(both[k].text[i], "crank turns"),
                           *pin = strstr(both[k].text[i], "every locking pin");
                if (turns)
                    ck_assert(pin && pin < turns);
            }
    }
}
END_TEST

/* Shaft and body turn opposite ways for one correction, and so does what is seen from
 * opposite ends. Source: geometry. */
START_TEST(ways_are_opposite)
{
    dialarc_setup s = engine();
    s.turned = DIALARC_TURNED_SHAFT;
    told shaft = tell_late(&s);
    s.turned = DIALARC_TURNED_BODY;
    told body = tell_late(&s);
    size_t k = where(&shaft, DIALARC_STEP_TURN);
    ck_assert_int_eq(shaft.step[k].turn_rotation, DIALARC_ROTATION_CW);
    ck_assert_int_eq(body.step[k].turn_rotation, DIALARC_ROTATION_CCW);
    ck_assert_double_eq(shaft.step[k].turn_along_mm, 0.576);
    ck_assert_double_eq(body.step[k].turn_along_mm, 0.654);
    ck_assert(says(&shaft, "shaft forward in its running direction, clockwise seen from "
                           "the drive end and counter-clockwise from the dial, by 0.50"));
    ck_assert(says(&body, "body against the running direction of its shaft, "
                          "counter-clockwise seen from the drive end and clockwise from "
                          "the dial, by 0.50"));
    s.turned = DIALARC_TURNED_UNKNOWN;
    const told either = tell_late(&s);
    ck_assert(says(&either, "shaft forward in its running direction, clockwise seen"));
    ck_assert(says(&either, "body against the running direction of its shaft, "
                            "counter-clockwise seen"));
}
END_TEST

/* Nobody sees a tenth of a tooth. */
START_TEST(teeth_from_a_half_on)
{
    const dialarc_timing timing = {.slack_crank_deg = 2.0};
    const double teeth[] = {-0.49, 0.49, 0.51, -0.51, 0.76, -1.0};
    for (size_t i = 0; i < 6; i++) {
        const dialarc_setup s = engine();
        dialarc_decision d = late();
        d.turn_teeth = teeth[i];
        const told all = tell(&s, &timing, &d);
        ck_assert_int_eq(says(&all, "of a sprocket tooth"), fabs(teeth[i]) >= 0.5);
        ck_assert_int_eq(where(&all, DIALARC_STEP_WHOLE_TOOTH) < MOST,
                         fabs(teeth[i]) >= 0.75);
    }
}
END_TEST

/* The aim is a mark of the dial, or half way between two where marks are too far apart
 * for the window, and never moves far. */
START_TEST(aim_is_what_the_dial_can_show)
{
    const dialarc_timing timing = {.slack_crank_deg = 2.0};
    const struct {
        double step_mm, half_mm, aim_mm, shown_mm;
        const char *text;
    } cases[] = {
        {0.01, 0.02, 0.8973, 0.90, "stand 0.90 mm"},
        {0.02, 0.03, 0.8973, 0.90, "stand 0.90 mm"},
        {0.02, 0.02, 0.8930, 0.89, "stand 0.89 mm"}, /* half a mark */
        {0.01, 0.009, 0.8945, 0.895, "stand 0.895 mm"},
        {0.005, 0.02, 0.8973, 0.895, "stand 0.895 mm"},
        {0.1, 0.02, 0.8773, 0.877, "stand 0.877 mm"}, /* no mark will do */
        {0.001, 0.02, 0.8973, 0.897, "stand 0.897 mm"},
        {0.0, 0.02, 0.8973, 0.897, "stand 0.897 mm"},
        {DIALARC_UNKNOWN, 0.02, 0.8973, 0.90, "stand 0.90 mm"}, /* 0.01 is assumed */
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        dialarc_setup s = engine();
        dialarc_decision d = late();
        s.dial_step_mm = cases[i].step_mm;
        s.lift_low_mm = 0.9 - cases[i].half_mm;
        s.lift_high_mm = 0.9 + cases[i].half_mm;
        d.aim_mm = cases[i].aim_mm;
        told all = tell(&s, &timing, &d);
        size_t k = where(&all, DIALARC_STEP_AIM);
        ck_assert_double_eq_tol(all.step[k].aim_mm, cases[i].shown_mm, 1e-9);
        ck_assert(says(&all, cases[i].text));
        ck_assert(says(&all, "mm above its reading at the minimum"));
        ck_assert(says(&all, "about 76 %"));
        s.dial_sense = -1;
        all = tell(&s, &timing, &d);
        ck_assert(says(&all, "mm below its reading at the minimum"));
    }
}
END_TEST

/* Far enough back: 20 degrees behind the slack. Common practice, no source. */
START_TEST(slack_is_taken_up)
{
    const double slack[] = {0.0, 2.3, 5.0, 11.2, DIALARC_UNKNOWN};
    const dialarc_decision d = late();
    for (size_t i = 0; i < 5; i++) {
        dialarc_setup s = engine();
        const dialarc_timing timing = {.slack_crank_deg = slack[i]};
        told all = tell(&s, &timing, &d);
        size_t k = where(&all, DIALARC_STEP_COME_FORWARD);
        ck_assert(!isless(all.step[k].back_crank_deg, 20.0 + slack[i]));
        ck_assert(all.step[k].back_crank_deg >= 20.0);
        s.turn_back = DIALARC_TURN_BACK_FORBIDDEN;
        all = tell(&s, &timing, &d);
        ck_assert(isnan(all.step[k].back_crank_deg));
        ck_assert(says(&all, "nearly two full crank turns"));
    }
}
END_TEST

/* Where the lift is asked for. */
START_TEST(place_of_the_window)
{
    dialarc_setup s = engine();
    s.window_at = DIALARC_WINDOW_AT_MARK;
    told all = tell_late(&s);
    ck_assert(says(&all, "come forward to the mark without"));
    s.window_at = DIALARC_WINDOW_AT_TDC;
    s.window_crank_deg = -12.5;
    all = tell_late(&s);
    ck_assert(says(&all, "come forward to 12.5 crank degrees before TDC without"));
    s.window_crank_deg = 3.0;
    all = tell_late(&s);
    ck_assert(says(&all, "come forward to 3 crank degrees after TDC without"));
}
END_TEST

START_TEST(what_tdc_must_be)
{
    const dialarc_timing timing = {.slack_crank_deg = 2.0};
    dialarc_setup s = engine();
    dialarc_decision d = late();
    told all = tell(&s, &timing, &d);
    ck_assert_uint_eq(where(&all, DIALARC_STEP_TDC_NEEDED), MOST);
    s.tdc_sd_deg = DIALARC_UNKNOWN;
    d.tdc_sd_deg = 0.5;
    all = tell(&s, &timing, &d);
    ck_assert(says(&all, "TDC must be known to +- 0.11 crank degrees (sd) for this "
                         "window; tdc_sd_deg is blank, and the mark is assumed to stand "
                         "within 0.5."));
    s.tdc_sd_deg = 0.3;
    d.tdc_sd_deg = 0.3;
    all = tell(&s, &timing, &d);
    ck_assert(says(&all, "; tdc_sd_deg says 0.3."));
    d.tdc_sd_needed_deg = 0.0;
    all = tell(&s, &timing, &d);
    ck_assert(says(&all, "Were TDC exact, this window could not be decided yet"));
}
END_TEST

/* What is in the window is left alone, and the work is brought to its end. */
START_TEST(closing_list)
{
    const dialarc_timing timing = {.slack_crank_deg = 2.0};
    const dialarc_setup s = engine();
    dialarc_decision d = late();
    d.verdict = DIALARC_VERDICT_IN;
    const dialarc_step_code order[] = {DIALARC_STEP_LEAVE_GOOD,   DIALARC_STEP_TORQUE,
                                       DIALARC_STEP_TURN_BY_HAND, DIALARC_STEP_CLOSE_UP,
                                       DIALARC_STEP_FUEL,         DIALARC_STEP_LEAKS};
    const told both[] = {tell(&s, &timing, &d), tell_rounds(&s, &d)};
    for (int k = 0; k < 2; k++) {
        ck_assert_uint_eq(both[k].n, 6);
        for (size_t i = 0; i < 6; i++)
            ck_assert_int_eq(both[k].step[i].code, order[i]);
        ck_assert(!says(&both[k], "turn the pump"));
    }
}
END_TEST

START_TEST(caution_comes_first)
{
    dialarc_timing timing = {.slack_crank_deg = 2.0};
    const dialarc_setup s = engine();
    const dialarc_decision d = late();
    timing.findings.present = 1u << DIALARC_FINDING_ZERO_DRIFT;
    told all = tell(&s, &timing, &d);
    ck_assert_int_eq(all.step[0].code, DIALARC_STEP_TURN);
    timing.findings.severity[DIALARC_FINDING_ZERO_DRIFT] = DIALARC_SEVERITY_CAUTION;
    all = tell(&s, &timing, &d);
    ck_assert_int_eq(all.step[0].code, DIALARC_STEP_SEE_CAUTIONS);
    ck_assert_int_eq(all.step[1].code, DIALARC_STEP_TURN);
}
END_TEST

/* Numbers as long as they come fit, and nothing is cut off. */
START_TEST(the_longest_fits)
{
    const dialarc_timing timing = {.slack_crank_deg = 1e9};
    dialarc_setup s = engine();
    dialarc_decision d = late();
    s.window_at = DIALARC_WINDOW_AT_MARK;
    s.window_crank_deg = -123.45678901234567;
    s.sprocket_radius_mm = 123.45678901234567;
    s.tdc_sd_deg = 0.12345678901234567;
    d.tdc_sd_deg = -1.2345678901234567e-300;
    d.turn_pump_deg = d.turn_rim_mm = d.turn_teeth = -1.2345678901234567e300;
    d.aim_mm = 1.2345678901234567e300;
    const told all = tell(&s, &timing, &d);
    check_form(&all);
    for (size_t k = 0; k < all.n; k++)
        ck_assert_uint_lt(strlen(all.text[k]), DIALARC_STEP_SIZE - 64);
}
END_TEST

START_TEST(refusals)
{
    const dialarc_setup s = engine();
    const dialarc_timing timing = {.slack_crank_deg = 2.0};
    const dialarc_plan plan = {.decision = late()};
    dialarc_decision d = late();
    dialarc_setup bad = s;
    dialarc_step step = {.number = 77};
    char text[DIALARC_STEP_SIZE] = "kept";
    ck_assert_int_eq(dialarc_next_step(NULL, &timing, &d, 0, &step), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_next_step(&s, NULL, &d, 0, &step), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_next_step(&s, &timing, NULL, 0, &step), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_next_step(&s, &timing, &d, 0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_next_round_step(NULL, &plan, 0, &step), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_next_round_step(&s, NULL, 0, &step), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_next_round_step(&s, &plan, 0, NULL), DIALARC_ERR_NULL);
    d.aim_mm = -INFINITY;
    ck_assert_int_eq(dialarc_next_step(&s, &timing, &d, 0, &step),
                     DIALARC_ERR_NOT_FINITE);
    bad.lobes = 0;
    d = late();
    ck_assert_int_eq(dialarc_next_step(&bad, &timing, &d, 0, &step), DIALARC_ERR_LOBES);
    ck_assert_int_eq(step.number, 77);
    ck_assert_int_eq(dialarc_next_step(&s, &timing, &d, (size_t)-1, &step), DIALARC_OK);
    ck_assert_int_eq(step.code, DIALARC_STEP_NONE);
    step.code = DIALARC_STEP_LEAKS;
    ck_assert_int_eq(dialarc_step_text(NULL, &step, text, sizeof text, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_step_text(&s, NULL, text, sizeof text, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_step_text(&s, &step, NULL, sizeof text, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_step_text(&s, &step, text, sizeof text - 1, NULL),
                     DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_step_text(&bad, &step, text, sizeof text, NULL),
                     DIALARC_ERR_LOBES);
    step.code = (dialarc_step_code)(DIALARC_STEP_LEAKS + 1);
    ck_assert_int_eq(dialarc_step_text(&s, &step, text, sizeof text, NULL),
                     DIALARC_ERR_CHOICE);
    step.code = DIALARC_STEP_AIM;
    step.aim_mm = INFINITY;
    ck_assert_int_eq(dialarc_step_text(&s, &step, text, sizeof text, NULL),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_str_eq(text, "kept");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("next_steps");
    TCase *tc = tcase_create("next_steps");
    tcase_add_test(tc, every_case_is_told);
    tcase_add_test(tc, pins_come_out_before_it_is_turned);
    tcase_add_test(tc, ways_are_opposite);
    tcase_add_test(tc, teeth_from_a_half_on);
    tcase_add_test(tc, aim_is_what_the_dial_can_show);
    tcase_add_test(tc, slack_is_taken_up);
    tcase_add_test(tc, place_of_the_window);
    tcase_add_test(tc, what_tdc_must_be);
    tcase_add_test(tc, closing_list);
    tcase_add_test(tc, caution_comes_first);
    tcase_add_test(tc, the_longest_fits);
    tcase_add_test(tc, refusals);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
