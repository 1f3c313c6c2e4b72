/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Java: arrays are double[], lists of structs arrays of objects; a function returns its
 * result; two numbers or more are a double[], two arrays a double[][]; an error is a
 * DialarcException. kinds.i says which function gives what.
 */
%{
#include "support.h"
#define DARC_TYPE(descriptor) NULL
%}
%include "enums.swg"
%pragma(java) jniclasscode=%{
  static { System.loadLibrary("dialarc_java"); }
%}

%define DARC_COPIED_BY(type, member, copy)
%typemap(out) type *member %{ *(type **)&$result = (type *)copy($1, sizeof *$1); %}
%typemap(javaout) type *member {
    long address = $jnicall;
    return address == 0 ? null : new $javaclassname(address, true);
  }
%enddef
%typemap(out) dialarc_sweep *COPY %{ *(dialarc_sweep **)&$result = darc_copy_sweep($1); %}
%typemap(javaout) dialarc_sweep *sweep {
    long address = $jnicall;
    return address == 0 ? null : new $javaclassname(address, true);
  }

%define DARC_LIST(type, name)
%typemap(jni) const type *name "jlongArray"
%typemap(jtype) const type *name "long[]"
%typemap(jstype) const type *name "$javaclassname[]"
%typemap(javain, post="      java.lang.ref.Reference.reachabilityFence($javainput);")
  const type *name "$javaclassname.addresses($javainput)"
%typemap(javacode) type, struct type %{
  static long[] addresses($javaclassname[] list) {
    long[] all = new long[list.length];
    for (int i = 0; i < list.length; i++)
      all[i] = getCPtr(list[i]);
    return all;
  }
%}
%typemap(in) const type *name (type *list = NULL) {
  jsize length = $input ? (*jenv)->GetArrayLength(jenv, $input) : 0;
  jlong *address = $input ? (*jenv)->GetLongArrayElements(jenv, $input, NULL) : NULL;
  list = (type *)calloc((size_t)length + 1, sizeof *list);
  if (!list || !address) darc_complain(&frame, "$1_name", "memory is exhausted");
  for (jsize i = 0; !frame.bad && i < length; i++) {
    const type *one = *(const type **)&address[i];
    if (one) list[i] = *one;
    else darc_complain(&frame, "$1_name", "one of the structs is null");
  }
  if (address) (*jenv)->ReleaseLongArrayElements(jenv, $input, address, JNI_ABORT);
  darc_count(&frame, (size_t)length, "$1_name");
  $1 = frame.bad ? NULL : list;
}
%typemap(freearg) const type *name { free(list$argnum); }
%enddef

%include "shared/common.i"

/* ---- arrays ---------------------------------------------------------------------- */

%typemap(jni) const double *, const double *OPTIONAL, const double *correlation,
              double [ANY], double [ANY][ANY] "jdoubleArray"
%typemap(jtype) const double *, const double *OPTIONAL, const double *correlation,
                double [ANY], double [ANY][ANY] "double[]"
%typemap(jstype) const double *, const double *OPTIONAL, const double *correlation,
                 double [ANY], double [ANY][ANY] "double[]"
%typemap(javain) const double *, const double *OPTIONAL, const double *correlation
  "$javainput"
%typemap(javaout) const double *, double [ANY], double [ANY][ANY] { return $jnicall; }
%typemap(in) const double * { $1 = darj_numbers(jenv, $input, &frame, "$1_name", 1); }
%typemap(in) const double *OPTIONAL {
  $1 = $input ? darj_numbers(jenv, $input, &frame, "$1_name", 1) : NULL;
}
%typemap(in) const double *correlation {
  $1 = $input ? darj_numbers(jenv, $input, &frame, "$1_name", 0) : NULL;
}
%typemap(freearg) const double *, const double *OPTIONAL, const double *correlation {
  if ($1) (*jenv)->ReleaseDoubleArrayElements(jenv, $input, (jdouble *)$1, JNI_ABORT);
}
%typemap(out) const double * { $result = darj_array(jenv, arg1->n, $1); }
%typemap(out) double [ANY] { $result = darj_array(jenv, $1_dim0, $1); }
%typemap(out) double [ANY][ANY] { $result = darj_array(jenv, $1_dim0 * $1_dim1, $1[0]); }
%typemap(in, numinputs=0) double *residual_mm "$1 = NULL;"
%typemap(check) double *residual_mm "";
%typemap(argout) double *residual_mm "";

%typemap(jni) (int COUNT, const int *LIST) "jintArray"
%typemap(jtype) (int COUNT, const int *LIST) "int[]"
%typemap(jstype) (int COUNT, const int *LIST) "int[]"
%typemap(javain) (int COUNT, const int *LIST) "$javainput"
%typemap(in) (int COUNT, const int *LIST) (int list[DARC_LISTED_MAX]) {
  jsize length = $input ? (*jenv)->GetArrayLength(jenv, $input) : 0;
  if (length > DARC_LISTED_MAX) darc_complain(&frame, "$2_name", "too many values");
  else for (jsize i = 0; i < length; i++) {
    jint one;
    (*jenv)->GetIntArrayRegion(jenv, $input, i, 1, &one);
    list[i] = one;
  }
  darc_count(&frame, (size_t)length, "$2_name");
  $1 = (int)length;
  $2 = $input && !frame.bad ? list : NULL;
}
%typemap(freearg) (int COUNT, const int *LIST) "";

%typemap(jni) (dialarc_model model, void *context) "jobject"
%typemap(jtype) (dialarc_model model, void *context) "Model"
%typemap(jstype) (dialarc_model model, void *context) "Model"
%typemap(javain) (dialarc_model model, void *context) "$javainput"
%typemap(in) (dialarc_model model, void *context) (darj_model temp) {
  $1 = darj_begin_model(&temp, jenv, $input, &frame);
  $2 = &temp;
}

/* ---- errors and results ---------------------------------------------------------- */

%typemap(out, null="") dialarc_status (darc_frame frame = {0}) {
  darj_raise(jenv, &frame, $1, "$symname");
}
%typemap(out) dialarc_status status { $result = (jint)$1; }

/* After delete(). */
%typemap(check) SWIGTYPE *self {
  if (!$1) {
    darj_raise_deleted(jenv, "$symname");
    return $null;
  }
}

%define DARJ_GIVES(name, jni_type, java_type, conversion)
%typemap(jni) dialarc_status name #jni_type
%typemap(jtype) dialarc_status name #java_type
%typemap(jstype) dialarc_status name #java_type
%typemap(javaout) dialarc_status name { return $jnicall; }
%typemap(ret) dialarc_status name {
  jresult = 0;
  if (!frame.failed) {
    jresult = conversion;
  }
  darc_clear(&frame);
}
%enddef
%define DARC_GIVES_NOTHING(name)
%typemap(jni) dialarc_status name "void"
%typemap(jtype) dialarc_status name "void"
%typemap(jstype) dialarc_status name "void"
%typemap(javaout) dialarc_status name { $jnicall; }
%typemap(ret) dialarc_status name { darc_clear(&frame); }
%enddef
%define DARC_GIVES_NUMBER(name)
DARJ_GIVES(name, jdouble, double, frame.result[0].number)
%enddef
%define DARC_GIVES_WHOLE(name)
DARJ_GIVES(name, jlong, long, frame.result[0].whole)
%enddef
%define DARC_GIVES_ARRAY(name)
DARJ_GIVES(name, jdoubleArray, double[], darj_result(jenv, &frame.result[0]))
%enddef
%define DARC_GIVES_NUMBERS(name)
DARJ_GIVES(name, jdoubleArray, double[], darj_numbers_from(jenv, &frame, 0))
%enddef
%define DARC_GIVES_ARRAYS(name)
DARJ_GIVES(name, jobjectArray, double[][], darj_arrays(jenv, &frame))
%enddef
%define DARC_GIVES_WHOLES(name)
DARJ_GIVES(name, jobjectArray, int[][], darj_whole_arrays(jenv, &frame))
%enddef
%define DARC_GIVES_TEXT(name)
DARJ_GIVES(name, jstring, String, (*jenv)->NewStringUTF(jenv, frame.result[0].text))
%enddef
%define DARC_GIVES_OBJECT(name, type)
DARJ_GIVES(name, jlong, long, 0; *(void **)&jresult = frame.result[0].object)
%typemap(jstype) dialarc_status name "$typemap(jstype, type *)"
%typemap(javaout) dialarc_status name {
    long address = $jnicall;
    return address == 0 ? null : new $typemap(jstype, type *)(address, true);
  }
%enddef
%define DARC_GIVES_WORD(name, type)
DARJ_GIVES(name, jint, int, (jint)frame.result[0].whole)
%typemap(jstype) dialarc_status name "$typemap(jstype, type)"
%typemap(javaout) dialarc_status name {
    return $typemap(jstype, type).swigToEnum($jnicall);
  }
%enddef
%include "shared/kinds.i"

/* A reader keeps its setups alive. */
%typemap(javacode) struct darc_sweep_file %{
  Setups setups;
%}
%typemap(javaout) dialarc_status darc_sweep_reader_open {
    SweepReader reader = new SweepReader($jnicall, true);
    reader.setups = setups;
    return reader;
  }
