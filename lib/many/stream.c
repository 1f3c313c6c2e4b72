/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Blocks of sweeps go round in a ring. The calling thread reads them and hands them over
 * in order, and assesses one itself when the ring is full; the helpers assess.
 */
#include "many/stream.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "many/batch.h"
#include "many/threads.h"
#include "table/table.h"
#include "table/table_sweeps.h"

/* A block that holds so many readings gets no further sweep. */
#define BLOCK_READINGS 16384

/* A sweep whose cam is learned takes as long as many whose cam is known: fewer of them
 * make a block, so that threads share the work evenly and a caller who stops is heard
 * soon. */
#define LEARNED_WORK (DARC_BLOCK_SWEEPS / 2)

/* Blocks for each thread: one in work, one waiting, one finished ahead of its turn. */
#define BLOCKS_PER_THREAD 3

/* One sweep of a block. */
typedef struct item {
    char name[DIALARC_NAME_SIZE];
    dialarc_sweep_record record;
    dialarc_batch_result result;
    double *residual_mm; /* in the block */
    size_t row_length;
    char row[DIALARC_RESULT_SIZE];
} item;

typedef struct block {
    dialarc_sweep_buffer *buffer; /* the readings of all its sweeps */
    double *residual_mm;          /* one for each of them */
    size_t residuals;             /* for which there is room */
    item *item;
    size_t count;
    bool assessed;
} block;

typedef struct stream {
    dialarc_sweep_reader *reader;
    dialarc_take take;
    void *take_context;
    size_t block_sweeps;
    block *ring;
    size_t blocks;
    /* Guarded by the monitor. Blocks are counted from 0; block i lies in ring[i %
     * blocks]; handed <= taken <= filled <= handed + blocks. */
    darc_monitor monitor;
    size_t filled, taken, handed;
    bool over; /* helpers go home */
} stream;

static block *at(const stream *s, size_t number)
{
    return &s->ring[number % s->blocks];
}

static void assess(const block *b, dialarc_workspace *workspace)
{
    for (size_t i = 0; i < b->count; i++) {
        item *it = &b->item[i];
        dialarc_batch_result *a = &it->result;
        darc_result_assess(workspace, &it->record.setup, &it->record.sweep,
                           it->residual_mm, a);
        it->row_length = 0;
        it->row[0] = '\0';
        if (a->status >= DIALARC_OK)
            dialarc_result_format(it->name, &a->timing, &a->decision, it->row,
                                  sizeof it->row, &it->row_length);
    }
}

/* Gives the sweeps of a full block, which begin at `start`, their arrays. */
static bool place(const stream *s, block *b, const size_t *start)
{
    if (b->buffer->n > b->residuals) {
        double *room = realloc(b->residual_mm, b->buffer->capacity * sizeof *room);
        if (!room)
            return false;
        b->residual_mm = room;
        b->residuals = b->buffer->capacity;
    }
    for (size_t i = 0; i < b->count; i++) {
        darc_sweep_place(s->reader, b->buffer, start[i], &b->item[i].record);
        b->item[i].residual_mm = b->residual_mm + start[i];
    }
    return true;
}

/* Reads a block; *more becomes false at the end of the table. Whatever the status, the
 * sweeps before the fault are in the block. */
static dialarc_status fill(stream *s, block *b, bool *more, dialarc_error *error)
{
    dialarc_status status = DIALARC_OK;
    size_t start[DARC_BLOCK_SWEEPS], work = 0;
    b->count = 0;
    b->buffer->n = 0;
    b->assessed = false;
    while (b->count < s->block_sweeps && work < DARC_BLOCK_SWEEPS &&
           b->buffer->n < BLOCK_READINGS) {
        item *it = &b->item[b->count];
        start[b->count] = b->buffer->n;
        status = darc_sweep_append(s->reader, b->buffer, &it->record, error);
        *more = status == DIALARC_OK && it->record.name;
        if (!*more)
            break;
        strcpy(it->name, b->buffer->name);
        it->record.name = it->name;
        work += dialarc_setup_cam_known(&it->record.setup) ? 1 : LEARNED_WORK;
        b->count++;
    }
    if (place(s, b, start))
        return status;
    b->count = 0;
    *more = false;
    return darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
}

static bool hand_over(const stream *s, const block *b)
{
    for (size_t i = 0; i < b->count; i++) {
        const item *it = &b->item[i];
        const dialarc_streamed streamed = {&it->record, &it->result, it->row,
                                           it->row_length, it->residual_mm};
        if (s->take(s->take_context, &streamed))
            return false;
    }
    return true;
}

/* Assesses the next block that waits; called and left with the monitor locked. */
static void assess_next(stream *s, dialarc_workspace *workspace)
{
    block *b = at(s, s->taken++);
    darc_unlock(&s->monitor);
    assess(b, workspace);
    darc_lock(&s->monitor);
    b->assessed = true;
    darc_tell(&s->monitor);
}

static void *help(void *context)
{
    stream *s = context;
    dialarc_workspace *workspace = dialarc_workspace_new();
    darc_lock(&s->monitor);
    while (workspace && !s->over)
        if (s->taken < s->filled)
            assess_next(s, workspace);
        else
            darc_wait(&s->monitor);
    darc_unlock(&s->monitor);
    dialarc_workspace_free(workspace);
    return NULL;
}

/* What the calling thread does, the most urgent first: hand over, read, assess, wait. */
static dialarc_status conduct(stream *s, dialarc_workspace *workspace,
                              dialarc_error *error)
{
    dialarc_status status = DIALARC_OK;
    bool more = true, wanted = true;
    darc_lock(&s->monitor);
    while (wanted && (more || s->handed < s->filled)) {
        block *first = at(s, s->handed);
        if (s->handed < s->filled && first->assessed) {
            darc_unlock(&s->monitor);
            wanted = hand_over(s, first);
            darc_lock(&s->monitor);
            s->handed++;
        } else if (more && s->filled - s->handed < s->blocks) {
            block *next = at(s, s->filled);
            darc_unlock(&s->monitor);
            status = fill(s, next, &more, error);
            darc_lock(&s->monitor);
            s->filled++;
            darc_tell(&s->monitor);
        } else if (s->taken < s->filled) {
            assess_next(s, workspace);
        } else {
            darc_wait(&s->monitor);
        }
    }
    s->over = true;
    darc_tell(&s->monitor);
    darc_unlock(&s->monitor);
    return wanted ? status : DIALARC_ERR_CANCELLED;
}

static bool make_ring(stream *s, size_t blocks)
{
    s->ring = calloc(blocks, sizeof *s->ring);
    for (; s->ring && s->blocks < blocks; s->blocks++) {
        block *b = &s->ring[s->blocks];
        b->buffer = dialarc_sweep_buffer_new();
        b->item = malloc(s->block_sweeps * sizeof *b->item);
        if (!b->buffer || !b->item) {
            s->blocks++; /* this one too has to be freed */
            return false;
        }
    }
    return s->ring != NULL;
}

static void free_ring(stream *s)
{
    for (size_t i = 0; i < s->blocks; i++) {
        dialarc_sweep_buffer_free(s->ring[i].buffer);
        free(s->ring[i].residual_mm);
        free(s->ring[i].item);
    }
    free(s->ring);
}

dialarc_status darc_stream_run(dialarc_read read, void *read_context,
                               const dialarc_setups *setups, size_t threads,
                               size_t block_sweeps, dialarc_take take, void *take_context,
                               dialarc_error *error)
{
    stream s = {.take = take, .take_context = take_context, .block_sweeps = block_sweeps};
    dialarc_status status =
        dialarc_sweep_reader_new(read, read_context, setups, &s.reader, error);
    if (status != DIALARC_OK)
        return status;
    threads = darc_threads_wanted(threads);
    dialarc_workspace *workspace = dialarc_workspace_new();
    bool ready = make_ring(&s, threads > 1 ? BLOCKS_PER_THREAD * threads : 1) &&
                 workspace && darc_monitor_open(&s.monitor);
    if (ready) {
        darc_crew crew;
        darc_crew_start(&crew, threads - 1, help, &s);
        status = conduct(&s, workspace, error);
        darc_crew_join(&crew);
        darc_monitor_close(&s.monitor);
    } else {
        status = darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
    }
    free_ring(&s);
    dialarc_workspace_free(workspace);
    dialarc_sweep_reader_free(s.reader);
    return status;
}

dialarc_status dialarc_stream_assess(dialarc_read read, void *read_context,
                                     const dialarc_setups *setups, size_t threads,
                                     dialarc_take take, void *take_context,
                                     dialarc_error *error)
{
    if (!read || !setups || !take)
        return DIALARC_ERR_NULL;
    return darc_stream_run(read, read_context, setups, threads, DARC_BLOCK_SWEEPS, take,
                           take_context, error);
}
