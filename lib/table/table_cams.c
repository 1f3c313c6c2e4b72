/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/table_cams.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cam/camtable.h"
#include "table/table_field.h"
#include "table/table_format.h"
#include "table/table_group.h"

enum { CAM = DARC_GROUP_NAME, PUMP_DEG, LIFT_MM, PERIOD_DEG, CAM_SD_MM, SLOTS };

static const char *const columns[SLOTS] = {"cam", "pump_deg", "lift_mm", "period_deg",
                                           "cam_sd_mm"};
static const char header[] = "cam,pump_deg,lift_mm,period_deg,cam_sd_mm\n";

/* A cam and its name; the pointers of the record are set when all points are there. */
typedef struct entry {
    dialarc_cam_record record;
    dialarc_camtable *table;
    size_t first;     /* its first point */
    size_t line, row; /* of that point in the file */
    char name[DIALARC_NAME_SIZE];
} entry;

struct dialarc_cams {
    entry *entry;
    size_t count, entries;
    double *pump_deg, *lift_mm; /* of all cams */
    size_t n, points;
};

/*
 * Each table that grows does so in a function of its own: behind a shared one, which
 * would be handed the address of the array, gcc -fanalyzer loses sight of the block that
 * was given up and reports a leak that is none.
 */
static bool room_for_cam(dialarc_cams *cams)
{
    if (cams->count < cams->entries)
        return true;
    size_t entries = cams->entries ? 2 * cams->entries : 8;
    entry *more = realloc(cams->entry, entries * sizeof *more);
    if (!more)
        return false;
    cams->entry = more;
    cams->entries = entries;
    return true;
}

static bool room_for_point(dialarc_cams *cams)
{
    if (cams->n < cams->points)
        return true;
    size_t points = cams->points ? 2 * cams->points : 256;
    double *angles = realloc(cams->pump_deg, points * sizeof *angles);
    if (angles)
        cams->pump_deg = angles;
    double *lifts = angles ? realloc(cams->lift_mm, points * sizeof *lifts) : NULL;
    if (!lifts)
        return false;
    cams->lift_mm = lifts;
    cams->points = points;
    return true;
}

/* The period and the uncertainty, which the first row of a cam settles. */
static dialarc_status read_settled(darc_csv *csv, entry *e, dialarc_error *error)
{
    double period_deg, sd_mm;
    dialarc_status status = darc_field_needed(csv, PERIOD_DEG, &period_deg, error);
    if (status == DIALARC_OK)
        status = darc_field_needed(csv, CAM_SD_MM, &sd_mm, error);
    if (status != DIALARC_OK)
        return status;
    dialarc_cam_record *cam = &e->record;
    if (cam->n == 0) {
        cam->period_deg = period_deg;
        cam->cam_sd_mm = sd_mm;
    }
    if (!(period_deg > 0.0 && period_deg <= 360.0))
        return darc_csv_fail(csv, PERIOD_DEG, DIALARC_ERR_ANGLE, error,
                             "must be above 0 and at most 360");
    if (sd_mm < 0.0)
        return darc_csv_fail(csv, CAM_SD_MM, DIALARC_ERR_SD, error,
                             "must not be below 0");
    int slot = period_deg != cam->period_deg ? PERIOD_DEG
               : sd_mm != cam->cam_sd_mm     ? CAM_SD_MM
                                             : -1;
    return slot < 0 ? DIALARC_OK
                    : darc_csv_fail(csv, slot, DIALARC_ERR_TABLE, error,
                                    "the first row of this cam has another value");
}

/* Whether the angle follows those before it. */
static dialarc_status check_order(const darc_csv *csv, const dialarc_cams *cams,
                                  const entry *e, dialarc_error *error)
{
    const double *first = cams->pump_deg + e->first, *here = cams->pump_deg + cams->n;
    if (e->record.n == 0 ||
        darc_camtable_follows(*first, here[-1], *here, e->record.period_deg))
        return DIALARC_OK;
    return darc_csv_fail(
        csv, PUMP_DEG, DIALARC_ERR_ORDER, error, "%s",
        *here > here[-1] && !(*here - *first < e->record.period_deg)
            ? "the cam repeats after period_deg: its angles must stay within that"
            : "the angles of a cam must rise from row to row");
}

/* Appends the current row to the cam. All its fields are read, whatever is wrong with
 * one; the status is that of the first fault. */
static dialarc_status read_point(darc_csv *csv, dialarc_cams *cams, entry *e,
                                 dialarc_error *error)
{
    if (!room_for_point(cams))
        return darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
    if (e->record.n == DIALARC_CAMTABLE_MAX)
        return darc_csv_fail(csv, CAM, DIALARC_ERR_SIZE, error,
                             "a cam has at most %d points", DIALARC_CAMTABLE_MAX);
    dialarc_status status =
        darc_field_needed(csv, PUMP_DEG, &cams->pump_deg[cams->n], error);
    status = darc_first(status,
                        darc_field_needed(csv, LIFT_MM, &cams->lift_mm[cams->n], error));
    status = darc_first(status, read_settled(csv, e, error));
    if (status == DIALARC_OK)
        status = check_order(csv, cams, e, error);
    cams->n += status == DIALARC_OK;
    e->record.n += status == DIALARC_OK;
    return status;
}

/* Reports what only the whole cam shows, at its first row. */
static dialarc_status fail_cam(const darc_csv *csv, const entry *e, int slot,
                               dialarc_status status, dialarc_error *error,
                               const char *text)
{
    darc_csv then = *csv;
    then.line = e->line;
    then.row = e->row;
    then.field[slot].newlines = 0;
    return darc_csv_fail(&then, slot, status, error, "%s", text);
}

static dialarc_status make_table(const darc_csv *csv, const dialarc_cams *cams, entry *e,
                                 dialarc_error *error)
{
    dialarc_status status =
        dialarc_camtable_new(e->record.n, cams->pump_deg + e->first,
                             cams->lift_mm + e->first, e->record.period_deg, &e->table);
    switch (status) {
    case DIALARC_OK:
        return status;
    case DIALARC_ERR_NO_MEMORY:
        return darc_error_set(error, status, "not enough memory");
    case DIALARC_ERR_SIZE:
        return fail_cam(csv, e, CAM, status, error,
                        "this cam has fewer than 3 points, from which no curve can be "
                        "drawn");
    default:
        return fail_cam(csv, e, LIFT_MM, status, error,
                        "the lifts of this cam are too large for the distance of its "
                        "angles");
    }
}

static dialarc_status read_cam(darc_group *group, dialarc_cams *cams,
                               dialarc_error *error)
{
    if (!room_for_cam(cams))
        return darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
    entry *e = &cams->entry[cams->count++];
    *e = (entry){.first = cams->n, .line = group->csv.line, .row = group->csv.row};
    memcpy(e->name, group->name, group->name_length + 1);
    darc_csv *csv = &group->csv;
    bool good = true;
    for (bool more = true; more;) {
        dialarc_status status = read_point(csv, cams, e, error);
        good = good && status == DIALARC_OK;
        status = darc_csv_pass(csv, status, error);
        if (status == DIALARC_OK)
            status = darc_group_row(group, &more, error);
        if (status != DIALARC_OK)
            return status;
    }
    return good ? darc_csv_pass(csv, make_table(csv, cams, e, error), error) : DIALARC_OK;
}

static dialarc_status read_all(darc_group *group, dialarc_cams *cams,
                               dialarc_error *error)
{
    dialarc_status status = darc_csv_require(&group->csv, PUMP_DEG, SLOTS, error);
    for (bool more = true; more && status == DIALARC_OK;) {
        status = darc_group_next(group, &more, error);
        if (status == DIALARC_OK && more)
            status = read_cam(group, cams, error);
    }
    status = darc_first(group->csv.refused, status);
    if (status != DIALARC_OK)
        return status;
    if (cams->count == 0)
        return darc_error_set(error, DIALARC_ERR_TABLE,
                              "the table holds no cam, only a header");
    for (size_t i = 0; i < cams->count; i++) {
        entry *e = &cams->entry[i];
        e->record.name = e->name;
        e->record.table = e->table;
        e->record.pump_deg = cams->pump_deg + e->first;
        e->record.lift_mm = cams->lift_mm + e->first;
    }
    return DIALARC_OK;
}

dialarc_status dialarc_cams_read(dialarc_read read, void *context, dialarc_cams **cams,
                                 dialarc_error *error)
{
    if (!read || !cams)
        return DIALARC_ERR_NULL;
    dialarc_cams *made = calloc(1, sizeof *made);
    if (!made)
        return darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
    darc_group group;
    dialarc_status status =
        darc_group_open(&group, read, context, NULL, columns, SLOTS, error);
    if (status == DIALARC_OK)
        status = read_all(&group, made, error);
    darc_group_close(&group);
    if (status == DIALARC_OK)
        *cams = made;
    else
        dialarc_cams_free(made);
    return status;
}

static dialarc_status use_file(void *file, void *job, dialarc_error *error)
{
    return dialarc_cams_read(dialarc_read_file, file, job, error);
}

dialarc_status dialarc_cams_load(const char *path, dialarc_cams **cams,
                                 dialarc_error *error)
{
    if (!path || !cams)
        return DIALARC_ERR_NULL;
    return darc_load(path, use_file, cams, error);
}

void dialarc_cams_free(dialarc_cams *cams)
{
    if (!cams)
        return;
    for (size_t i = 0; i < cams->count; i++)
        dialarc_camtable_free(cams->entry[i].table);
    free(cams->entry);
    free(cams->pump_deg);
    free(cams->lift_mm);
    free(cams);
}

size_t dialarc_cams_count(const dialarc_cams *cams)
{
    return cams ? cams->count : 0;
}

const char *dialarc_cams_name(const dialarc_cams *cams, size_t index)
{
    return index < dialarc_cams_count(cams) ? cams->entry[index].name : NULL;
}

const dialarc_cam_record *dialarc_cams_get(const dialarc_cams *cams, size_t index)
{
    return index < dialarc_cams_count(cams) ? &cams->entry[index].record : NULL;
}

dialarc_status dialarc_cams_find(const dialarc_cams *cams, const char *name,
                                 size_t *index)
{
    if (!cams || !name || !index)
        return DIALARC_ERR_NULL;
    for (size_t i = 0; i < cams->count; i++)
        if (strcmp(cams->entry[i].name, name) == 0) {
            *index = i;
            return DIALARC_OK;
        }
    return DIALARC_ERR_NO_SOLUTION;
}

const char *dialarc_cams_header(void)
{
    return header;
}

/* Whether a reader of tables takes a name as it stands. */
static dialarc_status check_name(const char *name)
{
    size_t length = strlen(name);
    if (length == 0 || length >= DIALARC_NAME_SIZE)
        return DIALARC_ERR_SIZE;
    for (const char *c = name; *c; c++)
        if ((unsigned char)*c < 0x20 && !strchr("\t\r\n", *c))
            return DIALARC_ERR_TABLE;
    return darc_is_utf8(name, length) ? DIALARC_OK : DIALARC_ERR_TABLE;
}

/* Whether a reader takes the numbers: they make a table, and none is too large. */
static dialarc_status check_points(size_t n, const double *pump_deg,
                                   const double *lift_mm, double period_deg,
                                   double cam_sd_mm)
{
    dialarc_camtable *table = NULL;
    dialarc_status status =
        isfinite(cam_sd_mm)
            ? dialarc_camtable_new(n, pump_deg, lift_mm, period_deg, &table)
            : DIALARC_ERR_NOT_FINITE;
    dialarc_camtable_free(table);
    if (status == DIALARC_OK && !(cam_sd_mm >= 0.0 && cam_sd_mm <= DARC_FIELD_LARGEST))
        return DIALARC_ERR_SD;
    return status;
}

dialarc_status dialarc_cam_format(const char *name, size_t n, const double *pump_deg,
                                  const double *lift_mm, double period_deg,
                                  double cam_sd_mm, char *rows, size_t size,
                                  size_t *length)
{
    if (!name || !pump_deg || !lift_mm || !rows)
        return DIALARC_ERR_NULL;
    dialarc_status status = check_name(name);
    if (status == DIALARC_OK)
        status = check_points(n, pump_deg, lift_mm, period_deg, cam_sd_mm);
    if (status != DIALARC_OK)
        return status;
    if (size / DIALARC_CAM_ROW_SIZE < n)
        return DIALARC_ERR_SIZE;
    char *to = rows;
    for (size_t i = 0; i < n; i++) {
        const double number[] = {pump_deg[i], lift_mm[i], period_deg, cam_sd_mm};
        to += darc_format_name(name, to);
        for (size_t k = 0; k < sizeof number / sizeof *number; k++) {
            *to++ = ',';
            to += darc_format_shortest(number[k], to);
        }
        *to++ = '\n';
    }
    *to = '\0';
    if (length)
        *length = (size_t)(to - rows);
    return DIALARC_OK;
}
