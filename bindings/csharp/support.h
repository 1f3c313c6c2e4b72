/* SPDX-License-Identifier: GPL-3.0-or-later
 * C#: arrays in and out, exceptions. */
#ifndef DARC_CSHARP_SUPPORT_H
#define DARC_CSHARP_SUPPORT_H

#include "frame.h"

/* An array that Held.cs pins during the call. */
typedef struct darcs_held {
    size_t n;
    void *data;
} darcs_held;

static double *darcs_numbers(const darcs_held *input, darc_frame *frame, const char *name,
                             int counted)
{
    if (!input) {
        darc_complain(frame, name, "an array is needed, not null");
        return NULL;
    }
    darc_array(frame, input->n, name, counted);
    return frame->bad ? NULL : (double *)input->data;
}

/* A block of doubles: the number of arrays, then the length and values of each. */
static double *darcs_new_block(size_t arrays, size_t values)
{
    double *block = (double *)calloc(1 + arrays + values, sizeof *block);
    if (block)
        block[0] = (double)arrays;
    return block;
}

static double *darcs_put(double *at, size_t n, const double *value)
{
    *at++ = (double)n;
    if (n > 0)
        memcpy(at, value, n * sizeof *value);
    return at + n;
}

static void *darcs_field(size_t n, const double *value)
{
    double *block = darcs_new_block(1, n);
    if (block)
        darcs_put(block + 1, n, value);
    return block;
}

/* All results as one block: the arrays; numbers after them form one more array. */
static void *darcs_block(const darc_frame *frame)
{
    double number[DARC_RESULTS_MAX], *block, *at;
    size_t arrays = 0, values = 0, numbers = 0;
    for (int i = 0; i < frame->results; i++) {
        const darc_result *result = &frame->result[i];
        if (result->kind == DARC_NUMBER)
            number[numbers++] = result->number;
        else if (result->kind == DARC_WHOLE)
            number[numbers++] = (double)result->whole;
        else
            arrays++;
        values += result->n;
    }
    block = darcs_new_block(arrays + (numbers > 0), values + numbers);
    if (!block)
        return NULL;
    at = block + 1;
    for (int i = 0; i < frame->results; i++) {
        const darc_result *result = &frame->result[i];
        if (result->kind == DARC_NUMBERS)
            at = darcs_put(at, result->n, result->data);
        if (result->kind == DARC_WHOLES) {
            *at++ = (double)result->n;
            for (size_t k = 0; k < result->n; k++)
                *at++ = result->wholes[k];
        }
    }
    if (numbers > 0)
        darcs_put(at, numbers, number);
    return block;
}

static void darcs_raise(darc_frame *frame, dialarc_status status, const char *function)
{
    char text[DIALARC_ERRORS_SIZE + 128];
    if (darc_failed(frame, status, function, text, sizeof text))
        darcs_set_problem((int)darc_status(frame, status), text);
}

static void darcs_raise_deleted(const char *function)
{
    char text[160];
    darc_deleted(function, text, sizeof text);
    darcs_set_problem(DIALARC_ERR_NULL, text);
}

#endif
