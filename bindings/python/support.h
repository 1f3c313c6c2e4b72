/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the Python wrapper needs of its own: numbers, words and errors. Every message
 * names the function and the argument.
 */
#ifndef DARPY_SUPPORT_H
#define DARPY_SUPPORT_H

#include <limits.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <dialarc.h>

/* What dialarc/__init__.py hands over at import: classes, and functions called `make_*`
 * that build exceptions, arrays and records. */
static PyObject *darpy_hooks;

static PyObject *darpy_hook(const char *name)
{
    PyObject *hook = darpy_hooks ? PyDict_GetItemString(darpy_hooks, name) : NULL;
    if (!hook)
        PyErr_Format(PyExc_RuntimeError, "dialarc: %s is missing: import dialarc", name);
    return hook;
}

/* "cam_lift(): pump_deg: " before a message; for a field "Cam.lift_mm: ". */
static void darpy_complain(PyObject *type, const char *function, const char *argument,
                           const char *text, PyObject *culprit)
{
    size_t length = strlen(function);
    const char *is = culprit ? ", not " : "";
    const char *kind = !culprit ? "" : culprit == Py_None ? "None" : Py_TYPE(culprit)->tp_name;
    if (length > 4 && strcmp(function + length - 4, "_set") == 0)
        PyErr_Format(type, "%s: %s%s%s", argument, text, is, kind);
    else
        PyErr_Format(type, "%s(): %s: %s%s%s", function, argument, text, is, kind);
}

static int darpy_is_field(const char *function)
{
    size_t length = strlen(function);
    return length > 4 && strcmp(function + length - 4, "_set") == 0;
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

static int darpy_double(PyObject *object, const char *function, const char *argument,
                        double *value)
{
    if (PyFloat_CheckExact(object)) {
        *value = PyFloat_AS_DOUBLE(object);
        return 0;
    }
    if (darpy_is_number(object)) {
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

/* A member of an enumeration, its name in any case, or its number. */
static int darpy_word(PyObject *object, const char *class_name, const char *function,
                      const char *argument, int *value)
{
    long long number = 0;
    if (PyUnicode_Check(object)) {
        PyObject *make = darpy_hook("make_word");
        PyObject *word = make ? PyObject_CallFunction(make, "sO", class_name, object) : NULL;
        if (!word) {
            if (PyErr_ExceptionMatches(PyExc_KeyError)) {
                PyErr_Clear();
                if (darpy_is_field(function))
                    PyErr_Format(PyExc_ValueError, "%s: %R is none of dialarc.%s", argument,
                                 object, class_name);
                else
                    PyErr_Format(PyExc_ValueError, "%s(): %s: %R is none of dialarc.%s",
                                 function, argument, object, class_name);
            }
            return -1;
        }
        *value = (int)PyLong_AsLong(word);
        Py_DECREF(word);
        return 0;
    }
    if (darpy_whole(object, function, argument, INT_MIN, INT_MAX, &number) < 0)
        return -1;
    *value = (int)number;
    return 0;
}

/* The member of an enumeration for a number; the number itself when there is none. */
static PyObject *darpy_member(const char *class_name, int value)
{
    PyObject *table = darpy_hook(class_name);
    PyObject *number = PyLong_FromLong(value);
    PyObject *member = table && number ? PyDict_GetItem(table, number) : NULL;
    if (!member)
        return table ? number : (Py_XDECREF(number), NULL);
    Py_DECREF(number);
    Py_INCREF(member);
    return member;
}

/* Text without a zero inside. With path, whatever stands for the name of a file. The
 * caller drops *holder, which keeps the text. */
static const char *darpy_text(PyObject *object, int path, const char *function,
                              const char *argument, PyObject **holder)
{
    const char *text = NULL;
    *holder = NULL;
    if (path && object != Py_None && PyUnicode_FSConverter(object, holder))
        return PyBytes_AS_STRING(*holder);
    if (path && PyErr_ExceptionMatches(PyExc_ValueError))
        return NULL;
    PyErr_Clear();
    if (!path && PyUnicode_Check(object)) {
        Py_ssize_t size = 0;
        text = PyUnicode_AsUTF8AndSize(object, &size);
        if (text && strlen(text) != (size_t)size) {
            darpy_complain(PyExc_ValueError, function, argument, "holds a zero", NULL);
            return NULL;
        }
        if (text) {
            Py_INCREF(object);
            *holder = object;
        }
        return text;
    }
    darpy_complain(PyExc_TypeError, function, argument,
                   path ? "the name of a file is needed" : "text is needed", object);
    return NULL;
}

/* One more result of a call: the first as it is, more as a list. Takes the object. */
static PyObject *darpy_append(PyObject *result, PyObject *object)
{
    PyObject *list = NULL;
    if (!object) {
        Py_XDECREF(result);
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

#endif
