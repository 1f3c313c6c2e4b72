/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The path model: its derivatives against GSL's finite differences.
 */
#include "model/path.h"
#include <gsl/gsl_deriv.h>
#include <math.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/scene_kit.h"
#include "kit/sweep_kit.h"

/* Four passes, three of which begin at a turn or inside the slack, with parameters that
 * belong to no pump in particular. */
static void random_scene(scene *s, sim_random *r, int learned, dialarc_law law)
{
    clear(s);
    int lobes = sim_integer(r, 3, 6);
    double pitch = 360.0 / lobes, *p = s->param;
    darc_model *m = &s->model;
    m->rise_law = law;
    m->fall_law = (dialarc_law)sim_integer(r, 1, DIALARC_LAW_COUNT - 1);
    m->pitch_deg = pitch;
    m->learned = learned;
    m->terms = learned ? DARC_SHAPE_TERMS : 0;
    m->rise_deg = pitch * sim_uniform(r, 0.35, 0.5);
    m->top_deg = pitch * sim_uniform(r, learned ? -0.02 : 0.0, 0.1);
    m->base_deg = pitch * sim_uniform(r, learned ? -0.02 : 0.02, 0.15);
    m->free_passes = (uint64_t)sim_integer(r, 0, 1);
    m->free_passes |= (uint64_t)sim_integer(r, 0, 1) << 3; /* after a jump */
    double a = -2.0 * pitch * sim_uniform(r, 0.4, 0.6), b = a + 2.0 * pitch;
    add_pass(s, r, a, b, 14, DARC_START_FREE);
    add_pass(s, r, b, a + 10.0, 14, DARC_START_TURN);
    add_pass(s, r, a, b, 10, DARC_START_TURN);
    add_pass(s, r, b, a, 10, DARC_START_FREE);
    darc_model_layout(m, &s->record);
    p[DARC_ZERO] = sim_uniform(r, -1.0, 1.0);
    p[DARC_FOOT] = -2.0 * pitch * sim_uniform(r, 0.0, 0.5);
    p[DARC_LIFT] = sim_uniform(r, 1.5, 3.0);
    p[DARC_SLACK] = sim_uniform(r, 0.5, 12.0);
    p[DARC_HYST] = sim_uniform(r, 0.01, 0.2); /* wide, so that readings lie inside */
    if (learned) {
        p[DARC_RISE] = m->rise_deg;
        p[DARC_TOP] = m->top_deg;
        p[DARC_BASE] = m->base_deg;
        for (int k = 0; k < 2 * m->terms; k++)
            p[DARC_TERMS + k] = 0.02 * sim_normal(r);
    }
    int at = m->first_turn;
    if (m->free_passes & 1u)
        p[at++] = s->crank[0] - p[DARC_SLACK] * sim_uniform(r, 0.1, 0.9);
    p[at++] = s->crank[13] + 0.2;
    p[at++] = s->crank[27] - 0.3;
    if (m->free_passes & 8u)
        p[at++] = s->crank[38] + p[DARC_SLACK] * sim_uniform(r, 0.1, 0.9);
    ck_assert_int_eq(at, m->n_param);
}

/* --- derivatives -------------------------------------------------------------------- */

typedef struct probe {
    scene *s;
    int k;       /* parameter, or -1: pump angle, -2: recorded crank angle */
    size_t i;    /* reading */
    double pump; /* pump angle, for the lift alone */
    int what;    /* 0: lift, 1: its slope */
    darc_row *rows;
} probe;

static double reading_at(double x, void *data)
{
    probe *p = data;
    scene *s = p->s;
    double *at = p->k >= 0 ? &s->param[p->k] : &s->crank[p->i], kept = *at;
    *at = x;
    darc_model_rows(&s->model, s->param, &s->record, s->angle_sd_deg, p->rows);
    *at = kept;
    return p->rows[p->i].mean;
}

static double lift_at(double x, void *data)
{
    probe *p = data;
    scene *s = p->s;
    darc_lift lift;
    double *at = p->k >= 0 ? &s->param[p->k] : &p->pump, kept = *at;
    *at = x;
    darc_model_lift(&s->model, s->param, p->pump, &lift);
    *at = kept;
    return p->what ? lift.per_deg : lift.mm;
}

/* Checks made, and those that a kink near by made impossible. */
typedef struct tally {
    long made, at_kink;
} tally;

/* Fails unless `slope` is the derivative, or GSL's own error estimate says that the
 * function is not smooth there. */
static void compare(double (*f)(double, void *), probe *p, double x, double step,
                    double slope, double tolerance, tally *count)
{
    gsl_function function = {f, p};
    double found, error;
    ck_assert_int_eq(gsl_deriv_central(&function, x, step, &found, &error), 0);
    count->made++;
    if (fabs(found - slope) <= tolerance)
        return;
    ck_assert_msg(error > 0.1 * tolerance,
                  "parameter %d, reading %zu at %.17g: %.12g, finite difference %.12g +- "
                  "%g",
                  p->k, p->i, x, slope, found, error);
    count->at_kink++;
}

static int by_mm(const scene *s, int k)
{
    return k == DARC_ZERO || k == DARC_LIFT || k == DARC_HYST ||
           (k >= DARC_TERMS && k < s->model.first_turn);
}

/* Whether the dial is about to be taken along, by the share of it that already is. The
 * width over which that happens is held fixed in the derivatives. */
static int at_corner(const darc_row *row)
{
    return fabs(row->by[DARC_HYST]) != 0.5;
}

static void check_rows(scene *s, sim_random *r, tally *count)
{
    darc_row rows[64], work[64];
    darc_model_rows(&s->model, s->param, &s->record, s->angle_sd_deg, rows);
    for (int k = 0; k < s->model.n_param; k++)
        for (size_t i = (size_t)sim_integer(r, 0, 5); i < s->record.n; i += 6) {
            probe p = {s, k, i, 0.0, 0, work};
            if (s->angle_sd_deg > 0.0 && at_corner(&rows[i]))
                continue;
            /* 4e-6 mm at the dial: well inside the rounding of its corners */
            double step = by_mm(s, k) ? 4e-6 : 4e-5;
            compare(reading_at, &p, s->param[k], step, rows[i].by[k],
                    by_mm(s, k) ? 1e-6 : 1e-7, count);
        }
}

START_TEST(derivatives_of_readings_known_cam)
{
    sim_random r;
    tally count = {0, 0};
    scene s;
    sim_seed(&r, 401);
    for (int k = 0; k < kit_count(90); k++) {
        random_scene(&s, &r, 0, (dialarc_law)(1 + k % (DIALARC_LAW_COUNT - 1)));
        check_rows(&s, &r, &count);
    }
    ck_assert_msg(count.at_kink * 50 <= count.made, "%ld of %ld at kinks", count.at_kink,
                  count.made);
}
END_TEST

START_TEST(derivatives_of_readings_learned_cam)
{
    sim_random r;
    tally count = {0, 0};
    scene s;
    sim_seed(&r, 402);
    for (int k = 0; k < kit_count(18); k++) {
        random_scene(&s, &r, 1, (dialarc_law)(1 + k % (DIALARC_LAW_COUNT - 1)));
        check_rows(&s, &r, &count);
    }
    ck_assert_msg(count.at_kink * 50 <= count.made, "%ld of %ld at kinks", count.at_kink,
                  count.made);
}
END_TEST

/* On the straight part of a constant rate the errors of the angles do not bend the mean,
 * so that the derivatives hold with them too, also where the slack is being taken up. */
START_TEST(derivatives_with_angle_errors)
{
    sim_random r;
    tally count = {0, 0};
    sim_seed(&r, 403);
    for (int k = 0; k < kit_count(60); k++) {
        scene s;
        clear(&s);
        s.angle_sd_deg = sim_uniform(&r, 0.1, 0.3);
        s.model.rise_law = s.model.fall_law = DIALARC_LAW_CONSTANT_RATE;
        s.model.pitch_deg = 90.0;
        s.model.rise_deg = 45.0;
        s.model.top_deg = 2.0;
        s.model.base_deg = 6.0;
        s.param[DARC_FOOT] = -45.0;
        s.param[DARC_LIFT] = 2.4;
        s.param[DARC_SLACK] = sim_uniform(&r, 2.0, 5.0);
        s.param[DARC_HYST] = 0.3; /* keeps the two plays apart */
        add_pass(&s, &r, -18.0, 17.0, 16, DARC_START_FREE); /* straight: -22.5 .. 22.5 */
        add_pass(&s, &r, 16.0, -18.0, 32, DARC_START_TURN);
        darc_model_layout(&s.model, &s.record);
        s.param[s.model.first_turn] = s.crank[15] + 0.1;
        check_rows(&s, &r, &count);
    }
    ck_assert_msg(count.at_kink * 50 <= count.made, "%ld of %ld at kinks", count.at_kink,
                  count.made);
}
END_TEST

/* Slope, curvature and shape derivatives of the lift alone, all over the lobe. */
static void check_lift(scene *s, double pump, tally *count)
{
    darc_lift at;
    darc_model_lift(&s->model, s->param, pump, &at);
    probe p = {s, -1, 0, pump, 0, NULL};
    compare(lift_at, &p, pump, 1e-3, at.per_deg, 1e-9, count);
    p.what = 1;
    compare(lift_at, &p, pump, 1e-3, at.per_deg2, 1e-9, count);
    p.what = 0;
    p.k = DARC_LIFT;
    compare(lift_at, &p, s->param[DARC_LIFT], 1e-3, at.by_lift, 1e-9, count);
    const double by[] = {at.by_rise, at.by_top, at.by_base};
    for (p.k = DARC_RISE; p.k <= DARC_BASE; p.k++)
        compare(lift_at, &p, s->param[p.k], 1e-3, by[p.k - DARC_RISE], 1e-9, count);
    for (int k = 0; k < 2 * s->model.terms; k++) {
        p.k = DARC_TERMS + k;
        compare(lift_at, &p, s->param[p.k], 1e-3, at.term[k], 1e-9, count);
    }
}

START_TEST(derivatives_of_the_lift)
{
    sim_random r;
    tally count = {0, 0};
    scene s;
    sim_seed(&r, 404);
    for (int k = 0; k < kit_count(180); k++) {
        random_scene(&s, &r, 1, (dialarc_law)(1 + k % (DIALARC_LAW_COUNT - 1)));
        for (int j = 0; j < 40; j++)
            check_lift(&s, s.model.pitch_deg * sim_uniform(&r, -1.0, 2.0), &count);
    }
    ck_assert_msg(count.at_kink * 500 <= count.made, "%ld of %ld at kinks", count.at_kink,
                  count.made);
}
END_TEST

/* Slope by the recorded angle: none at the turn, which is a parameter, nor in the slack.
 * With no hysteresis the dial never stands still, but for a corner where it turns. */
START_TEST(slope_is_that_by_the_recorded_angle)
{
    sim_random r;
    tally count = {0, 0};
    scene s;
    darc_row rows[64], work[64];
    sim_seed(&r, 405);
    for (int k = 0; k < kit_count(90); k++) {
        random_scene(&s, &r, 0, (dialarc_law)(1 + k % (DIALARC_LAW_COUNT - 1)));
        s.param[DARC_HYST] = 0.0;
        darc_model_rows(&s.model, s.param, &s.record, 0.0, rows);
        for (size_t i = 0; i < s.record.n; i++) {
            probe p = {&s, -2, i, 0.0, 0, work};
            if (!at_corner(&rows[i]))
                compare(reading_at, &p, s.crank[i], 4e-5, rows[i].slope, 1e-7, &count);
        }
        ck_assert_double_eq(rows[13].slope, 0.0);
        ck_assert_double_eq(rows[27].slope, 0.0);
    }
    ck_assert_msg(count.at_kink * 25 <= count.made, "%ld of %ld at kinks", count.at_kink,
                  count.made);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("fit_model");
    TCase *tc = tcase_create("derivatives");
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, derivatives_of_the_lift);
    tcase_add_test(tc, derivatives_of_readings_known_cam);
    tcase_add_test(tc, derivatives_of_readings_learned_cam);
    tcase_add_test(tc, derivatives_with_angle_errors);
    tcase_add_test(tc, slope_is_that_by_the_recorded_angle);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
