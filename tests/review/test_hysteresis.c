/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A dial with five times the hysteresis that the setup allows is found out, where the
 * readings show it, and U and the aim reckon with it; one that has what it may have is
 * not suspected.
 */
#include <dialarc/assess.h>
#include <math.h>

#include "kit/check_main.h"
#include "kit/sweep_kit.h"

#define SWEEPS     150
#define ALLOWED_MM 0.004

typedef struct outcome {
    int sweeps, told, covered, silent_and_wrong;
    double hysteresis_mm; /* mean of what is told of those */
} outcome;

static outcome look(double hysteresis_mm, int known, int two_way, uint64_t seed)
{
    static sim_sweep sweep;
    dialarc_workspace *workspace = dialarc_workspace_new();
    outcome o = {.sweeps = kit_count(known ? SWEEPS : SWEEPS / 3)};
    for (int k = 0; k < o.sweeps; k++) {
        sim_random r;
        dialarc_timing t;
        sim_seed(&r, seed + (uint64_t)k);
        sim_job j = kit_job(&r);
        j.two_way = two_way;
        j.hysteresis_mm = hysteresis_mm;
        dialarc_setup s = kit_setup(&j, known);
        s.dial_hysteresis_mm = ALLOWED_MM;
        sim_run(&j, &r, &sweep);
        dialarc_sweep readings = kit_sweep(&sweep);
        ck_assert_int_ge(dialarc_timing_estimate(workspace, &s, &readings, NULL, &t),
                         DIALARC_OK);
        int told = dialarc_findings_has(&t.findings, DIALARC_FINDING_HYSTERESIS_AT_LIMIT);
        int covered = fabs(t.lift_mm - sweep.lift_tdc_mm) <= t.lift_u_mm;
        o.told += told;
        o.hysteresis_mm += told ? t.dial_hysteresis_mm : 0.0;
        o.covered += covered;
        o.silent_and_wrong +=
            !covered && dialarc_findings_worst(&t.findings) < DIALARC_SEVERITY_CAUTION;
    }
    o.hysteresis_mm /= o.told;
    dialarc_workspace_free(workspace);
    return o;
}

/* A learned cam takes on some of it: of such sweeps one in ten may be wrong and silent.
 */
START_TEST(much_more_is_told_and_reckoned_with)
{
    int few =
        kit_count(100) < 100 ? 3 : 0; /* sweeps that a light run may have too many */
    for (int known = 0; known < 2; known++) {
        outcome o = look(0.020, known, 1, 6100u);
        ck_assert_int_ge(10 * (o.told + few), (known ? 9 : 7) * o.sweeps);
        ck_assert_int_ge(100 * (o.covered + few), (known ? 88 : 70) * o.sweeps);
        ck_assert_int_le((known ? 20 : 10) * (o.silent_and_wrong - few), o.sweeps);
        ck_assert_double_eq_tol(o.hysteresis_mm, 0.018, 0.004);
    }
}
END_TEST

/* 0.5 % of right sweeps is what may be told; 3 of 150 is four times that and chance. */
START_TEST(what_it_may_have_is_not_told)
{
    for (int way = 0; way < 2; way++) {
        outcome known = look(0.003, 1, way, 6200u), learned = look(0.003, 0, way, 6300u);
        ck_assert_int_le(known.told, 3);
        ck_assert_int_le(learned.told, 3);
        ck_assert_int_ge(100 * known.covered, 90 * known.sweeps);
    }
}
END_TEST

int main(void)
{
    Suite *s = suite_create("hysteresis");
    TCase *c = tcase_create("hysteresis");
    tcase_set_timeout(c, 300);
    tcase_add_test(c, much_more_is_told_and_reckoned_with);
    tcase_add_test(c, what_it_may_have_is_not_told);
    suite_add_tcase(s, c);
    return darc_run(s);
}
