/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Simulated sweeps in flat form, and comparison of results byte by byte.
 */
#ifndef BATCH_KIT_H
#define BATCH_KIT_H

#include <dialarc/batch.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/sweep_kit.h"

#define KIT_SWEEPS 1000

/* Each sweep has a setup of its own, put in the order from last to first. */
typedef struct kit_archive {
    dialarc_batch batch;
    size_t offset[KIT_SWEEPS + 1], setup_index[KIT_SWEEPS];
    dialarc_setup setup[KIT_SWEEPS];
    double *crank_deg, *dial_mm;
    dialarc_direction *direction;
} kit_archive;

/* n sweeps of all kinds; every `learned`th one has a cam that is not known (0: none). */
static inline kit_archive *kit_archive_new(size_t n, size_t learned, uint64_t seed)
{
    kit_archive *a = calloc(1, sizeof *a);
    sim_sweep *s = malloc(sizeof *s);
    size_t room = (n + 1) * 1000;
    sim_random r;
    sim_seed(&r, seed);
    a->crank_deg = malloc(room * sizeof(double));
    a->dial_mm = malloc(room * sizeof(double));
    a->direction = calloc(room, sizeof *a->direction);
    for (size_t i = 0; i < n; i++) {
        sim_job job = kit_job(&r);
        job.misread_share = i % 3 == 0 ? 0.08 : 0.0;
        job.two_way = i % 5 != 0;
        if (i % 7 == 0)
            kit_few(&job, &r);
        sim_run(&job, &r, s);
        size_t from = a->offset[i];
        ck_assert_uint_le(from + s->n, room);
        memcpy(a->crank_deg + from, s->crank_deg, s->n * sizeof(double));
        memcpy(a->dial_mm + from, s->dial_mm, s->n * sizeof(double));
        a->offset[i + 1] = from + s->n;
        a->setup_index[i] = n - 1 - i;
        dialarc_setup *setup = &a->setup[n - 1 - i];
        *setup = kit_setup(&job, !(learned && i % learned == 0));
        setup->lift_low_mm = 0.85;
        setup->lift_high_mm = 0.95 + 0.1 * (double)(i % 4);
    }
    free(s);
    a->batch = (dialarc_batch){.sweeps = n,
                               .readings = a->offset[n],
                               .offset = a->offset,
                               .crank_deg = a->crank_deg,
                               .dial_mm = a->dial_mm,
                               .direction = a->direction,
                               .setups = n,
                               .setup = a->setup,
                               .setup_index = a->setup_index};
    return a;
}

static inline void kit_archive_free(kit_archive *a)
{
    free(a->crank_deg);
    free(a->dial_mm);
    free(a->direction);
    free(a);
}

static inline dialarc_sweep kit_archive_sweep(const kit_archive *a, size_t i)
{
    size_t from = a->offset[i];
    return (dialarc_sweep){a->offset[i + 1] - from, a->crank_deg + from,
                           a->dial_mm + from, NULL};
}

/* Bytes of fields that are not of one kind; padding between fields is nobody's. */
#define KIT_SAME(field)                                                                  \
    ck_assert_msg(memcmp(&a->field, &b->field, sizeof a->field) == 0, "sweep %zu: %s",   \
                  which, #field)

static inline void kit_same_result(const dialarc_batch_result *a,
                                   const dialarc_batch_result *b, size_t which)
{
    size_t numbers = offsetof(dialarc_timing, law);
    ck_assert_msg(memcmp(&a->timing, &b->timing, numbers) == 0, "sweep %zu: timing",
                  which);
    KIT_SAME(status);
    KIT_SAME(timing.law);
    KIT_SAME(timing.law_probability);
    KIT_SAME(timing.cam_learned);
    KIT_SAME(timing.scatter);
    KIT_SAME(timing.readings_used);
    KIT_SAME(timing.readings_rejected);
    KIT_SAME(timing.findings.present);
    KIT_SAME(timing.findings.severity);
    KIT_SAME(timing.findings.row);
    KIT_SAME(decision.verdict);
    KIT_SAME(decision.probability_in);
    KIT_SAME(decision.probability_low);
    KIT_SAME(decision.probability_high);
    KIT_SAME(decision.advance_error_crank_deg);
    KIT_SAME(decision.turn_pump_deg);
    KIT_SAME(decision.turn_rim_mm);
    KIT_SAME(decision.turn_teeth);
    KIT_SAME(decision.turn_rotation);
    KIT_SAME(decision.aim_mm);
    KIT_SAME(decision.aim_probability_in);
}

#undef KIT_SAME

#endif
