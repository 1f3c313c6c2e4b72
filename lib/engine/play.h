/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One step of the backlash operator: `previous` held between `low` and `high`. */
#ifndef DARC_PLAY_H
#define DARC_PLAY_H

static inline double darc_play(double low, double high, double previous)
{
    double held = previous < high ? previous : high;
    return held > low ? held : low;
}

#endif
