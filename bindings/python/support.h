/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Basics of the Python wrapper: hooks, complaints and numbers. Every message names the
 * function and the argument.
 */
#ifndef DARPY_SUPPORT_H
#define DARPY_SUPPORT_H

#include <limits.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include <dialarc.h>

/* What dialarc/__init__.py hands over at import: classes, and functions called `make_*`
 * that build exceptions, arrays and records. */
static PyObject *darpy_hooks;

/* NULL after an error, with which no code of Python may be called. */
static PyObject *darpy_hook(const char *name)
{
    if (PyErr_Occurred())
        return NULL;
    PyObject *key = PyUnicode_FromString(name);
    PyObject *hook =
        key && darpy_hooks ? PyDict_GetItemWithError(darpy_hooks, key) : NULL;
    Py_XDECREF(key);
    if (!hook && !PyErr_Occurred())
        PyErr_Format(PyExc_RuntimeError, "dialarc: %s is missing: import dialarc", name);
    return hook;
}

/* Fields are set by functions of SWIG. */
static int darpy_is_field(const char *function)
{
    size_t length = strlen(function);
    return length > 4 && strcmp(function + length - 4, "_set") == 0;
}

/* "cam_lift(): pump_deg: " before a message; for a field "Cam.lift_mm: ". */
static void darpy_complain(PyObject *type, const char *function, const char *argument,
                           const char *text, PyObject *culprit)
{
    const char *is = culprit ? ", not " : "";
    const char *kind = !culprit             ? ""
                       : culprit == Py_None ? "None"
                                            : Py_TYPE(culprit)->tp_name;
    if (darpy_is_field(function))
        PyErr_Format(type, "%s: %s%s%s", argument, text, is, kind);
    else
        PyErr_Format(type, "%s(): %s: %s%s%s", function, argument, text, is, kind);
}

/* A sequence with a length, such as a list or an array that is not 0-dimensional. */
static int darpy_is_sequence(PyObject *object)
{
    if (!PySequence_Check(object))
        return 0;
    if (PySequence_Size(object) >= 0)
        return 1;
    PyErr_Clear();
    return 0;
}

static int darpy_is_number(PyObject *object)
{
    PyNumberMethods *number = Py_TYPE(object)->tp_as_number;
    if (PyFloat_Check(object) || PyLong_Check(object))
        return 1;
    return number && (number->nb_float || number->nb_index) && !darpy_is_sequence(object);
}

/* A masked array of NumPy, whose mask would not cross. */
static int darpy_is_masked(PyObject *object)
{
    for (const PyTypeObject *type = Py_TYPE(object); type; type = type->tp_base)
        if (strcmp(type->tp_name, "MaskedArray") == 0)
            return 1;
    return 0;
}

static int darpy_refuse_masked(PyObject *object, const char *function,
                               const char *argument)
{
    if (!darpy_is_masked(object))
        return 0;
    darpy_complain(PyExc_TypeError, function, argument,
                   "a masked array: leave out what is masked, or give filled(), first",
                   NULL);
    return -1;
}

static int darpy_double(PyObject *object, const char *function, const char *argument,
                        double *value)
{
    if (PyFloat_CheckExact(object)) {
        *value = PyFloat_AS_DOUBLE(object);
        return 0;
    }
    if (darpy_is_number(object)) {
        if (darpy_refuse_masked(object, function, argument) < 0)
            return -1;
        *value = PyFloat_AsDouble(object);
        if (!(*value == -1.0 && PyErr_Occurred()))
            return 0;
        if (!PyErr_ExceptionMatches(PyExc_TypeError))
            return -1;
        PyErr_Clear();
    }
    darpy_complain(PyExc_TypeError, function, argument, "a number is needed", object);
    return -1;
}

/* A whole number within limits; numbers with a fraction are refused. */
static int darpy_whole(PyObject *object, const char *function, const char *argument,
                       long long least, long long most, long long *value)
{
    PyObject *index = PyIndex_Check(object) ? PyNumber_Index(object) : NULL;
    int overflow = 0;
    if (!index) {
        PyErr_Clear();
        darpy_complain(PyExc_TypeError, function, argument, "a whole number is needed",
                       object);
        return -1;
    }
    *value = PyLong_AsLongLongAndOverflow(index, &overflow);
    Py_DECREF(index);
    if (!overflow && *value >= least && *value <= most)
        return 0;
    darpy_complain(PyExc_OverflowError, function, argument, "out of range", NULL);
    return -1;
}

#endif
