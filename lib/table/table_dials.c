/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/table_dials.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "table/table_field.h"
#include "table/table_group.h"
#include "table/table_setups.h"

enum {
    DIAL = DARC_GROUP_NAME,
    SHOWN_MM,
    TRUE_MM,
    U_MM,
    CALIBRATED_ON,
    CERTIFICATE,
    SLOTS
};

static const char *const columns[SLOTS] = {"dial", "shown_mm",      "true_mm",
                                           "u_mm", "calibrated_on", "certificate"};

/* A dial, its name and where its calibration comes from. */
typedef struct entry {
    dialarc_dialcal *calibration;
    char name[DIALARC_NAME_SIZE];
    char calibrated_on[DIALARC_NAME_SIZE], certificate[DIALARC_NAME_SIZE];
} entry;

struct dialarc_dials {
    entry *entry;
    size_t count, entries;
};

/* The points of the dial that is being read, and its first row. */
typedef struct points {
    double *shown_mm, *true_mm;
    size_t n, room;
    double u_mm;
    size_t line, row;
} points;

static bool room_for_dial(dialarc_dials *dials)
{
    if (dials->count < dials->entries)
        return true;
    size_t entries = dials->entries ? 2 * dials->entries : 4;
    entry *more = realloc(dials->entry, entries * sizeof *more);
    if (!more)
        return false;
    dials->entry = more;
    dials->entries = entries;
    return true;
}

static bool room_for_point(points *p)
{
    if (p->n < p->room)
        return true;
    size_t room = p->room ? 2 * p->room : 64;
    double *shown = realloc(p->shown_mm, room * sizeof *shown);
    if (shown)
        p->shown_mm = shown;
    double *travel = shown ? realloc(p->true_mm, room * sizeof *travel) : NULL;
    if (!travel)
        return false;
    p->true_mm = travel;
    p->room = room;
    return true;
}

/* Whether a text is a date of ISO 8601, YYYY-MM-DD, or blank. */
static bool is_date(const char *text)
{
    static const char form[] = "0000-00-00";
    if (!*text)
        return true;
    for (size_t i = 0; i < sizeof form - 1; i++)
        if (form[i] == '0' ? text[i] < '0' || text[i] > '9' : text[i] != form[i])
            return false;
    int month = 10 * (text[5] - '0') + text[6] - '0';
    int day = 10 * (text[8] - '0') + text[9] - '0';
    return !text[sizeof form - 1] && month >= 1 && month <= 12 && day >= 1 && day <= 31;
}

/* A text that the first row of a dial settles; later rows repeat it or leave it out. */
static dialarc_status read_settled(const darc_csv *csv, int slot, bool first,
                                   char settled[DIALARC_NAME_SIZE], dialarc_error *error)
{
    size_t length;
    char text[DIALARC_NAME_SIZE] = "";
    darc_field_trim(csv, slot, &length);
    dialarc_status status = length ? darc_field_name(csv, slot, text, error) : DIALARC_OK;
    if (status != DIALARC_OK)
        return status;
    if (slot == CALIBRATED_ON && !is_date(text))
        return darc_csv_fail(csv, slot, DIALARC_ERR_TABLE, error,
                             "must be a date as in 2026-03-31, or blank");
    if (first)
        memcpy(settled, text, sizeof text);
    else if (length && strcmp(text, settled) != 0)
        return darc_csv_fail(csv, slot, DIALARC_ERR_TABLE, error,
                             "the first row of this dial has another value");
    return DIALARC_OK;
}

/* Whether the point follows the one before it. */
static dialarc_status check_order(const darc_csv *csv, const points *p,
                                  dialarc_error *error)
{
    size_t i = p->n;
    if (i > 0 && !(p->shown_mm[i] > p->shown_mm[i - 1]))
        return darc_csv_fail(csv, SHOWN_MM, DIALARC_ERR_ORDER, error,
                             "the readings of a dial must rise from row to row");
    if (i > 0 && !(p->true_mm[i] > p->true_mm[i - 1]))
        return darc_csv_fail(csv, TRUE_MM, DIALARC_ERR_ORDER, error,
                             "the travels of a dial must rise from row to row");
    return DIALARC_OK;
}

/* Appends the current row to the points. All its fields are read, whatever is wrong with
 * one; the status is that of the first fault. */
static dialarc_status read_point(darc_csv *csv, points *p, entry *e, dialarc_error *error)
{
    double u_mm = 0.0;
    bool first = p->n == 0;
    if (!room_for_point(p))
        return darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
    if (p->n == DIALARC_DIALCAL_MAX)
        return darc_csv_fail(csv, DIAL, DIALARC_ERR_SIZE, error,
                             "a dial has at most %d points", DIALARC_DIALCAL_MAX);
    dialarc_status status = darc_field_needed(csv, SHOWN_MM, &p->shown_mm[p->n], error);
    status =
        darc_first(status, darc_field_needed(csv, TRUE_MM, &p->true_mm[p->n], error));
    status = darc_first(status, darc_field_needed(csv, U_MM, &u_mm, error));
    if (isless(u_mm, 0.0))
        status = darc_first(status, darc_csv_fail(csv, U_MM, DIALARC_ERR_SD, error,
                                                  "must not be below 0"));
    status = darc_first(status,
                        read_settled(csv, CALIBRATED_ON, first, e->calibrated_on, error));
    status =
        darc_first(status, read_settled(csv, CERTIFICATE, first, e->certificate, error));
    if (status == DIALARC_OK)
        status = check_order(csv, p, error);
    if (status == DIALARC_OK) {
        p->u_mm = fmax(p->u_mm, u_mm);
        p->n++;
    }
    return status;
}

static dialarc_status make_calibration(const darc_csv *csv, const points *p, entry *e,
                                       dialarc_error *error)
{
    dialarc_status status =
        dialarc_dialcal_new(p->n, p->shown_mm, p->true_mm, p->u_mm, &e->calibration);
    if (status != DIALARC_ERR_SIZE)
        return status == DIALARC_OK
                   ? status
                   : darc_error_set(error, status, "%s", dialarc_status_text(status));
    darc_csv then = *csv; /* what only the whole dial shows is told at its first row */
    then.line = p->line;
    then.row = p->row;
    then.field[DIAL].newlines = 0;
    return darc_csv_fail(&then, DIAL, status, error,
                         "this dial has a single point, which corrects nothing");
}

static dialarc_status read_dial(darc_group *group, dialarc_dials *dials, points *p,
                                dialarc_error *error)
{
    if (!room_for_dial(dials))
        return darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
    entry *e = &dials->entry[dials->count++];
    *e = (entry){.calibration = NULL};
    memcpy(e->name, group->name, group->name_length + 1);
    darc_csv *csv = &group->csv;
    p->n = 0;
    p->u_mm = 0.0;
    p->line = csv->line;
    p->row = csv->row;
    bool good = true;
    for (bool more = true; more;) {
        dialarc_status status = read_point(csv, p, e, error);
        good = good && status == DIALARC_OK;
        status = darc_csv_pass(csv, status, error);
        if (status == DIALARC_OK)
            status = darc_group_row(group, &more, error);
        if (status != DIALARC_OK)
            return status;
    }
    return good ? darc_csv_pass(csv, make_calibration(csv, p, e, error), error)
                : DIALARC_OK;
}

static dialarc_status read_all(darc_group *group, dialarc_dials *dials,
                               dialarc_error *error)
{
    points p = {.n = 0};
    dialarc_status status = darc_csv_require(&group->csv, SHOWN_MM, U_MM + 1, error);
    for (bool more = true; more && status == DIALARC_OK;) {
        status = darc_group_next(group, &more, error);
        if (status == DIALARC_OK && more)
            status = read_dial(group, dials, &p, error);
    }
    free(p.shown_mm);
    free(p.true_mm);
    status = darc_first(group->csv.refused, status);
    if (status == DIALARC_OK && dials->count == 0)
        status = darc_error_set(error, DIALARC_ERR_TABLE,
                                "the table holds no dial, only a header");
    return status;
}

dialarc_status dialarc_dials_read(dialarc_read read, void *context, dialarc_dials **dials,
                                  dialarc_error *error)
{
    if (!read || !dials)
        return DIALARC_ERR_NULL;
    dialarc_dials *made = calloc(1, sizeof *made);
    if (!made)
        return darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
    darc_group group;
    dialarc_status status =
        darc_group_open(&group, read, context, NULL, columns, SLOTS, error);
    if (status == DIALARC_OK)
        status = read_all(&group, made, error);
    darc_group_close(&group);
    if (status == DIALARC_OK)
        *dials = made;
    else
        dialarc_dials_free(made);
    return status;
}

static dialarc_status use_file(void *file, void *job, dialarc_error *error)
{
    return dialarc_dials_read(dialarc_read_file, file, job, error);
}

dialarc_status dialarc_dials_load(const char *path, dialarc_dials **dials,
                                  dialarc_error *error)
{
    if (!path || !dials)
        return DIALARC_ERR_NULL;
    return darc_load(path, use_file, dials, error);
}

void dialarc_dials_free(dialarc_dials *dials)
{
    if (!dials)
        return;
    for (size_t i = 0; i < dials->count; i++)
        dialarc_dialcal_free(dials->entry[i].calibration);
    free(dials->entry);
    free(dials);
}

size_t dialarc_dials_count(const dialarc_dials *dials)
{
    return dials ? dials->count : 0;
}

const char *dialarc_dials_name(const dialarc_dials *dials, size_t index)
{
    return index < dialarc_dials_count(dials) ? dials->entry[index].name : NULL;
}

const char *dialarc_dials_calibrated_on(const dialarc_dials *dials, size_t index)
{
    return index < dialarc_dials_count(dials) ? dials->entry[index].calibrated_on : NULL;
}

const char *dialarc_dials_certificate(const dialarc_dials *dials, size_t index)
{
    return index < dialarc_dials_count(dials) ? dials->entry[index].certificate : NULL;
}

dialarc_status dialarc_dials_find(const dialarc_dials *dials, const char *name,
                                  size_t *index)
{
    if (!dials || !name || !index)
        return DIALARC_ERR_NULL;
    for (size_t i = 0; i < dials->count; i++)
        if (strcmp(dials->entry[i].name, name) == 0) {
            *index = i;
            return DIALARC_OK;
        }
    return DIALARC_ERR_NO_SOLUTION;
}

dialarc_status dialarc_dials_share(const dialarc_dials *dials, size_t index,
                                   dialarc_dialcal **dialcal)
{
    if (!dials || !dialcal)
        return DIALARC_ERR_NULL;
    return index < dials->count
               ? dialarc_dialcal_share(dials->entry[index].calibration, dialcal)
               : DIALARC_ERR_NO_SOLUTION;
}

/* The first setup that names a dial which the table does not have. */
static dialarc_status check_dials(const dialarc_setups *setups,
                                  const dialarc_dials *dials, dialarc_error *error)
{
    size_t which;
    for (size_t i = 0; i < dialarc_setups_count(setups); i++) {
        const char *dial = dialarc_setups_dial(setups, i);
        if (dial[0] && dialarc_dials_find(dials, dial, &which) != DIALARC_OK)
            return darc_error_set(
                error, DIALARC_ERR_NO_SOLUTION,
                "setup %s names the dial %s, which the dials table does "
                "not have",
                dialarc_setups_name(setups, i), dial);
    }
    return DIALARC_OK;
}

dialarc_status dialarc_setups_use_dials(dialarc_setups *setups,
                                        const dialarc_dials *dials, dialarc_error *error)
{
    size_t which;
    if (!setups || !dials)
        return DIALARC_ERR_NULL;
    dialarc_status status = check_dials(setups, dials, error);
    for (size_t i = 0; status == DIALARC_OK && i < dialarc_setups_count(setups); i++) {
        dialarc_dialcal *share = NULL;
        if (dialarc_dials_find(dials, dialarc_setups_dial(setups, i), &which) !=
            DIALARC_OK)
            continue;
        dialarc_dials_share(dials, which, &share);
        darc_setups_calibrate(setups, i, share);
    }
    return status;
}
