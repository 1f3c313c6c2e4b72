/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "table/table_near.h"

#include <string.h>

#include "table/table.h"

#define LONGEST 31 /* of the names that are compared */

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c + ('a' - 'A')) : c;
}

bool darc_is_named(const char *text, size_t length, const char *name)
{
    const char *p = text, *end = p + length;
    darc_trim(&p, &end);
    for (; p < end && *name; p++, name++)
        if (lower(*p) != *name)
            return false;
    return p == end && !*name;
}

/* Keeps letters, digits and what is not ASCII; returns how many bytes. */
static int keep_letters(const char *text, size_t length, char kept[LONGEST])
{
    int n = 0;
    for (size_t i = 0; i < length; i++) {
        char c = lower(text[i]);
        if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || (unsigned char)c >= 0x80)
            kept[n++] = c;
    }
    return n;
}

static int least(int a, int b)
{
    return a < b ? a : b;
}

/*
 * Fewest letters to add, leave out, replace or exchange with their neighbours that make
 * one text of the other (F. J. Damerau, 1964; each place touched once, from memory).
 */
static int distance(const char *a, int n, const char *b, int m)
{
    int d[LONGEST + 1][LONGEST + 1];
    for (int i = 0; i <= n; i++)
        d[i][0] = i;
    for (int j = 0; j <= m; j++)
        d[0][j] = j;
    for (int i = 1; i <= n; i++)
        for (int j = 1; j <= m; j++) {
            d[i][j] = least(d[i - 1][j - 1] + (a[i - 1] != b[j - 1]),
                            least(d[i - 1][j], d[i][j - 1]) + 1);
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                d[i][j] = least(d[i][j], d[i - 2][j - 2] + 1);
        }
    return d[n][m];
}

int darc_name_distance(const char *text, size_t length, const char *name)
{
    size_t known = strlen(name);
    if (length > LONGEST || known > LONGEST)
        return DARC_NAME_FAR;
    char a[LONGEST], b[LONGEST];
    int n = keep_letters(text, length, a), m = keep_letters(name, known, b);
    int most = m < 3 ? 0 : m < 8 ? 1 : 2;
    if (n < m - most || n > m + most)
        return DARC_NAME_FAR;
    int slips = distance(a, n, b, m);
    return slips <= most ? slips : DARC_NAME_FAR;
}
