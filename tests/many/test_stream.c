/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A sweeps table streamed gives what its sweeps give when they are read at once, in their
 * order, for any number of threads and size of blocks; faults and wishes to stop end it
 * in the same place.
 */
#include <dialarc/stream.h>
#include <dialarc/table_sweeps.h>

#include <stdio.h>

#include "kit/batch_kit.h"
#include "kit/table_kit.h"
#include "kit/timing_kit.h"
#include "many/stream.h"

/* A table in text, and the setups to it. */
typedef struct table {
    char *text;
    size_t length, rows;
    dialarc_setups *setups;
} table;

static const char setups_text[] =
    "setup,lobes,lift_low_mm,lift_high_mm,cam_law,rise_deg,top_dwell_deg,base_dwell_deg\n"
    "heron,4,0.85,0.95,modified_sine,40,3,10\n"
    "otter,4,0.8,1.1,,,,\n";

/* n sweeps of the good job, every fourth by pump_deg, every 29th of a cam that is not
 * known; numbers that a decimal of 3 digits holds. */
static table write_table(size_t n, const char *tail)
{
    table t = {.text = malloc(10000 * (n + 1))};
    sim_job job = good_job();
    sim_random r;
    sim_seed(&r, 81);
    t.length = (size_t)sprintf(t.text, "sweep,setup,crank_deg,pump_deg,dial_mm\n");
    for (size_t i = 0; i < n; i++) {
        job.foot_crank_deg = sim_uniform(&r, -38.0, -34.0);
        job.two_way = i % 5 != 1;
        sim_run(&job, &r, &sweep);
        for (size_t k = 0; k < sweep.n; k++) {
            int crank = (int)(sweep.crank_deg[k] * 1000.0),
                dial = (int)(sweep.dial_mm[k] * 1000.0);
            const char *columns =
                i % 4 ? "s%zu,%s,%de-3,,%de-3\n" : "s%zu,%s,,%de-3,%de-3\n";
            t.length += (size_t)sprintf(t.text + t.length, columns, i,
                                        i % 29 == 3 ? "otter" : "heron",
                                        i % 4 ? crank : crank / 2, dial);
        }
        t.rows += sweep.n;
    }
    t.length += (size_t)sprintf(t.text + t.length, "%s", tail);
    kit_source source = kit_text(setups_text);
    ck_assert_int_eq(dialarc_setups_read(kit_read, &source, &t.setups, NULL), DIALARC_OK);
    return t;
}

static void table_free(table *t)
{
    dialarc_setups_free(t->setups);
    free(t->text);
}

/* What `take` saw, against the table read at once. */
typedef struct seen {
    const dialarc_sweeps *sweeps;
    dialarc_batch_result *result;
    size_t count, stop_at;
} seen;

static int see(void *context, const dialarc_streamed *it)
{
    seen *s = context;
    const dialarc_sweep_record *want = dialarc_sweeps_get(s->sweeps, s->count);
    ck_assert_ptr_nonnull(want);
    ck_assert_str_eq(it->record->name, want->name);
    ck_assert_uint_eq(it->record->setup_index, want->setup_index);
    ck_assert_uint_eq(it->record->row, want->row);
    size_t n = want->sweep.n;
    ck_assert_uint_eq(it->record->sweep.n, n);
    ck_assert_mem_eq(it->record->sweep.crank_deg, want->sweep.crank_deg,
                     n * sizeof(double));
    ck_assert_mem_eq(it->record->sweep.dial_mm, want->sweep.dial_mm, n * sizeof(double));
    ck_assert_mem_eq(it->record->line, want->line, n * sizeof *want->line);
    kit_same_result(&s->result[s->count], it->result, s->count);
    char row[DIALARC_RESULT_SIZE];
    ck_assert_int_eq(dialarc_result_format(want->name, &it->result->timing,
                                           &it->result->decision, row, sizeof row, NULL),
                     DIALARC_OK);
    ck_assert_str_eq(it->row, row);
    ck_assert_uint_eq(it->row_length, strlen(row));
    s->count++;
    return s->count == s->stop_at;
}

/* Reads all sweeps of a good table at once and assesses each by itself. */
static seen expect(const table *t, size_t n)
{
    seen s = {.result = calloc(n, sizeof *s.result)};
    dialarc_sweeps *sweeps = NULL;
    dialarc_memory memory = {t->text, t->length, 0};
    ck_assert_int_eq(
        dialarc_sweeps_read(dialarc_read_memory, &memory, t->setups, &sweeps, NULL),
        DIALARC_OK);
    s.sweeps = sweeps;
    dialarc_workspace *workspace = dialarc_workspace_new();
    for (size_t i = 0; i < n; i++) {
        const dialarc_sweep_record *r = dialarc_sweeps_get(sweeps, i);
        dialarc_batch_result *a = &s.result[i];
        a->status =
            dialarc_timing_estimate(workspace, &r->setup, &r->sweep, NULL, &a->timing);
        ck_assert_int_ge(a->status, 0);
        ck_assert_int_eq(dialarc_decision_judge(&r->setup, &a->timing, &a->decision), 0);
    }
    dialarc_workspace_free(workspace);
    return s;
}

static void seen_free(seen *s)
{
    dialarc_sweeps_free((dialarc_sweeps *)(uintptr_t)s->sweeps);
    free(s->result);
}

START_TEST(the_same_for_any_threads_and_blocks)
{
    static const size_t threads[] = {1, 2, 3, 7}, blocks[] = {1, 3, DARC_BLOCK_SWEEPS};
    size_t n = (size_t)kit_count(70);
    table t = write_table(n, "");
    seen s = expect(&t, n);
    for (size_t i = 0; i < 4; i++)
        for (size_t k = 0; k < 3; k++) {
            kit_source source = {.memory = {t.text, t.length, 0}, .piece = 1000};
            dialarc_error error = {0};
            s.count = 0;
            ck_assert_int_eq(darc_stream_run(kit_read, &source, t.setups, threads[i],
                                             blocks[k], see, &s, &error),
                             DIALARC_OK);
            ck_assert_int_eq(error.status, DIALARC_OK);
            ck_assert_uint_eq(s.count, n);
        }
    seen_free(&s);
    table_free(&t);
}
END_TEST

START_TEST(sweeps_before_a_fault_are_handed_over)
{
    enum { N = 9 };
    table good = write_table(N, ""), bad = write_table(N, "x,heron,1,,y\n");
    seen s = expect(&good, N);
    char line[100];
    size_t row = bad.rows + 1;
    sprintf(line, "line %zu (row %zu), column dial_mm: \"y\" is not a number", row + 1,
            row);
    for (size_t threads = 1; threads <= 3; threads++) {
        dialarc_memory memory = {bad.text, bad.length, 0};
        dialarc_error error = {0};
        s.count = 0;
        ck_assert_int_eq(dialarc_stream_assess(dialarc_read_memory, &memory, bad.setups,
                                               threads, see, &s, &error),
                         DIALARC_ERR_TABLE);
        ck_assert_uint_eq(s.count, N);
        kit_expect(&error, DIALARC_ERR_TABLE, line);
    }
    seen_free(&s);
    table_free(&good);
    table_free(&bad);
}
END_TEST

START_TEST(a_failed_read_is_told)
{
    table t = write_table(3, "");
    seen s = expect(&t, 3);
    for (size_t threads = 1; threads <= 2; threads++) {
        kit_source source = {.memory = {t.text, t.length, 0}, .fails = 1};
        dialarc_error error = {0};
        s.count = 0;
        ck_assert_int_eq(
            dialarc_stream_assess(kit_read, &source, t.setups, threads, see, &s, &error),
            DIALARC_ERR_FILE);
        kit_expect(&error, DIALARC_ERR_FILE, "reading failed");
    }
    seen_free(&s);
    table_free(&t);
}
END_TEST

START_TEST(it_stops_when_asked)
{
    enum { N = 40 };
    table t = write_table(N, "");
    seen s = expect(&t, N);
    for (size_t threads = 1; threads <= 3; threads++)
        for (s.stop_at = 1; s.stop_at <= N; s.stop_at += 13) {
            dialarc_memory memory = {t.text, t.length, 0};
            s.count = 0;
            ck_assert_int_eq(darc_stream_run(dialarc_read_memory, &memory, t.setups,
                                             threads, 4, see, &s, NULL),
                             DIALARC_ERR_CANCELLED);
            ck_assert_uint_eq(s.count, s.stop_at);
        }
    seen_free(&s);
    table_free(&t);
}
END_TEST

START_TEST(a_header_alone_has_no_sweep)
{
    kit_source setups_source = kit_text(setups_text);
    dialarc_setups *setups = NULL;
    ck_assert_int_eq(dialarc_setups_read(kit_read, &setups_source, &setups, NULL), 0);
    seen s = {0};
    dialarc_error error = {0};
    kit_source source = kit_text("sweep,setup,crank_deg,dial_mm\n");
    ck_assert_int_eq(dialarc_stream_assess(kit_read, &source, setups, 2, see, &s, &error),
                     DIALARC_OK);
    source = kit_text("sweep,setup,crank_deg\n");
    ck_assert_int_eq(dialarc_stream_assess(kit_read, &source, setups, 2, see, &s, &error),
                     DIALARC_ERR_TABLE);
    kit_expect(&error, DIALARC_ERR_TABLE,
               "line 1 (header), column dial_mm: this column is missing from the header");
    ck_assert_int_eq(dialarc_stream_assess(NULL, &source, setups, 2, see, &s, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_stream_assess(kit_read, &source, NULL, 2, see, &s, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_stream_assess(kit_read, &source, setups, 2, NULL, &s, NULL),
                     DIALARC_ERR_NULL);
    dialarc_setups_free(setups);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("stream");
    TCase *tc = tcase_create("stream");
    tcase_set_timeout(tc, 60);
    tcase_add_test(tc, the_same_for_any_threads_and_blocks);
    tcase_add_test(tc, sweeps_before_a_fault_are_handed_over);
    tcase_add_test(tc, a_failed_read_is_told);
    tcase_add_test(tc, it_stops_when_asked);
    tcase_add_test(tc, a_header_alone_has_no_sweep);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
