/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "table/table_group.h"

#include <string.h>

#include "table/table_field.h"

dialarc_status darc_group_open(darc_group *group, dialarc_read read, void *context,
                               const dialarc_setups *setups, const char *const *column,
                               int slots, dialarc_error *error)
{
    memset(group, 0, sizeof *group);
    group->setups = setups;
    dialarc_status status =
        darc_csv_open(&group->csv, read, context, column, slots, error);
    if (status != DIALARC_OK)
        return status;
    bool several = dialarc_setups_count(setups) > 1;
    return darc_csv_require(&group->csv, DARC_GROUP_NAME,
                            several ? DARC_GROUP_SETUP + 1 : DARC_GROUP_NAME + 1, error);
}

void darc_group_close(darc_group *group)
{
    darc_csv_close(&group->csv);
    darc_names_free(&group->met);
}

static dialarc_status unknown_setup(const darc_csv *csv, const char *text, size_t length,
                                    dialarc_error *error)
{
    char quoted[DARC_QUOTE_SIZE];
    darc_quote(text, length, quoted);
    return darc_csv_fail(csv, DARC_GROUP_SETUP, DIALARC_ERR_TABLE, error,
                         "\"%s\" is not a setup of the setups table", quoted);
}

static dialarc_status find_setup(darc_group *group, dialarc_error *error)
{
    const darc_csv *csv = &group->csv;
    size_t length;
    const char *text = darc_field_trim(csv, DARC_GROUP_SETUP, &length);
    group->setup = 0;
    group->setup_name = NULL;
    if (length == 0 && dialarc_setups_count(group->setups) > 1)
        return darc_csv_fail(csv, DARC_GROUP_SETUP, DIALARC_ERR_TABLE, error,
                             "the field is blank, but there are several setups");
    if (length) {
        char name[DIALARC_NAME_SIZE];
        if (length >= sizeof name || memchr(text, '\0', length))
            return unknown_setup(csv, text, length, error);
        memcpy(name, text, length);
        name[length] = '\0';
        if (dialarc_setups_find(group->setups, name, &group->setup) != DIALARC_OK)
            return unknown_setup(csv, text, length, error);
    }
    group->setup_name = dialarc_setups_name(group->setups, group->setup);
    group->setup_length = strlen(group->setup_name);
    return DIALARC_OK;
}

/* Refuses a name that has come before. */
static dialarc_status check_new(darc_group *group, dialarc_error *error)
{
    const darc_csv *csv = &group->csv;
    bool met;
    if (darc_names_add(&group->met, group->name, &met) != DIALARC_OK)
        return darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
    if (!met)
        return DIALARC_OK;
    char quoted[DARC_QUOTE_SIZE];
    darc_quote(group->name, group->name_length, quoted);
    return darc_csv_fail(csv, DARC_GROUP_NAME, DIALARC_ERR_TABLE, error,
                         "\"%s\" comes a second time: its rows must stand together, "
                         "and another %s needs another name",
                         quoted, csv->name[DARC_GROUP_NAME]);
}

/* Goes to the next row that has a name, which is that of the group to come. */
static dialarc_status find_name(darc_group *group, bool *more, dialarc_error *error)
{
    darc_csv *csv = &group->csv;
    dialarc_status status;
    do {
        *more = true;
        status = group->ahead ? DIALARC_OK : darc_csv_next(csv, more, error);
        group->ahead = false;
        if (status != DIALARC_OK || !*more)
            return status;
        status = darc_field_name(csv, DARC_GROUP_NAME, group->name, error);
    } while (status != DIALARC_OK && darc_csv_goes_on(csv, status, error));
    return status;
}

dialarc_status darc_group_next(darc_group *group, bool *more, dialarc_error *error)
{
    darc_csv *csv = &group->csv;
    dialarc_status status = find_name(group, more, error);
    if (status != DIALARC_OK || !*more)
        return status;
    group->name_length = strlen(group->name);
    status = darc_csv_pass(csv, check_new(group, error), error);
    if (status == DIALARC_OK && group->setups)
        status = find_setup(group, error);
    return darc_csv_pass(csv, status, error);
}

static bool says(const darc_csv *csv, int slot, const char *name, size_t length)
{
    const darc_field *field = &csv->field[slot];
    if (field->length == length && memcmp(field->text, name, length) == 0)
        return true;
    size_t trimmed;
    const char *text = darc_field_trim(csv, slot, &trimmed);
    return trimmed == length && memcmp(text, name, length) == 0;
}

dialarc_status darc_group_row(darc_group *group, bool *more, dialarc_error *error)
{
    darc_csv *csv = &group->csv;
    dialarc_status status = darc_csv_next(csv, more, error);
    if (status != DIALARC_OK || !*more)
        return status;
    if (says(csv, DARC_GROUP_NAME, "", 0)) /* forgotten here, not the end of the group */
        return darc_csv_pass(
            csv,
            darc_field_name(csv, DARC_GROUP_NAME, (char[DIALARC_NAME_SIZE]){""}, error),
            error);
    if (!says(csv, DARC_GROUP_NAME, group->name, group->name_length)) {
        group->ahead = true;
        *more = false;
        return DIALARC_OK;
    }
    if (group->setups && group->setup_name &&
        !says(csv, DARC_GROUP_SETUP, group->setup_name, group->setup_length) &&
        !says(csv, DARC_GROUP_SETUP, "", 0)) {
        char quoted[DARC_QUOTE_SIZE];
        darc_quote(group->setup_name, group->setup_length, quoted);
        status = darc_csv_fail(csv, DARC_GROUP_SETUP, DIALARC_ERR_TABLE, error,
                               "the first row of this %s has another setup, \"%s\"",
                               csv->name[DARC_GROUP_NAME], quoted);
    }
    return darc_csv_pass(csv, status, error);
}
