/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/table_sweeps.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <dialarc/units.h>

#include "record/known.h"
#include "table/table_field.h"
#include "table/table_group.h"
#include "table/table_sweeps.h"

enum { CRANK_DEG = DARC_GROUP_SLOTS, PUMP_DEG, DIAL_MM, DIAL_IN, DIRECTION, SLOTS };

static const char *const columns[SLOTS] = {"sweep",   "setup",   "crank_deg", "pump_deg",
                                           "dial_mm", "dial_in", "direction"};

struct dialarc_sweep_reader {
    darc_group group;
    dialarc_status status; /* of the first failure, after which nothing is read */
};

dialarc_sweep_buffer *dialarc_sweep_buffer_new(void)
{
    return calloc(1, sizeof(dialarc_sweep_buffer));
}

void dialarc_sweep_buffer_free(dialarc_sweep_buffer *buffer)
{
    if (!buffer)
        return;
    free(buffer->crank_deg);
    free(buffer->dial_mm);
    free(buffer->direction);
    free(buffer->line);
    free(buffer);
}

/* Why not by a function shared with other tables: see table_cams.c. */
static bool resize(void **array, size_t count, size_t size)
{
    void *more = realloc(*array, count * size);
    if (more)
        *array = more;
    return more != NULL;
}

static bool make_room(dialarc_sweep_buffer *b)
{
    if (b->n < b->capacity)
        return true;
    size_t capacity = b->capacity ? 2 * b->capacity : 256;
    void *array[] = {b->crank_deg, b->dial_mm, b->direction, b->line};
    bool enough = resize(&array[0], capacity, sizeof *b->crank_deg) &&
                  resize(&array[1], capacity, sizeof *b->dial_mm) &&
                  resize(&array[2], capacity, sizeof *b->direction) &&
                  resize(&array[3], capacity, sizeof *b->line);
    b->crank_deg = array[0]; /* those that grew have moved, whether all did or not */
    b->dial_mm = array[1];
    b->direction = array[2];
    b->line = array[3];
    if (enough)
        b->capacity = capacity;
    return enough;
}

/* The value of two columns of which one, and only one, must be filled. */
static dialarc_status read_either(darc_csv *csv, int slot, int other, double *value,
                                  int *which, dialarc_error *error)
{
    if (!csv->column[slot] || !csv->column[other]) {
        *which = csv->column[slot] ? slot : other;
        return darc_field_needed(csv, *which, value, error);
    }
    double second;
    dialarc_status status = darc_field_number(csv, slot, value, error);
    if (status == DIALARC_OK)
        status = darc_field_number(csv, other, &second, error);
    if (status != DIALARC_OK)
        return status;
    *which = isnan(*value) ? other : slot;
    if (isnan(*value) && isnan(second))
        return darc_csv_fail(csv, slot, DIALARC_ERR_TABLE, error,
                             "%s and %s are both blank: one is needed", csv->name[slot],
                             csv->name[other]);
    if (!isnan(*value) && !isnan(second))
        return darc_csv_fail(csv, slot, DIALARC_ERR_TABLE, error,
                             "%s and %s are both given: only one may be", csv->name[slot],
                             csv->name[other]);
    if (*which == other)
        *value = second;
    return DIALARC_OK;
}

static dialarc_status read_direction(const darc_csv *csv, dialarc_direction *direction,
                                     dialarc_error *error)
{
    static const char *const words[] = {"with", "against"};
    static const dialarc_direction values[] = {
        DIALARC_DIRECTION_UNKNOWN, DIALARC_DIRECTION_WITH, DIALARC_DIRECTION_AGAINST};
    int which = -1;
    dialarc_status status =
        darc_field_word(csv, DIRECTION, words, 2, DIALARC_ERR_DIRECTION, &which, error);
    *direction = values[which + 1];
    return status;
}

/* The angle of the current row. The first one of a sweep decides its column. */
static dialarc_status read_angle(darc_csv *csv, bool first, double *angle,
                                 int *angle_column, dialarc_error *error)
{
    int column;
    dialarc_status status = read_either(csv, CRANK_DEG, PUMP_DEG, angle, &column, error);
    if (status == DIALARC_OK && !first && column != *angle_column)
        return darc_csv_fail(csv, column, DIALARC_ERR_TABLE, error,
                             "the sweep began with %s: it must keep to that column",
                             csv->name[*angle_column]);
    if (status == DIALARC_OK)
        *angle_column = column;
    return status;
}

static dialarc_status read_dial(darc_csv *csv, double *dial_mm, dialarc_error *error)
{
    int column;
    dialarc_status status = read_either(csv, DIAL_MM, DIAL_IN, dial_mm, &column, error);
    if (status == DIALARC_OK && column == DIAL_IN)
        *dial_mm *= DIALARC_MM_PER_IN;
    return status;
}

/* Appends the current row to the sweep that begins at `start`. All its fields are read,
 * whatever is wrong with one; the status is that of the first fault. */
static dialarc_status read_reading(darc_csv *csv, dialarc_sweep_buffer *b, size_t start,
                                   int *angle_column, dialarc_error *error)
{
    if (b->n - start == DIALARC_SWEEP_MAX)
        return darc_csv_fail(csv, DARC_GROUP_NAME, DIALARC_ERR_SIZE, error,
                             "the sweep has more than %d readings", DIALARC_SWEEP_MAX);
    double angle, dial_mm;
    dialarc_direction direction = DIALARC_DIRECTION_UNKNOWN;
    dialarc_status status = read_angle(csv, b->n == start, &angle, angle_column, error);
    status = darc_first(status, read_dial(csv, &dial_mm, error));
    if (csv->column[DIRECTION])
        status = darc_first(status, read_direction(csv, &direction, error));
    if (status != DIALARC_OK)
        return status;
    if (!make_room(b))
        return darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
    b->crank_deg[b->n] = angle;
    b->dial_mm[b->n] = dial_mm;
    b->direction[b->n] = direction;
    b->line[b->n++] = csv->line;
    return DIALARC_OK;
}

/* A wheel on the pump: angles and their uncertainty become crank degrees. */
static void to_crank(dialarc_sweep_buffer *b, size_t start, dialarc_setup *setup)
{
    const darc_known known = darc_known_of(setup);
    double ratio = known.crank_per_pump;
    for (size_t i = start; i < b->n; i++)
        b->crank_deg[i] *= ratio;
    setup->angle_sd_deg = ratio * known.noise.angle_sd_deg;
    setup->wheel_error_deg = ratio * known.noise.wheel_error_deg;
}

/* Appends the readings of the group that begins with the current row. */
static dialarc_status read_sweep(darc_group *group, dialarc_sweep_buffer *b,
                                 int *angle_column, dialarc_error *error)
{
    size_t start = b->n;
    for (bool more = true; more;) {
        dialarc_status status = read_reading(&group->csv, b, start, angle_column, error);
        if (status != DIALARC_OK)
            b->n = start; /* none of it will be used */
        status = darc_csv_pass(&group->csv, status, error);
        if (status == DIALARC_OK)
            status = darc_group_row(group, &more, error);
        if (status != DIALARC_OK)
            return status;
    }
    return DIALARC_OK;
}

/* Goes to the next sweep and appends it. Where reading goes on after a fault, all further
 * sweeps are read for their faults, and none is used. */
static dialarc_status append(dialarc_sweep_reader *reader, dialarc_sweep_buffer *b,
                             dialarc_sweep_record *record, dialarc_error *error)
{
    darc_group *group = &reader->group;
    size_t start = b->n, row;
    int angle_column;
    bool more;
    do {
        b->n = start;
        angle_column = CRANK_DEG;
        dialarc_status status = darc_group_next(group, &more, error);
        row = group->csv.row;
        if (status == DIALARC_OK && more)
            status = read_sweep(group, b, &angle_column, error);
        if (status != DIALARC_OK)
            return darc_first(group->csv.refused, status);
    } while (more && group->csv.refused != DIALARC_OK);
    *record = (dialarc_sweep_record){.row = row};
    if (!more)
        return group->csv.refused;
    memcpy(b->name, group->name, group->name_length + 1);
    record->name = b->name;
    record->setup_index = group->setup;
    record->setup = *dialarc_setups_get(group->setups, group->setup);
    if (angle_column == PUMP_DEG)
        to_crank(b, start, &record->setup);
    record->sweep.n = b->n - start;
    return DIALARC_OK;
}

dialarc_status darc_sweep_append(dialarc_sweep_reader *reader,
                                 dialarc_sweep_buffer *buffer,
                                 dialarc_sweep_record *record, dialarc_error *error)
{
    if (reader->status == DIALARC_OK)
        reader->status = append(reader, buffer, record, error);
    return reader->status;
}

void darc_sweep_place(const dialarc_sweep_reader *reader, const dialarc_sweep_buffer *b,
                      size_t start, dialarc_sweep_record *record)
{
    record->sweep.crank_deg = b->crank_deg + start;
    record->sweep.dial_mm = b->dial_mm + start;
    record->sweep.direction =
        reader->group.csv.column[DIRECTION] ? b->direction + start : NULL;
    record->line = b->line + start;
}

dialarc_status dialarc_sweep_reader_next(dialarc_sweep_reader *reader,
                                         dialarc_sweep_buffer *buffer,
                                         dialarc_sweep_record *record,
                                         dialarc_error *error)
{
    if (!reader || !buffer || !record)
        return DIALARC_ERR_NULL;
    dialarc_sweep_record found;
    buffer->n = 0;
    dialarc_status status = darc_sweep_append(reader, buffer, &found, error);
    if (status != DIALARC_OK)
        return status;
    if (found.name)
        darc_sweep_place(reader, buffer, 0, &found);
    *record = found;
    return DIALARC_OK;
}

/* One column of angles and one of the dial at least. */
static dialarc_status require_columns(darc_csv *csv, dialarc_error *error)
{
    dialarc_status angle = DIALARC_OK, dial = DIALARC_OK;
    if (!csv->column[PUMP_DEG])
        angle = darc_csv_require(csv, CRANK_DEG, CRANK_DEG + 1, error);
    if (!csv->column[DIAL_IN])
        dial = darc_csv_require(csv, DIAL_MM, DIAL_MM + 1, error);
    return darc_first(angle, dial);
}

dialarc_status dialarc_sweep_reader_new(dialarc_read read, void *context,
                                        const dialarc_setups *setups,
                                        dialarc_sweep_reader **reader,
                                        dialarc_error *error)
{
    if (!read || !setups || !reader)
        return DIALARC_ERR_NULL;
    dialarc_sweep_reader *made = calloc(1, sizeof *made);
    if (!made)
        return darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
    darc_csv *csv = &made->group.csv;
    dialarc_status status =
        darc_group_open(&made->group, read, context, setups, columns, SLOTS, error);
    if (status == DIALARC_OK)
        status = require_columns(csv, error);
    if (status == DIALARC_OK)
        *reader = made;
    else
        dialarc_sweep_reader_free(made);
    return status;
}

void dialarc_sweep_reader_free(dialarc_sweep_reader *reader)
{
    if (!reader)
        return;
    darc_group_close(&reader->group);
    free(reader);
}

/* A sweep whose parts lie in one block of memory. */
typedef struct kept {
    dialarc_sweep_record record;
    void *block;
} kept;

struct dialarc_sweeps {
    kept *kept;
    size_t count, capacity;
};

/* Bytes of the parts of a kept sweep, in the order in which they lie in one block: what
 * needs the widest alignment comes first. */
typedef struct parts {
    size_t crank_deg, dial_mm, line, direction, name;
} parts;

static bool keep(const dialarc_sweep_record *from, kept *copy)
{
    size_t n = from->sweep.n;
    const parts size = {.crank_deg = n * sizeof(double),
                        .dial_mm = n * sizeof(double),
                        .line = n * sizeof *from->line,
                        .direction =
                            from->sweep.direction ? n * sizeof(dialarc_direction) : 0,
                        .name = strlen(from->name) + 1};
    char *at =
        malloc(size.crank_deg + size.dial_mm + size.line + size.direction + size.name);
    if (!at)
        return false;
    copy->block = at;
    dialarc_sweep_record *to = &copy->record;
    *to = *from;
    to->sweep.crank_deg = memcpy(at, from->sweep.crank_deg, size.crank_deg);
    to->sweep.dial_mm = memcpy(at += size.crank_deg, from->sweep.dial_mm, size.dial_mm);
    to->line = memcpy(at += size.dial_mm, from->line, size.line);
    at += size.line;
    if (from->sweep.direction)
        to->sweep.direction = memcpy(at, from->sweep.direction, size.direction);
    to->name = memcpy(at + size.direction, from->name, size.name);
    return true;
}

static dialarc_status read_all(dialarc_sweep_reader *reader, dialarc_sweep_buffer *buffer,
                               dialarc_sweeps *all, dialarc_error *error)
{
    for (;;) {
        dialarc_sweep_record record;
        dialarc_status status = dialarc_sweep_reader_next(reader, buffer, &record, error);
        if (status != DIALARC_OK || !record.name)
            return status;
        if (all->count == all->capacity) {
            size_t capacity = all->capacity ? 2 * all->capacity : 16;
            void *array = all->kept;
            if (!resize(&array, capacity, sizeof *all->kept))
                break;
            all->kept = array;
            all->capacity = capacity;
        }
        if (!keep(&record, &all->kept[all->count]))
            break;
        all->count++;
    }
    return darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
}

dialarc_status dialarc_sweeps_read(dialarc_read read, void *context,
                                   const dialarc_setups *setups, dialarc_sweeps **sweeps,
                                   dialarc_error *error)
{
    if (!sweeps)
        return DIALARC_ERR_NULL;
    dialarc_sweep_reader *reader = NULL;
    dialarc_status status =
        dialarc_sweep_reader_new(read, context, setups, &reader, error);
    if (status != DIALARC_OK)
        return status;
    dialarc_sweep_buffer *buffer = dialarc_sweep_buffer_new();
    dialarc_sweeps *all = calloc(1, sizeof *all);
    status = buffer && all
                 ? read_all(reader, buffer, all, error)
                 : darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
    dialarc_sweep_buffer_free(buffer);
    dialarc_sweep_reader_free(reader);
    if (status == DIALARC_OK)
        *sweeps = all;
    else
        dialarc_sweeps_free(all);
    return status;
}

/* What dialarc_sweeps_load() asks of the open file. */
typedef struct loading {
    const dialarc_setups *setups;
    dialarc_sweeps **sweeps;
} loading;

static dialarc_status use_file(void *file, void *job, dialarc_error *error)
{
    const loading *wanted = job;
    return dialarc_sweeps_read(dialarc_read_file, file, wanted->setups, wanted->sweeps,
                               error);
}

dialarc_status dialarc_sweeps_load(const char *path, const dialarc_setups *setups,
                                   dialarc_sweeps **sweeps, dialarc_error *error)
{
    if (!path || !setups || !sweeps)
        return DIALARC_ERR_NULL;
    loading wanted = {setups, sweeps};
    return darc_load(path, use_file, &wanted, error);
}

void dialarc_sweeps_free(dialarc_sweeps *sweeps)
{
    if (!sweeps)
        return;
    for (size_t i = 0; i < sweeps->count; i++)
        free(sweeps->kept[i].block);
    free(sweeps->kept);
    free(sweeps);
}

size_t dialarc_sweeps_count(const dialarc_sweeps *sweeps)
{
    return sweeps ? sweeps->count : 0;
}

const dialarc_sweep_record *dialarc_sweeps_get(const dialarc_sweeps *sweeps, size_t index)
{
    return index < dialarc_sweeps_count(sweeps) ? &sweeps->kept[index].record : NULL;
}
