/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Python: typemaps behind the macros and patterns of ../dialarc.i. Functions that return
 * a status have a `frame` (arrays.h): what the arguments of the call have in common.
 */
%feature("autodoc", "0");

%{
#include "blocks.h"
#include "callbacks.h"
#include "workspaces.h"
%}

/* ---- status: an exception, or nothing -------------------------------------------- */

%typemap(out) dialarc_status (darpy_frame frame = DARPY_FRAME) {
  if ($1 < DIALARC_OK || PyErr_Occurred()) {
    darpy_fail(&frame, $1, "$symname");
    SWIG_fail;
  }
  $result = SWIG_Py_Void();
}

%define DIALARC_UNLOCKED(function)
%exception function {
  Py_BEGIN_ALLOW_THREADS
  $action
  Py_END_ALLOW_THREADS
}
%enddef

%define DIALARC_EACH_ALONE(function)
%exception function {
  do {
    if (darpy_block(&frame) < 0) SWIG_fail;
    Py_BEGIN_ALLOW_THREADS
    $action
    Py_END_ALLOW_THREADS
  } while (result >= DIALARC_OK && darpy_more(&frame));
}
%enddef

/* Tables in files are read piece by piece, so that Ctrl-C is heard in between; where
 * there is no file, the library says why. */
%define DARPY_LOAD(what, arguments...)
%feature("action") dialarc_##what##_load {
  FILE *file = fopen(arg1, "rb");
  result = file ? dialarc_##what##_read(darpy_read_file, file, arguments)
                : dialarc_##what##_load(arg1, arguments);
  if (file) fclose(file);
}
%enddef
DARPY_LOAD(setups, arg2, arg3)
DARPY_LOAD(cams, arg2, arg3)
DARPY_LOAD(dials, arg2, arg3)
DARPY_LOAD(rows, arg2, arg3, arg4)
DARPY_LOAD(sweeps, arg2, arg3, arg4)
DARPY_LOAD(jobs, arg2, arg3, arg4)

%define DIALARC_INDEX(function)
%exception function {
  $action
  if (!result) {
    PyErr_SetString(PyExc_IndexError, "$symname(): index: nothing has this number");
    SWIG_fail;
  }
}
%enddef

/* ---- numbers and text ------------------------------------------------------------ */

%typemap(in) double {
  if (darpy_double($input, "$symname", "$1_name", &$1) < 0) SWIG_fail;
}
/* Fields take any number, and so do unit conversions. */
%define DIALARC_FINITE_NUMBER
%typemap(check) double {
  if (!isfinite($1) && !darpy_is_field("$symname")) {
    darpy_not_finite("$symname", "$1_name");
    SWIG_fail;
  }
}
%enddef
%define DIALARC_ANY_NUMBER
%typemap(check) double "";
%enddef
DIALARC_FINITE_NUMBER
%typemap(in) int (long long whole) {
  if (darpy_whole($input, "$symname", "$1_name", INT_MIN, INT_MAX, &whole) < 0) SWIG_fail;
  $1 = (int)whole;
}
%typemap(in) size_t (long long whole) {
  if (darpy_whole($input, "$symname", "$1_name", 0, LLONG_MAX, &whole) < 0) SWIG_fail;
  $1 = (size_t)whole;
}
%typemap(in) uint32_t (long long whole) {
  if (darpy_whole($input, "$symname", "$1_name", 0, UINT32_MAX, &whole) < 0) SWIG_fail;
  $1 = (uint32_t)whole;
}
/* Results that are not a status need the frame too, for the checks of arguments. */
%typemap(out) int (darpy_frame frame = DARPY_FRAME) { $result = PyLong_FromLong($1); }
%typemap(out) const char * (darpy_frame frame = DARPY_FRAME) {
  $result = PyUnicode_FromString($1);
}
%typemap(out) uint32_t { $result = PyLong_FromUnsignedLong($1); }
%typemap(out) size_t (darpy_frame frame = DARPY_FRAME) {
  $result = PyLong_FromSize_t($1);
}
%typemap(in) const char * (PyObject *holder = NULL) {
  $1 = (char *)darpy_text($input, 0, "$symname", "$1_name", &holder);
  if (!$1) SWIG_fail;
}
%typemap(in) const char *path (PyObject *holder = NULL) {
  $1 = (char *)darpy_text($input, 1, "$symname", "$1_name", &holder);
  if (!$1) SWIG_fail;
}
%typemap(in) const char *file (PyObject *holder = NULL) {
  if ($input == Py_None) $1 = NULL;
  else if (!($1 = (char *)darpy_text($input, 0, "$symname", "$1_name",
                                     &holder))) SWIG_fail;
}
%typemap(freearg) const char * { Py_XDECREF(holder$argnum); }
%typemap(freearg) const char *path { Py_XDECREF(holder$argnum); }
%typemap(freearg) const char *file { Py_XDECREF(holder$argnum); }
%typemap(in, numinputs=0) (char *text, size_t size) (char room[DIALARC_RESULT_SIZE]) {
  $1 = room;
  $2 = sizeof room;
}
%typemap(argout) (char *text, size_t size) {
  $result = darpy_append($result, PyUnicode_FromString($1));
}
/* Rows of a table, one for each value of the arrays. */
%typemap(in, numinputs=0) (char *rows, size_t size) (char *room = NULL) "$1 = NULL;"
%typemap(check) (char *rows, size_t size) {
  size_t many = frame.count < 0 ? 0 : (size_t)frame.count;
  $2 = many <= DIALARC_CAMTABLE_MAX ? many * DIALARC_CAM_ROW_SIZE : 0;
  $1 = room$argnum = (char *)PyMem_Malloc($2 + 1);
  if (!$1) {
    PyErr_NoMemory();
    SWIG_fail;
  }
}
%typemap(argout) (char *rows, size_t size) {
  $result = darpy_append($result, PyUnicode_FromString($1));
}
%typemap(freearg) (char *rows, size_t size) { PyMem_Free(room$argnum); }
%typemap(in, numinputs=0) size_t *length "$1 = NULL;"
%typemap(in, numinputs=0) size_t *index (size_t temp) "$1 = &temp;"
%typemap(argout) size_t *index {
  $result = darpy_append($result, PyLong_FromSize_t(*$1));
}
%typemap(in, numinputs=0) int *sense (int temp) "$1 = &temp;"
%typemap(argout) int *sense { $result = darpy_append($result, PyLong_FromLong(*$1)); }

%include "python/arrays.i"
%include "python/structs.i"
%include "python/records.i"

/* ---- reading functions: the library's own sources, called directly --------------- */

/* dialarc.assess() takes the readings themselves; it is made of the two steps. */
%ignore dialarc_assess;
%ignore dialarc_read_file;
%ignore dialarc_read_memory;
%ignore dialarc_memory;
