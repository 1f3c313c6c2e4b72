/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Input from a file, a pipe or standard input, compressed by gzip or not, with the reason
 * when it fails.
 */
#ifndef INPUT_H
#define INPUT_H

#include <stddef.h>
#include <stdint.h>

typedef struct input {
    int handle;
    uint64_t size;   /* of the file, bytes; 0: not known */
    uint64_t taken;  /* bytes read so far */
    char fault[160]; /* why reading failed, or "" */
    int kind;        /* found out by the first bytes */
    unsigned char *block;
    size_t begin, end; /* what is left in the block */
    void *inflater;
} input;

/* Opens a file, or for "-" standard input; 0, or -1 with a reason in `fault`. */
int input_open(input *in, const char *path);

/* A dialarc_read; the context is the input. */
size_t input_read(void *context, void *data, size_t size);

/* Share that has been read, 0 to 1; below 0 when not known. */
double input_share(const input *in);

void input_close(input *in);

#endif
