/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What somebody may have meant who has mistyped a name.
 */
#ifndef NEAREST_H
#define NEAREST_H

#include <stddef.h>

/* The name of a list that is most like the word, or NULL when none is like it. */
const char *nearest(const char *word, size_t n, const char *const *name);

#endif
