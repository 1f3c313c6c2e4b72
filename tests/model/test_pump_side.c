/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where the pump stands: against the play operator, and the mean at its corners against
 * GSL's integral. */
#include <gsl/gsl_integration.h>
#include <gsl/gsl_randist.h>
#include <math.h>

#include "kit/check_main.h"
#include "kit/simulate.h"
#include "model/pump_side.h"

typedef struct corner {
    double x, least, sd;
} corner;

static double above(double y, void *data)
{
    const corner *c = data;
    return y * gsl_ran_gaussian_pdf(y - c->x, c->sd);
}

/* The mean of max(y, least): what lies above, and `least` times the rest. */
static double mean_of_max(const corner *c, gsl_integration_workspace *w)
{
    gsl_function f = {above, (void *)c};
    double sum, error, far = fmax(c->least, c->x) + 12.0 * c->sd;
    double from = fmax(c->least, c->x - 12.0 * c->sd);
    gsl_integration_qag(&f, from, far, 1e-13, 1e-11, 200, GSL_INTEG_GAUSS31, w, &sum,
                        &error);
    double below = 0.5 * erfc((c->x - c->least) / (c->sd * sqrt(2.0)));
    return sum + c->least * below;
}

/* Five sds off the corner it counts as far, where the mean is out by 5e-8 sds. */
START_TEST(the_mean_at_a_corner)
{
    gsl_integration_workspace *w = gsl_integration_workspace_alloc(200);
    for (double d = -7.0; d <= 7.0; d += 0.37) {
        corner c = {2.0 + 0.3 * d, 2.0, 0.3};
        double by_x, got = darc_soft_max(c.x, c.least, c.sd, &by_x);
        ck_assert_double_eq_tol(got, mean_of_max(&c, w), 1e-7 * c.sd);
        double share = 0.5 * erfc(-d / sqrt(2.0)); /* how often x is the larger */
        ck_assert_double_eq_tol(by_x, share, 1e-6);
    }
    gsl_integration_workspace_free(w);
}
END_TEST

START_TEST(a_sharp_corner)
{
    double by_x;
    ck_assert_double_eq(darc_soft_max(1.0, 2.0, 0.0, &by_x), 2.0);
    ck_assert_double_eq(by_x, 0.0);
    ck_assert_double_eq(darc_soft_max(2.5, 2.0, 0.0, &by_x), 2.5);
    ck_assert_double_eq(by_x, 1.0);
    ck_assert_double_eq(darc_soft_max(2.0, 2.0, 0.0, &by_x), 2.0);
}
END_TEST

#define TURNS 5

/* The pump after so many turning points, which are parameters from DARC_BASIC on. At the
 * first it stands three tenths into the slack. */
static darc_pump_side after(const double *param, int turns, int first_direction)
{
    double begun = param[DARC_BASIC] + 0.3 * param[DARC_SLACK];
    darc_pump_side at = {begun, 0.0, 0.3, 1.0, DARC_BASIC};
    for (int k = 0; k < turns; k++)
        at = darc_pump_side_at_turn(param, DARC_BASIC + k,
                                    k % 2 ? -first_direction : first_direction, &at);
    return at;
}

/* The play operator: the pump stands as long as crank <= pump <= crank + slack (Brokate
 * and Sprekels, Hysteresis and Phase Transitions, 1996, section 2.1). */
static double play(const double *param, int turns)
{
    double slack = param[DARC_SLACK], pump = param[DARC_BASIC] + 0.3 * slack;
    for (int k = 0; k < turns; k++) {
        double crank = param[DARC_BASIC + k];
        pump = fmin(fmax(pump, crank), crank + slack);
    }
    return pump;
}

static double change(double *param, int of, int turns, int first_direction)
{
    double kept = param[of];
    param[of] = kept + 1e-6;
    double high = after(param, turns, first_direction).position;
    param[of] = kept - 1e-6;
    double low = after(param, turns, first_direction).position;
    param[of] = kept;
    return (high - low) / 2e-6;
}

/* To and fro at random, now within the slack and now beyond it. */
START_TEST(it_is_the_play_operator)
{
    sim_random r;
    int inside = 0;
    sim_seed(&r, 1);
    for (int run = 0; run < 300; run++) {
        double param[DARC_MAX_PARAM] = {[DARC_SLACK] = 5.0};
        int direction = run % 2 ? 1 : -1;
        for (int k = 0; k < TURNS; k++) {
            double way = sim_uniform(&r, 0.5, 12.0);
            param[DARC_BASIC + k] =
                k ? param[DARC_BASIC + k - 1] + way * (k % 2 ? -direction : direction)
                  : 0.0;
        }
        for (int turns = 1; turns <= TURNS; turns++) {
            darc_pump_side got = after(param, turns, direction);
            ck_assert_double_eq_tol(got.position, play(param, turns), 1e-12);
            ck_assert_double_eq_tol(got.by_slack,
                                    change(param, DARC_SLACK, turns, direction), 1e-8);
            ck_assert_double_eq_tol(got.by_turn,
                                    change(param, got.turn, turns, direction), 1e-8);
            inside += got.turn != DARC_BASIC + turns - 1;
        }
    }
    ck_assert_int_gt(inside, 100); /* the pump stood where it was left before */
}
END_TEST

/* A reading taken with the slack half taken up stands where the pass began. */
START_TEST(a_reading_in_the_slack)
{
    const darc_pump_side start = {3.0, 0.0, 1.0, 1.0, 7};
    darc_pump_side with = darc_pump_side_at(1.0, 5.0, 1, &start, 0.0);
    ck_assert_double_eq(with.position, 3.0);
    ck_assert_double_eq(with.by_angle, 0.0);
    ck_assert_double_eq(with.by_slack, 1.0); /* as the start depends on it */
    ck_assert_double_eq(with.by_turn, 1.0);
    ck_assert_int_eq(with.turn, 7);
    with = darc_pump_side_at(4.0, 5.0, 1, &start, 0.0);
    ck_assert_double_eq(with.position, 4.0);
    ck_assert_double_eq(with.by_slack, 0.0);
    darc_pump_side against = darc_pump_side_at(-1.0, 5.0, -1, &start, 0.0);
    ck_assert_double_eq(against.position, 3.0);
    against = darc_pump_side_at(-3.0, 5.0, -1, &start, 0.0);
    ck_assert_double_eq(against.position, 2.0);
    ck_assert_double_eq(against.by_slack, 1.0);
    ck_assert_double_eq(against.by_angle, 1.0);
    ck_assert_double_eq(darc_pump_side_at(-3.0, 5.0, -1, NULL, 0.0).position, 2.0);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("pump_side");
    TCase *c = tcase_create("play");
    tcase_add_test(c, the_mean_at_a_corner);
    tcase_add_test(c, a_sharp_corner);
    tcase_add_test(c, it_is_the_play_operator);
    tcase_add_test(c, a_reading_in_the_slack);
    suite_add_tcase(s, c);
    return darc_run(s);
}
