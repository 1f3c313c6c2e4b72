/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Many sweeps at once from Python. Other Python threads run while the library works.
 */
#ifndef DARPY_BATCH_H
#define DARPY_BATCH_H

#include "callbacks.h"

/* The parts of a batch: copies, as Python's arrays may be anywhere. */
typedef struct {
    dialarc_batch batch;
    size_t *offset, *setup_index, setups;
    double *crank_deg, *dial_mm;
    dialarc_direction *direction;
    dialarc_setup *setup;
    dialarc_batch_result *result;
    PyObject *progress;
    darpy_listener listener;
} darpy_batch;

static void darpy_batch_free(darpy_batch *b)
{
    PyMem_Free(b->offset);
    PyMem_Free(b->setup_index);
    PyMem_Free(b->crank_deg);
    PyMem_Free(b->dial_mm);
    PyMem_Free(b->direction);
    for (size_t i = 0; b->setup && i < b->setups; i++)
        dialarc_dialcal_free((dialarc_dialcal *)b->setup[i].dial_calibration);
    PyMem_Free(b->setup);
    PyMem_Free(b->result);
}

/* Appends a sweep. */
static int darpy_batch_add(darpy_batch *b, size_t i, PyObject *sweep)
{
    darpy_view crank = DARPY_VIEW, dial = DARPY_VIEW;
    dialarc_direction *ways = NULL;
    size_t start = b->batch.readings, end;
    int status = darpy_two_columns(sweep, "batch_assess", "sweeps", "Sweep", &crank,
                                   "crank_deg", &dial, "dial_mm");
    if (status == 0)
        status = darpy_directions(sweep, "batch_assess", crank.count, &ways);
    if (status == 0) {
        end = start + (size_t)crank.count;
        void *more = PyMem_Realloc(b->crank_deg, (end + 1) * sizeof(double));
        b->crank_deg = more ? more : b->crank_deg;
        void *dials = PyMem_Realloc(b->dial_mm, (end + 1) * sizeof(double));
        b->dial_mm = dials ? dials : b->dial_mm;
        void *way = PyMem_Realloc(b->direction, (end + 1) * sizeof *b->direction);
        b->direction = way ? way : b->direction;
        if (!more || !dials || !way) {
            PyErr_NoMemory();
            status = -1;
        }
    }
    if (status == 0) {
        size_t n = end - start;
        memcpy(b->crank_deg + start, crank.data, n * sizeof(double));
        memcpy(b->dial_mm + start, dial.data, n * sizeof(double));
        if (ways)
            memcpy(b->direction + start, ways, n * sizeof *ways);
        else
            memset(b->direction + start, 0, n * sizeof *ways);
        b->batch.readings = b->offset[i + 1] = end;
        b->setup_index[i] = i;
    }
    PyMem_Free(ways);
    darpy_release(&crank);
    darpy_release(&dial);
    return status;
}

/* Room for n sweeps, each with its own setup. */
static int darpy_batch_room(darpy_batch *b, size_t n)
{
    b->offset = PyMem_Calloc(n + 1, sizeof *b->offset);
    b->setup_index = PyMem_Calloc(n + 1, sizeof *b->setup_index);
    b->setup = PyMem_Calloc(n + 1, sizeof *b->setup);
    b->result = PyMem_Calloc(n + 1, sizeof *b->result);
    b->setups = b->setup ? n : 0;
    if (b->offset && b->setup_index && b->setup && b->result)
        return 0;
    PyErr_NoMemory();
    return -1;
}

/* Called after each sweep; Python hears of the first, the last and one every 50 ms. */
static int darpy_batch_progress(void *context, size_t done, size_t sweeps)
{
    darpy_batch *b = context;
    if (!darpy_due(&b->listener) && done < sweeps)
        return 0;
    PyEval_RestoreThread(b->listener.thread);
    PyObject *answer = b->progress == Py_None
                           ? (Py_INCREF(Py_None), Py_None)
                           : PyObject_CallFunction(b->progress, "nn", (Py_ssize_t)done,
                                                   (Py_ssize_t)sweeps);
    int stop = !answer || answer == Py_False || PyErr_CheckSignals() < 0;
    Py_XDECREF(answer);
    b->listener.thread = PyEval_SaveThread();
    return stop;
}

static dialarc_status darpy_batch_run(darpy_batch *b, size_t threads)
{
    dialarc_batch_options options = {threads, 1, darpy_batch_progress, b};
    b->batch.offset = b->offset;
    b->batch.crank_deg = b->crank_deg;
    b->batch.dial_mm = b->dial_mm;
    b->batch.direction = b->direction;
    b->batch.setup = b->setup;
    b->batch.setups = b->batch.sweeps;
    b->batch.setup_index = b->setup_index;
    b->listener.thread = PyEval_SaveThread();
    dialarc_status status = dialarc_batch_assess(&b->batch, &options, b->result);
    PyEval_RestoreThread(b->listener.thread);
    return status;
}

static int darpy_batch_setup(darpy_batch *b, size_t i, PyObject *setup)
{
    void *pointer = NULL;
    if (setup == Py_None ||
        !SWIG_IsOK(SWIG_ConvertPtr(setup, &pointer, SWIGTYPE_p_dialarc_setup, 0))) {
        darpy_complain(PyExc_TypeError, "batch_assess", "setups",
                       "a dialarc.Setup is needed", setup);
        return -1;
    }
    b->setup[i] = *(const dialarc_setup *)pointer;
    darc_share_dial(b->setup[i].dial_calibration);
    return 0;
}

/* Takes in two sequences of the same length. */
static int darpy_batch_fill(darpy_batch *b, PyObject *setups, PyObject *sweeps)
{
    Py_ssize_t n = PySequence_Fast_GET_SIZE(sweeps);
    if (PySequence_Fast_GET_SIZE(setups) != n) {
        PyErr_Format(PyExc_ValueError,
                     "batch_assess(): setups: %zd, but there are %zd sweeps",
                     PySequence_Fast_GET_SIZE(setups), n);
        return -1;
    }
    if (darpy_batch_room(b, (size_t)n) < 0)
        return -1;
    for (Py_ssize_t i = 0; i < n; i++)
        if (darpy_batch_setup(b, (size_t)i, PySequence_Fast_GET_ITEM(setups, i)) < 0 ||
            darpy_batch_add(b, (size_t)i, PySequence_Fast_GET_ITEM(sweeps, i)) < 0)
            return -1;
    b->batch.sweeps = (size_t)n;
    return 0;
}

/* A copy of a struct, as an object that owns it. */
static PyObject *darpy_own(const void *record, size_t size, swig_type_info *type)
{
    void *made = malloc(size);
    if (!made)
        return PyErr_NoMemory();
    memcpy(made, record, size);
    return SWIG_NewPointerObj(made, type, SWIG_POINTER_OWN);
}

/* (status, Timing, Decision) of each sweep. */
static PyObject *darpy_batch_list(const darpy_batch *b)
{
    PyObject *list = PyList_New((Py_ssize_t)b->batch.sweeps);
    for (size_t i = 0; list && i < b->batch.sweeps; i++) {
        const dialarc_batch_result *r = &b->result[i];
        PyObject *entry = Py_BuildValue(
            "(NNN)", darpy_member("Status", (int)r->status),
            darpy_own(&r->timing, sizeof r->timing, SWIGTYPE_p_dialarc_timing),
            darpy_own(&r->decision, sizeof r->decision, SWIGTYPE_p_dialarc_decision));
        if (!entry)
            Py_CLEAR(list);
        else
            PyList_SET_ITEM(list, (Py_ssize_t)i, entry);
    }
    return list;
}

static PyObject *darpy_batch_assess(PyObject *setups, PyObject *sweeps, size_t threads,
                                    PyObject *progress)
{
    darpy_batch b = {.progress = progress};
    darpy_frame frame = DARPY_FRAME;
    PyObject *list = NULL;
    PyObject *setup = PySequence_Fast(setups, "batch_assess(): setups: a list is needed");
    PyObject *sweep =
        setup ? PySequence_Fast(sweeps, "batch_assess(): sweeps: a list is needed")
              : NULL;
    if (sweep && darpy_batch_fill(&b, setup, sweep) == 0) {
        dialarc_status status = darpy_batch_run(&b, threads);
        if (status < DIALARC_OK || PyErr_Occurred())
            darpy_fail(&frame, status, "batch_assess");
        else
            list = darpy_batch_list(&b);
    }
    darpy_batch_free(&b);
    Py_XDECREF(setup);
    Py_XDECREF(sweep);
    return list;
}

/* A table that is streamed into the text of its results. */
typedef struct {
    darpy_source *source;
    darpy_listener listener;
    char *text;
    size_t length, room;
    dialarc_error refused; /* a sweep that has no row, which ends the work */
} darpy_stream;

static size_t darpy_stream_read(void *context, void *data, size_t size)
{
    darpy_stream *s = context;
    size_t got;
    PyEval_RestoreThread(s->listener.thread);
    got = darpy_read(s->source, data, size);
    s->listener.thread = PyEval_SaveThread();
    return got;
}

static int darpy_stream_append(darpy_stream *s, const char *text, size_t length)
{
    if (s->length + length > s->room) {
        size_t room = 2 * (s->length + length);
        char *more = realloc(s->text, room);
        if (!more)
            return -1;
        s->text = more;
        s->room = room;
    }
    memcpy(s->text + s->length, text, length);
    s->length += length;
    return 0;
}

static int darpy_stream_take(void *context, const dialarc_streamed *it)
{
    darpy_stream *s = context;
    if (it->result->status < DIALARC_OK) {
        s->refused.status = it->result->status;
        PyOS_snprintf(s->refused.text, sizeof s->refused.text, "sweep %.120s: %.100s",
                      it->record->name, dialarc_status_text(it->result->status));
        return 1;
    }
    return darpy_interrupted(&s->listener) ||
           darpy_stream_append(s, it->row, it->row_length);
}

static dialarc_status darpy_stream_run(darpy_stream *s, const dialarc_setups *setups,
                                       size_t threads, dialarc_error *error)
{
    const char *header = dialarc_results_header();
    if (darpy_stream_append(s, header, strlen(header)) != 0)
        return DIALARC_ERR_NO_MEMORY;
    s->listener.thread = PyEval_SaveThread();
    dialarc_status status = dialarc_stream_assess(darpy_stream_read, s, setups, threads,
                                                  darpy_stream_take, s, error);
    PyEval_RestoreThread(s->listener.thread);
    if (status != DIALARC_ERR_CANCELLED)
        return status;
    *error = s->refused; /* stopped by a sweep, or where memory is short */
    return error->status ? error->status : DIALARC_ERR_NO_MEMORY;
}

/* The results table of a sweeps table, as text. */
static PyObject *darpy_stream_assess(PyObject *read, PyObject *setups, size_t threads)
{
    void *known = NULL;
    darpy_stream s = {0};
    dialarc_error error[DIALARC_ERRORS_MAX] = {{.room = DIALARC_ERRORS_MAX}};
    darpy_frame frame = {.count = -1, .place = error};
    PyObject *text = NULL, *capsule;
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
    dialarc_status status = darpy_stream_run(&s, known, threads, error);
    if (status < DIALARC_OK || PyErr_Occurred())
        darpy_fail(&frame, status, "stream_assess");
    else
        text = PyUnicode_DecodeUTF8(s.text, (Py_ssize_t)s.length, NULL);
    free(s.text);
    Py_DECREF(capsule);
    return text;
}

#endif
