/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "decision/advice.h"

#include <math.h>

#include <dialarc/advice.h>

#include "core/angle.h"
#include "core/finding.h"
#include "core/finite.h"
#include "core/normal.h"
#include "decision/decision.h"
#include "decision/tightening.h"

/* The least turn that a hand can set: along the rim, or where no radius is known. Common
 * practice, no source. */
#define HAND_MM       0.1
#define HAND_PUMP_DEG 0.1

const char *dialarc_advice_name(dialarc_advice advice)
{
    switch (advice) {
    case DIALARC_ADVICE_NONE:
        return "";
    case DIALARC_ADVICE_LEAVE:
        return "leave";
    case DIALARC_ADVICE_TURN:
        return "turn";
    case DIALARC_ADVICE_TIGHTEN:
        return "tighten";
    case DIALARC_ADVICE_SEE_FINDINGS:
        return "see_findings";
    case DIALARC_ADVICE_READ_AGAIN:
        return "read_again";
    case DIALARC_ADVICE_FIND_TDC:
        return "find_tdc";
    case DIALARC_ADVICE_LEARN_CAM:
        return "learn_cam";
    case DIALARC_ADVICE_BETTER_DIAL:
        return "better_dial";
    case DIALARC_ADVICE_CENTRE_WHEEL:
        return "centre_wheel";
    }
    return "unknown";
}

const char *dialarc_advice_text(dialarc_advice advice)
{
    switch (advice) {
    case DIALARC_ADVICE_NONE:
        return "Look up the lift that the manufacturer asks for, and where.";
    case DIALARC_ADVICE_LEAVE:
        return "Leave the pump as it is.";
    case DIALARC_ADVICE_TURN:
        return "Set the pump to the middle of the window.";
    case DIALARC_ADVICE_TIGHTEN:
        return "Tighten this setting and read it again.";
    case DIALARC_ADVICE_SEE_FINDINGS:
        return "Do not set the pump by these readings. Put right what the findings say, "
               "and measure again.";
    case DIALARC_ADVICE_READ_AGAIN:
        return "The readings are the weakest point. Before anything is moved, take the "
               "sweep again: more readings, in smaller steps, forward and back where the "
               "engine may be turned back, and wait for the needle to stand still.";
    case DIALARC_ADVICE_FIND_TDC:
        return "TDC is the weakest point. Before anything is moved, find it better, by a "
               "stop on the piston or by two equal drops of it, and enter its "
               "uncertainty as tdc_sd_deg.";
    case DIALARC_ADVICE_LEARN_CAM:
        return "The cam is the weakest point. Before anything is moved, take a longer "
               "sweep in smaller steps, forward and back where the engine may be turned "
               "back, or enter the cam's law and angles.";
    case DIALARC_ADVICE_BETTER_DIAL:
        return "The dial itself is the weakest point. Before anything is moved, stand it "
               "square to the plunger, and enter as dial_error_mm what it errs by at "
               "most; a calibration tells.";
    case DIALARC_ADVICE_CENTRE_WHEEL:
        return "The degree wheel is the weakest point. Before anything is moved, centre "
               "it, and enter as wheel_error_deg what it is still out by.";
    }
    return "Unknown advice: library and program do not belong together.";
}

/* Largest sd, beside errors of a width, with which a lift in mid-window is in a window of
 * half the width `half` so surely; below 0 when there is none. */
static double most_sd(double half, double width, double sure)
{
    darc_belief middle = {0.0, 0.0, width};
    double low = 0.0, high, z;
    if (dialarc_conformity_z(0.5 + 0.5 * sure, &z) != DIALARC_OK)
        return -1.0;
    high = half / z;
    if (!(width > 0.0))
        return high;
    if (darc_belief_split(&middle, -half, half).inside < sure)
        return -1.0;
    for (;;) {
        middle.sd_mm = 0.5 * (low + high);
        if (!(middle.sd_mm > low && middle.sd_mm < high))
            return low;
        if (darc_belief_split(&middle, -half, half).inside >= sure)
            low = middle.sd_mm;
        else
            high = middle.sd_mm;
    }
}

void darc_decision_tdc(const darc_known *known, const darc_best_case *best, double sure,
                       dialarc_decision *decision)
{
    double most = most_sd(0.5 * (known->high_mm - known->low_mm), best->width_mm, sure);
    double rest = best->rest_sd_mm, rate = fabs(best->rate);
    decision->tdc_sd_deg = known->noise.tdc_sd_deg;
    if (!(most >= rest))
        decision->tdc_sd_needed_deg = 0.0;
    else if (rate >= DARC_SMALLEST)
        decision->tdc_sd_needed_deg = sqrt(most * most - rest * rest) / rate;
}

static double least_turn_pump_deg(const darc_known *known)
{
    if (known->turned == DIALARC_TURNED_BODY && known->has_body_radius)
        return HAND_MM / known->body_radius_mm * DARC_DEG_PER_RAD;
    return known->has_radius ? HAND_MM / known->sprocket_radius_mm * DARC_DEG_PER_RAD
                             : HAND_PUMP_DEG;
}

/* Whether the correction is worth making, as far as it is known. */
static bool is_worth_a_turn(const darc_known *known, const darc_doubt *doubt,
                            const dialarc_decision *d)
{
    return d->aim_probability_in > d->probability_in &&
           fabs(doubt->away_mm) > doubt->sd_mm &&
           !isless(fabs(d->turn_pump_deg), least_turn_pump_deg(known));
}

dialarc_advice darc_weakest(const darc_doubt *doubt)
{
    /* Of parts that are alike, what takes the least trouble comes first. */
    const struct {
        double mm;
        dialarc_advice advice;
    } parts[] = {{doubt->tdc_mm, DIALARC_ADVICE_FIND_TDC},
                 {doubt->readings_mm, DIALARC_ADVICE_READ_AGAIN},
                 {doubt->cam_mm, DIALARC_ADVICE_LEARN_CAM},
                 {doubt->dial_mm, DIALARC_ADVICE_BETTER_DIAL},
                 {doubt->wheel_mm, DIALARC_ADVICE_CENTRE_WHEEL}};
    size_t most = 0;
    for (size_t k = 1; k < sizeof parts / sizeof parts[0]; k++)
        if (parts[k].mm > parts[most].mm)
            most = k;
    return parts[most].advice;
}

static dialarc_advice when_undecided(const darc_doubt *doubt, const dialarc_decision *d)
{
    bool decidable = !isgreater(d->tdc_sd_deg, d->tdc_sd_needed_deg);
    if (doubt->loose)
        return d->worth_turning ? DIALARC_ADVICE_TURN : DIALARC_ADVICE_TIGHTEN;
    if (decidable && d->worth_turning)
        return DIALARC_ADVICE_TURN;
    dialarc_advice first = darc_weakest(doubt);
    return decidable && first != DIALARC_ADVICE_READ_AGAIN ? DIALARC_ADVICE_LEAVE : first;
}

darc_doubt darc_doubt_of(const darc_known *known, const dialarc_timing *timing)
{
    const dialarc_budget *b = &timing->budget;
    return (darc_doubt){.away_mm =
                            timing->lift_mm - 0.5 * (known->low_mm + known->high_mm),
                        .sd_mm = timing->lift_u_mm / DARC_NORMAL_975,
                        .readings_mm = hypot(b->readings_mm, b->hysteresis_mm),
                        .tdc_mm = b->tdc_mm,
                        .cam_mm = b->cam_mm,
                        .dial_mm = b->dial_mm,
                        .wheel_mm = b->wheel_mm};
}

void darc_advise(const darc_known *known, const darc_doubt *doubt,
                 dialarc_decision *decision)
{
    bool sure = decision->verdict != DIALARC_VERDICT_UNDECIDED;
    bool in = decision->verdict == DIALARC_VERDICT_IN;
    decision->worth_turning = sure ? !in : is_worth_a_turn(known, doubt, decision);
    decision->advice = in     ? DIALARC_ADVICE_LEAVE
                       : sure ? DIALARC_ADVICE_TURN
                              : when_undecided(doubt, decision);
}

void darc_check_window_width(const darc_known *known, double sd_mm, double width_mm,
                             dialarc_findings *findings)
{
    if (known->has_window &&
        most_sd(0.5 * (known->high_mm - known->low_mm), width_mm, DARC_SURE) < sd_mm)
        darc_findings_add(findings, DIALARC_FINDING_WINDOW_TOO_NARROW,
                          DIALARC_SEVERITY_CAUTION, DIALARC_NO_ROW);
}

double darc_lasting_sd(const darc_known *known, const dialarc_timing *timing)
{
    const dialarc_budget *b = &timing->budget;
    bool one_way = known->turn_back == DIALARC_TURN_BACK_FORBIDDEN;
    double cam = timing->cam_learned ? 0.0 : b->cam_mm;
    return hypot(hypot(cam, b->dial_mm), one_way ? b->hysteresis_mm : 0.0);
}
