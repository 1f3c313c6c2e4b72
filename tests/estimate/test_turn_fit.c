/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fit of all lobes: where it says that it has ended there is no step left. */
#include <math.h>

#include "estimate/known_cam.h"
#include "estimate/look.h"
#include "estimate/memory.h"
#include "estimate/turn_fit.h"
#include "kit/check_main.h"
#include "kit/lobes_kit.h"

/* The longest step left, of the common parameters, in their standard deviations. */
static double left(const darc_turn_fit *fit)
{
    const darc_gauss *prior = &fit->common->prior;
    double step[DARC_LOBES_PARAM], longest = 0.0;
    for (int k = 0; k < fit->n_param; k++) {
        int own = k - fit->n_common;
        step[k] = fit->pull[k] +
                  (own < 0 ? prior->weight[k] * (prior->mean[k] - fit->common->param[k])
                           : -fit->own_weight[own] * fit->own[own]);
    }
    darc_turn_fit_backsolve(fit, step);
    for (int k = 0; k < fit->n_common; k++) {
        double unit[DARC_LOBES_PARAM] = {0.0};
        unit[k] = 1.0;
        darc_turn_fit_backsolve(fit, unit);
        longest = fmax(longest, fabs(step[k]) / sqrt(unit[k]));
    }
    return longest;
}

static void check_turn(const sim_job *j, const dialarc_sweep *record, int known)
{
    darc_memory m = {.capacity = 0};
    darc_problem problem;
    darc_estimate alike;
    darc_turn_fit fit;
    dialarc_setup setup = kit_setup(j, known);
    ck_assert_int_eq(darc_memory_reserve(&m, record->n), DIALARC_OK);
    ck_assert_int_eq(darc_problem_make_turn(&setup, record, &m.readings, &problem),
                     DIALARC_OK);
    ck_assert(darc_turn_fit_reserve(&fit));
    if (known)
        darc_fit_known(&m.fit, &m.trial, &problem, &alike);
    else
        darc_fit_look(&m.fit, &problem);
    darc_turn_fit_solve(&fit, &problem, &m.fit, m.sample_mm);
    ck_assert(fit.converged);
    ck_assert_double_lt(left(&fit), 0.1);
    darc_turn_fit_release(&fit);
    darc_memory_release(&m);
}

START_TEST(no_step_is_left)
{
    static sim_sweep sweep;
    for (int k = 0; k < 12; k++) {
        sim_random r;
        sim_seed(&r, (uint64_t)(600 + k));
        sim_job j = kit_turn(&r);
        sim_run(&j, &r, &sweep);
        dialarc_sweep record = kit_sweep(&sweep);
        check_turn(&j, &record, k % 2);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("turn_fit");
    TCase *tc = tcase_create("fit");
    tcase_set_timeout(tc, 60.0);
    tcase_add_test(tc, no_step_is_left);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
