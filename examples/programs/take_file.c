/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "take_file.h"

#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "complain.h"
#include "csv.h"
#include "shown.h"
#include "tables.h"

#define HEADER "sweep,setup,crank_deg,dial_mm,direction,time_s,line\n"

static int fail(const char *who, const take_file *file)
{
    return complain(who, file->path, strerror(errno));
}

/* Where the last whole row ends, or the row before it. The table is small. */
static int find_end(int descriptor, int struck, off_t *end)
{
    struct stat about;
    if (fstat(descriptor, &about) != 0)
        return FAILED;
    off_t at = about.st_size;
    for (int newlines = 0; at > 0; at--) {
        char byte;
        if (pread(descriptor, &byte, 1, at - 1) != 1)
            return FAILED;
        newlines += byte == '\n';
        if (byte == '\n' && newlines > struck)
            break;
    }
    *end = at;
    return DONE;
}

static int cut_off(const take_file *file, off_t end)
{
    return ftruncate(file->descriptor, end) == 0 && fsync(file->descriptor) == 0 ? DONE
                                                                                 : FAILED;
}

/* Writes all of it, and waits until it is on the disk. */
static int put(const take_file *file, const char *text, size_t length)
{
    while (length > 0) {
        ssize_t written = write(file->descriptor, text, length);
        if (written < 0 && errno != EINTR)
            return FAILED;
        if (written > 0) {
            text += written;
            length -= (size_t)written;
        }
    }
    return fsync(file->descriptor) == 0 ? DONE : FAILED;
}

/* ---- a table that is there --------------------------------------------------------- */

typedef struct search {
    const take_file *file;
    const dialarc_setups *setups;
    dialarc_live *live;
    const char *who;
    int found, last; /* the sweep, and that it comes last */
} search;

static int take_record(void *job, dialarc_sweep_record *record)
{
    search *s = job;
    s->last = strcmp(record->name, s->file->sweep) == 0;
    if (!s->last)
        return DONE;
    s->found = 1;
    if (strcmp(dialarc_setups_name(s->setups, record->setup_index), s->file->engine) != 0)
        return complain(
            s->who, s->file->sweep,
            "this sweep was begun on another engine; give it another --sweep");
    for (size_t i = 0; i < record->sweep.n; i++) {
        const dialarc_taken taken = {record->sweep.crank_deg[i], record->sweep.dial_mm[i],
                                     record->sweep.direction ? record->sweep.direction[i]
                                                             : DIALARC_DIRECTION_UNKNOWN,
                                     0.0};
        dialarc_status status = dialarc_live_add(s->live, &taken);
        if (status != DIALARC_OK)
            return complain(s->who, s->file->sweep, dialarc_status_text(status));
    }
    return DONE;
}

/* Whether the file is one that was begun here, as far as it goes; its length. */
static int check_header(const take_file *file, off_t *length)
{
    char begun[sizeof HEADER];
    struct stat about;
    if (fstat(file->descriptor, &about) != 0)
        return FAILED;
    *length = about.st_size;
    size_t most = sizeof HEADER - 1;
    size_t wanted = about.st_size < (off_t)most ? (size_t)about.st_size : most;
    errno = 0;
    if (pread(file->descriptor, begun, wanted, 0) != (ssize_t)wanted)
        return FAILED;
    return memcmp(begun, HEADER, wanted) == 0 ? DONE : SOME_UNUSABLE;
}

static int go_on(const char *who, const dialarc_setups *setups, const take_file *file,
                 dialarc_live *live)
{
    search s = {file, setups, live, who, 0, 0};
    int result = tables_sweeps(who, file->path, setups, take_record, &s);
    if (result == DONE && s.found && !s.last)
        result = complain(who, file->sweep,
                          "another sweep was begun after this one, which cannot be gone "
                          "on with; give it another --sweep");
    return result;
}

int take_open(const char *who, const dialarc_setups *setups, take_file *file,
              dialarc_live *live)
{
    off_t length = 0, end = 0;
    file->descriptor = open(file->path, O_RDWR | O_CREAT | O_APPEND | O_CLOEXEC, 0666);
    if (file->descriptor < 0)
        return fail(who, file);
    int known = check_header(file, &length);
    if (known == SOME_UNUSABLE)
        return complain(who, file->path,
                        "this table was not begun by dialarc take; give another --out");
    if (known != DONE || find_end(file->descriptor, 0, &end) != DONE)
        return fail(who, file);
    if (end < length && cut_off(file, end) != DONE)
        return fail(who, file);
    if (end == 0)
        return put(file, HEADER, sizeof HEADER - 1) == DONE ? DONE : fail(who, file);
    return end > (off_t)sizeof HEADER - 1 ? go_on(who, setups, file, live) : DONE;
}

/* ---- rows -------------------------------------------------------------------------- */

/* As few digits as give the same number back. */
static void put_number(FILE *out, double x)
{
    char text[40];
    for (int digits = 15; digits <= 17; digits++) {
        snprintf(text, sizeof text, "%.*g", digits, x);
        if (strtod(text, NULL) == x)
            break;
    }
    fprintf(out, ",%s", text);
}

int take_append(const char *who, const take_file *file, const dialarc_live *live)
{
    char row[8192], line[SHOWN_SIZE];
    size_t last = dialarc_live_count(live) - 1;
    dialarc_taken taken;
    FILE *out = fmemopen(row, sizeof row, "w");
    if (!out || dialarc_live_reading(live, last, &taken) != DIALARC_OK) {
        if (out)
            fclose(out);
        return complain_memory(who);
    }
    csv_text(out, file->sweep, 0);
    fputc(',', out);
    csv_text(out, file->engine, 0);
    put_number(out, taken.crank_deg);
    put_number(out, taken.dial_mm);
    fprintf(out, ",%s", taken.direction == DIALARC_DIRECTION_WITH ? "with" : "against");
    csv_number(out, taken.time_s, 3);
    fputc(',', out);
    csv_text(out, shown(dialarc_live_line(live, last), line, sizeof line), 0);
    fputc('\n', out);
    long length = ftell(out);
    int bad = ferror(out) || length < 0;
    bad |= fclose(out) != 0;
    if (bad || put(file, row, (size_t)length) != DONE)
        return fail(who, file);
    return DONE;
}

int take_strike(const char *who, const take_file *file)
{
    off_t end;
    if (find_end(file->descriptor, 1, &end) != DONE || cut_off(file, end) != DONE)
        return fail(who, file);
    return DONE;
}

void take_close(take_file *file)
{
    if (file->descriptor >= 0)
        close(file->descriptor);
    file->descriptor = -1;
}
