/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes as a setups table. */
#include "fuzz_table.h"

const char fuzz_name[] = "setups";

static dialarc_status read_in(const uint8_t *data, size_t size, size_t piece,
                              dialarc_setups **setups, dialarc_error *error)
{
    fuzz_source source = fuzz_table(data, size, piece);
    return dialarc_setups_read(fuzz_read, &source, setups, error);
}

static void check_setups(const dialarc_setups *setups, size_t size)
{
    size_t n = dialarc_setups_count(setups);
    FUZZ_CHECK(n >= 1 && n <= size);
    for (size_t i = 0; i < n; i++) {
        const char *name = dialarc_setups_name(setups, i);
        size_t found = n;
        FUZZ_CHECK(name && name[0] && strlen(name) < DIALARC_NAME_SIZE);
        const char *dial = dialarc_setups_dial(setups, i);
        FUZZ_CHECK(dial && strlen(dial) < DIALARC_NAME_SIZE);
        FUZZ_CHECK(dialarc_setups_find(setups, name, &found) == DIALARC_OK);
        FUZZ_CHECK(found == i);
        FUZZ_CHECK(dialarc_setup_check(dialarc_setups_get(setups, i)) == DIALARC_OK);
    }
    FUZZ_CHECK(!dialarc_setups_name(setups, n) && !dialarc_setups_get(setups, n));
    FUZZ_CHECK(!dialarc_setups_dial(setups, n));
}

static void check_same(const dialarc_setups *a, const dialarc_setups *b)
{
    size_t n = dialarc_setups_count(a);
    FUZZ_CHECK(dialarc_setups_count(b) == n);
    for (size_t i = 0; i < n; i++) {
        const dialarc_setup *x = dialarc_setups_get(a, i), *y = dialarc_setups_get(b, i);
        FUZZ_CHECK(!strcmp(dialarc_setups_name(a, i), dialarc_setups_name(b, i)));
        FUZZ_CHECK(x->lobes == y->lobes && x->cam_law == y->cam_law);
        FUZZ_CHECK(fuzz_same(&x->crank_per_pump, &y->crank_per_pump, sizeof(double)));
        FUZZ_CHECK(fuzz_same(&x->lift_high_mm, &y->lift_high_mm, sizeof(double)));
        FUZZ_CHECK(!strcmp(dialarc_setups_dial(a, i), dialarc_setups_dial(b, i)));
        FUZZ_CHECK(x->window_at == y->window_at && x->turned == y->turned);
        FUZZ_CHECK(x->turn_back == y->turn_back && x->firing_tdc == y->firing_tdc);
        FUZZ_CHECK(x->rotation == y->rotation && x->dial_sense == y->dial_sense);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size < 1)
        return 0;
    dialarc_setups *whole = NULL, *pieces = NULL;
    dialarc_error error = {0}, again[FUZZ_ERRORS] = {fuzz_room(data[0])};
    dialarc_status status = read_in(data + 1, size - 1, 0, &whole, &error);
    fuzz_check_error(status, &error, size);
    FUZZ_CHECK((whole != NULL) == (status == DIALARC_OK));
    if (whole)
        check_setups(whole, size);
    if (data[0]) {
        read_in(data + 1, size - 1, data[0], &pieces, again);
        fuzz_same_error(&error, again);
        FUZZ_CHECK((whole != NULL) == (pieces != NULL));
        if (whole && pieces)
            check_same(whole, pieces);
    }
    dialarc_setups_free(whole);
    dialarc_setups_free(pieces);
    return 0;
}
