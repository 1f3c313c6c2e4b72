/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Errors of dial and degree wheel in the rows of the model. */
#include "model/instrument.h"

#include <math.h>

#include "kit/check_main.h"
#include "kit/scene_kit.h"
#include "kit/sweep_kit.h"

#define PI 3.14159265358979323846

/* Out, back and out again over a lobe. */
static void three_passes(scene *s, sim_random *r)
{
    clear(s);
    s->model.rise_law = s->model.fall_law = DIALARC_LAW_MODIFIED_SINE;
    s->model.pitch_deg = 90.0;
    s->model.rise_deg = 40.0;
    s->model.top_deg = 4.0;
    s->model.base_deg = 9.0;
    s->model.dial_turn_mm = 1.0;
    s->param[DARC_ZERO] = 0.3;
    s->param[DARC_FOOT] = -35.0;
    s->param[DARC_LIFT] = 2.3;
    s->param[DARC_SLACK] = 4.0;
    s->param[DARC_HYST] = 0.003;
    add_pass(s, r, -80.0, 70.0, 40, DARC_START_FREE);
    add_pass(s, r, 70.0, -60.0, 40, DARC_START_TURN);
    add_pass(s, r, -60.0, 50.0, 40, DARC_START_TURN);
}

/* Lays out the parameters with or without the terms; the turns stand where the wheel
 * read. */
static void lay_out(scene *s, bool dial, bool wheel)
{
    s->model.dial_terms = dial;
    s->model.wheel_terms = wheel;
    darc_model_layout(&s->model, &s->record);
    memset(s->param + DARC_BASIC, 0, sizeof s->param - DARC_BASIC * sizeof s->param[0]);
    for (int k = 1; k < s->record.passes; k++)
        s->param[darc_turn_index(&s->model, &s->record, k)] =
            s->crank[s->record.pass[k].begin - 1];
}

START_TEST(none_when_not_asked_for)
{
    sim_random r;
    scene s;
    sim_seed(&r, 431);
    three_passes(&s, &r);
    lay_out(&s, false, false);
    ck_assert_int_eq(s.model.n_param, DARC_BASIC + 2);
    lay_out(&s, true, false);
    ck_assert_int_eq(s.model.n_param, DARC_BASIC + DARC_DIAL_TERMS + 2);
    lay_out(&s, true, true);
    ck_assert_int_eq(s.model.n_param,
                     DARC_BASIC + DARC_DIAL_TERMS + DARC_WHEEL_TERMS + 2);
}
END_TEST

/* A wheel that shows e(crank) too much, zero where it is right: rows of what it showed,
 * with its terms, are those of the true angles without. */
START_TEST(an_eccentric_wheel)
{
    sim_random r;
    scene s, true_angles;
    darc_row shown[128], meant[128];
    sim_seed(&r, 432);
    for (int k = 0; k < 20; k++) {
        double half_deg = 0.02, phase = sim_uniform(&r, 0.0, 2.0 * PI);
        double sine = half_deg * cos(phase), cosine = half_deg * sin(phase);
        double zero_deg = k < 10 ? 0.0 : sim_uniform(&r, -90.0, 90.0);
        three_passes(&s, &r);
        true_angles = s;
        true_angles.record.crank_deg = true_angles.crank;
        for (size_t i = 0; i < s.record.n; i++) {
            double at = (s.crank[i] - zero_deg) * PI / 180.0;
            true_angles.crank[i] -= half_deg * (sin(at + phase) - sin(phase));
        }
        s.model.wheel_zero_deg = zero_deg;
        lay_out(&s, false, true);
        lay_out(&true_angles, false, false);
        s.param[s.model.first_wheel] = sine;
        s.param[s.model.first_wheel + 1] = cosine;
        darc_model_rows(&s.model, s.param, &s.record, 0.0, shown);
        darc_model_rows(&true_angles.model, true_angles.param, &true_angles.record, 0.0,
                        meant);
        for (size_t i = 0; i < s.record.n; i++) /* 0.02 degrees: 1e-3 mm on the flank */
            ck_assert_double_eq_tol(shown[i].mean, meant[i].mean, 3e-5);
    }
}
END_TEST

/* What the dial shows of a travel, and the derivatives by the amplitudes. */
START_TEST(a_dial_that_errs)
{
    sim_random r;
    scene s, exact;
    darc_row shown[128], meant[128];
    sim_seed(&r, 433);
    three_passes(&s, &r);
    exact = s;
    exact.record.crank_deg = exact.crank;
    lay_out(&s, true, false);
    lay_out(&exact, false, false);
    double *a = s.param + s.model.first_dial;
    a[0] = 0.01;
    a[1] = 0.004;
    a[2] = -0.003;
    darc_model_rows(&s.model, s.param, &s.record, 0.0, shown);
    darc_model_rows(&exact.model, exact.param, &exact.record, 0.0, meant);
    for (size_t i = 0; i < s.record.n; i++) {
        double x = meant[i].mean - 0.3, turn = 2.0 * PI * x;
        double error = 0.01 * x + 0.004 * sin(turn) - 0.003 * (1.0 - cos(turn));
        double slope = 1.01 + 2.0 * PI * (0.004 * cos(turn) - 0.003 * sin(turn));
        ck_assert_double_eq_tol(shown[i].mean, meant[i].mean + error, 1e-12);
        ck_assert_double_eq_tol(shown[i].slope, meant[i].slope * slope, 1e-12);
        ck_assert_double_eq_tol(shown[i].by[DARC_LIFT], meant[i].by[DARC_LIFT] * slope,
                                1e-12);
        ck_assert_double_eq(shown[i].by[DARC_ZERO], 1.0);
        ck_assert_double_eq_tol(shown[i].by[s.model.first_dial], x, 1e-12);
        ck_assert_double_eq_tol(shown[i].by[s.model.first_dial + 1], sin(turn), 1e-12);
        ck_assert_double_eq_tol(shown[i].by[s.model.first_dial + 2], 1.0 - cos(turn),
                                1e-12);
    }
}
END_TEST

int main(void)
{
    Suite *s = suite_create("instrument");
    TCase *c = tcase_create("instrument");
    tcase_add_test(c, none_when_not_asked_for);
    tcase_add_test(c, an_eccentric_wheel);
    tcase_add_test(c, a_dial_that_errs);
    suite_add_tcase(s, c);
    return darc_run(s);
}
