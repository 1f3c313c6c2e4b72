/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How well a fit describes its readings: fits made by hand, of which the answer is known.
 */
#include <math.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/simulate.h"
#include "review/goodness.h"

#define MOST 400

static double crank[MOST], lift[MOST];
static size_t row[MOST];
static darc_fit fit;

/* Readings a degree apart in one pass, on a flank of 0.02 mm a degree, all sound and
 * without error; three parameters of which nothing was known before. */
static darc_record make(size_t n)
{
    memset(&fit, 0, sizeof fit);
    ck_assert(darc_fit_reserve(&fit, MOST));
    fit.solved = true;
    fit.noise.step_mm = 0.001;
    fit.model.n_param = 3;
    darc_fit_clear_normal(&fit);
    for (int k = 0; k < 3; k++) {
        const double unit[3] = {k == 0, k == 1, k == 2};
        darc_fit_add_row(&fit, unit, 0.0, 4.0);
    }
    ck_assert(darc_fit_factorise(&fit, NULL));
    for (size_t i = 0; i < n; i++) {
        crank[i] = (double)i;
        lift[i] = 0.0;
        row[i] = i;
        fit.at.rows[i] = (darc_row){.mean = 0.0, .slope = 0.02};
        fit.at.pulls[i] = (darc_pull){.sound = 1.0};
    }
    return (darc_record){.n = n,
                         .crank_deg = crank,
                         .lift_mm = lift,
                         .row = row,
                         .pass = {{0, n, 1, DARC_START_FREE}},
                         .passes = 1};
}

/* Errors in sds. */
static void err(size_t i, double sds)
{
    lift[i] = 0.003 * sds;
    fit.at.pulls[i].score2 = sds * sds;
}

/* A parameter counts as far as the readings, and not the prior, have settled it: with a
 * prior as heavy as the readings by half. */
START_TEST(degrees_of_freedom)
{
    darc_record r = make(20);
    for (size_t i = 0; i < 20; i++)
        err(i, 2.0);
    darc_goodness g = darc_goodness_of(&fit, &r);
    ck_assert_double_eq_tol(g.dof, 17.0, 1e-12);
    ck_assert_double_eq_tol(g.scatter, sqrt(80.0 / 17.0), 1e-12);
    fit.prior.weight[0] = 4.0;  /* half */
    fit.prior.weight[1] = 1e12; /* not at all */
    ck_assert(darc_fit_factorise(&fit, NULL));
    ck_assert_double_eq_tol(darc_goodness_of(&fit, &r).dof, 18.5, 1e-9);
    fit.at.pulls[3].sound = 0.25; /* counts, and weighs, by its probability */
    g = darc_goodness_of(&fit, &r);
    ck_assert_double_eq_tol(g.dof, 17.75, 1e-9);
    ck_assert_double_eq_tol(g.scatter, sqrt((19.25 * 4.0) / 17.75), 1e-9);
    ck_assert_uint_eq(g.rejected, 1);
    darc_fit_release(&fit);
}
END_TEST

/* A mean square of so many degrees of freedom has the variance 2 / dof. */
START_TEST(excess_of_scatter)
{
    const double dofs[] = {4.0, 30.0, 1000.0};
    for (int k = 0; k < 3; k++) {
        double limit = 1.0 + 3.5 * sqrt(2.0 / dofs[k]);
        ck_assert(!darc_scatter_is_excessive(limit * (1.0 - 1e-12), dofs[k]));
        ck_assert(darc_scatter_is_excessive(limit * (1.0 + 1e-12), dofs[k]));
    }
    darc_record r = make(6); /* three left are too few to tell */
    for (size_t i = 0; i < 6; i++)
        err(i, 5.0);
    ck_assert(!darc_goodness_of(&fit, &r).excess);
    darc_fit_release(&fit);
    r = make(7);
    for (size_t i = 0; i < 7; i++)
        err(i, 5.0);
    ck_assert(darc_goodness_of(&fit, &r).excess);
    darc_fit_release(&fit);
}
END_TEST

static void reject(size_t from, size_t to)
{
    for (size_t i = from; i < to; i++)
        fit.at.pulls[i].sound = 0.0;
}

/* Not those that the record begins with, and not across a turn of the crank. */
START_TEST(rejected_in_a_row)
{
    darc_record r = make(60);
    r.passes = 2;
    r.pass[0].end = 30;
    r.pass[1] = (darc_pass){30, 60, -1, DARC_START_TURN};
    reject(0, 12);
    ck_assert_int_eq(darc_goodness_of(&fit, &r).in_a_row, 0);
    reject(27, 34);
    ck_assert_int_eq(darc_goodness_of(&fit, &r).in_a_row, 4);
    reject(50, 55);
    darc_goodness g = darc_goodness_of(&fit, &r);
    ck_assert_int_eq(g.in_a_row, 5);
    ck_assert(!darc_is_systematic(&g));
    reject(55, 56);
    g = darc_goodness_of(&fit, &r);
    ck_assert_int_eq(g.in_a_row, 6);
    ck_assert(darc_is_systematic(&g));
    darc_fit_release(&fit);
}
END_TEST

/* White errors: the correlation of neighbours is about 0 with an sd of 1 or less, as it
 * is said to be measured in sds; what fitting takes is added, 3 / sqrt(n). */
START_TEST(white_errors)
{
    sim_random random;
    double sum = 0.0, square = 0.0;
    int runs = 400, far = 0;
    sim_seed(&random, 1);
    for (int k = 0; k < runs; k++) {
        darc_record r = make(100);
        for (size_t i = 0; i < r.n; i++)
            err(i, sim_normal(&random));
        darc_goodness g = darc_goodness_of(&fit, &r);
        double serial = g.serial - 3.0 / sqrt(100.0);
        sum += serial / runs;
        square += serial * serial / runs;
        far += darc_is_systematic(&g);
        darc_fit_release(&fit);
    }
    ck_assert_double_lt(fabs(sum), 4.0 / sqrt(runs));
    ck_assert_double_gt(square, 0.8);
    ck_assert_double_lt(square, 1.2);
    ck_assert_int_le(far, 2);
}
END_TEST

/* Neighbours that err alike, or in turns; one outlier does not make them. */
START_TEST(errors_with_a_memory)
{
    darc_record r = make(100);
    for (size_t i = 0; i < r.n; i++)
        err(i, sin(0.2 * (double)i));
    ck_assert_double_gt(darc_goodness_of(&fit, &r).serial, 5.0);
    for (size_t i = 0; i < r.n; i++)
        err(i, i % 2 ? 1.0 : -1.0);
    ck_assert_double_lt(darc_goodness_of(&fit, &r).serial, -5.0);
    for (size_t i = 0; i < r.n; i++)
        err(i, i == 50 || i == 51 ? 1000.0 : 0.0);
    ck_assert_double_lt(darc_goodness_of(&fit, &r).serial, 2.0);
    const darc_goodness unknown = {.serial = NAN};
    ck_assert(darc_is_systematic(&unknown));
    darc_fit_release(&fit);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("goodness");
    TCase *c = tcase_create("goodness");
    tcase_add_test(c, degrees_of_freedom);
    tcase_add_test(c, excess_of_scatter);
    tcase_add_test(c, rejected_in_a_row);
    tcase_add_test(c, white_errors);
    tcase_add_test(c, errors_with_a_memory);
    suite_add_tcase(s, c);
    return darc_run(s);
}
