/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/lifts.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/table_kit.h"

static dialarc_status read_text(const char *text, dialarc_lifts **lifts,
                                dialarc_error *error)
{
    kit_source source = kit_text(text);
    *error = (dialarc_error){.room = 1};
    return dialarc_lifts_read(kit_read, &source, lifts, error);
}

START_TEST(results_with_two_columns_more)
{
    dialarc_lifts *lifts;
    dialarc_error error;
    dialarc_gauge_lift l;
    ck_assert_int_eq(read_text("hand;verdict;sweep;lift_mm;setup\n"
                               "left;in;a;0,901;wren\nright;in;b;0,905;wren\n"
                               "left;;c;;stork\n",
                               &lifts, &error),
                     DIALARC_OK);
    ck_assert_uint_eq(dialarc_lifts_count(lifts), 3);
    ck_assert_int_eq(dialarc_lifts_get(lifts, 1, &l), DIALARC_OK);
    ck_assert_double_eq(l.lift_mm, 0.905);
    ck_assert_int_eq(l.engine, 0);
    ck_assert_int_eq(l.hand, 1);
    ck_assert_int_eq(dialarc_lifts_get(lifts, 2, &l), DIALARC_OK);
    ck_assert_double_nan(l.lift_mm); /* the sweep will tell */
    ck_assert_int_eq(l.engine, 1);
    ck_assert_int_eq(l.hand, 0);
    ck_assert_str_eq(dialarc_lifts_sweep(lifts, 2), "c");
    ck_assert_str_eq(dialarc_lifts_setup(lifts, 2), "stork");
    ck_assert_str_eq(dialarc_lifts_hand(lifts, 1), "right");
    ck_assert_ptr_null(dialarc_lifts_sweep(lifts, 3));
    ck_assert_ptr_null(dialarc_lifts_setup(lifts, 3));
    ck_assert_ptr_null(dialarc_lifts_hand(lifts, 3));
    ck_assert_int_eq(dialarc_lifts_get(lifts, 3, &l), DIALARC_ERR_SIZE);
    dialarc_lifts_free(lifts);
}
END_TEST

static void refuse(const char *text, dialarc_status status, size_t line,
                   const char *column)
{
    dialarc_lifts *lifts = NULL;
    dialarc_error error;
    ck_assert_int_eq(read_text(text, &lifts, &error), status);
    ck_assert_ptr_null(lifts);
    ck_assert_uint_eq(error.line, line);
    ck_assert_str_eq(error.column_name, column);
}

START_TEST(refused_with_row_and_column)
{
    refuse("sweep,setup,lift_mm\na,wren,0.9\n", DIALARC_ERR_TABLE, 1, "hand");
    refuse("sweep,setup,hand\na,wren,\n", DIALARC_ERR_TABLE, 2, "hand");
    refuse("sweep,setup,hand\na,,left\n", DIALARC_ERR_TABLE, 2, "setup");
    refuse("sweep,setup,hand,lift_mm\na,wren,left,high\n", DIALARC_ERR_TABLE, 2,
           "lift_mm");
    refuse("sweep,setup,hand\na,wren,left\nb,wren,left\na,wren,left\n", DIALARC_ERR_TABLE,
           4, "sweep");
    refuse("sweep,setup,hand\na,wren,left\na,wren,left\n", DIALARC_ERR_TABLE, 3, "sweep");
    char many[4000] = "sweep,setup,hand\n";
    for (int i = 0; i <= DIALARC_GAUGE_LEVELS_MAX; i++)
        snprintf(many + strlen(many), sizeof many - strlen(many), "%d,wren,h%d\n", i, i);
    refuse(many, DIALARC_ERR_SIZE, DIALARC_GAUGE_LEVELS_MAX + 2, "hand");
}
END_TEST

START_TEST(nothing_there)
{
    dialarc_lifts *lifts = NULL;
    dialarc_gauge_lift l;
    kit_source source = kit_text("");
    ck_assert_int_eq(dialarc_lifts_read(NULL, NULL, &lifts, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_lifts_read(kit_read, &source, NULL, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_lifts_load(NULL, &lifts, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_lifts_load("no/such.csv", &lifts, NULL), DIALARC_ERR_FILE);
    ck_assert_int_eq(dialarc_lifts_get(NULL, 0, &l), DIALARC_ERR_NULL);
    ck_assert_uint_eq(dialarc_lifts_count(NULL), 0);
    ck_assert_ptr_null(dialarc_lifts_sweep(NULL, 0));
    dialarc_lifts_free(NULL);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("lifts");
    TCase *t = tcase_create("lifts");
    tcase_add_test(t, results_with_two_columns_more);
    tcase_add_test(t, refused_with_row_and_column);
    tcase_add_test(t, nothing_there);
    suite_add_tcase(s, t);
    return darc_run(s);
}
