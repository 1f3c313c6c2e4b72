/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The calls that are kept: those of the vectors for other languages, those of a host that
 * is not kind, and what neither makes. None is checked here.
 */
#include <stdlib.h>

#include "kit/every_call.h"
#include "kit/hostile_kit.h"
#include "kit/sweep_kit.h"
#include "whole/vectors.h"

/* Vectors without their table. */
void vector_known(const void *object, const char *name)
{
    (void)object;
    (void)name;
}
void vector_begin(const char *function, const char *checked_in)
{
    (void)function;
    (void)checked_in;
}
void vector_number(double number)
{
    (void)number;
}
void vector_whole(long whole)
{
    (void)whole;
}
void vector_object(const void *object)
{
    (void)object;
}
void vector_words(const char *words)
{
    (void)words;
}
void vector_numbers(size_t n, const double *number)
{
    (void)n;
    (void)number;
}
void vector_must(dialarc_status status)
{
    if (status != DIALARC_OK)
        abort();
}
void vector_put(const char *path, double value)
{
    (void)path;
    (void)value;
}
void vector_put_all(const char *path, size_t n, const double *value)
{
    (void)path;
    (void)n;
    (void)value;
}
void vector_keep(const void *object, const char *name)
{
    (void)object;
    (void)name;
}
void vector_set(const char *name, const char *field, double value)
{
    (void)name;
    (void)field;
    (void)value;
}

#define READINGS 12

/* Setups, a batch and a cam that is used again. */
static void others(void)
{
    static const dialarc_cam cam = {.lobes = 4,
                                    .lift_mm = 2.2,
                                    .rise_deg = 38.0,
                                    .top_dwell_deg = 4.0,
                                    .base_dwell_deg = 12.0,
                                    .law = DIALARC_LAW_POLY345};
    static double crank_deg[READINGS], dial_mm[READINGS], residual_mm[READINGS];
    static const size_t offset[] = {0, READINGS}, index[] = {0};
    static dialarc_setup setup;
    dialarc_sweep sweep = {READINGS, crank_deg, dial_mm, NULL};
    dialarc_batch batch = {1,    READINGS, offset, crank_deg, dial_mm,
                           NULL, 1,        &setup, index};
    dialarc_batch_options options = {.threads = 1, .chunk = 1};
    dialarc_batch_result result;
    dialarc_camtable *table = NULL;
    dialarc_timing timing;
    setup = dialarc_setup_unknown(4);
    setup.cam_law = cam.law;
    setup.cam_lift_mm = cam.lift_mm;
    setup.rise_deg = cam.rise_deg;
    setup.top_dwell_deg = cam.top_dwell_deg;
    setup.base_dwell_deg = cam.base_dwell_deg;
    setup.lift_low_mm = 0.87;
    setup.lift_high_mm = 0.91;
    for (int i = 0; i < READINGS; i++) {
        crank_deg[i] = 8.0 * i - 60.0;
        vector_must(dialarc_cam_lift(&cam, 18.0 + crank_deg[i] / 2.0, &dial_mm[i]));
    }
    dialarc_workspace *workspace = dialarc_workspace_new();
    dialarc_setup_check(&setup);
    dialarc_setup_cam_known(&setup);
    dialarc_batch_assess(&batch, &options, &result);
    vector_must(dialarc_camtable_from_cam(&cam, 90, &table));
    dialarc_reuse_estimate(workspace, &setup, table, 0.003, &sweep, residual_mm, &timing);
}

void every_prepare(void)
{
    static hostile_notes notes;
    vectors_words();
    vectors_cam();
    vectors_engine();
    vectors_dial();
    vectors_trust();
    vectors_flow();
    vectors_belt();
    vectors_setting();
    hostile_prepare();
    for (int task = 0; task < hostile_tasks; task++)
        hostile_do(task, &notes);
    others();
}
