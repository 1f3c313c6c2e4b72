/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Octave: matrices go in without a copy and shape the results, lists of structs are cell
 * arrays, several results come back as [a, b] = ..., and errors are Octave's own, with
 * the status as their identifier.
 */
%{
#include "support.h"
#define DARC_TYPE(descriptor) descriptor
%}

%define DARC_COPIED_BY(type, member, copy)
%typemap(out) type *member {
  $result = daroct_object(copy($1, sizeof *$1), $1_descriptor);
}
%enddef
%typemap(out) dialarc_sweep *COPY {
  $result = daroct_object(darc_copy_sweep($1), $1_descriptor);
}

%define DARC_LIST(type, name)
%typemap(in) const type *name (std::vector<type> list) {
  Cell cell;
  if ($input.iscell()) cell = $input.cell_value();
  else cell = Cell($input); /* one struct alone */
  for (octave_idx_type i = 0; i < cell.numel(); i++) {
    void *pointer = NULL;
    if (SWIG_IsOK(SWIG_ConvertPtr(cell(i), &pointer, $1_descriptor, 0)) && pointer)
      list.push_back(*(type *)pointer);
    else
      darc_complain(&frame, "$1_name", "a cell array of structs is needed");
  }
  darc_count(&frame, (size_t)cell.numel(), "$1_name");
  list.resize(list.size() + 1);
  $1 = frame.bad ? NULL : list.data();
}
%typemap(freearg) const type *name "";
%enddef

%include "shared/common.i"

%typemap(in) const double * (NDArray held) {
  $1 = daroct_numbers($input, &frame, held, "$1_name", 1);
}
%typemap(in) const double *OPTIONAL (NDArray held) {
  $1 = $input.isempty() ? NULL : daroct_numbers($input, &frame, held, "$1_name", 1);
}
%typemap(in) const double *correlation (NDArray held) {
  $1 = $input.isempty() ? NULL : daroct_numbers($input, &frame, held, "$1_name", 0);
}
%typemap(in) (int COUNT, const int *LIST) (std::vector<int> list) {
  $2 = daroct_wholes($input, &frame, list, "$2_name");
  $1 = (int)frame.count;
}
%typemap(in) (dialarc_model model, void *context) (daroct_model temp) {
  if (!$input.is_function_handle()) darc_complain(&frame, "model",
                                                  "a function is needed");
  temp.function = $input;
  temp.frame = &frame;
  $1 = frame.bad ? NULL : daroct_call_model;
  $2 = &temp;
}
%typemap(out) dialarc_status (darc_frame frame = darc_frame()) {
  daroct_raise(&frame, $1, "$symname");
}
%typemap(ret) dialarc_status { daroct_results(_outp, &frame); }
/* A method called on no object. */
%typemap(check) SWIGTYPE *self {
  if (!$1) daroct_raise_deleted("$symname");
}
/* A reader keeps its setups alive, in a field of its own. */
%typemap(ret) dialarc_status darc_sweep_reader_open {
  daroct_results(_outp, &frame);
  (*_outp)(0).subsasgn(".", std::list<octave_value_list>(1, octave_value_list("setups")),
                       args(1));
}
%typemap(out) dialarc_status status { $result = octave_value((int)$1); }
%typemap(ret) dialarc_status status "";
%typemap(out) const double * { $result = daroct_row(arg1->n, $1); }
%typemap(out) double [ANY] { $result = daroct_row($1_dim0, $1); }
%typemap(out) double [ANY][ANY] {
  Matrix matrix($1_dim0, $1_dim1);
  for (int i = 0; i < $1_dim0; i++)
    for (int k = 0; k < $1_dim1; k++) matrix(i, k) = $1[i][k];
  $result = matrix;
}
