/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/table_rows.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/table_kit.h"

/* Of columns that cannot be asked for. */
#define SIZE "There are too few or too many values for this."

static dialarc_rows *read_good(const char *columns, const char *text, size_t piece)
{
    kit_source source = kit_text(text);
    dialarc_rows *rows = NULL;
    dialarc_error error = {0};
    source.piece = piece;
    dialarc_status status = dialarc_rows_read(kit_read, &source, columns, &rows, &error);
    ck_assert_msg(status == DIALARC_OK, "%s", error.text);
    return rows;
}

static void refuse(const char *columns, const char *text, dialarc_status expected,
                   const char *line)
{
    kit_source source = kit_text(text);
    dialarc_rows *rows = NULL;
    dialarc_error error = {0};
    ck_assert_int_eq(dialarc_rows_read(kit_read, &source, columns, &rows, &error),
                     expected);
    ck_assert_ptr_null(rows);
    kit_expect(&error, expected, line);
}

static double number(const dialarc_rows *rows, size_t index, const char *column)
{
    double value = 12345.0;
    ck_assert_int_eq(dialarc_rows_number(rows, index, column, &value), DIALARC_OK);
    return value;
}

/* Columns by name, in any order and in the dialect of another country; rows that are
 * blank are left out, a column that is not there is blank. */
START_TEST(rows_in_order)
{
    for (size_t piece = 0; piece < 3; piece++) {
        dialarc_rows *rows = read_good(
            "way! block_mm! at_deg note",
            "\xef\xbb\xbfnote;block_mm;way\r\n\"a;b\";1,5;up\r\n;;\r\n;\xe2\x88\x92"
            "2;down\r\n",
            piece);
        ck_assert_uint_eq(dialarc_rows_count(rows), 2);
        ck_assert_uint_eq(dialarc_rows_line(rows, 0), 2);
        ck_assert_uint_eq(dialarc_rows_line(rows, 1), 4);
        ck_assert_uint_eq(dialarc_rows_line(rows, 2), 0);
        ck_assert_double_eq(number(rows, 0, "block_mm"), 1.5);
        ck_assert_double_eq(number(rows, 1, "block_mm"), -2.0);
        ck_assert(isnan(number(rows, 1, "at_deg")));
        ck_assert_str_eq(dialarc_rows_text(rows, 0, "note"), "a;b");
        ck_assert_str_eq(dialarc_rows_text(rows, 1, "note"), "");
        ck_assert_str_eq(dialarc_rows_text(rows, 1, "way"), "down");
        /* no such row or column, or one of the other kind */
        double value = 12345.0;
        ck_assert_int_eq(dialarc_rows_number(rows, 2, "block_mm", &value),
                         DIALARC_ERR_SIZE);
        ck_assert_int_eq(dialarc_rows_number(rows, 0, "way", &value), DIALARC_ERR_SIZE);
        ck_assert_int_eq(dialarc_rows_number(rows, 0, NULL, &value), DIALARC_ERR_NULL);
        ck_assert_double_eq(value, 12345.0);
        ck_assert_ptr_null(dialarc_rows_text(rows, 2, "way"));
        ck_assert_ptr_null(dialarc_rows_text(rows, 0, "block_mm"));
        ck_assert_ptr_null(dialarc_rows_text(rows, 0, "way!"));
        ck_assert_ptr_null(dialarc_rows_text(rows, 0, NULL));
        dialarc_rows_free(rows);
    }
    dialarc_rows_free(NULL);
    ck_assert_uint_eq(dialarc_rows_count(NULL), 0);
    ck_assert_uint_eq(dialarc_rows_line(NULL, 0), 0);
}
END_TEST

/* More rows than fit at first, from a file. */
START_TEST(many_rows)
{
    char path[] = "test_table_rows_XXXXXX", *text = malloc(100000);
    size_t length = (size_t)sprintf(text, "who,x_mm\n");
    for (int i = 0; i < 3000; i++)
        length += (size_t)sprintf(text + length, "name %d,%d.25\n", i, i);
    kit_file(path, text);
    dialarc_rows *rows = NULL;
    ck_assert_int_eq(dialarc_rows_load(path, " x_mm!  who! ", &rows, NULL), DIALARC_OK);
    unlink(path);
    ck_assert_uint_eq(dialarc_rows_count(rows), 3000);
    ck_assert_double_eq(number(rows, 2999, "x_mm"), 2999.25);
    ck_assert_str_eq(dialarc_rows_text(rows, 1234, "who"), "name 1234");
    dialarc_rows_free(rows);
    free(text);
}
END_TEST

START_TEST(tables_refused)
{
    refuse("block_mm! x", "x\n1\n", DIALARC_ERR_TABLE,
           "line 1 (header), column block_mm: this column is missing from the header");
    refuse("a_mm! b", "a_mm,b\n,x\n", DIALARC_ERR_TABLE,
           "line 2 (row 1), column a_mm: the field is blank, but a number is needed");
    refuse("a_mm b!", "a_mm,b\n1,\n", DIALARC_ERR_TABLE,
           "line 2 (row 1), column b: the field is blank, but a name is needed");
    refuse("a_mm", "a_mm\n1\nx\n", DIALARC_ERR_TABLE,
           "line 3 (row 2), column a_mm: \"x\" is not a number");
    refuse("a_mm", "a_mm\n", DIALARC_ERR_TABLE, "the table holds nothing, only a header");
    refuse("", "a_mm\n1\n", DIALARC_ERR_SIZE, SIZE);
    refuse("a !", "a\n1\n", DIALARC_ERR_SIZE, SIZE);
    char many[2 * DIALARC_ROWS_COLUMNS + 3] = "a";
    for (int i = 0; i < DIALARC_ROWS_COLUMNS; i++)
        strcat(many, " a");
    refuse(many, "a\n1\n", DIALARC_ERR_SIZE, SIZE);
    dialarc_rows *rows = NULL;
    ck_assert_int_eq(dialarc_rows_read(NULL, NULL, "a", &rows, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_rows_read(kit_read, NULL, NULL, &rows, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_rows_read(kit_read, NULL, "a", NULL, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_rows_load(NULL, "a", &rows, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_rows_load("no/such/file", "a", &rows, NULL),
                     DIALARC_ERR_FILE);
}
END_TEST

/* All faults of a table in one run. */
START_TEST(all_faults_in_one_run)
{
    kit_source source = kit_text("a_mm,b\nx,\n1,c\n2,\ny,d\n");
    dialarc_rows *rows = NULL;
    dialarc_error error[8] = {{.room = 8}};
    ck_assert_int_eq(dialarc_rows_read(kit_read, &source, "a_mm! b!", &rows, error),
                     DIALARC_ERR_TABLE);
    ck_assert_ptr_null(rows);
    ck_assert_uint_eq(error[0].count, 4);
    ck_assert_uint_eq(error[1].line, 2);
    ck_assert_uint_eq(error[2].line, 4);
    ck_assert_uint_eq(error[3].line, 5);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("table_rows");
    TCase *c = tcase_create("table_rows");
    tcase_add_test(c, rows_in_order);
    tcase_add_test(c, many_rows);
    tcase_add_test(c, tables_refused);
    tcase_add_test(c, all_faults_in_one_run);
    suite_add_tcase(s, c);
    return darc_run(s);
}
