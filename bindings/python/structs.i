/* SPDX-License-Identifier: GPL-3.0-or-later
 * Python: enumerations, structs, memory of the library. */

/* ---- enumerations ---------------------------------------------------------------- */

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
%typemap(argout) type * {
  $result = darpy_append($result, darpy_member(#Name, (int)*$1));
}
%typemap(in) type [ANY] (type temp[$1_dim0]) {
  PyObject *list = PySequence_Fast($input, "$1_name: a sequence is needed");
  memset(temp, 0, sizeof temp);
  if (!list) SWIG_fail;
  for (Py_ssize_t i = 0; i < $1_dim0 && i < PySequence_Fast_GET_SIZE(list); i++) {
    int word = 0;
    if (darpy_word(PySequence_Fast_GET_ITEM(list, i), #Name, "$symname", "$1_name",
                   &word) < 0) {
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

/* ---- structs --------------------------------------------------------------------- */

%define DARPY_POINTER(type, Name)
%typemap(in) const type * (void *pointer = NULL) {
  if ($input == Py_None ||
      !SWIG_IsOK(SWIG_ConvertPtr($input, &pointer, $1_descriptor, 0))) {
    darpy_complain(PyExc_TypeError, "$symname", "$1_name",
                   "a dialarc." #Name " is needed", $input);
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
  $result = darpy_append($result, SWIG_NewPointerObj(made, $1_descriptor,
                                                     SWIG_POINTER_OWN));
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
    if (item == Py_None
        || !SWIG_IsOK(SWIG_ConvertPtr(item, &pointer, $1_descriptor, 0))) {
      char argument[64];
      PyOS_snprintf(argument, sizeof argument, "$1_name[%zd]", i);
      darpy_complain(PyExc_TypeError, "$symname", argument,
                     "a struct of `" #type "` is needed", item);
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
%typemap(in) (const dialarc_input *input, double *sd)
  (void *pointer = NULL, double temp) {
  if ($input == Py_None
      || !SWIG_IsOK(SWIG_ConvertPtr($input, &pointer, $1_descriptor, 0))) {
    darpy_complain(PyExc_TypeError, "$symname", "input", "a dialarc.Input is needed",
                   $input);
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
%typemap(in, numinputs=0) dialarc_outcome *slope
  (dialarc_outcome temp[DIALARC_WHATIF_COUNT])
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

/* ---- memory of the library ------------------------------------------------------- */

%define DIALARC_HANDLE(type, Name, free_function)
%rename(Name) type;
%nodefaultctor type;
DARPY_POINTER(type, Name)
%typemap(in, numinputs=0) type ** (type *made = NULL) "$1 = &made;"
%typemap(argout) type ** {
  $result = darpy_append($result, SWIG_NewPointerObj(*$1, $*1_descriptor,
                                                     SWIG_POINTER_OWN));
}
%ignore free_function;
%newobject type##_new;
struct type {};
%extend type { ~type() { free_function($self); } }
%enddef

/* Workspaces serve one call at a time; None: one for this call. */
%typemap(in) dialarc_workspace *workspace
  (void *pointer = NULL, darpy_busy busy = {NULL}) {
  if ($input == Py_None) {
    $1 = dialarc_workspace_new();
    if (!$1) {
      PyErr_NoMemory();
      SWIG_fail;
    }
  } else if (!SWIG_IsOK(SWIG_ConvertPtr($input, &pointer, $1_descriptor, 0))) {
    darpy_complain(PyExc_TypeError, "$symname", "$1_name",
                   "a dialarc.Workspace is needed", $input);
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
  if ($input == Py_None
      || !SWIG_IsOK(SWIG_ConvertPtr($input, &pointer, $1_descriptor, 0))) {
    darpy_complain(PyExc_TypeError, "$symname", "$1_name",
                   "another kind of object is needed", $input);
    SWIG_fail;
  }
  $1 = ($1_ltype)pointer;
}
