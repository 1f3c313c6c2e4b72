/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Threads that help the calling one. Without threads (DARC_NO_THREADS) no helper ever
 * starts, and the calling thread does all the work by the same code.
 */
#ifndef DARC_THREADS_H
#define DARC_THREADS_H

#include <stdbool.h>
#include <stddef.h>

#ifdef DARC_NO_THREADS
typedef struct darc_monitor {
    int none;
} darc_monitor;
typedef int darc_thread;
#else
#include <pthread.h>

/* A lock, and a way to wait until somebody has changed what it guards. */
typedef struct darc_monitor {
    pthread_mutex_t mutex;
    pthread_cond_t changed;
} darc_monitor;
typedef pthread_t darc_thread;
#endif

bool darc_monitor_open(darc_monitor *monitor);
void darc_monitor_close(darc_monitor *monitor);
void darc_lock(darc_monitor *monitor);
void darc_unlock(darc_monitor *monitor);

/* Waits, unlocked meanwhile, for darc_tell(); may return without. */
void darc_wait(darc_monitor *monitor);
void darc_tell(darc_monitor *monitor);

/* Helpers at work. */
typedef struct darc_crew {
    darc_thread *thread;
    size_t count;
} darc_crew;

/* How many threads shall work in all: `asked`, or for 0 one a processor; at least 1. */
size_t darc_threads_wanted(size_t asked);

/* Starts at most `count` helpers; crew->count says how many there are. Signals are left
 * to the other threads of the host. */
void darc_crew_start(darc_crew *crew, size_t count, void *(*work)(void *), void *context);

/* Waits until all of them have finished. */
void darc_crew_join(darc_crew *crew);

#endif
