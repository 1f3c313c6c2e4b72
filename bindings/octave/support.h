/* SPDX-License-Identifier: GPL-3.0-or-later
 * Octave: matrices in and out, errors, functions that the library calls. */
#ifndef DARC_OCTAVE_SUPPORT_H
#define DARC_OCTAVE_SUPPORT_H

#include "frame.h"
#include <cmath>
#include <octave/parse.h>
#include <string>
#include <vector>

/* The shape that results take: that of the first matrix. */
static thread_local dim_vector daroct_shape;

static double *daroct_numbers(const octave_value &input, darc_frame *frame, NDArray &held,
                              const char *name, int counted)
{
    size_t length;
    if (!input.is_double_type() || !input.isreal()) {
        if (input.isnumeric() && input.isreal())
            darc_complain(frame, name, "the numbers must be of class double");
        else
            darc_complain(frame, name, "a matrix of numbers is needed");
        return NULL;
    }
    held = input.array_value();
    length = (size_t)held.numel();
    if (counted && !frame->arrays)
        daroct_shape = held.dims();
    darc_array(frame, length, name, counted);
    return frame->bad ? NULL : const_cast<double *>(held.data());
}

static int *daroct_wholes(const octave_value &input, darc_frame *frame,
                          std::vector<int> &list, const char *name)
{
    NDArray held;
    daroct_numbers(input, frame, held, name, 1);
    for (octave_idx_type i = 0; i < held.numel(); i++) {
        list.push_back(std::fabs(held(i)) < 1e6 ? (int)held(i) : 0);
        if (list.back() != held(i))
            darc_complain(frame, name, "every value must be a whole number");
    }
    if (list.size() > DARC_LISTED_MAX)
        darc_complain(frame, name, "too many values");
    list.resize(list.size() + 1);
    return frame->bad ? NULL : list.data();
}

static octave_value daroct_row(size_t n, const double *data)
{
    RowVector row((octave_idx_type)n);
    for (size_t i = 0; i < n; i++)
        row((octave_idx_type)i) = data[i];
    return row;
}

static octave_value daroct_object(void *object, swig_type_info *type)
{
    return object ? SWIG_NewPointerObj(object, type, SWIG_POINTER_OWN)
                  : octave_value(Matrix());
}

static octave_value daroct_array(const darc_frame *frame, const darc_result *result)
{
    if (!frame->arrays || (size_t)daroct_shape.numel() != result->n)
        return daroct_row(result->n, result->data);
    NDArray array(daroct_shape);
    std::copy(result->data, result->data + result->n, array.fortran_vec());
    return array;
}

static void daroct_results(octave_value_list *list, darc_frame *frame)
{
    for (int i = 0; i < frame->results; i++) {
        const darc_result *result = &frame->result[i];
        switch (result->kind) {
        case DARC_NUMBER:
            list->append(octave_value(result->number));
            break;
        case DARC_WHOLE:
            list->append(octave_value((double)result->whole));
            break;
        case DARC_NUMBERS:
            list->append(daroct_array(frame, result));
            break;
        case DARC_TEXT:
            list->append(octave_value(result->text ? result->text : ""));
            break;
        case DARC_OBJECT:
            list->append(daroct_object(result->object, (swig_type_info *)result->type));
            break;
        case DARC_WHOLES: {
            RowVector row((octave_idx_type)result->n);
            for (size_t k = 0; k < result->n; k++)
                row((octave_idx_type)k) = result->wholes[k];
            list->append(octave_value(row));
            break;
        }
        }
    }
    darc_clear(frame);
}

/* An error has the identifier dialarc:DIALARC_ERR_LIFT and the like. */
static void daroct_raise(darc_frame *frame, dialarc_status status, const char *function)
{
    char text[DIALARC_ERRORS_SIZE + 128];
    if (!darc_failed(frame, status, function, text, sizeof text))
        return;
    std::string id = "dialarc:";
    id += dialarc_status_name(darc_status(frame, status));
    darc_clear(frame);
    error_with_id(id.c_str(), "%s", text);
}

static void daroct_raise_deleted(const char *function)
{
    char text[160];
    darc_deleted(function, text, sizeof text);
    error_with_id("dialarc:DIALARC_ERR_NULL", "%s", text);
}

/* A function of Octave as the model of a propagation. */
struct daroct_model {
    octave_value function;
    darc_frame *frame;
};

static double daroct_call_model(const double *input, void *context)
{
    const daroct_model *model = (const daroct_model *)context;
    if (model->frame->bad)
        return INFINITY;
    try {
        octave_value_list given(daroct_row(model->frame->count, input));
        octave_value_list got = octave::feval(model->function, given, 1);
        if (got.length() == 1 && got(0).is_real_scalar())
            return got(0).double_value();
    } catch (const octave::execution_exception &) {
        octave::interpreter::the_interpreter()->recover_from_exception();
    }
    darc_complain(model->frame, "model", "the function failed or returned no number");
    return INFINITY;
}

#endif
