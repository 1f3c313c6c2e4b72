/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The names already met in a table, in memory that stays flat: at least the last 262,144
 * names are remembered, as 64-bit fingerprints. Two different names are taken for one
 * with a chance below 3e-14.
 */
#ifndef DARC_TABLE_NAMES_H
#define DARC_TABLE_NAMES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <dialarc/status.h>

/* A table of fingerprints, open addressing, 0 for an empty place. */
typedef struct darc_names_part {
    uint64_t *place;
    size_t places, used;
} darc_names_part;

/* The older part is dropped when the newer one is full. Zero to begin with. */
typedef struct darc_names {
    darc_names_part newer, older;
} darc_names;

void darc_names_free(darc_names *names);

/* Adds a name; *met says whether it was there already. DIALARC_OK or _ERR_NO_MEMORY. */
dialarc_status darc_names_add(darc_names *names, const char *name, bool *met);

/* Fingerprint of a name, never 0. */
uint64_t darc_name_hash(const char *name);

#endif
