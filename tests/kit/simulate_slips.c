/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "kit/simulate_slips.h"

#include <math.h>

static void copy_row(sim_sheet *s, size_t to, size_t from)
{
    s->crank_deg[to] = s->crank_deg[from];
    s->dial_mm[to] = s->dial_mm[from];
    s->direction[to] = s->direction[from];
}

static void exchange_rows(sim_sheet *s, size_t i, size_t k)
{
    /* the place behind the last row holds one of them meanwhile */
    copy_row(s, s->n, i);
    copy_row(s, i, k);
    copy_row(s, k, s->n);
}

static void turn_over(sim_sheet *s)
{
    for (size_t i = 0; i < s->n / 2; i++)
        exchange_rows(s, i, s->n - 1 - i);
}

static void sort_by_angle(sim_sheet *s)
{
    for (size_t i = 1; i < s->n; i++)
        for (size_t k = i; k > 0 && s->crank_deg[k] < s->crank_deg[k - 1]; k--)
            exchange_rows(s, k, k - 1);
}

static void paste_again(sim_sheet *s)
{
    for (size_t i = 0; i < s->n; i++)
        copy_row(s, s->n + i, i);
    s->n *= 2;
}

static void copy_back(sim_sheet *s, size_t forward)
{
    s->n = 2 * forward - 1;
    for (size_t i = forward; i < s->n; i++)
        copy_row(s, i, s->n - 1 - i);
}

void sim_write(const sim_sweep *sweep, size_t forward, sim_slip slip, sim_sheet *s)
{
    s->n = sweep->n;
    s->has_directions = slip == SIM_EXCHANGED || slip == SIM_BY_ANGLE;
    for (size_t i = 0; i < s->n; i++) {
        double dial = sweep->dial_mm[i];
        s->crank_deg[i] = sweep->crank_deg[i];
        s->dial_mm[i] = slip == SIM_INCHES        ? round(dial / 25.4 / 5e-4) * 5e-4
                        : slip == SIM_CENTIMETRES ? dial / 10
                                                  : dial;
        s->direction[i] = (i < forward) == (slip != SIM_EXCHANGED) ? 1 : -1;
    }
    if (slip == SIM_BOTTOM_TO_TOP)
        turn_over(s);
    else if (slip == SIM_BY_ANGLE)
        sort_by_angle(s);
    else if (slip == SIM_PASTED_TWICE)
        paste_again(s);
    else if (slip == SIM_BACK_COPIED)
        copy_back(s, forward);
}
