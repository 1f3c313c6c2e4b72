/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/torque.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/refdata.h"

#define UNTOUCHED 12345.0

/* An invented crow-foot on an invented wrench. */
static const dialarc_adapter crowfoot = {300.0, 50.0, 30.0, 2.0, 0.5, 3.0};

static double factor_of(dialarc_adapter a)
{
    double factor = UNTOUCHED;
    ck_assert_int_eq(dialarc_torque_factor(&a, &factor), DIALARC_OK);
    return factor;
}

/* Sources and tolerances stand in the table; manuals print the result of a factor. */
START_TEST(settings_agree_with_published_values)
{
    refdata *table = refdata_open("torque.csv");
    for (size_t row = 0; row < refdata_rows(table); row++) {
        const char *quantity = refdata_text(table, row, "quantity");
        dialarc_adapter a = {refdata_number(table, row, "wrench_mm"),
                             refdata_number(table, row, "adapter_mm"),
                             refdata_number(table, row, "angle_deg"),
                             0.0,
                             0.0,
                             0.0};
        if (strcmp(quantity, "setting") == 0) {
            dialarc_torque setting;
            ck_assert_int_eq(
                dialarc_torque_setting(&a, refdata_number(table, row, "torque_nm"), 0.0,
                                       &setting),
                DIALARC_OK);
            refdata_check(table, row, setting.torque_nm);
        } else {
            ck_assert_int_eq(strncmp(quantity, "factor_times_", 13), 0);
            refdata_check(table, row, (double)atoi(quantity + 13) * factor_of(a));
        }
    }
    refdata_close(table);
}
END_TEST

START_TEST(both_directions_undo_each_other)
{
    for (double angle = -360.0; angle <= 360.0; angle += 7.5) {
        dialarc_adapter a = {250.0, 249.0, angle, 0.0, 0.0, 0.0};
        dialarc_torque setting, back;
        ck_assert_int_eq(dialarc_torque_setting(&a, 40.0, 0.02, &setting), DIALARC_OK);
        ck_assert_int_eq(dialarc_torque_at_fastener(&a, setting.torque_nm, 0.02, &back),
                         DIALARC_OK);
        ck_assert_double_eq_tol(back.torque_nm, 40.0, 40.0 * 1e-12);
    }
}
END_TEST

/* At 0.02 of the setting and nothing else, the torque has that relative uncertainty. */
START_TEST(the_wrench_carries_over)
{
    dialarc_adapter a = {300.0, 50.0, 0.0, 0.0, 0.0, 0.0};
    dialarc_torque t;
    ck_assert_int_eq(dialarc_torque_at_fastener(&a, 30.0, 0.02, &t), DIALARC_OK);
    ck_assert_double_eq_tol(t.torque_sd_nm, 0.02 * t.torque_nm, 1e-14);
    ck_assert_double_eq_tol(t.torque_u_nm, 1.959963984540054 * t.torque_sd_nm, 1e-14);
}
END_TEST

/* Each input's share against a difference quotient of the factor. */
START_TEST(uncertainty_is_the_propagated_one)
{
    const double step[3] = {1e-3, 1e-3, 1e-3};
    const double sd[3] = {crowfoot.wrench_sd_mm, crowfoot.adapter_sd_mm,
                          crowfoot.angle_sd_deg};
    double sum = 0.015 * 0.015, factor = factor_of(crowfoot);
    for (int i = 0; i < 3; i++) {
        dialarc_adapter up = crowfoot, down = crowfoot;
        double *x[3] = {&up.wrench_mm, &up.adapter_mm, &up.angle_deg};
        double *y[3] = {&down.wrench_mm, &down.adapter_mm, &down.angle_deg};
        *x[i] += step[i];
        *y[i] -= step[i];
        double slope = (factor_of(up) - factor_of(down)) / (2.0 * step[i]);
        sum += pow(slope * sd[i] / factor, 2);
    }
    dialarc_torque setting;
    ck_assert_int_eq(dialarc_torque_setting(&crowfoot, 80.0, 0.015, &setting),
                     DIALARC_OK);
    ck_assert_double_eq_tol(setting.torque_sd_nm, setting.torque_nm * sqrt(sum),
                            1e-8 * setting.torque_nm);
}
END_TEST

START_TEST(arrays_agree_with_scalars)
{
    double torque[3] = {10.0, 25.0, 300.0};
    double setting[3] = {UNTOUCHED, UNTOUCHED, UNTOUCHED};
    ck_assert_int_eq(dialarc_torque_setting_array(&crowfoot, 3, torque, setting),
                     DIALARC_OK);
    for (int i = 0; i < 3; i++) {
        dialarc_torque one;
        ck_assert_int_eq(dialarc_torque_setting(&crowfoot, torque[i], 0.0, &one),
                         DIALARC_OK);
        ck_assert_double_eq(setting[i], one.torque_nm);
    }
    ck_assert_int_eq(dialarc_torque_setting_array(&crowfoot, 0, NULL, NULL), DIALARC_OK);
    ck_assert_int_eq(dialarc_torque_setting_array(&crowfoot, 1, NULL, setting),
                     DIALARC_ERR_NULL);
    torque[2] = 0.0;
    setting[0] = UNTOUCHED;
    ck_assert_int_eq(dialarc_torque_setting_array(&crowfoot, 3, torque, setting),
                     DIALARC_ERR_POSITIVE);
    torque[2] = NAN;
    ck_assert_int_eq(dialarc_torque_setting_array(&crowfoot, 3, torque, setting),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_double_eq(setting[0], UNTOUCHED);
}
END_TEST

static dialarc_status refused(dialarc_adapter a, double torque_nm, double ratio)
{
    dialarc_torque setting = {UNTOUCHED, UNTOUCHED, UNTOUCHED};
    dialarc_status status = dialarc_torque_setting(&a, torque_nm, ratio, &setting);
    ck_assert_double_eq(setting.torque_nm, UNTOUCHED);
    return status;
}

START_TEST(every_argument_is_checked)
{
    struct {
        double wrench, adapter, angle, sd, torque, ratio;
        dialarc_status status;
    } bad[] = {
        {0.0, 50.0, 0.0, 0.0, 25.0, 0.0, DIALARC_ERR_LENGTH},
        {300.0, -1.0, 0.0, 0.0, 25.0, 0.0, DIALARC_ERR_LENGTH},
        {300.0, 50.0, 360.5, 0.0, 25.0, 0.0, DIALARC_ERR_ANGLE},
        {300.0, 50.0, 0.0, -1.0, 25.0, 0.0, DIALARC_ERR_SD},
        {300.0, 50.0, 0.0, 0.0, 25.0, -0.1, DIALARC_ERR_SD},
        {300.0, 50.0, 0.0, 0.0, 0.0, 0.0, DIALARC_ERR_POSITIVE},
        {300.0, 300.0, 180.0, 0.0, 25.0, 0.0, DIALARC_ERR_REACH},
        {NAN, 50.0, 0.0, 0.0, 25.0, 0.0, DIALARC_ERR_NOT_FINITE},
        {300.0, INFINITY, 0.0, 0.0, 25.0, 0.0, DIALARC_ERR_NOT_FINITE},
        {300.0, 50.0, NAN, 0.0, 25.0, 0.0, DIALARC_ERR_NOT_FINITE},
        {300.0, 50.0, 0.0, NAN, 25.0, 0.0, DIALARC_ERR_NOT_FINITE},
        {300.0, 50.0, 0.0, 0.0, INFINITY, 0.0, DIALARC_ERR_NOT_FINITE},
        {300.0, 50.0, 0.0, 0.0, 25.0, NAN, DIALARC_ERR_NOT_FINITE},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        dialarc_adapter a = {bad[i].wrench, bad[i].adapter, bad[i].angle,
                             0.0,           bad[i].sd,      0.0};
        ck_assert_int_eq(refused(a, bad[i].torque, bad[i].ratio), bad[i].status);
    }
    for (size_t k = 0; k < 3; k++) {
        dialarc_adapter a = {300.0, 50.0, 0.0, 0.0, 0.0, 0.0};
        double *sd = k == 0   ? &a.wrench_sd_mm
                     : k == 1 ? &a.adapter_sd_mm
                              : &a.angle_sd_deg;
        *sd = NAN;
        ck_assert_int_eq(refused(a, 25.0, 0.0), DIALARC_ERR_NOT_FINITE);
        *sd = -1e-9;
        ck_assert_int_eq(refused(a, 25.0, 0.0), DIALARC_ERR_SD);
    }
    double factor;
    dialarc_torque t;
    ck_assert_int_eq(dialarc_torque_factor(NULL, &factor), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_torque_factor(&crowfoot, NULL), DIALARC_ERR_NULL);
    const dialarc_adapter backwards = {300.0, 300.0, 180.0, 0.0, 0.0, 0.0};
    ck_assert_int_eq(dialarc_torque_setting_array(&backwards, 0, NULL, NULL),
                     DIALARC_ERR_REACH);
    ck_assert_int_eq(dialarc_torque_setting_array(&crowfoot, 1, &factor, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_torque_setting_array(&crowfoot, 1, NULL, &factor),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_torque_setting(NULL, 1.0, 0.0, &t), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_torque_setting(&crowfoot, 1.0, 0.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_torque_at_fastener(&crowfoot, 1.0, 0.0, NULL),
                     DIALARC_ERR_NULL);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("torque");
    TCase *tests = tcase_create("torque");
    tcase_add_test(tests, settings_agree_with_published_values);
    tcase_add_test(tests, both_directions_undo_each_other);
    tcase_add_test(tests, the_wrench_carries_over);
    tcase_add_test(tests, uncertainty_is_the_propagated_one);
    tcase_add_test(tests, arrays_agree_with_scalars);
    tcase_add_test(tests, every_argument_is_checked);
    suite_add_tcase(suite, tests);
    return darc_run(suite);
}
