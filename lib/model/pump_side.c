/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "model/pump_side.h"

darc_pump_side darc_pump_side_at_turn(const double *param, int index, int direction,
                                      const darc_pump_side *start)
{
    darc_pump_side d = {param[index], 0.0, 0.0, 1.0, index};
    if (direction < 0) {
        d.position += param[DARC_SLACK];
        d.by_slack = 1.0;
    }
    if (start && (d.position - start->position) * direction < 0.0)
        return (darc_pump_side){start->position, 0.0, start->by_slack, start->by_turn,
                                start->turn};
    return d;
}
