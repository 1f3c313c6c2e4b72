/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "table/table_setups.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <dialarc/law.h>
#include <dialarc/units.h>

#include "table/table_field.h"
#include "table/table_names.h"

typedef struct entry {
    char name[DIALARC_NAME_SIZE];
    char dial[DIALARC_NAME_SIZE]; /* "": none named */
    dialarc_setup setup;
} entry;

struct dialarc_setups {
    entry *entry;
    size_t count, capacity;
    size_t *place; /* hash table of entry numbers from 1; twice `capacity` places */
};

typedef enum kind {
    NAME,
    LOBES,
    TEETH,
    SENSE,
    LAW,
    ROTATION,
    WINDOW_AT,
    TURNED,
    TURN_BACK,
    FIRING_TDC,
    DIAL,
    POSITIVE,
    NOT_NEGATIVE,
    ANY,
    INCHES /* what the column before it holds in millimetres */
} kind;

enum { SETUP_COLUMN, LOBES_COLUMN }; /* the needed ones come first */

/* A column: what it may hold, where it goes, and the code of a value out of range. */
typedef struct column {
    const char *name;
    kind kind;
    size_t offset;
    dialarc_status status;
} column;

#define REAL(field, kind, status)                                                        \
    {                                                                                    \
#field, kind, offsetof(dialarc_setup, field), status                             \
    }

#define INCH(name, field, status)                                                        \
    {                                                                                    \
        name, INCHES, offsetof(dialarc_setup, field), status                             \
    }

static const column columns[] = {
    {"setup", NAME, 0, DIALARC_ERR_TABLE},
    {"lobes", LOBES, 0, DIALARC_ERR_LOBES},
    {"cam_law", LAW, offsetof(dialarc_setup, cam_law), DIALARC_ERR_LAW},
    {"cam_fall_law", LAW, offsetof(dialarc_setup, cam_fall_law), DIALARC_ERR_LAW},
    {"dial_sense", SENSE, 0, DIALARC_ERR_DIAL},
    {"sprocket_teeth", TEETH, 0, DIALARC_ERR_TEETH},
    {"rotation", ROTATION, 0, DIALARC_ERR_DIRECTION},
    REAL(crank_per_pump, POSITIVE, DIALARC_ERR_RATIO),
    {"window_at", WINDOW_AT, 0, DIALARC_ERR_CHOICE},
    {"turned", TURNED, 0, DIALARC_ERR_CHOICE},
    {"turn_back", TURN_BACK, 0, DIALARC_ERR_CHOICE},
    {"firing_tdc", FIRING_TDC, 0, DIALARC_ERR_CHOICE},
    {"dial", DIAL, 0, DIALARC_ERR_TABLE},
    REAL(cam_blend, POSITIVE, DIALARC_ERR_BLEND),
    REAL(lift_low_mm, NOT_NEGATIVE, DIALARC_ERR_WINDOW),
    INCH("lift_low_in", lift_low_mm, DIALARC_ERR_WINDOW),
    REAL(lift_high_mm, NOT_NEGATIVE, DIALARC_ERR_WINDOW),
    INCH("lift_high_in", lift_high_mm, DIALARC_ERR_WINDOW),
    REAL(window_crank_deg, ANY, DIALARC_ERR_ANGLE),
    REAL(cam_lift_mm, POSITIVE, DIALARC_ERR_LIFT),
    REAL(rise_deg, POSITIVE, DIALARC_ERR_SEGMENTS),
    REAL(top_dwell_deg, NOT_NEGATIVE, DIALARC_ERR_SEGMENTS),
    REAL(base_dwell_deg, NOT_NEGATIVE, DIALARC_ERR_SEGMENTS),
    REAL(cam_sd_mm, NOT_NEGATIVE, DIALARC_ERR_SD),
    REAL(rise_sd_deg, NOT_NEGATIVE, DIALARC_ERR_SD),
    REAL(angle_sd_deg, NOT_NEGATIVE, DIALARC_ERR_SD),
    REAL(wheel_error_deg, NOT_NEGATIVE, DIALARC_ERR_ANGLE),
    REAL(tdc_sd_deg, NOT_NEGATIVE, DIALARC_ERR_SD),
    REAL(dial_sd_mm, NOT_NEGATIVE, DIALARC_ERR_SD),
    REAL(dial_step_mm, NOT_NEGATIVE, DIALARC_ERR_DIAL),
    REAL(dial_turn_mm, POSITIVE, DIALARC_ERR_DIAL),
    REAL(dial_hysteresis_mm, NOT_NEGATIVE, DIALARC_ERR_DIAL),
    REAL(dial_error_mm, NOT_NEGATIVE, DIALARC_ERR_DIAL),
    REAL(dial_preload_mm, NOT_NEGATIVE, DIALARC_ERR_DIAL),
    REAL(body_radius_mm, POSITIVE, DIALARC_ERR_LENGTH),
    REAL(sprocket_radius_mm, POSITIVE, DIALARC_ERR_LENGTH),
};
#define COLUMNS ((int)(sizeof columns / sizeof columns[0]))

static dialarc_status read_lobes(darc_csv *csv, int slot, int *lobes,
                                 dialarc_error *error)
{
    double number; /* must be there, so that 0 can stand for blank nowhere */
    dialarc_status status = darc_field_needed(csv, slot, &number, error);
    if (status != DIALARC_OK)
        return status;
    return darc_field_whole(csv, slot, 1, 16, 0, DIALARC_ERR_LOBES, lobes, error);
}

static dialarc_status read_law(const darc_csv *csv, int slot, dialarc_law *law,
                               dialarc_error *error)
{
    const char *words[DIALARC_LAW_COUNT];
    int count = DIALARC_LAW_COUNT - DIALARC_LAW_HARMONIC, which = -1;
    for (int i = 0; i < count; i++)
        words[i] = dialarc_law_name((dialarc_law)(DIALARC_LAW_HARMONIC + i));
    dialarc_status status =
        darc_field_word(csv, slot, words, count, DIALARC_ERR_LAW, &which, error);
    *law = (dialarc_law)(DIALARC_LAW_HARMONIC + which); /* blank: DIALARC_LAW_UNKNOWN */
    return status;
}

static dialarc_status read_rotation(const darc_csv *csv, int slot,
                                    dialarc_rotation *rotation, dialarc_error *error)
{
    static const char *const words[] = {"cw", "ccw"};
    static const dialarc_rotation values[] = {DIALARC_ROTATION_UNKNOWN,
                                              DIALARC_ROTATION_CW, DIALARC_ROTATION_CCW};
    int which = -1;
    dialarc_status status =
        darc_field_word(csv, slot, words, 2, DIALARC_ERR_DIRECTION, &which, error);
    *rotation = values[which + 1];
    return status;
}

/* One of two words; the enumerations count them from 1, and 0 is blank. */
static dialarc_status read_choice(const darc_csv *csv, int slot, dialarc_setup *setup,
                                  dialarc_error *error)
{
    static const char *const words[][2] = {{"tdc", "mark"},
                                           {"shaft", "body"},
                                           {"allowed", "forbidden"},
                                           {"seen", "not_seen"}};
    const kind asked = columns[slot].kind;
    int which = -1;
    dialarc_status status = darc_field_word(csv, slot, words[asked - WINDOW_AT], 2,
                                            DIALARC_ERR_CHOICE, &which, error);
    if (asked == WINDOW_AT)
        setup->window_at = (dialarc_window_at)(which + 1);
    else if (asked == TURNED)
        setup->turned = (dialarc_turned)(which + 1);
    else if (asked == TURN_BACK)
        setup->turn_back = (dialarc_turn_back)(which + 1);
    else
        setup->firing_tdc = (dialarc_firing_tdc)(which + 1);
    return status;
}

static dialarc_status read_sense(darc_csv *csv, int slot, int *sense,
                                 dialarc_error *error)
{
    static const char *const words[] = {"1", "-1"};
    int which = -1;
    dialarc_status status =
        darc_field_word(csv, slot, words, 2, DIALARC_ERR_DIAL, &which, error);
    *sense = which < 0 ? 0 : which == 0 ? 1 : -1;
    return status;
}

/* The name of a dial, "" when blank. */
static dialarc_status read_dial(const darc_csv *csv, int slot,
                                char dial[DIALARC_NAME_SIZE], dialarc_error *error)
{
    size_t length;
    darc_field_trim(csv, slot, &length);
    dial[0] = '\0';
    return length ? darc_field_name(csv, slot, dial, error) : DIALARC_OK;
}

static dialarc_status read_real(darc_csv *csv, int slot, dialarc_setup *setup,
                                dialarc_error *error)
{
    const column *c = &columns[slot];
    double value, before;
    dialarc_status status = darc_field_number(csv, slot, &value, error);
    if (status != DIALARC_OK || (isnan(value) && c->kind == INCHES))
        return status;
    memcpy(&before, (const char *)setup + c->offset, sizeof before);
    if (!isnan(before))
        return darc_csv_fail(csv, slot, DIALARC_ERR_TABLE, error,
                             "%s and %s are both given: only one may be",
                             columns[slot - 1].name, c->name);
    if (c->kind != ANY && (isless(value, 0.0) || (value == 0.0 && c->kind == POSITIVE)))
        return darc_csv_fail(csv, slot, c->status, error, "must %s",
                             c->kind == POSITIVE ? "be above 0" : "not be below 0");
    if (c->kind == INCHES)
        value *= DIALARC_MM_PER_IN;
    memcpy((char *)setup + c->offset, &value, sizeof value);
    return DIALARC_OK;
}

static dialarc_status read_field(darc_csv *csv, int slot, entry *e, dialarc_error *error)
{
    switch (columns[slot].kind) {
    case NAME:
        return darc_field_name(csv, slot, e->name, error);
    case LOBES:
        return read_lobes(csv, slot, &e->setup.lobes, error);
    case TEETH:
        return darc_field_whole(csv, slot, 1, 100000, 0, DIALARC_ERR_TEETH,
                                &e->setup.sprocket_teeth, error);
    case SENSE:
        return read_sense(csv, slot, &e->setup.dial_sense, error);
    case LAW:
        return read_law(csv, slot,
                        (dialarc_law *)((char *)&e->setup + columns[slot].offset), error);
    case ROTATION:
        return read_rotation(csv, slot, &e->setup.rotation, error);
    case WINDOW_AT:
    case TURNED:
    case TURN_BACK:
    case FIRING_TDC:
        return read_choice(csv, slot, &e->setup, error);
    case DIAL:
        return read_dial(csv, slot, e->dial, error);
    case POSITIVE:
    case NOT_NEGATIVE:
    case ANY:
    case INCHES:
        break;
    }
    return read_real(csv, slot, &e->setup, error);
}

/* What only several fields together show; the message points at the first of them. */
static dialarc_status check(const darc_csv *csv, const dialarc_setup *setup,
                            dialarc_error *error)
{
    dialarc_status status = dialarc_setup_check(setup);
    if (status == DIALARC_OK)
        return status;
    int slot = 0;
    while (slot < COLUMNS - 1 && !(columns[slot].status == status && csv->column[slot]))
        slot++;
    if (status == DIALARC_ERR_WINDOW && setup->lift_low_mm >= setup->lift_high_mm)
        return darc_csv_fail(csv, slot, status, error,
                             "the window is upside down: its lower limit must lie below "
                             "its upper one");
    return darc_csv_fail(csv, slot, status, error, "%s", dialarc_status_text(status));
}

static size_t *find_place(const dialarc_setups *setups, const char *name)
{
    size_t mask = 2 * setups->capacity - 1, i = (size_t)darc_name_hash(name) & mask;
    while (setups->place[i] &&
           strcmp(setups->entry[setups->place[i] - 1].name, name) != 0)
        i = (i + 1) & mask;
    return &setups->place[i];
}

/* Room for one more; both arrays stay valid when memory is short. */
static dialarc_status make_room(dialarc_setups *setups)
{
    if (setups->count < setups->capacity)
        return DIALARC_OK;
    size_t capacity = setups->capacity ? 2 * setups->capacity : 8;
    entry *more = realloc(setups->entry, capacity * sizeof *more);
    if (!more)
        return DIALARC_ERR_NO_MEMORY;
    setups->entry = more;
    size_t *place = calloc(2 * capacity, sizeof *place);
    if (!place)
        return DIALARC_ERR_NO_MEMORY;
    free(setups->place);
    setups->place = place;
    setups->capacity = capacity;
    for (size_t i = 0; i < setups->count; i++)
        *find_place(setups, setups->entry[i].name) = i + 1;
    return DIALARC_OK;
}

/* Reads the fields of a row, all of them, whatever is wrong with one. */
static dialarc_status read_fields(darc_csv *csv, entry *e, dialarc_error *error)
{
    dialarc_status status = DIALARC_OK;
    e->setup = dialarc_setup_unknown(0);
    for (int slot = 0; slot < COLUMNS; slot++)
        status = darc_first(status, read_field(csv, slot, e, error));
    return status == DIALARC_OK ? check(csv, &e->setup, error) : status;
}

static dialarc_status read_row(darc_csv *csv, dialarc_setups *setups,
                               dialarc_error *error)
{
    if (setups->count == DIALARC_SETUPS_MAX)
        return darc_csv_fail(csv, SETUP_COLUMN, DIALARC_ERR_SIZE, error,
                             "a table has at most %d setups: divide it",
                             DIALARC_SETUPS_MAX);
    if (make_room(setups) != DIALARC_OK)
        return darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
    entry *e = &setups->entry[setups->count];
    dialarc_status status = read_fields(csv, e, error);
    if (status != DIALARC_OK)
        return status;
    size_t *place = find_place(setups, e->name);
    if (*place)
        return darc_csv_fail(csv, SETUP_COLUMN, DIALARC_ERR_TABLE, error,
                             "a setup of this name stands further up");
    *place = ++setups->count;
    return DIALARC_OK;
}

static dialarc_status read_rows(darc_csv *csv, dialarc_setups *setups,
                                dialarc_error *error)
{
    for (;;) {
        bool more;
        dialarc_status status = darc_csv_next(csv, &more, error);
        if (status != DIALARC_OK || !more)
            return status;
        status = read_row(csv, setups, error);
        if (status != DIALARC_ERR_SIZE) /* behind too many nothing is worth telling */
            status = darc_csv_pass(csv, status, error);
        if (status != DIALARC_OK)
            return status;
    }
}

static dialarc_status read_all(darc_csv *csv, dialarc_read read, void *context,
                               dialarc_setups *setups, dialarc_error *error)
{
    const char *names[COLUMNS];
    for (int slot = 0; slot < COLUMNS; slot++)
        names[slot] = columns[slot].name;
    dialarc_status status = darc_csv_open(csv, read, context, names, COLUMNS, error);
    if (status == DIALARC_OK)
        status = darc_csv_require(csv, SETUP_COLUMN, LOBES_COLUMN + 1, error);
    if (status == DIALARC_OK)
        status = read_rows(csv, setups, error);
    status = darc_first(csv->refused, status);
    if (status == DIALARC_OK && setups->count == 0)
        status = darc_error_set(error, DIALARC_ERR_TABLE,
                                "the table holds no setup, only a header");
    darc_csv_close(csv);
    return status;
}

dialarc_status dialarc_setups_read(dialarc_read read, void *context,
                                   dialarc_setups **setups, dialarc_error *error)
{
    if (!read || !setups)
        return DIALARC_ERR_NULL;
    dialarc_setups *made = calloc(1, sizeof *made);
    if (!made)
        return darc_error_set(error, DIALARC_ERR_NO_MEMORY, "not enough memory");
    darc_csv csv;
    dialarc_status status = read_all(&csv, read, context, made, error);
    if (status == DIALARC_OK)
        *setups = made;
    else
        dialarc_setups_free(made);
    return status;
}

static dialarc_status use_file(void *file, void *job, dialarc_error *error)
{
    return dialarc_setups_read(dialarc_read_file, file, job, error);
}

dialarc_status dialarc_setups_load(const char *path, dialarc_setups **setups,
                                   dialarc_error *error)
{
    if (!path || !setups)
        return DIALARC_ERR_NULL;
    return darc_load(path, use_file, setups, error);
}

void dialarc_setups_free(dialarc_setups *setups)
{
    if (!setups)
        return;
    for (size_t i = 0; i < setups->count; i++)
        dialarc_dialcal_free((dialarc_dialcal *)setups->entry[i].setup.dial_calibration);
    free(setups->entry);
    free(setups->place);
    free(setups);
}

size_t dialarc_setups_count(const dialarc_setups *setups)
{
    return setups ? setups->count : 0;
}

const char *dialarc_setups_name(const dialarc_setups *setups, size_t index)
{
    return index < dialarc_setups_count(setups) ? setups->entry[index].name : NULL;
}

const dialarc_setup *dialarc_setups_get(const dialarc_setups *setups, size_t index)
{
    return index < dialarc_setups_count(setups) ? &setups->entry[index].setup : NULL;
}

const char *dialarc_setups_dial(const dialarc_setups *setups, size_t index)
{
    return index < dialarc_setups_count(setups) ? setups->entry[index].dial : NULL;
}

dialarc_status dialarc_setups_find(const dialarc_setups *setups, const char *name,
                                   size_t *index)
{
    if (!setups || !name || !index)
        return DIALARC_ERR_NULL;
    size_t place = *find_place(setups, name);
    if (place == 0)
        return DIALARC_ERR_NO_SOLUTION;
    *index = place - 1;
    return DIALARC_OK;
}

void darc_setups_calibrate(dialarc_setups *setups, size_t index, dialarc_dialcal *share)
{
    dialarc_setup *setup = &setups->entry[index].setup;
    dialarc_dialcal_free((dialarc_dialcal *)setup->dial_calibration);
    setup->dial_calibration = share;
}
