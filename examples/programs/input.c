/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Why zlib's inflate() and not its gzread(), which would be shorter: gzread() passes over
 * whatever follows compressed data without a word, and rows that somebody has appended to
 * a compressed table would be lost.
 */
#include "input.h"

#include <dialarc.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#ifdef HAVE_ZLIB
#include <zlib.h>
#endif

#define BLOCK ((size_t)64 << 10)

enum { NOT_SEEN, PLAIN, GZIP, ENDED };

static size_t fail(input *in, const char *text, const char *more)
{
    snprintf(in->fault, sizeof in->fault, "%s%s", text, more);
    return DIALARC_READ_FAILED;
}

int input_open(input *in, const char *path)
{
    *in = (input){.handle = -1};
    in->block = malloc(BLOCK);
    if (!in->block) {
        fail(in, "there is not enough memory", "");
        return -1;
    }
    in->handle = strcmp(path, "-") == 0 ? STDIN_FILENO : open(path, O_RDONLY);
    struct stat status;
    if (in->handle < 0 || fstat(in->handle, &status)) {
        fail(in, "cannot be opened: ", strerror(errno));
        return -1;
    }
    off_t at = lseek(in->handle, 0, SEEK_CUR); /* standard input may have been read */
    if (S_ISREG(status.st_mode) && at >= 0 && status.st_size > at)
        in->size = (uint64_t)(status.st_size - at);
    return 0;
}

double input_share(const input *in)
{
    return in->size ? (double)in->taken / (double)in->size : -1.0;
}

/* The next bytes as they stand in the file. */
static size_t take(input *in, void *data, size_t size)
{
    ssize_t got;
    do
        got = read(in->handle, data, size);
    while (got < 0 && errno == EINTR);
    if (got < 0)
        return fail(in, "reading failed: ", strerror(errno));
    in->taken += (size_t)got;
    if (got == 0 && in->taken < in->size)
        return fail(in, "the file became shorter while it was being read", "");
    return (size_t)got;
}

/* Makes the block hold at least `least` bytes, or all that are left; 0 on failure. */
static int refill(input *in, size_t least)
{
    memmove(in->block, in->block + in->begin, in->end - in->begin);
    in->end -= in->begin;
    in->begin = 0;
    while (in->end < least) {
        size_t got = take(in, in->block + in->end, BLOCK - in->end);
        if (got == DIALARC_READ_FAILED)
            return 0;
        if (got == 0)
            break;
        in->end += got;
    }
    return 1;
}

static int is_gzip(const input *in)
{
    return in->end - in->begin >= 2 && in->block[in->begin] == 0x1f &&
           in->block[in->begin + 1] == 0x8b;
}

#ifdef HAVE_ZLIB

static int begin_gzip(input *in)
{
    z_stream *z = calloc(1, sizeof *z);
    int good = z && inflateInit2(z, MAX_WBITS + 16) == Z_OK;
    if (good)
        in->inflater = z;
    else {
        free(z);
        fail(in, "there is not enough memory", "");
    }
    return good;
}

/* After the end of what was compressed: more of it, or nothing but zeros, as on tapes. */
static int next_member(input *in)
{
    if (!refill(in, 2))
        return 0;
    if (is_gzip(in))
        return inflateReset(in->inflater) == Z_OK;
    in->kind = ENDED;
    for (; in->begin < in->end || (refill(in, 1) && in->begin < in->end); in->begin++)
        if (in->block[in->begin] != 0)
            fail(in, "something else follows the compressed data", "");
    return !in->fault[0];
}

static size_t read_gzip(input *in, void *data, size_t size)
{
    z_stream *z = in->inflater;
    uInt room = (uInt)(size < BLOCK ? size : BLOCK);
    z->next_out = data;
    z->avail_out = room;
    while (in->kind != ENDED && z->avail_out == room) {
        if (in->begin == in->end && !refill(in, 1))
            return DIALARC_READ_FAILED;
        if (in->begin == in->end)
            return fail(in, "the compressed file ends too early: it has been cut off",
                        "");
        z->next_in = in->block + in->begin;
        z->avail_in = (uInt)(in->end - in->begin);
        int status = inflate(z, Z_NO_FLUSH);
        in->begin = in->end - z->avail_in;
        if (status == Z_MEM_ERROR)
            return fail(in, "there is not enough memory", "");
        if (status != Z_OK && status != Z_STREAM_END)
            return fail(in, "the compressed data are damaged", "");
        if (status == Z_STREAM_END && !next_member(in))
            return DIALARC_READ_FAILED;
    }
    return room - z->avail_out;
}

static void end_gzip(input *in)
{
    if (in->inflater)
        inflateEnd(in->inflater);
    free(in->inflater);
}

#else

static int begin_gzip(input *in)
{
    fail(in, "compressed by gzip, which this dialarc was built without: unpack it first",
         "");
    return 0;
}

static size_t read_gzip(input *in, void *data, size_t size)
{
    (void)in, (void)data, (void)size;
    return 0;
}

static void end_gzip(input *in)
{
    (void)in;
}

#endif

size_t input_read(void *context, void *data, size_t size)
{
    input *in = context;
    if (in->kind == NOT_SEEN) {
        if (!refill(in, 2))
            return DIALARC_READ_FAILED;
        in->kind = is_gzip(in) ? GZIP : PLAIN;
        if (in->kind == GZIP && !begin_gzip(in))
            return DIALARC_READ_FAILED;
    }
    if (in->kind != PLAIN)
        return read_gzip(in, data, size);
    size_t left = in->end - in->begin;
    if (left == 0)
        return take(in, data, size);
    size_t got = left < size ? left : size;
    memcpy(data, in->block + in->begin, got);
    in->begin += got;
    return got;
}

void input_close(input *in)
{
    end_gzip(in);
    free(in->block);
    if (in->handle > STDIN_FILENO)
        close(in->handle);
    *in = (input){.handle = -1};
}
