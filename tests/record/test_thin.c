/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A few readings that stand for a record. */
#include <stdlib.h>

#include "kit/check_main.h"
#include "kit/simulate.h"
#include "record/thin.h"

#define MOST 20000

static double crank[MOST], lift[MOST];
static size_t row[MOST];

/* Passes of random lengths that go to and fro. */
static darc_record make_record(sim_random *r, int passes, int longest)
{
    darc_record record = {.crank_deg = crank, .lift_mm = lift, .row = row};
    for (int k = 0; k < passes; k++) {
        size_t begin = record.n, n = (size_t)sim_integer(r, 1, longest);
        for (size_t i = begin; i < begin + n; i++) {
            crank[i] = sim_uniform(r, -90.0, 90.0);
            lift[i] = sim_uniform(r, 0.0, 2.4);
            row[i] = i;
        }
        record.n = begin + n;
        record.pass[record.passes++] = (darc_pass){
            begin, record.n, k % 2 ? -1 : 1, k % 3 ? DARC_START_TURN : DARC_START_FREE};
    }
    return record;
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return x < y ? -1 : x > y;
}

/* Each reading that stands is one of the record with its own neighbours' median, in the
 * same order, and in the same pass. */
static void check_taken(const darc_record *whole, const darc_thin *thin)
{
    size_t at = 0;
    ck_assert_int_eq(thin->record.passes, whole->passes);
    for (int k = 0; k < whole->passes; k++) {
        const darc_pass *p = &whole->pass[k], *t = &thin->record.pass[k];
        ck_assert_uint_eq(t->begin, at);
        ck_assert_uint_gt(t->end, t->begin);
        ck_assert_int_eq(t->direction, p->direction);
        ck_assert_int_eq(t->start, p->start);
        ck_assert_uint_eq(thin->at[t->begin], p->begin);
        ck_assert_uint_eq(thin->at[t->end - 1], p->end - 1);
        for (; at < t->end; at++) {
            size_t i = thin->at[at];
            ck_assert(at == t->begin || i > thin->at[at - 1]);
            ck_assert_double_eq(thin->record.crank_deg[at], whole->crank_deg[i]);
            ck_assert_double_eq(thin->record.lift_mm[at], whole->lift_mm[i]);
            if (i == 0 || i + 1 == whole->n)
                continue;
            double three[] = {lift[i - 1], lift[i], lift[i + 1]};
            qsort(three, 3, sizeof three[0], by_size);
            ck_assert_double_eq(thin->median_mm[at], three[1]);
        }
    }
    ck_assert_uint_eq(thin->record.n, at);
    ck_assert_uint_le(at, DARC_THIN_MAX);
}

/* As many as there is room for, from 64 passes too. */
START_TEST(readings_that_stand_for_many)
{
    static darc_thin thin;
    sim_random r;
    sim_seed(&r, 1);
    for (int k = 0; k < 200; k++) {
        darc_record record = make_record(&r, sim_integer(&r, 1, DARC_MAX_PASSES), 300);
        darc_thin_out(&record, &thin);
        check_taken(&record, &thin);
    }
}
END_TEST

/* A long pass is thinned evenly to about 48 readings. */
START_TEST(evenly)
{
    static darc_thin thin;
    sim_random r;
    sim_seed(&r, 2);
    darc_record record = make_record(&r, 1, 1);
    record.n = record.pass[0].end = 4801;
    darc_thin_out(&record, &thin);
    check_taken(&record, &thin);
    ck_assert_uint_ge(thin.record.n, 40);
    ck_assert_uint_le(thin.record.n, 50);
    for (size_t k = 2; k + 1 < thin.record.n; k++)
        ck_assert_uint_eq(thin.at[k] - thin.at[k - 1], thin.at[1] - thin.at[0]);
}
END_TEST

START_TEST(a_short_record_stays_whole)
{
    static darc_thin thin;
    sim_random r;
    sim_seed(&r, 3);
    darc_record record = make_record(&r, 3, 16);
    darc_thin_out(&record, &thin);
    check_taken(&record, &thin);
    ck_assert_uint_eq(thin.record.n, record.n);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("thin");
    TCase *c = tcase_create("thin");
    tcase_add_test(c, readings_that_stand_for_many);
    tcase_add_test(c, evenly);
    tcase_add_test(c, a_short_record_stays_whole);
    suite_add_tcase(s, c);
    return darc_run(s);
}
