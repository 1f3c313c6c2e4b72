/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "table/table_names.h"

#include <stdlib.h>

#define MOST ((size_t)262144)

uint64_t darc_name_hash(const char *name)
{
    uint64_t h = 0xcbf29ce484222325u; /* FNV-1a, then a finisher that spreads the bits */
    for (; *name; name++)
        h = (h ^ (unsigned char)*name) * 0x100000001b3u;
    h = (h ^ h >> 30) * 0xbf58476d1ce4e5b9u;
    h = (h ^ h >> 27) * 0x94d049bb133111ebu;
    h ^= h >> 31;
    return h ? h : 1;
}

void darc_names_free(darc_names *names)
{
    free(names->newer.place);
    free(names->older.place);
    *names = (darc_names){0};
}

/* The place of a fingerprint, or the empty one where it belongs. */
static uint64_t *find(const darc_names_part *part, uint64_t h)
{
    size_t i = (size_t)h & (part->places - 1);
    while (part->place[i] && part->place[i] != h)
        i = (i + 1) & (part->places - 1);
    return &part->place[i];
}

/* Twice the places, or the first 64. */
static dialarc_status grow(darc_names_part *part)
{
    darc_names_part larger = {.places = part->places ? 2 * part->places : 64,
                              .used = part->used};
    larger.place = calloc(larger.places, sizeof *larger.place);
    if (!larger.place)
        return DIALARC_ERR_NO_MEMORY;
    for (size_t i = 0; i < part->places; i++)
        if (part->place[i])
            *find(&larger, part->place[i]) = part->place[i];
    free(part->place);
    *part = larger;
    return DIALARC_OK;
}

dialarc_status darc_names_add(darc_names *names, const char *name, bool *met)
{
    uint64_t h = darc_name_hash(name);
    *met = (names->older.places && *find(&names->older, h)) ||
           (names->newer.places && *find(&names->newer, h));
    if (*met)
        return DIALARC_OK;
    if (names->newer.used == MOST) {
        free(names->older.place);
        names->older = names->newer;
        names->newer = (darc_names_part){0};
    }
    if (2 * names->newer.used >= names->newer.places) {
        dialarc_status status = grow(&names->newer);
        if (status != DIALARC_OK)
            return status;
    }
    *find(&names->newer, h) = h;
    names->newer.used++;
    return DIALARC_OK;
}
