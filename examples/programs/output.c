/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _XOPEN_SOURCE 700 /* realpath() */

#include "output.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "complain.h"
#include "leftover.h"

static const int endings[] = {SIGHUP, SIGINT, SIGTERM};
enum { ENDINGS = sizeof endings / sizeof *endings };

/* The temporary file that goes when the program is told to end. */
static char *volatile doomed;

static void end(int which)
{
    static const char text[] = "\ninterrupted: the results were not written\n";
    int unwritten = doomed && unlink(doomed) == 0;
    if (which != SIGHUP)
        (void)!write(STDERR_FILENO, unwritten ? text : "\ninterrupted\n",
                     unwritten ? sizeof text - 1 : 13);
    raise(which); /* now with its usual effect; it waits until this function returns */
}

static sigset_t ending_set(void)
{
    sigset_t set;
    sigemptyset(&set);
    for (int i = 0; i < ENDINGS; i++)
        sigaddset(&set, endings[i]);
    return set;
}

/* Endings wait while on is 1: between a file and the note of its name. */
static void hold_endings(int on)
{
    const sigset_t set = ending_set();
    pthread_sigmask(on ? SIG_BLOCK : SIG_UNBLOCK, &set, NULL);
}

void output_guard(void)
{
    for (int handle = 0; handle <= 2; handle++)
        if (fcntl(handle, F_GETFD) < 0)
            (void)!open("/dev/null", handle == 0 ? O_WRONLY : O_RDONLY);
    struct sigaction action = {.sa_handler = SIG_IGN}, before;
    sigaction(SIGPIPE, &action, NULL);
    sigaction(SIGXFSZ, &action, NULL);
    action.sa_handler = end;
    action.sa_flags = (int)SA_RESETHAND;
    action.sa_mask = ending_set();
    for (int i = 0; i < ENDINGS; i++)
        if (sigaction(endings[i], NULL, &before) == 0 && before.sa_handler != SIG_IGN)
            sigaction(endings[i], &action,
                      NULL); /* nohup has ignored the first of them */
}

/* A temporary file beside the target, with the permissions that the target will have. */
static FILE *open_beside(output *out, mode_t mode)
{
    size_t length = strlen(out->target);
    out->temporary = malloc(length + sizeof LEFTOVER_ENDING);
    if (!out->temporary)
        return NULL;
    memcpy(out->temporary, out->target, length);
    strcpy(out->temporary + length, LEFTOVER_ENDING);
    leftover_sweep(out->target);
    hold_endings(1);
    int handle = mkstemp(out->temporary);
    doomed = handle < 0 ? NULL : out->temporary;
    hold_endings(0);
    FILE *file = handle < 0 || fchmod(handle, mode) ? NULL : fdopen(handle, "wb");
    if (file)
        leftover_lock(handle);
    if (handle >= 0 && !file) {
        out->error = errno;
        close(handle);
        unlink(out->temporary);
    }
    return file;
}

static void release(output *out)
{
    doomed = NULL;
    free(out->target);
    free(out->temporary);
}

#define LINKS_MOST 40 /* as the kernel has it */

/* Where a link leads, beside the link when that is said in relation to it. NULL: errno.
 */
static char *one_step(const char *link)
{
    char to[PATH_MAX];
    ssize_t length = readlink(link, to, sizeof to - 1);
    if (length < 0)
        return NULL;
    to[length] = '\0';
    const char *slash = strrchr(link, '/');
    size_t folder = to[0] != '/' && slash ? (size_t)(slash + 1 - link) : 0;
    char *path = malloc(folder + (size_t)length + 1);
    if (path) {
        memcpy(path, link, folder);
        memcpy(path + folder, to, (size_t)length + 1);
    }
    return path;
}

/* What a link leads to that is not there yet: it is made, and the link stays. */
static char *behind_links(const char *path)
{
    char *at = strdup(path);
    struct stat status;
    for (int i = 0; at && lstat(at, &status) == 0 && S_ISLNK(status.st_mode); i++) {
        char *next = i < LINKS_MOST ? one_step(at) : NULL;
        if (i == LINKS_MOST)
            errno = ELOOP;
        free(at);
        at = next;
    }
    return at;
}

static int open_output(output *out, const char *path)
{
    *out = (output){0};
    struct stat status;
    int exists = path && stat(path, &status) == 0;
    if (path)
        out->target = !exists                   ? behind_links(path)
                      : S_ISREG(status.st_mode) ? realpath(path, NULL)
                                                : strdup(path);
    if (!path || (out->target && exists && !S_ISREG(status.st_mode))) {
        out->file = tmpfile(); /* a device or pipe cannot be renamed over */
        out->staging = !out->file;
    } else if (out->target) {
        mode_t mask = umask(0);
        umask(mask);
        out->file = open_beside(out, exists ? status.st_mode & 0777 : 0666 & ~mask);
    }
    if (out->file)
        return 0;
    out->error = out->error ? out->error : errno;
    release(out);
    return -1;
}

/* Past the buffer of `to`, which would keep what could not be written. */
static int copy(FILE *from, FILE *to)
{
    char block[8192];
    size_t got;
    if (fflush(to))
        return -1;
    rewind(from);
    while ((got = fread(block, 1, sizeof block, from)) > 0)
        for (size_t done = 0; done < got;) {
            ssize_t now = write(fileno(to), block + done, got - done);
            if (now < 0 && errno != EINTR)
                return -1;
            done += now > 0 ? (size_t)now : 0;
        }
    return ferror(from) ? -1 : 0;
}

/* Copies everything or, where that is in our hands, nothing. */
static int copy_whole(output *out, FILE *to)
{
    struct stat before;
    int is_file = fstat(fileno(to), &before) == 0 && S_ISREG(before.st_mode);
    if (is_file)
        hold_endings(1);
    int failed = copy(out->file, to) != 0;
    if (failed) {
        out->error = errno;
        if (is_file)
            (void)!ftruncate(fileno(to), before.st_size);
    }
    if (is_file)
        hold_endings(0);
    return failed;
}

static int rename_whole(output *out)
{
    int failed = fsync(fileno(out->file)) != 0;
    out->error = failed ? errno : 0;
    if (fclose(out->file) && !failed)
        failed = 1, out->error = errno;
    if (!failed && rename(out->temporary, out->target))
        failed = 1, out->error = errno;
    if (failed)
        unlink(out->temporary);
    return failed;
}

static void discard(output *out)
{
    fclose(out->file);
    if (out->temporary)
        unlink(out->temporary);
    release(out);
}

static int finish(output *out)
{
    errno = 0;
    if (fflush(out->file) || ferror(out->file)) {
        out->error = out->error ? out->error : errno;
        out->staging = !out->temporary;
        discard(out);
        return -1;
    }
    int failed;
    if (out->temporary) {
        failed = rename_whole(out);
    } else {
        FILE *to = out->target ? fopen(out->target, "wb") : stdout;
        out->error = errno;
        failed = !to || copy_whole(out, to);
        if (to && fclose(to) && !failed) /* a closed output shows here */
            failed = 1, out->error = errno;
        fclose(out->file);
    }
    release(out);
    return failed ? -1 : 0;
}

static int fail(const char *who, const char *path, const output *out)
{
    char text[200];
    snprintf(text, sizeof text, "cannot be written%s%s%s",
             out->staging ? ": temporary file" : "", out->error ? ": " : "",
             out->error ? strerror(out->error) : "");
    return complain(who, path ? path : "standard output", text);
}

int output_write(const char *who, const char *path, output_fill fill, void *job)
{
    output out;
    if (open_output(&out, path))
        return fail(who, path, &out);
    int result = fill(&out, job);
    if (result == FAILED)
        discard(&out);
    else if (finish(&out)) /* also where writing has failed on the way */
        result = fail(who, path, &out);
    return result;
}
