/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Tables that make every array of the readers grow: every allocation fails once, the
 * answer is DIALARC_ERR_NO_MEMORY, and nothing leaks.
 */
#include <dialarc/table_cams.h>
#include <dialarc/table_dials.h>
#include <dialarc/table_rounds.h>
#include <dialarc/table_sweeps.h>

#include <stdio.h>

#include "kit/check_main.h"
#include "kit/memory_kit.h"
#include "kit/table_kit.h"

/* Reads five tables that make every array grow. */
static dialarc_status read_all(const char *setups_text, const char *sweeps_text,
                               const char *rounds_text, const char *cams_text,
                               const char *dials_text, dialarc_error *error)
{
    kit_source source = kit_text(setups_text);
    dialarc_setups *setups = NULL;
    dialarc_sweeps *sweeps = NULL;
    dialarc_jobs *jobs = NULL;
    dialarc_cams *cams = NULL;
    dialarc_dials *dials = NULL;
    dialarc_status status = dialarc_setups_read(kit_read, &source, &setups, error);
    source = kit_text(sweeps_text);
    if (status == DIALARC_OK)
        status = dialarc_sweeps_read(kit_read, &source, setups, &sweeps, error);
    source = kit_text(rounds_text);
    if (status == DIALARC_OK)
        status = dialarc_jobs_read(kit_read, &source, setups, &jobs, error);
    source = kit_text(cams_text);
    if (status == DIALARC_OK)
        status = dialarc_cams_read(kit_read, &source, &cams, error);
    source = kit_text(dials_text);
    if (status == DIALARC_OK)
        status = dialarc_dials_read(kit_read, &source, &dials, error);
    if (status == DIALARC_OK)
        status = dialarc_setups_use_dials(setups, dials, error);
    dialarc_dials_free(dials);
    dialarc_setups_free(setups);
    dialarc_sweeps_free(sweeps);
    dialarc_jobs_free(jobs);
    dialarc_cams_free(cams);
    return status;
}

START_TEST(every_allocation_fails_once)
{
    static char setups[4000], sweeps[400000], rounds[8000], cams[40000], dials[8000];
    char *p = setups + sprintf(setups, "setup,lobes,dial\n");
    for (int i = 0; i < 40; i++)
        p += sprintf(p, "e%d,4,d%d\n", i, i % 10);
    p = sweeps + sprintf(sweeps, "sweep,setup,crank_deg,dial_mm\n");
    for (int i = 0; i < 2000; i++)
        p += sprintf(p, "s%d,e1,%d,0.5\n", i < 1000 ? 0 : i / 20, i);
    p += sprintf(p, "last,e1,%*s1,2\n", 300000, ""); /* makes the reader's buffer grow */
    p = rounds + sprintf(rounds, "job,setup,round,minimum_mm,tdc_mm,state\n");
    for (int i = 0; i < 80; i++)
        p += sprintf(p, "j%d,e2,1,0,1,loose\n", i / 4);
    p = cams + sprintf(cams, "%s", dialarc_cams_header());
    for (int i = 0; i < 600; i++)
        p += sprintf(p, "c%d,%d,1,90,0\n", i / 30, i % 30);
    p = dials + sprintf(dials, "dial,shown_mm,true_mm,u_mm\n");
    for (int i = 0; i < 200; i++)
        p += sprintf(p, "d%d,%d,%d,0\n", i / 20, i % 20, i);

    dialarc_error error = {0};
    int failures = 0;
    for (;; failures++) {
        memset(&error, 0, sizeof error);
        memory_watch(failures);
        dialarc_status status = read_all(setups, sweeps, rounds, cams, dials, &error);
        int reached = memory_ignore();
        ck_assert_int_eq(memory_living(), 0);
        ck_assert_int_eq(status, error.status);
        if (!reached)
            break;
        ck_assert_int_eq(status, DIALARC_ERR_NO_MEMORY);
    }
    ck_assert_int_eq(error.status, DIALARC_OK);
    ck_assert_int_gt(failures, 80);
}
END_TEST

/* Rows are written only when a table of their points can be made. */
START_TEST(no_rows)
{
    const double x[] = {0.0, 1.0, 2.0};
    char text[3 * DIALARC_CAM_ROW_SIZE] = "as before";
    int failures = 0, reached = 1;
    for (; reached; failures++) {
        memory_watch(failures);
        dialarc_status status =
            dialarc_cam_format("a", 3, x, x, 90.0, 0.0, text, sizeof text, NULL);
        reached = memory_ignore();
        ck_assert_int_eq(memory_living(), 0);
        ck_assert_int_eq(status, reached ? DIALARC_ERR_NO_MEMORY : DIALARC_OK);
        ck_assert_int_eq(strcmp(text, "as before") == 0, reached);
    }
    ck_assert_int_gt(failures, 1);
}
END_TEST

START_TEST(no_buffer)
{
    memory_watch(0);
    dialarc_sweep_buffer *buffer = dialarc_sweep_buffer_new();
    memory_ignore();
    ck_assert_ptr_null(buffer);
}
END_TEST

static Suite *suite(void)
{
    Suite *s = suite_create("table_memory");
    TCase *c = tcase_create("allocations");
    tcase_set_timeout(c, 60);
    tcase_add_test(c, every_allocation_fails_once);
    tcase_add_test(c, no_rows);
    tcase_add_test(c, no_buffer);
    suite_add_tcase(s, c);
    return s;
}

int main(void)
{
    return darc_run(suite());
}
