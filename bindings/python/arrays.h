/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Arrays of one call. What has the buffer protocol crosses without a copy; lists are
 * copied; results go into the caller's array, or into one made for the purpose.
 */
#ifndef DARPY_ARRAYS_H
#define DARPY_ARRAYS_H

#include "support.h"

enum { DARPY_VIEWS = 6, DARPY_SUBJECTS = 4 };

/* One array argument. */
typedef struct {
    const char *argument;
    PyObject *given;    /* borrowed: what the caller gave, or NULL */
    PyObject *owner;    /* a result made here */
    Py_buffer buffer;   /* .obj is NULL unless held */
    double *data, *own; /* own: copied from a list */
    Py_ssize_t count;
    double one;
    int scalar;
} darpy_view;

/* What one call has met so far, for checks between its arguments and for errors. */
typedef struct {
    Py_ssize_t count; /* length of the arrays; -1: none so far */
    int views, outputs, subjects;
    darpy_view *view[DARPY_VIEWS], *output[DARPY_VIEWS];
    PyObject *subject[DARPY_SUBJECTS]; /* structs given */
    const char *subject_name[DARPY_SUBJECTS];
    dialarc_error *place;
    PyObject *source; /* where a table comes from, for a reader that outlives the call */
} darpy_frame;

#define DARPY_FRAME {.count = -1}
#define DARPY_VIEW  {.argument = NULL}

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
        if (darpy_is_field(function))
            PyErr_Format(PyExc_TypeError, "%s: values of float64 are needed, not '%s'",
                         view->argument, view->buffer.format);
        else
            PyErr_Format(PyExc_TypeError,
                         "%s(): %s: values of float64 are needed, not '%s'", function,
                         view->argument, view->buffer.format ? view->buffer.format : "B");
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

/* An array like another one, for results. */
static PyObject *darpy_new_array(PyObject *like, const Py_buffer *shape, Py_ssize_t count)
{
    PyObject *make = darpy_hook("make_array"), *sizes = NULL, *array = NULL;
    int many = shape && shape->obj && shape->shape && shape->ndim != 1;
    if (!make)
        return NULL;
    sizes = PyTuple_New(many ? shape->ndim : 1);
    if (!sizes)
        return NULL;
    for (Py_ssize_t i = 0; i < PyTuple_GET_SIZE(sizes); i++) {
        PyObject *size = PyLong_FromSsize_t(many ? shape->shape[i] : count);
        if (!size) {
            Py_DECREF(sizes);
            return NULL;
        }
        PyTuple_SET_ITEM(sizes, i, size);
    }
    array = PyObject_CallFunctionObjArgs(make, like ? like : Py_None, sizes, NULL);
    Py_DECREF(sizes);
    return array;
}

static int darpy_overlap(const darpy_view *a, const darpy_view *b)
{
    uintptr_t first = (uintptr_t)a->data, second = (uintptr_t)b->data;
    uintptr_t bytes_a = (uintptr_t)a->count * sizeof(double);
    uintptr_t bytes_b = (uintptr_t)b->count * sizeof(double);
    return a->count && b->count && first < second + bytes_b && second < first + bytes_a;
}

/* A result may stand where an argument stood, exactly; two results stand apart. */
static int darpy_stands_apart(const darpy_frame *frame, const darpy_view *view,
                              const char *function)
{
    int clash = 0;
    for (int i = 0; i < frame->views; i++)
        clash |= darpy_overlap(view, frame->view[i]) &&
                 (frame->outputs > 0 || view->data != frame->view[i]->data);
    for (int i = 0; i < frame->outputs; i++) {
        clash |= darpy_overlap(view, frame->output[i]);
        for (int k = 0; k < frame->views; k++)
            clash |= darpy_overlap(frame->output[i], frame->view[k]);
    }
    if (clash)
        darpy_complain(PyExc_ValueError, function, view->argument,
                       "the array for results overlaps another one", NULL);
    return clash ? -1 : 0;
}

/* What `out=` gave to the call that runs in this thread: a tuple, taken in order. */
static _Thread_local PyObject *darpy_out;

/* Room for a result, once the arguments are known: the caller's array, or a new one. */
static int darpy_output(darpy_frame *frame, darpy_view *view, const char *function,
                        const char *argument)
{
    int scalar = 1;
    PyObject *target = darpy_out ? PyTuple_GetItem(darpy_out, frame->outputs) : NULL;
    if (darpy_out && !target)
        return -1;
    view->argument = target ? "out" : argument;
    for (int i = 0; i < frame->views; i++)
        scalar = scalar && frame->view[i]->scalar;
    if (scalar) {
        view->scalar = 1;
        view->data = &view->one;
        if (!target)
            return 0;
        darpy_complain(PyExc_TypeError, function, "out", "only arrays have room for it",
                       NULL);
        return -1;
    }
    if (!target) {
        darpy_view *first = frame->view[0];
        target = view->owner =
            darpy_new_array(first->given, &first->buffer, frame->count);
        if (!target)
            return -1;
    } else if (!PyObject_CheckBuffer(target)) {
        darpy_complain(PyExc_TypeError, function, "out", "an array of float64 is needed",
                       target);
        return -1;
    } else {
        Py_INCREF(target);
        view->owner = target;
    }
    if (darpy_hold(view, target, 1, function) < 0 ||
        darpy_agree(frame, function, view->argument, view->count) < 0 ||
        darpy_stands_apart(frame, view, function) < 0)
        return -1;
    frame->output[frame->outputs++] = view;
    return 0;
}

static PyObject *darpy_result(const darpy_view *view)
{
    if (view->scalar)
        return PyFloat_FromDouble(view->one);
    Py_INCREF(view->owner);
    return view->owner;
}

/* A tuple of n numbers. */
static PyObject *darpy_tuple(const double *number, Py_ssize_t n)
{
    PyObject *tuple = PyTuple_New(n);
    for (Py_ssize_t i = 0; tuple && i < n; i++) {
        PyObject *item = PyFloat_FromDouble(number[i]);
        if (!item)
            Py_CLEAR(tuple);
        else
            PyTuple_SET_ITEM(tuple, i, item);
    }
    return tuple;
}

/* n numbers into a field. */
static int darpy_field(PyObject *object, const char *function, const char *argument,
                       Py_ssize_t n, double *number)
{
    darpy_view view = DARPY_VIEW;
    int status = darpy_numbers(&view, object, function, argument);
    if (status == 0 && view.count != n) {
        PyErr_Format(PyExc_ValueError, "%s: %zd values are needed, not %zd", argument, n,
                     view.count);
        status = -1;
    }
    if (status == 0)
        memcpy(number, view.data, (size_t)n * sizeof *number);
    darpy_release(&view);
    return status;
}

static void darpy_subject(darpy_frame *frame, PyObject *object, const char *argument)
{
    if (frame->subjects < DARPY_SUBJECTS) {
        frame->subject[frame->subjects] = object;
        frame->subject_name[frame->subjects++] = argument;
    }
}

/* The argument that holds a number that is not finite, such as "pump_deg[17]". */
static void darpy_find_nan(const darpy_frame *frame, char *text, size_t size)
{
    for (int i = 0; i < frame->views; i++)
        for (Py_ssize_t k = 0; k < frame->view[i]->count; k++)
            if (!isfinite(frame->view[i]->data[k])) {
                PyOS_snprintf(text, size, frame->view[i]->scalar ? "%.60s" : "%.60s[%zd]",
                              frame->view[i]->argument, k);
                return;
            }
}

/* Raises the exception for a status. */
static void darpy_fail(const darpy_frame *frame, int status, const char *function)
{
    PyObject *make, *subjects, *error, *place = Py_None;
    char culprit[96] = "";
    if (PyErr_Occurred())
        return;
    make = darpy_hook("make_error");
    subjects = make ? PyList_New(0) : NULL;
    if (!subjects)
        return;
    if (status == DIALARC_ERR_NOT_FINITE)
        darpy_find_nan(frame, culprit, sizeof culprit);
    for (int i = 0; i < frame->subjects; i++) {
        PyObject *pair = Py_BuildValue("(sO)", frame->subject_name[i], frame->subject[i]);
        if (!pair || PyList_Append(subjects, pair) < 0) {
            Py_XDECREF(pair);
            Py_DECREF(subjects);
            return;
        }
        Py_DECREF(pair);
    }
    if (frame->place && frame->place->status != DIALARC_OK) {
        char text[600];
        dialarc_error_text(frame->place, NULL, text, sizeof text);
        place = Py_BuildValue("(sKKKs)", text, (unsigned long long)frame->place->line,
                              (unsigned long long)frame->place->row,
                              (unsigned long long)frame->place->column,
                              frame->place->column_name);
    }
    error = place ? PyObject_CallFunction(make, "issOO", status, function, culprit, subjects,
                                          place)
                  : NULL;
    if (error)
        PyErr_SetObject((PyObject *)Py_TYPE(error), error);
    Py_XDECREF(error);
    if (place != Py_None)
        Py_XDECREF(place);
    Py_DECREF(subjects);
}

/* One number that is not finite. */
static void darpy_not_finite(const char *function, const char *argument)
{
    darpy_view view = {.argument = argument, .data = &view.one, .count = 1, .scalar = 1,
                       .one = NAN};
    darpy_frame frame = {.count = 1, .views = 1, .view = {&view}};
    darpy_fail(&frame, DIALARC_ERR_NOT_FINITE, function);
}

#endif
