/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the arguments of one call share, for the languages of common.i: how long the
 * arrays are, what is wrong with one of them, and the results until they are handed over.
 * Typemaps for arguments never fail on their own: they record a complaint, which the end
 * of the call raises. So there is one way out, and nothing is left behind.
 */
#ifndef DARC_FRAME_H
#define DARC_FRAME_H

#include <dialarc.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum darc_kind {
    DARC_NUMBER,
    DARC_WHOLE,
    DARC_NUMBERS,
    DARC_WHOLES,
    DARC_OBJECT,
    DARC_TEXT
};

enum { DARC_LISTED_MAX = 64, DARC_RESULTS_MAX = 4 };

typedef struct darc_result {
    enum darc_kind kind;
    double number;
    long whole;
    size_t n;
    double *data;     /* numbers: in a room of the frame */
    int *wholes;      /* of the caller */
    void *object;     /* a struct on the heap: given away */
    void *type;       /* what SWIG knows it as, where it does */
    const char *text; /* of the caller */
} darc_result;

typedef struct darc_frame {
    size_t count;         /* length of the arrays, when there are any */
    int counted;          /* their length is known */
    int arrays;           /* arrays of numbers went in: results are arrays too */
    const char *bad;      /* name of an argument that cannot be used */
    const char *reason;   /* what is wrong with it */
    dialarc_error *place; /* what is wrong with a table, and where */
    int rooms;            /* memory for results, freed with the frame */
    double *room[DARC_RESULTS_MAX];
    int failed; /* an error has been raised: results are of no use */
    int results;
    darc_result result[DARC_RESULTS_MAX];
} darc_frame;

static inline void darc_complain(darc_frame *frame, const char *name, const char *reason)
{
    if (!frame->bad) {
        frame->bad = name;
        frame->reason = reason;
    }
}

/* One more array, of n values. */
static inline void darc_count(darc_frame *frame, size_t n, const char *name)
{
    if (frame->counted && frame->count != n)
        darc_complain(frame, name, "the arrays are not of the same length");
    else
        frame->count = n;
    frame->counted = 1;
}

/* An array of numbers of that length; not counted: a square one beside others. */
static inline void darc_array(darc_frame *frame, size_t length, const char *name,
                              int counted)
{
    if (counted) {
        darc_count(frame, length, name);
        frame->arrays = 1;
    } else if (length != frame->count * frame->count)
        darc_complain(frame, name, "n times n values are needed");
}

/* The n that the library sees: after a complaint at most one value. */
static inline size_t darc_length(const darc_frame *frame)
{
    return frame->bad && frame->count > 1 ? 1 : frame->count;
}

static inline darc_result *darc_next(darc_frame *frame, enum darc_kind kind)
{
    darc_result *result = &frame->result[frame->failed ? 0 : frame->results++];
    memset(result, 0, sizeof *result);
    result->kind = kind;
    return result;
}

/* Room for the n numbers of a result; a complaint when memory is short. */
static inline double *darc_room(darc_frame *frame, size_t n, const char *name)
{
    double *data = (double *)calloc(n + 1, sizeof *data);
    if (!data)
        darc_complain(frame, name, "memory is exhausted");
    frame->room[frame->rooms++] = data;
    return data;
}

static inline void darc_give_number(darc_frame *frame, double number)
{
    darc_next(frame, DARC_NUMBER)->number = number;
}

static inline void darc_give_whole(darc_frame *frame, long whole)
{
    darc_next(frame, DARC_WHOLE)->whole = whole;
}

static inline void darc_give_numbers(darc_frame *frame, size_t n, double *data)
{
    darc_result *result = darc_next(frame, DARC_NUMBERS);
    result->n = n;
    result->data = data;
}

static inline void darc_give_wholes(darc_frame *frame, size_t n, int *wholes)
{
    darc_result *result = darc_next(frame, DARC_WHOLES);
    result->n = n;
    result->wholes = wholes;
}

static inline void darc_give_text(darc_frame *frame, const char *text)
{
    darc_next(frame, DARC_TEXT)->text = text;
}

static inline void darc_give_object(darc_frame *frame, void *object, void *type)
{
    darc_result *result = darc_next(frame, DARC_OBJECT);
    if (frame->failed) {
        free(object);
        return;
    }
    result->object = object;
    result->type = type;
}

/* A copy of a struct on the heap. */
static inline void *darc_copy(const void *record, size_t size)
{
    void *copy = record ? malloc(size) : NULL;
    if (copy)
        memcpy(copy, record, size);
    return copy;
}

/* Whether the call failed; text says why. */
static inline int darc_failed(darc_frame *frame, dialarc_status status,
                              const char *function, char *text, size_t size)
{
    char place[DIALARC_ERRORS_SIZE];
    if (frame->bad)
        snprintf(text, size, "%s(): %s: %s", function, frame->bad, frame->reason);
    else if (status >= DIALARC_OK)
        return 0;
    else if (frame->place && frame->place->status < DIALARC_OK &&
             dialarc_errors_text(frame->place, NULL, place, sizeof place) == DIALARC_OK)
        snprintf(text, size, "%s(): %s", function, place);
    else
        snprintf(text, size, "%s(): %s (%s)", function, dialarc_status_text(status),
                 dialarc_status_name(status));
    frame->failed = 1;
    return 1;
}

/* The complaint of a member without its object; of Cam_lift_mm_get(): "Cam.lift_mm:
 * there is no Cam here, or it has been deleted". */
static inline void darc_deleted(const char *function, char *text, size_t size)
{
    int name = (int)strcspn(function, "_");
    const char *member = function + name + (function[name] == '_');
    size_t length = strlen(member);
    if (length > 4 && (strcmp(member + length - 4, "_get") == 0 ||
                       strcmp(member + length - 4, "_set") == 0))
        length -= 4;
    snprintf(text, size, "%.*s.%.*s: there is no %.*s here, or it has been deleted", name,
             function, (int)length, member, name, function);
}

static inline dialarc_status darc_status(const darc_frame *frame, dialarc_status status)
{
    return frame->bad ? DIALARC_ERR_SIZE : status;
}

/* Frees the frame after results were handed over or an error was raised. */
static inline void darc_clear(darc_frame *frame)
{
    for (int i = 0; i < frame->rooms; i++)
        free(frame->room[i]);
    frame->results = frame->rooms = 0;
}

#endif
