/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Results of a call: arrays are written into the caller's, or into a new one.
 */
#ifndef DARPY_RESULTS_H
#define DARPY_RESULTS_H

#include "arrays.h"

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

/* A result may be written exactly over an argument; two results must not overlap. */
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

/* The tuple given as `out=` to the call of this thread, taken in order. */
static _Thread_local PyObject *darpy_out;

/* Where a result goes once the arguments are known: the caller's array or a new one. */
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
        darpy_complain(PyExc_TypeError, function, "out", "only calls with arrays take it",
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

/* Room for n numbers, none of them known yet. */
static double *darpy_unknown(Py_ssize_t n)
{
    double *number = PyMem_Malloc(((size_t)n + 1) * sizeof *number);
    if (!number)
        PyErr_NoMemory();
    for (Py_ssize_t i = 0; number && i < n; i++)
        number[i] = DIALARC_UNKNOWN;
    return number;
}

static PyObject *darpy_result(const darpy_view *view)
{
    if (view->scalar)
        return PyFloat_FromDouble(view->one);
    Py_INCREF(view->owner);
    return view->owner;
}

/* One more result of a call: the first as it is, more as a list. Takes the object. */
static PyObject *darpy_append(PyObject *result, PyObject *object)
{
    PyObject *list = NULL;
    if (!object || PyErr_Occurred()) { /* of this result, or of one before */
        Py_XDECREF(result);
        Py_XDECREF(object);
        return NULL;
    }
    if (!result || result == Py_None) {
        Py_XDECREF(result);
        return object;
    }
    if (PyList_CheckExact(result))
        list = result;
    else if ((list = PyList_New(1)) != NULL)
        PyList_SET_ITEM(list, 0, result);
    if (!list || PyList_Append(list, object) < 0)
        Py_CLEAR(list);
    Py_DECREF(object);
    return list;
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

#endif
