/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Tables of any length in constant memory, for the languages of common.i: sweeps one at
 * a time, and from a sweeps table to its results. Where C takes streams and callbacks,
 * these take files.
 */
#ifndef DARC_FILES_H
#define DARC_FILES_H

#include "owned.h"

#include <errno.h>
#include <sys/stat.h>
#include <unistd.h>

/* A complaint about an argument that never reaches the library. */
static inline dialarc_status darc_refuse(dialarc_error *error, dialarc_status status,
                                         const char *argument, const char *reason)
{
    error->status = status;
    snprintf(error->text, sizeof error->text, "%s: %s", argument, reason);
    return status;
}

static inline dialarc_status darc_refuse_file(dialarc_error *error, const char *argument)
{
    return darc_refuse(error, DIALARC_ERR_FILE, argument, strerror(errno));
}

static inline dialarc_status darc_need(dialarc_error *error, const void *given,
                                       const char *argument)
{
    return given ? DIALARC_OK
                 : darc_refuse(error, DIALARC_ERR_NULL, argument,
                               "this argument is needed");
}

static inline dialarc_status darc_open(const char *path, const char *argument,
                                       FILE **file, dialarc_error *error)
{
    dialarc_status status = darc_need(error, path, argument);
    if (status >= DIALARC_OK && !(*file = fopen(path, "rb")))
        status = darc_refuse_file(error, argument);
    return status;
}

/* ---- sweeps one at a time -------------------------------------------------------- */

typedef struct darc_sweep_file {
    FILE
        *file; /* closed at the end of the table: a garbage collector may take its time */
    dialarc_sweep_reader *reader;
    dialarc_sweep_buffer *buffer;
    dialarc_status status; /* of the latest call */
} darc_sweep_file;

static inline void darc_sweep_file_free(darc_sweep_file *from)
{
    if (!from)
        return;
    dialarc_sweep_reader_free(from->reader);
    dialarc_sweep_buffer_free(from->buffer);
    if (from->file)
        fclose(from->file);
    free(from);
}

/* The setups must outlive the reader: its object in the language keeps them alive. */
static inline dialarc_status darc_sweep_reader_open(const char *path,
                                                    const dialarc_setups *setups,
                                                    darc_sweep_file **opened,
                                                    dialarc_error *error)
{
    darc_sweep_file *made = (darc_sweep_file *)calloc(1, sizeof *made);
    dialarc_status status =
        made ? darc_need(error, setups, "setups") : DIALARC_ERR_NO_MEMORY;
    if (status >= DIALARC_OK)
        status = darc_open(path, "path", &made->file, error);
    if (status >= DIALARC_OK && !(made->buffer = dialarc_sweep_buffer_new()))
        status = DIALARC_ERR_NO_MEMORY;
    if (status >= DIALARC_OK)
        status = dialarc_sweep_reader_new(dialarc_read_file, made->file, setups,
                                          &made->reader, error);
    if (status < DIALARC_OK)
        darc_sweep_file_free(made);
    else
        *opened = made;
    return status;
}

/* No record: the table has ended. */
static inline dialarc_status darc_sweep_reader_next(darc_sweep_file *reader,
                                                    dialarc_sweep_record **record,
                                                    dialarc_error *error)
{
    dialarc_sweep_record found;
    if (!reader)
        return darc_need(error, reader, "reader");
    if (!reader->file)
        return reader->status;
    reader->status =
        dialarc_sweep_reader_next(reader->reader, reader->buffer, &found, error);
    if (reader->status < DIALARC_OK || !found.name) {
        fclose(reader->file);
        reader->file = NULL;
        return reader->status;
    }
    *record = darc_copy_sweep_record(&found);
    return *record ? DIALARC_OK : DIALARC_ERR_NO_MEMORY;
}

/* ---- from a sweeps table to its results ------------------------------------------ */

/* A file written under a temporary name beside the target until it is complete. */
typedef struct darc_output {
    FILE *file;
    char *path;       /* the target of a link, so that the link itself stays */
    char *unfinished; /* the temporary name */
    size_t sweeps;
    dialarc_error *error;
} darc_output;

static inline FILE *darc_open_unfinished(darc_output *out)
{
    size_t size = strlen(out->path) + sizeof ".unfinished99";
    FILE *file = NULL;
    out->unfinished = (char *)malloc(size);
    errno = out->unfinished ? EEXIST : ENOMEM;
    for (int i = 0; !file && errno == EEXIST && i < 100; i++) {
        snprintf(out->unfinished, size, "%s.unfinished%d", out->path, i);
        file = fopen(out->unfinished, "wbx");
    }
    return file;
}

static inline dialarc_status darc_output_open(darc_output *out, const char *path)
{
    struct stat found;
    int exists = path && stat(path, &found) == 0;
    if (!path)
        return darc_need(out->error, path, "results_path");
    if (exists && !S_ISREG(found.st_mode))
        return darc_refuse(out->error, DIALARC_ERR_FILE, "results_path",
                           "this is not a file that can be replaced");
    out->path = exists ? realpath(path, NULL) : strdup(path);
    out->file = out->path ? darc_open_unfinished(out) : NULL;
    if (out->file && exists && fchmod(fileno(out->file), found.st_mode & 0777) != 0)
        return darc_refuse_file(out->error, "results_path");
    return out->file ? DIALARC_OK : darc_refuse_file(out->error, "results_path");
}

/* Closes the file, and renames it to the target on success or removes it. */
static inline dialarc_status darc_output_close(darc_output *out, dialarc_status status)
{
    int good = status >= DIALARC_OK;
    if (out->file) {
        good = good && fflush(out->file) == 0 && fsync(fileno(out->file)) == 0;
        int failed = good ? 0 : errno;
        good = fclose(out->file) == 0 && good && rename(out->unfinished, out->path) == 0;
        errno = failed ? failed : errno;
        if (!good && status >= DIALARC_OK)
            status = darc_refuse_file(out->error, "results_path");
        if (!good)
            remove(out->unfinished);
    }
    free(out->path);
    free(out->unfinished);
    return status;
}

static inline int darc_take_row(void *context, const dialarc_streamed *it)
{
    darc_output *out = (darc_output *)context;
    if (it->result->status < DIALARC_OK) {
        darc_refuse(out->error, it->result->status, it->record->name,
                    dialarc_status_text(it->result->status));
        out->error->line = it->record->line[0];
        out->error->row = it->record->row;
    } else if (fwrite(it->row, 1, it->row_length, out->file) < it->row_length) {
        darc_refuse_file(out->error, "results_path");
    } else {
        out->sweeps++;
    }
    return out->error->status < DIALARC_OK;
}

/* Counts the sweeps. One that cannot be assessed at all ends the work. */
static inline dialarc_status darc_stream_assess(const char *sweeps_path,
                                                const dialarc_setups *setups,
                                                const char *results_path, size_t threads,
                                                size_t *sweeps, dialarc_error *error)
{
    darc_output out = {NULL, NULL, NULL, 0, error};
    FILE *file = NULL;
    dialarc_status status = darc_need(error, setups, "setups");
    if (status >= DIALARC_OK)
        status = darc_open(sweeps_path, "sweeps_path", &file, error);
    if (status >= DIALARC_OK)
        status = darc_output_open(&out, results_path);
    if (status >= DIALARC_OK && fputs(dialarc_results_header(), out.file) < 0)
        status = darc_refuse_file(error, "results_path");
    if (status >= DIALARC_OK)
        status = dialarc_stream_assess(dialarc_read_file, file, setups, threads,
                                       darc_take_row, &out, error);
    if (status == DIALARC_ERR_CANCELLED)
        status = error->status;
    status = darc_output_close(&out, status);
    if (file)
        fclose(file);
    if (status >= DIALARC_OK)
        *sweeps = out.sweeps;
    return status;
}

#endif
