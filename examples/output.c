/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _XOPEN_SOURCE 700 /* realpath() */

#include "output.h"

#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

void output_guard(void)
{
    for (int handle = 0; handle <= 2; handle++)
        if (fcntl(handle, F_GETFD) < 0)
            (void)!open("/dev/null", handle == 0 ? O_WRONLY : O_RDONLY);
}

/* A temporary file beside the target, with the permissions that the target will have. */
static FILE *open_beside(output *out, mode_t mode)
{
    size_t length = strlen(out->target);
    out->temporary = malloc(length + sizeof ".XXXXXX");
    if (!out->temporary)
        return NULL;
    memcpy(out->temporary, out->target, length);
    strcpy(out->temporary + length, ".XXXXXX");
    int handle = mkstemp(out->temporary);
    FILE *file = handle < 0 || fchmod(handle, mode) ? NULL : fdopen(handle, "wb");
    if (handle >= 0 && !file) {
        close(handle);
        unlink(out->temporary);
    }
    return file;
}

int output_open(output *out, const char *path)
{
    *out = (output){0};
    if (!path) {
        out->file = tmpfile();
        return out->file ? 0 : -1;
    }
    struct stat status;
    int exists = stat(path, &status) == 0;
    /* A link stays a link: what it leads to is replaced. */
    out->target = exists ? realpath(path, NULL) : strdup(path);
    if (out->target && exists && !S_ISREG(status.st_mode)) {
        out->file = tmpfile(); /* a device or pipe cannot be renamed over */
    } else if (out->target) {
        mode_t mask = umask(0);
        umask(mask);
        out->file = open_beside(out, exists ? status.st_mode & 0777 : 0666 & ~mask);
    }
    if (out->file)
        return 0;
    free(out->target);
    free(out->temporary);
    return -1;
}

static int copy(FILE *from, FILE *to)
{
    char block[8192];
    size_t got;
    rewind(from);
    while ((got = fread(block, 1, sizeof block, from)) > 0)
        if (fwrite(block, 1, got, to) != got)
            return -1;
    return ferror(from) ? -1 : 0;
}

int output_finish(output *out)
{
    int failed = fflush(out->file) != 0 || ferror(out->file);
    if (out->temporary) {
        failed |= !failed && fsync(fileno(out->file)) != 0;
        failed |= fclose(out->file) != 0;
        failed |= !failed && rename(out->temporary, out->target) != 0;
        if (failed)
            unlink(out->temporary);
    } else {
        FILE *to = failed ? NULL : out->target ? fopen(out->target, "wb") : stdout;
        failed |= !to || copy(out->file, to) != 0;
        failed |= to && fclose(to) != 0; /* a full disk or a closed output shows here */
        fclose(out->file);
    }
    free(out->target);
    free(out->temporary);
    return failed ? -1 : 0;
}

void output_discard(output *out)
{
    fclose(out->file);
    if (out->temporary)
        unlink(out->temporary);
    free(out->target);
    free(out->temporary);
}
