/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "reach.h"

#include <math.h>

#include "complain.h"

/* Where readings begin unless told: so much of the way from lobe to lobe before TDC; how
 * far they go on after the window's angle; and a usual lift. Common practice, no source.
 */
#define FROM_SHARE    0.55
#define TO_DEG        20.0
#define USUAL_LIFT_MM 0.9

int reach_of(const char *who, const dialarc_setup *setup, const reach_wishes *w,
             dialarc_reach *reach)
{
    double ratio = isnan(setup->crank_per_pump) ? 2.0 : setup->crank_per_pump;
    double before = FROM_SHARE * ratio * 360.0 / setup->lobes;
    double at = isnan(setup->window_crank_deg) ? 0.0 : setup->window_crank_deg;
    int may_turn_back = setup->turn_back == DIALARC_TURN_BACK_ALLOWED;
    if (w->both_ways && w->forward)
        return complain(who, "--both-ways, --forward", "one of them is enough");
    *reach = (dialarc_reach){
        .first_crank_deg = w->from_deg < REACH_UNSAID ? w->from_deg : -round(before),
        .last_crank_deg = w->to_deg < REACH_UNSAID ? w->to_deg : at + TO_DEG,
        .step_crank_deg = w->step_deg,
        .both_ways = w->both_ways || (may_turn_back && !w->forward)};
    return DONE;
}

const char *reach_complaint(void)
{
    return "the angle of the window must lie between them, within 720 degrees either "
           "way, the step be above 0, and there be no more than 400 angles";
}

double reach_lift(const dialarc_setup *setup)
{
    double middle = 0.5 * (setup->lift_low_mm + setup->lift_high_mm);
    return isnan(middle) ? USUAL_LIFT_MM : middle;
}
