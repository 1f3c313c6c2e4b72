/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Python: typemaps behind the macros and patterns of ../dialarc.i. Functions that return
 * a status have a `frame` (arrays.h): what the arguments of the call have in common.
 */
%feature("autodoc", "0");

%{
#include "callbacks.h"
%}

/* ---- status: an exception, or nothing ------------------------------------------------ */

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

%define DIALARC_INDEX(function)
%exception function {
  $action
  if (!result) {
    PyErr_SetString(PyExc_IndexError, "$symname(): index: there is none of that number");
    SWIG_fail;
  }
}
%enddef

/* ---- numbers and text ---------------------------------------------------------------- */

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
%typemap(out) size_t (darpy_frame frame = DARPY_FRAME) { $result = PyLong_FromSize_t($1); }
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
  else if (!($1 = (char *)darpy_text($input, 0, "$symname", "$1_name", &holder))) SWIG_fail;
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
%typemap(in, numinputs=0) size_t *length "$1 = NULL;"
%typemap(in, numinputs=0) size_t *index (size_t temp) "$1 = &temp;"
%typemap(argout) size_t *index { $result = darpy_append($result, PyLong_FromSize_t(*$1)); }
%typemap(in, numinputs=0) int *sense (int temp) "$1 = &temp;"
%typemap(argout) int *sense { $result = darpy_append($result, PyLong_FromLong(*$1)); }

/* ---- arrays -------------------------------------------------------------------------- */

%typemap(in, numinputs=0) size_t n "$1 = 0;"
%typemap(check) size_t n { $1 = frame.count < 0 ? 0 : (size_t)frame.count; }

%typemap(in) const double * (darpy_view view = DARPY_VIEW) {
  if (darpy_input(&frame, &view, $input, "$symname", "$1_name") < 0) SWIG_fail;
  $1 = view.data;
}
%typemap(in) const double *OPTIONAL (darpy_view view = DARPY_VIEW) {
  if ($input == Py_None) $1 = NULL;
  else {
    if (darpy_input(&frame, &view, $input, "$symname", "$1_name") < 0) SWIG_fail;
    $1 = view.data;
  }
}
%typemap(freearg) const double *, const double *OPTIONAL { darpy_release(&view$argnum); }
%typemap(check) const double * "";
%typemap(argout) const double * "";

/* n x n values, or nothing */
%typemap(in) const double *correlation (darpy_view view = DARPY_VIEW) {
  if ($input == Py_None) $1 = NULL;
  else {
    if (darpy_numbers(&view, $input, "$symname", "$1_name") < 0) SWIG_fail;
    $1 = view.data;
    if (view.count != frame.count * frame.count) {
      darpy_complain(PyExc_ValueError, "$symname", "$1_name", "n x n values are needed", NULL);
      SWIG_fail;
    }
  }
}
%typemap(freearg) const double *correlation { darpy_release(&view$argnum); }

%typemap(in, numinputs=0) double * (darpy_view view = DARPY_VIEW) "$1 = NULL;"
%typemap(check) double * {
  if (darpy_output(&frame, &view$argnum, "$symname", "$1_name") < 0) SWIG_fail;
  $1 = view$argnum.data;
}
%typemap(argout) double * { $result = darpy_append($result, darpy_result(&view$argnum)); }
%typemap(freearg) double * { darpy_release(&view$argnum); }

%typemap(in, numinputs=0) double *SCALAR (double temp) "$1 = &temp;"
%typemap(check) double *SCALAR "";
%typemap(argout) double *SCALAR { $result = darpy_append($result, PyFloat_FromDouble(*$1)); }
%typemap(freearg) double *SCALAR "";

%typemap(in) (size_t COUNT, void **RESULT) (long long whole, void *made = NULL) {
  if (darpy_whole($input, "$symname", "n", 0, LLONG_MAX, &whole) < 0) SWIG_fail;
  $1 = (size_t)whole;
  $2 = ($2_ltype)&made;
}
%typemap(check) (size_t COUNT, void **RESULT) "";
%typemap(argout) (size_t COUNT, void **RESULT) {
  $result = darpy_append($result, SWIG_NewPointerObj(*$2, $*2_descriptor, SWIG_POINTER_OWN));
}

%typemap(in) (size_t COUNT, double *FIRST, double *SECOND)
  (long long whole, darpy_view first = DARPY_VIEW,
   darpy_view second = DARPY_VIEW) {
  if (darpy_whole($input, "$symname", "n", 0, PY_SSIZE_T_MAX / 16, &whole) < 0) SWIG_fail;
  if (!(first.owner = darpy_new_array(NULL, NULL, (Py_ssize_t)whole)) ||
      !(second.owner = darpy_new_array(NULL, NULL, (Py_ssize_t)whole)) ||
      darpy_hold(&first, first.owner, 1, "$symname") < 0 ||
      darpy_hold(&second, second.owner, 1, "$symname") < 0) SWIG_fail;
  $1 = (size_t)whole;
  $2 = first.data;
  $3 = second.data;
}
%typemap(check) (size_t COUNT, double *FIRST, double *SECOND) "";
%typemap(argout) (size_t COUNT, double *FIRST, double *SECOND) {
  $result = darpy_append($result, darpy_result(&first$argnum));
  $result = darpy_append($result, darpy_result(&second$argnum));
}
%typemap(freearg) (size_t COUNT, double *FIRST, double *SECOND) {
  darpy_release(&first$argnum);
  darpy_release(&second$argnum);
}

/* Short lists of whole numbers. */
%typemap(in) (int COUNT, const int *LIST) (int temp[64]) {
  PyObject *list = PyUnicode_Check($input) ? NULL : PySequence_Fast($input, "");
  if (!list) {
    PyErr_Clear();
    darpy_complain(PyExc_TypeError, "$symname", "$2_name", "a list is needed", $input);
    SWIG_fail;
  }
  frame.count = PySequence_Fast_GET_SIZE(list);
  if (frame.count > 64)
    darpy_complain(PyExc_ValueError, "$symname", "$2_name", "too many values", NULL);
  for (Py_ssize_t i = 0; !PyErr_Occurred() && i < frame.count; i++) {
    long long whole = 0;
    if (darpy_whole(PySequence_Fast_GET_ITEM(list, i), "$symname", "$2_name", INT_MIN, INT_MAX,
                    &whole) == 0)
      temp[i] = (int)whole;
  }
  Py_DECREF(list);
  if (PyErr_Occurred()) SWIG_fail;
  $1 = (int)frame.count;
  $2 = temp;
}
%typemap(argout) (int COUNT, const int *LIST) "";
%typemap(in, numinputs=0) int *LISTED (int temp[64] = {0}) "$1 = temp;"
%typemap(argout) int *LISTED {
  PyObject *tuple = PyTuple_New(frame.count);
  for (Py_ssize_t i = 0; tuple && i < frame.count; i++) {
    PyObject *item = PyLong_FromLong($1[i]);
    if (!item) Py_CLEAR(tuple);
    else PyTuple_SET_ITEM(tuple, i, item);
  }
  $result = darpy_append($result, tuple);
}

/* ---- fields that are arrays ---------------------------------------------------------- */

%typemap(in) double [ANY] (double temp[$1_dim0]) {
  if (darpy_field($input, "$symname", "$1_name", $1_dim0, temp) < 0) SWIG_fail;
  $1 = temp;
}
%typemap(memberin) double [ANY] { memcpy($1, $input, sizeof $1); }
%typemap(out) double [ANY] { $result = darpy_tuple($1, $1_dim0); }
%typemap(check) double [ANY] "";
%typemap(argout) double [ANY] "";
%typemap(freearg) double [ANY] "";

%typemap(in) double [ANY][ANY] (double temp[$1_dim0][$1_dim1]) {
  PyObject *rows = PySequence_Fast($input, "$1_name: rows are needed");
  if (!rows) SWIG_fail;
  if (PySequence_Fast_GET_SIZE(rows) != $1_dim0) {
    Py_DECREF(rows);
    PyErr_SetString(PyExc_ValueError, "$1_name: $1_dim0 rows are needed");
    SWIG_fail;
  }
  for (Py_ssize_t i = 0; i < $1_dim0; i++)
    if (darpy_field(PySequence_Fast_GET_ITEM(rows, i), "$symname", "$1_name", $1_dim1,
                    temp[i]) < 0) {
      Py_DECREF(rows);
      SWIG_fail;
    }
  Py_DECREF(rows);
  $1 = temp;
}
%typemap(memberin) double [ANY][ANY] { memcpy($1, $input, sizeof $1); }
%typemap(out) double [ANY][ANY] {
  $result = PyTuple_New($1_dim0);
  for (Py_ssize_t i = 0; $result && i < $1_dim0; i++) {
    PyObject *row = darpy_tuple($1[i], $1_dim1);
    if (!row) Py_CLEAR($result);
    else PyTuple_SET_ITEM($result, i, row);
  }
}
%typemap(check) double [ANY][ANY] "";
%typemap(argout) double [ANY][ANY] "";
%typemap(freearg) double [ANY][ANY] "";

/* Rows of findings: None where a finding points at no reading. */
%typemap(in) size_t row[ANY] (size_t temp[$1_dim0]) {
  PyObject *list = PySequence_Fast($input, "$1_name: a sequence is needed");
  if (!list) SWIG_fail;
  for (Py_ssize_t i = 0; i < $1_dim0; i++) {
    PyObject *item = i < PySequence_Fast_GET_SIZE(list) ? PySequence_Fast_GET_ITEM(list, i)
                                                        : Py_None;
    long long whole = -1;
    if (item != Py_None &&
        darpy_whole(item, "$symname", "$1_name", 0, LLONG_MAX, &whole) < 0) {
      Py_DECREF(list);
      SWIG_fail;
    }
    temp[i] = whole < 0 ? DIALARC_NO_ROW : (size_t)whole;
  }
  Py_DECREF(list);
  $1 = temp;
}
%typemap(memberin) size_t row[ANY] { memcpy($1, $input, sizeof $1); }
%typemap(out) size_t row[ANY] {
  $result = PyTuple_New($1_dim0);
  for (Py_ssize_t i = 0; $result && i < $1_dim0; i++) {
    PyObject *item = $1[i] == DIALARC_NO_ROW ? (Py_INCREF(Py_None), Py_None)
                                             : PyLong_FromSize_t($1[i]);
    if (!item) Py_CLEAR($result);
    else PyTuple_SET_ITEM($result, i, item);
  }
}

/* ---- enumerations -------------------------------------------------------------------- */

/* A status as an argument or a field; as a result it raises. */
%define DIALARC_STATUS(type, Name)
%typemap(in) type (int word) {
  if (darpy_word($input, #Name, "$symname", "$1_name", &word) < 0) SWIG_fail;
  $1 = (type)word;
}
%typemap(out) type status { $result = darpy_member(#Name, (int)$1); }
%enddef

%define DIALARC_ENUM(type, Name)
%typemap(in) type (int word) {
  if (darpy_word($input, #Name, "$symname", "$1_name", &word) < 0) SWIG_fail;
  $1 = (type)word;
}
%typemap(out) type (darpy_frame frame = DARPY_FRAME) {
  $result = darpy_member(#Name, (int)$1);
}
%typemap(in, numinputs=0) type * (type temp) "$1 = &temp;"
%typemap(argout) type * { $result = darpy_append($result, darpy_member(#Name, (int)*$1)); }
%typemap(in) type [ANY] (type temp[$1_dim0]) {
  PyObject *list = PySequence_Fast($input, "$1_name: a sequence is needed");
  memset(temp, 0, sizeof temp);
  if (!list) SWIG_fail;
  for (Py_ssize_t i = 0; i < $1_dim0 && i < PySequence_Fast_GET_SIZE(list); i++) {
    int word = 0;
    if (darpy_word(PySequence_Fast_GET_ITEM(list, i), #Name, "$symname", "$1_name", &word) < 0) {
      Py_DECREF(list);
      SWIG_fail;
    }
    temp[i] = (type)word;
  }
  Py_DECREF(list);
  $1 = temp;
}
%typemap(memberin) type [ANY] { memcpy($1, $input, sizeof $1); }
%typemap(out) type [ANY] {
  $result = PyTuple_New($1_dim0);
  for (Py_ssize_t i = 0; $result && i < $1_dim0; i++) {
    PyObject *item = darpy_member(#Name, (int)$1[i]);
    if (!item) Py_CLEAR($result);
    else PyTuple_SET_ITEM($result, i, item);
  }
}
%typemap(argout) type [ANY] "";
%enddef

/* ---- structs ------------------------------------------------------------------------- */

%define DARPY_POINTER(type, Name)
%typemap(in) const type * (void *pointer = NULL) {
  if ($input == Py_None ||
      !SWIG_IsOK(SWIG_ConvertPtr($input, &pointer, $1_descriptor, 0))) {
    darpy_complain(PyExc_TypeError, "$symname", "$1_name", "a dialarc." #Name " is needed",
                   $input);
    SWIG_fail;
  }
  $1 = (type *)pointer;
  darpy_subject(&frame, $input, "$1_name");
}
%typemap(argout) const type * "";
%typemap(in) type *self (void *pointer = NULL) {
  if ($input == Py_None ||
      !SWIG_IsOK(SWIG_ConvertPtr($input, &pointer, $1_descriptor, $disown))) {
    darpy_complain(PyExc_TypeError, "$symname", "self", "a dialarc." #Name " is needed",
                   $input);
    SWIG_fail;
  }
  $1 = (type *)pointer;
}
%enddef

%define DIALARC_RECORD(type, Name)
%rename(Name) type;
%defaultctor type;
DARPY_POINTER(type, Name)
%typemap(in, numinputs=0) type * (type temp) "$1 = &temp;"
%typemap(argout) type * {
  type *made = ($1_ltype)malloc(sizeof *made);
  if (!made) {
    PyErr_NoMemory();
    SWIG_fail;
  }
  *made = *$1;
  $result = darpy_append($result, SWIG_NewPointerObj(made, $1_descriptor, SWIG_POINTER_OWN));
}
%typemap(argout) type *self "";
%enddef

/* `size_t n, ..., const type *name`: a sequence of structs */
%define DIALARC_LIST(type, name)
%typemap(in) const type *name (type *list = NULL) {
  PyObject *items = $input == Py_None ? NULL : PySequence_Fast($input, "");
  if (!items) {
    PyErr_Clear();
    darpy_complain(PyExc_TypeError, "$symname", "$1_name", "a list is needed", $input);
    SWIG_fail;
  }
  frame.count = PySequence_Fast_GET_SIZE(items);
  list = (type *)PyMem_Malloc(((size_t)frame.count + 1) * sizeof *list);
  for (Py_ssize_t i = 0; list && i < frame.count; i++) {
    void *pointer = NULL;
    PyObject *item = PySequence_Fast_GET_ITEM(items, i);
    if (item == Py_None || !SWIG_IsOK(SWIG_ConvertPtr(item, &pointer, $1_descriptor, 0))) {
      char argument[64];
      PyOS_snprintf(argument, sizeof argument, "$1_name[%zd]", i);
      darpy_complain(PyExc_TypeError, "$symname", argument, "a struct of `" #type "` is needed",
                     item);
      Py_DECREF(items);
      PyMem_Free(list);
      list = NULL;
      SWIG_fail;
    }
    list[i] = *(type *)pointer;
  }
  Py_DECREF(items);
  if (!list) {
    PyErr_NoMemory();
    SWIG_fail;
  }
  $1 = list;
  darpy_subject(&frame, $input, "$1_name");
}
%typemap(freearg) const type *name { PyMem_Free(list$argnum); }
%enddef

/* dialarc_input_sd() takes one input, not a list. */
%typemap(in) (const dialarc_input *input, double *sd) (void *pointer = NULL, double temp) {
  if ($input == Py_None || !SWIG_IsOK(SWIG_ConvertPtr($input, &pointer, $1_descriptor, 0))) {
    darpy_complain(PyExc_TypeError, "$symname", "input", "a dialarc.Input is needed", $input);
    SWIG_fail;
  }
  $1 = (dialarc_input *)pointer;
  $2 = &temp;
  darpy_subject(&frame, $input, "input");
}
%typemap(argout) (const dialarc_input *input, double *sd) {
  $result = darpy_append($result, PyFloat_FromDouble(*$2));
}
%typemap(freearg) (const dialarc_input *input, double *sd) "";
%typemap(check) (const dialarc_input *input, double *sd) "";

/* Derivatives of a case, one for each input. */
%typemap(in, numinputs=0) dialarc_outcome *slope (dialarc_outcome temp[DIALARC_WHATIF_COUNT])
  "$1 = temp;"
%typemap(argout) dialarc_outcome *slope {
  PyObject *tuple = PyTuple_New(DIALARC_WHATIF_COUNT);
  for (int i = 0; tuple && i < DIALARC_WHATIF_COUNT; i++) {
    dialarc_outcome *made = (dialarc_outcome *)malloc(sizeof *made);
    PyObject *item = NULL;
    if (made) {
      *made = $1[i];
      item = SWIG_NewPointerObj(made, $1_descriptor, SWIG_POINTER_OWN);
    }
    if (!item) Py_CLEAR(tuple);
    else PyTuple_SET_ITEM(tuple, i, item);
  }
  if (!tuple && !PyErr_Occurred()) PyErr_NoMemory();
  $result = darpy_append($result, tuple);
}

/* ---- memory of the library ----------------------------------------------------------- */

%define DIALARC_HANDLE(type, Name, free_function)
%rename(Name) type;
%nodefaultctor type;
DARPY_POINTER(type, Name)
%typemap(in, numinputs=0) type ** (type *made = NULL) "$1 = &made;"
%typemap(argout) type ** {
  $result = darpy_append($result, SWIG_NewPointerObj(*$1, $*1_descriptor, SWIG_POINTER_OWN));
}
%ignore free_function;
%newobject type##_new;
struct type {};
%extend type { ~type() { free_function($self); } }
%enddef

/* Workspaces serve one call at a time; None: one for this call. */
%typemap(in) dialarc_workspace *workspace (void *pointer = NULL, darpy_busy busy = {NULL}) {
  if ($input == Py_None) {
    $1 = dialarc_workspace_new();
    if (!$1) {
      PyErr_NoMemory();
      SWIG_fail;
    }
  } else if (!SWIG_IsOK(SWIG_ConvertPtr($input, &pointer, $1_descriptor, 0))) {
    darpy_complain(PyExc_TypeError, "$symname", "$1_name", "a dialarc.Workspace is needed",
                   $input);
    SWIG_fail;
  } else {
    $1 = (dialarc_workspace *)pointer;
    if (darpy_occupy(&busy, pointer, "$symname") < 0) SWIG_fail;
  }
}
%typemap(freearg) dialarc_workspace *workspace {
  if (!pointer$argnum) dialarc_workspace_free($1);
  darpy_vacate(&busy$argnum);
}

%apply dialarc_workspace *workspace { const dialarc_workspace *workspace };

%typemap(in) dialarc_sweep_reader *reader (void *pointer = NULL),
             dialarc_sweep_buffer *buffer (void *pointer = NULL) {
  if ($input == Py_None || !SWIG_IsOK(SWIG_ConvertPtr($input, &pointer, $1_descriptor, 0))) {
    darpy_complain(PyExc_TypeError, "$symname", "$1_name", "the wrong kind of object", $input);
    SWIG_fail;
  }
  $1 = ($1_ltype)pointer;
}

/* ---- structs whose arrays belong to the caller: classes written in Python ------------ */

%define DIALARC_BORROWING(type)
%ignore type;
%enddef

%typemap(in) const dialarc_dialcal *
  (dialarc_dialcal temp, darpy_view shown = DARPY_VIEW, darpy_view travel = DARPY_VIEW) {
  if (darpy_two_columns($input, "$symname", "$1_name", "DialCal", &shown, "shown_mm", &travel,
                        "true_mm") < 0) SWIG_fail;
  temp.n = (size_t)shown.count;
  temp.shown_mm = shown.data;
  temp.true_mm = travel.data;
  $1 = &temp;
  darpy_subject(&frame, $input, "$1_name");
}
%typemap(freearg) const dialarc_dialcal * {
  darpy_release(&shown$argnum);
  darpy_release(&travel$argnum);
}
%typemap(in) const dialarc_injection *
  (dialarc_injection temp, darpy_view speed = DARPY_VIEW, darpy_view advance = DARPY_VIEW) {
  PyObject *delay;
  if (darpy_two_columns($input, "$symname", "$1_name", "Injection", &speed, "crank_rpm",
                        &advance, "advance_crank_deg") < 0) SWIG_fail;
  delay = PyObject_GetAttrString($input, "delay_ms");
  if (!delay || darpy_double(delay, "$symname", "delay_ms", &temp.delay_ms) < 0) {
    Py_XDECREF(delay);
    SWIG_fail;
  }
  Py_DECREF(delay);
  temp.n = (size_t)speed.count;
  temp.crank_rpm = speed.data;
  temp.advance_crank_deg = advance.data;
  $1 = &temp;
  darpy_subject(&frame, $input, "$1_name");
}
%typemap(freearg) const dialarc_injection * {
  darpy_release(&speed$argnum);
  darpy_release(&advance$argnum);
}
%typemap(in) const dialarc_sweep *
  (dialarc_sweep temp, darpy_view angle = DARPY_VIEW, darpy_view dial = DARPY_VIEW,
   dialarc_direction *way = NULL) {
  if (darpy_two_columns($input, "$symname", "$1_name", "Sweep", &angle, "crank_deg", &dial,
                        "dial_mm") < 0 ||
      darpy_directions($input, "$symname", dial.count, &way) < 0) SWIG_fail;
  temp.n = (size_t)dial.count;
  temp.crank_deg = angle.data;
  temp.dial_mm = dial.data;
  temp.direction = way;
  $1 = &temp;
  frame.view[frame.views++] = &angle;
  frame.view[frame.views++] = &dial;
  frame.count = dial.count;
}
%typemap(freearg) const dialarc_sweep * {
  darpy_release(&angle$argnum);
  darpy_release(&dial$argnum);
  PyMem_Free(way$argnum);
}

/* ---- callbacks ----------------------------------------------------------------------- */

%typemap(in) (dialarc_model model, void *context) (darpy_model temp) {
  if (!PyCallable_Check($input)) {
    darpy_complain(PyExc_TypeError, "$symname", "model", "a function is needed", $input);
    SWIG_fail;
  }
  temp.call = $input;
  temp.frame = &frame;
  $1 = darpy_call_model;
  $2 = &temp;
}
/* Derivatives by each input; value and sd are single numbers. */
%typemap(in, numinputs=0) double *slope (double *temp = NULL) "$1 = NULL;"
%typemap(check) double *slope {
  temp$argnum = (double *)PyMem_Calloc((size_t)(frame.count < 0 ? 0 : frame.count) + 1,
                                       sizeof(double));
  if (!temp$argnum) {
    PyErr_NoMemory();
    SWIG_fail;
  }
  $1 = temp$argnum;
}
%typemap(argout) double *slope {
  $result = darpy_append($result, darpy_tuple($1, frame.count));
}
%typemap(freearg) double *slope { PyMem_Free(temp$argnum); }

%typemap(in) (dialarc_read read, void *context) (PyObject *capsule = NULL) {
  capsule = darpy_source_new($input, "$symname", "read");
  if (!capsule) SWIG_fail;
  frame.source = capsule;
  $1 = darpy_read;
  $2 = PyCapsule_GetPointer(capsule, "dialarc.source");
}
%typemap(freearg) (dialarc_read read, void *context) { Py_XDECREF(capsule$argnum); }

/* Reasons why a table is refused become part of the exception. */
%typemap(in, numinputs=0) dialarc_error *error (dialarc_error temp) {
  memset(&temp, 0, sizeof temp);
  $1 = &temp;
  frame.place = &temp;
}
%typemap(argout) dialarc_error *error "";

/* A reader keeps where it reads from, and the setups. */
%typemap(argout) dialarc_sweep_reader **reader {
  PyObject *made = SWIG_NewPointerObj(*$1, $*1_descriptor, SWIG_POINTER_OWN);
  PyObject *keep = PyTuple_Pack(2, frame.source, frame.subject[0]);
  if (!made || !keep || PyObject_SetAttrString(made, "_keep", keep) < 0) Py_CLEAR(made);
  Py_XDECREF(keep);
  $result = darpy_append($result, made);
}

/* ---- records read from tables -------------------------------------------------------- */

%{
static PyObject *darpy_setup_copy(const dialarc_setup *setup);

static PyObject *darpy_copy(const double *number, size_t n)
{
    PyObject *array = darpy_new_array(NULL, NULL, (Py_ssize_t)n);
    darpy_view view = DARPY_VIEW;
    if (array && n && darpy_hold(&view, array, 1, "copy") == 0)
        memcpy(view.data, number, n * sizeof *number);
    if (PyErr_Occurred())
        Py_CLEAR(array);
    darpy_release(&view);
    return array;
}

static PyObject *darpy_lines(const size_t *line, size_t n)
{
    PyObject *tuple = PyTuple_New((Py_ssize_t)n);
    for (size_t i = 0; tuple && i < n; i++) {
        PyObject *item = PyLong_FromSize_t(line[i]);
        if (!item)
            Py_CLEAR(tuple);
        else
            PyTuple_SET_ITEM(tuple, (Py_ssize_t)i, item);
    }
    return tuple;
}

/* Calls a hook with new references; any of them may be NULL after an error. */
static PyObject *darpy_build(const char *hook, PyObject **part, size_t parts)
{
    PyObject *make = darpy_hook(hook), *made = NULL;
    int good = make != NULL;
    for (size_t i = 0; i < parts; i++)
        good = good && part[i];
    if (good)
        made = PyObject_Vectorcall(make, part, parts, NULL);
    for (size_t i = 0; i < parts; i++)
        Py_XDECREF(part[i]);
    return made;
}

static PyObject *darpy_ways(const dialarc_sweep *sweep)
{
    int known = 0;
    PyObject *tuple;
    for (size_t i = 0; sweep->direction && i < sweep->n; i++)
        known |= sweep->direction[i] != DIALARC_DIRECTION_UNKNOWN;
    if (!known)
        Py_RETURN_NONE;
    tuple = PyTuple_New((Py_ssize_t)sweep->n);
    for (size_t i = 0; tuple && i < sweep->n; i++) {
        PyObject *item = darpy_member("Direction", (int)sweep->direction[i]);
        if (!item)
            Py_CLEAR(tuple);
        else
            PyTuple_SET_ITEM(tuple, (Py_ssize_t)i, item);
    }
    return tuple;
}

static PyObject *darpy_sweep(const dialarc_sweep_record *record)
{
    if (!record->name)
        Py_RETURN_NONE;
    PyObject *part[] = {PyUnicode_FromString(record->name),
                        PyLong_FromSize_t(record->setup_index),
                        darpy_setup_copy(&record->setup),
                        darpy_copy(record->sweep.crank_deg, record->sweep.n),
                        darpy_copy(record->sweep.dial_mm, record->sweep.n),
                        darpy_ways(&record->sweep),
                        darpy_lines(record->line, record->sweep.n),
                        PyLong_FromSize_t(record->row)};
    return darpy_build("make_sweep", part, sizeof part / sizeof *part);
}

static PyObject *darpy_job(const dialarc_job *job)
{
    PyObject *rounds = PyList_New(0);
    for (size_t i = 0; rounds && i < job->n; i++) {
        const dialarc_round *round = &job->round[i];
        PyObject *item = Py_BuildValue("(iddi)", round->round, round->minimum_mm, round->tdc_mm,
                                       round->tight);
        if (!item || PyList_Append(rounds, item) < 0)
            Py_CLEAR(rounds);
        Py_XDECREF(item);
    }
    PyObject *part[] = {PyUnicode_FromString(job->name), PyLong_FromSize_t(job->setup_index),
                        darpy_setup_copy(&job->setup), rounds, darpy_lines(job->line, job->n)};
    return darpy_build("make_job", part, sizeof part / sizeof *part);
}
%}

%ignore dialarc_sweep_record;
%ignore dialarc_job;
%typemap(out) const dialarc_sweep_record * (darpy_frame frame = DARPY_FRAME) { $result = darpy_sweep($1); }
%typemap(out) const dialarc_job * (darpy_frame frame = DARPY_FRAME) { $result = darpy_job($1); }
%typemap(out) const dialarc_setup * (darpy_frame frame = DARPY_FRAME) { $result = darpy_setup_copy($1); }
%typemap(in, numinputs=0) dialarc_sweep_record *record (dialarc_sweep_record temp) "$1 = &temp;"
%typemap(argout) dialarc_sweep_record *record {
  $result = darpy_append($result, darpy_sweep($1));
}

/* ---- reading functions: the library's own sources, called directly ------------------- */

%ignore dialarc_read_file;
%ignore dialarc_read_memory;
%ignore dialarc_memory;
