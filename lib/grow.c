/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "grow.h"

#include <stdlib.h>

bool darc_grow(size_t *room, size_t first, int count, void **array, const size_t *size)
{
    size_t elements = *room ? 2 * *room : first;
    for (int k = 0; k < count; k++) {
        void *more = realloc(array[k], elements * size[k]);
        if (!more)
            return false;
        array[k] = more;
    }
    *room = elements;
    return true;
}
