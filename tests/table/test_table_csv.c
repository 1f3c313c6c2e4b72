/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "table/table_csv.h"

#include <stdio.h>

#include "kit/check_main.h"
#include "kit/table_kit.h"

enum { A, B, C, SLOTS };
static const char *const names[SLOTS] = {"a", "b", "c"};

/* All rows as "a|b|c" lines, quoted fields in <>; or the error as one line. */
static char *dump(kit_source source, size_t piece)
{
    static char out[4096];
    size_t used = 0;
    source.piece = piece;
    dialarc_error error = {0};
    darc_csv csv;
    dialarc_status status = darc_csv_open(&csv, kit_read, &source, names, SLOTS, &error);
    bool more = true;
    out[0] = '\0';
    while (status == DIALARC_OK) {
        status = darc_csv_next(&csv, &more, &error);
        if (status != DIALARC_OK || !more)
            break;
        used += (size_t)snprintf(out + used, sizeof out - used, "%zu:", csv.line);
        for (int slot = 0; slot < SLOTS; slot++) {
            const darc_field *f = &csv.field[slot];
            used +=
                (size_t)snprintf(out + used, sizeof out - used, "%s%s%.*s%s",
                                 slot ? "|" : "", f->quoted ? "<" : "", (int)f->length,
                                 f->length ? f->text : "", f->quoted ? ">" : "");
        }
        used += (size_t)snprintf(out + used, sizeof out - used, "\n");
    }
    if (status != DIALARC_OK) {
        ck_assert_int_eq(error.status, status);
        dialarc_error_text(&error, NULL, out, sizeof out);
    }
    darc_csv_close(&csv);
    return out;
}

/* The same whatever the pieces in which the bytes arrive. */
static void check_bytes(const char *text, size_t size, const char *expected)
{
    kit_source source = {.memory = {.data = text, .size = size}};
    for (size_t piece = 0; piece < 4; piece++)
        ck_assert_str_eq(dump(source, piece), expected);
}

static void check(const char *text, const char *expected)
{
    check_bytes(text, strlen(text), expected);
}

START_TEST(plain_rows)
{
    check("a,b,c\n1,2,3\n4,5,6\n", "2:1|2|3\n3:4|5|6\n");
    check("a,b,c\n1,2,3", "2:1|2|3\n");
    check("a,b,c\r\n1,2,3\r\n", "2:1|2|3\n");
    check("a,b,c\r\n1,2,3\r", "2:1|2|3\n");
    check("\xef\xbb\xbf"
          "a,b,c\n1,2,3\n",
          "2:1|2|3\n");
    check("a,b,c\n", "");
    check("a,b,c", "");
    check("a,b,c\n,,3\n", "2:||3\n");
}
END_TEST

START_TEST(columns_by_name)
{
    check("c,x,A, b \n3,9,1,2\n", "2:1|2|3\n");
    check("x,b\n9,2\n", "2:|2|\n"); /* absent columns are blank */
    check("x\n9\n", "2:||\n");
    check("\"a\",\"b\nb\",c\n1,2,3\n", "3:1||3\n");
    check(
        "a,b,a\n1,2,3\n",
        "line 1 (header), column a: this column stands twice, as column 1 and column 3");
    check("x,x,a\n1,2,3\n", "2:3||\n"); /* what is ignored may stand twice */
}
END_TEST

/* Source: RFC 4180 section 2, rules 5 to 7 (from memory). */
START_TEST(quoted_fields)
{
    check("a,b,c\n\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx\r\n",
          "2:<aaa>|<b\r\nbb>|<ccc>\n4:zzz|yyy|xxx\n");
    check("a,b,c\n\"aaa\",\"b\"\"bb\",\"ccc\"\n", "2:<aaa>|<b\"bb>|<ccc>\n");
    check("a,b,c\n\"\",\"\"\"\",\",\"\n", "2:<>|<\">|<,>\n");
    check("a,b,c\n1,2,\"3\"", "2:1|2|<3>\n");
    check("a\n\"\"\n", "2:<>||\n"); /* a blank in quotation marks is no blank row */
    check("a,b,c\n1,\"x\n\n\ny\",3\n4,5,6\n", "2:1|<x\n\n\ny>|3\n6:4|5|6\n");
}
END_TEST

START_TEST(rows_of_blanks_are_skipped)
{
    check("\n\na,b,c\n\n1,2,3\n\r\n,,\n4,5,6\n\n\n", "5:1|2|3\n8:4|5|6\n");
}
END_TEST

START_TEST(ragged_rows)
{
    check("a,b,c\n1,2,3\n1,2\n", "line 3 (row 2): 2 fields, but the header has 3");
    check("a,b\n1,0,85\n",
          "line 2 (row 1): 3 fields, but the header has 2: is there a comma "
          "in a field that is not in quotation marks, or a decimal comma?");
}
END_TEST

START_TEST(malformed_rows)
{
    check("a,b,c\n1,\"2,3\n4,5,6\n",
          "line 2 (row 1), column b: the quotation mark that opens "
          "this field is never closed");
    check("a,b,c\n1,\"2\"x,3\n",
          "line 2 (row 1), column b: text after a closing quotation mark");
    check(
        "x,b,c\n3/4\" bolt,2,3\n",
        "line 2 (row 1), column 1: a quotation mark inside a field: enclose the field in "
        "quotation marks and double this one");
    check("a,b,c\n1,2\r3,4\n",
          "line 2 (row 1), column b: a carriage return alone: save with "
          "LF or CRLF line ends");
    check("a,b,c\r1,2,3\r", "line 1 (header), column 3: a carriage return alone: save "
                            "with LF or CRLF line ends");
    check_bytes("a,b\n1,\0\n", 8,
                "line 2 (row 1), column b: byte 0x00 does not belong in a text file");
    check("a,b\n1,2\n\x7f"
          "ELF\x02,\"\x01\"\n",
          "line 3 (row 2), column a: byte 0x02 does not belong in a text file");
    check("a,b\n1,\"\x1b\"\n",
          "line 2 (row 1), column b: byte 0x1b does not belong in a text file");
    check("a,b\n\"\n\n\",\"x\ny\"z\n",
          "line 4 (row 1), column b: text after a closing quotation mark");
}
END_TEST

/* Who wants no error gets the status alone. */
START_TEST(errors_need_not_be_told)
{
    kit_source source = kit_text("a,b,c\n1,2\n");
    darc_csv csv;
    bool more = true;
    ck_assert_int_eq(darc_csv_open(&csv, kit_read, &source, names, SLOTS, NULL),
                     DIALARC_OK);
    ck_assert_int_eq(darc_csv_next(&csv, &more, NULL), DIALARC_ERR_TABLE);
    darc_csv_close(&csv);
}
END_TEST

START_TEST(files_that_are_no_table)
{
    check("", "the file is empty: it needs a header row");
    check("\xef\xbb\xbf", "the file is empty: it needs a header row");
    check("\n\r\n\n", "the file is empty: it needs a header row");
    check_bytes("\xff\xfe"
                "a\0,\0",
                6, "line 1 (header): the file is in UTF-16: save it as UTF-8");
    check_bytes("\xfe\xff\0a", 4,
                "line 1 (header): the file is in UTF-16: save it as UTF-8");
    kit_source broken = kit_text("a,b,c\n1,2,3\n");
    broken.fails = 1;
    ck_assert_str_eq(dump(broken, 0), "reading failed");
}
END_TEST

START_TEST(missing_columns)
{
    static const char *const texts[] = {"x,y1\n", "a;c\n", "a|b|c\n", "a\n"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        kit_source source = kit_text(texts[i]);
        dialarc_error error = {0};
        darc_csv csv;
        ck_assert_int_eq(darc_csv_open(&csv, kit_read, &source, names, SLOTS, &error),
                         DIALARC_OK);
        ck_assert_int_eq(darc_csv_require(&csv, B, B + 1, &error), DIALARC_ERR_TABLE);
        kit_expect(&error, DIALARC_ERR_TABLE,
                   "line 1 (header), column b: this column is missing from the header");
        darc_csv_close(&csv);
    }
}
END_TEST

/* `count` bytes of `fill` between two texts, read as a table. */
static char *dump_filled(const char *before, char fill, size_t count, const char *after)
{
    size_t size = strlen(before) + count + strlen(after);
    char *text = malloc(size + 1);
    ck_assert_ptr_nonnull(text);
    char *p = text + strlen(strcpy(text, before));
    memset(p, fill, count);
    strcpy(p + count, after);
    char *out = dump((kit_source){.memory = {.data = text, .size = size}}, 0);
    free(text);
    return out;
}

START_TEST(long_fields)
{
    size_t mib = (size_t)1 << 20;
    /* in a column that is not wanted, up to 1 MiB is well */
    ck_assert_str_eq(dump_filled("x,a\n\"", 'z', mib, "\",1\n"), "2:1||\n");
    ck_assert_str_eq(dump_filled("x,a\n", 'z', mib, ",1\n"), "2:1||\n");
    const char *refused =
        "line 2 (row 1), column 1: the field is longer than 1 MiB: is a "
        "quotation mark left open?";
    ck_assert_str_eq(dump_filled("x,a\n", 'z', mib + 1, ",1\n"), refused);
    ck_assert_str_eq(dump_filled("x,a\n\"", 'z', 10 * mib, "\",1\n"), refused);
    ck_assert_str_eq(dump_filled("x,a\n", 'z', 10 * mib, ",1\n"), refused);
    ck_assert_str_eq(dump_filled("x,a\n\"", '\n', 10 * mib, "\",1\n"), refused);
}
END_TEST

/* 1 MiB to the byte, with a buffer of 2 MiB that ends between CR and LF. */
START_TEST(a_line_end_is_no_part_of_a_long_field)
{
    const size_t mib = (size_t)1 << 20, size = 4 + 2 * mib - 1 + 2;
    char *text = malloc(size), *row = text + 4;
    ck_assert_ptr_nonnull(text);
    memset(text, 'z', size);
    memcpy(text, "x,y\n", 4);
    row[mib - 2] = ',';
    memcpy(row + 2 * mib - 1, "\r\n", 2);
    ck_assert_str_eq(dump((kit_source){.memory = {.data = text, .size = size}}, 0),
                     "2:||\n");
    free(text);
}
END_TEST

START_TEST(many_columns)
{
    size_t million = 1000000;
    /* all of a million columns are blank but the last */
    ck_assert_str_eq(dump_filled("x", ',', million, "a\n"), "");
    ck_assert_str_eq(dump_filled("a", ',', million, "\n1\n"),
                     "line 2 (row 1): 1 fields, but the header has 1000001");
    ck_assert_str_eq(dump_filled("a\n1", ',', million, "\n"),
                     "line 2 (row 1): 1000001 fields, but the header has 1: is there a "
                     "comma in a field "
                     "that is not in quotation marks, or a decimal comma?");
    ck_assert_str_eq(dump_filled("a\n1", ',', (size_t)70 << 20, "\n"),
                     "line 2 (row 1): the row is longer than 64 MiB");
}
END_TEST

/* Rows that meet the edge of the buffer at every place, quoted and not. */
START_TEST(rows_across_the_buffer)
{
    enum { ROWS = 30000 };
    char *text = malloc(ROWS * 40), *p = text;
    ck_assert_ptr_nonnull(text);
    p += sprintf(p, "a,b,c\n");
    for (int i = 0; i < ROWS; i++)
        p += sprintf(p, i % 3 ? "%d,%d,%d\n" : "%d,\"%d\"\"\n\",\"%d\"\r\n", i, i * 7,
                     i * i % 99);
    kit_source source = {.memory = {.data = text, .size = (size_t)(p - text)}};
    for (size_t piece = 0; piece < 4099; piece += 4098) {
        source.memory.used = 0;
        source.piece = piece;
        darc_csv csv;
        bool more;
        ck_assert_int_eq(darc_csv_open(&csv, kit_read, &source, names, SLOTS, NULL),
                         DIALARC_OK);
        for (int i = 0; i < ROWS; i++) {
            char expected[60], row[60];
            ck_assert_int_eq(darc_csv_next(&csv, &more, NULL), DIALARC_OK);
            sprintf(expected, i % 3 ? "%d,%d,%d" : "%d,%d\"\n,%d", i, i * 7, i * i % 99);
            snprintf(row, sizeof row, "%.*s,%.*s,%.*s", (int)csv.field[A].length,
                     csv.field[A].text, (int)csv.field[B].length, csv.field[B].text,
                     (int)csv.field[C].length, csv.field[C].text);
            if (!more || strcmp(row, expected) ||
                csv.line != (size_t)(i + (i + 2) / 3 + 2))
                ck_abort_msg("line %zu: %s, not %s", csv.line, row, expected);
        }
        ck_assert_int_eq(darc_csv_next(&csv, &more, NULL), DIALARC_OK);
        ck_assert(!more);
        ck_assert_uint_eq(csv.size, DARC_CSV_BUFFER); /* memory has not grown */
        darc_csv_close(&csv);
    }
    free(text);
}
END_TEST

/* Garbage of any kind ends in rows or in an error, and in no access beyond the buffer. */
START_TEST(random_bytes)
{
    static const char alphabet[] = "a,b\n\"\r; \t\0\xff"
                                   "1.e";
    uint64_t state = 99;
    for (int i = 0; i < 20000; i++) {
        char text[64] = "a,b,c\n";
        size_t size = 6 + (size_t)(i % 58);
        for (size_t j = 6; j < size; j++) {
            state = state * 6364136223846793005u + 1442695040888963407u;
            text[j] = i % 4 ? alphabet[(state >> 33) % (sizeof alphabet - 1)]
                            : (char)(state >> 33);
        }
        dump((kit_source){.memory = {.data = text, .size = size}}, (size_t)(i % 3));
    }
}
END_TEST

static Suite *suite(void)
{
    Suite *s = suite_create("table_csv");
    TCase *c = tcase_create("rows");
    tcase_set_timeout(c, 60);
    tcase_add_test(c, plain_rows);
    tcase_add_test(c, columns_by_name);
    tcase_add_test(c, quoted_fields);
    tcase_add_test(c, rows_of_blanks_are_skipped);
    tcase_add_test(c, ragged_rows);
    tcase_add_test(c, malformed_rows);
    tcase_add_test(c, errors_need_not_be_told);
    tcase_add_test(c, files_that_are_no_table);
    tcase_add_test(c, missing_columns);
    tcase_add_test(c, long_fields);
    tcase_add_test(c, a_line_end_is_no_part_of_a_long_field);
    tcase_add_test(c, many_columns);
    tcase_add_test(c, rows_across_the_buffer);
    tcase_add_test(c, random_bytes);
    suite_add_tcase(s, c);
    return s;
}

int main(void)
{
    return darc_run(suite());
}
