/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "nearest.h"

#include <string.h>

#define LONGEST 31

static size_t least(size_t a, size_t b)
{
    return a < b ? a : b;
}

/* Letters to change, insert or leave out between two words (Levenshtein's distance). */
static size_t distance(const char *a, const char *b)
{
    size_t row[LONGEST + 1], n = strlen(b);
    if (strlen(a) > LONGEST || n > LONGEST)
        return LONGEST;
    for (size_t j = 0; j <= n; j++)
        row[j] = j;
    for (size_t i = 0; a[i]; i++) {
        size_t diagonal = row[0];
        row[0] = i + 1;
        for (size_t j = 0; j < n; j++) {
            size_t changed = diagonal + (a[i] != b[j]);
            diagonal = row[j + 1];
            row[j + 1] = least(changed, least(row[j], diagonal) + 1);
        }
    }
    return row[n];
}

const char *nearest(const char *word, size_t n, const char *const *name)
{
    const char *best = NULL;
    size_t fewest = least(3, strlen(word));
    for (size_t i = 0; i < n; i++) {
        size_t letters = distance(word, name[i]);
        if (letters < fewest) {
            fewest = letters;
            best = name[i];
        }
    }
    return best;
}
