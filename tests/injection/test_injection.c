/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/delivery.h>
#include <dialarc/fuel.h>
#include <dialarc/injection.h>
#include <math.h>

#include "kit/check_main.h"
#include "kit/refdata.h"

#define UNTOUCHED 12345.0

/* An invented timing device and pump. */
static const double device_rpm[] = {600.0, 1000.0, 2500.0, 4000.0};
static const double device_deg[] = {0.0, 1.0, 8.5, 10.0};
static const dialarc_injection device = {4, device_rpm, device_deg, 0.4444444444444444,
                                         0.0};
static const dialarc_cam cam = {.lobes = 4,
                                .lift_mm = 2.2,
                                .rise_deg = 40.0,
                                .top_dwell_deg = 5.0,
                                .base_dwell_deg = 5.0,
                                .law = DIALARC_LAW_MODIFIED_SINE};

static double advance(const dialarc_injection *j, double rpm)
{
    double deg = UNTOUCHED;
    ck_assert_int_eq(dialarc_injection_advance(j, rpm, &deg), DIALARC_OK);
    return deg;
}

/* Sources and tolerances stand in the table. */
START_TEST(delays_agree_with_published_values)
{
    refdata *table = refdata_open("delay.csv");
    for (size_t row = 0; row < refdata_rows(table); row++) {
        double deg = UNTOUCHED;
        ck_assert_int_eq(dialarc_injection_delay(refdata_number(table, row, "delay_ms"),
                                                 refdata_number(table, row, "crank_rpm"),
                                                 &deg),
                         DIALARC_OK);
        refdata_check(table, row, deg);
    }
    refdata_close(table);
}
END_TEST

START_TEST(the_device_moves_between_its_stops)
{
    ck_assert_double_eq(advance(&device, 0.0), 0.0);
    ck_assert_double_eq(advance(&device, 600.0), 0.0);
    ck_assert_double_eq(advance(&device, 800.0), 0.5);
    ck_assert_double_eq(advance(&device, 1000.0), 1.0);
    ck_assert_double_eq_tol(advance(&device, 1600.0), 4.0, 1e-14);
    ck_assert_double_eq_tol(advance(&device, 3250.0), 9.25, 1e-14);
    ck_assert_double_eq(advance(&device, 4000.0), 10.0);
    ck_assert_double_eq(advance(&device, 9000.0), 10.0);
    dialarc_injection none = {0, NULL, NULL, 0.5, 0.0},
                      one = {1, device_rpm, device_deg + 1, 0.0, 0.0};
    ck_assert_double_eq(advance(&none, 2000.0), 0.0);
    ck_assert_double_eq(advance(&one, 0.0), 1.0);
    ck_assert_double_eq(advance(&one, 2000.0), 1.0);
}
END_TEST

START_TEST(a_line_is_a_table_of_two)
{
    double deg = UNTOUCHED;
    ck_assert_int_eq(dialarc_injection_advance_line(500.0, 2500.0, 10.0, 1500.0, &deg),
                     DIALARC_OK);
    ck_assert_double_eq(deg, 5.0);
    ck_assert_int_eq(dialarc_injection_advance_line(500.0, 2500.0, 10.0, 400.0, &deg),
                     DIALARC_OK);
    ck_assert_double_eq(deg, 0.0);
    ck_assert_int_eq(dialarc_injection_advance_line(500.0, 2500.0, 10.0, 4000.0, &deg),
                     DIALARC_OK);
    ck_assert_double_eq(deg, 10.0);
    ck_assert_int_eq(dialarc_injection_advance_line(500.0, 500.0, 10.0, 400.0, &deg),
                     DIALARC_ERR_ORDER);
    ck_assert_int_eq(dialarc_injection_advance_line(-1.0, 500.0, 10.0, 400.0, &deg),
                     DIALARC_ERR_SPEED);
    ck_assert_int_eq(dialarc_injection_advance_line(0.0, 500.0, NAN, 400.0, &deg),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_injection_advance_line(0.0, 500.0, 10.0, 400.0, NULL),
                     DIALARC_ERR_NULL);
}
END_TEST

/* 2000 r/min: 6 degrees of advance against 16/3 of delay (delay.csv). */
START_TEST(dynamic_and_static_undo_each_other)
{
    double dynamic = UNTOUCHED, back = UNTOUCHED;
    ck_assert_int_eq(dialarc_injection_dynamic(&device, 12.0, 2000.0, &dynamic),
                     DIALARC_OK);
    ck_assert_double_eq_tol(dynamic, 12.0 + 6.0 - 5.333333333333333, 1e-14);
    for (double rpm = 0.0; rpm < 5000.0; rpm += 130.0) {
        ck_assert_int_eq(dialarc_injection_dynamic(&device, 12.0, rpm, &dynamic),
                         DIALARC_OK);
        ck_assert_int_eq(dialarc_injection_static(&device, dynamic, rpm, &back),
                         DIALARC_OK);
        ck_assert_double_eq_tol(back, 12.0, 12e-12);
    }
    ck_assert_int_eq(dialarc_injection_dynamic(&device, 12.0, 0.0, &dynamic), DIALARC_OK);
    ck_assert_double_eq(dynamic, 12.0); /* at rest both are the same */
}
END_TEST

START_TEST(lift_and_dynamic_reading_undo_each_other)
{
    for (double lift = 0.3; lift < 2.0; lift += 0.1)
        for (double rpm = 0.0; rpm < 4500.0; rpm += 700.0) {
            double dynamic = UNTOUCHED, back = UNTOUCHED;
            ck_assert_int_eq(
                dialarc_injection_from_lift(&device, &cam, 2.0, 0.2, lift, rpm, &dynamic),
                DIALARC_OK);
            ck_assert_int_eq(
                dialarc_injection_to_lift(&device, &cam, 2.0, 0.2, dynamic, rpm, &back),
                DIALARC_OK);
            ck_assert_double_eq_tol(back, lift, 1e-12 * lift);
        }
}
END_TEST

START_TEST(arrays_agree_with_scalars)
{
    double rpm[3] = {700.0, 1900.0, 4100.0}, deg[3] = {UNTOUCHED, UNTOUCHED, UNTOUCHED};
    ck_assert_int_eq(dialarc_injection_dynamic_array(&device, 9.0, 3, rpm, deg),
                     DIALARC_OK);
    for (int i = 0; i < 3; i++) {
        double one;
        ck_assert_int_eq(dialarc_injection_dynamic(&device, 9.0, rpm[i], &one),
                         DIALARC_OK);
        ck_assert_double_eq(deg[i], one);
    }
    ck_assert_int_eq(dialarc_injection_dynamic_array(&device, 9.0, 0, NULL, NULL),
                     DIALARC_OK);
    ck_assert_int_eq(dialarc_injection_dynamic_array(&device, 9.0, 3, NULL, deg),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_injection_dynamic_array(&device, 9.0, 3, rpm, NULL),
                     DIALARC_ERR_NULL);
    deg[0] = UNTOUCHED;
    rpm[2] = -1.0;
    ck_assert_int_eq(dialarc_injection_dynamic_array(&device, 9.0, 3, rpm, deg),
                     DIALARC_ERR_SPEED);
    ck_assert_double_eq(deg[0], UNTOUCHED);
}
END_TEST

/* What each way into the module says of a table, a delay and a speed. */
static void check_refusal(const dialarc_injection *j, double rpm, dialarc_status table,
                          dialarc_status whole)
{
    double x = UNTOUCHED;
    ck_assert_int_eq(dialarc_injection_advance(j, rpm, &x), table);
    if (table == DIALARC_OK)
        x = UNTOUCHED;
    ck_assert_int_eq(dialarc_injection_dynamic(j, 12.0, rpm, &x), whole);
    ck_assert_int_eq(dialarc_injection_static(j, 12.0, rpm, &x), whole);
    ck_assert_int_eq(dialarc_injection_from_lift(j, &cam, 2.0, 0.2, 0.9, rpm, &x), whole);
    ck_assert_int_eq(dialarc_injection_to_lift(j, &cam, 2.0, 0.2, 12.0, rpm, &x), whole);
    ck_assert_double_eq(x, UNTOUCHED);
}

START_TEST(tables_delays_and_speeds_are_checked)
{
    const double same[] = {600.0, 600.0}, negative[] = {-1.0, 600.0},
                 gap[] = {600.0, NAN};
    dialarc_injection j = {2, same, device_deg, 0.0, 0.0};
    check_refusal(NULL, 1000.0, DIALARC_ERR_NULL, DIALARC_ERR_NULL);
    check_refusal(&j, 1000.0, DIALARC_ERR_ORDER, DIALARC_ERR_ORDER);
    j.crank_rpm = negative;
    check_refusal(&j, 1000.0, DIALARC_ERR_SPEED, DIALARC_ERR_SPEED);
    j.crank_rpm = gap;
    check_refusal(&j, 1000.0, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_NOT_FINITE);
    j.crank_rpm = device_rpm;
    j.advance_crank_deg = gap;
    check_refusal(&j, 1000.0, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_NOT_FINITE);
    j.advance_crank_deg = NULL;
    check_refusal(&j, 1000.0, DIALARC_ERR_NULL, DIALARC_ERR_NULL);
    j = device;
    check_refusal(&j, -1.0, DIALARC_ERR_SPEED, DIALARC_ERR_SPEED);
    check_refusal(&j, NAN, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_NOT_FINITE);
    j.delay_ms = -0.1;
    check_refusal(&j, 1000.0, DIALARC_OK, DIALARC_ERR_POSITIVE);
    j.delay_ms = INFINITY;
    check_refusal(&j, 1000.0, DIALARC_OK, DIALARC_ERR_NOT_FINITE);
    j = device, j.buildup_crank_deg = -0.1;
    check_refusal(&j, 1000.0, DIALARC_OK, DIALARC_ERR_POSITIVE);
    j.buildup_crank_deg = NAN;
    check_refusal(&j, 1000.0, DIALARC_OK, DIALARC_ERR_NOT_FINITE);
}
END_TEST

/* Harmonic cam, by its closed form: 3000 mm^3 of fuel of 1500 MPa raised by 15 MPa are
 * 30 mm^3, 0.382 mm of a plunger of 10 mm. Recomputed; the case is invented. */
static const dialarc_cam harmonic = {.lobes = 4,
                                     .lift_mm = 2.2,
                                     .rise_deg = 40.0,
                                     .top_dwell_deg = 0.0,
                                     .base_dwell_deg = 10.0,
                                     .law = DIALARC_LAW_HARMONIC};

static double harmonic_deg(double lift)
{
    return 40.0 / acos(-1.0) * acos(1.0 - 2.0 * lift / 2.2);
}

START_TEST(pressure_builds_up_in_degrees_not_in_time)
{
    const dialarc_plunger plunger = {10.0, 0.3, 1.2};
    double volume, buildup, dynamic;
    ck_assert_int_eq(dialarc_fuel_compression(3000.0, 1500.0, 15.0, &volume), DIALARC_OK);
    ck_assert_int_eq(dialarc_delivery_buildup(&harmonic, 2.0, &plunger, volume, &buildup),
                     DIALARC_OK);
    double stroke = 30.0 / (25.0 * acos(-1.0));
    ck_assert_double_eq_tol(
        buildup, 2.0 * (harmonic_deg(0.3 + stroke) - harmonic_deg(0.3)), 1e-11);
    ck_assert_double_gt(buildup, 7.0); /* as much as the pipe at 3000 r/min */
    /* the same degrees at any speed; a pipe of no length, no device */
    const dialarc_injection pump = {0, NULL, NULL, 0.0, buildup};
    for (double rpm = 0.0; rpm <= 4000.0; rpm += 1000.0) {
        ck_assert_int_eq(dialarc_injection_dynamic(&pump, 12.0, rpm, &dynamic),
                         DIALARC_OK);
        ck_assert_double_eq(dynamic, 12.0 - buildup);
    }
}
END_TEST

START_TEST(a_build_up_that_never_ends_is_refused)
{
    const dialarc_plunger plunger = {10.0, 0.3, 1.2};
    double x = UNTOUCHED;
    const double most = 25.0 * acos(-1.0) * 1.2; /* all of the effective stroke */
    const struct {
        const dialarc_cam *cam;
        const dialarc_plunger *plunger;
        double ratio, volume, *out;
        dialarc_status status;
    } cases[] = {
        {&cam, &plunger, 2.0, most, &x, DIALARC_ERR_NO_SOLUTION},
        {&cam, &plunger, 2.0, 0.0, &x, DIALARC_ERR_POSITIVE},
        {&cam, &plunger, 2.0, NAN, &x, DIALARC_ERR_NOT_FINITE},
        {&cam, &plunger, 0.0, 30.0, &x, DIALARC_ERR_RATIO},
        {NULL, &plunger, 2.0, 30.0, &x, DIALARC_ERR_NULL},
        {&cam, NULL, 2.0, 30.0, &x, DIALARC_ERR_NULL},
        {&cam, &plunger, 2.0, 30.0, NULL, DIALARC_ERR_NULL},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        ck_assert_int_eq(dialarc_delivery_buildup(cases[i].cam, cases[i].ratio,
                                                  cases[i].plunger, cases[i].volume,
                                                  cases[i].out),
                         cases[i].status);
    ck_assert_double_eq(x, UNTOUCHED);
    ck_assert_int_eq(dialarc_delivery_buildup(&cam, 2.0, &plunger, 0.99 * most, &x),
                     DIALARC_OK);
}
END_TEST

START_TEST(every_argument_is_checked)
{
    double x = UNTOUCHED;
    ck_assert_int_eq(dialarc_injection_advance(&device, 1000.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_injection_delay(-0.1, 1000.0, &x), DIALARC_ERR_POSITIVE);
    ck_assert_int_eq(dialarc_injection_delay(NAN, 1000.0, &x), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_injection_delay(0.4, -1.0, &x), DIALARC_ERR_SPEED);
    ck_assert_int_eq(dialarc_injection_delay(0.4, 1000.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_injection_dynamic(&device, NAN, 1000.0, &x),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_injection_dynamic(&device, 9.0, 1000.0, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_injection_static(&device, NAN, 1000.0, &x),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_injection_static(&device, 9.0, 1000.0, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_injection_from_lift(&device, NULL, 2.0, 0.2, 0.9, 0.0, &x),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_injection_from_lift(&device, &cam, 2.0, 0.2, 9.0, 0.0, &x),
                     DIALARC_ERR_LIFT);
    ck_assert_int_eq(dialarc_injection_from_lift(&device, &cam, 2.0, 0.2, 0.9, 0.0, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_injection_to_lift(&device, &cam, 2.0, 0.2, 300.0, 0.0, &x),
                     DIALARC_ERR_START);
    ck_assert_int_eq(dialarc_injection_to_lift(&device, &cam, 0.0, 0.2, 9.0, 0.0, &x),
                     DIALARC_ERR_RATIO);
    ck_assert_int_eq(dialarc_injection_to_lift(&device, &cam, 2.0, 0.2, 9.0, 0.0, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_double_eq(x, UNTOUCHED);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("injection");
    TCase *tests = tcase_create("injection");
    tcase_add_test(tests, delays_agree_with_published_values);
    tcase_add_test(tests, the_device_moves_between_its_stops);
    tcase_add_test(tests, a_line_is_a_table_of_two);
    tcase_add_test(tests, dynamic_and_static_undo_each_other);
    tcase_add_test(tests, lift_and_dynamic_reading_undo_each_other);
    tcase_add_test(tests, arrays_agree_with_scalars);
    tcase_add_test(tests, tables_delays_and_speeds_are_checked);
    tcase_add_test(tests, pressure_builds_up_in_degrees_not_in_time);
    tcase_add_test(tests, a_build_up_that_never_ends_is_refused);
    tcase_add_test(tests, every_argument_is_checked);
    suite_add_tcase(suite, tests);
    return darc_run(suite);
}
