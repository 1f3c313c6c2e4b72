/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Workspaces: results never depend on what one was used for before. */
#include <math.h>

#include <dialarc/assess.h>
#include <dialarc/lobes.h>

#include "kit/check_main.h"
#include "kit/lobes_kit.h"
#include "kit/sweep_kit.h"
#include "kit/timing_kit.h"

START_TEST(none_is_freed)
{
    dialarc_workspace_free(NULL);
    dialarc_workspace_free(dialarc_workspace_new());
}
END_TEST

/* A sweep with its cam given, one with its cam learned, a whole turn and a hopeless one,
 * in every order, against a fresh workspace. */
START_TEST(it_holds_no_state)
{
    static sim_sweep simulated[2];
    static const double crank[] = {-1.0, 0.0, 1.0, 2.0}, dial[] = {5.0, 5.0, 5.0, 5.0};
    sim_random r;
    sim_seed(&r, 77);
    sim_job job = kit_job(&r), turn = kit_turn(&r);
    sim_run(&job, &r, &simulated[0]);
    sim_run(&turn, &r, &simulated[1]);
    dialarc_setup setups[] = {kit_setup(&job, 1), kit_setup(&job, 0), kit_setup(&turn, 0),
                              kit_setup(&job, 1)};
    dialarc_sweep sweeps[] = {kit_sweep(&simulated[0]),
                              kit_sweep(&simulated[0]),
                              kit_sweep(&simulated[1]),
                              {4, crank, dial, NULL}};
    dialarc_timing fresh[4], used;
    dialarc_lobes lobes;
    for (int k = 0; k < 4; k++)
        fresh[k] = timing_of(&setups[k], &sweeps[k]);
    static const int order[] = {0, 1, 2, 3, 1, 0, 3, 2, 0};
    dialarc_workspace *ws = dialarc_workspace_new();
    for (size_t i = 0; i < sizeof order / sizeof order[0]; i++) {
        int k = order[i];
        if (k == 2)
            dialarc_lobes_estimate(ws, &setups[2], &sweeps[2], NULL, &lobes);
        dialarc_timing_estimate(ws, &setups[k], &sweeps[k], NULL, &used);
        check_same_bits(&used, &fresh[k]);
    }
    dialarc_workspace_free(ws);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("workspace");
    TCase *c = tcase_create("workspace");
    tcase_set_timeout(c, 120);
    tcase_add_test(c, none_is_freed);
    tcase_add_test(c, it_holds_no_state);
    suite_add_tcase(s, c);
    return darc_run(s);
}
