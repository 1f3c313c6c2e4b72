/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Tables whose rows belong together by a name, such as the readings of a sweep: rows of
 * one name stand together, a name comes once, and a group has one setup, if the table
 * knows setups at all.
 */
#ifndef DARC_TABLE_GROUP_H
#define DARC_TABLE_GROUP_H

#include <dialarc/table_setups.h>

#include "table/table_csv.h"
#include "table/table_names.h"

/* Slots of every such table; without setups the name alone. */
enum { DARC_GROUP_NAME, DARC_GROUP_SETUP, DARC_GROUP_SLOTS };

typedef struct darc_group {
    darc_csv csv;
    const dialarc_setups *setups; /* NULL: a table without setups */
    darc_names met;
    bool ahead; /* the current row of csv belongs to the next group */
    char name[DIALARC_NAME_SIZE];
    size_t name_length;
    size_t setup;           /* index */
    const char *setup_name; /* NULL: one that there is not, which has been told */
    size_t setup_length;
} darc_group;

/* Opens the table; `column` begins with the name and, with setups, the setup column.
 * Close always. */
dialarc_status darc_group_open(darc_group *group, dialarc_read read, void *context,
                               const dialarc_setups *setups, const char *const *column,
                               int slots, dialarc_error *error);
void darc_group_close(darc_group *group);

/* Goes to the first row of the next group; *more becomes false at the end. Where reading
 * goes on after faults, group->csv.refused tells of them. */
dialarc_status darc_group_next(darc_group *group, bool *more, dialarc_error *error);

/* Goes to the next row of this group; *more becomes false when it has ended. */
dialarc_status darc_group_row(darc_group *group, bool *more, dialarc_error *error);

#endif
