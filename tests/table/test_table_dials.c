/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/table_dials.h>

#include <stdio.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/table_kit.h"

#define HEADER "dial,shown_mm,true_mm,u_mm,calibrated_on,certificate\n"
#define TWO    "a,0,0,0.001,,\na,1,1.002,0.001,,\n"

static dialarc_dials *read_good(const char *text)
{
    kit_source source = kit_text(text);
    dialarc_dials *dials = NULL;
    dialarc_error error = {0};
    dialarc_status status = dialarc_dials_read(kit_read, &source, &dials, &error);
    ck_assert_msg(status == DIALARC_OK, "%s", error.text);
    return dials;
}

static void refuse(const char *text, dialarc_status expected, const char *line)
{
    kit_source source = kit_text(text);
    dialarc_dials *dials = NULL;
    dialarc_error error = {0};
    ck_assert_int_eq(dialarc_dials_read(kit_read, &source, &dials, &error), expected);
    ck_assert_ptr_null(dials);
    kit_expect(&error, expected, line);
}

START_TEST(dials_in_order)
{
    dialarc_dials *dials =
        read_good("certificate,dial,true_mm,shown_mm,u_mm,calibrated_on\r\n"
                  "no. 17,\"bench, left\",0,0,0.0005,2026-02-28\r\n"
                  ",\"bench, left\",1.004,1,0.0012,\r\n"
                  "no. 17,\"bench, left\",2.5,2.5,0.0008,2026-02-28\r\n"
                  ",b,-0.1,-0.1,0,\r\n,b,5,5,0,\r\n");
    double low, high, u, x = 0.5;
    size_t index = 9;
    dialarc_dialcal *calibration = NULL;
    ck_assert_uint_eq(dialarc_dials_count(dials), 2);
    ck_assert_str_eq(dialarc_dials_name(dials, 0), "bench, left");
    ck_assert_str_eq(dialarc_dials_calibrated_on(dials, 0), "2026-02-28");
    ck_assert_str_eq(dialarc_dials_certificate(dials, 0), "no. 17");
    ck_assert_str_eq(dialarc_dials_calibrated_on(dials, 1), "");
    ck_assert_str_eq(dialarc_dials_certificate(dials, 1), "");
    ck_assert_ptr_null(dialarc_dials_name(dials, 2));
    ck_assert_ptr_null(dialarc_dials_calibrated_on(dials, 2));
    ck_assert_ptr_null(dialarc_dials_certificate(dials, 2));
    ck_assert_int_eq(dialarc_dials_find(dials, "b", &index), DIALARC_OK);
    ck_assert_uint_eq(index, 1);
    ck_assert_int_eq(dialarc_dials_find(dials, "B", &index), DIALARC_ERR_NO_SOLUTION);
    ck_assert_int_eq(dialarc_dials_share(dials, 2, &calibration),
                     DIALARC_ERR_NO_SOLUTION);
    ck_assert_int_eq(dialarc_dials_share(dials, 0, &calibration), DIALARC_OK);
    dialarc_dials_free(dials);
    ck_assert_int_eq(dialarc_dialcal_range(calibration, &low, &high, &u), DIALARC_OK);
    ck_assert_double_eq(high, 2.5);
    ck_assert_double_eq(u, 0.0012); /* the largest */
    ck_assert_int_eq(dialarc_dialcal_true(calibration, 1, &x, &x), DIALARC_OK);
    ck_assert_double_eq_tol(x, 0.502, 1e-15);
    dialarc_dialcal_free(calibration);
    ck_assert_uint_eq(dialarc_dials_count(NULL), 0);
    dialarc_dials_free(NULL);
}
END_TEST

/* Dials and points enough to make every array move. */
START_TEST(many_dials)
{
    enum { DIALS = 20, POINTS = 200 };
    static char text[DIALS * POINTS * 40];
    char *p = text + sprintf(text, HEADER);
    for (int i = 0; i < DIALS * POINTS; i++)
        p += sprintf(p, "dial %d,%d,%d,%d,,\n", i / POINTS, i % POINTS, i, i / POINTS);
    dialarc_dials *dials = read_good(text);
    ck_assert_uint_eq(dialarc_dials_count(dials), DIALS);
    for (size_t i = 0; i < DIALS; i++) {
        double at = 150.5, low, high, u;
        dialarc_dialcal *c = NULL;
        ck_assert_int_eq(dialarc_dials_share(dials, i, &c), DIALARC_OK);
        ck_assert_int_eq(dialarc_dialcal_true(c, 1, &at, &at), DIALARC_OK);
        ck_assert_double_eq(at, (double)i * POINTS + 150.5);
        ck_assert_int_eq(dialarc_dialcal_range(c, &low, &high, &u), DIALARC_OK);
        ck_assert_double_eq(u, (double)i);
        dialarc_dialcal_free(c);
    }
    dialarc_dials_free(dials);
}
END_TEST

START_TEST(tables_refused)
{
    refuse("", DIALARC_ERR_TABLE, "the file is empty: it needs a header row");
    refuse(HEADER, DIALARC_ERR_TABLE, "the table holds no dial, only a header");
    refuse("dial,shown_mm,true_mm\na,0,0\n", DIALARC_ERR_TABLE,
           "line 1 (header), column u_mm: this column is missing from the header");
    refuse(HEADER "a,0,0,0,,\n", DIALARC_ERR_SIZE,
           "line 2 (row 1), column dial: this dial has a single point, which corrects "
           "nothing");
    refuse(HEADER TWO "b,0,0,0,,\nb,1,1,0,,\na,2,2,0,,\n", DIALARC_ERR_TABLE,
           "line 6 (row 5), column dial: \"a\" comes a second time: its rows must stand "
           "together, and another dial needs another name");
    refuse(HEADER "a,0,0,,,\na,1,1,0,,\n", DIALARC_ERR_TABLE,
           "line 2 (row 1), column u_mm: the field is blank, but a number is needed");
    refuse(HEADER "a,0,0,0,,\na,0,1,0,,\n", DIALARC_ERR_ORDER,
           "line 3 (row 2), column shown_mm: the readings of a dial must rise from row "
           "to row");
    refuse(HEADER "a,0,0,0,,\na,1,0,0,,\n", DIALARC_ERR_ORDER,
           "line 3 (row 2), column true_mm: the travels of a dial must rise from row to "
           "row");
    refuse(HEADER "a,0,0,-0.001,,\na,1,1,0,,\n", DIALARC_ERR_SD,
           "line 2 (row 1), column u_mm: must not be below 0");
    refuse(HEADER "a,0,0,0,x,\na,1,1,0,x,\n", DIALARC_ERR_TABLE,
           "line 2 (row 1), column calibrated_on: must be a date as in 2026-03-31, or "
           "blank");
    refuse(HEADER "a,0,0,0,2026-13-01,\na,1,1,0,,\n", DIALARC_ERR_TABLE,
           "line 2 (row 1), column calibrated_on: must be a date as in 2026-03-31, or "
           "blank");
    refuse(HEADER "a,0,0,0,2026-12-011,\na,1,1,0,,\n", DIALARC_ERR_TABLE,
           "line 2 (row 1), column calibrated_on: must be a date as in 2026-03-31, or "
           "blank");
    refuse(HEADER "a,0,0,0,,x\na,1,1,0,,y\n", DIALARC_ERR_TABLE,
           "line 3 (row 2), column certificate: the first row of this dial has another "
           "value");
}
END_TEST

START_TEST(all_faults_in_one_run)
{
    kit_source source = kit_text(HEADER "a,x,0,-1,soon,\na,1,1,0,,\nb,0,0,0,,\n");
    dialarc_error all[DIALARC_ERRORS_MAX] = {{.room = DIALARC_ERRORS_MAX}};
    char told[DIALARC_ERRORS_SIZE];
    dialarc_dials *dials = NULL;
    ck_assert_int_lt(dialarc_dials_read(kit_read, &source, &dials, all), DIALARC_OK);
    dialarc_errors_text(all, NULL, told, sizeof told);
    ck_assert_str_eq(
        told, "line 2 (row 1), column shown_mm: \"x\" is not a number\n"
              "line 2 (row 1), column u_mm: must not be below 0\n"
              "line 2 (row 1), column calibrated_on: must be a date as in 2026-03-31, or "
              "blank\n"
              "line 4 (row 3), column dial: this dial has a single point, which corrects "
              "nothing");
}
END_TEST

START_TEST(setups_take_the_dials_that_they_name)
{
    dialarc_dials *dials = read_good(HEADER TWO "b,0,0,0,,\nb,1,1,0,,\n");
    dialarc_setups *setups = kit_setups("setup,lobes,dial,dial_preload_mm\n"
                                        "x,4,b,0.5\ny,4,a,\nz,4,,\nw,4,a,1\n");
    dialarc_error error = {0};
    double at = 0.5;
    for (int twice = 0; twice < 2; twice++) /* a share is not kept twice */
        ck_assert_int_eq(dialarc_setups_use_dials(setups, dials, &error), DIALARC_OK);
    dialarc_dials_free(dials);
    const dialarc_setup *x = dialarc_setups_get(setups, 0);
    ck_assert_double_eq(x->dial_preload_mm, 0.5);
    ck_assert_ptr_nonnull(x->dial_calibration);
    ck_assert_int_eq(dialarc_dialcal_true(dialarc_setups_get(setups, 1)->dial_calibration,
                                          1, &at, &at),
                     DIALARC_OK);
    ck_assert_double_eq_tol(at, 0.501, 1e-15);
    ck_assert_ptr_null(dialarc_setups_get(setups, 2)->dial_calibration);
    ck_assert_ptr_eq(dialarc_setups_get(setups, 3)->dial_calibration,
                     dialarc_setups_get(setups, 1)->dial_calibration);
    dialarc_setups_free(setups);
}
END_TEST

START_TEST(a_dial_that_there_is_not)
{
    dialarc_dials *dials = read_good(HEADER TWO);
    dialarc_setups *setups = kit_setups("setup,lobes,dial\nx,4,a\ny,4,A\n");
    dialarc_error error = {0};
    ck_assert_int_eq(dialarc_setups_use_dials(setups, dials, &error),
                     DIALARC_ERR_NO_SOLUTION);
    kit_expect(&error, DIALARC_ERR_NO_SOLUTION,
               "setup y names the dial A, which the dials table does not have");
    ck_assert_ptr_null(dialarc_setups_get(setups, 0)->dial_calibration);
    ck_assert_int_eq(dialarc_setups_use_dials(NULL, dials, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_setups_use_dials(setups, NULL, NULL), DIALARC_ERR_NULL);
    dialarc_setups_free(setups);
    dialarc_dials_free(dials);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("table_dials");
    TCase *c = tcase_create("table_dials");
    tcase_add_test(c, dials_in_order);
    tcase_add_test(c, many_dials);
    tcase_add_test(c, tables_refused);
    tcase_add_test(c, all_faults_in_one_run);
    tcase_add_test(c, setups_take_the_dials_that_they_name);
    tcase_add_test(c, a_dial_that_there_is_not);
    suite_add_tcase(s, c);
    return darc_run(s);
}
