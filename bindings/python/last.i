/* SPDX-License-Identifier: GPL-3.0-or-later
 * Python: what needs the types that the topics have declared. */
%{
#include "batch.h"
#include "function_type.h"

static PyObject *darpy_setup_copy(const dialarc_setup *setup)
{
    void *made = darc_copy_setup(setup, sizeof *setup);
    return made ? SWIG_NewPointerObj(made, SWIGTYPE_p_dialarc_setup, SWIG_POINTER_OWN)
                : PyErr_NoMemory();
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

/* The next bytes of a table in memory, at most size of them. */
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
        darpy_complain(PyExc_ValueError, "read_memory", "used",
                       "beyond the end of the data", NULL);
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

PyObject *batch_assess(PyObject *setups, PyObject *sweeps, size_t threads,
                       PyObject *progress)
{
    return darpy_batch_assess(setups, sweeps, threads, progress);
}

PyObject *stream_assess(PyObject *read, PyObject *setups, size_t threads)
{
    return darpy_stream_assess(read, setups, threads);
}

/* A function of the module as users see it: function.h. */
PyObject *_function(PyObject *name, PyObject *scalar, PyObject *array, PyObject *names,
                    int required, int vary, int outs, PyObject *signature, PyObject *doc,
                    PyObject *made)
{
    return darpy_function_new(name, scalar, array, names, required, vary, outs, signature,
                              doc, made);
}
%}
