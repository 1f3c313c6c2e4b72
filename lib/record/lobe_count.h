/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How many lobes a record shows. */
#ifndef DARC_LOBE_COUNT_H
#define DARC_LOBE_COUNT_H

#include "record/record.h"

/* Lobes per pump turn as the record shows them, 1..DIALARC_LOBES_MAX; 0 when it shows
 * none. */
int darc_lobes_seen(const darc_record *record, double crank_per_pump);

#endif
