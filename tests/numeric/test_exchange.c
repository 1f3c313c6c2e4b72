/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Optimum designs whose weights are known in closed form. */
#include "numeric/exchange.h"

#include <math.h>
#include <stdlib.h>

#include "kit/check_main.h"

#define POINTS 41 /* -1 to 1 in steps of 0.05 */
#define MOST_N 70

static double place(size_t k)
{
    return -1.0 + 0.05 * (double)k;
}

/* A polynomial of this degree; what is wanted is its value at x, or its slope. */
typedef struct polynomial {
    double row[POINTS * 3];
    double wanted[3], prior[3];
    darc_view view;
    darc_choice choice;
} polynomial;

static void set_polynomial(polynomial *p, int degree, double x, bool slope)
{
    int n = degree + 1;
    for (size_t k = 0; k < POINTS; k++)
        for (int j = 0; j < n; j++)
            p->row[k * (size_t)n + (size_t)j] = pow(place(k), j);
    for (int j = 0; j < n; j++) {
        p->wanted[j] = slope ? (j ? j * pow(x, j - 1) : 0.0) : pow(x, j);
        p->prior[j] = 0.0;
    }
    p->view = (darc_view){p->row, p->wanted, p->prior};
    p->choice = (darc_choice){
        .views = 1, .view = &p->view, .n_param = n, .candidates = POINTS, .most = MOST_N};
}

/* How many of the readings are at one place. */
static size_t times_at(size_t n, const size_t *taken, double x)
{
    size_t times = 0;
    for (size_t m = 0; m < n; m++)
        times += fabs(place(taken[m]) - x) < 1e-9;
    return times;
}

static void take_even(size_t n, size_t *taken)
{
    for (size_t m = 0; m < n; m++)
        taken[m] = m * (POINTS - 1) / (n - 1);
}

/* A quadratic on [-1, 1] carried on to 2: 1/7, 3/7 and 3/7 of the readings at -1, 0 and
 * 1, the shares of the absolute weights in L(2) = 1 f(-1) - 3 f(0) + 3 f(1) (Hoel and
 * Levine, Annals of Mathematical Statistics 35, 1964; from memory). */
START_TEST(quadratic_carried_on)
{
    static polynomial p;
    for (size_t n = 7; n <= MOST_N; n += 7) {
        size_t taken[MOST_N];
        set_polynomial(&p, 2, 2.0, false);
        take_even(n, taken);
        ck_assert_int_eq(darc_exchange(&p.choice, n, taken), DIALARC_OK);
        ck_assert_uint_eq(times_at(n, taken, -1.0), n / 7);
        ck_assert_uint_eq(times_at(n, taken, 0.0), 3 * n / 7);
        ck_assert_uint_eq(times_at(n, taken, 1.0), 3 * n / 7);
    }
}
END_TEST

/* The slope of a line: half of the readings at each end (Atkinson, Donev and Tobias,
 * Optimum Experimental Designs, with SAS, 2007; from memory). */
START_TEST(slope_of_a_line)
{
    static polynomial p;
    size_t taken[8];
    set_polynomial(&p, 1, 0.0, true);
    take_even(8, taken);
    ck_assert_int_eq(darc_exchange(&p.choice, 8, taken), DIALARC_OK);
    ck_assert_uint_eq(times_at(8, taken, -1.0), 4);
    ck_assert_uint_eq(times_at(8, taken, 1.0), 4);
}
END_TEST

/* c'(X'X)^-1 c of a line by its own formula, without reading `out`; 1e9: unknown. */
static double slope_variance(size_t n, const size_t *taken, size_t out)
{
    double sum = 0.0, sum2 = 0.0, count = 0.0;
    for (size_t m = 0; m < n; m++)
        if (m != out) {
            sum += place(taken[m]);
            sum2 += place(taken[m]) * place(taken[m]);
            count += 1.0;
        }
    double s = sum2 - sum * sum / count;
    return s > 1e-9 ? 1.0 / s : 1e9;
}

/* Each place once, and the worst reading lost: no exchange betters what is left, by
 * trying them all with another formula. */
START_TEST(nothing_better_when_one_is_lost)
{
    enum { N = 6 };
    static polynomial p;
    size_t taken[N];
    set_polynomial(&p, 1, 0.0, true);
    p.choice.most = 1;
    p.choice.robust = true;
    take_even(N, taken);
    ck_assert_int_eq(darc_exchange(&p.choice, N, taken), DIALARC_OK);
    double least = 0.0;
    for (size_t out = 0; out < N; out++)
        least = fmax(least, slope_variance(N, taken, out));
    for (size_t m = 0; m < N; m++)
        for (size_t in = 0; in < POINTS; in++) {
            size_t was = taken[m], times = times_at(N, taken, place(in));
            double worst = 0.0;
            taken[m] = in;
            for (size_t out = 0; out < N; out++)
                worst = fmax(worst, slope_variance(N, taken, out));
            if (in == was || times == 0)
                ck_assert_double_ge(worst, least * (1.0 - 1e-6));
            taken[m] = was;
        }
}
END_TEST

START_TEST(what_is_kept_stays)
{
    static polynomial p;
    size_t taken[7];
    set_polynomial(&p, 2, 2.0, false);
    p.choice.kept = 2;
    take_even(7, taken);
    taken[0] = 7;
    taken[1] = 33;
    ck_assert_int_eq(darc_exchange(&p.choice, 7, taken), DIALARC_OK);
    ck_assert_uint_eq(taken[0], 7);
    ck_assert_uint_eq(taken[1], 33);
}
END_TEST

/* Two views that want the line's value at either end: the readings are shared out, where
 * each alone would have them all at its end. */
START_TEST(all_views_are_served)
{
    static polynomial low, high;
    size_t taken[8];
    set_polynomial(&low, 1, -1.0, false);
    set_polynomial(&high, 1, 1.0, false);
    const darc_view both[2] = {low.view, high.view};
    take_even(8, taken);
    ck_assert_int_eq(darc_exchange(&low.choice, 8, taken), DIALARC_OK);
    ck_assert_uint_ge(times_at(8, taken, -1.0), 7);
    low.choice.views = 2;
    low.choice.view = both;
    take_even(8, taken);
    ck_assert_int_eq(darc_exchange(&low.choice, 8, taken), DIALARC_OK);
    ck_assert_uint_eq(times_at(8, taken, -1.0), 4);
    ck_assert_uint_eq(times_at(8, taken, 1.0), 4);
}
END_TEST

START_TEST(what_cannot_be_begun)
{
    static polynomial p;
    size_t taken[3] = {5, 5, 5};
    set_polynomial(&p, 2, 2.0, false);
    ck_assert_int_eq(darc_exchange(&p.choice, 3, taken), DIALARC_ERR_NO_SOLUTION);
    p.prior[0] = p.prior[1] = p.prior[2] = 1e-3;
    ck_assert_int_eq(darc_exchange(&p.choice, 3, taken), DIALARC_OK);
}
END_TEST

/* ---- D-optimal times ------------------------------------------------------------- */

enum { TIMES = 3, AROUND = 21, CANDIDATES = TIMES * AROUND };

/* Sensitivities of a drug's concentration, c (exp(-a t) - exp(-b t)), to a, b and c. */
static void compartment_row(double t, double row[3])
{
    const double a = 0.05884, b = 4.298, c = 21.80;
    row[0] = -c * t * exp(-a * t);
    row[1] = c * t * exp(-b * t);
    row[2] = exp(-a * t) - exp(-b * t);
}

/* Times at which to sample a compartment model so that the determinant of the information
 * is largest: 0.2288, 1.3886 and 18.417, found among those up to 10 % off in steps of 1 %
 * (Atkinson, Donev and Tobias, Optimum Experimental Designs, with SAS, 2007, chapter 17:
 * times and parameters from memory; recomputed by maximising the determinant in SciPy).
 * 1/determinant is a product of three variances: of a, of b when a is known, and of c
 * when both are; what is known has a large weight of the prior. */
START_TEST(d_optimal_times)
{
    const double time[TIMES] = {0.2288, 1.3886, 18.417}, known = 1e12;
    const double wanted[3][3] = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
    const double prior[3][3] = {{0, 0, 0}, {known, 0, 0}, {known, known, 0}};
    double row[CANDIDATES * 3];
    darc_view view[3];
    for (size_t k = 0; k < CANDIDATES; k++)
        compartment_row(time[k / AROUND] * (0.9 + 0.01 * (double)(k % AROUND)),
                        row + 3 * k);
    for (int v = 0; v < 3; v++)
        view[v] = (darc_view){row, wanted[v], prior[v]};
    const darc_choice choice = {
        .views = 3, .view = view, .n_param = 3, .candidates = CANDIDATES, .most = 2};
    size_t taken[] = {0, 5, 30, 41, 42, 60}; /* anywhere */
    int times[CANDIDATES] = {0};
    ck_assert_int_eq(darc_exchange(&choice, 6, taken), DIALARC_OK);
    for (int m = 0; m < 6; m++)
        times[taken[m]]++;
    for (int k = 0; k < TIMES; k++)
        ck_assert_int_eq(times[k * AROUND + AROUND / 2], 2);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("exchange");
    TCase *tc = tcase_create("exchange");
    tcase_add_test(tc, quadratic_carried_on);
    tcase_add_test(tc, slope_of_a_line);
    tcase_add_test(tc, nothing_better_when_one_is_lost);
    tcase_add_test(tc, what_is_kept_stays);
    tcase_add_test(tc, all_views_are_served);
    tcase_add_test(tc, what_cannot_be_begun);
    tcase_add_test(tc, d_optimal_times);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
