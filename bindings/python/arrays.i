/* SPDX-License-Identifier: GPL-3.0-or-later
 * Python: arrays of numbers, and fields that are arrays. */

/* ---- arrays ---------------------------------------------------------------------- */

%typemap(in, numinputs=0) size_t n "$1 = 0;"
%typemap(check) size_t n {
  $1 = frame.count < 0 ? 0 : (size_t)frame.count;
  frame.n = &$1;
}

%typemap(in) const double * (darpy_view view = DARPY_VIEW) {
  if (darpy_input(&frame, &view, $input, "$symname", "$1_name") < 0) SWIG_fail;
  $1 = view.data;
  view.argument_data = (double **)&$1;
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
      darpy_complain(PyExc_ValueError, "$symname", "$1_name", "n x n values are needed",
                     NULL);
      SWIG_fail;
    }
  }
}
%typemap(freearg) const double *correlation { darpy_release(&view$argnum); }

%typemap(in, numinputs=0) double * (darpy_view view = DARPY_VIEW) "$1 = NULL;"
%typemap(check) double * {
  if (darpy_output(&frame, &view$argnum, "$symname", "$1_name") < 0) SWIG_fail;
  $1 = view$argnum.data;
  view$argnum.argument_data = &$1;
}
%typemap(argout) double * { $result = darpy_append($result, darpy_result(&view$argnum)); }
%typemap(freearg) double * { darpy_release(&view$argnum); }

/* The library writes no residuals of a sweep that it cannot use: they stay NaN. They have
 * room of their own until the call has ended, for `out` may be an array of the sweep. */
%typemap(check) double *residual_mm {
  if (darpy_output(&frame, &view$argnum, "$symname", "$1_name") < 0 ||
      !(view$argnum.own = darpy_unknown(frame.count))) SWIG_fail;
  $1 = view$argnum.own;
}
%typemap(argout) double *residual_mm {
  memcpy(view$argnum.data, $1, (size_t)frame.count * sizeof *$1);
  $result = darpy_append($result, darpy_result(&view$argnum));
}
%typemap(freearg) double *residual_mm { darpy_release(&view$argnum); }

%typemap(in, numinputs=0) double *SCALAR (double temp) "$1 = &temp;"
%typemap(check) double *SCALAR "";
%typemap(argout) double *SCALAR {
  $result = darpy_append($result, PyFloat_FromDouble(*$1));
}
%typemap(freearg) double *SCALAR "";

%typemap(in) (size_t COUNT, void **RESULT) (long long whole, void *made = NULL) {
  if (darpy_whole($input, "$symname", "n", 0, LLONG_MAX, &whole) < 0) SWIG_fail;
  $1 = (size_t)whole;
  $2 = ($2_ltype)&made;
}
%typemap(check) (size_t COUNT, void **RESULT) "";
%typemap(argout) (size_t COUNT, void **RESULT) {
  $result = darpy_append($result, SWIG_NewPointerObj(*$2, $*2_descriptor,
                                                     SWIG_POINTER_OWN));
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

%typemap(in) (size_t COUNT, double *FIRST)
  (long long whole, darpy_view first = DARPY_VIEW) {
  if (darpy_whole($input, "$symname", "n", 0, PY_SSIZE_T_MAX / 8, &whole) < 0) SWIG_fail;
  if (!(first.owner = darpy_new_array(NULL, NULL, (Py_ssize_t)whole)) ||
      darpy_hold(&first, first.owner, 1, "$symname") < 0) SWIG_fail;
  $1 = (size_t)whole;
  $2 = first.data;
}
%typemap(check) (size_t COUNT, double *FIRST) "";
%typemap(argout) (size_t COUNT, double *FIRST) {
  $result = darpy_append($result, darpy_result(&first$argnum));
}
%typemap(freearg) (size_t COUNT, double *FIRST) {
  darpy_release(&first$argnum);
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
    if (darpy_whole(PySequence_Fast_GET_ITEM(list, i), "$symname", "$2_name", INT_MIN,
                    INT_MAX, &whole) == 0)
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

/* ---- fields that are arrays ------------------------------------------------------ */

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
    PyObject *item = i < PySequence_Fast_GET_SIZE(list)
    ? PySequence_Fast_GET_ITEM(list, i)
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
