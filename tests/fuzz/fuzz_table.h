/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What the targets of the table readers share: bytes handed out in pieces. The first byte
 * of the input is the size of a piece, 0 for the whole table at once; so no answer may
 * depend on it.
 */
#ifndef FUZZ_TABLE_H
#define FUZZ_TABLE_H

#include <dialarc/table_setups.h>

#include "fuzz_kit.h"

typedef struct fuzz_source {
    dialarc_memory memory;
    size_t piece;
} fuzz_source;

static inline fuzz_source fuzz_table(const uint8_t *data, size_t size, size_t piece)
{
    return (fuzz_source){.memory = {.data = (const char *)data, .size = size},
                         .piece = piece};
}

static inline size_t fuzz_read(void *context, void *data, size_t size)
{
    fuzz_source *s = context;
    return dialarc_read_memory(&s->memory, data,
                               s->piece && s->piece < size ? s->piece : size);
}

/* The first error of an array that takes one fault, or all there is room for: the first
 * fault is the same. */
#define FUZZ_ERRORS 3
static inline dialarc_error fuzz_room(unsigned byte)
{
    return (dialarc_error){.room = byte & 1 ? FUZZ_ERRORS : 0};
}

/* A refused table has a reason and a place inside it; an accepted one has neither. */
static inline void fuzz_check_error(dialarc_status status, const dialarc_error *error,
                                    size_t size)
{
    char line[1024];
    FUZZ_CHECK(status <= DIALARC_OK);
    FUZZ_CHECK(error->status == status);
    FUZZ_CHECK(memchr(error->text, 0, sizeof error->text) != NULL);
    FUZZ_CHECK((error->text[0] != 0) == (status != DIALARC_OK));
    FUZZ_CHECK(error->line <= size + 1 && error->row <= error->line);
    FUZZ_CHECK(dialarc_error_text(error, NULL, line, sizeof line) == DIALARC_OK);
}

/* Two readings of one table must agree about what is wrong. */
static inline void fuzz_same_error(const dialarc_error *a, const dialarc_error *b)
{
    FUZZ_CHECK(a->status == b->status && a->line == b->line && a->row == b->row);
    FUZZ_CHECK(a->column == b->column && strcmp(a->text, b->text) == 0);
    FUZZ_CHECK(strcmp(a->column_name, b->column_name) == 0);
    FUZZ_CHECK((a->count > 0) == (b->count > 0));
    for (size_t i = 0; i < b->room && i < b->count; i++)
        FUZZ_CHECK(b[i].status < DIALARC_OK && b[i].text[0]);
}

/* Bits, so that what is not known equals itself. */
static inline int fuzz_same(const void *a, const void *b, size_t size)
{
    return memcmp(a, b, size) == 0;
}

/* Setups for the targets that need some: one or two of them, as the bit says. */
static inline const dialarc_setups *fuzz_setups(int one)
{
    static const char text[] = "setup,lobes,angle_sd_deg\na,4,0.5\nb,6,\n";
    static dialarc_setups *made[2];
    if (!made[one]) {
        fuzz_source source =
            fuzz_table((const uint8_t *)text, strlen(text) - (one ? 5 : 0), 0);
        FUZZ_CHECK(dialarc_setups_read(fuzz_read, &source, &made[one], NULL) ==
                   DIALARC_OK);
    }
    return made[one];
}

#endif
