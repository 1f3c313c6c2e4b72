/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/belt.h>
#include <math.h>
#include <stddef.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/refdata.h"

#define UNTOUCHED 12345.0

/* An invented span of a stiff belt, with uncertainties. */
static const dialarc_span stiff = {0.11, 170.0, 5000.0, 0.002, 1.0, 800.0, 0.0, 0.0};

static dialarc_tension from_frequency(dialarc_span span, double hz, double sd)
{
    dialarc_tension t = {UNTOUCHED, UNTOUCHED, UNTOUCHED};
    ck_assert_int_eq(dialarc_belt_tension_from_frequency(&span, hz, sd, &t), DIALARC_OK);
    return t;
}

static double frequency(dialarc_span span, double tension)
{
    double hz = UNTOUCHED;
    ck_assert_int_eq(dialarc_belt_frequency_from_tension(&span, tension, &hz),
                     DIALARC_OK);
    return hz;
}

static dialarc_tension from_deflection(dialarc_span span, double n, double n_sd,
                                       double mm, double mm_sd)
{
    dialarc_tension t = {UNTOUCHED, UNTOUCHED, UNTOUCHED};
    ck_assert_int_eq(dialarc_belt_tension_from_deflection(&span, n, n_sd, mm, mm_sd, &t),
                     DIALARC_OK);
    return t;
}

static double force(dialarc_span span, double tension, double mm)
{
    double n = UNTOUCHED;
    ck_assert_int_eq(dialarc_belt_force_from_tension(&span, tension, mm, &n), DIALARC_OK);
    return n;
}

static double published(const char *quantity, dialarc_span span, double input)
{
    double result = UNTOUCHED;
    if (strcmp(quantity, "tension") == 0)
        return from_frequency(span, input, 0.0).tension_n;
    if (strcmp(quantity, "frequency") == 0)
        return frequency(span, input);
    if (strcmp(quantity, "force_at_64th") == 0)
        return force(span, input, span.length_mm / 64.0);
    if (strcmp(quantity, "pitch_diameter") == 0)
        ck_assert_int_eq(dialarc_belt_pitch_diameter((int)input, 9.525, &result),
                         DIALARC_OK);
    else if (strcmp(quantity, "length_of_pitch") == 0)
        ck_assert_int_eq(dialarc_belt_length(1, 25.4 * input, &result), DIALARC_OK);
    else
        ck_abort_msg("no quantity %s", quantity);
    return result;
}

static double number_or_0(const refdata *table, size_t row, const char *column)
{
    return *refdata_text(table, row, column) ? refdata_number(table, row, column) : 0.0;
}

/* Sources and tolerances stand in the table. */
START_TEST(sums_agree_with_published_values)
{
    refdata *table = refdata_open("belt.csv");
    for (size_t row = 0; row < refdata_rows(table); row++) {
        dialarc_span span = {.mass_kg_per_m = number_or_0(table, row, "mass_kg_per_m"),
                             .length_mm = number_or_0(table, row, "length_mm"),
                             .bending_n_mm2 = number_or_0(table, row, "bending_n_mm2")};
        refdata_check(table, row,
                      published(refdata_text(table, row, "quantity"), span,
                                refdata_number(table, row, "input")));
    }
    refdata_close(table);
}
END_TEST

START_TEST(frequency_and_tension_undo_each_other)
{
    for (double bending = 0.0; bending < 3e4; bending = 10.0 * bending + 20.0)
        for (double tension = 60.0; tension < 5000.0; tension *= 1.7) {
            dialarc_span span = stiff;
            span.bending_n_mm2 = bending;
            double back = from_frequency(span, frequency(span, tension), 0.0).tension_n;
            ck_assert_double_eq_tol(back, tension, 1e-12 * tension);
        }
}
END_TEST

START_TEST(force_and_tension_undo_each_other)
{
    for (double bending = 0.0; bending < 1e6; bending = 10.0 * bending + 1e-25)
        for (double tension = 60.0; tension < 5000.0; tension *= 1.7) {
            dialarc_span span = stiff;
            double n = UNTOUCHED;
            span.bending_n_mm2 = bending;
            if (dialarc_belt_force_from_tension(&span, tension, 2.5, &n) != DIALARC_OK)
                continue; /* bending takes nearly all */
            double back = from_deflection(span, n, 0.0, 2.5, 0.0).tension_n;
            ck_assert_double_eq_tol(back, tension, 1e-12 * tension);
        }
}
END_TEST

/* The Fourier series of a pinned beam under tension with a central load. */
static double series_force(const dialarc_span *s, double tension, double mm)
{
    double sum = 0.0, pi = acos(-1.0);
    for (int k = 199999; k > 0; k -= 2) {
        double q = pow(k * pi / s->length_mm, 2);
        sum += 1.0 / (s->bending_n_mm2 * q * q + tension * q);
    }
    return mm * s->length_mm / (2.0 * sum);
}

START_TEST(stiff_belt_agrees_with_its_fourier_series)
{
    for (double bending = 3e3; bending < 1e6; bending *= 3.0) {
        dialarc_span span = stiff;
        span.bending_n_mm2 = bending;
        double n = UNTOUCHED, want = series_force(&span, 400.0, 2.0);
        ck_assert_int_eq(dialarc_belt_force_from_tension(&span, 400.0, 2.0, &n),
                         DIALARC_OK);
        ck_assert_double_eq_tol(n, want, 1e-10 * want);
    }
}
END_TEST

START_TEST(a_nearly_flexible_belt_is_a_flexible_one)
{
    dialarc_span span = {.length_mm = 170.0, .bending_n_mm2 = 1e-9};
    ck_assert_double_eq_tol(force(span, 300.0, 2.0), 4.0 * 300.0 * 2.0 / 170.0, 1e-6);
    span.bending_n_mm2 = 1e-40;
    ck_assert_double_eq(force(span, 300.0, 2.0), 4.0 * 300.0 * 2.0 / 170.0);
    ck_assert_double_eq_tol(from_deflection(span, 14.0, 0.0, 2.0, 0.0).tension_n, 297.5,
                            1e-12);
}
END_TEST

/* The propagated uncertainty against difference quotients, input by input. */
START_TEST(uncertainty_from_the_note)
{
    const double sd[4] = {stiff.mass_sd_kg_per_m, stiff.length_sd_mm,
                          stiff.bending_sd_n_mm2, 0.8};
    double sum = 0.0;
    for (int i = 0; i < 4; i++) {
        dialarc_span up = stiff, down = stiff;
        double hz_up = 180.0, hz_down = 180.0;
        double *x[4] = {&up.mass_kg_per_m, &up.length_mm, &up.bending_n_mm2, &hz_up};
        double *y[4] = {&down.mass_kg_per_m, &down.length_mm, &down.bending_n_mm2,
                        &hz_down};
        double step = 1e-5 * *x[i];
        *x[i] += step;
        *y[i] -= step;
        double slope = (from_frequency(up, hz_up, 0.0).tension_n -
                        from_frequency(down, hz_down, 0.0).tension_n) /
                       (2.0 * step);
        sum += pow(slope * sd[i], 2);
    }
    dialarc_tension t = from_frequency(stiff, 180.0, 0.8);
    ck_assert_double_eq_tol(t.tension_sd_n, sqrt(sum), 1e-8 * t.tension_n);
    ck_assert_double_eq_tol(t.tension_u_n, 1.959963984540054 * t.tension_sd_n, 1e-12);
}
END_TEST

START_TEST(uncertainty_from_the_deflection)
{
    const double sd[4] = {stiff.length_sd_mm, stiff.bending_sd_n_mm2, 0.5, 0.1};
    double sum = 0.0;
    for (int i = 0; i < 4; i++) {
        dialarc_span up = stiff, down = stiff;
        double f[2] = {20.0, 20.0}, d[2] = {2.5, 2.5};
        double *x[4] = {&up.length_mm, &up.bending_n_mm2, &f[0], &d[0]};
        double *y[4] = {&down.length_mm, &down.bending_n_mm2, &f[1], &d[1]};
        double step = 1e-5 * *x[i];
        *x[i] += step;
        *y[i] -= step;
        double slope = (from_deflection(up, f[0], 0.0, d[0], 0.0).tension_n -
                        from_deflection(down, f[1], 0.0, d[1], 0.0).tension_n) /
                       (2.0 * step);
        sum += pow(slope * sd[i], 2);
    }
    dialarc_tension t = from_deflection(stiff, 20.0, 0.5, 2.5, 0.1);
    ck_assert_double_eq_tol(t.tension_sd_n, sqrt(sum), 1e-7 * t.tension_n);
    dialarc_span flexible = {.length_mm = 170.0};
    t = from_deflection(flexible, 20.0, 0.2, 2.5,
                        0.0); /* 1 % of force is 1 % of tension */
    ck_assert_double_eq_tol(t.tension_sd_n, 0.01 * t.tension_n, 1e-12 * t.tension_n);
}
END_TEST

START_TEST(arrays_agree_with_scalars)
{
    double hz[3] = {100.0, 180.0, 250.0}, n[3] = {UNTOUCHED, UNTOUCHED, UNTOUCHED};
    ck_assert_int_eq(dialarc_belt_tension_from_frequency_array(&stiff, 3, hz, n),
                     DIALARC_OK);
    for (int i = 0; i < 3; i++)
        ck_assert_double_eq(n[i], from_frequency(stiff, hz[i], 0.0).tension_n);
    ck_assert_int_eq(dialarc_belt_tension_from_frequency_array(&stiff, 0, NULL, NULL),
                     DIALARC_OK);
    n[0] = UNTOUCHED;
    hz[2] = -1.0;
    ck_assert_int_eq(dialarc_belt_tension_from_frequency_array(&stiff, 3, hz, n),
                     DIALARC_ERR_FREQUENCY);
    ck_assert_double_eq(n[0], UNTOUCHED);
}
END_TEST

/* Tangent to circles of 100 and 60 mm, 120 mm apart: legs of right triangles. */
START_TEST(free_span_between_pulleys)
{
    double mm = UNTOUCHED;
    ck_assert_int_eq(dialarc_belt_span_length(120.0, 100.0, 60.0, 0, &mm), DIALARC_OK);
    ck_assert_double_eq_tol(mm, sqrt(120.0 * 120.0 - 20.0 * 20.0), 1e-12);
    ck_assert_int_eq(dialarc_belt_span_length(100.0, 100.0, 60.0, 1, &mm), DIALARC_OK);
    ck_assert_double_eq_tol(mm, 60.0, 1e-12); /* 60, 80, 100 */
    ck_assert_int_eq(dialarc_belt_span_length(80.0, 100.0, 60.0, 0, &mm),
                     DIALARC_ERR_CENTRES);
    ck_assert_int_eq(dialarc_belt_span_length(0.0, 100.0, 60.0, 0, &mm),
                     DIALARC_ERR_LENGTH);
    ck_assert_int_eq(dialarc_belt_span_length(120.0, 0.0, 60.0, 0, &mm),
                     DIALARC_ERR_LENGTH);
    ck_assert_int_eq(dialarc_belt_span_length(120.0, 100.0, -1.0, 0, &mm),
                     DIALARC_ERR_LENGTH);
    ck_assert_int_eq(dialarc_belt_span_length(NAN, 100.0, 60.0, 0, &mm),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_belt_span_length(120.0, 100.0, 60.0, 0, NULL),
                     DIALARC_ERR_NULL);
}
END_TEST

START_TEST(teeth_and_pitch_are_checked)
{
    double mm = UNTOUCHED;
    ck_assert_int_eq(dialarc_belt_length(0, 9.525, &mm), DIALARC_ERR_TEETH);
    ck_assert_int_eq(dialarc_belt_length(20, 0.0, &mm), DIALARC_ERR_LENGTH);
    ck_assert_int_eq(dialarc_belt_length(20, NAN, &mm), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_belt_length(20, 9.525, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_belt_pitch_diameter(-1, 9.525, &mm), DIALARC_ERR_TEETH);
    ck_assert_int_eq(dialarc_belt_pitch_diameter(20, INFINITY, &mm),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_belt_pitch_diameter(20, 9.525, NULL), DIALARC_ERR_NULL);
    ck_assert_double_eq(mm, UNTOUCHED);
}
END_TEST

typedef struct spoilt {
    size_t field; /* offset in dialarc_span */
    double value;
    dialarc_status status;
} spoilt;

#define FIELD(name) offsetof(dialarc_span, name)

static const spoilt spans[] = {
    {FIELD(length_mm), 0.0, DIALARC_ERR_LENGTH},
    {FIELD(length_mm), NAN, DIALARC_ERR_NOT_FINITE},
    {FIELD(length_sd_mm), -1.0, DIALARC_ERR_SD},
    {FIELD(length_sd_mm), INFINITY, DIALARC_ERR_NOT_FINITE},
    {FIELD(bending_n_mm2), -1.0, DIALARC_ERR_STIFFNESS},
    {FIELD(bending_n_mm2), NAN, DIALARC_ERR_NOT_FINITE},
    {FIELD(bending_n_mm2), 1e9, DIALARC_ERR_BENDING},
    {FIELD(bending_sd_n_mm2), -1.0, DIALARC_ERR_SD},
    {FIELD(bending_sd_n_mm2), NAN, DIALARC_ERR_NOT_FINITE},
};

static const spoilt masses[] = {
    {FIELD(mass_kg_per_m), 0.0, DIALARC_ERR_POSITIVE},
    {FIELD(mass_kg_per_m), NAN, DIALARC_ERR_NOT_FINITE},
    {FIELD(mass_sd_kg_per_m), -1.0, DIALARC_ERR_SD},
    {FIELD(mass_sd_kg_per_m), NAN, DIALARC_ERR_NOT_FINITE},
};

static dialarc_span spoil(const spoilt *s)
{
    dialarc_span span = stiff;
    memcpy((char *)&span + s->field, &s->value, sizeof s->value);
    return span;
}

START_TEST(every_span_is_checked)
{
    dialarc_tension t = {UNTOUCHED, UNTOUCHED, UNTOUCHED};
    double x = UNTOUCHED;
    for (size_t i = 0; i < sizeof spans / sizeof spans[0]; i++) {
        dialarc_span s = spoil(&spans[i]);
        dialarc_status want = spans[i].status;
        ck_assert_int_eq(dialarc_belt_tension_from_frequency(&s, 180.0, 0.0, &t), want);
        ck_assert_int_eq(dialarc_belt_frequency_from_tension(&s, 300.0, &x), want);
        ck_assert_int_eq(
            dialarc_belt_tension_from_deflection(&s, 20.0, 0.0, 2.0, 0.0, &t), want);
        ck_assert_int_eq(dialarc_belt_force_from_tension(&s, 300.0, 2.0, &x), want);
    }
    for (size_t i = 0; i < sizeof masses / sizeof masses[0]; i++) {
        dialarc_span s = spoil(&masses[i]);
        ck_assert_int_eq(dialarc_belt_tension_from_frequency(&s, 180.0, 0.0, &t),
                         masses[i].status);
        ck_assert_int_eq(dialarc_belt_frequency_from_tension(&s, 300.0, &x),
                         masses[i].status);
        ck_assert_int_eq(
            dialarc_belt_tension_from_deflection(&s, 20.0, 0.0, 2.0, 0.0, &t),
            DIALARC_OK); /* mass is not looked at */
    }
    ck_assert_double_eq(x, UNTOUCHED);
}
END_TEST

START_TEST(every_reading_is_checked)
{
    dialarc_tension t = {UNTOUCHED, UNTOUCHED, UNTOUCHED};
    double x = UNTOUCHED, too_far = 1.001 * DIALARC_DEFLECTION_MAX * stiff.length_mm;
    ck_assert_int_eq(dialarc_belt_tension_from_frequency(&stiff, 0.0, 0.0, &t),
                     DIALARC_ERR_FREQUENCY);
    ck_assert_int_eq(dialarc_belt_tension_from_frequency(&stiff, NAN, 0.0, &t),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_belt_tension_from_frequency(&stiff, 180.0, -1.0, &t),
                     DIALARC_ERR_SD);
    ck_assert_int_eq(dialarc_belt_tension_from_frequency(&stiff, 180.0, NAN, &t),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_belt_frequency_from_tension(&stiff, 0.0, &x),
                     DIALARC_ERR_POSITIVE);
    ck_assert_int_eq(dialarc_belt_frequency_from_tension(&stiff, INFINITY, &x),
                     DIALARC_ERR_NOT_FINITE);
    const struct {
        double n, n_sd, mm, mm_sd;
        dialarc_status status;
    } bad[] = {
        {0.0, 0.0, 2.0, 0.0, DIALARC_ERR_POSITIVE},
        {NAN, 0.0, 2.0, 0.0, DIALARC_ERR_NOT_FINITE},
        {20.0, -1.0, 2.0, 0.0, DIALARC_ERR_SD},
        {20.0, NAN, 2.0, 0.0, DIALARC_ERR_NOT_FINITE},
        {20.0, 0.0, 0.0, 0.0, DIALARC_ERR_DEFLECTION},
        {20.0, 0.0, NAN, 0.0, DIALARC_ERR_NOT_FINITE},
        {20.0, 0.0, 2.0, -1.0, DIALARC_ERR_SD},
        {20.0, 0.0, 2.0, INFINITY, DIALARC_ERR_NOT_FINITE},
        {1e-6, 0.0, 2.0, 0.0, DIALARC_ERR_BENDING},
        {20.0, 0.0, too_far, 0.0, DIALARC_ERR_DEFLECTION},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++)
        ck_assert_int_eq(dialarc_belt_tension_from_deflection(
                             &stiff, bad[i].n, bad[i].n_sd, bad[i].mm, bad[i].mm_sd, &t),
                         bad[i].status);
    ck_assert_int_eq(dialarc_belt_force_from_tension(&stiff, 0.0, 2.0, &x),
                     DIALARC_ERR_POSITIVE);
    ck_assert_int_eq(dialarc_belt_force_from_tension(&stiff, NAN, 2.0, &x),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_belt_force_from_tension(&stiff, 300.0, too_far, &x),
                     DIALARC_ERR_DEFLECTION);
    ck_assert_double_eq(t.tension_n, UNTOUCHED);
    ck_assert_double_eq(x, UNTOUCHED);
}
END_TEST

#define REFUSES_NULL(call) ck_assert_int_eq(call, DIALARC_ERR_NULL)

START_TEST(missing_pointers_are_refused)
{
    dialarc_tension t;
    double x;
    REFUSES_NULL(dialarc_belt_tension_from_frequency(NULL, 180.0, 0.0, &t));
    REFUSES_NULL(dialarc_belt_tension_from_frequency(&stiff, 180.0, 0.0, NULL));
    REFUSES_NULL(dialarc_belt_frequency_from_tension(NULL, 300.0, &x));
    REFUSES_NULL(dialarc_belt_frequency_from_tension(&stiff, 300.0, NULL));
    REFUSES_NULL(dialarc_belt_tension_from_deflection(NULL, 20.0, 0.0, 2.0, 0.0, &t));
    REFUSES_NULL(dialarc_belt_tension_from_deflection(&stiff, 20.0, 0.0, 2.0, 0.0, NULL));
    REFUSES_NULL(dialarc_belt_force_from_tension(NULL, 300.0, 2.0, &x));
    REFUSES_NULL(dialarc_belt_force_from_tension(&stiff, 300.0, 2.0, NULL));
    REFUSES_NULL(dialarc_belt_tension_from_frequency_array(&stiff, 1, &x, NULL));
    REFUSES_NULL(dialarc_belt_tension_from_frequency_array(NULL, 1, &x, &x));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("belt");
    TCase *tests = tcase_create("belt");
    tcase_add_test(tests, sums_agree_with_published_values);
    tcase_add_test(tests, frequency_and_tension_undo_each_other);
    tcase_add_test(tests, force_and_tension_undo_each_other);
    tcase_add_test(tests, stiff_belt_agrees_with_its_fourier_series);
    tcase_add_test(tests, a_nearly_flexible_belt_is_a_flexible_one);
    tcase_add_test(tests, uncertainty_from_the_note);
    tcase_add_test(tests, uncertainty_from_the_deflection);
    tcase_add_test(tests, arrays_agree_with_scalars);
    tcase_add_test(tests, free_span_between_pulleys);
    tcase_add_test(tests, teeth_and_pitch_are_checked);
    tcase_add_test(tests, every_span_is_checked);
    tcase_add_test(tests, every_reading_is_checked);
    tcase_add_test(tests, missing_pointers_are_refused);
    suite_add_tcase(suite, tests);
    return darc_run(suite);
}
