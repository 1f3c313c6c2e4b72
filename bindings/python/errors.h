/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The exception that a failed call raises, built by the hook make_error.
 */
#ifndef DARPY_ERRORS_H
#define DARPY_ERRORS_H

#include "arrays.h"

static void darpy_subject(darpy_frame *frame, PyObject *object, const char *argument)
{
    if (frame->subjects < DARPY_SUBJECTS) {
        frame->subject[frame->subjects] = object;
        frame->subject_name[frame->subjects++] = argument;
    }
}

/* The argument that holds a number that is not finite, such as "pump_deg[17]". */
static void darpy_find_nan(const darpy_frame *frame, char *text, size_t size)
{
    for (int i = 0; i < frame->views; i++)
        for (Py_ssize_t k = 0; k < frame->view[i]->count; k++)
            if (!isfinite(frame->view[i]->data[k])) {
                PyOS_snprintf(text, size, frame->view[i]->scalar ? "%.60s" : "%.60s[%zd]",
                              frame->view[i]->argument, k);
                return;
            }
}

/* What is wrong with a table: how many faults, and of each its text and place. */
static PyObject *darpy_faults(const dialarc_error *error)
{
    size_t room = error->room ? error->room : 1;
    PyObject *faults = PyList_New(0);
    for (size_t i = 0; faults && i < room && error[i].status != DIALARC_OK; i++) {
        char text[600];
        dialarc_error_text(&error[i], NULL, text, sizeof text);
        PyObject *fault =
            Py_BuildValue("(sKKKs)", text, (unsigned long long)error[i].line,
                          (unsigned long long)error[i].row,
                          (unsigned long long)error[i].column, error[i].column_name);
        if (!fault || PyList_Append(faults, fault) < 0)
            Py_CLEAR(faults);
        Py_XDECREF(fault);
    }
    return faults ? Py_BuildValue("(NK)", faults, (unsigned long long)error->count)
                  : NULL;
}

/* Raises the exception for a status. */
static void darpy_fail(const darpy_frame *frame, int status, const char *function)
{
    PyObject *make, *subjects, *error, *place = Py_None;
    char culprit[96] = "";
    if (PyErr_Occurred())
        return;
    make = darpy_hook("make_error");
    subjects = make ? PyList_New(0) : NULL;
    if (!subjects)
        return;
    if (status == DIALARC_ERR_NOT_FINITE)
        darpy_find_nan(frame, culprit, sizeof culprit);
    for (int i = 0; i < frame->subjects; i++) {
        PyObject *pair = Py_BuildValue("(sO)", frame->subject_name[i], frame->subject[i]);
        if (!pair || PyList_Append(subjects, pair) < 0) {
            Py_XDECREF(pair);
            Py_DECREF(subjects);
            return;
        }
        Py_DECREF(pair);
    }
    if (frame->place && frame->place->status != DIALARC_OK)
        place = darpy_faults(frame->place);
    error = place ? PyObject_CallFunction(make, "issOO", status, function, culprit,
                                          subjects, place)
                  : NULL;
    if (error)
        PyErr_SetObject((PyObject *)Py_TYPE(error), error);
    Py_XDECREF(error);
    if (place != Py_None)
        Py_XDECREF(place);
    Py_DECREF(subjects);
}

/* One number that is not finite. */
static void darpy_not_finite(const char *function, const char *argument)
{
    darpy_view view = {
        .argument = argument, .data = &view.one, .count = 1, .scalar = 1, .one = NAN};
    darpy_frame frame = {.count = 1, .views = 1, .view = {&view}};
    darpy_fail(&frame, DIALARC_ERR_NOT_FINITE, function);
}

#endif
