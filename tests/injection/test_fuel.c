/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/delivery.h>
#include <dialarc/fuel.h>
#include <dialarc/line.h>
#include <dialarc/units.h>
#include <math.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/refdata.h"

#define UNTOUCHED 12345.0

static double number_or_0(const refdata *table, size_t row, const char *column)
{
    return *refdata_text(table, row, column) ? refdata_number(table, row, column) : 0.0;
}

static double diesel(const char *quantity, double temperature_c, double pressure_mpa)
{
    dialarc_fuel fuel = dialarc_fuel_diesel();
    double x = UNTOUCHED;
    dialarc_status status = DIALARC_OK;
    if (strcmp(quantity, "sound") == 0)
        status = dialarc_fuel_sound(&fuel, temperature_c, pressure_mpa, &x);
    else if (strcmp(quantity, "modulus") == 0)
        status = dialarc_fuel_modulus(&fuel, temperature_c, pressure_mpa, &x);
    else if (strcmp(quantity, "sound_per_k") == 0)
        return diesel("sound", 21.0, 0.0) - diesel("sound", 20.0, 0.0);
    else if (strcmp(quantity, "sound_per_mpa") == 0)
        return diesel("sound", 20.0, 1.0) - diesel("sound", 20.0, 0.0);
    else
        ck_abort_msg("no quantity %s", quantity);
    ck_assert_int_eq(status, DIALARC_OK);
    return x;
}

static double compute(const char *quantity, double a, double b, double c)
{
    double x = UNTOUCHED;
    dialarc_status status = DIALARC_OK;
    dialarc_line pipe = {.length_mm = 600.0, .bore_mm = a, .outer_mm = b, .poisson = 0.3};
    if (strncmp(quantity, "diesel_", 7) == 0)
        return diesel(quantity + 7, a, b);
    if (strcmp(quantity, "spacer_in") == 0) /* what a new pump lacks in port closing */
        return dialarc_in_from_mm(dialarc_mm_from_in(a) + dialarc_mm_from_in(b) -
                                  dialarc_mm_from_in(c));
    if (strcmp(quantity, "sound_from_modulus") == 0)
        status = dialarc_fuel_sound_from_modulus(a, b, &x);
    else if (strcmp(quantity, "compression") == 0)
        status = dialarc_fuel_compression(a, b, c, &x);
    else if (strcmp(quantity, "stroke") == 0)
        status = dialarc_delivery_stroke(a, b, &x);
    else if (strcmp(quantity, "volume_per_mm") == 0)
        status = dialarc_delivery_volume(a, 1.0, &x);
    else if (strcmp(quantity, "line_volume") == 0) {
        pipe = (dialarc_line){.length_mm = a, .bore_mm = b};
        status = dialarc_line_volume(&pipe, &x);
    } else if (strcmp(quantity, "line_modulus") == 0) {
        pipe.bore_mm = b;
        pipe.outer_mm = c;
        pipe.young_mpa = b < 100.0 ? 206000.0 : 200000.0; /* as the rows say */
        status = dialarc_line_modulus(&pipe, a, &x);
    } else
        ck_abort_msg("no quantity %s", quantity);
    ck_assert_int_eq(status, DIALARC_OK);
    return x;
}

/* Sources and tolerances stand in the table. */
START_TEST(sums_agree_with_published_values)
{
    refdata *table = refdata_open("fuel.csv");
    for (size_t row = 0; row < refdata_rows(table); row++)
        refdata_check(table, row,
                      compute(refdata_text(table, row, "quantity"),
                              number_or_0(table, row, "a"), number_or_0(table, row, "b"),
                              number_or_0(table, row, "c")));
    refdata_close(table);
}
END_TEST

/* Engine textbook example 9.7 from end to end, see fuel.csv. */
START_TEST(worked_example_from_line_to_stroke)
{
    dialarc_line pipe = {.length_mm = 600.0, .bore_mm = 2.5};
    double line, compression, stroke;
    ck_assert_int_eq(dialarc_line_volume(&pipe, &line), DIALARC_OK);
    ck_assert_int_eq(
        dialarc_fuel_compression(6000.0 + line + 2000.0, 0.1 / 75e-6, 14.9, &compression),
        DIALARC_OK);
    ck_assert_int_eq(dialarc_delivery_stroke(7.0, 100.0 + compression, &stroke),
                     DIALARC_OK);
    ck_assert_double_eq_tol(stroke, 5.77669019944571, 1e-14);
}
END_TEST

START_TEST(density_and_sound_are_lines)
{
    dialarc_fuel fuel = {15.0, 800.0, -1.0, 0.5, 1300.0, -4.0, 5.0}; /* invented */
    double density, sound, modulus;
    ck_assert_int_eq(dialarc_fuel_density(&fuel, 35.0, 10.0, &density), DIALARC_OK);
    ck_assert_double_eq(density, 785.0);
    ck_assert_int_eq(dialarc_fuel_sound(&fuel, 35.0, 10.0, &sound), DIALARC_OK);
    ck_assert_double_eq(sound, 1270.0);
    ck_assert_int_eq(dialarc_fuel_modulus(&fuel, 35.0, 10.0, &modulus), DIALARC_OK);
    ck_assert_double_eq_tol(modulus, 785.0 * 1270.0 * 1270.0 / 1e6, 1e-12);
    ck_assert_int_eq(dialarc_fuel_sound_from_modulus(modulus, density, &sound),
                     DIALARC_OK);
    ck_assert_double_eq_tol(sound, 1270.0, 1e-12 * 1270.0);
}
END_TEST

/* Fuel between two pressures as a plunger meets it: stepped by Euler's rule from the
 * definition K = -V dp/dV, a million steps. */
START_TEST(the_mean_modulus_is_exact_for_a_rise)
{
    const dialarc_fuel fuel = dialarc_fuel_diesel();
    const double from[] = {0.0, 5.0, 20.0}, to[] = {80.0, 20.0, 100.0};
    for (int k = 0; k < 3; k++) {
        const int steps = 1000000;
        double volume = 1.0, dp = (to[k] - from[k]) / steps, mean, shrunk;
        for (int i = 0; i < steps; i++) {
            double p = from[k] + (i + 0.5) * dp, c = 1360.0 - 3.5 * 20.0 + 4.5 * p;
            volume -= volume * dp / ((835.0 - 0.7 * 20.0 + 0.6 * p) * c * c / 1e6);
        }
        ck_assert_int_eq(dialarc_fuel_mean_modulus(&fuel, 40.0, from[k], to[k], &mean),
                         DIALARC_OK);
        ck_assert_int_eq(dialarc_fuel_compression(1000.0, mean, to[k] - from[k], &shrunk),
                         DIALARC_OK);
        ck_assert_double_eq_tol(shrunk, 1000.0 * (1.0 - volume), 1e-5);
    }
    double mean, kept, start;
    ck_assert_int_eq(dialarc_fuel_mean_modulus(&fuel, 20.0, 0.0, 80.0, &mean),
                     DIALARC_OK);
    ck_assert_int_eq(dialarc_fuel_modulus(&fuel, 20.0, 0.0, &start), DIALARC_OK);
    ck_assert_double_eq_tol(mean / start, 1.35, 0.03); /* the third of the header */
    kept = mean;
    ck_assert_int_eq(dialarc_fuel_mean_modulus(&fuel, 20.0, 5.0, 5.0, &mean),
                     DIALARC_ERR_PRESSURE);
    ck_assert_int_eq(dialarc_fuel_mean_modulus(&fuel, 20.0, 5.0, 101.0, &mean),
                     DIALARC_ERR_PRESSURE);
    ck_assert_int_eq(dialarc_fuel_mean_modulus(&fuel, 200.0, 5.0, 9.0, &mean),
                     DIALARC_ERR_TEMPERATURE);
    ck_assert_int_eq(dialarc_fuel_mean_modulus(&fuel, 20.0, NAN, 9.0, &mean),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_fuel_mean_modulus(NULL, 20.0, 5.0, 9.0, &mean),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_fuel_mean_modulus(&fuel, 20.0, 5.0, 9.0, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_double_eq(mean, kept);
}
END_TEST

static dialarc_status state(const dialarc_fuel *fuel, double c, double mpa)
{
    double x = UNTOUCHED;
    dialarc_status status = dialarc_fuel_density(fuel, c, mpa, &x);
    ck_assert_int_eq(dialarc_fuel_sound(fuel, c, mpa, &x), status);
    ck_assert_int_eq(dialarc_fuel_modulus(fuel, c, mpa, &x), status);
    if (status != DIALARC_OK)
        ck_assert_double_eq(x, UNTOUCHED);
    return status;
}

START_TEST(the_range_has_ends)
{
    dialarc_fuel fuel = dialarc_fuel_diesel();
    ck_assert_int_eq(state(&fuel, -40.0, 0.0), DIALARC_OK);
    ck_assert_int_eq(state(&fuel, 120.0, 100.0), DIALARC_OK);
    ck_assert_int_eq(state(&fuel, -40.1, 0.0), DIALARC_ERR_TEMPERATURE);
    ck_assert_int_eq(state(&fuel, 120.1, 0.0), DIALARC_ERR_TEMPERATURE);
    ck_assert_int_eq(state(&fuel, 20.0, -0.1), DIALARC_ERR_PRESSURE);
    ck_assert_int_eq(state(&fuel, 20.0, 100.1), DIALARC_ERR_PRESSURE);
    ck_assert_int_eq(state(&fuel, NAN, 0.0), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(state(&fuel, 20.0, INFINITY), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(state(NULL, 20.0, 0.0), DIALARC_ERR_NULL);
    fuel.density_kg_per_m3_k = -100.0;
    ck_assert_int_eq(state(&fuel, 60.0, 0.0), DIALARC_ERR_NO_SOLUTION);
}
END_TEST

START_TEST(every_coefficient_is_checked)
{
    const dialarc_fuel good = dialarc_fuel_diesel();
    for (size_t i = 0; i < sizeof good / sizeof(double); i++) {
        dialarc_fuel fuel = good;
        double nan = NAN;
        memcpy((char *)&fuel + i * sizeof nan, &nan, sizeof nan);
        ck_assert_int_eq(state(&fuel, 20.0, 0.0), DIALARC_ERR_NOT_FINITE);
    }
    dialarc_fuel fuel = good;
    fuel.density_kg_per_m3 = 0.0;
    ck_assert_int_eq(state(&fuel, 20.0, 0.0), DIALARC_ERR_POSITIVE);
    fuel = good;
    fuel.sound_m_per_s = -1.0;
    ck_assert_int_eq(state(&fuel, 20.0, 0.0), DIALARC_ERR_POSITIVE);
    ck_assert_int_eq(dialarc_fuel_density(&good, 20.0, 0.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_fuel_sound(&good, 20.0, 0.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_fuel_modulus(&good, 20.0, 0.0, NULL), DIALARC_ERR_NULL);
}
END_TEST

START_TEST(every_argument_is_checked)
{
    double x = UNTOUCHED;
    ck_assert_int_eq(dialarc_fuel_sound_from_modulus(0.0, 830.0, &x),
                     DIALARC_ERR_POSITIVE);
    ck_assert_int_eq(dialarc_fuel_sound_from_modulus(1500.0, 0.0, &x),
                     DIALARC_ERR_POSITIVE);
    ck_assert_int_eq(dialarc_fuel_sound_from_modulus(NAN, 830.0, &x),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_fuel_sound_from_modulus(1500.0, INFINITY, &x),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_fuel_sound_from_modulus(1500.0, 830.0, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_fuel_compression(0.0, 1500.0, 10.0, &x),
                     DIALARC_ERR_POSITIVE);
    ck_assert_int_eq(dialarc_fuel_compression(1000.0, 0.0, 10.0, &x),
                     DIALARC_ERR_POSITIVE);
    ck_assert_int_eq(dialarc_fuel_compression(1000.0, 1500.0, -1.0, &x),
                     DIALARC_ERR_PRESSURE);
    ck_assert_int_eq(dialarc_fuel_compression(1000.0, 1500.0, 101.0, &x),
                     DIALARC_ERR_PRESSURE);
    ck_assert_int_eq(dialarc_fuel_compression(NAN, 1500.0, 10.0, &x),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_fuel_compression(1000.0, NAN, 10.0, &x),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_fuel_compression(1000.0, 1500.0, NAN, &x),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_fuel_compression(1000.0, 1500.0, 10.0, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_double_eq(x, UNTOUCHED);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("fuel");
    TCase *tests = tcase_create("fuel");
    tcase_add_test(tests, sums_agree_with_published_values);
    tcase_add_test(tests, worked_example_from_line_to_stroke);
    tcase_add_test(tests, the_mean_modulus_is_exact_for_a_rise);
    tcase_add_test(tests, density_and_sound_are_lines);
    tcase_add_test(tests, the_range_has_ends);
    tcase_add_test(tests, every_coefficient_is_checked);
    tcase_add_test(tests, every_argument_is_checked);
    suite_add_tcase(suite, tests);
    return darc_run(suite);
}
