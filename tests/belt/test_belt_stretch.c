/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A span that is stretched by the push that measures it, beside a chain of elastic links
 * in balance: Hooke's law for each link, a spring that resists bending at each joint, and
 * no formula of a string or beam. Recomputed.
 */
#include <math.h>

#include <dialarc/belt.h>
#include <gsl/gsl_linalg.h>

#include "kit/check_main.h"

#define LINKS     64 /* of the chain; the middle joint is pushed */
#define FREE      (2 * (LINKS - 1))
#define MIDDLE    (LINKS - 1) /* its y among x1, y1, x2, y2, ... */
#define UNTOUCHED 12345.0

/* An invented belt; each test sets what it is about. */
static const dialarc_span held = {.mass_kg_per_m = 0.12,
                                  .length_mm = 160.0,
                                  .mass_sd_kg_per_m = 0.001,
                                  .length_sd_mm = 0.8,
                                  .stretch_n = 1e5,
                                  .stretch_sd_n = 1e4};

/* Energy of a chain under tension when it is straight, and pushed by a force. */
static double energy(const dialarc_span *s, double tension, double force, const double *x)
{
    double h = s->length_mm / LINKS, sum = -force * x[MIDDLE], a[2] = {0.0, 0.0};
    for (int i = 0; i < LINKS; i++) {
        double to[2] = {i < LINKS - 1 ? x[2 * i] : s->length_mm,
                        i < LINKS - 1 ? x[2 * i + 1] : 0.0};
        double at[2] = {i > 0 ? x[2 * i - 2] : 0.0, i > 0 ? x[2 * i - 1] : 0.0};
        double b[2] = {to[0] - at[0], to[1] - at[1]},
               strain = hypot(b[0], b[1]) / h - 1.0;
        sum += h * strain * (tension + 0.5 * s->stretch_n * strain);
        if (i > 0) {
            double turn = atan2(a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1]);
            sum += 0.5 * s->bending_n_mm2 / h * turn * turn;
        }
        a[0] = b[0];
        a[1] = b[1];
    }
    return sum;
}

static void gradient(const dialarc_span *s, double tension, double force, double *x,
                     double *g)
{
    const double step = 3e-5; /* the links' own error falls with its square */
    for (int i = 0; i < FREE; i++) {
        double keep = x[i];
        x[i] = keep + step;
        double up = energy(s, tension, force, x);
        x[i] = keep - step;
        g[i] = (up - energy(s, tension, force, x)) / (2.0 * step);
        x[i] = keep;
    }
}

/* One step of Newton towards the balance; the largest movement. */
static double settle(const dialarc_span *s, double tension, double force, double *x)
{
    static double hessian[FREE * FREE];
    double g[FREE], up[FREE], down[FREE], step[FREE], most = 0.0;
    int sign;
    gradient(s, tension, force, x, g);
    for (int i = 0; i < FREE; i++) {
        double keep = x[i];
        x[i] = keep + 1e-3;
        gradient(s, tension, force, x, up);
        x[i] = keep - 1e-3;
        gradient(s, tension, force, x, down);
        x[i] = keep;
        for (int k = 0; k < FREE; k++)
            hessian[k * FREE + i] = (up[k] - down[k]) / 2e-3;
    }
    gsl_matrix_view m = gsl_matrix_view_array(hessian, FREE, FREE);
    gsl_vector_view right = gsl_vector_view_array(g, FREE);
    gsl_vector_view left = gsl_vector_view_array(step, FREE);
    gsl_permutation *p = gsl_permutation_alloc(FREE);
    gsl_linalg_LU_decomp(&m.matrix, p, &sign);
    gsl_linalg_LU_solve(&m.matrix, p, &right.vector, &left.vector);
    gsl_permutation_free(p);
    for (int i = 0; i < FREE; i++) {
        x[i] -= step[i];
        most = fmax(most, fabs(step[i]));
    }
    return most;
}

/* How far the middle of the chain goes under a force. */
static double deflection(const dialarc_span *s, double tension, double force)
{
    double x[FREE], first = 0.2 * force * s->length_mm / (4.0 * tension);
    for (int i = 1; i < LINKS; i++) {
        x[2 * i - 2] = i * s->length_mm / LINKS;
        x[2 * i - 1] = first * (1.0 - fabs(2.0 * i / LINKS - 1.0));
    }
    int steps = 0;
    while (settle(s, tension, force, x) > 1e-7 && steps++ < 60)
        ;
    ck_assert_int_lt(steps, 60);
    return x[MIDDLE];
}

static dialarc_tension measured(dialarc_span span, double force, double force_sd,
                                double mm, double mm_sd)
{
    dialarc_tension t = {UNTOUCHED, UNTOUCHED, UNTOUCHED};
    ck_assert_int_eq(
        dialarc_belt_tension_from_deflection(&span, force, force_sd, mm, mm_sd, &t),
        DIALARC_OK);
    return t;
}

static double force_for(dialarc_span span, double tension, double mm)
{
    double n = UNTOUCHED;
    ck_assert_int_eq(dialarc_belt_force_from_tension(&span, tension, mm, &n), DIALARC_OK);
    return n;
}

/* A flexible chain takes the place of the belt exactly. */
START_TEST(a_flexible_belt_is_a_chain_of_elastic_links)
{
    const double force[] = {4.0, 18.0, 60.0};
    for (size_t i = 0; i < sizeof force / sizeof force[0]; i++) {
        double mm = deflection(&held, 250.0, force[i]);
        ck_assert_double_eq_tol(measured(held, force[i], 0.0, mm, 0.0).tension_n, 250.0,
                                2e-5);
        ck_assert_double_eq_tol(force_for(held, 250.0, mm), force[i], 2e-6);
    }
}
END_TEST

/* The links' own error falls with the square of their number: 0.13 % of the deflection
 * with 64 of them, 0.47 % with 32. Beyond it 0.03 % are left, as slopes are taken as
 * small. */
START_TEST(a_stiff_belt_is_a_chain_with_springs_in_its_joints)
{
    for (double bending = 2e4; bending < 1e5; bending *= 2.0) {
        dialarc_span span = held;
        span.bending_n_mm2 = bending;
        double force = force_for(span, 250.0, span.length_mm / 64.0);
        double mm = deflection(&span, 250.0, force);
        ck_assert_double_eq_tol(mm, span.length_mm / 64.0, 2e-3 * mm);
        ck_assert_double_eq_tol(measured(span, force, 0.0, mm, 0.0).tension_n, 250.0,
                                0.004 * 250.0);
    }
}
END_TEST

/* By hand, to the first order: 2 E A (d/L)^2 = 2e5 / 4096 N of 250 N are the push's. */
START_TEST(the_stretch_is_not_taken_for_tension)
{
    dialarc_span kept = held;
    kept.stretch_n = kept.stretch_sd_n = 0.0;
    double mm = held.length_mm / 64.0, force = force_for(held, 250.0, mm);
    ck_assert_double_eq_tol(measured(kept, force, 0.0, mm, 0.0).tension_n,
                            250.0 + 2e5 / 4096.0, 0.3);
    ck_assert_double_eq_tol(measured(held, force, 0.0, mm, 0.0).tension_n, 250.0, 1e-9);
}
END_TEST

START_TEST(force_and_tension_undo_each_other)
{
    for (double stretch = 1.0; stretch < 1e6; stretch *= 9.0)
        for (double bending = 0.0; bending < 1e5; bending = 10.0 * bending + 1e-25)
            for (double tension = 80.0; tension < 3000.0; tension *= 2.3) {
                dialarc_span span = held;
                double n = UNTOUCHED;
                span.stretch_n = stretch;
                span.bending_n_mm2 = bending;
                if (dialarc_belt_force_from_tension(&span, tension, 2.0, &n) !=
                    DIALARC_OK)
                    continue; /* bending or stretch take nearly all */
                ck_assert_double_eq_tol(measured(span, n, 0.0, 2.0, 0.0).tension_n,
                                        tension, 1e-11 * (tension + stretch * 4e-4));
            }
}
END_TEST

/* The propagated uncertainty against difference quotients, input by input. */
static void check_uncertainty(dialarc_span span)
{
    const double sd[5] = {span.length_sd_mm, span.bending_sd_n_mm2, span.stretch_sd_n,
                          0.4, 0.05};
    double sum = 0.0, force = force_for(span, 250.0, 2.5);
    for (int i = 0; i < 5; i++) {
        dialarc_span up = span, down = span;
        double f[2] = {force, force}, d[2] = {2.5, 2.5};
        double *x[5] = {&up.length_mm, &up.bending_n_mm2, &up.stretch_n, &f[0], &d[0]};
        double *y[5] = {&down.length_mm, &down.bending_n_mm2, &down.stretch_n, &f[1],
                        &d[1]};
        double step = 1e-5 * *x[i];
        if (step == 0.0)
            continue;
        *x[i] += step;
        *y[i] -= step;
        double slope = (measured(up, f[0], 0.0, d[0], 0.0).tension_n -
                        measured(down, f[1], 0.0, d[1], 0.0).tension_n) /
                       (2.0 * step);
        sum += pow(slope * sd[i], 2);
    }
    dialarc_tension t = measured(span, force, 0.4, 2.5, 0.05);
    ck_assert_double_eq_tol(t.tension_sd_n, sqrt(sum), 1e-6 * t.tension_n);
}

START_TEST(the_uncertainty_is_the_propagated_one)
{
    dialarc_span span = held;
    check_uncertainty(span);
    span.bending_n_mm2 = 2e4;
    span.bending_sd_n_mm2 = 2e3;
    check_uncertainty(span);
    span.stretch_n = span.stretch_sd_n = 0.0;
    check_uncertainty(span);
}
END_TEST

START_TEST(what_cannot_be_is_refused)
{
    const struct {
        double stretch, sd;
        dialarc_status status;
    } bad[] = {{-1.0, 0.0, DIALARC_ERR_STIFFNESS}, {NAN, 0.0, DIALARC_ERR_NOT_FINITE},
               {1e5, -1.0, DIALARC_ERR_SD},        {1e5, NAN, DIALARC_ERR_NOT_FINITE},
               {1e7, 0.0, DIALARC_ERR_STRETCH},    {1e5, 0.0, DIALARC_OK}};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        dialarc_span span = held;
        dialarc_tension t = {UNTOUCHED, UNTOUCHED, UNTOUCHED};
        double n = UNTOUCHED;
        span.stretch_n = bad[i].stretch;
        span.stretch_sd_n = bad[i].sd;
        ck_assert_int_eq(
            dialarc_belt_tension_from_deflection(&span, 18.0, 0.0, 2.5, 0.0, &t),
            bad[i].status);
        ck_assert_int_eq(dialarc_belt_force_from_tension(&span, 250.0, 2.5, &n),
                         bad[i].status);
        ck_assert(bad[i].status == DIALARC_OK ||
                  (t.tension_n == UNTOUCHED && n == UNTOUCHED));
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("belt, stretched");
    TCase *tests = tcase_create("stretch");
    tcase_add_test(tests, a_flexible_belt_is_a_chain_of_elastic_links);
    tcase_add_test(tests, a_stiff_belt_is_a_chain_with_springs_in_its_joints);
    tcase_add_test(tests, the_stretch_is_not_taken_for_tension);
    tcase_add_test(tests, force_and_tension_undo_each_other);
    tcase_add_test(tests, the_uncertainty_is_the_propagated_one);
    tcase_add_test(tests, what_cannot_be_is_refused);
    suite_add_tcase(suite, tests);
    return darc_run(suite);
}
