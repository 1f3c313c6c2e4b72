/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A function of the module as users see it: it has a signature and a docstring, takes a
 * number or an array, and `out=` for results. It can stand in a class as a method.
 */
#ifndef DARPY_FUNCTION_H
#define DARPY_FUNCTION_H

#include <structmember.h>

#include "arrays.h"

enum { DARPY_ARGUMENTS = 16 };

typedef struct {
    PyObject_HEAD
    vectorcallfunc vectorcall;
    PyObject *name, *scalar, *array; /* one of the forms may be NULL */
    PyObject *names;                 /* of the arguments */
    PyObject *signature, *doc, *module;
    Py_ssize_t required; /* the others are None when left out */
    unsigned vary;       /* bit k: argument k may be an array */
    int outs;            /* arrays that `out` takes; 0: there is no `out` */
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
                PyErr_Format(PyExc_TypeError, "%U(): %U is given twice", self->name, keyword);
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
    PyErr_Format(PyExc_TypeError, "%U(): no argument is called %R; it is %U%V", self->name,
                 keyword, self->name, known, "");
    Py_XDECREF(known);
    return -1;
}

/* Arguments by position and keyword in the order of the names; -1 after an error. */
static int darpy_arrange(const darpy_function *self, PyObject *const *args, Py_ssize_t given,
                         PyObject *keywords, PyObject **place, PyObject **out)
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
        if (darpy_place(self, PyTuple_GET_ITEM(keywords, i), args[given + i], place, out) < 0)
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

static PyObject *darpy_function_call(PyObject *object, PyObject *const *args, size_t count,
                                     PyObject *keywords)
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

static void darpy_function_free(PyObject *object)
{
    darpy_function *self = (darpy_function *)object;
    Py_XDECREF(self->name);
    Py_XDECREF(self->scalar);
    Py_XDECREF(self->array);
    Py_XDECREF(self->names);
    Py_XDECREF(self->signature);
    Py_XDECREF(self->doc);
    Py_XDECREF(self->module);
    Py_TYPE(object)->tp_free(object);
}

static PyObject *darpy_function_repr(PyObject *object)
{
    return PyUnicode_FromFormat("<function dialarc.%U>", ((darpy_function *)object)->name);
}

static PyObject *darpy_function_bind(PyObject *object, PyObject *instance, PyObject *type)
{
    (void)type;
    if (instance && instance != Py_None)
        return PyMethod_New(object, instance);
    Py_INCREF(object);
    return object;
}

static PyObject *darpy_function_reduce(PyObject *object, PyObject *none)
{
    (void)none;
    Py_INCREF(((darpy_function *)object)->name);
    return ((darpy_function *)object)->name;
}

static PyMethodDef darpy_function_methods[] = {
    {"__reduce__", darpy_function_reduce, METH_NOARGS, NULL}, {NULL, NULL, 0, NULL}};

static PyMemberDef darpy_function_members[] = {
    {"__name__", T_OBJECT, offsetof(darpy_function, name), READONLY, NULL},
    {"__qualname__", T_OBJECT, offsetof(darpy_function, name), READONLY, NULL},
    {"__module__", T_OBJECT, offsetof(darpy_function, module), READONLY, NULL},
    {"__doc__", T_OBJECT, offsetof(darpy_function, doc), READONLY, NULL},
    {"__text_signature__", T_OBJECT, offsetof(darpy_function, signature), READONLY, NULL},
    {NULL, 0, 0, 0, NULL}};

static PyTypeObject darpy_function_type = {
    PyVarObject_HEAD_INIT(NULL, 0).tp_name = "dialarc.function",
    .tp_basicsize = sizeof(darpy_function),
    .tp_flags = Py_TPFLAGS_DEFAULT | Py_TPFLAGS_HAVE_VECTORCALL | Py_TPFLAGS_METHOD_DESCRIPTOR,
    .tp_vectorcall_offset = offsetof(darpy_function, vectorcall),
    .tp_call = PyVectorcall_Call,
    .tp_dealloc = darpy_function_free,
    .tp_repr = darpy_function_repr,
    .tp_descr_get = darpy_function_bind,
    .tp_methods = darpy_function_methods,
    .tp_members = darpy_function_members};

/* scalar and array: a callable or None; outs as in the struct. */
static PyObject *darpy_function_new(PyObject *name, PyObject *scalar, PyObject *array,
                                    PyObject *names, int required, int vary, int outs,
                                    PyObject *signature, PyObject *doc)
{
    darpy_function *self;
    if (PyType_Ready(&darpy_function_type) < 0)
        return NULL;
    if (!PyTuple_Check(names) || PyTuple_GET_SIZE(names) > DARPY_ARGUMENTS) {
        PyErr_SetString(PyExc_TypeError, "names");
        return NULL;
    }
    self = PyObject_New(darpy_function, &darpy_function_type);
    if (!self)
        return NULL;
    self->vectorcall = darpy_function_call;
    self->scalar = scalar == Py_None ? NULL : (Py_INCREF(scalar), scalar);
    self->array = array == Py_None ? NULL : (Py_INCREF(array), array);
    self->name = (Py_INCREF(name), name);
    self->names = (Py_INCREF(names), names);
    self->signature = (Py_INCREF(signature), signature);
    self->doc = (Py_INCREF(doc), doc);
    self->module = PyUnicode_FromString("dialarc");
    self->required = required;
    self->vary = (unsigned)vary;
    self->outs = outs;
    return (PyObject *)self;
}

#endif
