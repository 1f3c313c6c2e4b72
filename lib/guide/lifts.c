/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/lifts.h>

#include <stdlib.h>
#include <string.h>

#include "table/table_field.h"
#include "table/table_group.h"

enum { SETUP = DARC_GROUP_NAME + 1, HAND, LIFT_MM, SLOTS };

static const char *const columns[SLOTS] = {"sweep", "setup", "hand", "lift_mm"};

typedef char name_text[DIALARC_NAME_SIZE];

/* Names as they come; their places are the numbers of the study. */
typedef struct names {
    int n;
    name_text name[DIALARC_GAUGE_LEVELS_MAX];
} names;

typedef struct entry {
    dialarc_gauge_lift lift;
    name_text sweep;
} entry;

struct dialarc_lifts {
    entry *entry;
    size_t count, entries;
    names setups, hands;
};

/* Why not by a function shared with other tables: see table_cams.c. */
static bool room_for_lift(dialarc_lifts *lifts)
{
    if (lifts->count < lifts->entries)
        return true;
    size_t entries = lifts->entries ? 2 * lifts->entries : 16;
    entry *more = realloc(lifts->entry, entries * sizeof *more);
    if (!more)
        return false;
    lifts->entry = more;
    lifts->entries = entries;
    return true;
}

/* The number of a name that must be there. */
static dialarc_status read_number(const darc_csv *csv, int slot, names *known,
                                  int *number, dialarc_error *error)
{
    name_text name;
    dialarc_status status = darc_field_name(csv, slot, name, error);
    if (status != DIALARC_OK)
        return status;
    for (*number = 0; *number < known->n; ++*number)
        if (strcmp(known->name[*number], name) == 0)
            return DIALARC_OK;
    if (known->n == DIALARC_GAUGE_LEVELS_MAX)
        return darc_csv_fail(csv, slot, DIALARC_ERR_SIZE, error,
                             "a study has at most %d of them", DIALARC_GAUGE_LEVELS_MAX);
    memcpy(known->name[known->n++], name, sizeof name);
    return DIALARC_OK;
}

/* The row of a group, which has no other: a sweep has one lift. All its fields are read,
 * whatever is wrong with one; the status is that of the first fault. */
static dialarc_status read_lift(darc_group *group, dialarc_lifts *lifts,
                                dialarc_error *error)
{
    darc_csv *csv = &group->csv;
    if (!room_for_lift(lifts))
        return darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
    if (lifts->count == DIALARC_GAUGE_LIFTS_MAX)
        return darc_csv_fail(csv, DARC_GROUP_NAME, DIALARC_ERR_SIZE, error,
                             "a study has at most %d lifts", DIALARC_GAUGE_LIFTS_MAX);
    entry *e = &lifts->entry[lifts->count];
    memcpy(e->sweep, group->name, sizeof e->sweep);
    dialarc_status status =
        read_number(csv, SETUP, &lifts->setups, &e->lift.engine, error);
    status =
        darc_first(status, read_number(csv, HAND, &lifts->hands, &e->lift.hand, error));
    status = darc_first(status, darc_field_number(csv, LIFT_MM, &e->lift.lift_mm, error));
    lifts->count += status == DIALARC_OK;
    return status;
}

static dialarc_status read_all(darc_group *group, dialarc_lifts *lifts,
                               dialarc_error *error)
{
    dialarc_status status = darc_csv_require(&group->csv, SETUP, HAND + 1, error);
    for (bool more = true; more && status == DIALARC_OK;) {
        status = darc_group_next(group, &more, error);
        for (bool again = more; again && status == DIALARC_OK;) {
            status = darc_csv_pass(&group->csv, read_lift(group, lifts, error), error);
            if (status == DIALARC_OK)
                status = darc_group_row(group, &again, error);
            if (again && status == DIALARC_OK)
                status = darc_csv_pass(&group->csv,
                                       darc_csv_fail(&group->csv, DARC_GROUP_NAME,
                                                     DIALARC_ERR_TABLE, error,
                                                     "a sweep has one row here"),
                                       error);
        }
    }
    return darc_first(group->csv.refused, status);
}

dialarc_status dialarc_lifts_read(dialarc_read read, void *context, dialarc_lifts **lifts,
                                  dialarc_error *error)
{
    if (!read || !lifts)
        return DIALARC_ERR_NULL;
    dialarc_lifts *made = calloc(1, sizeof *made);
    if (!made)
        return darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
    darc_group group;
    dialarc_status status =
        darc_group_open(&group, read, context, NULL, columns, SLOTS, error);
    if (status == DIALARC_OK)
        status = read_all(&group, made, error);
    darc_group_close(&group);
    if (status == DIALARC_OK)
        *lifts = made;
    else
        dialarc_lifts_free(made);
    return status;
}

static dialarc_status use_file(void *file, void *lifts, dialarc_error *error)
{
    return dialarc_lifts_read(dialarc_read_file, file, lifts, error);
}

dialarc_status dialarc_lifts_load(const char *path, dialarc_lifts **lifts,
                                  dialarc_error *error)
{
    if (!path || !lifts)
        return DIALARC_ERR_NULL;
    return darc_load(path, use_file, lifts, error);
}

void dialarc_lifts_free(dialarc_lifts *lifts)
{
    if (lifts)
        free(lifts->entry);
    free(lifts);
}

size_t dialarc_lifts_count(const dialarc_lifts *lifts)
{
    return lifts ? lifts->count : 0;
}

dialarc_status dialarc_lifts_get(const dialarc_lifts *lifts, size_t index,
                                 dialarc_gauge_lift *lift)
{
    if (!lifts || !lift)
        return DIALARC_ERR_NULL;
    if (index >= lifts->count)
        return DIALARC_ERR_SIZE;
    *lift = lifts->entry[index].lift;
    return DIALARC_OK;
}

const char *dialarc_lifts_sweep(const dialarc_lifts *lifts, size_t index)
{
    return index < dialarc_lifts_count(lifts) ? lifts->entry[index].sweep : NULL;
}

const char *dialarc_lifts_setup(const dialarc_lifts *lifts, size_t index)
{
    return index < dialarc_lifts_count(lifts)
               ? lifts->setups.name[lifts->entry[index].lift.engine]
               : NULL;
}

const char *dialarc_lifts_hand(const dialarc_lifts *lifts, size_t index)
{
    return index < dialarc_lifts_count(lifts)
               ? lifts->hands.name[lifts->entry[index].lift.hand]
               : NULL;
}
