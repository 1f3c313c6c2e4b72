/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/table.h>

#include <errno.h>
#include <stdio.h>

#include "kit/check_main.h"
#include "kit/table_kit.h"
#include "table/table.h"
#include "table/table_names.h"

/* The linker puts this in place of fopen(), in the library under test as well: it fails
 * once with a number for errno, when asked to. */
static int open_fails_with;
FILE *__real_fopen(const char *path, const char *mode);
FILE *__wrap_fopen(const char *path, const char *mode);

FILE *__wrap_fopen(const char *path, const char *mode)
{
    int number = open_fails_with;
    if (!number)
        return __real_fopen(path, mode);
    open_fails_with = 0;
    errno = number;
    return NULL;
}

START_TEST(memory_is_read_to_its_end)
{
    dialarc_memory m = {.data = "abcde", .size = 5};
    char out[8] = "";
    ck_assert_uint_eq(dialarc_read_memory(&m, out, 3), 3);
    ck_assert_uint_eq(dialarc_read_memory(&m, out + 3, 5), 2);
    ck_assert_str_eq(out, "abcde");
    ck_assert_uint_eq(dialarc_read_memory(&m, out, 5), 0);
    dialarc_memory none = {0};
    ck_assert_uint_eq(dialarc_read_memory(&none, out, 5), 0);
    ck_assert_uint_eq(dialarc_read_memory(NULL, out, 5), DIALARC_READ_FAILED);
    ck_assert_uint_eq(dialarc_read_memory(&m, NULL, 5), DIALARC_READ_FAILED);
    m.used = 9; /* a wrong count must not lead beyond the end */
    ck_assert_uint_eq(dialarc_read_memory(&m, out, 5), DIALARC_READ_FAILED);
}
END_TEST

START_TEST(files_are_read_to_their_end)
{
    FILE *file = tmpfile();
    ck_assert_ptr_nonnull(file);
    fputs("abc", file);
    rewind(file);
    char out[8] = "";
    ck_assert_uint_eq(dialarc_read_file(file, out, sizeof out), 3);
    ck_assert_uint_eq(dialarc_read_file(file, out, sizeof out), 0);
    ck_assert_uint_eq(dialarc_read_file(NULL, out, sizeof out), DIALARC_READ_FAILED);
    ck_assert_uint_eq(dialarc_read_file(file, NULL, sizeof out), DIALARC_READ_FAILED);
    fclose(file);
    file = fopen("/", "rb"); /* a folder opens but cannot be read */
    if (file) {
        ck_assert_uint_eq(dialarc_read_file(file, out, sizeof out), DIALARC_READ_FAILED);
        fclose(file);
    }
}
END_TEST

static void check_line(const dialarc_error *error, const char *file, const char *expected)
{
    char text[400];
    ck_assert_int_eq(dialarc_error_text(error, file, text, sizeof text), DIALARC_OK);
    ck_assert_str_eq(text, expected);
}

START_TEST(errors_as_one_line)
{
    dialarc_error e = {.status = DIALARC_ERR_TABLE, .text = "is wrong"};
    check_line(&e, NULL, "is wrong");
    check_line(&e, "s.csv", "s.csv: is wrong");
    e.line = 1;
    check_line(&e, "s.csv", "s.csv, line 1 (header): is wrong");
    e.line = 12;
    e.row = 11;
    check_line(&e, NULL, "line 12 (row 11): is wrong");
    e.column = 3;
    check_line(&e, "s.csv", "s.csv, line 12 (row 11), column 3: is wrong");
    strcpy(e.column_name, "dial_mm");
    check_line(&e, "s.csv", "s.csv, line 12 (row 11), column dial_mm: is wrong");
    char text[16];
    for (size_t size = 1; size <= sizeof text; size++) { /* cut, never overrun */
        memset(text, 'x', sizeof text);
        ck_assert_int_eq(dialarc_error_text(&e, "s.csv", text, size), DIALARC_OK);
        ck_assert_uint_eq(strlen(text), size - 1);
        ck_assert_int_eq(strncmp(text, "s.csv, line 12 (", size - 1), 0);
    }
    ck_assert_int_eq(dialarc_error_text(NULL, NULL, text, 9), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_error_text(&e, NULL, NULL, 9), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_error_text(&e, NULL, text, 0), DIALARC_ERR_SIZE);
}
END_TEST

START_TEST(the_first_error_stays)
{
    dialarc_error e = {0};
    ck_assert_int_eq(darc_error_set(&e, DIALARC_ERR_FILE, "%d", 1), DIALARC_ERR_FILE);
    ck_assert_int_eq(darc_error_set(&e, DIALARC_ERR_TABLE, "%d", 2), DIALARC_ERR_TABLE);
    ck_assert_int_eq(e.status, DIALARC_ERR_FILE);
    ck_assert_str_eq(e.text, "1");
    ck_assert_int_eq(darc_error_set(NULL, DIALARC_ERR_TABLE, "%d", 3), DIALARC_ERR_TABLE);
}
END_TEST

START_TEST(an_array_takes_more)
{
    dialarc_error e[2] = {{.room = 2}};
    char text[DIALARC_ERRORS_SIZE];
    ck_assert_int_eq(dialarc_errors_text(e, NULL, text, sizeof text), DIALARC_OK);
    ck_assert_str_eq(text, "");
    for (int i = 1; i <= 5; i++)
        ck_assert_int_eq(darc_error_set(e, DIALARC_ERR_TABLE, "fault %d", i),
                         DIALARC_ERR_TABLE);
    ck_assert_uint_eq(e[0].count, 5);
    ck_assert_int_eq(dialarc_errors_text(e, "s.csv", text, sizeof text), DIALARC_OK);
    ck_assert_str_eq(text, "s.csv: fault 1\ns.csv: fault 2\nand 3 more");
    char whole[sizeof text];
    strcpy(whole, text);
    for (size_t size = 1; size <= strlen(whole) + 1; size++) { /* cut, never overrun */
        memset(text, 'x', sizeof text);
        ck_assert_int_eq(dialarc_errors_text(e, "s.csv", text, size), DIALARC_OK);
        ck_assert_uint_lt(strlen(text), size);
        ck_assert_int_eq(strncmp(text, whole, strlen(text)), 0);
    }
    ck_assert_int_eq(dialarc_errors_text(NULL, NULL, text, 9), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_errors_text(e, NULL, NULL, 9), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_errors_text(e, NULL, text, 0), DIALARC_ERR_SIZE);
}
END_TEST

static dialarc_status use_nothing(void *file, void *job, dialarc_error *error)
{
    (void)file;
    (void)error;
    *(int *)job = 1;
    return DIALARC_OK;
}

START_TEST(files_that_do_not_open)
{
    dialarc_error e = {0};
    int used = 0;
    ck_assert_int_eq(darc_load("no/such/file.csv", use_nothing, &used, &e),
                     DIALARC_ERR_FILE);
    kit_expect(&e, DIALARC_ERR_FILE, "there is no such file");
    ck_assert_int_eq(used, 0);
    const struct {
        int number;
        dialarc_status status;
        const char *text;
    } why[] = {{ENOMEM, DIALARC_ERR_NO_MEMORY, "not enough memory"},
               {EACCES, DIALARC_ERR_FILE, "there is no permission to read this file"},
               {EMFILE, DIALARC_ERR_FILE, "this file cannot be opened"}};
    for (size_t i = 0; i < sizeof why / sizeof why[0]; i++) {
        e.status = DIALARC_OK;
        open_fails_with = why[i].number;
        ck_assert_int_eq(darc_load("some.csv", use_nothing, &used, &e), why[i].status);
        kit_expect(&e, why[i].status, why[i].text);
        ck_assert_int_eq(used, 0);
    }
}
END_TEST

START_TEST(quoting_for_messages)
{
    char out[DARC_QUOTE_SIZE];
    darc_quote("abc", 3, out);
    ck_assert_str_eq(out, "abc");
    darc_quote("a\nb\x7f\x01", 5, out);
    ck_assert_str_eq(out, "a?b??");
    darc_quote("0123456789012345678901234567890123456789", 40, out);
    ck_assert_str_eq(out, "0123456789012345678901234567890123456789");
    darc_quote("01234567890123456789012345678901234567890", 41, out);
    ck_assert_str_eq(out, "0123456789012345678901234567890123456789...");
    /* not within a character: the last one here has bytes 39 to 41 */
    darc_quote("012345678901234567890123456789012345678\xe2\x82\xac", 42, out);
    ck_assert_str_eq(out, "012345678901234567890123456789012345678...");
}
END_TEST

START_TEST(names_are_remembered)
{
    darc_names names = {0};
    bool met;
    char name[24];
    for (int i = 0; i < 600000; i++) {
        snprintf(name, sizeof name, "s%d", i);
        if (darc_names_add(&names, name, &met) != DIALARC_OK || met)
            ck_abort_msg("%s was met before", name);
    }
    /* the last 262,144 are known for certain, and memory is bounded */
    for (int i = 600000 - 262144; i < 600000; i++) {
        snprintf(name, sizeof name, "s%d", i);
        if (darc_names_add(&names, name, &met) != DIALARC_OK || !met)
            ck_abort_msg("%s is forgotten", name);
    }
    ck_assert_uint_le(names.newer.places, 1048576);
    ck_assert_uint_le(names.older.places, 1048576);
    darc_names_free(&names);
    ck_assert_uint_ne(darc_name_hash(""), 0);
}
END_TEST

static Suite *suite(void)
{
    Suite *s = suite_create("table");
    TCase *c = tcase_create("common");
    tcase_add_test(c, memory_is_read_to_its_end);
    tcase_add_test(c, files_are_read_to_their_end);
    tcase_add_test(c, errors_as_one_line);
    tcase_add_test(c, the_first_error_stays);
    tcase_add_test(c, an_array_takes_more);
    tcase_add_test(c, files_that_do_not_open);
    tcase_add_test(c, quoting_for_messages);
    tcase_add_test(c, names_are_remembered);
    suite_add_tcase(s, c);
    return s;
}

int main(void)
{
    return darc_run(suite());
}
