/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fit of all lobes: where it says that it has ended there is no step left. */
#include <math.h>

#include "assess/lobes.h"
#include "assess/workspace.h"
#include "kit/check_main.h"
#include "kit/lobes_kit.h"

/* The longest step left, of the common parameters, in their standard deviations. */
static double left(darc_lobes_fit *fit)
{
    const darc_gauss *prior = &fit->common->prior;
    double step[DARC_LOBES_PARAM], longest = 0.0;
    for (int k = 0; k < fit->n_param; k++) {
        int own = k - fit->n_common;
        step[k] = fit->pull[k] +
                  (own < 0 ? prior->weight[k] * (prior->mean[k] - fit->common->param[k])
                           : -fit->own_weight[own] * fit->own[own]);
    }
    darc_lobes_backsolve(fit, step);
    for (int k = 0; k < fit->n_common; k++) {
        double unit[DARC_LOBES_PARAM] = {0.0};
        unit[k] = 1.0;
        darc_lobes_backsolve(fit, unit);
        longest = fmax(longest, fabs(step[k]) / sqrt(unit[k]));
    }
    return longest;
}

START_TEST(no_step_is_left)
{
    static sim_sweep sweep;
    static darc_lobes_fit fit;
    for (int k = 0; k < 12; k++) {
        sim_random r;
        sim_seed(&r, (uint64_t)(600 + k));
        sim_job j = kit_turn(&r);
        sim_run(&j, &r, &sweep);
        dialarc_setup setup = kit_setup(&j, k % 2);
        dialarc_sweep record = kit_sweep(&sweep);
        dialarc_workspace *w = dialarc_workspace_new();
        dialarc_lobes got; /* leaves the record and the common cam */
        ck_assert_int_eq(dialarc_lobes_estimate(w, &setup, &record, NULL, &got),
                         DIALARC_OK);
        darc_lobes_solve(&w->scratch, j.cam.lobes, &fit);
        ck_assert_int_eq(fit.converged, 1);
        ck_assert_double_lt(left(&fit), 0.1);
        dialarc_workspace_free(w);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("lobes_fit");
    TCase *tc = tcase_create("fit");
    tcase_set_timeout(tc, 60.0);
    tcase_add_test(tc, no_step_is_left);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
