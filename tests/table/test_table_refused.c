/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Sweeps tables that are refused, each with the message that says where and why.
 */
#include <stdio.h>

#include "kit/check_main.h"
#include "kit/sweeps_kit.h"

static void refuse_with(const char *text, const dialarc_setups *setups,
                        dialarc_status expected, const char *line)
{
    kit_source source = kit_text(text);
    dialarc_sweeps *sweeps = NULL;
    dialarc_error error = {0};
    ck_assert_int_eq(dialarc_sweeps_read(kit_read, &source, setups, &sweeps, &error),
                     expected);
    ck_assert_ptr_null(sweeps);
    kit_expect(&error, expected, line);
}

static void refuse(const char *text, const char *line)
{
    refuse_with(text, one, DIALARC_ERR_TABLE, line);
}

START_TEST(columns_refused)
{
    refuse("crank_deg,dial_mm\n1,2\n",
           "line 1 (header), column sweep: this column is missing from the header");
    refuse("sweep,dial_mm\na,2\n",
           "line 1 (header), column crank_deg: this column is missing from the header");
    refuse("sweep,crank_deg\na,2\n",
           "line 1 (header), column dial_mm: this column is missing from the header");
    refuse("sweep,crank_deg,dial_mm,dial_mm\na,1,2,3\n",
           "line 1 (header), column dial_mm: this column stands twice, as column 3 and "
           "column 4");
    refuse_with("sweep,crank_deg,dial_mm\na,1,2\n", two, DIALARC_ERR_TABLE,
                "line 1 (header), column setup: this column is missing from the header");
    refuse("", "the file is empty: it needs a header row");
}
END_TEST

START_TEST(setups_refused)
{
    refuse("sweep,setup,crank_deg,dial_mm\na,eight,1,2\n",
           "line 2 (row 1), column setup: \"eight\" is not a setup of the setups table");
    refuse_with("sweep,setup,crank_deg,dial_mm\na,,1,2\n", two, DIALARC_ERR_TABLE,
                "line 2 (row 1), column setup: the field is blank, but there are several "
                "setups");
    refuse_with("sweep,setup,crank_deg,dial_mm\na,four,1,2\na,six,1,2\n", two,
                DIALARC_ERR_TABLE,
                "line 3 (row 2), column setup: the first row of this sweep has another "
                "setup, \"four\"");
}
END_TEST

START_TEST(names_refused)
{
    refuse("sweep,crank_deg,dial_mm\na,1,2\nb,1,2\na,3,4\n",
           "line 4 (row 3), column sweep: \"a\" comes a second time: its rows must stand "
           "together, and another sweep needs another name");
    refuse("sweep,crank_deg,dial_mm\na,1,2\n,1,2\n",
           "line 3 (row 2), column sweep: the field is blank, but a name is needed");
}
END_TEST

#define HEADER "sweep,crank_deg,dial_mm\n"

START_TEST(readings_refused)
{
    refuse(HEADER "a,1,\"0,85\"\n",
           "line 2 (row 1), column dial_mm: \"0,85\" has a decimal "
           "comma: numbers need a decimal point, or "
           "semicolons between the columns");
    refuse(HEADER "a,1,0,85\n", "line 2 (row 1): 4 fields, but the header has 3: is "
                                "there a comma in a field that "
                                "is not in quotation marks, or a decimal comma?");
    refuse(HEADER "a,1,2\na,1,O.85\n",
           "line 3 (row 2), column dial_mm: \"O.85\" is not a number");
    refuse(HEADER "a,1,\n",
           "line 2 (row 1), column dial_mm: the field is blank, but a number is needed");
    refuse(
        HEADER "a,,1\n",
        "line 2 (row 1), column crank_deg: the field is blank, but a number is needed");
    refuse(HEADER "a,1\n", "line 2 (row 1): 2 fields, but the header has 3");
    refuse(HEADER "a,1,2e9\n",
           "line 2 (row 1), column dial_mm: \"2e9\" is larger than anything measured");
    refuse_with(
        HEADER "a,NaN,1\n", one, DIALARC_ERR_NOT_FINITE,
        "line 2 (row 1), column crank_deg: \"NaN\" is not an ordinary number: leave "
        "the field blank if it is not known");
    refuse_with("sweep,crank_deg,dial_mm,direction\na,1,2,back\n", one,
                DIALARC_ERR_DIRECTION,
                "line 2 (row 1), column direction: \"back\" must be with or against");
}
END_TEST

START_TEST(either_of_two_columns)
{
    refuse(
        "sweep,crank_deg,pump_deg,dial_mm\na,1,,2\na,,,2\n",
        "line 3 (row 2), column crank_deg: crank_deg and pump_deg are both blank: one is "
        "needed");
    refuse(
        "sweep,crank_deg,pump_deg,dial_mm\na,1,1,2\n",
        "line 2 (row 1), column crank_deg: crank_deg and pump_deg are both given: only "
        "one may be");
    refuse("sweep,crank_deg,pump_deg,dial_mm\na,1,,2\na,,1,2\n",
           "line 3 (row 2), column pump_deg: the sweep began with crank_deg: it must "
           "keep to "
           "that column");
    refuse("sweep,crank_deg,dial_mm,dial_in\na,1,2,2\n",
           "line 2 (row 1), column dial_mm: dial_mm and dial_in are both given: only one "
           "may "
           "be");
    refuse("sweep,crank_deg,dial_mm,dial_in\na,1,,x\n",
           "line 2 (row 1), column dial_in: \"x\" is not a number");
    refuse("sweep,pump_deg,dial_in\na,1,\n",
           "line 2 (row 1), column dial_in: the field is blank, but a number is needed");
}
END_TEST

START_TEST(too_many_readings)
{
    size_t most = DIALARC_SWEEP_MAX;
    char *text = malloc(40 + 6 * (most + 1)), *p = text;
    ck_assert_ptr_nonnull(text);
    p += sprintf(p, HEADER);
    for (size_t i = 0; i < most; i++)
        p = strcpy(p, "a,1,2\n") + 6;
    dialarc_sweeps *s = read_good(text, one);
    ck_assert_uint_eq(dialarc_sweeps_get(s, 0)->sweep.n, most);
    dialarc_sweeps_free(s);
    strcpy(p, "a,1,2\n");
    refuse_with(text, one, DIALARC_ERR_SIZE,
                "line 100002 (row 100001), column sweep: the sweep has more than 100000 "
                "readings");
    free(text);
}
END_TEST

static Suite *suite(void)
{
    Suite *s = suite_create("table_refused");
    TCase *c = tcase_create("sweeps");
    tcase_add_checked_fixture(c, setup, teardown);
    tcase_add_test(c, columns_refused);
    tcase_add_test(c, setups_refused);
    tcase_add_test(c, names_refused);
    tcase_add_test(c, readings_refused);
    tcase_add_test(c, either_of_two_columns);
    tcase_add_test(c, too_many_readings);
    suite_add_tcase(s, c);
    return s;
}

int main(void)
{
    return darc_run(suite());
}
