/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Preloaded by faults.sh: what a machine may do to a program. Of the environment FAULT
 * says which call goes wrong, FAULT_AT the number of the call that does:
 *
 *     memory  there is none from that call on
 *     own     the same, but only for what the program asks for itself, and not what it
 *             rests on
 *     write   writing to a file, or to the disk below it, fails with EIO from then on
 *     kill    the program is killed before it writes, or takes a file away
 *
 * After the last call the number of calls is written to the file FAULT_COUNT.
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const char *fault;
static long fault_at, calls;

__attribute__((constructor)) static void begin(void)
{
    const char *at = getenv("FAULT_AT");
    fault = getenv("FAULT");
    fault_at = at ? atol(at) : 0;
}

__attribute__((destructor)) static void end(void)
{
    const char *path = getenv("FAULT_COUNT");
    FILE *file = path ? fopen(path, "w") : NULL;
    long counted = calls;
    fault = NULL;
    if (file) {
        fprintf(file, "%ld\n", counted);
        fclose(file);
    }
}

/* Whether this is the call that goes wrong. */
static int strikes(const char *which)
{
    if (!fault || strcmp(fault, which) != 0)
        return 0;
    calls++;
    return fault_at > 0 && calls >= fault_at;
}

/* Whether it is dialarc's own code that asks. */
static int own(const void *place)
{
    Dl_info from;
    if (!dladdr(place, &from) || !from.dli_fname)
        return 0;
    const char *name = strrchr(from.dli_fname, '/');
    return strstr(name ? name : from.dli_fname, "dialarc") != NULL;
}

static int no_memory(const void *place)
{
    return strikes("memory") || (own(place) && strikes("own"));
}
#define NO_MEMORY no_memory(__builtin_return_address(0))

void *malloc(size_t size)
{
    static void *(*real)(size_t);
    if (!real)
        *(void **)&real = dlsym(RTLD_NEXT, "malloc");
    return NO_MEMORY ? (errno = ENOMEM, (void *)NULL) : real(size);
}

void *realloc(void *was, size_t size)
{
    static void *(*real)(void *, size_t);
    if (!real)
        *(void **)&real = dlsym(RTLD_NEXT, "realloc");
    return NO_MEMORY ? (errno = ENOMEM, (void *)NULL) : real(was, size);
}

void *calloc(size_t n, size_t size)
{
    static void *(*real)(size_t, size_t);
    static char early[4096]; /* dlsym() asks for some itself */
    static size_t used;
    static int looking;
    if (!real && looking) {
        void *piece = early + used;
        used += (n * size + 15) / 16 * 16;
        return used <= sizeof early ? piece : NULL;
    }
    if (!real) {
        looking = 1;
        *(void **)&real = dlsym(RTLD_NEXT, "calloc");
    }
    return NO_MEMORY ? (errno = ENOMEM, (void *)NULL) : real(n, size);
}

/* Files alone: what is said on the terminal goes through. */
static int fails(int handle)
{
    if (handle <= STDERR_FILENO)
        return 0;
    if (strikes("kill"))
        raise(SIGKILL);
    return strikes("write");
}

ssize_t write(int handle, const void *data, size_t size)
{
    static ssize_t (*real)(int, const void *, size_t);
    if (!real)
        *(void **)&real = dlsym(RTLD_NEXT, "write");
    return fails(handle) ? (errno = EIO, -1) : real(handle, data, size);
}

ssize_t pwrite64(int handle, const void *data, size_t size, off64_t at)
{
    static ssize_t (*real)(int, const void *, size_t, off64_t);
    if (!real)
        *(void **)&real = dlsym(RTLD_NEXT, "pwrite64");
    return fails(handle) ? (errno = EIO, -1) : real(handle, data, size, at);
}

int fsync(int handle)
{
    static int (*real)(int);
    if (!real)
        *(void **)&real = dlsym(RTLD_NEXT, "fsync");
    return fails(handle) ? (errno = EIO, -1) : real(handle);
}

int unlink(const char *path)
{
    static int (*real)(const char *);
    if (!real)
        *(void **)&real = dlsym(RTLD_NEXT, "unlink");
    if (strikes("kill"))
        raise(SIGKILL);
    return real(path);
}
