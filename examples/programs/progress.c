/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "progress.h"

#include <stdio.h>
#include <time.h>
#include <unistd.h>

#define EVERY_S 0.2

static double now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

void progress_begin(progress *p)
{
    *p = (progress){.watched = isatty(STDERR_FILENO)};
    p->began_s = p->told_s = now_s();
}

void progress_wipe(progress *p)
{
    if (p->width > 0)
        fprintf(stderr, "\r%*s\r", p->width, "");
    p->width = 0;
}

void progress_tell(progress *p, size_t rows, size_t sweeps, double share)
{
    double now = p->watched ? now_s() : 0.0;
    if (!p->watched || now - p->told_s < EVERY_S)
        return;
    double passed = now - p->began_s;
    char left[32] = "";
    if (share > 0.0 && share <= 1.0) {
        double seconds = passed * (1.0 - share) / share;
        if (seconds < 100.0)
            snprintf(left, sizeof left, ", %.0f s left", seconds);
        else
            snprintf(left, sizeof left, ", %.0f min left", seconds / 60.0);
    }
    progress_wipe(p);
    p->width = fprintf(stderr, "%zu rows, %zu sweeps, %.0f sweeps/s%s", rows, sweeps,
                       (double)sweeps / passed, left);
    fflush(stderr);
    p->told_s = now;
}
