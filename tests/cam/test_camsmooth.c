/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Smoothed cam tables, from invented cams whose points err. */
#include <dialarc/camsmooth.h>
#include <math.h>

#include "kit/check_main.h"
#include "kit/simulate.h"

#define POINTS 180
#define CAMS   12
#define PLACES 300

static dialarc_cam cam_of(dialarc_law law)
{
    return (dialarc_cam){.lobes = 4,
                         .lift_mm = 2.2,
                         .rise_deg = 38.0,
                         .top_dwell_deg = 4.0,
                         .base_dwell_deg = 12.0,
                         .law = law};
}

/* n points of a lobe, each off its even place by up to `uneven` of the distance, that err
 * by sd_mm; also the table through the same points. */
static dialarc_camtable *measured(const dialarc_cam *cam, sim_random *r, size_t n,
                                  double uneven, double sd_mm, dialarc_camtable **through)
{
    double x[POINTS], y[POINTS];
    dialarc_camtable *table = NULL;
    for (size_t i = 0; i < n; i++) {
        x[i] = 90.0 / (double)n * ((double)i + uneven * sim_uniform(r, 0.0, 0.9));
        ck_assert_int_eq(dialarc_cam_lift(cam, x[i], &y[i]), DIALARC_OK);
        y[i] += sd_mm * sim_normal(r);
    }
    ck_assert_int_eq(dialarc_camtable_smooth(n, x, y, 90.0, sd_mm, &table), DIALARC_OK);
    if (through)
        ck_assert_int_eq(dialarc_camtable_new(n, x, y, 90.0, through), DIALARC_OK);
    return table;
}

static void figures(const dialarc_camtable *table, double at, double out[3])
{
    dialarc_cam_motion m;
    ck_assert_int_eq(dialarc_camtable_motion(table, at, &m), DIALARC_OK);
    out[0] = m.lift_mm;
    out[1] = m.rate_mm_per_pump_deg;
    out[2] = m.acceleration_mm_per_pump_deg2;
}

/* Mean squares of the errors of lift, rate and acceleration, before and after, and how
 * often the truth lies within 1.96 standard uncertainties. */
typedef struct tally {
    double smooth[3], through[3], covered[3], count;
} tally;

static void count(const dialarc_cam *cam, const dialarc_camtable *table,
                  const dialarc_camtable *through, tally *t)
{
    for (int k = 0; k < PLACES; k++) {
        double at = 90.0 * k / PLACES, true_value[3], a[3], b[3];
        dialarc_cam_motion sd;
        dialarc_cam_lift(cam, at, &true_value[0]);
        dialarc_cam_rate(cam, at, &true_value[1]);
        dialarc_cam_acceleration(cam, at, &true_value[2]);
        figures(table, at, a);
        figures(through, at, b);
        ck_assert_int_eq(dialarc_camtable_motion_sd(table, at, &sd), DIALARC_OK);
        double u[] = {sd.lift_mm, sd.rate_mm_per_pump_deg,
                      sd.acceleration_mm_per_pump_deg2};
        for (int q = 0; q < 3; q++) {
            t->smooth[q] += pow(a[q] - true_value[q], 2.0);
            t->through[q] += pow(b[q] - true_value[q], 2.0);
            t->covered[q] += fabs(a[q] - true_value[q]) <= 1.96 * u[q];
        }
        t->count++;
    }
}

static tally try_cams(dialarc_law law, size_t n, double uneven, double sd_mm)
{
    tally t = {{0.0}, {0.0}, {0.0}, 0.0};
    dialarc_cam cam = cam_of(law);
    sim_random r;
    sim_seed(&r, 604);
    for (int i = 0; i < CAMS; i++) {
        dialarc_camtable *through = NULL;
        dialarc_camtable *table = measured(&cam, &r, n, uneven, sd_mm, &through);
        count(&cam, table, through, &t);
        dialarc_camtable_free(table);
        dialarc_camtable_free(through);
    }
    return t;
}

/* Better than the spline through the points, the more the higher the derivative, and as
 * good as it says. Laws with and without a jump of the acceleration. */
START_TEST(errors_are_small_and_known)
{
    const struct {
        dialarc_law law;
        size_t n;
        double uneven, sd_mm, lift, rate, acceleration; /* errors: at most this share */
    } cases[] = {{DIALARC_LAW_CYCLOIDAL, 90, 0.0, 0.003, 0.65, 0.3, 0.06},
                 {DIALARC_LAW_CYCLOIDAL, 180, 0.0, 0.0005, 0.55, 0.2, 0.04},
                 {DIALARC_LAW_HARMONIC, 180, 0.0, 0.003, 0.55, 0.25, 0.05},
                 {DIALARC_LAW_HARMONIC, 90, 0.6, 0.003, 0.75, 0.4, 0.13},
                 {DIALARC_LAW_CONSTANT_RATE, 90, 0.0, 0.003, 0.75, 0.5, 0.15}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        tally t = try_cams(cases[i].law, cases[i].n, cases[i].uneven, cases[i].sd_mm);
        const double most[] = {cases[i].lift, cases[i].rate, cases[i].acceleration};
        for (int q = 0; q < 3; q++) {
            double share = sqrt(t.smooth[q] / t.through[q]);
            double covered = t.covered[q] / t.count;
            ck_assert_msg(share <= most[q], "case %zu, derivative %d: %.3f of the error",
                          i, q, share);
            ck_assert_msg(covered >= 0.94, "case %zu, derivative %d: %.3f covered", i, q,
                          covered);
        }
    }
}
END_TEST

START_TEST(stated_uncertainty_is_compared)
{
    dialarc_cam cam = cam_of(DIALARC_LAW_CYCLOIDAL);
    double x[POINTS], y[POINTS];
    const double stated[] = {0.0015, 0.003, 0.006}, misfit[] = {2.0, 1.0, 0.5};
    sim_random r;
    sim_seed(&r, 605);
    for (int i = 0; i < POINTS; i++) {
        x[i] = 0.5 * i;
        dialarc_cam_lift(&cam, x[i], &y[i]);
        y[i] += 0.003 * sim_normal(&r);
    }
    for (int i = 0; i < 3; i++) {
        dialarc_camtable *table = NULL;
        dialarc_smoothing s;
        ck_assert_int_eq(dialarc_camtable_smooth(POINTS, x, y, 90.0, stated[i], &table),
                         DIALARC_OK);
        ck_assert_int_eq(dialarc_camtable_smoothing(table, &s), DIALARC_OK);
        ck_assert(s.point_sd_mm == stated[i]);
        ck_assert_double_eq_tol(s.misfit / misfit[i], 1.0, i == 0 ? 0.5 : 0.15);
        ck_assert(s.parameters > 15.0 && s.parameters < (i == 0 ? 181.0 : 45.0));
        dialarc_camtable_free(table);
    }
}
END_TEST

/* Where the table begins changes nothing, and a shift of all lifts shifts the curve. */
START_TEST(curve_does_not_depend_on_where_it_begins)
{
    dialarc_cam cam = cam_of(DIALARC_LAW_HARMONIC);
    double x[POINTS], y[POINTS], x2[POINTS], y2[POINTS];
    dialarc_camtable *a = NULL, *b = NULL;
    sim_random r;
    sim_seed(&r, 606);
    for (int i = 0; i < POINTS; i++) {
        x[i] = 0.5 * i + sim_uniform(&r, 0.0, 0.4);
        dialarc_cam_lift(&cam, x[i], &y[i]);
        y[i] += 0.003 * sim_normal(&r);
    }
    for (int i = 0; i < POINTS; i++) {
        int from = (i + 71) % POINTS;
        x2[i] = x[from] + (from < 71 ? 90.0 : 0.0);
        y2[i] = y[from] + 1.0;
    }
    ck_assert_int_eq(dialarc_camtable_smooth(POINTS, x, y, 90.0, 0.003, &a), DIALARC_OK);
    ck_assert_int_eq(dialarc_camtable_smooth(POINTS, x2, y2, 90.0, 0.003, &b),
                     DIALARC_OK);
    for (double at = -10.0; at < 100.0; at += 1.7) {
        double p[3], q[3];
        dialarc_cam_motion u, v;
        figures(a, at, p);
        figures(b, at, q);
        ck_assert_double_eq_tol(q[0] - 1.0, p[0], 1e-7);
        ck_assert_double_eq_tol(q[1], p[1], 1e-7);
        ck_assert_double_eq_tol(q[2], p[2], 1e-6);
        dialarc_camtable_motion_sd(a, at, &u);
        dialarc_camtable_motion_sd(b, at, &v);
        ck_assert_double_eq_tol(u.lift_mm / v.lift_mm, 1.0, 1e-3);
        ck_assert_double_eq_tol(
            u.acceleration_mm_per_pump_deg2 / v.acceleration_mm_per_pump_deg2, 1.0, 1e-3);
    }
    dialarc_camtable_free(a);
    dialarc_camtable_free(b);
}
END_TEST

START_TEST(tables_through_points_have_no_uncertainty)
{
    const double x[] = {0.0, 20.0, 50.0}, y[] = {0.0, 1.5, 0.2};
    dialarc_camtable *table = NULL;
    dialarc_smoothing s;
    dialarc_cam_motion sd = {7.0, 7.0, 7.0};
    ck_assert_int_eq(dialarc_camtable_new(3, x, y, 90.0, &table), DIALARC_OK);
    ck_assert_int_eq(dialarc_camtable_smoothing(table, &s), DIALARC_OK);
    ck_assert(s.point_sd_mm == 0.0 && s.parameters == 3.0 && isnan(s.misfit));
    ck_assert_int_eq(dialarc_camtable_motion_sd(table, 33.0, &sd), DIALARC_OK);
    ck_assert(sd.lift_mm == 0.0 && sd.rate_mm_per_pump_deg == 0.0 &&
              sd.acceleration_mm_per_pump_deg2 == 0.0);
    ck_assert_int_eq(dialarc_camtable_smoothing(NULL, &s), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_camtable_smoothing(table, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_camtable_motion_sd(table, NAN, &sd), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_camtable_motion_sd(NULL, 0.0, &sd), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_camtable_motion_sd(table, 0.0, NULL), DIALARC_ERR_NULL);
    dialarc_camtable_free(table);
}
END_TEST

START_TEST(bad_points_are_refused)
{
    double x[8], y[8], sd = 0.003;
    dialarc_camtable *table = NULL;
    for (int i = 0; i < 8; i++) {
        x[i] = 10.0 * i;
        y[i] = sin(0.1 * i);
    }
    ck_assert_int_eq(dialarc_camtable_smooth(7, x, y, 90.0, sd, &table),
                     DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_camtable_smooth(8, x, y, 90.0, 0.0, &table), DIALARC_ERR_SD);
    ck_assert_int_eq(dialarc_camtable_smooth(8, x, y, 90.0, NAN, &table),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_camtable_smooth(8, x, y, 60.0, sd, &table),
                     DIALARC_ERR_ORDER);
    ck_assert_int_eq(dialarc_camtable_smooth(8, NULL, y, 90.0, sd, &table),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_camtable_smooth(8, x, y, 90.0, sd, NULL), DIALARC_ERR_NULL);
    ck_assert_ptr_null(table);
    y[3] = 1e300;
    ck_assert_int_eq(dialarc_camtable_smooth(8, x, y, 90.0, sd, &table),
                     DIALARC_ERR_RANGE);
    y[3] = 0.3;
    ck_assert_int_eq(dialarc_camtable_smooth(8, x, y, 90.0, sd, &table), DIALARC_OK);
    dialarc_camtable_free(table);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("camsmooth");
    TCase *tc = tcase_create("smoothing");
    tcase_set_timeout(tc, 60.0);
    tcase_add_test(tc, errors_are_small_and_known);
    tcase_add_test(tc, stated_uncertainty_is_compared);
    tcase_add_test(tc, curve_does_not_depend_on_where_it_begins);
    tcase_add_test(tc, tables_through_points_have_no_uncertainty);
    tcase_add_test(tc, bad_points_are_refused);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
