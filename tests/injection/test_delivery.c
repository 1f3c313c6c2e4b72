/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/delivery.h>
#include <math.h>

#include "kit/check_main.h"

#define UNTOUCHED 12345.0
#define PI        3.14159265358979323846

/* An invented four-lobe pump. */
static const dialarc_cam cam = {.lobes = 4,
                                .lift_mm = 2.2,
                                .rise_deg = 40.0,
                                .top_dwell_deg = 5.0,
                                .base_dwell_deg = 5.0,
                                .law = DIALARC_LAW_HARMONIC};
static const dialarc_plunger plunger = {9.0, 0.25, 1.4};

/* Inverse of the harmonic law, VDI 2143: s = h (1 - cos(pi x)) / 2. */
static double harmonic_deg(double lift_mm)
{
    return 40.0 / PI * acos(1.0 - 2.0 * lift_mm / 2.2);
}

static double start(double prestroke_mm, double lift_mm)
{
    double deg = UNTOUCHED;
    ck_assert_int_eq(dialarc_delivery_start(&cam, 2.0, prestroke_mm, lift_mm, &deg),
                     DIALARC_OK);
    return deg;
}

START_TEST(start_of_delivery_follows_the_law)
{
    for (double pre = 0.0; pre <= 2.2; pre += 0.2)
        for (double lift = 0.1; lift <= 2.2; lift += 0.21)
            ck_assert_double_eq_tol(
                start(pre, lift), 2.0 * (harmonic_deg(lift) - harmonic_deg(pre)), 1e-10);
    ck_assert_double_eq(start(0.9, 0.9), 0.0);
}
END_TEST

START_TEST(lift_and_start_undo_each_other)
{
    for (int law = DIALARC_LAW_HARMONIC; law < DIALARC_LAW_COUNT; law++) {
        dialarc_cam c = cam;
        c.law = (dialarc_law)law;
        for (double lift = 0.05; lift <= 2.2; lift += 0.05) {
            double deg, back = UNTOUCHED;
            ck_assert_int_eq(dialarc_delivery_start(&c, 2.0, 0.25, lift, &deg),
                             DIALARC_OK);
            ck_assert_int_eq(dialarc_delivery_lift(&c, 2.0, 0.25, deg, &back),
                             DIALARC_OK);
            ck_assert_double_eq_tol(back, lift, 1e-12 * lift + 1e-14);
        }
    }
    double top, back;
    ck_assert_int_eq(dialarc_delivery_start(&cam, 1.7, 0.3, 2.2, &top), DIALARC_OK);
    ck_assert_int_eq(dialarc_delivery_lift(&cam, 1.7, 0.3, top, &back), DIALARC_OK);
    ck_assert_double_eq_tol(back, 2.2, 1e-12);
    ck_assert_int_eq(dialarc_delivery_lift(&cam, 1.7, 0.3, top + 1e-6, &back),
                     DIALARC_ERR_START);
}
END_TEST

START_TEST(a_stroke_in_full)
{
    dialarc_delivery d;
    ck_assert_int_eq(dialarc_delivery_compute(&cam, 2.0, &plunger, 0.9, &d), DIALARC_OK);
    double begin = 2.0 * (harmonic_deg(0.9) - harmonic_deg(0.25));
    double end = 2.0 * (harmonic_deg(0.9) - harmonic_deg(1.65));
    ck_assert_double_eq_tol(d.start_btdc_crank_deg, begin, 1e-10);
    ck_assert_double_eq_tol(d.end_btdc_crank_deg, end, 1e-10);
    ck_assert_double_eq_tol(d.duration_crank_deg, begin - end, 1e-10);
    ck_assert_double_eq_tol(d.volume_mm3, 1.4 * 63.6172512351933,
                            1e-12); /* fuel.csv, 9 mm */
    ck_assert_double_eq_tol(d.mean_rate_mm3_per_crank_deg, d.volume_mm3 / (begin - end),
                            1e-9);
}
END_TEST

/* The rate summed over the stroke is its volume (Simpson's rule). */
START_TEST(rate_adds_up_to_volume)
{
    double deg[2001], rate[2001], sum = 0.0;
    double from = harmonic_deg(0.25), to = harmonic_deg(1.65);
    for (int i = 0; i <= 2000; i++)
        deg[i] = from + (to - from) * i / 2000.0;
    ck_assert_int_eq(dialarc_delivery_rate_array(&cam, 2.0, 9.0, 2001, deg, rate),
                     DIALARC_OK);
    for (int i = 0; i <= 2000; i++)
        sum += rate[i] * (i == 0 || i == 2000 ? 1.0 : i % 2 ? 4.0 : 2.0);
    sum *= 2.0 * (to - from) / 2000.0 / 3.0;
    ck_assert_double_eq_tol(sum, 1.4 * 63.6172512351933, 1e-9);
}
END_TEST

START_TEST(volume_and_stroke_undo_each_other)
{
    for (double d = 6.0; d < 14.0; d += 0.7) {
        double volume, stroke;
        ck_assert_int_eq(dialarc_delivery_volume(d, 1.7, &volume), DIALARC_OK);
        ck_assert_int_eq(dialarc_delivery_stroke(d, volume, &stroke), DIALARC_OK);
        ck_assert_double_eq_tol(stroke, 1.7, 1.7e-12);
    }
}
END_TEST

static dialarc_status try_start(double ratio, double pre, double lift)
{
    double deg = UNTOUCHED;
    dialarc_status status = dialarc_delivery_start(&cam, ratio, pre, lift, &deg);
    ck_assert_double_eq(deg, UNTOUCHED);
    return status;
}

START_TEST(start_checks_its_arguments)
{
    double deg = UNTOUCHED;
    dialarc_cam bad = cam;
    bad.lobes = 0;
    ck_assert_int_eq(try_start(0.0, 0.25, 0.9), DIALARC_ERR_RATIO);
    ck_assert_int_eq(try_start(NAN, 0.25, 0.9), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(try_start(2.0, -0.1, 0.9), DIALARC_ERR_LIFT);
    ck_assert_int_eq(try_start(2.0, 2.3, 0.9), DIALARC_ERR_LIFT);
    ck_assert_int_eq(try_start(2.0, NAN, 0.9), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(try_start(2.0, 0.25, 0.0), DIALARC_ERR_LIFT);
    ck_assert_int_eq(try_start(2.0, 0.25, 2.3), DIALARC_ERR_LIFT);
    ck_assert_int_eq(try_start(2.0, 0.25, INFINITY), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_delivery_start(NULL, 2.0, 0.25, 0.9, &deg),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_delivery_start(&cam, 2.0, 0.25, 0.9, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_delivery_start(&bad, 2.0, 0.25, 0.9, &deg),
                     DIALARC_ERR_LOBES);
    ck_assert_int_eq(dialarc_delivery_lift(&cam, 2.0, 0.25, NAN, &deg),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_delivery_lift(&cam, 2.0, 0.25, -50.0, &deg),
                     DIALARC_ERR_START);
    ck_assert_int_eq(dialarc_delivery_lift(&cam, -1.0, 0.25, 10.0, &deg),
                     DIALARC_ERR_RATIO);
    ck_assert_int_eq(dialarc_delivery_lift(NULL, 2.0, 0.25, 10.0, &deg),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_delivery_lift(&cam, 2.0, 0.25, 10.0, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_double_eq(deg, UNTOUCHED);
}
END_TEST

START_TEST(stroke_checks_its_arguments)
{
    dialarc_delivery d = {.volume_mm3 = UNTOUCHED};
    dialarc_plunger p = plunger;
    ck_assert_int_eq(dialarc_delivery_compute(&cam, 2.0, NULL, 0.9, &d),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_delivery_compute(&cam, 2.0, &p, 0.9, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_delivery_compute(NULL, 2.0, &p, 0.9, &d), DIALARC_ERR_NULL);
    p.diameter_mm = 0.0;
    ck_assert_int_eq(dialarc_delivery_compute(&cam, 2.0, &p, 0.9, &d),
                     DIALARC_ERR_LENGTH);
    p = plunger;
    p.effective_stroke_mm = 0.0;
    ck_assert_int_eq(dialarc_delivery_compute(&cam, 2.0, &p, 0.9, &d), DIALARC_ERR_LIFT);
    p.effective_stroke_mm = 2.0; /* over the top */
    ck_assert_int_eq(dialarc_delivery_compute(&cam, 2.0, &p, 0.9, &d), DIALARC_ERR_LIFT);
    p.effective_stroke_mm = NAN;
    ck_assert_int_eq(dialarc_delivery_compute(&cam, 2.0, &p, 0.9, &d),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_double_eq(d.volume_mm3, UNTOUCHED);
}
END_TEST

START_TEST(volume_and_rate_check_their_arguments)
{
    double x = UNTOUCHED, deg = 10.0;
    ck_assert_int_eq(dialarc_delivery_volume(0.0, 1.0, &x), DIALARC_ERR_LENGTH);
    ck_assert_int_eq(dialarc_delivery_volume(NAN, 1.0, &x), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_delivery_volume(9.0, -1.0, &x), DIALARC_ERR_LIFT);
    ck_assert_int_eq(dialarc_delivery_volume(9.0, NAN, &x), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_delivery_volume(9.0, 1.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_delivery_stroke(-9.0, 1.0, &x), DIALARC_ERR_LENGTH);
    ck_assert_int_eq(dialarc_delivery_stroke(9.0, 0.0, &x), DIALARC_ERR_POSITIVE);
    ck_assert_int_eq(dialarc_delivery_stroke(9.0, NAN, &x), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_delivery_stroke(9.0, 1.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_delivery_rate_array(&cam, 0.0, 9.0, 1, &deg, &x),
                     DIALARC_ERR_RATIO);
    ck_assert_int_eq(dialarc_delivery_rate_array(&cam, 2.0, 0.0, 1, &deg, &x),
                     DIALARC_ERR_LENGTH);
    ck_assert_int_eq(dialarc_delivery_rate_array(&cam, 2.0, 9.0, 1, NULL, &x),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_delivery_rate_array(NULL, 2.0, 9.0, 1, &deg, &x),
                     DIALARC_ERR_NULL);
    deg = NAN;
    ck_assert_int_eq(dialarc_delivery_rate_array(&cam, 2.0, 9.0, 1, &deg, &x),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_delivery_rate_array(&cam, 2.0, 9.0, 0, NULL, NULL),
                     DIALARC_OK);
    ck_assert_double_eq(x, UNTOUCHED);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("delivery");
    TCase *tests = tcase_create("delivery");
    tcase_add_test(tests, start_of_delivery_follows_the_law);
    tcase_add_test(tests, lift_and_start_undo_each_other);
    tcase_add_test(tests, a_stroke_in_full);
    tcase_add_test(tests, rate_adds_up_to_volume);
    tcase_add_test(tests, volume_and_stroke_undo_each_other);
    tcase_add_test(tests, start_checks_its_arguments);
    tcase_add_test(tests, stroke_checks_its_arguments);
    tcase_add_test(tests, volume_and_rate_check_their_arguments);
    suite_add_tcase(suite, tests);
    return darc_run(suite);
}
