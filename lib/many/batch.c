/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "many/batch.h"

#include <stdbool.h>

#include <dialarc/assess.h>

#include "decision/decision.h"
#include "estimate/timing.h"
#include "many/threads.h"

/* Long enough to make the lock cheap, short enough to hear of a cancellation soon. */
#define USUAL_CHUNK 8

/* The work that the threads share. */
typedef struct pool {
    const dialarc_batch *batch;
    const dialarc_batch_options *options;
    dialarc_batch_result *result;
    size_t chunk;
    darc_monitor monitor; /* guards what follows */
    size_t next;          /* sweep that nobody has taken yet */
    size_t done;
    bool stopped;
} pool;

void darc_result_fail(dialarc_batch_result *result, dialarc_status status)
{
    result->status = status;
    darc_timing_clear(&result->timing);
    darc_decision_clear(&result->decision, DIALARC_VERDICT_NONE);
}

void darc_result_assess(dialarc_workspace *workspace, const dialarc_setup *setup,
                        const dialarc_sweep *sweep, double *residual_mm,
                        dialarc_batch_result *result)
{
    dialarc_status status = dialarc_assess(workspace, setup, sweep, residual_mm,
                                           &result->timing, &result->decision);
    if (status < DIALARC_OK)
        darc_result_fail(result, status);
    else
        result->status = status;
}

static void assess_one(const dialarc_batch *b, size_t i, dialarc_workspace *workspace,
                       dialarc_batch_result *result)
{
    size_t from = b->offset[i], to = b->offset[i + 1];
    size_t setup = b->setup_index ? b->setup_index[i] : 0;
    if (from > to || to > b->readings || setup >= b->setups) {
        darc_result_fail(result, DIALARC_ERR_BATCH);
        return;
    }
    const dialarc_sweep sweep = {to - from, b->crank_deg ? b->crank_deg + from : NULL,
                                 b->dial_mm ? b->dial_mm + from : NULL,
                                 b->direction ? b->direction + from : NULL};
    darc_result_assess(workspace, &b->setup[setup], &sweep, NULL, result);
}

/* Takes the next share; false when there is none, or the work has been stopped. */
static bool take(pool *p, size_t *from, size_t *to)
{
    size_t n = p->batch->sweeps;
    darc_lock(&p->monitor);
    bool some = !p->stopped && p->next < n;
    if (some) {
        *from = p->next;
        *to = n - *from < p->chunk ? n : *from + p->chunk;
        p->next = *to;
    }
    darc_unlock(&p->monitor);
    return some;
}

/* Counts a share as done, and lets the caller's progress hear of it; the last call is
 * left to the end of the work. */
static void finish(pool *p, size_t count, bool calling)
{
    dialarc_progress progress = calling ? p->options->progress : NULL;
    darc_lock(&p->monitor);
    p->done += count;
    size_t done = p->done;
    darc_unlock(&p->monitor);
    if (!progress || done == p->batch->sweeps ||
        progress(p->options->context, done, p->batch->sweeps) == 0)
        return;
    darc_lock(&p->monitor);
    p->stopped = true;
    darc_unlock(&p->monitor);
}

static void work(pool *p, dialarc_workspace *workspace, bool calling)
{
    size_t from, to;
    while (take(p, &from, &to)) {
        for (size_t i = from; i < to; i++)
            assess_one(p->batch, i, workspace, &p->result[i]);
        finish(p, to - from, calling);
    }
}

/* A helper without memory leaves the work to the others. */
static void *help(void *context)
{
    dialarc_workspace *workspace = dialarc_workspace_new();
    if (workspace)
        work(context, workspace, false);
    dialarc_workspace_free(workspace);
    return NULL;
}

static dialarc_status run(pool *p, dialarc_workspace *workspace)
{
    size_t n = p->batch->sweeps, shares = n / p->chunk + (n % p->chunk != 0);
    size_t threads = darc_threads_wanted(p->options->threads);
    darc_crew crew;
    darc_crew_start(&crew, (threads < shares ? threads : shares) - 1, help, p);
    work(p, workspace, true);
    darc_crew_join(&crew);
    for (size_t i = p->next; i < n; i++)
        darc_result_fail(&p->result[i], DIALARC_ERR_CANCELLED);
    if (p->next < n)
        return DIALARC_ERR_CANCELLED;
    if (p->options->progress)
        p->options->progress(p->options->context, n, n);
    return DIALARC_OK;
}

dialarc_status dialarc_batch_assess(const dialarc_batch *batch,
                                    const dialarc_batch_options *options,
                                    dialarc_batch_result *result)
{
    static const dialarc_batch_options usual = {0};
    if (!batch || (batch->sweeps && (!batch->offset || !result)) ||
        (batch->readings && (!batch->crank_deg || !batch->dial_mm)) ||
        (batch->setups && !batch->setup))
        return DIALARC_ERR_NULL;
    if (batch->sweeps == 0)
        return DIALARC_OK;
    pool p = {.batch = batch, .options = options ? options : &usual, .result = result};
    p.chunk = p.options->chunk ? p.options->chunk : USUAL_CHUNK;
    dialarc_workspace *workspace = dialarc_workspace_new();
    if (!workspace || !darc_monitor_open(&p.monitor)) {
        dialarc_workspace_free(workspace);
        return DIALARC_ERR_NO_MEMORY;
    }
    dialarc_status status = run(&p, workspace);
    darc_monitor_close(&p.monitor);
    dialarc_workspace_free(workspace);
    return status;
}
