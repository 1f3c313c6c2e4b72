/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The dialects that spreadsheets write, and names of columns that are misspelt. Source of
 * the dialects: common practice, no source.
 */
#include <stdio.h>

#include "kit/check_main.h"
#include "kit/sweeps_kit.h"
#include "table/table_near.h"

#define MINUS  "\xe2\x88\x92" /* U+2212 */
#define NBSP   "\xc2\xa0"     /* U+00A0 */
#define NARROW "\xe2\x80\xaf" /* U+202F */
#define DEGREE "\xc2\xb0"     /* U+00B0 */

/* Reads the two readings -10.5, 0.02 and -8, 0.85 of sweep "s 1", in whatever pieces. */
static void check(const char *text)
{
    for (size_t piece = 0; piece < 4; piece++) {
        kit_source source = kit_text(text);
        source.piece = piece;
        dialarc_sweeps *sweeps = NULL;
        dialarc_error error = {0};
        dialarc_sweeps_read(kit_read, &source, two, &sweeps, &error);
        ck_assert_msg(sweeps != NULL, "%s%s: %s", text, error.column_name, error.text);
        ck_assert_uint_eq(dialarc_sweeps_count(sweeps), 1);
        const dialarc_sweep_record *r = dialarc_sweeps_get(sweeps, 0);
        ck_assert_str_eq(r->name, "s 1");
        ck_assert_uint_eq(r->setup_index, 1);
        ck_assert_uint_eq(r->sweep.n, 2);
        ck_assert_double_eq(r->sweep.crank_deg[0], -10.5);
        ck_assert_double_eq(r->sweep.crank_deg[1], -8.0);
        ck_assert_double_eq(r->sweep.dial_mm[0], 0.02);
        ck_assert_double_eq(r->sweep.dial_mm[1], 0.85);
        dialarc_sweeps_free(sweeps);
    }
}

static void refuse(const char *text, const char *line)
{
    for (size_t piece = 0; piece < 4; piece++) {
        kit_source source = kit_text(text);
        source.piece = piece;
        dialarc_sweeps *sweeps = NULL;
        dialarc_error error = {0};
        ck_assert_int_eq(dialarc_sweeps_read(kit_read, &source, one, &sweeps, &error),
                         DIALARC_ERR_TABLE);
        ck_assert_ptr_null(sweeps);
        kit_expect(&error, DIALARC_ERR_TABLE, line);
    }
}

START_TEST(separators)
{
    check("sweep,setup,crank_deg,dial_mm\ns 1,six,-10.5,0.02\ns 1,six,-8,0.85\n");
    check("sweep;setup;crank_deg;dial_mm\ns 1;six;-10.5;0.02\ns 1;six;-8;0.85\n");
    check("sweep\tsetup\tcrank_deg\tdial_mm\r\ns 1\tsix\t-10.5\t0.02\r\n"
          "s 1\tsix\t-8\t0.85\r\n");
    check("\xef\xbb\xbf;;;\n\nsweep;setup;crank_deg;dial_mm\n;;;\ns 1;six;-10.5;0.02\n"
          "s 1;six;-8;0.85");
    /* what separates in other files is text in this one, as in quotation marks */
    check("sweep;a,b,c,d,e;setup;crank_deg;\"x;y\";dial_mm\n"
          "s 1;,,,,;six;-10.5;\"a;\"\";,\";0.02\ns 1;;six;-8;1\t2;0.85\n");
    check("a;b\tc,sweep,setup,crank_deg,dial_mm\n1;2,s 1,six,-10.5,0.02\n"
          ",s 1,six,-8,0.85\n");
    check("\"sweep\";\"setup\";\"crank_deg\";\"dial_mm\"\n\"s 1\";\"six\";\"-10.5\";.02\n"
          "\"s 1\";;-8;\"0.85\"\n");
}
END_TEST

START_TEST(separator_told_by_a_line)
{
    check("sep=;\r\nsweep;setup;crank_deg;dial_mm\r\ns 1;six;-10,5;0,02\r\n"
          "s 1;six;-8;0,85\r\n");
    check("\xef\xbb\xbfSEP=,\nsweep,setup,crank_deg,dial_mm\ns 1,six,-10.5,0.02\n"
          "s 1,six,-8,0.85\n");
    check("sep=\t\nsweep\tsetup\tcrank_deg\tdial_mm\ns 1\tsix\t-10,5\t,02\n"
          "s 1\tsix\t-8\t0,85\n");
    refuse("sep=|\nsweep|crank_deg|dial_mm\n",
           "line 1 (header): sep= must name a comma, a semicolon or a tab");
    refuse("sep=;", "the file is empty: it needs a header row");
    refuse("sep=;\r", "the file is empty: it needs a header row");
    refuse("sep=;\nsweep;crank_deg;dial_mm\na;1;x\n",
           "line 3 (row 1), column dial_mm: \"x\" is not a number");
    refuse("sep=;\nsweep,crank_deg,dial_mm\na,1,1\n",
           "line 2 (header), column sweep: this column is missing from the header");
    refuse("sep=;x\n",
           "line 1 (header), column sweep: this column is missing from the header");
}
END_TEST

START_TEST(separators_that_contradict)
{
    refuse("sweep,crank_deg;dial_mm\n",
           "line 1 (header): the header separates its columns in two ways: use commas "
           "alone, or semicolons, or tabs");
    refuse("sweep;crank_deg;dial_mm\na;1,5;2\na,1.5,2\n",
           "line 3 (row 2): 1 fields, but the header has 3");
    refuse("sweep;crank_deg;dial_mm\na;1;2;3\n",
           "line 2 (row 1): 4 fields, but the header has 3: is there a semicolon in a "
           "field that is not in quotation marks?");
}
END_TEST

#define HEADER "sweep;setup;crank_deg;dial_mm\n"

START_TEST(decimal_signs)
{
    check(HEADER "s 1;six;-10,5;0,02\ns 1;six;-8,000;8,5e-1\n");
    check(HEADER "s 1;six;-10,5;\"0,02\"\ns 1;six;-8; 00000000000000000000,85 \n");
    check(HEADER "s 1;six;-10.5;0.02\ns 1;six;-8.000;0.85\n");
    check(
        "sweep\tsetup\tcrank_deg\tdial_mm\ns 1\tsix\t-10,5\t,02\ns 1\tsix\t-8,\t0,85\n");
    refuse("sweep;crank_deg;dial_mm\na;1;2\na;1;0,5\na;1;0.85\n",
           "line 4 (row 3), column dial_mm: \"0.85\" has a point, but the number in line "
           "3 has a comma: a file may have one decimal sign");
    refuse("sweep\tcrank_deg\tdial_mm\na\t1.0\t1,234\n",
           "line 2 (row 1), column dial_mm: \"1,234\" has a comma, but the number in "
           "line 2 has a point: a file may have one decimal sign");
    refuse("sweep;crank_deg;dial_mm\na;1;1.234,5\n",
           "line 2 (row 1), column dial_mm: \"1.234,5\" is not a number");
    refuse("sweep;crank_deg;dial_mm\na;1;1,234,5\n",
           "line 2 (row 1), column dial_mm: \"1,234,5\" is not a number");
    refuse("sweep;crank_deg;dial_mm\na;x,1;1\n",
           "line 2 (row 1), column crank_deg: \"x,1\" is not a number");
}
END_TEST

START_TEST(signs_and_spaces)
{
    check("sweep,setup,crank_deg,dial_mm\n" NBSP "s 1" NARROW ",six," MINUS "10.5" DEGREE
          "," NBSP "0.02\ns 1,six ," MINUS "8 " NARROW DEGREE NBSP ",85e" MINUS "2\n");
    check(NBSP "sweep" NBSP ";setup;crank_deg;" NARROW "dial_mm\ns 1;" NBSP "six;" MINUS
               "10,5" DEGREE ";0,02\ns 1;;" MINUS "8" DEGREE ";0,85\n");
    refuse("sweep,crank_deg,dial_mm\na,1,0.85" DEGREE "\n",
           "line 2 (row 1), column dial_mm: \"0.85" DEGREE "\" is not a number");
    refuse("sweep,crank_deg,dial_mm\na," DEGREE ",1\n",
           "line 2 (row 1), column crank_deg: \"" DEGREE "\" is not a number");
    refuse("sweep,crank_deg,dial_mm\na,1" NBSP "000,1\n",
           "line 2 (row 1), column crank_deg: \"1" NBSP "000\" is not a number");
    dialarc_setups *s = kit_setups("setup;lobes;rise_deg;dial_sense;dial_sd_mm\n"
                                   "a;4;38,5" DEGREE ";" MINUS "1;0,003\n");
    ck_assert_double_eq(dialarc_setups_get(s, 0)->rise_deg, 38.5);
    ck_assert_double_eq(dialarc_setups_get(s, 0)->dial_sd_mm, 0.003);
    ck_assert_int_eq(dialarc_setups_get(s, 0)->dial_sense, -1);
    dialarc_setups_free(s);
}
END_TEST

START_TEST(misspelt_columns)
{
#define NEARLY(name)                                                                     \
    "this name is nearly " name                                                          \
    ": write that, or a name less like it if something else is meant"
    refuse("sweep,crank_deg,dial_m\na,1,2\n",
           "line 1 (header), column dial_m: " NEARLY("dial_mm"));
    refuse("sweep;crank_degs;dial_mm\na;1;2\n",
           "line 1 (header), column crank_degs: " NEARLY("crank_deg"));
    refuse("sweep,crank_deg,Dial (mm)\na,1,2\n",
           "line 1 (header), column Dial (mm): " NEARLY("dial_mm"));
    refuse("sweep,crank_deg,dial_mm,\"dire\nctoin\"\na,1,2,with\n",
           "line 1 (header), column dire?ctoin: " NEARLY("direction"));
    /* what is there already cannot be meant */
    dialarc_sweeps_free(read_good("sweep,crank_deg,dial_mm,dial_mm2\na,1,2,3\n", one));
    dialarc_sweeps_free(read_good("sweep,crank_deg,dial_mm,,remark\na,1,2,3,4\n", one));
}
END_TEST

static int slips(const char *text, const char *name)
{
    return darc_name_distance(text, strlen(text), name);
}

START_TEST(slips_in_a_name)
{
    ck_assert_int_eq(slips("Dial mm", "dial_mm"), 0);
    ck_assert_int_eq(slips("dial_m", "dial_mm"), 1);   /* left out */
    ck_assert_int_eq(slips("dials_mm", "dial_mm"), 1); /* added */
    ck_assert_int_eq(slips("dial_nm", "dial_mm"), 1);  /* replaced */
    ck_assert_int_eq(slips("dail_mm", "dial_mm"), 1);  /* exchanged */
    ck_assert_int_eq(slips("diel_cm", "dial_mm"), DARC_NAME_FAR);
    ck_assert_int_eq(slips("lift_low_in", "lift_low_mm"), 2);
    ck_assert_int_eq(slips("lift_lw_in", "lift_low_mm"), DARC_NAME_FAR);
    ck_assert_int_eq(slips("jobs", "job"), 1);
    ck_assert_int_eq(slips("b", "a"), DARC_NAME_FAR);
    ck_assert_int_eq(slips("", "job"), DARC_NAME_FAR);
    ck_assert_int_eq(slips("dial_mm________________________", "dial_mm"), 0);
    ck_assert_int_eq(slips("dial_mm_________________________", "dial_mm"), DARC_NAME_FAR);
    ck_assert_int_eq(slips("d\xc3\xadrection", "direction"), 2);
}
END_TEST

static Suite *suite(void)
{
    Suite *s = suite_create("table_dialect");
    TCase *c = tcase_create("dialects");
    tcase_add_checked_fixture(c, setup, teardown);
    tcase_add_test(c, separators);
    tcase_add_test(c, separator_told_by_a_line);
    tcase_add_test(c, separators_that_contradict);
    tcase_add_test(c, decimal_signs);
    tcase_add_test(c, signs_and_spaces);
    tcase_add_test(c, misspelt_columns);
    tcase_add_test(c, slips_in_a_name);
    suite_add_tcase(s, c);
    return s;
}

int main(void)
{
    return darc_run(suite());
}
