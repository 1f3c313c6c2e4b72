/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Arrays that grow together. */
#ifndef DARC_GROW_H
#define DARC_GROW_H

#include <stdbool.h>
#include <stddef.h>

/* Doubles the room of `count` arrays with elements of size[k] bytes, from `first`
 * elements on. array[k] is where array k lies afterwards, also when memory is short:
 * false, and the room stays what it was. */
bool darc_grow(size_t *room, size_t first, int count, void **array, const size_t *size);

#endif
