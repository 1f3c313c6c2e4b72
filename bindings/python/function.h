/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A function of the module as users see it: it has a signature and a docstring, takes a
 * number or an array, and `out=` for results.
 */
#ifndef DARPY_FUNCTION_H
#define DARPY_FUNCTION_H

#include "results.h"

enum { DARPY_ARGUMENTS = 16 };

typedef struct {
    PyObject_HEAD vectorcallfunc vectorcall;
    PyObject *name, *scalar, *array; /* one of the forms may be NULL */
    PyObject *names;                 /* of the arguments */
    PyObject *signature, *doc, *module;
    Py_ssize_t required; /* the others are None when left out */
    unsigned vary;       /* bit k: argument k may be an array */
    int outs;            /* arrays that `out` takes; 0: there is no `out` */
    PyObject *made;      /* class of several results, by their names; or NULL */
} darpy_function;

static int darpy_is_array(PyObject *object)
{
    return !PyFloat_CheckExact(object) && !PyLong_CheckExact(object) &&
           (PyObject_CheckBuffer(object) || darpy_is_sequence(object)) &&
           !darpy_is_number(object) && !PyUnicode_Check(object);
}

static int darpy_any_array(const darpy_function *self, PyObject *const *args)
{
    for (unsigned bits = self->vary, i = 0; bits; bits >>= 1, i++)
        if ((bits & 1) && !PyFloat_CheckExact(args[i]) && darpy_is_array(args[i]))
            return 1;
    return 0;
}

static PyObject *darpy_call_form(const darpy_function *self, PyObject *const *args,
                                 PyObject *out)
{
    PyObject *outer = darpy_out, *result, *form = self->scalar;
    if (!form || out || (self->array && darpy_any_array(self, args)))
        form = self->array;
    darpy_out = out; /* an outer call may be converting its arguments: kept for it */
    result = PyObject_Vectorcall(form, args, (size_t)PyTuple_GET_SIZE(self->names), NULL);
    darpy_out = outer;
    if (result && PyList_CheckExact(result))
        Py_SETREF(result, PyList_AsTuple(result));
    if (result && self->made && PyTuple_CheckExact(result))
        Py_SETREF(result, PyObject_Call(self->made, result, NULL));
    return result;
}

/* Puts a keyword where it belongs; -1 after an error. */
static int darpy_place(const darpy_function *self, PyObject *keyword, PyObject *value,
                       PyObject **place, PyObject **out)
{
    PyObject *known;
    for (Py_ssize_t i = 0; i < PyTuple_GET_SIZE(self->names); i++)
        if (PyUnicode_Compare(keyword, PyTuple_GET_ITEM(self->names, i)) == 0) {
            if (place[i]) {
                PyErr_Format(PyExc_TypeError, "%U(): %U is given twice", self->name,
                             keyword);
                return -1;
            }
            place[i] = value;
            return 0;
        }
    if (self->outs && PyUnicode_CompareWithASCIIString(keyword, "out") == 0) {
        *out = value;
        return 0;
    }
    known = PyObject_Str(self->signature);
    PyErr_Format(PyExc_TypeError, "%U(): no argument is called %R; it is %U%V",
                 self->name, keyword, self->name, known, "");
    Py_XDECREF(known);
    return -1;
}

/* Arguments by position and keyword in the order of the names; -1 after an error. */
static int darpy_arrange(const darpy_function *self, PyObject *const *args,
                         Py_ssize_t given, PyObject *keywords, PyObject **place,
                         PyObject **out)
{
    Py_ssize_t all = PyTuple_GET_SIZE(self->names);
    if (given > all) {
        PyErr_Format(PyExc_TypeError, "%U%U takes %zd arguments, not %zd", self->name,
                     self->signature, all, given);
        return -1;
    }
    for (Py_ssize_t i = 0; i < all; i++)
        place[i] = i < given ? args[i] : NULL;
    for (Py_ssize_t i = 0; keywords && i < PyTuple_GET_SIZE(keywords); i++)
        if (darpy_place(self, PyTuple_GET_ITEM(keywords, i), args[given + i], place,
                        out) < 0)
            return -1;
    for (Py_ssize_t i = 0; i < all; i++)
        if (!place[i] && i < self->required) {
            PyErr_Format(PyExc_TypeError, "%U(): %U is missing", self->name,
                         PyTuple_GET_ITEM(self->names, i));
            return -1;
        } else if (!place[i])
            place[i] = Py_None;
    return 0;
}

/* `out` as a tuple of the right size: a new reference, NULL for none, or an error. */
static PyObject *darpy_out_tuple(const darpy_function *self, PyObject *out)
{
    PyObject *tuple;
    if (!out || out == Py_None)
        return NULL;
    tuple = PyTuple_Check(out) ? (Py_INCREF(out), out) : PyTuple_Pack(1, out);
    if (tuple && PyTuple_GET_SIZE(tuple) != self->outs) {
        PyErr_Format(PyExc_TypeError, "%U(): out: %d arrays are needed", self->name,
                     self->outs);
        Py_CLEAR(tuple);
    }
    return tuple;
}

static PyObject *darpy_function_call(PyObject *object, PyObject *const *args,
                                     size_t count, PyObject *keywords)
{
    const darpy_function *self = (darpy_function *)object;
    Py_ssize_t given = PyVectorcall_NARGS(count);
    PyObject *place[DARPY_ARGUMENTS], *out = NULL, *result;
    if (!keywords && given == PyTuple_GET_SIZE(self->names))
        return darpy_call_form(self, args, NULL);
    if (darpy_arrange(self, args, given, keywords, place, &out) < 0)
        return NULL;
    out = darpy_out_tuple(self, out);
    if (PyErr_Occurred())
        return NULL;
    result = darpy_call_form(self, place, out);
    Py_XDECREF(out);
    return result;
}

#endif
