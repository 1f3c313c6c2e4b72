/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Output that appears as a whole or not at all: written to a temporary file first.
 */
#ifndef OUTPUT_H
#define OUTPUT_H

#include <stdio.h>

typedef struct output {
    FILE *file;      /* write here */
    int error;       /* errno of what has failed; 0: not known */
    int staging;     /* it was the temporary file of a target that is no file */
    char *target;    /* NULL: standard output */
    char *temporary; /* in the folder of the target and renamed at the end, or NULL */
} output;

/*
 * To be called first of all. A standard stream that the caller of the program has closed
 * would be given away with the next file opened: here it is taken by one that fails. A
 * pipe that nobody reads and a limit on file sizes become errors of writing. When the
 * program is interrupted or told to end, it takes its temporary file along.
 */
void output_guard(void);

/* Writes to out->file: DONE, SOME_UNUSABLE, or FAILED when nothing is to be written. */
typedef int (*output_fill)(output *out, void *job);

/*
 * Output to a file, or for NULL to standard output. It is put in its place when it has
 * been filled: the status of `fill`, or FAILED after a complaint, and then the target is
 * as it was; so is a file that standard output leads to.
 */
int output_write(const char *who, const char *path, output_fill fill, void *job);

#endif
