/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/uncertainty.h>
#include <math.h>

#include "kit/check_main.h"
#include "kit/refdata.h"

static void check(const char *quantity, double computed)
{
    refdata *table = refdata_open("budget.csv");
    refdata_check(table, refdata_find(table, "quantity", quantity), computed);
    refdata_close(table);
}

static double half_width(dialarc_shape shape, double a)
{
    double sd = NAN;
    ck_assert_int_eq(dialarc_uncertainty_half_width(shape, a, &sd), DIALARC_OK);
    return sd;
}

static double rounding(double step)
{
    double sd = NAN;
    ck_assert_int_eq(dialarc_uncertainty_rounding(step, &sd), DIALARC_OK);
    return sd;
}

START_TEST(limits_become_standard_uncertainties)
{
    check("rectangular", half_width(DIALARC_SHAPE_RECTANGULAR, 1.0));
    check("triangular", half_width(DIALARC_SHAPE_TRIANGULAR, 1.0));
    check("arcsine", half_width(DIALARC_SHAPE_ARCSINE, 1.0));
    check("mpe_span_15_um", half_width(DIALARC_SHAPE_RECTANGULAR, 7.5));
    check("mpe_plus_minus_15_um", half_width(DIALARC_SHAPE_RECTANGULAR, 15.0));
    check("full_width", rounding(1.0));
    check("graduation_0.01_mm", rounding(0.01));
    ck_assert_double_eq(half_width(DIALARC_SHAPE_ARCSINE, 0.0), 0.0);
}
END_TEST

START_TEST(limits_that_are_none_are_refused)
{
    double sd = -7.0;
    const dialarc_shape r = DIALARC_SHAPE_RECTANGULAR;
    ck_assert_int_eq(dialarc_uncertainty_half_width(r, 1.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_uncertainty_half_width(r, -1.0, &sd), DIALARC_ERR_SD);
    ck_assert_int_eq(dialarc_uncertainty_half_width(r, NAN, &sd), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_uncertainty_half_width(r, INFINITY, &sd),
                     DIALARC_ERR_NOT_FINITE);
    const int none[] = {DIALARC_SHAPE_NORMAL, DIALARC_SHAPE_STUDENT, DIALARC_SHAPE_COUNT,
                        -1};
    for (size_t i = 0; i < sizeof none / sizeof none[0]; i++)
        ck_assert_int_eq(dialarc_uncertainty_half_width((dialarc_shape)none[i], 1.0, &sd),
                         DIALARC_ERR_SHAPE);
    ck_assert_int_eq(dialarc_uncertainty_rounding(0.01, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_uncertainty_rounding(-0.01, &sd), DIALARC_ERR_SD);
    ck_assert_int_eq(dialarc_uncertainty_rounding(NAN, &sd), DIALARC_ERR_NOT_FINITE);
    ck_assert_double_eq(sd, -7.0);
}
END_TEST

/* JCGM 100:2008, H.1: an end gauge measured in a comparator, lengths in nm. */
START_TEST(end_gauge_of_the_guide)
{
    const double alpha_sd = half_width(DIALARC_SHAPE_RECTANGULAR, 1e-6);
    const double theta_sd = half_width(DIALARC_SHAPE_RECTANGULAR, 0.05);
    const double ls = 50000623.0, alpha = 11.5e-6, theta = -0.1;
    check("h1_u_dalpha", fabs(ls * theta * alpha_sd));
    check("h1_u_dtheta", ls * alpha * theta_sd);

    const double ones[] = {1.0, 1.0, 1.0}, d[] = {5.8, 3.9, 6.7}, d_dof[] = {24, 5, 8};
    double u_d, nu_d, u_c, nu, t, factor;
    ck_assert_int_eq(dialarc_uncertainty_combine(3, ones, d, NULL, &u_d), DIALARC_OK);
    ck_assert_int_eq(dialarc_uncertainty_effective_dof(3, d, d_dof, &nu_d), DIALARC_OK);
    check("h1_u_d", u_d);
    check("h1_nu_d", nu_d);

    const double c[] = {1.0, 1.0, -ls * theta, -ls * alpha};
    const double u[] = {25.0, u_d, alpha_sd, theta_sd};
    const double component[] = {25.0, u_d, c[2] * alpha_sd, c[3] * theta_sd};
    const double dof[] = {18.0, nu_d, 50.0, 2.0};
    ck_assert_int_eq(dialarc_uncertainty_combine(4, c, u, NULL, &u_c), DIALARC_OK);
    ck_assert_int_eq(dialarc_uncertainty_effective_dof(4, component, dof, &nu),
                     DIALARC_OK);
    check("h1_u_c", u_c);
    check("h1_u_c_printed", u_c);
    check("h1_nu_eff", nu);
    ck_assert_int_eq(dialarc_uncertainty_t_quantile(0.995, floor(nu), &t), DIALARC_OK);
    check("h1_t99_16", t);
    ck_assert_int_eq(dialarc_uncertainty_coverage_factor(0.99, floor(nu), &factor),
                     DIALARC_OK);
    check("h1_U99", factor * u_c);
}
END_TEST

START_TEST(correlation_counts)
{
    /* Full correlation adds the parts themselves, with their signs. */
    const double c[] = {2.0, -1.0}, u[] = {0.3, 0.4};
    const double together[] = {1, 1, 1, 1}, against[] = {1, -1, -1, 1},
                 none[] = {1, 0, 0, 1};
    double sd;
    ck_assert_int_eq(dialarc_uncertainty_combine(2, c, u, together, &sd), DIALARC_OK);
    ck_assert_double_eq_tol(sd, 0.2, 1e-15);
    ck_assert_int_eq(dialarc_uncertainty_combine(2, c, u, against, &sd), DIALARC_OK);
    ck_assert_double_eq_tol(sd, 1.0, 1e-15);
    ck_assert_int_eq(dialarc_uncertainty_combine(2, c, u, none, &sd), DIALARC_OK);
    ck_assert_double_eq_tol(sd, sqrt(0.52), 1e-15);
    ck_assert_int_eq(dialarc_uncertainty_combine(0, NULL, NULL, NULL, &sd), DIALARC_OK);
    ck_assert_double_eq(sd, 0.0);
    /* Parts that cancel leave 0, not the root of a rounding error below 0. */
    const double c3[] = {0.1, 0.1}, u3[] = {0.7, 0.7};
    ck_assert_int_eq(dialarc_uncertainty_combine(2, c3, u3, against, &sd), DIALARC_OK);
    ck_assert_double_eq(sd, 0.0);
}
END_TEST

START_TEST(bad_budgets_are_refused)
{
    const double c[] = {1, 1, 1}, u[] = {1, 1, 1}, nan_[] = {1, NAN, 1},
                 neg[] = {1, -1, 1};
    const double not_unit[] = {0.9, 0, 0, 1}, lopsided[] = {1, 0.5, 0.4, 1};
    const double beyond[] = {1, 1.5, 1.5, 1}, bad[] = {1, NAN, NAN, 1};
    const double impossible[] = {1, -1, -1, -1, 1, -1, -1, -1, 1};
    double sd = -7.0;
    ck_assert_int_eq(dialarc_uncertainty_combine(3, NULL, u, NULL, &sd),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_uncertainty_combine(3, c, NULL, NULL, &sd),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_uncertainty_combine(3, c, u, NULL, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_uncertainty_combine(3, nan_, u, NULL, &sd),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_uncertainty_combine(3, c, nan_, NULL, &sd),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_uncertainty_combine(3, c, neg, NULL, &sd), DIALARC_ERR_SD);
    ck_assert_int_eq(dialarc_uncertainty_combine(2, c, u, not_unit, &sd),
                     DIALARC_ERR_PROBABILITY);
    ck_assert_int_eq(dialarc_uncertainty_combine(2, c, u, lopsided, &sd),
                     DIALARC_ERR_PROBABILITY);
    ck_assert_int_eq(dialarc_uncertainty_combine(2, c, u, beyond, &sd),
                     DIALARC_ERR_PROBABILITY);
    ck_assert_int_eq(dialarc_uncertainty_combine(2, c, u, bad, &sd),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_uncertainty_combine(3, c, u, impossible, &sd),
                     DIALARC_ERR_PROBABILITY);
    ck_assert_double_eq(sd, -7.0);
}
END_TEST

START_TEST(effective_dof_at_its_edges)
{
    const double u[] = {1.0, 1.0}, dof[] = {5.0, 5.0}, exact[] = {0, 0},
                 one[] = {5.0, 0.0};
    const double zero[] = {0.0, 0.0}, low[] = {5.0, 0.5}, tiny[] = {1e-200, 1e-200};
    double nu = -7.0;
    ck_assert_int_eq(dialarc_uncertainty_effective_dof(1, u, dof, &nu), DIALARC_OK);
    ck_assert_double_eq(nu, 5.0);
    ck_assert_int_eq(dialarc_uncertainty_effective_dof(2, u, dof, &nu), DIALARC_OK);
    ck_assert_double_eq_tol(nu, 10.0, 1e-14); /* equal parts: the sum of both */
    ck_assert_int_eq(dialarc_uncertainty_effective_dof(2, tiny, dof, &nu), DIALARC_OK);
    ck_assert_double_eq_tol(nu, 10.0, 1e-14);
    ck_assert_int_eq(dialarc_uncertainty_effective_dof(2, u, exact, &nu), DIALARC_OK);
    ck_assert_double_eq(nu, 0.0);
    ck_assert_int_eq(dialarc_uncertainty_effective_dof(2, u, one, &nu), DIALARC_OK);
    ck_assert_double_eq_tol(nu, 20.0, 1e-14);
    nu = -7.0;
    ck_assert_int_eq(dialarc_uncertainty_effective_dof(0, u, dof, &nu), DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_uncertainty_effective_dof(2, NULL, dof, &nu),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_uncertainty_effective_dof(2, u, NULL, &nu),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_uncertainty_effective_dof(2, u, dof, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_uncertainty_effective_dof(2, u, low, &nu), DIALARC_ERR_DOF);
    ck_assert_int_eq(dialarc_uncertainty_effective_dof(2, zero, dof, &nu),
                     DIALARC_ERR_SD);
    const double bad[] = {NAN, 1.0};
    ck_assert_int_eq(dialarc_uncertainty_effective_dof(2, bad, dof, &nu),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_uncertainty_effective_dof(2, u, bad, &nu),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_double_eq(nu, -7.0);
}
END_TEST

START_TEST(student_table)
{
    refdata *table = refdata_open("student_t.csv");
    for (size_t row = 0; row < refdata_rows(table); row++) {
        double dof = refdata_number(table, row, "dof"), factor, t;
        double p = refdata_number(table, row, "probability");
        ck_assert_int_eq(dialarc_uncertainty_coverage_factor(p, dof, &factor),
                         DIALARC_OK);
        refdata_check(table, row, factor);
        ck_assert_int_eq(dialarc_uncertainty_t_quantile(0.5 * (1.0 - p), dof, &t),
                         DIALARC_OK);
        refdata_check(table, row, -t);
    }
    refdata_close(table);
}
END_TEST

START_TEST(student_limits)
{
    double t, normal;
    ck_assert_int_eq(dialarc_uncertainty_t_quantile(0.5, 3.0, &t), DIALARC_OK);
    ck_assert_double_eq(t, 0.0);
    ck_assert_int_eq(dialarc_uncertainty_t_quantile(0.975, 0.0, &normal), DIALARC_OK);
    ck_assert_double_eq_tol(normal, 1.959963984540054, 1e-15);
    /* Fisher's expansion: t - z = (z^3 + z) / (4 nu) + ... */
    ck_assert_int_eq(dialarc_uncertainty_t_quantile(0.975, 1e6, &t), DIALARC_OK);
    ck_assert_double_eq_tol(t - normal, (pow(normal, 3) + normal) / 4e6, 1e-10);
    /* Cauchy: cot(pi p) */
    ck_assert_int_eq(dialarc_uncertainty_t_quantile(1e-12, 1.0, &t), DIALARC_OK);
    ck_assert_double_eq_tol(t * 1e-12, -0.318309886183791, 1e-14);
}
END_TEST

START_TEST(bad_quantiles_are_refused)
{
    const double no_probability[] = {0.0, 1.0, -0.1, 1.1}, no_dof[] = {-1.0, 0.5};
    double t = -7.0;
    for (size_t i = 0; i < 4; i++) {
        double p = no_probability[i];
        ck_assert_int_eq(dialarc_uncertainty_t_quantile(p, 4, &t),
                         DIALARC_ERR_PROBABILITY);
        ck_assert_int_eq(dialarc_uncertainty_coverage_factor(p, 4, &t),
                         DIALARC_ERR_PROBABILITY);
    }
    for (size_t i = 0; i < 2; i++) {
        ck_assert_int_eq(dialarc_uncertainty_t_quantile(0.9, no_dof[i], &t),
                         DIALARC_ERR_DOF);
        ck_assert_int_eq(dialarc_uncertainty_coverage_factor(0.9, no_dof[i], &t),
                         DIALARC_ERR_DOF);
    }
    ck_assert_int_eq(dialarc_uncertainty_t_quantile(NAN, 4, &t), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_uncertainty_t_quantile(0.9, INFINITY, &t),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_uncertainty_coverage_factor(NAN, 4, &t),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_uncertainty_coverage_factor(0.9, NAN, &t),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_uncertainty_t_quantile(0.9, 4, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_uncertainty_coverage_factor(0.9, 4, NULL), DIALARC_ERR_NULL);
    ck_assert_double_eq(t, -7.0);
}
END_TEST

/* By hand: parts 3, 4 and 0 of 25. */
START_TEST(shares_make_a_whole)
{
    const double slope[] = {-3.0, 2.0, 7.0}, sd[] = {1.0, 2.0, 0.0}, none[] = {0, 0, 0};
    double share[3] = {0};
    ck_assert_int_eq(dialarc_uncertainty_shares(3, slope, sd, share), DIALARC_OK);
    ck_assert_double_eq_tol(share[0], 9.0 / 25.0, 1e-15);
    ck_assert_double_eq_tol(share[1], 16.0 / 25.0, 1e-15);
    ck_assert_double_eq(share[2], 0.0);
    ck_assert_int_eq(dialarc_uncertainty_shares(0, NULL, NULL, NULL), DIALARC_OK);
    ck_assert_int_eq(dialarc_uncertainty_shares(3, slope, none, share), DIALARC_ERR_SD);
    ck_assert_int_eq(dialarc_uncertainty_shares(3, sd, slope, share), DIALARC_ERR_SD);
    ck_assert_int_eq(dialarc_uncertainty_shares(3, NULL, sd, share), DIALARC_ERR_NULL);
    const double bad[] = {1.0, NAN, 1.0};
    ck_assert_int_eq(dialarc_uncertainty_shares(3, bad, sd, share),
                     DIALARC_ERR_NOT_FINITE);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("uncertainty");
    TCase *tc = tcase_create("budget");
    tcase_add_test(tc, limits_become_standard_uncertainties);
    tcase_add_test(tc, limits_that_are_none_are_refused);
    tcase_add_test(tc, end_gauge_of_the_guide);
    tcase_add_test(tc, correlation_counts);
    tcase_add_test(tc, shares_make_a_whole);
    tcase_add_test(tc, bad_budgets_are_refused);
    tcase_add_test(tc, effective_dof_at_its_edges);
    suite_add_tcase(suite, tc);
    tc = tcase_create("student");
    tcase_add_test(tc, student_table);
    tcase_add_test(tc, student_limits);
    tcase_add_test(tc, bad_quantiles_are_refused);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
