/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Output that appears as a whole or not at all: written to a temporary file first.
 */
#ifndef OUTPUT_H
#define OUTPUT_H

#include <stdio.h>

typedef struct output {
    FILE *file;      /* write here */
    int error;       /* errno of what failed when opening or finishing; 0: not known */
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

/* Begins output to a file, or for NULL to standard output; 0 when that works. */
int output_open(output *out, const char *path);

/*
 * Puts the output in its place; 0 when every byte has got there. Standard output that
 * leads to a file is as long as it was before when it fails.
 */
int output_finish(output *out);

/* Gives up: the target stays as it was. */
void output_discard(output *out);

#endif
