/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * C#: arrays are double[], lists of structs arrays of objects; a function returns its
 * result; two numbers or more are a double[], two arrays a double[][]; an error is a
 * DialarcException. kinds.i says which function gives what, Dialarc/Held.cs takes arrays
 * across.
 */
%{
#include "support.h"
#define DARC_TYPE(descriptor) NULL
%}
%insert(runtime) %{
#include "register.h"
%}
%pragma(csharp) imclasscode=%{
  static readonly Problem problem = new Problem();
%}
%apply long long { size_t };

%define DARCS_OWNER(type, member)
%typemap(csvarout, excode=SWIGEXCODE2) type *member %{
    get {
      global::System.IntPtr address = $imcall;$excode
      return address == global::System.IntPtr.Zero ? null : new $csclassname(address,
                                                                             true);
    } %}
%enddef
%define DARC_COPIED_BY(type, member, copy)
%typemap(out) type *member %{ $result = copy($1, sizeof *$1); %}
DARCS_OWNER(type, member)
%enddef
%typemap(out) dialarc_sweep *COPY %{ $result = darc_copy_sweep($1); %}
DARCS_OWNER(dialarc_sweep, sweep)

%define DARC_LIST(type, name)
%typemap(ctype) const type *name "darcs_held *"
%typemap(imtype) const type *name "global::System.IntPtr"
%typemap(cstype) const type *name "$csclassname[]"
%typemap(csin,
         pre="    var held_$csinput = new Held($csinput == null ? null
        : global::System.Array.ConvertAll(
            $csinput, one => $csclassname.getCPtr(one).Handle));",
         post="      held_$csinput.Dispose(); global::System.GC.KeepAlive($csinput);")
  const type *name "held_$csinput.Address"
%typemap(in) const type *name (type *list = NULL) {
  size_t length = $input ? $input->n : 0;
  list = (type *)calloc(length + 1, sizeof *list);
  if (!$input) darc_complain(&frame, "$1_name", "an array is needed, not null");
  if (!list) darc_complain(&frame, "$1_name", "memory is exhausted");
  for (size_t i = 0; !frame.bad && i < length; i++) {
    const type *one = ((const type **)$input->data)[i];
    if (one) list[i] = *one;
    else darc_complain(&frame, "$1_name", "one of the structs is null");
  }
  darc_count(&frame, length, "$1_name");
  $1 = frame.bad ? NULL : list;
}
%typemap(freearg) const type *name { free(list$argnum); }
%enddef

%include "shared/common.i"

/* ---- arrays ---------------------------------------------------------------------- */

%define DARCS_ARRAY(argument)
%typemap(ctype) argument "darcs_held *"
%typemap(imtype) argument "global::System.IntPtr"
%typemap(cstype) argument "double[]"
%typemap(csin, pre="    var held_$csinput = new Held($csinput);",
         post="      held_$csinput.Dispose();") argument "held_$csinput.Address"
%typemap(freearg) argument "";
%enddef
DARCS_ARRAY(const double *)
DARCS_ARRAY(const double *OPTIONAL)
DARCS_ARRAY(const double *correlation)
%typemap(in) const double * { $1 = darcs_numbers($input, &frame, "$1_name", 1); }
%typemap(in) const double *OPTIONAL {
  $1 = $input ? darcs_numbers($input, &frame, "$1_name", 1) : NULL;
}
%typemap(in) const double *correlation {
  $1 = $input ? darcs_numbers($input, &frame, "$1_name", 0) : NULL;
}
%typemap(ctype, out="void *") const double * "darcs_held *"
%typemap(ctype) double [ANY], double [ANY][ANY] "void *"
%typemap(imtype) double [ANY], double [ANY][ANY] "global::System.IntPtr"
%typemap(cstype) double [ANY], double [ANY][ANY] "double[]"
%typemap(csvarout, excode=SWIGEXCODE2) const double *, double [ANY], double [ANY][ANY] %{
    get {
      global::System.IntPtr block = $imcall;$excode
      return Held.Take(block)[0];
    } %}
%typemap(out) const double * { $result = darcs_field(arg1->n, $1); }
%typemap(out) double [ANY] { $result = darcs_field($1_dim0, $1); }
%typemap(out) double [ANY][ANY] { $result = darcs_field($1_dim0 * $1_dim1, $1[0]); }
%typemap(in, numinputs=0) double *residual_mm "$1 = NULL;"
%typemap(check) double *residual_mm "";
%typemap(argout) double *residual_mm "";

%typemap(ctype) (int COUNT, const int *LIST) "darcs_held *"
%typemap(imtype) (int COUNT, const int *LIST) "global::System.IntPtr"
%typemap(cstype) (int COUNT, const int *LIST) "int[]"
%typemap(csin, pre="    var held_$csinput = new Held($csinput);",
         post="      held_$csinput.Dispose();")
  (int COUNT, const int *LIST) "held_$csinput.Address"
%typemap(in) (int COUNT, const int *LIST) {
  size_t length = $input ? $input->n : 0;
  if (length > DARC_LISTED_MAX) darc_complain(&frame, "$2_name", "too many values");
  darc_count(&frame, length, "$2_name");
  $1 = (int)length;
  $2 = $input && !frame.bad ? (int *)$input->data : NULL;
}
%typemap(freearg) (int COUNT, const int *LIST) "";

%typemap(ctype) (dialarc_model model, void *context) "dialarc_model"
%typemap(imtype) (dialarc_model model, void *context) "Called.Native"
%typemap(cstype) (dialarc_model model, void *context)
  "global::System.Func<double[], double>"
%typemap(csin, pre="    var called = new Called($csinput);",
         post="      called.Rethrow();") (dialarc_model model,
                                          void *context) "called.Function"
%typemap(in) (dialarc_model model, void *context) {
  $1 = $input;
  $2 = &frame.count;
}

/* ---- errors and results ---------------------------------------------------------- */

%typemap(out, canthrow=1, null="") dialarc_status (darc_frame frame = {0}) {
  darcs_raise(&frame, $1, "$symname");
}
%typemap(out) dialarc_status status { $result = (int)$1; }

/* After Dispose(). */
%typemap(check, canthrow=1) SWIGTYPE *self {
  if (!$1) {
    darcs_raise_deleted("$symname");
    return $null;
  }
}

%define DARCS_GIVES(name, c_type, im_type, cs_type, conversion)
%typemap(ctype) dialarc_status name #c_type
%typemap(imtype) dialarc_status name #im_type
%typemap(cstype) dialarc_status name #cs_type
%typemap(csout, excode=SWIGEXCODE) dialarc_status name {
    cs_type result = $imcall;$excode
    return result;
  }
%typemap(ret) dialarc_status name {
  jresult = 0;
  if (!frame.failed) {
    jresult = conversion;
  }
  darc_clear(&frame);
}
%enddef
%define DARCS_GIVES_BLOCK(name, cs_type, taken)
DARCS_GIVES(name, void *, global::System.IntPtr, cs_type, darcs_block(&frame))
%typemap(csout, excode=SWIGEXCODE) dialarc_status name {
    global::System.IntPtr block = $imcall;$excode
    return taken;
  }
%enddef
%define DARC_GIVES_NOTHING(name)
%typemap(ctype) dialarc_status name "void"
%typemap(imtype) dialarc_status name "void"
%typemap(cstype) dialarc_status name "void"
%typemap(csout, excode=SWIGEXCODE) dialarc_status name { $imcall;$excode
  }
%typemap(ret) dialarc_status name { darc_clear(&frame); }
%enddef
%define DARC_GIVES_NUMBER(name)
DARCS_GIVES(name, double, double, double, frame.result[0].number)
%enddef
%define DARC_GIVES_WHOLE(name)
DARCS_GIVES(name, long long, long, long, frame.result[0].whole)
%enddef
%define DARC_GIVES_ARRAY(name)
DARCS_GIVES_BLOCK(name, double[], Held.Take(block)[0])
%enddef
%define DARC_GIVES_NUMBERS(name)
DARCS_GIVES_BLOCK(name, double[], Held.Take(block)[0])
%enddef
%define DARC_GIVES_ARRAYS(name)
DARCS_GIVES_BLOCK(name, double[][], Held.Take(block))
%enddef
%define DARC_GIVES_WHOLES(name)
DARCS_GIVES_BLOCK(name, int[][], Held.TakeWholes(block))
%enddef
%define DARC_GIVES_TEXT(name)
DARCS_GIVES(name, char *, string, string,
            SWIG_csharp_string_callback(frame.result[0].text))
%enddef
%define DARC_GIVES_OBJECT(name, type)
DARCS_GIVES(name, void *, global::System.IntPtr, object, frame.result[0].object)
%typemap(cstype) dialarc_status name "$typemap(cstype, type *)"
%typemap(csout, excode=SWIGEXCODE) dialarc_status name {
    global::System.IntPtr address = $imcall;$excode
    return address == global::System.IntPtr.Zero
      ? null : new $typemap(cstype, type *)(address, true);
  }
%enddef
%define DARC_GIVES_WORD(name, type)
DARCS_GIVES(name, int, int, int, (int)frame.result[0].whole)
%typemap(cstype) dialarc_status name "$typemap(cstype, type)"
%typemap(csout, excode=SWIGEXCODE) dialarc_status name {
    int word = $imcall;$excode
    return ($typemap(cstype, type))word;
  }
%enddef
%include "shared/kinds.i"

/* A reader keeps its setups alive. */
%typemap(cscode) struct darc_sweep_file %{
  internal Setups setups;
%}
%typemap(csout, excode=SWIGEXCODE) dialarc_status darc_sweep_reader_open {
    global::System.IntPtr address = $imcall;$excode
    return new SweepReader(address, true) { setups = setups };
  }
