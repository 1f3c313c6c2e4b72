/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/camsmooth.h>
#include <dialarc/camtable.h>
#include <dialarc/follower.h>
#include <dialarc/tabled_cam.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/refdata.h"
#include "kit/simulate.h"

#define UNTOUCHED 12345.0

/* Invented dimensions, those of refdata/follower.csv. */
static const dialarc_follower roller = {30.0, 8.0};
static const dialarc_cam four = {4, 2.2, 35.0, 5.0, 10.0, DIALARC_LAW_CYCLOIDAL,
                                 0, 0.0, NULL};

static double compute(const dialarc_cam *cam, double pump_deg, const char *quantity)
{
    double lift, rate, acceleration, pressure = UNTOUCHED, deg, mm;
    dialarc_curvature k = {UNTOUCHED, UNTOUCHED};
    ck_assert_int_eq(dialarc_cam_lift(cam, pump_deg, &lift), DIALARC_OK);
    ck_assert_int_eq(dialarc_cam_rate(cam, pump_deg, &rate), DIALARC_OK);
    ck_assert_int_eq(dialarc_cam_acceleration(cam, pump_deg, &acceleration), DIALARC_OK);
    ck_assert_int_eq(dialarc_follower_pressure(&roller, rate, &pressure), DIALARC_OK);
    ck_assert_int_eq(
        dialarc_follower_surface(&roller, 1, &pump_deg, &lift, &rate, &deg, &mm),
        DIALARC_OK);
    ck_assert_int_eq(dialarc_follower_curvature(&roller, rate, acceleration, &k),
                     DIALARC_OK);
    return strcmp(quantity, "pressure_deg") == 0   ? pressure
           : strcmp(quantity, "surface_deg") == 0  ? deg
           : strcmp(quantity, "surface_mm") == 0   ? mm
           : strcmp(quantity, "pitch_per_mm") == 0 ? k.pitch_per_mm
                                                   : k.surface_per_mm;
}

/* Sources and tolerances stand in the table. */
START_TEST(results_agree_with_recomputed_values)
{
    refdata *table = refdata_open("follower.csv");
    for (size_t row = 0; row < refdata_rows(table); row++) {
        const char *quantity = refdata_text(table, row, "quantity");
        dialarc_cam cam = four;
        dialarc_follower_survey survey;
        dialarc_law_from_name(refdata_text(table, row, "law"), &cam.law);
        if (*refdata_text(table, row, "u")) {
            double pump_deg = 35.0 * refdata_number(table, row, "u");
            refdata_check(table, row, compute(&cam, pump_deg, quantity));
            continue;
        }
        ck_assert_int_eq(dialarc_follower_survey_cam(&roller, &cam, &survey), DIALARC_OK);
        refdata_check(table, row,
                      strcmp(quantity, "crest_radius_mm") == 0 ? survey.crest_radius_mm
                                                               : survey.crest_pump_deg);
    }
    refdata_close(table);
}
END_TEST

/* Pitch curve to surface and back, to 1e-12 relative, seeded points. */
START_TEST(surface_and_pitch_are_inverse)
{
    enum { N = 5000 };
    static double x[N], y[N], rate[N], a[N], b[N];
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, 101);
    for (int i = 0; i < N; i++) {
        x[i] = 720.0 * gsl_rng_uniform(rng) - 360.0;
        y[i] = 3.0 * gsl_rng_uniform(rng);
        rate[i] = 0.4 * gsl_rng_uniform(rng) - 0.2;
    }
    ck_assert_int_eq(dialarc_follower_surface(&roller, N, x, y, rate, a, b), DIALARC_OK);
    ck_assert_int_eq(dialarc_follower_pitch(&roller, N, a, b, rate, a, b), DIALARC_OK);
    for (int i = 0; i < N; i++) {
        ck_assert_double_eq_tol(a[i], x[i], 1e-12 * fabs(x[i]) + 1e-15);
        ck_assert_double_eq_tol(b[i], y[i], 1e-12 * y[i] + 1e-15);
    }
    gsl_rng_free(rng);
}
END_TEST

/* A surface kept as a table gives back the law of the pitch curve, as closely as the
 * spline follows it: the slopes come from the table. */
START_TEST(measured_surface_gives_the_pitch_curve)
{
    enum { N = 720 };
    double x[N], y[N], rate[N];
    dialarc_camtable *table = NULL;
    for (int i = 0; i < N; i++) {
        x[i] = 90.0 * i / N;
        dialarc_cam_lift(&four, x[i], &y[i]);
        dialarc_cam_rate(&four, x[i], &rate[i]);
    }
    ck_assert_int_eq(dialarc_follower_surface(&roller, N, x, y, rate, x, y), DIALARC_OK);
    ck_assert_int_eq(dialarc_camtable_new(N, x, y, 90.0, &table), DIALARC_OK);
    for (double at = 0.05; at < 90.0; at += 0.31) {
        dialarc_cam_motion m;
        double pump, lift, expected;
        dialarc_camtable_motion(table, at, &m);
        dialarc_follower_pitch(&roller, 1, &at, &m.lift_mm, &m.rate_mm_per_pump_deg,
                               &pump, &lift);
        dialarc_cam_lift(&four, pump, &expected);
        ck_assert_double_eq_tol(lift, expected, 1e-6);
    }
    dialarc_camtable_free(table);
}
END_TEST

/* The survey against a fine scan of the curvature and of the pressure angle. */
START_TEST(survey_finds_the_extremes)
{
    for (int law = 1; law < DIALARC_LAW_COUNT; law++) {
        dialarc_cam cam = four;
        dialarc_follower_survey survey;
        double least = HUGE_VAL, steep = 0.0, fall = 0.0;
        cam.law = (dialarc_law)law;
        ck_assert_int_eq(dialarc_follower_survey_cam(&roller, &cam, &survey), DIALARC_OK);
        for (double x = 1e-6; x < 80.0; x += 0.00371) {
            double pressure = compute(&cam, x, "pressure_deg");
            double k = compute(&cam, x, "pitch_per_mm");
            steep = fmax(steep, pressure);
            fall = fmax(fall, -pressure);
            least = k < 0.0 ? fmin(least, -1.0 / k) : least;
        }
        ck_assert_double_eq_tol(survey.rising_pressure_deg, steep, 1e-5);
        ck_assert_double_eq_tol(survey.falling_pressure_deg, fall, 1e-5);
        ck_assert_double_eq_tol(survey.crest_radius_mm, least, 1e-3 * least);
        ck_assert_double_le(survey.crest_radius_mm, least * (1.0 + 1e-9));
        ck_assert_int_eq(survey.undercut, 0);
        ck_assert(survey.crest_pump_deg > 17.0 && survey.crest_pump_deg <= 35.0);
    }
}
END_TEST

/* A roller as large as the crest radius no longer fits. */
START_TEST(undercut_is_seen)
{
    dialarc_follower_survey survey;
    dialarc_follower large = roller;
    double rate, acceleration;
    dialarc_curvature k = {UNTOUCHED, UNTOUCHED};
    dialarc_follower_survey_cam(&roller, &four, &survey);
    dialarc_cam_rate(&four, survey.crest_pump_deg, &rate);
    dialarc_cam_acceleration(&four, survey.crest_pump_deg, &acceleration);
    large.roller_mm = survey.crest_radius_mm * (1.0 - 1e-9);
    ck_assert_int_eq(dialarc_follower_curvature(&large, rate, acceleration, &k),
                     DIALARC_OK);
    dialarc_follower_survey_cam(&large, &four, &survey);
    ck_assert_int_eq(survey.undercut, 0);
    large.roller_mm = survey.crest_radius_mm * (1.0 + 1e-9);
    k.pitch_per_mm = UNTOUCHED;
    ck_assert_int_eq(dialarc_follower_curvature(&large, rate, acceleration, &k),
                     DIALARC_ERR_UNDERCUT);
    ck_assert_double_eq(k.pitch_per_mm, UNTOUCHED);
    dialarc_follower_survey_cam(&large, &four, &survey);
    ck_assert_int_eq(survey.undercut, 1);
    /* the fall is the sharper flank when it is the shorter one */
    dialarc_cam quick = {4, 2.2, 40.0, 5.0, 20.0, DIALARC_LAW_CYCLOIDAL, 0, 0.0, NULL};
    dialarc_follower_survey_cam(&roller, &quick, &survey);
    ck_assert_double_gt(survey.crest_pump_deg, 45.0);
    dialarc_cam mirror = {4, 2.2, 25.0, 5.0, 20.0, DIALARC_LAW_CYCLOIDAL, 0, 0.0, NULL};
    double crest_deg = survey.crest_pump_deg;
    dialarc_follower_survey_cam(&roller, &mirror, &survey);
    ck_assert_double_eq_tol(crest_deg, 70.0 - survey.crest_pump_deg, 1e-6);
}
END_TEST

START_TEST(bad_followers_are_refused)
{
    const double nan = (double)NAN;
    const struct {
        dialarc_follower follower;
        dialarc_status status;
    } cases[] = {
        {{nan, 8.0}, DIALARC_ERR_NOT_FINITE},
        {{30.0, (double)INFINITY}, DIALARC_ERR_NOT_FINITE},
        {{0.0, 8.0}, DIALARC_ERR_LENGTH},
        {{30.0, 0.0}, DIALARC_ERR_LENGTH},
        {{30.0, -8.0}, DIALARC_ERR_LENGTH},
    };
    double x = 1.0, y = UNTOUCHED, z = UNTOUCHED;
    dialarc_curvature k = {UNTOUCHED, 0.0};
    dialarc_follower_survey survey = {.rising_pressure_deg = UNTOUCHED};
    for (size_t i = 0; i <= sizeof cases / sizeof cases[0]; i++) {
        int null = i == sizeof cases / sizeof cases[0];
        const dialarc_follower *f = null ? NULL : &cases[i].follower;
        dialarc_status status = null ? DIALARC_ERR_NULL : cases[i].status;
        ck_assert_int_eq(dialarc_follower_pressure(f, 0.1, &y), status);
        ck_assert_int_eq(dialarc_follower_surface(f, 1, &x, &x, &x, &y, &z), status);
        ck_assert_int_eq(dialarc_follower_pitch(f, 1, &x, &x, &x, &y, &z), status);
        ck_assert_int_eq(dialarc_follower_curvature(f, 0.1, 0.1, &k), status);
        ck_assert_int_eq(dialarc_follower_survey_cam(f, &four, &survey), status);
    }
    ck_assert_double_eq(y, UNTOUCHED);
    ck_assert_double_eq(z, UNTOUCHED);
    ck_assert_double_eq(k.pitch_per_mm, UNTOUCHED);
    ck_assert_double_eq(survey.rising_pressure_deg, UNTOUCHED);
}
END_TEST

START_TEST(bad_arguments_are_refused)
{
    const double bad[] = {(double)NAN, (double)INFINITY, -(double)INFINITY};
    const dialarc_cam none = {0, 2.2, 35.0, 5.0, 10.0, DIALARC_LAW_CYCLOIDAL,
                              0, 0.0, NULL};
    double x = 1.0, y = UNTOUCHED, z = UNTOUCHED;
    dialarc_curvature k;
    dialarc_follower_survey survey;
    for (int i = 0; i < 3; i++) {
        const double *b = &bad[i];
        const dialarc_status refused = DIALARC_ERR_NOT_FINITE;
        ck_assert_int_eq(dialarc_follower_pressure(&roller, *b, &y), refused);
        ck_assert_int_eq(dialarc_follower_surface(&roller, 1, b, &x, &x, &y, &z),
                         refused);
        ck_assert_int_eq(dialarc_follower_surface(&roller, 1, &x, b, &x, &y, &z),
                         refused);
        ck_assert_int_eq(dialarc_follower_pitch(&roller, 1, &x, &x, b, &y, &z), refused);
        ck_assert_int_eq(dialarc_follower_curvature(&roller, *b, 0.1, &k), refused);
        ck_assert_int_eq(dialarc_follower_curvature(&roller, 0.1, *b, &k), refused);
    }
    const dialarc_status null = DIALARC_ERR_NULL;
    ck_assert_int_eq(dialarc_follower_pressure(&roller, 0.1, NULL), null);
    ck_assert_int_eq(dialarc_follower_surface(&roller, 1, NULL, &x, &x, &y, &z), null);
    ck_assert_int_eq(dialarc_follower_surface(&roller, 1, &x, NULL, &x, &y, &z), null);
    ck_assert_int_eq(dialarc_follower_pitch(&roller, 1, &x, &x, NULL, &y, &z), null);
    ck_assert_int_eq(dialarc_follower_pitch(&roller, 1, &x, &x, &x, NULL, &z), null);
    ck_assert_int_eq(dialarc_follower_surface(&roller, 1, &x, &x, &x, &y, NULL), null);
    ck_assert_int_eq(dialarc_follower_surface(&roller, 0, NULL, NULL, NULL, NULL, NULL),
                     DIALARC_OK);
    ck_assert_int_eq(dialarc_follower_pitch(&roller, 0, NULL, NULL, NULL, NULL, NULL),
                     DIALARC_OK);
    ck_assert_int_eq(dialarc_follower_curvature(&roller, 0.1, 0.1, NULL), null);
    ck_assert_int_eq(dialarc_follower_survey_cam(&roller, &four, NULL), null);
    ck_assert_int_eq(dialarc_follower_survey_cam(&roller, NULL, &survey), null);
    ck_assert_int_eq(dialarc_follower_survey_cam(&roller, &none, &survey),
                     DIALARC_ERR_LOBES);
    ck_assert_double_eq(y, UNTOUCHED);
    ck_assert_double_eq(z, UNTOUCHED);
}
END_TEST

/*
 * A measured cam whose points err by 1 um: whether a roller fits is told only where it
 * can be, and then rightly. The truth is the law's.
 */
START_TEST(an_undercut_is_told_only_where_it_can_be)
{
    enum { POINTS = 90, CAMS = 60 };
    const double share[] = {0.5, 0.97, 1.03, 3.0}; /* of the roller that just fits */
    int told[4] = {0}, wrong = 0;
    sim_random r;
    sim_seed(&r, 41);
    for (int k = 0; k < CAMS; k++) {
        double x[POINTS], y[POINTS];
        dialarc_camtable *table = NULL;
        dialarc_follower_survey survey, truth;
        dialarc_cam cam;
        for (int i = 0; i < POINTS; i++) {
            x[i] = i;
            ck_assert_int_eq(dialarc_cam_lift(&four, x[i], &y[i]), DIALARC_OK);
            y[i] += 0.001 * sim_normal(&r);
        }
        ck_assert_int_eq(dialarc_camtable_smooth(POINTS, x, y, 90.0, 0.001, &table), 0);
        ck_assert_int_eq(dialarc_cam_from_table(table, &cam), DIALARC_OK);
        for (int i = 0; i < 4; i++) {
            dialarc_follower f = {25.0, 1.0};
            ck_assert_int_eq(dialarc_follower_survey_cam(&f, &four, &truth), 0);
            f.roller_mm = share[i] * truth.crest_radius_mm;
            ck_assert_int_eq(dialarc_follower_survey_cam(&f, &cam, &survey), 0);
            ck_assert(survey.crest_u_per_mm > 0.0);
            told[i] += survey.undercut >= 0;
            wrong += survey.undercut >= 0 && survey.undercut != (share[i] > 1.0);
        }
        dialarc_camtable_free(table);
    }
    ck_assert_int_eq(wrong, 0);
    ck_assert_int_eq(told[0], CAMS);
    ck_assert_int_lt(told[1] + told[2], CAMS / 4);
    ck_assert_int_gt(told[3], CAMS / 2);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("follower");
    TCase *tests = tcase_create("follower");
    tcase_add_test(tests, an_undercut_is_told_only_where_it_can_be);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, results_agree_with_recomputed_values);
    tcase_add_test(tests, surface_and_pitch_are_inverse);
    tcase_add_test(tests, measured_surface_gives_the_pitch_curve);
    tcase_add_test(tests, survey_finds_the_extremes);
    tcase_add_test(tests, undercut_is_seen);
    tcase_add_test(tests, bad_followers_are_refused);
    tcase_add_test(tests, bad_arguments_are_refused);
    return darc_run(suite);
}
