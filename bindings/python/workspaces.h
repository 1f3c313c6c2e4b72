/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Workspaces serve one thread at a time.
 */
#ifndef DARPY_WORKSPACES_H
#define DARPY_WORKSPACES_H

#include "support.h"

/* Workspaces in use; the GIL guards the list. */
typedef struct darpy_busy {
    const void *what;
    struct darpy_busy *next;
} darpy_busy;

static darpy_busy *darpy_in_use;

static int darpy_occupy(darpy_busy *busy, const void *what, const char *function)
{
    for (const darpy_busy *other = darpy_in_use; other; other = other->next)
        if (other->what == what) {
            darpy_complain(PyExc_RuntimeError, function, "workspace",
                           "in use by another thread; give each thread its own", NULL);
            return -1;
        }
    busy->what = what;
    busy->next = darpy_in_use;
    darpy_in_use = busy;
    return 0;
}

static void darpy_vacate(darpy_busy *busy)
{
    darpy_busy **link = &darpy_in_use;
    while (*link && *link != busy)
        link = &(*link)->next;
    if (*link)
        *link = busy->next;
}

#endif
