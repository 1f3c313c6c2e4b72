/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A cam whose fall follows another law than its rise, and a blend of its own: stated in
 * the setup, a sweep over the whole lobe agrees with it. The lift is written out:
 * harmonic rise, cycloidal fall; constant rate with parabolic blends.
 */
#include <dialarc/assess.h>
#include <math.h>

#include "kit/check_main.h"

#define PI       3.14159265358979323846
#define READINGS 124
#define TOTAL    2.2
#define FOOT_DEG (-30.0) /* crank angle of the foot */

static double harmonic(double u)
{
    return 0.5 * (1.0 - cos(PI * u));
}

static double cycloidal(double u)
{
    return u - sin(2.0 * PI * u) / (2.0 * PI);
}

/* Constant rate with parabolas over the share b of the flank at either end. */
static double blended(double u, double b)
{
    double rate = 1.0 / (1.0 - b);
    if (u > 0.5)
        return 1.0 - blended(1.0 - u, b);
    return u < b ? 0.5 * rate * u * u / b : rate * (u - 0.5 * b);
}

/* Rise 38, top 4, fall 36, base dwell 12 pump degrees. */
static double lift(double pump_deg, int kind)
{
    double r = fmod(fmod(pump_deg, 90.0) + 90.0, 90.0), left = 78.0 - r;
    if (r >= 78.0)
        return 0.0;
    double u = r < 42.0 ? fmin(r / 38.0, 1.0) : left / 36.0;
    if (kind)
        return TOTAL * blended(u, 0.1);
    return TOTAL * (r < 42.0 ? harmonic(u) : cycloidal(u));
}

static double crank[READINGS], dial[READINGS], residual[READINGS];

static dialarc_sweep sweep_of(int kind)
{
    for (int i = 0; i < READINGS; i++) {
        crank[i] = -100.0 + 1.5 * i;
        dial[i] = round(1000.0 * lift(0.5 * (crank[i] - FOOT_DEG), kind)) / 1000.0;
    }
    return (dialarc_sweep){READINGS, crank, dial, NULL};
}

static dialarc_setup stated(dialarc_law rise)
{
    dialarc_setup s = dialarc_setup_unknown(4);
    s.cam_law = rise;
    s.cam_lift_mm = TOTAL;
    s.rise_deg = 38.0;
    s.top_dwell_deg = 4.0;
    s.base_dwell_deg = 12.0;
    s.angle_sd_deg = 0.05;
    s.dial_sd_mm = 0.001;
    s.dial_step_mm = 0.001;
    s.tdc_sd_deg = 0.05;
    return s;
}

static dialarc_timing estimate(const dialarc_setup *setup, const dialarc_sweep *sweep)
{
    dialarc_workspace *workspace = dialarc_workspace_new();
    dialarc_timing timing;
    ck_assert_int_ge(dialarc_timing_estimate(workspace, setup, sweep, residual, &timing),
                     0);
    dialarc_workspace_free(workspace);
    return timing;
}

static double worst(void)
{
    double most = 0.0;
    for (int i = 0; i < READINGS; i++)
        most = fmax(most, fabs(residual[i]));
    return most;
}

START_TEST(the_fall_has_a_law_of_its_own)
{
    dialarc_sweep sweep = sweep_of(0);
    dialarc_setup setup = stated(DIALARC_LAW_HARMONIC);
    setup.cam_fall_law = DIALARC_LAW_CYCLOIDAL;
    dialarc_timing both = estimate(&setup, &sweep);
    ck_assert_double_lt(worst(), 0.003);
    ck_assert_int_eq(both.cam_learned, 0);
    ck_assert_double_eq_tol(both.lift_mm, lift(-0.5 * FOOT_DEG, 0), 0.003);
    setup.cam_fall_law = DIALARC_LAW_UNKNOWN; /* as the rise: the sweep says no */
    dialarc_timing one = estimate(&setup, &sweep);
    ck_assert(one.cam_learned || one.findings.present != both.findings.present);
}
END_TEST

START_TEST(a_blend_may_be_stated)
{
    dialarc_sweep sweep = sweep_of(1);
    dialarc_setup setup = stated(DIALARC_LAW_CONSTANT_RATE);
    setup.cam_blend = 0.1;
    dialarc_timing right = estimate(&setup, &sweep);
    ck_assert_double_lt(worst(), 0.003);
    ck_assert_int_eq(right.cam_learned, 0);
    ck_assert_double_eq_tol(right.lift_mm, lift(-0.5 * FOOT_DEG, 1), 0.003);
    setup.cam_blend = DIALARC_UNKNOWN; /* 0.25 */
    dialarc_timing usual = estimate(&setup, &sweep);
    ck_assert(usual.cam_learned || usual.findings.present != right.findings.present);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("flanks of a stated cam");
    TCase *tc = tcase_create("laws");
    tcase_add_test(tc, the_fall_has_a_law_of_its_own);
    tcase_add_test(tc, a_blend_may_be_stated);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
