/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private part of the stream: the size of its blocks can be chosen by tests. */
#ifndef DARC_STREAM_H
#define DARC_STREAM_H

#include <dialarc/stream.h>

/* Most sweeps of a block. */
#define DARC_BLOCK_SWEEPS 32

/* dialarc_stream_assess() with blocks of 1 to DARC_BLOCK_SWEEPS sweeps; arguments are
 * not checked. */
dialarc_status darc_stream_run(dialarc_read read, void *read_context,
                               const dialarc_setups *setups, size_t threads,
                               size_t block_sweeps, dialarc_take take, void *take_context,
                               dialarc_error *error);

#endif
