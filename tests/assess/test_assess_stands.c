/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Several readings at one stand of the crank: the dial is read again, the wheel is not,
 * and its error is the same in all. They say no more of the angle than one does.
 */
#include <dialarc/assess.h>
#include <math.h>

#include "kit/check_main.h"
#include "kit/sweep_kit.h"

#define SWEEPS 120
#define MOST   SIM_MAX

typedef struct outcome {
    double covered, cautioned, u_mm;
    int sweeps;
} outcome;

/* Stands of so many readings each; the same stands whatever their number. */
static outcome look(int readings, int known)
{
    static sim_sweep sweep;
    static double path[MOST];
    dialarc_workspace *workspace = dialarc_workspace_new();
    outcome o = {.sweeps = kit_count(known ? SWEEPS : SWEEPS / 2)};
    for (int k = 0; k < o.sweeps; k++) {
        sim_random r;
        dialarc_timing t;
        sim_seed(&r, 7100u + (uint64_t)k);
        sim_job j = kit_job(&r);
        double single[MOST];
        size_t stands = sim_angles(&j, single);
        j.path_deg = path;
        j.path_n = 0;
        j.faults.one_stand = 1;
        for (size_t i = 0; i < stands; i++)
            for (int m = 0; m < readings; m++)
                path[j.path_n++] = single[i];
        dialarc_setup s = kit_setup(&j, known);
        sim_run(&j, &r, &sweep);
        dialarc_sweep given = kit_sweep(&sweep);
        ck_assert_int_ge(dialarc_timing_estimate(workspace, &s, &given, NULL, &t), 0);
        o.covered += fabs(t.lift_mm - sweep.lift_tdc_mm) <= t.lift_u_mm;
        o.cautioned += dialarc_findings_worst(&t.findings) > DIALARC_SEVERITY_NOTE;
        o.u_mm += t.lift_u_mm / o.sweeps;
    }
    dialarc_workspace_free(workspace);
    return o;
}

/* Between U of single readings, whose dial errs as well, and U as if three of them said
 * three times as much: were the errors independent it would be 1 / sqrt(3) = 0.58. */
START_TEST(three_readings_a_stand)
{
    for (int known = 0; known < 2; known++) {
        outcome one = look(1, known), three = look(3, known);
        ck_assert_double_ge(three.covered, 0.88 * three.sweeps);
        ck_assert_double_le(three.cautioned, 0.05 * three.sweeps + 1.0);
        ck_assert_double_lt(three.u_mm, (kit_count(100) < 100 ? 1.05 : 1.0) * one.u_mm);
        ck_assert_double_gt(three.u_mm, (kit_count(100) < 100 ? 0.7 : 0.75) * one.u_mm);
    }
}
END_TEST

int main(void)
{
    Suite *s = suite_create("assess_stands");
    TCase *c = tcase_create("assess_stands");
    tcase_set_timeout(c, 300);
    tcase_add_test(c, three_readings_a_stand);
    suite_add_tcase(s, c);
    return darc_run(s);
}
