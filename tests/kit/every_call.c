/* SPDX-License-Identifier: GPL-3.0-or-later */
#define EVERY_CALL_ITSELF
#include "kit/every_call.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define MOST_CALLS 1200
#define OF_ONE     2 /* calls of one function that are kept */

every_call *every_list[MOST_CALLS];
size_t every_calls;

/* What results are filled with beforehand: a NaN that no sum gives. */
static const unsigned char blank[8] = {0xad, 0xde, 0xf8, 0x7f, 0xad, 0xde, 0xf8, 0x7f};

static void *memory(size_t size)
{
    void *made = calloc(1, size ? size : 1);
    if (!made)
        abort();
    return made;
}

void every_hold(void *kept)
{
    static void *held[1000];
    static size_t n;
    if (n < sizeof held / sizeof held[0])
        held[n++] = kept;
}

every_call *every_new(const char *function, int (*again)(every_call *), size_t size)
{
    size_t alike = 0;
    for (size_t i = 0; i < every_calls; i++)
        alike += strcmp(every_list[i]->function, function) == 0;
    if (alike == OF_ONE || every_calls == MOST_CALLS)
        return NULL;
    every_call *call = memory(sizeof *call);
    call->function = function;
    call->again = again;
    call->arguments = memory(size);
    return call;
}

void every_done(every_call *call)
{
    every_list[every_calls++] = call;
}

void *every_copy(every_call *call, const void *from, size_t size)
{
    (void)call;
    if (!from || size == 0)
        return NULL;
    return memcpy(memory(size), from, size);
}

void *every_result(every_call *call, size_t size)
{
    every_result_memory *r = &call->result[call->results++];
    if (call->results > EVERY_RESULTS)
        abort();
    *r = (every_result_memory){memory(size), size};
    return r->at;
}

size_t every_size(const every_call *call, const void *result)
{
    for (size_t i = 0; result && i < call->results; i++)
        if (call->result[i].at == result)
            return call->result[i].size;
    return 0;
}

void every_slot(every_call *call, const char *name, every_kind kind, void *at)
{
    if (call->slots < EVERY_SLOTS)
        call->slot[call->slots++] = (every_number){name, kind, at};
}

/* The first, the last and some between them. */
void every_slots(every_call *call, const char *name, every_kind kind, void *at, size_t n,
                 size_t size)
{
    size_t step = n > 6 ? n / 5 : 1;
    for (size_t i = 0; at && i < n; i += step)
        every_slot(call, name, kind, (char *)at + i * size);
    if (at && n > 6 && (n - 1) % step)
        every_slot(call, name, kind, (char *)at + (n - 1) * size);
}

void every_pointer(every_call *call, const char *name, void **at)
{
    every_slot(call, name, EVERY_POINTER, at);
}

static void fill(every_result_memory *r)
{
    for (size_t i = 0; i < r->size; i++)
        ((unsigned char *)r->at)[i] = blank[i % 8];
}

bool every_written(const void *at, size_t size)
{
    for (size_t i = 0; i < size; i++)
        if (((const unsigned char *)at)[i] != blank[i % 8])
            return true;
    return false;
}

void every_finite(every_call *call, const char *name, const double *x, size_t n,
                  int unknown)
{
    for (size_t i = 0; x && i < n; i++)
        if (!isfinite(x[i]) && every_written(&x[i], sizeof x[i]) &&
            !(unknown && isnan(x[i])) && unknown != 2)
            call->not_finite = name;
}

void finite_handle_camtable(every_call *call, dialarc_camtable *table)
{
    double period = 0, low = 0, high = 0;
    dialarc_cam_motion m = {0};
    dialarc_camtable_range(table, &period, &low, &high);
    for (int i = 0; i < 8; i++) {
        dialarc_camtable_motion(table, period * i / 7.0, &m);
        every_finite(call, "motion of the table", &m.lift_mm, 3, 0);
    }
    every_finite(call, "range of the table", (double[]){period, low, high}, 3, 0);
    dialarc_camtable_free(table);
}

void finite_handle_dialcal(every_call *call, dialarc_dialcal *dialcal)
{
    double range[3] = {0};
    dialarc_dialcal_range(dialcal, &range[0], &range[1], &range[2]);
    every_finite(call, "range of the calibration", range, 3, 0);
    dialarc_dialcal_free(dialcal);
}

void finite_handle_learned_cam(every_call *call, dialarc_learned_cam *cam)
{
    double angle[8] = {0}, lift[8] = {0}, sd = 0; /* a cam may have no lobe */
    dialarc_learned_cam_lobe(cam, 8, angle, lift);
    dialarc_learned_cam_sd(cam, &sd);
    every_finite(call, "lift of the learned cam", lift, 8, 0);
    every_finite(call, "sd of the learned cam", &sd, 1, 0);
    dialarc_learned_cam_free(cam);
}

bool every_again(every_call *call, int *status)
{
    call->not_finite = NULL;
    for (size_t i = 0; i < call->results; i++)
        fill(&call->result[i]);
    *status = call->again(call);
    if (*status < DIALARC_OK && *status != EVERY_NO_STATUS)
        for (size_t i = 0; i < call->results; i++)
            if (every_written(call->result[i].at, call->result[i].size))
                call->not_finite = "written although it failed";
    return call->not_finite == NULL;
}
