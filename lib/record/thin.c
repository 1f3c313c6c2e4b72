/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/thin.h"

static void take(const darc_record *from, size_t i, darc_thin *thin)
{
    size_t k = thin->record.n++;
    thin->at[k] = i;
    thin->crank_deg[k] = from->crank_deg[i];
    thin->lift_mm[k] = from->lift_mm[i];
    thin->median_mm[k] = darc_record_middle(from, i);
}

void darc_thin_out(const darc_record *record, darc_thin *thin)
{
    darc_record *to = &thin->record;
    size_t every = (record->n + DARC_THIN_READINGS - 1) / DARC_THIN_READINGS;
    *to = *record;
    to->crank_deg = thin->crank_deg;
    to->lift_mm = thin->lift_mm;
    to->row = thin->at;
    to->n = 0;
    for (int k = 0; k < record->passes; k++) {
        const darc_pass *pass = &record->pass[k];
        to->pass[k].begin = to->n;
        for (size_t i = pass->begin; i < pass->end; i++)
            if ((i - pass->begin) % every == 0 || i + 1 == pass->end)
                take(record, i, thin);
        to->pass[k].end = to->n;
    }
}
