/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/table_cams.h>

#include <float.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "kit/check_main.h"
#include "kit/rng_kit.h"
#include "kit/table_kit.h"

#define HEADER "cam,pump_deg,lift_mm,period_deg,cam_sd_mm\n"
#define THREE  "a,0,0,90,0.002\na,30,2,90,0.002\na,60,1,90,0.002\n"

static dialarc_cams *read_good(const char *text)
{
    kit_source source = kit_text(text);
    dialarc_cams *cams = NULL;
    dialarc_error error = {0};
    dialarc_status status = dialarc_cams_read(kit_read, &source, &cams, &error);
    ck_assert_msg(status == DIALARC_OK, "%s", error.text);
    return cams;
}

static void refuse(const char *text, dialarc_status expected, const char *line)
{
    kit_source source = kit_text(text);
    dialarc_cams *cams = NULL;
    dialarc_error error = {0};
    ck_assert_int_eq(dialarc_cams_read(kit_read, &source, &cams, &error), expected);
    ck_assert_ptr_null(cams);
    kit_expect(&error, expected, line);
}

START_TEST(cams_in_order)
{
    dialarc_cams *cams = read_good(
        "remark,Lift_mm,cam, pump_deg ,cam_sd_mm,period_deg\r\n"
        "x,0.5,\"tall, one\",-10,0,72\r\n"
        "\r\n"
        "x,2.5,\"tall, one\",10,0,72\r\n"
        "x,1e-1,\"tall, one\",61.9,0,72\r\n"
        ",0,b,0,0.004,360\r\n,1,b,1,0.004,360\r\n,2,b,2,0.004,360\r\n,0,b,359,4e-3,360");
    ck_assert_uint_eq(dialarc_cams_count(cams), 2);
    const dialarc_cam_record *c = dialarc_cams_get(cams, 0);
    ck_assert_str_eq(c->name, "tall, one");
    ck_assert_str_eq(dialarc_cams_name(cams, 0), "tall, one");
    ck_assert_double_eq(c->cam_sd_mm, 0.0);
    ck_assert_double_eq(c->period_deg, 72.0);
    ck_assert_uint_eq(c->n, 3);
    ck_assert_double_eq(c->pump_deg[0], -10.0);
    ck_assert_double_eq(c->pump_deg[2], 61.9);
    ck_assert_double_eq(c->lift_mm[1], 2.5);
    dialarc_cam_motion m;
    ck_assert_int_eq(dialarc_camtable_motion(c->table, 10.0, &m), DIALARC_OK);
    ck_assert_double_eq(m.lift_mm, 2.5);
    c = dialarc_cams_get(cams, 1);
    ck_assert_str_eq(c->name, "b");
    ck_assert_uint_eq(c->n, 4);
    ck_assert_double_eq(c->cam_sd_mm, 0.004);
    ck_assert_double_eq(c->lift_mm[2], 2.0);
    double period, low, high;
    ck_assert_int_eq(dialarc_camtable_range(c->table, &period, &low, &high), DIALARC_OK);
    ck_assert_double_eq(period, 360.0);
    size_t index = 9;
    ck_assert_int_eq(dialarc_cams_find(cams, "b", &index), DIALARC_OK);
    ck_assert_uint_eq(index, 1);
    ck_assert_int_eq(dialarc_cams_find(cams, "B", &index), DIALARC_ERR_NO_SOLUTION);
    ck_assert_uint_eq(index, 1);
    ck_assert_ptr_null(dialarc_cams_get(cams, 2));
    ck_assert_ptr_null(dialarc_cams_name(cams, 2));
    dialarc_cams_free(cams);
}
END_TEST

/* Cams and points enough to make every array move. */
START_TEST(many_cams)
{
    enum { CAMS = 100, POINTS = 30 };
    static char text[CAMS * POINTS * 40];
    char *p = text + sprintf(text, HEADER);
    for (int i = 0; i < CAMS * POINTS; i++)
        p += sprintf(p, "cam %d,%d,%d,90,%d\n", i / POINTS, i % POINTS, i, i / POINTS);
    dialarc_cams *cams = read_good(text);
    ck_assert_uint_eq(dialarc_cams_count(cams), CAMS);
    for (int i = 0; i < CAMS; i++) {
        const dialarc_cam_record *c = dialarc_cams_get(cams, (size_t)i);
        dialarc_cam_motion m;
        ck_assert_int_eq(dialarc_camtable_motion(c->table, 7.0, &m), DIALARC_OK);
        if (c->n != POINTS || c->lift_mm[29] != i * POINTS + 29 || c->cam_sd_mm != i ||
            c->pump_deg[1] != 1.0 || m.lift_mm != i * POINTS + 7 ||
            atoi(c->name + 4) != i)
            ck_abort_msg("cam %s", c->name);
    }
    dialarc_cams_free(cams);
}
END_TEST

START_TEST(tables_refused)
{
    refuse("", DIALARC_ERR_TABLE, "the file is empty: it needs a header row");
    refuse(HEADER, DIALARC_ERR_TABLE, "the table holds no cam, only a header");
    refuse("pump_deg,lift_mm,period_deg,cam_sd_mm\n", DIALARC_ERR_TABLE,
           "line 1 (header), column cam: this column is missing from the header");
    refuse("cam,lift_mm,period_deg,cam_sd_mm\n", DIALARC_ERR_TABLE,
           "line 1 (header), column pump_deg: this column is missing from the header");
    refuse("cam,pump_deg,period_deg,cam_sd_mm\n", DIALARC_ERR_TABLE,
           "line 1 (header), column lift_mm: this column is missing from the header");
    refuse("cam,pump_deg,lift_mm,cam_sd_mm\n", DIALARC_ERR_TABLE,
           "line 1 (header), column period_deg: this column is missing from the header");
    refuse("cam,pump_deg,lift_mm,period_deg\n", DIALARC_ERR_TABLE,
           "line 1 (header), column cam_sd_mm: this column is missing from the header");
    refuse(HEADER THREE "b,0,0,90,0\nb,1,1,90,0\nb,2,1,90,0\na,70,0,90,0.002\n",
           DIALARC_ERR_TABLE,
           "line 8 (row 7), column cam: \"a\" comes a second time: its rows must stand "
           "together, and another cam needs another name");
    refuse(HEADER ",0,0,90,0.002\n", DIALARC_ERR_TABLE,
           "line 2 (row 1), column cam: the field is blank, but a name is needed");
    refuse(HEADER THREE "a,61,1,90\n", DIALARC_ERR_TABLE,
           "line 5 (row 4): 4 fields, but the header has 5");
    kit_source source = kit_text(HEADER THREE);
    source.fails = 1;
    dialarc_cams *cams = NULL;
    dialarc_error error = {0};
    ck_assert_int_eq(dialarc_cams_read(kit_read, &source, &cams, &error),
                     DIALARC_ERR_FILE);
    kit_expect(&error, DIALARC_ERR_FILE, "reading failed");
}
END_TEST

START_TEST(numbers_refused)
{
    refuse(HEADER "a,,0,90,0.002\n", DIALARC_ERR_TABLE,
           "line 2 (row 1), column pump_deg: the field is blank, but a number is needed");
    refuse(HEADER "a,nan,0,90,0.002\n", DIALARC_ERR_NOT_FINITE,
           "line 2 (row 1), column pump_deg: \"nan\" is not an ordinary number: leave "
           "the field blank if it is not known");
    refuse(HEADER "a,0,0,90,0.002\na,1,inf,90,0.002\n", DIALARC_ERR_NOT_FINITE,
           "line 3 (row 2), column lift_mm: \"inf\" is not an ordinary number: leave the "
           "field blank if it is not known");
    refuse(HEADER "a,0,\"0,8\",90,0.002\n", DIALARC_ERR_TABLE,
           "line 2 (row 1), column lift_mm: \"0,8\" has a decimal comma: numbers need a "
           "decimal point, or semicolons between the columns");
    refuse(HEADER "a,0,2e9,90,0.002\n", DIALARC_ERR_TABLE,
           "line 2 (row 1), column lift_mm: \"2e9\" is larger than anything measured");
    refuse(HEADER "a,0,0,0,0.002\n", DIALARC_ERR_ANGLE,
           "line 2 (row 1), column period_deg: must be above 0 and at most 360");
    refuse(HEADER "a,0,0,360.1,0.002\n", DIALARC_ERR_ANGLE,
           "line 2 (row 1), column period_deg: must be above 0 and at most 360");
    refuse(HEADER "a,0,0,,0.002\n", DIALARC_ERR_TABLE,
           "line 2 (row 1), column period_deg: the field is blank, but a number is "
           "needed");
    refuse(HEADER "a,0,0,90,-1e-9\n", DIALARC_ERR_SD,
           "line 2 (row 1), column cam_sd_mm: must not be below 0");
    refuse(HEADER "a,0,0,90,\n", DIALARC_ERR_TABLE,
           "line 2 (row 1), column cam_sd_mm: the field is blank, but a number is "
           "needed");
    refuse(HEADER "a,0,0,90,0.002\na,1,0,90.5,0.002\n", DIALARC_ERR_TABLE,
           "line 3 (row 2), column period_deg: the first row of this cam has another "
           "value");
    refuse(HEADER "a,0,0,90,0.002\na,1,0,90,0.0020000001\n", DIALARC_ERR_TABLE,
           "line 3 (row 2), column cam_sd_mm: the first row of this cam has another "
           "value");
}
END_TEST

START_TEST(points_refused)
{
    const char *order = "line 5 (row 4), column pump_deg: the angles of a cam must rise "
                        "from row to row";
    const char *within = "line 5 (row 4), column pump_deg: the cam repeats after "
                         "period_deg: its angles must stay within that";
    refuse(HEADER THREE "a,59,1,90,0.002\n", DIALARC_ERR_ORDER, order);
    refuse(HEADER THREE "a,60,1,90,0.002\n", DIALARC_ERR_ORDER, order);
    refuse(HEADER THREE "a,60.00000008,1,90,0.002\n", DIALARC_ERR_ORDER, order);
    refuse(HEADER THREE "a,90,0,90,0.002\n", DIALARC_ERR_ORDER, within);
    refuse(HEADER THREE "a,400,0,90,0.002\n", DIALARC_ERR_ORDER, within);
    dialarc_cams_free(read_good(HEADER THREE "a,60.0000001,1,90,0.002\n"));
    dialarc_cams_free(read_good(HEADER THREE "a,89.9999999,0,90,0.002\n"));
    refuse(HEADER THREE "\nb,0,0,90,0\nb,1,1,90,0\nc,0,0,90,0\n", DIALARC_ERR_SIZE,
           "line 6 (row 4), column cam: this cam has fewer than 3 points, from which no "
           "curve can be drawn");
    refuse(HEADER THREE "b,0,0,90,0\nb,1,1,90,0", DIALARC_ERR_SIZE,
           "line 5 (row 4), column cam: this cam has fewer than 3 points, from which no "
           "curve can be drawn");
    refuse(HEADER THREE "b,0,0,1e-300,0\nb,3e-301,1e9,1e-300,0\nb,6e-301,0,1e-300,0\n",
           DIALARC_ERR_RANGE,
           "line 5 (row 4), column lift_mm: the lifts of this cam are too large for the "
           "distance of its angles");
}
END_TEST

START_TEST(too_many_points)
{
    enum { POINTS = DIALARC_CAMTABLE_MAX + 1, ROW = 24 };
    char *text = malloc((size_t)POINTS * ROW + sizeof HEADER);
    ck_assert_ptr_nonnull(text);
    char *p = text + sprintf(text, HEADER);
    for (int i = 0; i < POINTS; i++)
        p += sprintf(p, "a,%d.%04d,0,360,0\n", 3 * i / 10000, 3 * i % 10000);
    refuse(text, DIALARC_ERR_SIZE,
           "line 1000002 (row 1000001), column cam: a cam has at most 1000000 points");
    free(text);
}
END_TEST

static void check_same(const dialarc_cam_record *c, const char *name, size_t n,
                       const double *pump_deg, const double *lift_mm, double period_deg,
                       double cam_sd_mm)
{
    ck_assert_str_eq(c->name, name);
    ck_assert_uint_eq(c->n, n);
    ck_assert_mem_eq(c->pump_deg, pump_deg, n * sizeof *pump_deg);
    ck_assert_mem_eq(c->lift_mm, lift_mm, n * sizeof *lift_mm);
    ck_assert_mem_eq(&c->period_deg, &period_deg, sizeof period_deg);
    ck_assert_mem_eq(&c->cam_sd_mm, &cam_sd_mm, sizeof cam_sd_mm);
}

/* Any doubles come back to the last bit, under any name; the curve through them too. */
START_TEST(round_trip)
{
    enum { POINTS = 500 };
    char wide[DIALARC_NAME_SIZE];
    memset(wide, '"', sizeof wide);
    wide[sizeof wide - 1] = '\0';
    const char *const names[] = {"a",          " leading",     "tail\t",       "a,b",
                                 "say \"so\"", "two\nlines\r", "h\xc3\xb6her", wide};
    static char text[(size_t)POINTS * DIALARC_CAM_ROW_SIZE + 100];
    double angle[POINTS], lift[POINTS];
    dialarc_camtable *table;
    gsl_rng *rng = kit_seeded(7);
    for (size_t k = 0; k < sizeof names / sizeof *names; k++) {
        double period = 360.0 / (double)(k + 3), sd = 0.01 * gsl_rng_uniform(rng);
        for (int i = 0; i < POINTS; i++) {
            angle[i] = -1.0 + period * (i + 0.5 * gsl_rng_uniform(rng)) / POINTS;
            lift[i] = ldexp(gsl_rng_uniform(rng) - 0.5, i % 60 - 30);
        }
        lift[3] = -0.0;
        lift[4] = DBL_MIN;
        lift[5] = 4.9406564584124654e-324;
        lift[6] = 1e9;
        size_t used = strlen(strcpy(text, dialarc_cams_header())), length = 0;
        ck_assert_int_eq(dialarc_cam_format(names[k], POINTS, angle, lift, period, sd,
                                            text + used, sizeof text - used, &length),
                         DIALARC_OK);
        ck_assert_uint_eq(length, strlen(text + used));
        dialarc_cams *cams = read_good(text);
        ck_assert_uint_eq(dialarc_cams_count(cams), 1);
        const dialarc_cam_record *c = dialarc_cams_get(cams, 0);
        check_same(c, names[k], POINTS, angle, lift, period, sd);
        ck_assert_int_eq(dialarc_camtable_new(POINTS, angle, lift, period, &table),
                         DIALARC_OK);
        for (int i = 0; i < 100; i++) {
            dialarc_cam_motion one, two;
            double at = period * gsl_rng_uniform(rng);
            dialarc_camtable_motion(table, at, &one);
            dialarc_camtable_motion(c->table, at, &two);
            ck_assert_mem_eq(&one, &two, sizeof one);
        }
        dialarc_camtable_free(table);
        dialarc_cams_free(cams);
    }
    gsl_rng_free(rng);
}
END_TEST

START_TEST(rows_as_written)
{
    const double angle[] = {0.0, 30.5, 60.0}, lift[] = {0.1 + 0.2, 2.0, -0.0};
    char text[3 * DIALARC_CAM_ROW_SIZE], wide[DIALARC_NAME_SIZE];
    ck_assert_str_eq(dialarc_cams_header(), HEADER);
    ck_assert_int_eq(
        dialarc_cam_format("x, y", 3, angle, lift, 90.0, 0.0025, text, sizeof text, NULL),
        DIALARC_OK);
    ck_assert_str_eq(text, "\"x, y\",0,0.30000000000000004,90,0.0025\n"
                           "\"x, y\",30.5,2,90,0.0025\n\"x, y\",60,-0,90,0.0025\n");
    /* the widest rows there can be: a name of quotation marks and numbers of 24 bytes */
    const double far[] = {-1.2345678901234567e-300, -1.2345678901234567e-301,
                          1.2345678901234567e-301};
    memset(wide, '"', sizeof wide);
    wide[sizeof wide - 1] = '\0';
    size_t length = 0;
    dialarc_status status =
        dialarc_cam_format(wide, 3, far, far, 1.2345678901234567e-299,
                           1.2345678901234567e-299, text, sizeof text, &length);
    ck_assert_int_eq(status, DIALARC_OK);
    ck_assert_uint_le(length, 3 * (DIALARC_CAM_ROW_SIZE - 1));
    ck_assert_uint_gt(length, 3 * 340);
}
END_TEST

START_TEST(rows_refused)
{
    const double x[] = {0.0, 30.0, 60.0}, y[] = {0.0, 2.0, 1.0};
    const double huge[] = {0.0, 1e9, -1.1e9}, bad[] = {0.0, (double)NAN, 1.0};
    const double late[] = {1e9 - 1.0, 1e9, 1e9 + 1.0};
    char text[3 * DIALARC_CAM_ROW_SIZE], wide[DIALARC_NAME_SIZE + 1];
    size_t room = sizeof text;
    snprintf(wide, sizeof wide, "%0*d", DIALARC_NAME_SIZE, 0);
    strcpy(text, "as before");
    ck_assert_int_eq(dialarc_cam_format(NULL, 3, x, y, 90, 0, text, room, NULL), -1);
    ck_assert_int_eq(dialarc_cam_format("a", 3, NULL, y, 90, 0, text, room, NULL), -1);
    ck_assert_int_eq(dialarc_cam_format("a", 3, x, NULL, 90, 0, text, room, NULL), -1);
    ck_assert_int_eq(dialarc_cam_format("a", 3, x, y, 90, 0, NULL, room, NULL), -1);
    static const struct {
        const char *name;
        size_t n, less;
        double period_deg, sd_mm;
        dialarc_status status;
    } cases[] = {{"", 3, 0, 90, 0, DIALARC_ERR_SIZE},
                 {"a", 3, 1, 90, 0, DIALARC_ERR_SIZE},
                 {"a", 2, 0, 90, 0, DIALARC_ERR_SIZE},
                 {"a", 0, 0, 90, 0, DIALARC_ERR_SIZE},
                 {"bell\a", 3, 0, 90, 0, DIALARC_ERR_TABLE},
                 {"\xff", 3, 0, 90, 0, DIALARC_ERR_TABLE},
                 {"a", 3, 0, 0, 0, DIALARC_ERR_ANGLE},
                 {"a", 3, 0, 361, 0, DIALARC_ERR_ANGLE},
                 {"a", 3, 0, 60, 0, DIALARC_ERR_ORDER},
                 {"a", 3, 0, (double)NAN, 0, DIALARC_ERR_NOT_FINITE},
                 {"a", 3, 0, 90, (double)NAN, DIALARC_ERR_NOT_FINITE},
                 {"a", 3, 0, 90, (double)INFINITY, DIALARC_ERR_NOT_FINITE},
                 {"a", 3, 0, 90, -1e-9, DIALARC_ERR_SD},
                 {"a", 3, 0, 90, 2e9, DIALARC_ERR_SD}};
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++)
        ck_assert_int_eq(dialarc_cam_format(cases[k].name, cases[k].n, x, y,
                                            cases[k].period_deg, cases[k].sd_mm, text,
                                            room - cases[k].less, NULL),
                         cases[k].status);
    ck_assert_int_eq(dialarc_cam_format(wide, 3, x, y, 90, 0, text, room, NULL),
                     DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_cam_format("a", 3, y, y, 90, 0, text, room, NULL),
                     DIALARC_ERR_ORDER);
    ck_assert_int_eq(dialarc_cam_format("a", 3, bad, y, 90, 0, text, room, NULL),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_cam_format("a", 3, x, bad, 90, 0, text, room, NULL),
                     DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_cam_format("a", 3, x, huge, 90, 0, text, room, NULL),
                     DIALARC_ERR_RANGE);
    ck_assert_int_eq(dialarc_cam_format("a", 3, late, y, 90, 0, text, room, NULL),
                     DIALARC_ERR_RANGE);
    ck_assert_str_eq(text, "as before");
}
END_TEST

START_TEST(arguments)
{
    kit_source source = kit_text(HEADER THREE);
    dialarc_cams *cams = NULL;
    size_t index;
    ck_assert_int_eq(dialarc_cams_read(NULL, &source, &cams, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_cams_read(kit_read, &source, NULL, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_cams_load(NULL, &cams, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_cams_load("x", NULL, NULL), DIALARC_ERR_NULL);
    dialarc_error error = {0};
    ck_assert_int_eq(dialarc_cams_load("no/such.csv", &cams, &error), DIALARC_ERR_FILE);
    kit_expect(&error, DIALARC_ERR_FILE, "there is no such file");
    ck_assert_ptr_null(cams);
    ck_assert_uint_eq(dialarc_cams_count(NULL), 0);
    ck_assert_ptr_null(dialarc_cams_get(NULL, 0));
    ck_assert_ptr_null(dialarc_cams_name(NULL, 0));
    dialarc_cams_free(NULL);
    cams = read_good(HEADER THREE);
    ck_assert_int_eq(dialarc_cams_find(NULL, "a", &index), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_cams_find(cams, NULL, &index), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_cams_find(cams, "a", NULL), DIALARC_ERR_NULL);
    dialarc_cams_free(cams);
}
END_TEST

START_TEST(from_a_file)
{
    char path[] = "camsXXXXXX";
    kit_file(path, HEADER THREE);
    dialarc_cams *cams = NULL;
    ck_assert_int_eq(dialarc_cams_load(path, &cams, NULL), DIALARC_OK);
    remove(path);
    ck_assert_uint_eq(dialarc_cams_count(cams), 1);
    dialarc_cams_free(cams);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("table_cams");
    TCase *c = tcase_create("cams");
    tcase_add_test(c, cams_in_order);
    tcase_add_test(c, many_cams);
    tcase_add_test(c, tables_refused);
    tcase_add_test(c, numbers_refused);
    tcase_add_test(c, points_refused);
    tcase_add_test(c, too_many_points);
    tcase_add_test(c, round_trip);
    tcase_add_test(c, rows_as_written);
    tcase_add_test(c, rows_refused);
    tcase_add_test(c, arguments);
    tcase_add_test(c, from_a_file);
    suite_add_tcase(s, c);
    return darc_run(s);
}
