/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Calls of public functions that are kept and made again with other numbers.
 * every_call.py makes the part that knows the functions from the public headers: a source
 * that is compiled with EVERY_CALL (whole/vectors.h) has its calls kept, with copies of
 * all that was handed over and every number of it in a list. Whoever changes such a
 * number and calls again learns whether a result that is called good is not finite.
 */
#ifndef EVERY_CALL_H
#define EVERY_CALL_H

#include <dialarc.h>
#include <limits.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define EVERY_MAYBE_UNUSED __attribute__((unused))
#define EVERY_ROOM         64 /* elements of a result, beside those that are asked for */

typedef enum every_kind {
    EVERY_NUMBER,
    EVERY_INT,
    EVERY_WORD,  /* uint32_t */
    EVERY_COUNT, /* size_t: only less than it was, for arrays end there */
    EVERY_PLACE, /* size_t that is checked, whatever it is */
    EVERY_POINTER
} every_kind;

typedef struct every_number {
    const char *name;
    every_kind kind;
    void *at;
} every_number;

typedef struct every_result_memory {
    void *at;
    size_t size;
} every_result_memory;

#define EVERY_SLOTS   400
#define EVERY_RESULTS 6

#define EVERY_NO_STATUS INT_MIN /* of a function that has none */

/* One kept call. */
typedef struct every_call {
    const char *function;
    int (*again)(struct every_call *call); /* status, or EVERY_NO_STATUS */
    void *arguments;
    size_t slots;
    every_number slot[EVERY_SLOTS];
    size_t results;
    every_result_memory result[EVERY_RESULTS];
    const char
        *not_finite; /* what the last call gave that is not finite; NULL: nothing */
} every_call;

/* Kept calls, in the order in which they were made. */
extern every_call *every_list[];
extern size_t every_calls;

/* Names of the functions of which calls are kept; NULL at the end. */
extern const char *const every_function[];

/* Makes the calls that are kept: every_scene.c. */
void every_prepare(void);

/* Calls again; false when what is good is not finite, or what failed has left something.
 */
bool every_again(every_call *call, int *status);

/* For the part that is made. Nothing is freed that a kept call may use. */
void every_hold(void *kept);
every_call *every_new(const char *function, int (*again)(every_call *), size_t size);
void every_done(every_call *call);
void *every_copy(every_call *call, const void *from, size_t size);
void *every_result(every_call *call, size_t size);
size_t every_size(const every_call *call, const void *result);
void every_slot(every_call *call, const char *name, every_kind kind, void *at);
void every_slots(every_call *call, const char *name, every_kind kind, void *at, size_t n,
                 size_t size);
void every_pointer(every_call *call, const char *name, void **at);
void every_finite(every_call *call, const char *name, const double *x, size_t n,
                  int unknown);
bool every_written(const void *at, size_t size);
void finite_handle_camtable(every_call *call, dialarc_camtable *table);
void finite_handle_dialcal(every_call *call, dialarc_dialcal *dialcal);
void finite_handle_learned_cam(every_call *call, dialarc_learned_cam *cam);

#endif
