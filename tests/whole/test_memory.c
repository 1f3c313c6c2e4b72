/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Every allocation in every public path that allocates fails once: the answer is
 * DIALARC_ERR_NO_MEMORY, results are untouched, nothing leaks. Built twice: with the
 * library's own allocations failing, and (memory_foreign.c) with those that GSL and the C
 * library make on its behalf failing too.
 */
#include <dialarc/batch.h>
#include <dialarc/camcompare.h>
#include <dialarc/camsmooth.h>
#include <dialarc/follower.h>
#include <dialarc/lobes.h>
#include <dialarc/pluck.h>
#include <dialarc/reuse.h>
#include <dialarc/stream.h>
#include <dialarc/table_rounds.h>
#include <dialarc/tabled_cam.h>
#include <dialarc/whatif.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include "kit/lobes_kit.h"
#include "kit/memory_kit.h"
#include "kit/pluck_sim.h"
#include "kit/table_kit.h"
#include "kit/timing_kit.h"

static dialarc_setup setup;
static dialarc_sweep readings;
static dialarc_camtable *known_cam;
static dialarc_setups *setups;

static const dialarc_cam cam = {.lobes = 4,
                                .lift_mm = 2.3,
                                .rise_deg = 40.0,
                                .top_dwell_deg = 3.0,
                                .base_dwell_deg = 10.0,
                                .law = DIALARC_LAW_MODIFIED_SINE};

static void prepare(int known)
{
    sim_job job = good_job();
    setup = kit_setup(&job, known);
    readings = good_sweep(&job);
}

/* --- the estimate ------------------------------------------------------------ */

static dialarc_status estimating(void *timing)
{
    dialarc_workspace *w = dialarc_workspace_new();
    if (!w)
        return DIALARC_ERR_NO_MEMORY;
    dialarc_status status = dialarc_timing_estimate(w, &setup, &readings, NULL, timing);
    dialarc_workspace_free(w);
    return status;
}

static dialarc_status reusing(void *timing)
{
    dialarc_workspace *w = dialarc_workspace_new();
    if (!w)
        return DIALARC_ERR_NO_MEMORY;
    dialarc_status status =
        dialarc_reuse_estimate(w, &setup, known_cam, 0.002, &readings, NULL, timing);
    dialarc_workspace_free(w);
    return status;
}

START_TEST(estimates)
{
    dialarc_timing timing;
    ck_assert_int_eq(dialarc_camtable_from_cam(&cam, 360, &known_cam), DIALARC_OK);
    for (int known = 0; known < 2; known++) {
        prepare(known);
        ck_assert_int_ge(memory_each_fails(estimating, &timing, sizeof timing), 2);
        ck_assert_int_ge(memory_each_fails(reusing, &timing, sizeof timing), 2);
    }
    dialarc_camtable_free(known_cam);
}
END_TEST

static dialarc_status counting_lobes(void *lobes)
{
    dialarc_workspace *w = dialarc_workspace_new();
    if (!w)
        return DIALARC_ERR_NO_MEMORY;
    dialarc_status status = dialarc_lobes_estimate(w, &setup, &readings, NULL, lobes);
    dialarc_workspace_free(w);
    return status;
}

START_TEST(whole_turns)
{
    static sim_sweep turn;
    dialarc_lobes lobes;
    sim_job job = kit_pump(1.0);
    for (int known = 0; known < 2; known++) {
        kit_measure(&job, known, 1, &turn);
        setup = kit_setup(&job, known);
        readings = kit_sweep(&turn);
        ck_assert_int_ge(memory_each_fails(counting_lobes, &lobes, sizeof lobes), 3);
    }
}
END_TEST

/* --- cams, plucks, what if --------------------------------------------------- */

static dialarc_status comparing(void *wear)
{
    const double angle[] = {0.0, 20.0, 40.0, 60.0}, lift[] = {0.0, 1.0, 2.0, 1.0};
    dialarc_camtable *a = NULL, *b = NULL;
    dialarc_status status = dialarc_camtable_new(4, angle, lift, 90.0, &a);
    if (status == DIALARC_OK)
        status = dialarc_camtable_from_cam(&cam, 50, &b);
    if (status == DIALARC_OK)
        status = dialarc_camcompare_summary(a, b, 1, 0, 0.001, wear);
    ck_assert((a && b) || status != DIALARC_OK);
    dialarc_camtable_free(a);
    dialarc_camtable_free(b);
    return status;
}

/* From a law of a family to a table, smoothed, and a roller on it. */
static dialarc_status surveying(void *survey)
{
    const dialarc_scca family = {0.25, 0.0, 0.75};
    const dialarc_follower follower = {40.0, 6.0};
    double angle[60], lift[60];
    dialarc_camtable *exact = NULL, *smooth = NULL;
    dialarc_cam lobe;
    dialarc_status status =
        dialarc_camtable_from_scca(&cam, &family, &family, 60, &exact);
    for (int i = 0; i < 60; i++)
        angle[i] = 360.0 / cam.lobes * i / 60.0;
    if (status == DIALARC_OK)
        status = dialarc_camtable_lift_array(exact, 60, angle, lift);
    if (status == DIALARC_OK)
        status =
            dialarc_camtable_smooth(60, angle, lift, 360.0 / cam.lobes, 0.001, &smooth);
    if (status == DIALARC_OK)
        status = dialarc_cam_from_table(smooth, &lobe);
    if (status == DIALARC_OK)
        status = dialarc_follower_survey_cam(&follower, &lobe, survey);
    dialarc_camtable_free(exact);
    dialarc_camtable_free(smooth);
    return status;
}

static double recording[PLUCK_CLEAR_N];

static dialarc_status listening(void *pluck)
{
    return dialarc_pluck_frequency(PLUCK_CLEAR_N, recording, PLUCK_CLEAR_N, 20.0, 600.0,
                                   pluck);
}

static dialarc_status asking(void *result)
{
    dialarc_whatif w;
    dialarc_setup shop = dialarc_setup_unknown(4);
    shop.lift_low_mm = 0.85;
    shop.lift_high_mm = 0.90;
    shop.cam_law = DIALARC_LAW_HARMONIC;
    shop.cam_lift_mm = 2.2;
    shop.rise_deg = 40.0;
    shop.top_dwell_deg = 0.0;
    shop.base_dwell_deg = 5.0;
    dialarc_status status = dialarc_whatif_from_setup(&shop, &w);
    return status ? status : dialarc_whatif_propagate(&w, 1000, 1, result);
}

static double itself(const double *x, void *context)
{
    (void)context;
    return x[0];
}

static dialarc_status propagating(void *value_and_sd)
{
    const dialarc_input input = {DIALARC_SHAPE_NORMAL, 1.0, 0.1, 0.0, 0.0};
    double *to = value_and_sd;
    return dialarc_propagate_linear(1, &input, itself, NULL, NULL, &to[0], &to[1]);
}

static dialarc_status smoothing(void *sd)
{
    double angle[24], lift[24];
    dialarc_camtable *table = NULL;
    for (int i = 0; i < 24; i++) {
        angle[i] = 3.75 * i;
        lift[i] = sin(angle[i] / 15.0) + 0.001 * (i * i % 7 - 3);
    }
    dialarc_status status = dialarc_camtable_smooth(24, angle, lift, 90.0, 0.002, &table);
    if (status == DIALARC_OK)
        status = dialarc_camtable_motion_sd(table, 21.0, sd);
    dialarc_camtable_free(table);
    return status;
}

static dialarc_status budgeting(void *propagated)
{
    const dialarc_input input = {DIALARC_SHAPE_NORMAL, 1.0, 0.1, 0.0, 0.0};
    const double whole = 1.0;
    return dialarc_propagate_budget(1, &input, &whole, itself, NULL, propagated);
}

static dialarc_status trying(void *adaptive)
{
    const dialarc_input input = {DIALARC_SHAPE_NORMAL, 1.0, 0.1, 0.0, 0.0};
    const double whole = 1.0;
    return dialarc_propagate_adaptive(1, &input, &whole, itself, NULL, 4, 30000, 1, 0.95,
                                      adaptive);
}

START_TEST(calculations)
{
    double value_and_sd[2];
    dialarc_camwear wear;
    dialarc_pluck pluck;
    dialarc_whatif_result outcome;
    dialarc_cam_motion sd;
    dialarc_propagated propagated;
    dialarc_adaptive adaptive;
    dialarc_follower_survey survey;
    pluck_simulate(&pluck_clear, PLUCK_CLEAR_N, recording);
    ck_assert_int_ge(memory_each_fails(comparing, &wear, sizeof wear), 7);
    ck_assert_int_ge(memory_each_fails(surveying, &survey, sizeof survey), 5);
    ck_assert_int_ge(memory_each_fails(listening, &pluck, sizeof pluck), 3);
    ck_assert_int_ge(memory_each_fails(asking, &outcome, sizeof outcome), 4);
    ck_assert_int_ge(memory_each_fails(propagating, value_and_sd, sizeof value_and_sd),
                     1);
    ck_assert_int_ge(memory_each_fails(smoothing, &sd, sizeof sd), 4);
    ck_assert_int_ge(memory_each_fails(budgeting, &propagated, sizeof propagated), 1);
    ck_assert_int_ge(memory_each_fails(trying, &adaptive, sizeof adaptive), 5);
}
END_TEST

/* --- tables ------------------------------------------------------------------ */

static char setups_file[64], sweeps_file[64], rounds_file[64];

/* A file of this process alone, for programs run at the same time. */
static FILE *opened(char *path, const char *name, const char *header)
{
    snprintf(path, 64, "memory_%s_%ld.csv", name, (long)getpid());
    FILE *file = fopen(path, "w");
    ck_assert_ptr_nonnull(file);
    fputs(header, file);
    return file;
}

/* Three files; the sweeps are those of the good sweep, its readings in the order taken.
 */
static void write_files(void)
{
    prepare(0);
    locale_t before = kit_point();
    FILE *file = opened(setups_file, "setups", "setup,lobes\n");
    for (int i = 0; i < 20; i++)
        fprintf(file, "e%d,4\n", i);
    fclose(file);
    file = opened(sweeps_file, "sweeps", "sweep,setup,crank_deg,dial_mm\n");
    for (int k = 0; k < 3; k++)
        for (size_t i = 0; i < readings.n; i++)
            fprintf(file, "s%d,e1,%.4f,%.4f\n", k, readings.crank_deg[i],
                    readings.dial_mm[i]);
    fclose(file);
    file = opened(rounds_file, "rounds", "job,setup,round,minimum_mm,tdc_mm,state\n");
    for (int i = 0; i < 80; i++)
        fprintf(file, "j%d,e2,1,0,1,loose\n", i / 4);
    fclose(file);
    kit_no_point(before);
}

static void remove_files(void)
{
    remove(setups_file);
    remove(sweeps_file);
    remove(rounds_file);
}

static dialarc_status loading(void *nothing)
{
    dialarc_setups *loaded = NULL;
    dialarc_sweeps *all = NULL;
    dialarc_jobs *jobs = NULL;
    dialarc_error error = {0};
    (void)nothing;
    dialarc_status status = dialarc_setups_load(setups_file, &loaded, &error);
    ck_assert_int_eq(loaded != NULL, status == DIALARC_OK);
    if (status == DIALARC_OK)
        status = dialarc_sweeps_load(sweeps_file, loaded, &all, &error);
    if (status == DIALARC_OK)
        status = dialarc_jobs_load(rounds_file, loaded, &jobs, &error);
    ck_assert_int_eq(jobs != NULL, status == DIALARC_OK);
    ck_assert_int_eq(error.status, status);
    dialarc_jobs_free(jobs);
    dialarc_sweeps_free(all);
    dialarc_setups_free(loaded);
    return status;
}

static void load_setups(void)
{
    write_files();
    ck_assert_int_eq(dialarc_setups_load(setups_file, &setups, NULL), DIALARC_OK);
}

START_TEST(tables)
{
    char nothing;
    write_files();
    ck_assert_int_ge(memory_each_fails(loading, &nothing, 0), 20);
    remove_files();
}
END_TEST

/* --- many sweeps ------------------------------------------------------------- */

#define MANY 3

static size_t threads;

/* A sweep without memory has the status alone; the others are as if nothing happened. */
static dialarc_status in_a_batch(void *nothing)
{
    static double crank[MANY * SIM_MAX], dial[MANY * SIM_MAX];
    size_t offset[MANY + 1] = {0}, n = readings.n;
    dialarc_batch_result result[MANY];
    (void)nothing;
    for (size_t k = 0; k < MANY; k++) {
        memcpy(crank + k * n, readings.crank_deg, n * sizeof *crank);
        memcpy(dial + k * n, readings.dial_mm, n * sizeof *dial);
        offset[k + 1] = (k + 1) * n;
    }
    const dialarc_batch batch = {.sweeps = MANY,
                                 .readings = MANY * n,
                                 .offset = offset,
                                 .crank_deg = crank,
                                 .dial_mm = dial,
                                 .setups = 1,
                                 .setup = &setup};
    const dialarc_batch_options options = {.threads = threads, .chunk = 1};
    memset(result, 0x5a, sizeof result);
    dialarc_status status = dialarc_batch_assess(&batch, &options, result);
    for (size_t k = 0; k < MANY; k++) {
        if (status != DIALARC_OK)
            ck_assert_int_eq(result[k].status, 0x5a5a5a5a);
        else if (result[k].status != DIALARC_OK)
            ck_assert(isnan(result[k].timing.lift_mm));
    }
    for (size_t k = 0; k < MANY && status == DIALARC_OK; k++)
        status = result[k].status;
    return status;
}

typedef struct taken {
    int count;
    dialarc_status worst;
} taken;

static int take(void *context, const dialarc_streamed *s)
{
    taken *t = context;
    t->count++;
    if (s->result->status < t->worst)
        t->worst = s->result->status;
    ck_assert_int_eq(s->row_length > 0, s->result->status >= DIALARC_OK);
    return 0;
}

static dialarc_status in_a_stream(void *nothing)
{
    FILE *file = fopen(sweeps_file, "rb");
    taken t = {0, DIALARC_OK};
    dialarc_error error = {0};
    (void)nothing;
    if (!file)
        return DIALARC_ERR_NO_MEMORY;
    dialarc_status status =
        dialarc_stream_assess(dialarc_read_file, file, setups, threads, take, &t, &error);
    fclose(file);
    ck_assert_int_eq(status, error.status);
    ck_assert(status != DIALARC_OK || t.count == MANY);
    return status != DIALARC_OK ? status : t.worst;
}

START_TEST(many_sweeps)
{
    char nothing;
    load_setups();
    prepare(1);
    threads = 1;
    ck_assert_int_ge(memory_each_fails(in_a_batch, &nothing, 0), 2);
    ck_assert_int_ge(memory_each_fails(in_a_stream, &nothing, 0), 6);
    dialarc_setups_free(setups);
    remove_files();
}
END_TEST

#ifndef MEMORY_FOREIGN /* the C library keeps what it made for a thread */
/* With helpers the same allocation need not fail each time, and one that starts a helper
 * costs only speed; so no more is asked than a plain answer and no leak. */
START_TEST(many_sweeps_with_helpers)
{
    load_setups();
    prepare(1);
    threads = 3;
    for (int failing = 0; failing < 40; failing++) {
        for (int k = 0; k < 2; k++) {
            memory_watch(failing);
            dialarc_status status = k ? in_a_stream(NULL) : in_a_batch(NULL);
            memory_ignore();
            ck_assert_int_eq(memory_living(), 0);
            ck_assert(status == DIALARC_OK || status == DIALARC_ERR_NO_MEMORY);
        }
    }
    dialarc_setups_free(setups);
    remove_files();
}
END_TEST
#endif

/* Whether an allocation fails when it should; under a sanitizer those of others do not.
 */
static int works(void)
{
    memory_watch(0);
    void *volatile probe = malloc(1);
    int reached = memory_ignore();
    free(probe);
    return reached;
}

int main(void)
{
    if (!works())
        return 77;
    Suite *suite = suite_create("memory");
    TCase *tc = tcase_create("every allocation fails");
    tcase_set_timeout(tc, 120.0);
    tcase_add_test(tc, estimates);
    tcase_add_test(tc, whole_turns);
    tcase_add_test(tc, calculations);
    tcase_add_test(tc, tables);
    tcase_add_test(tc, many_sweeps);
#ifndef MEMORY_FOREIGN
    tcase_add_test(tc, many_sweeps_with_helpers);
#endif
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
