/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The work of a host, for the tests of hosts that are not kind: each task makes calls
 * with good input and notes every number that comes back.
 */
#ifndef HOSTILE_KIT_H
#define HOSTILE_KIT_H

#include <stddef.h>

#ifdef EVERY_CALL /* each call is kept, to be made again otherwise: kit/every_call.h */
#include "kit/every_names.h"
#endif

#include "kit/simulate.h"

#define HOSTILE_MOST 2000

/*
 * 0 under the sanitizers and valgrind, which are hosts of their own: they need more stack
 * and address space, and valgrind has neither traps nor all rounding modes.
 */
int hostile_plain_machine(void);

/* What came back. */
typedef struct hostile_notes {
    size_t n;
    double number[HOSTILE_MOST];
    char text[4000]; /* rows of the results table */
} hostile_notes;

typedef struct hostile_task {
    const char *name;
    void (*work)(hostile_notes *notes);
} hostile_task;

/* Notes one more number. */
void hostile_note(hostile_notes *notes, double number);

/* Tasks of hostile_sums.c. */
void hostile_sums(hostile_notes *notes);
void hostile_edges(hostile_notes *notes);

/* The tasks; hostile_tasks of them. */
extern const hostile_task hostile_task_list[];
extern const int hostile_tasks;

/* Ways in which a sweep becomes one that no pump gives. */
#define HOSTILE_WAYS 12
void hostile_spoil(int way, sim_random *r, sim_sweep *s);

/* Makes the sweeps and recordings; before anything is made hostile. */
void hostile_prepare(void);

/* Does a task with notes that are empty at first. */
void hostile_do(int task, hostile_notes *notes);

/* The same numbers and rows to the last bit; NaN is what is not known. */
void hostile_check_same(const hostile_notes *a, const hostile_notes *b, const char *task);

#endif
