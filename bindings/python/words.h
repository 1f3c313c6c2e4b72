/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Members of enumerations, and text.
 */
#ifndef DARPY_WORDS_H
#define DARPY_WORDS_H

#include "support.h"

/* "cam_lift(): law: 'poly' is no Law; there are poly345, ..." */
static void darpy_refuse_word(PyObject *word, const char *class_name,
                              const char *function, const char *argument)
{
    PyErr_Clear();
    PyObject *list = darpy_hook("list_words");
    PyObject *words = list ? PyObject_CallFunction(list, "s", class_name) : NULL;
    if (words)
        PyErr_Format(PyExc_ValueError, "%s%s%s: %R is no %s; there are %U",
                     darpy_is_field(function) ? "" : function,
                     darpy_is_field(function) ? "" : "(): ", argument, word, class_name,
                     words);
    Py_XDECREF(words);
}

/* A member of an enumeration, its name in any case, or its number. */
static int darpy_word(PyObject *object, const char *class_name, const char *function,
                      const char *argument, int *value)
{
    long long number = 0;
    if (PyUnicode_Check(object)) {
        PyObject *make = darpy_hook("make_word");
        PyObject *word =
            make ? PyObject_CallFunction(make, "sO", class_name, object) : NULL;
        if (!word) {
            if (PyErr_ExceptionMatches(PyExc_KeyError))
                darpy_refuse_word(object, class_name, function, argument);
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

/* Text without a zero byte; with path, anything that names a file. The caller drops
 * *holder, which keeps the text alive. */
static const char *darpy_text(PyObject *object, int path, const char *function,
                              const char *argument, PyObject **holder)
{
    const char *text = NULL;
    *holder = NULL;
    if (path && object != Py_None && PyUnicode_FSConverter(object, holder))
        return PyBytes_AS_STRING(*holder);
    if (path && PyErr_Occurred() && !PyErr_ExceptionMatches(PyExc_TypeError))
        return NULL;
    PyErr_Clear();
    if (!path && PyUnicode_Check(object)) {
        Py_ssize_t size = 0;
        text = PyUnicode_AsUTF8AndSize(object, &size);
        if (text && strlen(text) != (size_t)size) {
            darpy_complain(PyExc_ValueError, function, argument, "contains a zero byte",
                           NULL);
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

#endif
