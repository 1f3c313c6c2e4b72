/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes as a cams table; an accepted one is written, and reads back to the bit. */
#include <dialarc/table_cams.h>

#include "fuzz_table.h"

const char fuzz_name[] = "cams";

static dialarc_status read_in(const void *data, size_t size, size_t piece,
                              dialarc_cams **cams, dialarc_error *error)
{
    fuzz_source source = fuzz_table(data, size, piece);
    return dialarc_cams_read(fuzz_read, &source, cams, error);
}

static void check_same(const dialarc_cams *a, size_t i, const dialarc_cams *b, size_t k)
{
    const dialarc_cam_record *x = dialarc_cams_get(a, i), *y = dialarc_cams_get(b, k);
    FUZZ_CHECK(x->n == y->n && strcmp(x->name, y->name) == 0);
    FUZZ_CHECK(fuzz_same(&x->period_deg, &y->period_deg, sizeof(double)));
    FUZZ_CHECK(fuzz_same(&x->cam_sd_mm, &y->cam_sd_mm, sizeof(double)));
    FUZZ_CHECK(fuzz_same(x->pump_deg, y->pump_deg, x->n * sizeof(double)));
    FUZZ_CHECK(fuzz_same(x->lift_mm, y->lift_mm, x->n * sizeof(double)));
}

static void check_written(const dialarc_cams *cams, size_t i)
{
    const dialarc_cam_record *c = dialarc_cams_get(cams, i);
    const char *header = dialarc_cams_header();
    size_t room = c->n * DIALARC_CAM_ROW_SIZE, used = strlen(header), length = 0;
    char *text = malloc(used + room);
    dialarc_cams *again = NULL;
    FUZZ_CHECK(text != NULL);
    memcpy(text, header, used);
    FUZZ_CHECK(dialarc_cam_format(c->name, c->n, c->pump_deg, c->lift_mm, c->period_deg,
                                  c->cam_sd_mm, text + used, room,
                                  &length) == DIALARC_OK);
    FUZZ_CHECK(length < room && strlen(text) == used + length);
    FUZZ_CHECK(read_in(text, used + length, 0, &again, NULL) == DIALARC_OK);
    FUZZ_CHECK(dialarc_cams_count(again) == 1);
    check_same(cams, i, again, 0);
    dialarc_cams_free(again);
    free(text);
}

static void check_cam(const dialarc_cams *cams, size_t i, size_t size)
{
    const dialarc_cam_record *c = dialarc_cams_get(cams, i);
    size_t found = size;
    double period, low, high;
    FUZZ_CHECK(c->name[0] && strlen(c->name) < DIALARC_NAME_SIZE);
    FUZZ_CHECK(dialarc_cams_name(cams, i) == c->name);
    FUZZ_CHECK(dialarc_cams_find(cams, c->name, &found) == DIALARC_OK && found == i);
    FUZZ_CHECK(c->n >= 3 && c->n <= size && c->cam_sd_mm >= 0.0);
    FUZZ_CHECK(dialarc_camtable_range(c->table, &period, &low, &high) == DIALARC_OK);
    FUZZ_CHECK(period == c->period_deg && low <= high);
    check_written(cams, i);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size < 1)
        return 0;
    dialarc_cams *whole = NULL, *pieces = NULL;
    dialarc_error error = {0}, again[FUZZ_ERRORS] = {fuzz_room(data[0])};
    dialarc_status status = read_in(data + 1, size - 1, 0, &whole, &error);
    fuzz_check_error(status, &error, size);
    FUZZ_CHECK((whole != NULL) == (status == DIALARC_OK));
    FUZZ_CHECK(!whole || dialarc_cams_count(whole) >= 1);
    for (size_t i = 0; i < dialarc_cams_count(whole); i++)
        check_cam(whole, i, size);
    if (data[0]) {
        read_in(data + 1, size - 1, data[0], &pieces, again);
        fuzz_same_error(&error, again);
        FUZZ_CHECK(dialarc_cams_count(whole) == dialarc_cams_count(pieces));
        for (size_t i = 0; i < dialarc_cams_count(whole); i++)
            check_same(whole, i, pieces, i);
    }
    dialarc_cams_free(whole);
    dialarc_cams_free(pieces);
    return 0;
}
