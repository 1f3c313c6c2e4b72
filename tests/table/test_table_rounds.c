/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/table_rounds.h>

#include <stdio.h>

#include "kit/check_main.h"
#include "kit/table_kit.h"

static dialarc_setups *setups;

static void setup(void)
{
    kit_source source = kit_text("setup,lobes\nfour,4\nsix,6\n");
    ck_assert_int_eq(dialarc_setups_read(kit_read, &source, &setups, NULL), DIALARC_OK);
}

static void teardown(void)
{
    dialarc_setups_free(setups);
}

#define HEADER "job,setup,round,minimum_mm,tdc_mm,state\n"

static dialarc_jobs *read_good(const char *text)
{
    kit_source source = kit_text(text);
    dialarc_jobs *jobs = NULL;
    dialarc_error error = {0};
    dialarc_status status = dialarc_jobs_read(kit_read, &source, setups, &jobs, &error);
    ck_assert_msg(status == DIALARC_OK, "%s", error.text);
    return jobs;
}

static void refuse(const char *text, dialarc_status expected, const char *line)
{
    kit_source source = kit_text(text);
    dialarc_jobs *jobs = NULL;
    dialarc_error error = {0};
    ck_assert_int_eq(dialarc_jobs_read(kit_read, &source, setups, &jobs, &error),
                     expected);
    ck_assert_ptr_null(jobs);
    kit_expect(&error, expected, line);
}

START_TEST(jobs_in_order)
{
    dialarc_jobs *jobs = read_good(HEADER "z,six,1,0,0.81,loose\n"
                                          "z,,1,-0.01,0.83,tight\n"
                                          "z,six,2,0,0.9, tight \n"
                                          "y,four,7,0.5,1.5,loose\n");
    ck_assert_uint_eq(dialarc_jobs_count(jobs), 2);
    const dialarc_job *j = dialarc_jobs_get(jobs, 0);
    ck_assert_str_eq(j->name, "z");
    ck_assert_uint_eq(j->setup_index, 1);
    ck_assert_int_eq(j->setup.lobes, 6);
    ck_assert_uint_eq(j->n, 3);
    ck_assert_int_eq(j->round[0].round, 1);
    ck_assert_double_eq(j->round[0].minimum_mm, 0.0);
    ck_assert_double_eq(j->round[0].tdc_mm, 0.81);
    ck_assert_int_eq(j->round[0].tight, 0);
    ck_assert_double_eq(j->round[1].minimum_mm, -0.01);
    ck_assert_int_eq(j->round[1].tight, 1);
    ck_assert_int_eq(j->round[2].round, 2);
    ck_assert_int_eq(j->round[2].tight, 1);
    ck_assert_uint_eq(j->line[2], 4);
    j = dialarc_jobs_get(jobs, 1);
    ck_assert_str_eq(j->name, "y");
    ck_assert_uint_eq(j->n, 1);
    ck_assert_double_eq(j->round[0].tdc_mm, 1.5);
    ck_assert_uint_eq(j->line[0], 5);
    ck_assert_ptr_null(dialarc_jobs_get(jobs, 2));
    dialarc_jobs_free(jobs);
}
END_TEST

/* Many jobs and rounds: what is handed out stays in place while the table grows. */
START_TEST(many_jobs)
{
    enum { JOBS = 100, ROUNDS = 7 };
    static char text[JOBS * ROUNDS * 40];
    char *p = text + sprintf(text, HEADER);
    for (int i = 0; i < JOBS * ROUNDS; i++)
        p += sprintf(p, "job %d,four,%d,0,%d,loose\n", i / ROUNDS, i % ROUNDS + 1, i);
    dialarc_jobs *jobs = read_good(text);
    ck_assert_uint_eq(dialarc_jobs_count(jobs), JOBS);
    for (int i = 0; i < JOBS * ROUNDS; i++) {
        const dialarc_job *j = dialarc_jobs_get(jobs, (size_t)(i / ROUNDS));
        if (j->n != ROUNDS || j->round[i % ROUNDS].tdc_mm != i ||
            j->line[i % ROUNDS] != (size_t)(i + 2) || atoi(j->name + 4) != i / ROUNDS)
            ck_abort_msg("round %d of job %s", i % ROUNDS, j->name);
    }
    dialarc_jobs_free(jobs);
}
END_TEST

START_TEST(tables_refused)
{
    refuse("job,setup,round,tdc_mm,state\n", DIALARC_ERR_TABLE,
           "line 1 (header), column minimum_mm: this column is missing from the header");
    refuse("setup,round,minimum_mm,tdc_mm,state\n", DIALARC_ERR_TABLE,
           "line 1 (header), column job: this column is missing from the header");
    refuse("", DIALARC_ERR_TABLE, "the file is empty: it needs a header row");
    refuse(HEADER "a,four,1,0,1,loose\nb,four,1,0,1,loose\na,four,2,0,1,loose\n",
           DIALARC_ERR_TABLE,
           "line 4 (row 3), column job: \"a\" comes a second time: its rows must stand "
           "together, and another job needs another name");
    refuse(HEADER "a,eight,1,0,1,loose\n", DIALARC_ERR_TABLE,
           "line 2 (row 1), column setup: \"eight\" is not a setup of the setups table");
}
END_TEST

START_TEST(rounds_refused)
{
    refuse(HEADER "a,four,1,0,1,slack\n", DIALARC_ERR_TABLE,
           "line 2 (row 1), column state: \"slack\" must be loose or tight");
    refuse(HEADER "a,four,1,0,1,\n", DIALARC_ERR_TABLE,
           "line 2 (row 1), column state: the field is blank: it must be loose or tight");
    refuse(
        HEADER "a,four,1.5,0,1,loose\n", DIALARC_ERR_TABLE,
        "line 2 (row 1), column round: \"1.5\" must be a whole number from 1 to 1000000");
    refuse(HEADER "a,four,,0,1,loose\n", DIALARC_ERR_TABLE,
           "line 2 (row 1), column round: the field is blank, but a number is needed");
    refuse(HEADER "a,four,2,0,1,loose\na,four,1,0,1,tight\n", DIALARC_ERR_ORDER,
           "line 3 (row 2), column round: round 1 comes after round 2: rows stand in the "
           "order of the work");
    refuse(
        HEADER "a,four,1,,1,loose\n", DIALARC_ERR_TABLE,
        "line 2 (row 1), column minimum_mm: the field is blank, but a number is needed");
    refuse(HEADER "a,four,1,0,\"0,8\",loose\n", DIALARC_ERR_TABLE,
           "line 2 (row 1), column tdc_mm: \"0,8\" has a decimal comma: numbers need a "
           "decimal point, or semicolons between the columns");
    refuse(HEADER "a,four,1,0,inf,loose\n", DIALARC_ERR_NOT_FINITE,
           "line 2 (row 1), column tdc_mm: \"inf\" is not an ordinary number: leave the "
           "field blank if it is not known");
}
END_TEST

START_TEST(arguments)
{
    kit_source source = kit_text(HEADER);
    dialarc_jobs *jobs = NULL;
    ck_assert_int_eq(dialarc_jobs_read(NULL, &source, setups, &jobs, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_jobs_read(kit_read, &source, NULL, &jobs, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_jobs_read(kit_read, &source, setups, NULL, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_jobs_load(NULL, setups, &jobs, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_jobs_load("x", NULL, &jobs, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_jobs_load("x", setups, NULL, NULL), DIALARC_ERR_NULL);
    dialarc_error error = {0};
    ck_assert_int_eq(dialarc_jobs_load("no/such.csv", setups, &jobs, &error),
                     DIALARC_ERR_FILE);
    kit_expect(&error, DIALARC_ERR_FILE, "there is no such file");
    ck_assert_ptr_null(jobs);
    ck_assert_uint_eq(dialarc_jobs_count(NULL), 0);
    ck_assert_ptr_null(dialarc_jobs_get(NULL, 0));
    dialarc_jobs_free(NULL);
    jobs = read_good(HEADER);
    ck_assert_uint_eq(dialarc_jobs_count(jobs), 0);
    dialarc_jobs_free(jobs);
}
END_TEST

START_TEST(from_a_file)
{
    char path[] = "roundsXXXXXX";
    kit_file(path, HEADER "a,six,1,0,1,loose\n");
    dialarc_jobs *jobs = NULL;
    ck_assert_int_eq(dialarc_jobs_load(path, setups, &jobs, NULL), DIALARC_OK);
    remove(path);
    ck_assert_uint_eq(dialarc_jobs_count(jobs), 1);
    dialarc_jobs_free(jobs);
}
END_TEST

static Suite *suite(void)
{
    Suite *s = suite_create("table_rounds");
    TCase *c = tcase_create("rounds");
    tcase_add_checked_fixture(c, setup, teardown);
    tcase_add_test(c, jobs_in_order);
    tcase_add_test(c, many_jobs);
    tcase_add_test(c, tables_refused);
    tcase_add_test(c, rounds_refused);
    tcase_add_test(c, arguments);
    tcase_add_test(c, from_a_file);
    suite_add_tcase(s, c);
    return s;
}

int main(void)
{
    return darc_run(suite());
}
