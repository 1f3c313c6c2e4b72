/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Many sweeps at once give what each of them gives alone, whoever works on it; bad ones
 * and cancellation touch no other. What is compared is this library with itself.
 */
#include <dialarc/assess.h>
#include <dialarc/batch.h>

#include <math.h>

#include "kit/batch_kit.h"

/* Marks a result that nobody wrote. */
#define UNTOUCHED ((dialarc_status)77)

static dialarc_batch_result *results(size_t n)
{
    dialarc_batch_result *a = malloc((n + 1) * sizeof *a);
    memset(a, 0x5a, (n + 1) * sizeof *a);
    for (size_t i = 0; i <= n; i++)
        a[i].status = UNTOUCHED;
    return a;
}

/* The same, one after the other, without the batch. */
static dialarc_batch_result *one_by_one(const kit_archive *archive)
{
    size_t n = archive->batch.sweeps;
    dialarc_batch_result *a = results(n);
    dialarc_workspace *workspace = dialarc_workspace_new();
    for (size_t i = 0; i < n; i++) {
        const dialarc_setup *setup = &archive->setup[n - 1 - i];
        dialarc_sweep sweep = kit_archive_sweep(archive, i);
        a[i].status =
            dialarc_timing_estimate(workspace, setup, &sweep, NULL, &a[i].timing);
        ck_assert_int_ge(a[i].status, DIALARC_OK);
        ck_assert_int_eq(dialarc_decision_judge(setup, &a[i].timing, &a[i].decision),
                         DIALARC_OK);
    }
    dialarc_workspace_free(workspace);
    return a;
}

static void check_same(const dialarc_batch_result *a, const dialarc_batch_result *b,
                       size_t n)
{
    for (size_t i = 0; i < n; i++)
        kit_same_result(&a[i], &b[i], i);
}

/* Some hundreds of sweeps of all families, known and learned. */
START_TEST(each_sweep_is_what_it_is_alone)
{
    size_t n = (size_t)kit_count(300);
    kit_archive *archive = kit_archive_new(n, 16, 71);
    dialarc_batch_result *alone = one_by_one(archive), *batch = results(n);
    ck_assert_int_eq(dialarc_batch_assess(&archive->batch, NULL, batch), DIALARC_OK);
    check_same(alone, batch, n);
    ck_assert_int_eq(batch[n].status, UNTOUCHED);
    size_t in = 0, learned = 0;
    for (size_t i = 0; i < n; i++) {
        in += batch[i].decision.verdict == DIALARC_VERDICT_IN;
        learned += batch[i].timing.cam_learned != 0;
    }
    ck_assert_uint_gt(in, n / 20); /* there is something to compare */
    ck_assert_uint_ge(learned, n / 16);
    free(alone);
    free(batch);
    kit_archive_free(archive);
}
END_TEST

START_TEST(threads_and_chunks_change_no_bit)
{
    static const size_t threads[] = {1, 2, 3, 7}, chunk[] = {0, 1, 5, 64, SIZE_MAX};
    size_t n = (size_t)kit_count(40);
    kit_archive *archive = kit_archive_new(n, 30, 72);
    dialarc_batch_result *first = one_by_one(archive), *batch = results(n);
    for (size_t t = 0; t < sizeof threads / sizeof *threads; t++)
        for (size_t c = 0; c < sizeof chunk / sizeof *chunk; c++) {
            dialarc_batch_options options = {.threads = threads[t], .chunk = chunk[c]};
            memset(batch, 0x5a, n * sizeof *batch);
            ck_assert_int_eq(dialarc_batch_assess(&archive->batch, &options, batch),
                             DIALARC_OK);
            check_same(first, batch, n);
        }
    free(first);
    free(batch);
    kit_archive_free(archive);
}
END_TEST

/* Every number of a result that is none. */
static void check_nothing(const dialarc_batch_result *a, dialarc_status status)
{
    ck_assert_int_eq(a->status, status);
    ck_assert(isnan(a->timing.lift_mm) && isnan(a->timing.lift_u_mm));
    ck_assert(isnan(a->timing.rise_mm[DIALARC_RISE_INTERVALS]));
    ck_assert_uint_eq(a->timing.findings.present, 0);
    ck_assert_uint_eq(a->timing.findings.row[0], DIALARC_NO_ROW);
    ck_assert_uint_eq(a->timing.readings_used, 0);
    ck_assert_int_eq(a->decision.verdict, DIALARC_VERDICT_NONE);
    ck_assert(isnan(a->decision.probability_in) && isnan(a->decision.aim_mm));
}

START_TEST(bad_sweeps_stop_none_of_the_others)
{
    enum { N = 12 };
    kit_archive *archive = kit_archive_new(N, 0, 73);
    dialarc_batch_result *alone = one_by_one(archive), *batch = results(N);
    archive->dial_mm[archive->offset[1] + 2] = (double)NAN;
    archive->setup[N - 1 - 3].lobes = 0;
    archive->setup_index[5] = N;
    archive->direction[archive->offset[7] + 1] = (dialarc_direction)9;
    archive->setup[N - 1 - 9].lift_high_mm = 0.1;
    archive->offset[N] = archive->batch.readings + 1;
    for (size_t threads = 1; threads <= 3; threads++) {
        dialarc_batch_options options = {.threads = threads, .chunk = 2};
        ck_assert_int_eq(dialarc_batch_assess(&archive->batch, &options, batch),
                         DIALARC_OK);
        check_nothing(&batch[1], DIALARC_ERR_NOT_FINITE);
        check_nothing(&batch[3], DIALARC_ERR_LOBES);
        check_nothing(&batch[5], DIALARC_ERR_BATCH);
        check_nothing(&batch[7], DIALARC_ERR_DIRECTION);
        check_nothing(&batch[9], DIALARC_ERR_WINDOW);
        check_nothing(&batch[N - 1], DIALARC_ERR_BATCH);
        for (size_t i = 0; i < N - 1; i += 2)
            kit_same_result(&alone[i], &batch[i], i);
    }
    free(alone);
    free(batch);
    kit_archive_free(archive);
}
END_TEST

/* A fall touches the two sweeps beside it; a sweep too long is refused as when alone. */
START_TEST(offsets_are_not_trusted)
{
    size_t offset[] = {0, 100, 50, 50 + DIALARC_SWEEP_MAX + 1, SIZE_MAX};
    size_t readings = 50 + DIALARC_SWEEP_MAX + 1;
    double *zeros = calloc(readings, sizeof *zeros);
    dialarc_setup setup = dialarc_setup_unknown(4);
    dialarc_batch_result a[4];
    dialarc_batch batch = {4, readings, offset, zeros, zeros, NULL, 1, &setup, NULL};
    ck_assert_int_eq(dialarc_batch_assess(&batch, NULL, a), DIALARC_OK);
    ck_assert_int_ge(a[0].status, DIALARC_OK);
    ck_assert_int_eq(a[0].decision.verdict, DIALARC_VERDICT_UNUSABLE);
    check_nothing(&a[1], DIALARC_ERR_BATCH);
    check_nothing(&a[2], DIALARC_ERR_SIZE);
    check_nothing(&a[3], DIALARC_ERR_BATCH);
    free(zeros);
}
END_TEST

START_TEST(nothing_to_do_is_done)
{
    dialarc_batch none = {0};
    dialarc_setup setup = dialarc_setup_unknown(4);
    const size_t offset[] = {0, 0};
    dialarc_batch_result a = {.status = UNTOUCHED};
    ck_assert_int_eq(dialarc_batch_assess(&none, NULL, NULL), DIALARC_OK);
    ck_assert_int_eq(dialarc_batch_assess(&none, NULL, &a), DIALARC_OK);
    ck_assert_int_eq(a.status, UNTOUCHED);
    /* One sweep without readings is a sweep; without setups it has none. */
    dialarc_batch empty = {.sweeps = 1, .offset = offset, .setups = 1, .setup = &setup};
    ck_assert_int_eq(dialarc_batch_assess(&empty, NULL, &a), DIALARC_OK);
    ck_assert_int_eq(a.status, DIALARC_OK);
    ck_assert_int_eq(a.decision.verdict, DIALARC_VERDICT_UNUSABLE);
    empty.setups = 0;
    empty.setup = NULL;
    ck_assert_int_eq(dialarc_batch_assess(&empty, NULL, &a), DIALARC_OK);
    check_nothing(&a, DIALARC_ERR_BATCH);
}
END_TEST

START_TEST(missing_arrays_are_refused)
{
    const size_t offset[] = {0, 2};
    const double two[] = {1.0, 2.0};
    const dialarc_setup setup = dialarc_setup_unknown(4);
    const dialarc_batch good = {1, 2, offset, two, two, NULL, 1, &setup, NULL};
    dialarc_batch_result a = {.status = UNTOUCHED};
    dialarc_batch bad[] = {good, good, good, good};
    bad[0].offset = NULL;
    bad[1].crank_deg = NULL;
    bad[2].dial_mm = NULL;
    bad[3].setup = NULL;
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        ck_assert_int_eq(dialarc_batch_assess(&bad[i], NULL, &a), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_batch_assess(NULL, NULL, &a), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_batch_assess(&good, NULL, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(a.status, UNTOUCHED);
    ck_assert_int_eq(dialarc_batch_assess(&good, NULL, &a), DIALARC_OK);
}
END_TEST

/* What the progress heard. */
typedef struct heard {
    size_t calls, last, sweeps, stop_at;
} heard;

static int listen(void *context, size_t done, size_t sweeps)
{
    heard *h = context;
    ck_assert_uint_gt(done, h->last);
    h->calls++;
    h->last = done;
    h->sweeps = sweeps;
    return done >= h->stop_at;
}

START_TEST(progress_is_told)
{
    enum { N = 40 };
    kit_archive *archive = kit_archive_new(N, 0, 74);
    dialarc_batch_result *batch = results(N);
    for (size_t threads = 1; threads <= 4; threads++) {
        heard h = {.stop_at = N}; /* at the end the answer does not matter */
        dialarc_batch_options options = {threads, 3, listen, &h};
        ck_assert_int_eq(dialarc_batch_assess(&archive->batch, &options, batch),
                         DIALARC_OK);
        ck_assert_uint_eq(h.last, N);
        ck_assert_uint_eq(h.sweeps, N);
        ck_assert_uint_le(h.calls, 14);
        if (threads == 1)
            ck_assert_uint_eq(h.calls, 14);
    }
    free(batch);
    kit_archive_free(archive);
}
END_TEST

/* The calling thread alone asks: while the machine lets it wait, its helpers may do the
 * whole work, and then there is nothing to cancel. So a try with helpers may fail. */
START_TEST(cancelled_work_keeps_what_is_done)
{
    enum { N = 60, STOP = 12, TRIES = 50 };
    kit_archive *archive = kit_archive_new(N, 0, 75);
    dialarc_batch_result *alone = one_by_one(archive), *batch = results(N);
    for (size_t threads = 1; threads <= 3; threads++) {
        size_t done = N;
        for (int tries = threads == 1 ? 1 : TRIES; done == N && tries > 0; tries--) {
            heard h = {.stop_at = STOP};
            dialarc_batch_options options = {threads, 2, listen, &h};
            memset(batch, 0x5a, N * sizeof *batch);
            dialarc_status status =
                dialarc_batch_assess(&archive->batch, &options, batch);
            done = 0;
            while (done < N && batch[done].status != DIALARC_ERR_CANCELLED)
                done++;
            ck_assert_int_eq(status, done < N ? DIALARC_ERR_CANCELLED : DIALARC_OK);
            check_same(alone, batch, done);
            for (size_t i = done; i < N; i++)
                check_nothing(&batch[i], DIALARC_ERR_CANCELLED);
        }
        ck_assert_uint_ge(done, STOP);
        ck_assert_uint_lt(done, N);
        if (threads == 1)
            ck_assert_uint_eq(done, STOP);
    }
    free(alone);
    free(batch);
    kit_archive_free(archive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("batch");
    TCase *tc = tcase_create("batch");
    tcase_set_timeout(tc, 60);
    tcase_add_test(tc, each_sweep_is_what_it_is_alone);
    tcase_add_test(tc, threads_and_chunks_change_no_bit);
    tcase_add_test(tc, bad_sweeps_stop_none_of_the_others);
    tcase_add_test(tc, offsets_are_not_trusted);
    tcase_add_test(tc, nothing_to_do_is_done);
    tcase_add_test(tc, missing_arrays_are_refused);
    tcase_add_test(tc, progress_is_told);
    tcase_add_test(tc, cancelled_work_keeps_what_is_done);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
