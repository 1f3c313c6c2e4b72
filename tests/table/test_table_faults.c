/* SPDX-License-Identifier: GPL-3.0-or-later */
/* All faults of a table in one run, each with its place; nothing of it is used. */
#include <dialarc/stream.h>
#include <dialarc/table_cams.h>
#include <dialarc/table_rounds.h>
#include <dialarc/table_sweeps.h>

#include "kit/check_main.h"
#include "kit/table_kit.h"

enum { SETUPS, SWEEPS, ROUNDS, CAMS };

static dialarc_status read_as(int kind, const char *text, dialarc_error *error)
{
    kit_source source = kit_text(text);
    dialarc_setups *known = kit_setups("setup,lobes\na,4\nb,6\n"), *setups = NULL;
    dialarc_sweeps *sweeps = NULL;
    dialarc_jobs *jobs = NULL;
    dialarc_cams *cams = NULL;
    dialarc_status status =
        kind == SETUPS   ? dialarc_setups_read(kit_read, &source, &setups, error)
        : kind == SWEEPS ? dialarc_sweeps_read(kit_read, &source, known, &sweeps, error)
        : kind == ROUNDS ? dialarc_jobs_read(kit_read, &source, known, &jobs, error)
                         : dialarc_cams_read(kit_read, &source, &cams, error);
    if (status != DIALARC_OK) /* nothing half-read */
        ck_assert(!setups && !sweeps && !jobs && !cams);
    dialarc_setups_free(setups);
    dialarc_sweeps_free(sweeps);
    dialarc_jobs_free(jobs);
    dialarc_cams_free(cams);
    dialarc_setups_free(known);
    return status;
}

/* The faults of a table, and that the first is the one that is told alone. */
static void expect(int kind, const char *text, const char *lines)
{
    dialarc_error all[DIALARC_ERRORS_MAX] = {{.room = DIALARC_ERRORS_MAX}}, one = {0};
    char told[DIALARC_ERRORS_SIZE], first[400];
    dialarc_status status = read_as(kind, text, all);
    dialarc_errors_text(all, NULL, told, sizeof told);
    ck_assert_str_eq(told, lines);
    ck_assert_int_eq(status, all[0].status);
    ck_assert_int_eq(read_as(kind, text, &one), status);
    dialarc_error_text(&one, NULL, told, sizeof told);
    dialarc_error_text(all, NULL, first, sizeof first);
    ck_assert_str_eq(told, first);
    ck_assert_int_eq(read_as(kind, text, NULL), status);
}

START_TEST(setups)
{
    expect(SETUPS,
           "setup,lobes,rise_deg,rotation,lift_low_mm,lift_high_mm\n"
           "good,4,38,cw,0.86,0.9\n"
           "e,17,-2,left,0.86,0.9\n"
           "f,4,38\n"
           "g,4,38,cw,0.9,0.8\n"
           "good,4,38,cw,,\n"
           ",four,38,ccw,,\n",
           "line 3 (row 2), column lobes: \"17\" must be a whole number from 1 to 16\n"
           "line 3 (row 2), column rotation: \"left\" must be cw or ccw\n"
           "line 3 (row 2), column rise_deg: must be above 0\n"
           "line 4 (row 3): 3 fields, but the header has 6\n"
           "line 5 (row 4), column lift_low_mm: the window is upside down: its lower "
           "limit must lie below its upper one\n"
           "line 6 (row 5), column setup: a setup of this name stands further up\n"
           "line 7 (row 6), column setup: the field is blank, but a name is needed\n"
           "line 7 (row 6), column lobes: \"four\" is not a number");
}
END_TEST

START_TEST(headers)
{
    expect(SETUPS, "setup,lobes,rise_degs,lobes,tdc_sd_dge\na,x,1,4,1\n",
           "line 1 (header), column lobes: this column stands twice, as column 2 and "
           "column 4\n"
           "line 1 (header), column rise_degs: this name is nearly rise_deg: write that, "
           "or a name less like it if something else is meant\n"
           "line 1 (header), column tdc_sd_dge: this name is nearly tdc_sd_deg: write "
           "that, or a name less like it if something else is meant\n"
           "line 2 (row 1), column lobes: \"x\" is not a number");
    /* what is needed and not there ends it; nearly there is told once */
    expect(ROUNDS, "jobb,setup,round,tdc_mm\nj,a,x,1\n",
           "line 1 (header), column jobb: this name is nearly job: write that, or a name "
           "less like it if something else is meant");
    expect(ROUNDS, "job,setup,round,tdc_mm\nj,a,x,1\n",
           "line 1 (header), column minimum_mm: this column is missing from the header\n"
           "line 1 (header), column state: this column is missing from the header");
    expect(SWEEPS, "sweep,setup,remark\ns,a,x\n",
           "line 1 (header), column crank_deg: this column is missing from the header\n"
           "line 1 (header), column dial_mm: this column is missing from the header");
}
END_TEST

START_TEST(sweeps)
{
    expect(SWEEPS,
           "sweep,setup,crank_deg,pump_deg,dial_mm,direction\n"
           "s,a,1,,0.1,with\n"
           "s,a,two,,O.2,up\n"
           "s,b,3,,0.3,with\n"
           "t,c,,,0.1,with\n"
           "t,c,2,,x,with\n"
           "u,a,1,,0.1,with\n"
           "s,a,1,,0.1,with\n"
           ",a,1,,0.1,with\n",
           "line 3 (row 2), column crank_deg: \"two\" is not a number\n"
           "line 3 (row 2), column dial_mm: \"O.2\" is not a number\n"
           "line 3 (row 2), column direction: \"up\" must be with or against\n"
           "line 4 (row 3), column setup: the first row of this sweep has another setup, "
           "\"a\"\n"
           "line 5 (row 4), column setup: \"c\" is not a setup of the setups table\n"
           "line 5 (row 4), column crank_deg: crank_deg and pump_deg are both blank: one "
           "is needed\n"
           "line 6 (row 5), column dial_mm: \"x\" is not a number\n"
           "line 8 (row 7), column sweep: \"s\" comes a second time: its rows must stand "
           "together, and another sweep needs another name\n"
           "line 9 (row 8), column sweep: the field is blank, but a name is needed");
}
END_TEST

/* A name forgotten in the midst of a sweep does not end it. */
START_TEST(a_forgotten_name)
{
    expect(SWEEPS,
           "sweep,setup,crank_deg,dial_mm\n"
           "s,a,1,0.1\n ,a,2,x\ns,a,3,0.1\nt,a,1,0.1\n,a,1,0.1\n",
           "line 3 (row 2), column sweep: the field is blank, but a name is needed\n"
           "line 3 (row 2), column dial_mm: \"x\" is not a number\n"
           "line 6 (row 5), column sweep: the field is blank, but a name is needed");
}
END_TEST

START_TEST(rounds)
{
    expect(ROUNDS,
           "job,setup,round,minimum_mm,tdc_mm,state\n"
           "j,a,2,0,0.9,loose\n"
           "j,a,1,x,0.9,tight\n"
           "j,a,2,0,,half\n"
           "k,a,1.5,0,0.9,\n",
           "line 3 (row 2), column round: round 1 comes after round 2: rows stand in the "
           "order of the work\n"
           "line 3 (row 2), column minimum_mm: \"x\" is not a number\n"
           "line 4 (row 3), column tdc_mm: the field is blank, but a number is needed\n"
           "line 4 (row 3), column state: \"half\" must be loose or tight\n"
           "line 5 (row 4), column round: \"1.5\" must be a whole number from 1 to "
           "1000000\n"
           "line 5 (row 4), column state: the field is blank: it must be loose or tight");
}
END_TEST

START_TEST(cams)
{
    expect(CAMS,
           "cam,pump_deg,lift_mm,period_deg,cam_sd_mm\n"
           "a,0,0,90,0\na,1,x,90,-1\na,0,1,90,0\na,5,1,89,0\n"
           "b,0,0,90,0\nb,1,1,90,0\n"
           "c,0,0,90,0\nc,1,1,90,0\nc,2,0,90,0\n",
           "line 3 (row 2), column lift_mm: \"x\" is not a number\n"
           "line 3 (row 2), column cam_sd_mm: must not be below 0\n"
           "line 4 (row 3), column pump_deg: the angles of a cam must rise from row to "
           "row\n"
           "line 5 (row 4), column period_deg: the first row of this cam has another "
           "value\n"
           "line 6 (row 5), column cam: this cam has fewer than 3 points, from which no "
           "curve can be drawn");
}
END_TEST

/* What follows a quotation mark that is never closed cannot be read. */
START_TEST(a_broken_table)
{
    expect(SETUPS, "setup,lobes\na,0\nb,\"4\nc,0\n",
           "line 2 (row 1), column lobes: \"0\" must be a whole number from 1 to 16\n"
           "line 3 (row 2), column lobes: the quotation mark that opens this field is "
           "never closed");
}
END_TEST

START_TEST(more_than_there_is_room_for)
{
    char text[2000] = "setup,lobes\n";
    for (int i = 0; i < 33; i++)
        sprintf(text + strlen(text), "e%d,0\n", i);
    dialarc_error all[5] = {{.room = 5}};
    ck_assert_int_eq(read_as(SETUPS, text, all), DIALARC_ERR_LOBES);
    ck_assert_uint_eq(all[0].count, 33);
    ck_assert_uint_eq(all[4].line, 6);
    dialarc_error one = {0};
    ck_assert_int_eq(read_as(SETUPS, text, &one), DIALARC_ERR_LOBES);
    ck_assert_uint_eq(one.count, 1); /* alone it ends the reading */
}
END_TEST

static int count(void *context, const dialarc_streamed *it)
{
    (void)it;
    ++*(int *)context;
    return 0;
}

/* Sweeps before the first fault are handed over, and none after it. */
START_TEST(streams)
{
    dialarc_setups *known = kit_setups("setup,lobes\na,4\n");
    kit_source source = kit_text("sweep,crank_deg,dial_mm\ns,1,0.1\nt,1,x\nu,1,0.1\n"
                                 "v,1,0.1\nv,y,z\n");
    dialarc_error all[DIALARC_ERRORS_MAX] = {{.room = DIALARC_ERRORS_MAX}};
    int whole = 0;
    ck_assert_int_eq(
        dialarc_stream_assess(kit_read, &source, known, 2, count, &whole, all),
        DIALARC_ERR_TABLE);
    ck_assert_int_eq(whole, 1);
    ck_assert_uint_eq(all[0].count, 3);
    ck_assert_uint_eq(all[2].line, 6);
    ck_assert_str_eq(all[2].column_name, "dial_mm");
    dialarc_setups_free(known);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("table_faults");
    TCase *c = tcase_create("faults");
    tcase_add_test(c, setups);
    tcase_add_test(c, headers);
    tcase_add_test(c, sweeps);
    tcase_add_test(c, a_forgotten_name);
    tcase_add_test(c, rounds);
    tcase_add_test(c, cams);
    tcase_add_test(c, a_broken_table);
    tcase_add_test(c, more_than_there_is_room_for);
    tcase_add_test(c, streams);
    suite_add_tcase(s, c);
    return darc_run(s);
}
