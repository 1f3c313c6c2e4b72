/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes as a sweeps table, read one at a time in pieces and all in one go. */
#include <dialarc/table_sweeps.h>

#include "fuzz_table.h"

const char fuzz_name[] = "sweeps";

/* What the library says of a sweep it hands out. */
static void check_record(const dialarc_sweep_record *r, const dialarc_setups *setups,
                         size_t size)
{
    FUZZ_CHECK(r->name[0] && strlen(r->name) < DIALARC_NAME_SIZE);
    FUZZ_CHECK(r->setup_index < dialarc_setups_count(setups));
    FUZZ_CHECK(r->sweep.n >= 1 && r->sweep.n <= size && r->row >= 1);
    for (size_t i = 0; i < r->sweep.n; i++) {
        FUZZ_CHECK(isfinite(r->sweep.crank_deg[i]) && isfinite(r->sweep.dial_mm[i]));
        FUZZ_CHECK(r->line[i] > (i ? r->line[i - 1] : 1) && r->line[i] <= size + 1);
        if (r->sweep.direction)
            FUZZ_CHECK(r->sweep.direction[i] >= -1 && r->sweep.direction[i] <= 1);
    }
}

static void check_same(const dialarc_sweep_record *a, const dialarc_sweep_record *b)
{
    size_t n = a->sweep.n;
    FUZZ_CHECK(b && strcmp(a->name, b->name) == 0 && b->sweep.n == n);
    FUZZ_CHECK(a->setup_index == b->setup_index && a->row == b->row);
    FUZZ_CHECK(fuzz_same(a->sweep.crank_deg, b->sweep.crank_deg, n * sizeof(double)));
    FUZZ_CHECK(fuzz_same(a->sweep.dial_mm, b->sweep.dial_mm, n * sizeof(double)));
    FUZZ_CHECK(fuzz_same(a->line, b->line, n * sizeof(size_t)));
    FUZZ_CHECK((a->sweep.direction != NULL) == (b->sweep.direction != NULL));
}

/* One at a time, compared with `all` when the table was accepted. */
static dialarc_status read_single(fuzz_source source, const dialarc_setups *setups,
                                  const dialarc_sweeps *all, dialarc_error *error)
{
    size_t size = source.memory.size, count = 0;
    dialarc_sweep_reader *reader = NULL;
    dialarc_sweep_buffer *buffer = dialarc_sweep_buffer_new();
    dialarc_status status =
        dialarc_sweep_reader_new(fuzz_read, &source, setups, &reader, error);
    while (status == DIALARC_OK) {
        dialarc_sweep_record r;
        status = dialarc_sweep_reader_next(reader, buffer, &r, error);
        if (status != DIALARC_OK || !r.name)
            break;
        check_record(&r, setups, size);
        if (all)
            check_same(&r, dialarc_sweeps_get(all, count));
        count++;
    }
    if (all)
        FUZZ_CHECK(status == DIALARC_OK && count == dialarc_sweeps_count(all));
    dialarc_sweep_reader_free(reader);
    dialarc_sweep_buffer_free(buffer);
    return status;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size < 1)
        return 0;
    const dialarc_setups *setups = fuzz_setups(data[0] >> 7);
    fuzz_source source = fuzz_table(data + 1, size - 1, 0);
    dialarc_sweeps *all = NULL;
    dialarc_error error = {0}, again[FUZZ_ERRORS] = {fuzz_room(data[0])};
    dialarc_status status = dialarc_sweeps_read(fuzz_read, &source, setups, &all, &error);
    fuzz_check_error(status, &error, size);
    FUZZ_CHECK((all != NULL) == (status == DIALARC_OK));
    read_single(fuzz_table(data + 1, size - 1, data[0] & 127), setups, all, again);
    fuzz_same_error(&error, again);
    dialarc_sweeps_free(all);
    return 0;
}
