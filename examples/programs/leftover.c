/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "leftover.h"

#include <dirent.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

/* Between its making and its lock a file must not look like one that was left. */
#define YOUNG_S 60

static int lock(int handle)
{
    struct flock whole = {.l_type = F_WRLCK, .l_whence = SEEK_SET};
    return fcntl(handle, F_SETLK, &whole);
}

void leftover_lock(int handle)
{
    (void)lock(handle); /* where there are no locks nothing is swept either */
}

/* Whether a name is that of a temporary file of this target. */
static int is_ours(const char *name, const char *target)
{
    size_t length = strlen(target), ending = strlen(LEFTOVER_ENDING),
           x = strlen("XXXXXX");
    return strlen(name) == length + ending && strncmp(name, target, length) == 0 &&
           strncmp(name + length, LEFTOVER_ENDING, ending - x) == 0;
}

/* In the folder that `folder` is a handle of. */
static void remove_if_left(int folder, const char *name)
{
    struct stat status;
    int handle = openat(folder, name, O_RDWR | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
    if (handle < 0)
        return;
    if (fstat(handle, &status) == 0 && S_ISREG(status.st_mode) &&
        time(NULL) - status.st_mtime > YOUNG_S && lock(handle) == 0)
        unlinkat(folder, name, 0);
    close(handle);
}

void leftover_sweep(const char *target)
{
    const char *slash = strrchr(target, '/'), *name = slash ? slash + 1 : target;
    char *where = slash ? strdup(target) : strdup(".");
    if (where && slash)
        where[slash == target ? 1 : slash - target] = '\0';
    DIR *folder = where ? opendir(where) : NULL;
    free(where);
    if (!folder)
        return;
    for (struct dirent *entry; (entry = readdir(folder)) != NULL;)
        if (is_ours(entry->d_name, name))
            remove_if_left(dirfd(folder), entry->d_name);
    closedir(folder);
}
