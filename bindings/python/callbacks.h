/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Python objects that the library calls or reads from: models, tables, caller's records.
 */
#ifndef DARPY_CALLBACKS_H
#define DARPY_CALLBACKS_H

#include "errors.h"
#include "results.h"

/* A model is called with the GIL held; an exception ends the propagation. */
typedef struct {
    PyObject *call;
    const darpy_frame *frame;
} darpy_model;

static double darpy_call_model(const double *input, void *context)
{
    const darpy_model *model = context;
    PyObject *tuple, *result;
    double value = INFINITY;
    if (PyErr_Occurred() || !(tuple = darpy_tuple(input, model->frame->count)))
        return INFINITY;
    result = PyObject_CallOneArg(model->call, tuple);
    Py_DECREF(tuple);
    if (result && darpy_double(result, "model", "result", &value) < 0)
        value = INFINITY;
    Py_XDECREF(result);
    return value;
}

/* Listens for Ctrl-C during a long call without the GIL: every 50 ms and not more often,
 * as another thread may keep the GIL for 5 ms each time. */
typedef struct {
    PyThreadState *thread; /* of the call, saved */
    struct timespec heard;
} darpy_listener;

static int darpy_due(darpy_listener *listener)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    double ms = 1e3 * (double)(now.tv_sec - listener->heard.tv_sec) +
                1e-6 * (double)(now.tv_nsec - listener->heard.tv_nsec);
    if (ms < 50.0)
        return 0;
    listener->heard = now;
    return 1;
}

/* Whether a signal has raised an exception. */
static int darpy_interrupted(darpy_listener *listener)
{
    int stop = 0;
    if (darpy_due(listener)) {
        PyEval_RestoreThread(listener->thread);
        stop = PyErr_CheckSignals() < 0;
        listener->thread = PyEval_SaveThread();
    }
    return stop;
}

/* A file that is read without the GIL. */
static size_t darpy_read_file(void *file, void *data, size_t size)
{
    PyGILState_STATE state = PyGILState_Ensure();
    int stop = PyErr_CheckSignals() < 0;
    PyGILState_Release(state);
    return stop ? DIALARC_READ_FAILED : dialarc_read_file(file, data, size);
}

/* A table that is read: bytes in memory, or an object with read(). */
typedef struct {
    PyObject *file;
    Py_buffer buffer;
    dialarc_memory memory;
} darpy_source;

static size_t darpy_read(void *context, void *data, size_t size)
{
    darpy_source *source = context;
    PyObject *bytes;
    size_t got = DIALARC_READ_FAILED;
    if (PyErr_Occurred() || PyErr_CheckSignals() < 0)
        return DIALARC_READ_FAILED;
    if (!source->file)
        return dialarc_read_memory(&source->memory, data, size);
    bytes = PyObject_CallMethod(source->file, "read", "n", (Py_ssize_t)size);
    if (bytes && !PyBytes_Check(bytes))
        PyErr_SetString(PyExc_TypeError,
                        "read: bytes are needed; open the file in binary mode");
    else if (bytes && (size_t)PyBytes_GET_SIZE(bytes) > size)
        PyErr_SetString(PyExc_ValueError,
                        "read: returned more bytes than were asked for");
    else if (bytes) {
        got = (size_t)PyBytes_GET_SIZE(bytes);
        memcpy(data, PyBytes_AS_STRING(bytes), got);
    }
    Py_XDECREF(bytes);
    return got;
}

static void darpy_source_free(PyObject *capsule)
{
    darpy_source *source = PyCapsule_GetPointer(capsule, "dialarc.source");
    if (source->buffer.obj)
        PyBuffer_Release(&source->buffer);
    Py_XDECREF(source->file);
    PyMem_Free(source);
}

/* A capsule that holds the source. */
static PyObject *darpy_source_new(PyObject *object, const char *function,
                                  const char *argument)
{
    darpy_source *source = PyMem_Calloc(1, sizeof *source);
    if (!source)
        return PyErr_NoMemory();
    if (PyObject_CheckBuffer(object)) {
        if (PyObject_GetBuffer(object, &source->buffer, PyBUF_SIMPLE) == 0) {
            source->memory.data = source->buffer.buf;
            source->memory.size = (size_t)source->buffer.len;
            return PyCapsule_New(source, "dialarc.source", darpy_source_free);
        }
        PyErr_Clear();
    } else if (PyObject_HasAttrString(object, "read")) {
        Py_INCREF(object);
        source->file = object;
        return PyCapsule_New(source, "dialarc.source", darpy_source_free);
    }
    PyMem_Free(source);
    darpy_complain(PyExc_TypeError, function, argument,
                   "bytes, or a file open in binary mode, are needed", object);
    return NULL;
}

/* An attribute that holds numbers, into a view of its own length. */
static int darpy_attribute(darpy_view *view, PyObject *object, const char *function,
                           const char *attribute)
{
    PyObject *value = PyObject_GetAttrString(object, attribute);
    int status;
    if (!value)
        return -1;
    status = darpy_numbers(view, value, function, attribute);
    view->owner = value; /* keeps it until the view is released */
    view->given = value;
    return status;
}

static int darpy_two_columns(PyObject *object, const char *function, const char *argument,
                             const char *class_name, darpy_view *a, const char *name_a,
                             darpy_view *b, const char *name_b)
{
    PyObject *class = darpy_hook(class_name);
    int right = class ? PyObject_IsInstance(object, class) : -1;
    if (right < 0)
        return -1;
    if (!right) {
        char text[64];
        PyOS_snprintf(text, sizeof text, "a dialarc.%s is needed", class_name);
        darpy_complain(PyExc_TypeError, function, argument, text, object);
        return -1;
    }
    if (darpy_attribute(a, object, function, name_a) < 0 ||
        darpy_attribute(b, object, function, name_b) < 0)
        return -1;
    if (a->count == b->count)
        return 0;
    PyErr_Format(PyExc_ValueError, "%s(): %s: %zd values, but %s has %zd", function,
                 name_b, b->count, name_a, a->count);
    return -1;
}

/* Directions of a sweep: NULL for None; else a new array. */
static int darpy_directions(PyObject *sweep, const char *function, Py_ssize_t count,
                            dialarc_direction **directions)
{
    PyObject *list, *value = PyObject_GetAttrString(sweep, "direction");
    int status = 0;
    *directions = NULL;
    if (!value)
        return -1;
    if (value == Py_None) {
        Py_DECREF(value);
        return 0;
    }
    list = PySequence_Fast(value, "direction: a sequence is needed");
    Py_DECREF(value);
    if (!list)
        return -1;
    if (PySequence_Fast_GET_SIZE(list) != count) {
        PyErr_Format(PyExc_ValueError, "%s(): direction: %zd values, but dial_mm has %zd",
                     function, PySequence_Fast_GET_SIZE(list), count);
        status = -1;
    } else if (!(*directions = PyMem_Calloc((size_t)count + 1, sizeof **directions))) {
        PyErr_NoMemory();
        status = -1;
    }
    for (Py_ssize_t i = 0; status == 0 && i < count; i++) {
        int way = 0;
        status = darpy_word(PySequence_Fast_GET_ITEM(list, i), "Direction", function,
                            "direction", &way);
        (*directions)[i] = (dialarc_direction)way;
    }
    Py_DECREF(list);
    return status;
}

#endif
