/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Allocations that fail on purpose. A program that uses this is linked with
 * -Wl,--wrap=malloc,--wrap=calloc,--wrap=realloc,--wrap=free: the linker then puts the
 * functions of memory_kit.c in place of the C library's, in the library under test as
 * well. Threads may allocate at once.
 */
#ifndef MEMORY_KIT_H
#define MEMORY_KIT_H

#include <dialarc/status.h>
#include <stddef.h>

/* Counts from now on and lets allocation number `failing`, from 0, fail; -1: none. */
void memory_watch(int failing);

/* No longer counts. Returns whether the failing allocation was reached. */
int memory_ignore(void);

/* Allocations made while counting and not freed again; negative: of things made before.
 */
long memory_living(void);

/* Allocations asked for while counting. */
long memory_asked(void);

/*
 * A path through the library that frees all it made and writes its results, if any, to
 * `result`.
 */
typedef dialarc_status (*memory_path)(void *result);

/*
 * Runs the path until none of its allocations fails any more, each of them failing once:
 * the answer must be DIALARC_ERR_NO_MEMORY, the `size` bytes of the result untouched, and
 * nothing may leak. Returns how many allocations there were.
 */
int memory_each_fails(memory_path path, void *result, size_t size);

#endif
