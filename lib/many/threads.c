/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "many/threads.h"

#include <signal.h>
#include <stdlib.h>
#include <unistd.h>

#include <dialarc/batch.h>

#ifdef DARC_NO_THREADS

bool darc_monitor_open(darc_monitor *monitor)
{
    monitor->none = 0;
    return true;
}

void darc_monitor_close(darc_monitor *monitor)
{
    (void)monitor;
}

void darc_lock(darc_monitor *monitor)
{
    (void)monitor;
}

void darc_unlock(darc_monitor *monitor)
{
    (void)monitor;
}

void darc_wait(darc_monitor *monitor)
{
    (void)monitor;
}

void darc_tell(darc_monitor *monitor)
{
    (void)monitor;
}

size_t darc_threads_wanted(size_t asked)
{
    (void)asked;
    return 1;
}

void darc_crew_start(darc_crew *crew, size_t count, void *(*work)(void *), void *context)
{
    (void)count, (void)work, (void)context;
    *crew = (darc_crew){0};
}

void darc_crew_join(darc_crew *crew)
{
    (void)crew;
}

#else

bool darc_monitor_open(darc_monitor *monitor)
{
    if (pthread_mutex_init(&monitor->mutex, NULL))
        return false;
    if (pthread_cond_init(&monitor->changed, NULL) == 0)
        return true;
    pthread_mutex_destroy(&monitor->mutex);
    return false;
}

void darc_monitor_close(darc_monitor *monitor)
{
    pthread_cond_destroy(&monitor->changed);
    pthread_mutex_destroy(&monitor->mutex);
}

void darc_lock(darc_monitor *monitor)
{
    pthread_mutex_lock(&monitor->mutex);
}

void darc_unlock(darc_monitor *monitor)
{
    pthread_mutex_unlock(&monitor->mutex);
}

void darc_wait(darc_monitor *monitor)
{
    pthread_cond_wait(&monitor->changed, &monitor->mutex);
}

void darc_tell(darc_monitor *monitor)
{
    pthread_cond_broadcast(&monitor->changed);
}

size_t darc_threads_wanted(size_t asked)
{
    if (asked == 0) {
        long processors = sysconf(_SC_NPROCESSORS_ONLN);
        asked = processors > 0 ? (size_t)processors : 1;
    }
    return asked < DIALARC_THREADS_MAX ? asked : DIALARC_THREADS_MAX;
}

void darc_crew_start(darc_crew *crew, size_t count, void *(*work)(void *), void *context)
{
    *crew = (darc_crew){0};
    if (count == 0)
        return;
    crew->thread = malloc(count * sizeof *crew->thread);
    if (!crew->thread)
        return;
    sigset_t all, before;
    sigfillset(&all);
    bool blocked = pthread_sigmask(SIG_SETMASK, &all, &before) == 0;
    while (crew->count < count &&
           pthread_create(&crew->thread[crew->count], NULL, work, context) == 0)
        crew->count++;
    if (blocked)
        pthread_sigmask(SIG_SETMASK, &before, NULL);
}

void darc_crew_join(darc_crew *crew)
{
    for (size_t i = 0; i < crew->count; i++)
        pthread_join(crew->thread[i], NULL);
    free(crew->thread);
    *crew = (darc_crew){0};
}

#endif
