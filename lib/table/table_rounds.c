/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/table_rounds.h>

#include <stdlib.h>
#include <string.h>

#include "table/table_field.h"
#include "table/table_group.h"

#define ROUND_MOST 1000000

enum { ROUND = DARC_GROUP_SLOTS, MINIMUM_MM, TDC_MM, STATE, SLOTS };

static const char *const columns[SLOTS] = {"job",        "setup",  "round",
                                           "minimum_mm", "tdc_mm", "state"};

/* A job and its name; the pointers of the job are set when all rounds have been read. */
typedef struct entry {
    dialarc_job job;
    size_t first; /* its first round */
    char name[DIALARC_NAME_SIZE];
} entry;

struct dialarc_jobs {
    entry *entry;
    size_t count, entries;
    dialarc_round *round; /* of all jobs */
    size_t *line;
    size_t n, rounds;
};

/* Why not by a function shared with other tables: see table_cams.c. */
static bool room_for_job(dialarc_jobs *jobs)
{
    if (jobs->count < jobs->entries)
        return true;
    size_t entries = jobs->entries ? 2 * jobs->entries : 8;
    entry *more = realloc(jobs->entry, entries * sizeof *more);
    if (!more)
        return false;
    jobs->entry = more;
    jobs->entries = entries;
    return true;
}

static bool room_for_round(dialarc_jobs *jobs)
{
    if (jobs->n < jobs->rounds)
        return true;
    size_t rounds = jobs->rounds ? 2 * jobs->rounds : 32;
    dialarc_round *more = realloc(jobs->round, rounds * sizeof *more);
    if (more)
        jobs->round = more;
    size_t *lines = more ? realloc(jobs->line, rounds * sizeof *lines) : NULL;
    if (!lines)
        return false;
    jobs->line = lines;
    jobs->rounds = rounds;
    return true;
}

static dialarc_status read_state(const darc_csv *csv, int *tight, dialarc_error *error)
{
    static const char *const words[] = {"loose", "tight"};
    dialarc_status status =
        darc_field_word(csv, STATE, words, 2, DIALARC_ERR_TABLE, tight, error);
    if (status == DIALARC_OK && *tight < 0)
        return darc_csv_fail(csv, STATE, DIALARC_ERR_TABLE, error,
                             "the field is blank: it must be loose or tight");
    return status;
}

/* The number of the round, which none after it may be below. */
static dialarc_status read_number(darc_csv *csv, int before, int *round,
                                  dialarc_error *error)
{
    double number;
    dialarc_status status = darc_field_needed(csv, ROUND, &number, error);
    if (status == DIALARC_OK)
        status = darc_field_whole(csv, ROUND, 1, ROUND_MOST, 0, DIALARC_ERR_TABLE, round,
                                  error);
    if (status == DIALARC_OK && *round < before)
        return darc_csv_fail(csv, ROUND, DIALARC_ERR_ORDER, error,
                             "round %d comes after round %d: rows stand in the order of "
                             "the work",
                             *round, before);
    return status;
}

/* Appends the current row to the job. All its fields are read, whatever is wrong with
 * one; the status is that of the first fault. */
static dialarc_status read_round(darc_csv *csv, dialarc_jobs *jobs, entry *e,
                                 dialarc_error *error)
{
    if (!room_for_round(jobs))
        return darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
    dialarc_round *round = &jobs->round[jobs->n];
    int before = e->job.n ? round[-1].round : 1;
    dialarc_status status = read_number(csv, before, &round->round, error);
    status =
        darc_first(status, darc_field_needed(csv, MINIMUM_MM, &round->minimum_mm, error));
    status = darc_first(status, darc_field_needed(csv, TDC_MM, &round->tdc_mm, error));
    status = darc_first(status, read_state(csv, &round->tight, error));
    if (status != DIALARC_OK)
        return status;
    jobs->line[jobs->n] = csv->line;
    jobs->n++;
    e->job.n++;
    return DIALARC_OK;
}

static dialarc_status read_job(darc_group *group, dialarc_jobs *jobs,
                               dialarc_error *error)
{
    if (!room_for_job(jobs))
        return darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
    entry *e = &jobs->entry[jobs->count++];
    *e = (entry){.first = jobs->n};
    memcpy(e->name, group->name, group->name_length + 1);
    e->job.setup_index = group->setup;
    e->job.setup = *dialarc_setups_get(group->setups, group->setup);
    for (bool more = true; more;) {
        dialarc_status status =
            darc_csv_pass(&group->csv, read_round(&group->csv, jobs, e, error), error);
        if (status == DIALARC_OK)
            status = darc_group_row(group, &more, error);
        if (status != DIALARC_OK)
            return status;
    }
    return DIALARC_OK;
}

static dialarc_status read_all(darc_group *group, dialarc_jobs *jobs,
                               dialarc_error *error)
{
    dialarc_status status = darc_csv_require(&group->csv, ROUND, SLOTS, error);
    for (bool more = true; more && status == DIALARC_OK;) {
        status = darc_group_next(group, &more, error);
        if (status == DIALARC_OK && more)
            status = read_job(group, jobs, error);
    }
    status = darc_first(group->csv.refused, status);
    if (status != DIALARC_OK)
        return status;
    for (size_t i = 0; i < jobs->count; i++) {
        entry *e = &jobs->entry[i];
        e->job.name = e->name;
        e->job.round = jobs->round + e->first;
        e->job.line = jobs->line + e->first;
    }
    return DIALARC_OK;
}

dialarc_status dialarc_jobs_read(dialarc_read read, void *context,
                                 const dialarc_setups *setups, dialarc_jobs **jobs,
                                 dialarc_error *error)
{
    if (!read || !setups || !jobs)
        return DIALARC_ERR_NULL;
    dialarc_jobs *made = calloc(1, sizeof *made);
    if (!made)
        return darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
    darc_group group;
    dialarc_status status =
        darc_group_open(&group, read, context, setups, columns, SLOTS, error);
    if (status == DIALARC_OK)
        status = read_all(&group, made, error);
    darc_group_close(&group);
    if (status == DIALARC_OK)
        *jobs = made;
    else
        dialarc_jobs_free(made);
    return status;
}

/* What dialarc_jobs_load() asks of the open file. */
typedef struct loading {
    const dialarc_setups *setups;
    dialarc_jobs **jobs;
} loading;

static dialarc_status use_file(void *file, void *job, dialarc_error *error)
{
    const loading *wanted = job;
    return dialarc_jobs_read(dialarc_read_file, file, wanted->setups, wanted->jobs,
                             error);
}

dialarc_status dialarc_jobs_load(const char *path, const dialarc_setups *setups,
                                 dialarc_jobs **jobs, dialarc_error *error)
{
    if (!path || !setups || !jobs)
        return DIALARC_ERR_NULL;
    loading wanted = {setups, jobs};
    return darc_load(path, use_file, &wanted, error);
}

void dialarc_jobs_free(dialarc_jobs *jobs)
{
    if (!jobs)
        return;
    free(jobs->entry);
    free(jobs->round);
    free(jobs->line);
    free(jobs);
}

size_t dialarc_jobs_count(const dialarc_jobs *jobs)
{
    return jobs ? jobs->count : 0;
}

const dialarc_job *dialarc_jobs_get(const dialarc_jobs *jobs, size_t index)
{
    return index < dialarc_jobs_count(jobs) ? &jobs->entry[index].job : NULL;
}
