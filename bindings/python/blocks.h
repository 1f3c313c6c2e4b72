/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Long arrays, of which each element stands alone, in blocks: between two of them Python
 * hears of Ctrl-C. What the caller gave for results is written when all blocks are done.
 */
#ifndef DARPY_BLOCKS_H
#define DARPY_BLOCKS_H

#include "results.h"

enum { DARPY_BLOCK = 65536 }; /* of the slowest sums less than 0.1 s */

static void darpy_move(darpy_view *view, Py_ssize_t done)
{
    if (view->argument_data)
        *view->argument_data =
            (view->own && !view->scalar ? view->own : view->data) + done;
}

/* Points the arguments of the C function at the next block; -1 after an error. */
static int darpy_block(darpy_frame *frame)
{
    Py_ssize_t left = frame->count - frame->done;
    if (frame->count <= DARPY_BLOCK)
        return 0;
    for (int i = 0; darpy_out && frame->done == 0 && i < frame->outputs; i++)
        if (!(frame->output[i]->own =
                  PyMem_Malloc((size_t)frame->count * sizeof(double)))) {
            PyErr_NoMemory();
            return -1;
        }
    *frame->n = (size_t)(left < DARPY_BLOCK ? left : DARPY_BLOCK);
    for (int i = 0; i < frame->views; i++)
        darpy_move(frame->view[i], frame->done);
    for (int i = 0; i < frame->outputs; i++)
        darpy_move(frame->output[i], frame->done);
    return 0;
}

/* After a block that went well: whether there is another. */
static int darpy_more(darpy_frame *frame)
{
    if (frame->count <= DARPY_BLOCK)
        return 0;
    frame->done += (Py_ssize_t)*frame->n;
    if (frame->done < frame->count)
        return PyErr_CheckSignals() == 0;
    for (int i = 0; i < frame->outputs; i++)
        if (frame->output[i]->own)
            memcpy(frame->output[i]->data, frame->output[i]->own,
                   (size_t)frame->count * sizeof(double));
    return 0;
}

#endif
