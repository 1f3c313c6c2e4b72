/* SPDX-License-Identifier: GPL-3.0-or-later
 * Python: what needs the types that the topics have declared. */
%{
#include "batch.h"
#include "function_type.h"

static PyObject *darpy_setup_copy(const dialarc_setup *setup)
{
    dialarc_setup *made = (dialarc_setup *)malloc(sizeof *made);
    if (!made)
        return PyErr_NoMemory();
    *made = *setup;
    return SWIG_NewPointerObj(made, SWIGTYPE_p_dialarc_setup, SWIG_POINTER_OWN);
}
%}

%exception;
%typemap(out) PyObject * { $result = $1; if (!$result) SWIG_fail; }

/* One of the inputs of a case, or of the lobes, inside it. */
%extend dialarc_lobes {
  dialarc_lobe *_lobe_at(int which) {
    return which >= 0 && which < DIALARC_LOBES_MAX ? &$self->lobe[which] : NULL;
  }
}
%extend dialarc_whatif {
  dialarc_input *_input_at(int which) {
    return which >= 0 && which < DIALARC_WHATIF_COUNT ? &$self->input[which] : NULL;
  }
}

%inline %{
PyObject *_set_hooks(PyObject *hooks)
{
    Py_INCREF(hooks);
    Py_XSETREF(darpy_hooks, hooks);
    Py_RETURN_NONE;
}

/* At most size bytes of a table in memory, from where it has been read to. */
PyObject *read_memory(PyObject *data, size_t used, size_t size)
{
    Py_buffer buffer;
    PyObject *bytes = NULL;
    if (PyObject_GetBuffer(data, &buffer, PyBUF_SIMPLE) < 0) {
        PyErr_Clear();
        darpy_complain(PyExc_TypeError, "read_memory", "data", "bytes are needed", data);
        return NULL;
    }
    dialarc_memory memory = {(const char *)buffer.buf, (size_t)buffer.len, used};
    if (used <= memory.size) {
        size_t most = memory.size - used < size ? memory.size - used : size;
        bytes = PyBytes_FromStringAndSize(NULL, (Py_ssize_t)most);
        if (bytes && dialarc_read_memory(&memory, PyBytes_AS_STRING(bytes),
                                         most) != most) {
            Py_CLEAR(bytes);
            PyErr_SetString(PyExc_OSError, "read_memory(): data: reading failed");
        }
    } else
        darpy_complain(PyExc_ValueError, "read_memory", "used", "more than there is",
                       NULL);
    PyBuffer_Release(&buffer);
    return bytes;
}

/* The first size bytes of a file, as the library reads them. */
PyObject *read_file(const char *path, size_t size)
{
    PyObject *bytes;
    size_t got;
    FILE *file;
    if (size > (size_t)PY_SSIZE_T_MAX) {
        darpy_complain(PyExc_OverflowError, "read_file", "size", "out of range", NULL);
        return NULL;
    }
    file = fopen(path, "rb");
    if (!file)
        return PyErr_SetFromErrnoWithFilename(PyExc_OSError, path);
    bytes = PyBytes_FromStringAndSize(NULL, (Py_ssize_t)size);
    got = bytes ? dialarc_read_file(file, PyBytes_AS_STRING(bytes), size) : 0;
    fclose(file);
    if (bytes && got == DIALARC_READ_FAILED) {
        Py_DECREF(bytes);
        return PyErr_Format(PyExc_OSError, "read_file(): path: %s cannot be read", path);
    }
    if (bytes)
        _PyBytes_Resize(&bytes, (Py_ssize_t)got);
    return bytes;
}

/* Sweeps assessed by the batch: a list of (status, Timing, Decision). */
PyObject *batch_assess(PyObject *setups, PyObject *sweeps, size_t threads,
                       PyObject *progress)
{
    darpy_batch b = {.progress = progress};
    darpy_frame frame = DARPY_FRAME;
    PyObject *setup = PySequence_Fast(setups, "batch_assess(): setups: a list is needed");
    PyObject *sweep = setup ? PySequence_Fast(sweeps,
                                              "batch_assess(): sweeps: a list is needed")
                            : NULL;
    PyObject *list = NULL;
    Py_ssize_t n = sweep ? PySequence_Fast_GET_SIZE(sweep) : 0;
    int good = sweep && darpy_batch_room(&b, (size_t)n) == 0;
    if (good && PySequence_Fast_GET_SIZE(setup) != n) {
        PyErr_Format(PyExc_ValueError,
                     "batch_assess(): setups: %zd, but there are %zd sweeps",
                     PySequence_Fast_GET_SIZE(setup), n);
        good = 0;
    }
    for (Py_ssize_t i = 0; good && i < n; i++) {
        void *pointer = NULL;
        PyObject *one = PySequence_Fast_GET_ITEM(setup, i);
        if (one == Py_None ||
            !SWIG_IsOK(SWIG_ConvertPtr(one, &pointer, SWIGTYPE_p_dialarc_setup, 0))) {
            darpy_complain(PyExc_TypeError, "batch_assess", "setups",
                           "a dialarc.Setup is needed", one);
            good = 0;
        } else {
            b.setup[i] = *(const dialarc_setup *)pointer;
            good = darpy_batch_add(&b, (size_t)i,
                                   PySequence_Fast_GET_ITEM(sweep, i)) == 0;
        }
    }
    if (good) {
        b.batch.sweeps = (size_t)n;
        dialarc_status status = darpy_batch_run(&b, threads);
        if (status < DIALARC_OK || PyErr_Occurred())
            darpy_fail(&frame, status, "batch_assess");
        else
            list = PyList_New(n);
    }
    for (Py_ssize_t i = 0; list && i < n; i++) {
        dialarc_timing *timing = (dialarc_timing *)malloc(sizeof *timing);
        dialarc_decision *decision = (dialarc_decision *)malloc(sizeof *decision);
        if (timing && decision) {
            *timing = b.result[i].timing;
            *decision = b.result[i].decision;
        }
        PyObject *entry = timing && decision
            ? Py_BuildValue("(NNN)", darpy_member("Status", (int)b.result[i].status),
                            SWIG_NewPointerObj(timing, SWIGTYPE_p_dialarc_timing,
                                               SWIG_POINTER_OWN),
                            SWIG_NewPointerObj(decision, SWIGTYPE_p_dialarc_decision,
                                               SWIG_POINTER_OWN))
            : PyErr_NoMemory();
        if (!entry)
            Py_CLEAR(list);
        else
            PyList_SET_ITEM(list, i, entry);
    }
    darpy_batch_free(&b);
    Py_XDECREF(setup);
    Py_XDECREF(sweep);
    return list;
}

/* The results table of a sweeps table, as text. */
PyObject *stream_assess(PyObject *read, PyObject *setups, size_t threads)
{
    void *known = NULL;
    darpy_stream s = {0};
    dialarc_error error = {0};
    darpy_frame frame = {.count = -1, .place = &error};
    PyObject *text = NULL, *capsule;
    const char *header = dialarc_results_header();
    dialarc_status status = DIALARC_ERR_NO_MEMORY;
    if (setups == Py_None ||
        !SWIG_IsOK(SWIG_ConvertPtr(setups, &known, SWIGTYPE_p_dialarc_setups, 0))) {
        darpy_complain(PyExc_TypeError, "stream_assess", "setups",
                       "dialarc.Setups are needed", setups);
        return NULL;
    }
    capsule = darpy_source_new(read, "stream_assess", "read");
    if (!capsule)
        return NULL;
    s.source = (darpy_source *)PyCapsule_GetPointer(capsule, "dialarc.source");
    if (darpy_stream_append(&s, header, strlen(header)) == 0) {
        s.listener.thread = PyEval_SaveThread();
        status = dialarc_stream_assess(darpy_stream_read, &s, (const dialarc_setups *)known, threads,
                                       darpy_stream_take, &s, &error);
        PyEval_RestoreThread(s.listener.thread);
        if (status == DIALARC_ERR_CANCELLED) { /* by a sweep, or where memory is short */
            error = s.refused;
            status = error.status ? error.status : DIALARC_ERR_NO_MEMORY;
        }
    }
    if (status < DIALARC_OK || PyErr_Occurred())
        darpy_fail(&frame, status, "stream_assess");
    else
        text = PyUnicode_DecodeUTF8(s.text, (Py_ssize_t)s.length, NULL);
    free(s.text);
    Py_DECREF(capsule);
    return text;
}

/* A function of the module as users see it: function.h. */
PyObject *_function(PyObject *name, PyObject *scalar, PyObject *array, PyObject *names,
                    int required, int vary, int outs, PyObject *signature, PyObject *doc)
{
    return darpy_function_new(name, scalar, array, names, required, vary, outs, signature,
                              doc);
}
%}
