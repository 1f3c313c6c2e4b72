/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * How often plucks of many kinds are read right, refused or read wrong:
 *   pluck_trials [RECORDINGS [SEED [KIND]]]    so many of each kind, or 1000
 */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "kit/pluck_trials.h"

static void table(const pluck_kind *kind, size_t kinds, uint64_t seed, int n,
                  const char *only)
{
    for (size_t i = 0; i < kinds; i++) {
        if (only && strcmp(only, kind[i].name) != 0)
            continue;
        pluck_count c = pluck_try(&kind[i], seed + i, n);
        int given = c.right + c.wrong;
        printf("%-26s%8d%9d%7d%9d%9.1f%10.2f\n", kind[i].name, c.right, c.refused,
               c.wrong, c.another, given > 0 ? 100.0 * c.covered / given : 0.0,
               100.0 * c.farthest);
        fflush(stdout);
    }
}

int main(int argc, char **argv)
{
    int n = argc > 1 ? atoi(argv[1]) : 1000;
    uint64_t seed = argc > 2 ? strtoull(argv[2], NULL, 10) : 1;
    const char *only = argc > 3 ? argv[3] : NULL;
    printf("%-26s%8s%9s%7s%9s%9s%10s\n", "recordings", "right", "refused", "wrong",
           "another", "U, %", "worst, %");
    table(pluck_kinds, pluck_kinds_n, seed, n, only);
    table(pluck_strange_kinds, pluck_strange_kinds_n, seed + 1000, n, only);
    return 0;
}
