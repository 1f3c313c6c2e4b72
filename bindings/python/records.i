/* SPDX-License-Identifier: GPL-3.0-or-later
 * Python: structs that hold arrays of the caller, functions that the library calls, and
 * what is read from tables. */

/* ---- structs whose arrays belong to the caller: classes written in Python -------- */

%define DIALARC_BORROWING(type)
%ignore type;
%enddef

%typemap(in) const dialarc_injection *
  (dialarc_injection temp, darpy_view speed = DARPY_VIEW,
   darpy_view advance = DARPY_VIEW) {
  PyObject *delay, *buildup = NULL;
  if (darpy_two_columns($input, "$symname", "$1_name", "Injection", &speed, "crank_rpm",
                        &advance, "advance_crank_deg") < 0) SWIG_fail;
  delay = PyObject_GetAttrString($input, "delay_ms");
  if (delay) buildup = PyObject_GetAttrString($input, "buildup_crank_deg");
  if (!buildup || darpy_double(delay, "$symname", "delay_ms", &temp.delay_ms) < 0 ||
      darpy_double(buildup, "$symname", "buildup_crank_deg",
                   &temp.buildup_crank_deg) < 0) {
    Py_XDECREF(delay);
    Py_XDECREF(buildup);
    SWIG_fail;
  }
  Py_DECREF(delay);
  Py_DECREF(buildup);
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
  if (darpy_two_columns($input, "$symname", "$1_name", "Sweep", &angle, "crank_deg",
                        &dial, "dial_mm") < 0 ||
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

/* ---- callbacks ------------------------------------------------------------------- */

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
%typemap(in, numinputs=0) dialarc_error *error (dialarc_error temp[DIALARC_ERRORS_MAX]) {
  memset(temp, 0, sizeof temp);
  temp->room = DIALARC_ERRORS_MAX;
  $1 = temp;
  frame.place = temp;
}
%typemap(argout) dialarc_error *error "";

/* A reader keeps its source and its setups alive. */
%typemap(argout) dialarc_sweep_reader **reader {
  PyObject *made = SWIG_NewPointerObj(*$1, $*1_descriptor, SWIG_POINTER_OWN);
  PyObject *keep = PyTuple_Pack(2, frame.source, frame.subject[0]);
  if (!made || !keep || PyObject_SetAttrString(made, "_keep", keep) < 0) Py_CLEAR(made);
  Py_XDECREF(keep);
  $result = darpy_append($result, made);
}

/* ---- records read from tables ---------------------------------------------------- */

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
        PyObject *item = Py_BuildValue("(iddi)", round->round, round->minimum_mm,
                                       round->tdc_mm, round->tight);
        if (!item || PyList_Append(rounds, item) < 0)
            Py_CLEAR(rounds);
        Py_XDECREF(item);
    }
    PyObject *part[] = {PyUnicode_FromString(job->name),
                        PyLong_FromSize_t(job->setup_index),
                        darpy_setup_copy(&job->setup), rounds,
                        darpy_lines(job->line, job->n)};
    return darpy_build("make_job", part, sizeof part / sizeof *part);
}

static PyObject *darpy_cam(const dialarc_cam_record *cam)
{
    PyObject *part[] = {darpy_copy(cam->pump_deg, cam->n),
                        darpy_copy(cam->lift_mm, cam->n),
                        PyFloat_FromDouble(cam->period_deg),
                        PyFloat_FromDouble(cam->cam_sd_mm),
                        PyUnicode_FromString(cam->name)};
    return darpy_build("CamRecord", part, sizeof part / sizeof *part);
}
%}

%ignore dialarc_sweep_record;
%ignore dialarc_job;
%ignore dialarc_cam_record;
%typemap(out) const dialarc_sweep_record * (darpy_frame frame = DARPY_FRAME) {
  $result = darpy_sweep($1);
}
%typemap(out) const dialarc_job * (darpy_frame frame = DARPY_FRAME) {
  $result = darpy_job($1);
}
%typemap(out) const dialarc_cam_record * (darpy_frame frame = DARPY_FRAME) {
  $result = darpy_cam($1);
}
%typemap(out) const dialarc_setup * (darpy_frame frame = DARPY_FRAME) {
  $result = darpy_setup_copy($1);
}
%typemap(in, numinputs=0) dialarc_sweep_record *record (dialarc_sweep_record temp)
  "$1 = &temp;"
%typemap(argout) dialarc_sweep_record *record {
  $result = darpy_append($result, darpy_sweep($1));
}
