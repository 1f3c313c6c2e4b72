/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/table_setups.h>

#include <stdio.h>

#include "kit/check_main.h"
#include "kit/table_kit.h"

static dialarc_setups *read_good(const char *text)
{
    kit_source source = kit_text(text);
    dialarc_setups *setups = NULL;
    dialarc_error error = {0};
    dialarc_status status = dialarc_setups_read(kit_read, &source, &setups, &error);
    ck_assert_msg(status == DIALARC_OK, "%s", error.text);
    ck_assert_int_eq(error.status, DIALARC_OK);
    return setups;
}

static void refuse(const char *text, dialarc_status expected, const char *line)
{
    kit_source source = kit_text(text);
    dialarc_setups *setups = NULL;
    dialarc_error error = {0};
    ck_assert_int_eq(dialarc_setups_read(kit_read, &source, &setups, &error), expected);
    ck_assert_ptr_null(setups);
    kit_expect(&error, expected, line);
}

#define REFUSE_ROW(columns, fields, status, line)                                        \
    refuse("setup,lobes," columns "\ne,4," fields "\n", status, "line 2 (row 1), " line)

START_TEST(both_flanks)
{
    dialarc_setups *s = read_good("setup,lobes,cam_law,cam_fall_law,cam_blend,rise_deg\n"
                                  "a,4,harmonic,cycloidal,0.2,38\nb,4,,,,\n");
    const dialarc_setup *a = dialarc_setups_get(s, 0), *b = dialarc_setups_get(s, 1);
    ck_assert_int_eq(a->cam_law, DIALARC_LAW_HARMONIC);
    ck_assert_int_eq(a->cam_fall_law, DIALARC_LAW_CYCLOIDAL);
    ck_assert_double_eq(a->cam_blend, 0.2);
    ck_assert_int_eq(b->cam_fall_law, DIALARC_LAW_UNKNOWN);
    ck_assert_double_nan(b->cam_blend);
    dialarc_setups_free(s);
    REFUSE_ROW("cam_blend", "0.6", DIALARC_ERR_BLEND,
               "column cam_blend: The blend at each end of a constant-rate flank must be "
               "above 0 and at most half of the flank.");
}
END_TEST

START_TEST(every_column)
{
    dialarc_setups *s = read_good(
        "rotation,setup,lobes,crank_per_pump,lift_low_mm,lift_high_mm,cam_law,cam_lift_"
        "mm,"
        "rise_deg,top_dwell_deg,base_dwell_deg,angle_sd_deg,tdc_sd_deg,dial_sd_mm,"
        "dial_step_mm,dial_turn_mm,dial_sense,dial_hysteresis_mm,sprocket_teeth,"
        "sprocket_radius_mm,window_at,window_crank_deg,cam_sd_mm,rise_sd_deg,wheel_error_"
        "deg,dial_error_mm,dial,turned,turn_back,firing_tdc,body_radius_mm,"
        "remark\n"
        "ccw,\"big, "
        "one\",4,2,0.85,0.90,poly345,2.2,38,2,10,0.25,0.3,0.003,0.01,1,-1,0.004,"
        "44,63.5,mark,-5,0.004,0.3,0.2,0.002, No. 7 ,body,forbidden,seen,75,"
        "\"any\nthing\"\n");
    ck_assert_uint_eq(dialarc_setups_count(s), 1);
    ck_assert_str_eq(dialarc_setups_name(s, 0), "big, one");
    const dialarc_setup *e = dialarc_setups_get(s, 0);
    ck_assert_int_eq(e->lobes, 4);
    ck_assert_double_eq(e->crank_per_pump, 2.0);
    ck_assert_double_eq(e->lift_low_mm, 0.85);
    ck_assert_double_eq(e->lift_high_mm, 0.90);
    ck_assert_int_eq(e->cam_law, DIALARC_LAW_POLY345);
    ck_assert_double_eq(e->cam_lift_mm, 2.2);
    ck_assert_double_eq(e->rise_deg, 38.0);
    ck_assert_double_eq(e->top_dwell_deg, 2.0);
    ck_assert_double_eq(e->base_dwell_deg, 10.0);
    ck_assert_double_eq(e->angle_sd_deg, 0.25);
    ck_assert_double_eq(e->tdc_sd_deg, 0.3);
    ck_assert_double_eq(e->dial_sd_mm, 0.003);
    ck_assert_double_eq(e->dial_step_mm, 0.01);
    ck_assert_double_eq(e->dial_turn_mm, 1.0);
    ck_assert_int_eq(e->dial_sense, -1);
    ck_assert_double_eq(e->dial_hysteresis_mm, 0.004);
    ck_assert_int_eq(e->sprocket_teeth, 44);
    ck_assert_double_eq(e->sprocket_radius_mm, 63.5);
    ck_assert_int_eq(e->rotation, DIALARC_ROTATION_CCW);
    ck_assert_int_eq(e->window_at, DIALARC_WINDOW_AT_MARK);
    ck_assert_double_eq(e->window_crank_deg, -5.0);
    ck_assert_double_eq(e->cam_sd_mm, 0.004);
    ck_assert_double_eq(e->rise_sd_deg, 0.3);
    ck_assert_double_eq(e->wheel_error_deg, 0.2);
    ck_assert_double_eq(e->dial_error_mm, 0.002);
    ck_assert_int_eq(e->turned, DIALARC_TURNED_BODY);
    ck_assert_int_eq(e->turn_back, DIALARC_TURN_BACK_FORBIDDEN);
    ck_assert_int_eq(e->firing_tdc, DIALARC_FIRING_TDC_SEEN);
    ck_assert_double_eq(e->body_radius_mm, 75.0);
    ck_assert_str_eq(dialarc_setups_dial(s, 0), "No. 7");
    dialarc_setups_free(s);
}
END_TEST

START_TEST(what_is_blank_is_not_known)
{
    dialarc_setups *s = read_good("setup,lobes,rise_deg,rotation,cam_law\na,6,,,\n"
                                  "b, 4 ,38, cw , harmonic\n");
    const dialarc_setup *a = dialarc_setups_get(s, 0);
    const double unknown[] = {
        a->crank_per_pump,     a->lift_low_mm,        a->lift_high_mm,
        a->cam_lift_mm,        a->rise_deg,           a->top_dwell_deg,
        a->base_dwell_deg,     a->angle_sd_deg,       a->tdc_sd_deg,
        a->dial_sd_mm,         a->dial_step_mm,       a->dial_turn_mm,
        a->dial_hysteresis_mm, a->sprocket_radius_mm, a->window_crank_deg,
        a->cam_sd_mm,          a->rise_sd_deg,        a->wheel_error_deg,
        a->dial_error_mm,      a->body_radius_mm};
    for (size_t i = 0; i < sizeof unknown / sizeof unknown[0]; i++)
        ck_assert_double_nan(unknown[i]);
    ck_assert_int_eq(a->cam_law, DIALARC_LAW_UNKNOWN);
    ck_assert_int_eq(a->dial_sense, 0);
    ck_assert_int_eq(a->sprocket_teeth, 0);
    ck_assert_int_eq(a->rotation, DIALARC_ROTATION_UNKNOWN);
    ck_assert_int_eq(a->window_at, DIALARC_WINDOW_AT_UNKNOWN);
    ck_assert_int_eq(a->turned, DIALARC_TURNED_UNKNOWN);
    ck_assert_int_eq(a->turn_back, DIALARC_TURN_BACK_UNKNOWN);
    ck_assert_int_eq(a->firing_tdc, DIALARC_FIRING_TDC_UNKNOWN);
    ck_assert_str_eq(dialarc_setups_dial(s, 0), "");
    const dialarc_setup *b = dialarc_setups_get(s, 1);
    ck_assert_int_eq(b->lobes, 4);
    ck_assert_int_eq(b->rotation, DIALARC_ROTATION_CW);
    ck_assert_int_eq(b->cam_law, DIALARC_LAW_HARMONIC);
    dialarc_setups_free(s);
}
END_TEST

/* Inches of 25.4 mm, in the place of millimetres and never beside them. */
START_TEST(the_window_in_inches)
{
    dialarc_setups *s =
        read_good("setup,lift_high_in,lobes,lift_low_in,lift_low_mm,lift_high_mm\n"
                  "a,0.036,4,0.034,,\nb,,4,,0.86,0.90\nc,0.036,4,,0.86,\n");
    ck_assert_double_eq_tol(dialarc_setups_get(s, 0)->lift_low_mm, 0.8636, 1e-15);
    ck_assert_double_eq_tol(dialarc_setups_get(s, 0)->lift_high_mm, 0.9144, 1e-15);
    ck_assert_double_eq(dialarc_setups_get(s, 1)->lift_low_mm, 0.86);
    ck_assert_double_eq_tol(dialarc_setups_get(s, 2)->lift_high_mm, 0.9144, 1e-15);
    dialarc_setups_free(s);
    REFUSE_ROW("lift_low_mm,lift_low_in,lift_high_in", "0.8636,0.034,0.036",
               DIALARC_ERR_TABLE,
               "column lift_low_in: lift_low_mm and lift_low_in are both given: only one "
               "may be");
    REFUSE_ROW("lift_low_in,lift_high_in", "-0.01,0.036", DIALARC_ERR_WINDOW,
               "column lift_low_in: must not be below 0");
    REFUSE_ROW("lift_low_in,lift_high_in", "0.036,0.034", DIALARC_ERR_WINDOW,
               "column lift_low_in: the window is upside down: its lower limit must lie "
               "below its upper one");
    refuse(
        "setup,lobes,lift_low_inch,lift_high_in\na,4,1,2\n", DIALARC_ERR_TABLE,
        "line 1 (header), column lift_low_inch: this name is nearly lift_low_in: write "
        "that, or a name less like it if something else is meant");
}
END_TEST

START_TEST(every_law)
{
    static const char *const laws[] = {
        "harmonic",      "cycloidal",          "poly345",      "poly4567",
        "modified_sine", "modified_trapezoid", "constant_rate"};
    for (int i = 0; i < 7; i++) {
        char text[80];
        snprintf(text, sizeof text, "setup,lobes,cam_law,rise_deg\na,4,%s,38\n", laws[i]);
        dialarc_setups *s = read_good(text);
        ck_assert_int_eq(dialarc_setups_get(s, 0)->cam_law, DIALARC_LAW_HARMONIC + i);
        dialarc_setups_free(s);
    }
}
END_TEST

START_TEST(found_by_name)
{
    enum { COUNT = 1000 };
    static char text[COUNT * 20];
    char *p = text + sprintf(text, "setup,lobes\n");
    for (int i = 0; i < COUNT; i++)
        p += sprintf(p, "engine %d,%d\n", i, i % 16 + 1);
    dialarc_setups *s = read_good(text);
    ck_assert_uint_eq(dialarc_setups_count(s), COUNT);
    size_t index = 7;
    for (size_t i = 0; i < COUNT; i++) {
        ck_assert_int_eq(dialarc_setups_find(s, dialarc_setups_name(s, i), &index),
                         DIALARC_OK);
        ck_assert_uint_eq(index, i);
        ck_assert_int_eq(dialarc_setups_get(s, i)->lobes, (int)(i % 16) + 1);
    }
    ck_assert_int_eq(dialarc_setups_find(s, "engine", &index), DIALARC_ERR_NO_SOLUTION);
    ck_assert_uint_eq(index, COUNT - 1);
    ck_assert_int_eq(dialarc_setups_find(NULL, "a", &index), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_setups_find(s, NULL, &index), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_setups_find(s, "a", NULL), DIALARC_ERR_NULL);
    ck_assert_ptr_null(dialarc_setups_get(s, COUNT));
    ck_assert_ptr_null(dialarc_setups_name(s, COUNT));
    ck_assert_ptr_null(dialarc_setups_dial(s, COUNT));
    ck_assert_ptr_null(dialarc_setups_get(NULL, 0));
    ck_assert_ptr_null(dialarc_setups_name(NULL, 0));
    ck_assert_ptr_null(dialarc_setups_dial(NULL, 0));
    ck_assert_uint_eq(dialarc_setups_count(NULL), 0);
    dialarc_setups_free(s);
    dialarc_setups_free(NULL);
}
END_TEST

START_TEST(names)
{
    refuse("setup,lobes\n,4\n", DIALARC_ERR_TABLE,
           "line 2 (row 1), column setup: the field is blank, but a name is needed");
    refuse("setup,lobes\na,4\n\"a\",6\n", DIALARC_ERR_TABLE,
           "line 3 (row 2), column setup: a setup of this name stands further up");
    refuse("setup,lobes\nM\xfcller,4\n", DIALARC_ERR_TABLE,
           "line 2 (row 1), column setup: the text is not UTF-8: save the file as UTF-8");
    static const char *const bad[] = {"\xc0\xaf", "\xed\xa0\x80", "\xf4\x90\x80\x80",
                                      "\xe2\x82", "\x80",         "\xf0\x80\x80\x80"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) { /* RFC 3629 section 4 */
        char text[40];
        snprintf(text, sizeof text, "setup,lobes\n%s,4\n", bad[i]);
        refuse(text, DIALARC_ERR_TABLE,
               "line 2 (row 1), column setup: the text is not UTF-8: save the file as "
               "UTF-8");
    }
    char text[200] = "setup,lobes\n";
    memset(text + 12, 'n', 128);
    strcpy(text + 12 + 128, ",4\n");
    refuse(text, DIALARC_ERR_TABLE,
           "line 2 (row 1), column setup: "
           "\"nnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnn...\" is "
           "longer than 127 bytes");
    strcpy(text + 12 + 127, ",4\n");
    dialarc_setups *s = read_good(text);
    ck_assert_uint_eq(strlen(dialarc_setups_name(s, 0)), 127);
    dialarc_setups_free(s);
    s = read_good(
        "setup,lobes\n gr\xc3\xbc\xc3\x9f \xf0\x9f\x9a\x9c\xe2\x82\xac ,4\n\" a \",4\n");
    ck_assert_str_eq(dialarc_setups_name(s, 0),
                     "gr\xc3\xbc\xc3\x9f \xf0\x9f\x9a\x9c\xe2\x82\xac");
    ck_assert_str_eq(dialarc_setups_name(s, 1), " a ");
    dialarc_setups_free(s);
}
END_TEST

START_TEST(tables_refused)
{
    refuse("", DIALARC_ERR_TABLE, "the file is empty: it needs a header row");
    refuse("setup,lobes\n", DIALARC_ERR_TABLE, "the table holds no setup, only a header");
    refuse("lobes\n4\n", DIALARC_ERR_TABLE,
           "line 1 (header), column setup: this column is missing from the header");
    refuse(
        "setup,lobe\na,4\n", DIALARC_ERR_TABLE,
        "line 1 (header), column lobe: this name is nearly lobes: write that, or a name "
        "less like it if something else is meant");
}
END_TEST

START_TEST(lobes_refused)
{
    const char *line =
        "line 2 (row 1), column lobes: \"%s\" must be a whole number from 1 to 16";
    static const char *const bad[] = {"0", "-4", "17", "4.5"};
    for (int i = 0; i < 4; i++) {
        char text[60], expected[120];
        snprintf(text, sizeof text, "setup,lobes\na,%s\n", bad[i]);
        snprintf(expected, sizeof expected, line, bad[i]);
        refuse(text, DIALARC_ERR_LOBES, expected);
    }
    refuse("setup,lobes\na,\n", DIALARC_ERR_TABLE,
           "line 2 (row 1), column lobes: the field is blank, but a number is needed");
    refuse("setup,lobes\na,four\n", DIALARC_ERR_TABLE,
           "line 2 (row 1), column lobes: \"four\" is not a number");
}
END_TEST

START_TEST(numbers_refused)
{
    REFUSE_ROW(
        "rise_deg", "\"38,5\"", DIALARC_ERR_TABLE,
        "column rise_deg: \"38,5\" has a decimal comma: numbers need a decimal point, or "
        "semicolons between the columns");
    REFUSE_ROW(
        "rise_deg", "nan", DIALARC_ERR_NOT_FINITE,
        "column rise_deg: \"nan\" is not an ordinary number: leave the field blank if "
        "it is not known");
    REFUSE_ROW(
        "rise_deg", "-Inf", DIALARC_ERR_NOT_FINITE,
        "column rise_deg: \"-Inf\" is not an ordinary number: leave the field blank if "
        "it is not known");
    REFUSE_ROW("rise_deg", "2e9", DIALARC_ERR_TABLE,
               "column rise_deg: \"2e9\" is larger than anything measured");
    REFUSE_ROW("rise_deg", "1e999", DIALARC_ERR_TABLE,
               "column rise_deg: \"1e999\" is larger than anything measured");
    REFUSE_ROW("rise_deg", "about 38", DIALARC_ERR_TABLE,
               "column rise_deg: \"about 38\" is not a number");
    REFUSE_ROW("rise_deg", "0", DIALARC_ERR_SEGMENTS, "column rise_deg: must be above 0");
    REFUSE_ROW("top_dwell_deg", "-1", DIALARC_ERR_SEGMENTS,
               "column top_dwell_deg: must not be below 0");
    REFUSE_ROW("crank_per_pump", "0", DIALARC_ERR_RATIO,
               "column crank_per_pump: must be above 0");
    REFUSE_ROW("cam_lift_mm", "-2", DIALARC_ERR_LIFT,
               "column cam_lift_mm: must be above 0");
    REFUSE_ROW("dial_sd_mm", "-0.1", DIALARC_ERR_SD,
               "column dial_sd_mm: must not be below 0");
    REFUSE_ROW("dial_turn_mm", "0", DIALARC_ERR_DIAL,
               "column dial_turn_mm: must be above 0");
    REFUSE_ROW("sprocket_radius_mm", "0", DIALARC_ERR_LENGTH,
               "column sprocket_radius_mm: must be above 0");
    REFUSE_ROW("body_radius_mm", "0", DIALARC_ERR_LENGTH,
               "column body_radius_mm: must be above 0");
    REFUSE_ROW("wheel_error_deg", "-0.1", DIALARC_ERR_ANGLE,
               "column wheel_error_deg: must not be below 0");
    REFUSE_ROW("dial_error_mm", "-0.1", DIALARC_ERR_DIAL,
               "column dial_error_mm: must not be below 0");
    REFUSE_ROW("sprocket_teeth", "0", DIALARC_ERR_TEETH,
               "column sprocket_teeth: \"0\" must be a whole number from 1 to 100000");
}
END_TEST

START_TEST(words_refused)
{
    REFUSE_ROW("rotation", "left", DIALARC_ERR_DIRECTION,
               "column rotation: \"left\" must be cw or ccw");
    REFUSE_ROW("window_at", "pin", DIALARC_ERR_CHOICE,
               "column window_at: \"pin\" must be tdc or mark");
    REFUSE_ROW("turned", "both", DIALARC_ERR_CHOICE,
               "column turned: \"both\" must be shaft or body");
    REFUSE_ROW("turn_back", "no", DIALARC_ERR_CHOICE,
               "column turn_back: \"no\" must be allowed or forbidden");
    REFUSE_ROW("firing_tdc", "yes", DIALARC_ERR_CHOICE,
               "column firing_tdc: \"yes\" must be seen or not_seen");
    REFUSE_ROW("dial_sense", "2", DIALARC_ERR_DIAL,
               "column dial_sense: \"2\" must be 1 or -1");
    REFUSE_ROW(
        "cam_law", "sine", DIALARC_ERR_LAW,
        "column cam_law: \"sine\" must be harmonic, cycloidal, poly345, poly4567, "
        "modified_sine, modified_trapezoid, constant_rate, constant_rate_harmonic or "
        "constant_rate_cycloidal");
}
END_TEST

/* What only several fields together show. */
START_TEST(rows_refused)
{
    REFUSE_ROW("lift_low_mm,lift_high_mm", "0.9,0.85", DIALARC_ERR_WINDOW,
               "column lift_low_mm: the window is upside down: its lower limit must lie "
               "below its upper one");
    REFUSE_ROW("lift_low_mm,lift_high_mm", "0.9,0.9", DIALARC_ERR_WINDOW,
               "column lift_low_mm: the window is upside down: its lower limit must lie "
               "below its upper one");
    kit_source source = kit_text("setup,lobes,lift_low_mm,cam_law,rise_deg\na,4,0.9,,\n");
    dialarc_setups *setups = NULL;
    dialarc_error error = {0};
    ck_assert_int_eq(dialarc_setups_read(kit_read, &source, &setups, &error),
                     DIALARC_ERR_WINDOW);
    ck_assert_str_eq(error.column_name, "lift_low_mm");
    ck_assert_str_eq(error.text, dialarc_status_text(DIALARC_ERR_WINDOW));
    ck_assert_uint_eq(error.line, 2);
    memset(&error, 0, sizeof error);
    source = kit_text("setup,lobes,cam_law,rise_deg\na,4,,\nb,4,harmonic,\n");
    ck_assert_int_eq(dialarc_setups_read(kit_read, &source, &setups, &error),
                     DIALARC_ERR_SEGMENTS);
    ck_assert_str_eq(error.column_name, "rise_deg");
    ck_assert_uint_eq(error.row, 2);
    ck_assert_ptr_null(setups);
}
END_TEST

START_TEST(too_many)
{
    enum { ROW = 16 };
    char *text = malloc((size_t)(DIALARC_SETUPS_MAX + 1) * ROW + 20);
    ck_assert_ptr_nonnull(text);
    char *p = text + sprintf(text, "setup,lobes\n");
    for (int i = 0; i < DIALARC_SETUPS_MAX; i++)
        p += sprintf(p, "e%d,4\n", i);
    dialarc_setups *all = read_good(text);
    ck_assert_uint_eq(dialarc_setups_count(all), DIALARC_SETUPS_MAX);
    dialarc_setups_free(all);
    strcpy(p, "one,4\nmore,x\n");
    refuse(text, DIALARC_ERR_SIZE,
           "line 131074 (row 131073), column setup: a table has at most 131072 setups: "
           "divide it");
    free(text);
}
END_TEST

START_TEST(arguments)
{
    kit_source source = kit_text("setup,lobes\na,4\n");
    dialarc_setups *setups = NULL;
    dialarc_error error = {0};
    ck_assert_int_eq(dialarc_setups_read(NULL, &source, &setups, &error),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_setups_read(kit_read, &source, NULL, &error),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_setups_load(NULL, &setups, &error), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_setups_load("x", NULL, &error), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_setups_load("no/such.csv", &setups, &error),
                     DIALARC_ERR_FILE);
    kit_expect(&error, DIALARC_ERR_FILE, "there is no such file");
    ck_assert_int_eq(dialarc_setups_load("no/such.csv", &setups, NULL), DIALARC_ERR_FILE);
    ck_assert_ptr_null(setups);
}
END_TEST

START_TEST(from_a_file)
{
    char path[] = "setupsXXXXXX";
    kit_file(path, "setup,lobes\na,4\n");
    dialarc_setups *setups = NULL;
    ck_assert_int_eq(dialarc_setups_load(path, &setups, NULL), DIALARC_OK);
    remove(path);
    ck_assert_uint_eq(dialarc_setups_count(setups), 1);
    dialarc_setups_free(setups);
}
END_TEST

static Suite *suite(void)
{
    Suite *s = suite_create("table_setups");
    TCase *c = tcase_create("setups");
    tcase_add_test(c, every_column);
    tcase_add_test(c, both_flanks);
    tcase_add_test(c, what_is_blank_is_not_known);
    tcase_add_test(c, the_window_in_inches);
    tcase_add_test(c, every_law);
    tcase_add_test(c, found_by_name);
    tcase_add_test(c, names);
    tcase_add_test(c, tables_refused);
    tcase_add_test(c, lobes_refused);
    tcase_add_test(c, numbers_refused);
    tcase_add_test(c, words_refused);
    tcase_add_test(c, rows_refused);
    tcase_add_test(c, too_many);
    tcase_add_test(c, arguments);
    tcase_add_test(c, from_a_file);
    suite_add_tcase(s, c);
    return s;
}

int main(void)
{
    return darc_run(suite());
}
