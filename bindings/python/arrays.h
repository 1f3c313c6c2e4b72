/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Arrays that go into a call. Anything with the buffer protocol crosses without a copy;
 * lists are copied.
 */
#ifndef DARPY_ARRAYS_H
#define DARPY_ARRAYS_H

#include "words.h"

enum { DARPY_VIEWS = 6, DARPY_SUBJECTS = 4 };

/* One array argument. */
typedef struct {
    const char *argument;
    PyObject *given;        /* borrowed: what the caller gave, or NULL */
    PyObject *owner;        /* a result made here */
    Py_buffer buffer;       /* .obj is NULL unless held */
    double *data, *own;     /* own: copied from a list */
    double **argument_data; /* the C argument; NULL where it stays where it is */
    Py_ssize_t count;
    double one;
    int scalar;
} darpy_view;

/* What a call has seen so far, for checks across its arguments and for errors. */
typedef struct {
    Py_ssize_t count, done; /* length of the arrays; -1: none so far; by blocks.h */
    size_t *n;              /* the C argument for it, or NULL */
    int views, outputs, subjects;
    darpy_view *view[DARPY_VIEWS], *output[DARPY_VIEWS];
    PyObject *subject[DARPY_SUBJECTS]; /* structs given */
    const char *subject_name[DARPY_SUBJECTS];
    dialarc_error *place;
    PyObject *source; /* where a table comes from, for a reader that outlives the call */
} darpy_frame;

#define DARPY_FRAME                                                                      \
    {                                                                                    \
        .count = -1                                                                      \
    }
#define DARPY_VIEW                                                                       \
    {                                                                                    \
        .argument = NULL                                                                 \
    }

static void darpy_release(darpy_view *view)
{
    if (view->buffer.obj)
        PyBuffer_Release(&view->buffer);
    PyMem_Free(view->own);
    view->own = NULL;
    Py_CLEAR(view->owner);
}

static int darpy_is_float64(const Py_buffer *buffer)
{
    const char *format = buffer->format ? buffer->format : "B";
    const unsigned short probe = 1;
    char order = *(const unsigned char *)&probe ? '<' : '>';
    if (*format == '@' || *format == '=' || *format == order)
        format++;
    return buffer->itemsize == (Py_ssize_t)sizeof(double) && strcmp(format, "d") == 0;
}

static int darpy_hold(darpy_view *view, PyObject *object, int writable,
                      const char *function)
{
    int flags = PyBUF_C_CONTIGUOUS | PyBUF_FORMAT | (writable ? PyBUF_WRITABLE : 0);
    if (darpy_refuse_masked(object, function, view->argument) < 0)
        return -1;
    if (PyObject_GetBuffer(object, &view->buffer, PyBUF_STRIDES | PyBUF_FORMAT) < 0) {
        if (!PyErr_ExceptionMatches(PyExc_BufferError) &&
            !PyErr_ExceptionMatches(PyExc_ValueError))
            return -1;
        PyErr_Clear();
        darpy_complain(PyExc_TypeError, function, view->argument,
                       "an array of float64 is needed", object);
        return -1;
    }
    if (!darpy_is_float64(&view->buffer)) {
        char text[80];
        PyOS_snprintf(text, sizeof text, "values of float64 are needed, not '%.40s'",
                      view->buffer.format ? view->buffer.format : "B");
        darpy_complain(PyExc_TypeError, function, view->argument, text, NULL);
        return -1;
    }
    if (!PyBuffer_IsContiguous(&view->buffer, 'C')) {
        darpy_complain(PyExc_ValueError, function, view->argument,
                       "the array has gaps or is transposed (not C-contiguous)", NULL);
        return -1;
    }
    if (writable && view->buffer.readonly) {
        darpy_complain(PyExc_ValueError, function, view->argument,
                       "the array is read-only", NULL);
        return -1;
    }
    PyBuffer_Release(&view->buffer);
    if (PyObject_GetBuffer(object, &view->buffer, flags) < 0)
        return -1;
    view->data = view->buffer.buf;
    view->count = view->buffer.len / (Py_ssize_t)sizeof(double);
    return 0;
}

static int darpy_copy_list(darpy_view *view, PyObject *object, const char *function)
{
    PyObject *list = PySequence_Fast(object, "a list of numbers is needed");
    char argument[96];
    if (!list)
        return -1;
    view->count = PySequence_Fast_GET_SIZE(list);
    view->own = PyMem_Malloc(((size_t)view->count + 1) * sizeof(double));
    if (!view->own) {
        Py_DECREF(list);
        PyErr_NoMemory();
        return -1;
    }
    view->data = view->own;
    for (Py_ssize_t i = 0; i < view->count; i++) {
        PyObject *item = PySequence_Fast_GET_ITEM(list, i);
        if (PyFloat_CheckExact(item)) {
            view->own[i] = PyFloat_AS_DOUBLE(item);
            continue;
        }
        PyOS_snprintf(argument, sizeof argument, "%.60s[%zd]", view->argument, i);
        if (darpy_double(item, function, argument, &view->own[i]) < 0) {
            Py_DECREF(list);
            return -1;
        }
    }
    Py_DECREF(list);
    return 0;
}

/* Numbers of an object: an array, a list, or one number. */
static int darpy_numbers(darpy_view *view, PyObject *object, const char *function,
                         const char *argument)
{
    view->argument = argument;
    view->given = object;
    if (object != Py_None && darpy_is_number(object)) {
        view->scalar = 1;
        view->count = 1;
        view->data = &view->one;
        return darpy_double(object, function, argument, &view->one);
    }
    if (PyObject_CheckBuffer(object))
        return darpy_hold(view, object, 0, function);
    if (darpy_is_sequence(object) && !PyUnicode_Check(object))
        return darpy_copy_list(view, object, function);
    darpy_complain(PyExc_TypeError, function, argument, "an array of numbers is needed",
                   object);
    return -1;
}

static int darpy_agree(darpy_frame *frame, const char *function, const char *argument,
                       Py_ssize_t count)
{
    if (frame->count < 0)
        frame->count = count;
    if (frame->count == count)
        return 0;
    PyErr_Format(PyExc_ValueError, "%s(): %s: %zd values, where the others have %zd",
                 function, argument, count, frame->count);
    return -1;
}

/* An array that goes in. */
static int darpy_input(darpy_frame *frame, darpy_view *view, PyObject *object,
                       const char *function, const char *argument)
{
    if (darpy_numbers(view, object, function, argument) < 0)
        return -1;
    if (frame->views < DARPY_VIEWS)
        frame->view[frame->views++] = view;
    return darpy_agree(frame, function, argument, view->count);
}

#endif
