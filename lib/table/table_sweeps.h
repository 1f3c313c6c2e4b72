/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Several sweeps in one buffer, one behind the other. Private.
 */
#ifndef DARC_TABLE_SWEEPS_H
#define DARC_TABLE_SWEEPS_H

#include <dialarc/table_sweeps.h>

struct dialarc_sweep_buffer {
    char name[DIALARC_NAME_SIZE]; /* of the last sweep */
    size_t n, capacity;           /* readings of all sweeps in it */
    double *crank_deg, *dial_mm;
    dialarc_direction *direction;
    size_t *line;
};

/*
 * dialarc_sweep_reader_next() behind what the buffer holds. The arrays of the record are
 * left out, for they may still move: darc_sweep_place() puts them in when the buffer is
 * full. The name is buffer->name.
 */
dialarc_status darc_sweep_append(dialarc_sweep_reader *reader,
                                 dialarc_sweep_buffer *buffer,
                                 dialarc_sweep_record *record, dialarc_error *error);

/* The arrays of a sweep that begins at `start`. */
void darc_sweep_place(const dialarc_sweep_reader *reader,
                      const dialarc_sweep_buffer *buffer, size_t start,
                      dialarc_sweep_record *record);

#endif
