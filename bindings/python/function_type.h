/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The type of the functions of the module; they can stand in a class as methods.
 */
#ifndef DARPY_FUNCTION_TYPE_H
#define DARPY_FUNCTION_TYPE_H

#include <structmember.h>

#include "function.h"

static void darpy_function_free(PyObject *object)
{
    darpy_function *self = (darpy_function *)object;
    Py_XDECREF(self->name);
    Py_XDECREF(self->scalar);
    Py_XDECREF(self->array);
    Py_XDECREF(self->names);
    Py_XDECREF(self->signature);
    Py_XDECREF(self->doc);
    Py_XDECREF(self->made);
    Py_XDECREF(self->module);
    Py_TYPE(object)->tp_free(object);
}

static PyObject *darpy_function_repr(PyObject *object)
{
    return PyUnicode_FromFormat("<function dialarc.%U>",
                                ((darpy_function *)object)->name);
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
    .tp_flags =
        Py_TPFLAGS_DEFAULT | Py_TPFLAGS_HAVE_VECTORCALL | Py_TPFLAGS_METHOD_DESCRIPTOR,
    .tp_vectorcall_offset = offsetof(darpy_function, vectorcall),
    .tp_call = PyVectorcall_Call,
    .tp_dealloc = darpy_function_free,
    .tp_repr = darpy_function_repr,
    .tp_descr_get = darpy_function_bind,
    .tp_methods = darpy_function_methods,
    .tp_members = darpy_function_members};

/* scalar, array and made: a callable or None; outs as in the struct. */
static PyObject *darpy_function_new(PyObject *name, PyObject *scalar, PyObject *array,
                                    PyObject *names, int required, int vary, int outs,
                                    PyObject *signature, PyObject *doc, PyObject *made)
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
    self->made = made == Py_None ? NULL : (Py_INCREF(made), made);
    self->required = required;
    self->vary = (unsigned)vary;
    self->outs = outs;
    return (PyObject *)self;
}

#endif
