/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes as a dials table; the calibrations of an accepted one convert both ways. */
#include <dialarc/table_dials.h>

#include "fuzz_table.h"

const char fuzz_name[] = "dials";

static dialarc_status read_it(const uint8_t *data, size_t size, size_t piece,
                              dialarc_dials **dials, dialarc_error *error)
{
    fuzz_source source = fuzz_table(data, size, piece);
    return dialarc_dials_read(fuzz_read, &source, dials, error);
}

static void check_dial(const dialarc_dials *dials, size_t i, size_t size)
{
    const char *name = dialarc_dials_name(dials, i);
    dialarc_dialcal *c = NULL;
    double low, high, u, both[2], back[2];
    size_t found;
    FUZZ_CHECK(name[0] && strlen(name) < DIALARC_NAME_SIZE);
    FUZZ_CHECK(dialarc_dials_find(dials, name, &found) == DIALARC_OK && found == i);
    FUZZ_CHECK(dialarc_dials_share(dials, i, &c) == DIALARC_OK);
    FUZZ_CHECK(dialarc_dialcal_count(c) >= 2 && dialarc_dialcal_count(c) <= size);
    FUZZ_CHECK(dialarc_dialcal_range(c, &low, &high, &u) == DIALARC_OK);
    FUZZ_CHECK(low < high && u >= 0.0 && isfinite(u));
    both[0] = low;
    both[1] = high;
    FUZZ_CHECK(dialarc_dialcal_true(c, 2, both, back) == DIALARC_OK);
    FUZZ_CHECK(back[0] < back[1]);
    FUZZ_CHECK(dialarc_dialcal_shown(c, 2, back, back) == DIALARC_OK);
    FUZZ_CHECK(back[0] == low && back[1] == high);
    dialarc_dialcal_free(c);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size < 1)
        return 0;
    dialarc_dials *whole = NULL, *pieces = NULL;
    dialarc_error error = {0}, again[FUZZ_ERRORS] = {fuzz_room(data[0])};
    dialarc_status status = read_it(data + 1, size - 1, 0, &whole, &error);
    fuzz_check_error(status, &error, size);
    FUZZ_CHECK((whole != NULL) == (status == DIALARC_OK));
    for (size_t i = 0; i < dialarc_dials_count(whole); i++)
        check_dial(whole, i, size);
    if (data[0]) {
        read_it(data + 1, size - 1, data[0], &pieces, again);
        fuzz_same_error(&error, again);
        FUZZ_CHECK(dialarc_dials_count(whole) == dialarc_dials_count(pieces));
    }
    dialarc_dials_free(whole);
    dialarc_dials_free(pieces);
    return 0;
}
