/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "decision/decision.h"

#include <math.h>
#include <stdbool.h>

#include "core/angle.h"
#include "core/finite.h"
#include "core/normal.h"
#include "decision/advice.h"
#include "decision/tightening.h"

const char *dialarc_verdict_name(dialarc_verdict verdict)
{
    switch (verdict) {
    case DIALARC_VERDICT_NONE:
        return "";
    case DIALARC_VERDICT_IN:
        return "in";
    case DIALARC_VERDICT_LOW:
        return "low";
    case DIALARC_VERDICT_HIGH:
        return "high";
    case DIALARC_VERDICT_UNDECIDED:
        return "undecided";
    case DIALARC_VERDICT_UNUSABLE:
        return "unusable";
    }
    return "unknown";
}

const char *dialarc_verdict_text(dialarc_verdict verdict)
{
    switch (verdict) {
    case DIALARC_VERDICT_NONE:
        return "No window was given, so there is nothing to hold the setting against.";
    case DIALARC_VERDICT_IN:
        return "The setting lies in the window.";
    case DIALARC_VERDICT_LOW:
        return "The setting is too low: delivery starts too late.";
    case DIALARC_VERDICT_HIGH:
        return "The setting is too high: delivery starts too early.";
    case DIALARC_VERDICT_UNDECIDED:
        return "The setting may or may not lie in the window: the measurement is not "
               "sure enough to say.";
    case DIALARC_VERDICT_UNUSABLE:
        return "These readings cannot be used: see the findings and measure again.";
    }
    return "Unknown verdict: library and program do not belong together.";
}

void darc_decision_clear(dialarc_decision *decision, dialarc_verdict verdict)
{
    *decision = (dialarc_decision){
        .verdict = verdict,
        .probability_in = DIALARC_UNKNOWN,
        .probability_low = DIALARC_UNKNOWN,
        .probability_high = DIALARC_UNKNOWN,
        .advance_error_crank_deg = DIALARC_UNKNOWN,
        .turn_pump_deg = DIALARC_UNKNOWN,
        .turn_u_pump_deg = DIALARC_UNKNOWN,
        .turn_rim_mm = DIALARC_UNKNOWN,
        .turn_body_mm = DIALARC_UNKNOWN,
        .turn_teeth = DIALARC_UNKNOWN,
        .turn_rotation = DIALARC_ROTATION_UNKNOWN,
        .aim_mm = DIALARC_UNKNOWN,
        .aim_probability_in = DIALARC_UNKNOWN,
        .tdc_sd_deg = DIALARC_UNKNOWN,
        .tdc_sd_needed_deg = DIALARC_UNKNOWN,
        .advice = verdict == DIALARC_VERDICT_UNUSABLE ? DIALARC_ADVICE_SEE_FINDINGS
                                                      : DIALARC_ADVICE_NONE,
    };
}

void darc_decision_weigh(const dialarc_conformity *where, dialarc_decision *decision)
{
    decision->probability_in = where->inside;
    decision->probability_low = where->below;
    decision->probability_high = where->above;
    decision->verdict = where->inside >= DARC_SURE  ? DIALARC_VERDICT_IN
                        : where->below >= DARC_SURE ? DIALARC_VERDICT_LOW
                        : where->above >= DARC_SURE ? DIALARC_VERDICT_HIGH
                                                    : DIALARC_VERDICT_UNDECIDED;
}

void darc_decision_turn(const darc_known *known, double from_pump_deg, double to_pump_deg,
                        dialarc_decision *decision)
{
    double turn = to_pump_deg - from_pump_deg;
    if (isnan(turn))
        return;
    decision->turn_pump_deg = turn;
    decision->advance_error_crank_deg = -turn * known->crank_per_pump;
    if (known->has_radius)
        decision->turn_rim_mm = turn * DARC_RAD_PER_DEG * known->sprocket_radius_mm;
    if (known->has_body_radius)
        decision->turn_body_mm = turn * DARC_RAD_PER_DEG * known->body_radius_mm;
    if (known->has_teeth)
        decision->turn_teeth = turn * known->sprocket_teeth / 360.0;
    if (turn != 0.0)
        decision->turn_rotation =
            (dialarc_rotation)(turn > 0.0 ? (int)known->rotation : -(int)known->rotation);
}

void darc_decision_turn_u(const darc_known *known, double lift_u_mm, double rate,
                          dialarc_decision *decision)
{
    if (!isnan(decision->turn_pump_deg) && rate >= DARC_SMALLEST)
        decision->turn_u_pump_deg = lift_u_mm / (rate * known->crank_per_pump);
}

double darc_decision_reading_variance(const darc_noise *noise)
{
    double sd = noise->dial_sd_mm, step = noise->step_mm;
    return 2.0 * (sd * sd + step * step / 12.0);
}

/* Lift at a node of the rise; foot and top go on as dwells. */
static double node(const double *y, int k)
{
    return y[k < 0 ? 0 : k > DIALARC_RISE_INTERVALS ? DIALARC_RISE_INTERVALS : k];
}

/* Slope per interval at a node: of fourth order, held to what keeps a cubic monotone. */
static double node_slope(const double *y, int k)
{
    double before = node(y, k) - node(y, k - 1), after = node(y, k + 1) - node(y, k);
    double slope = (node(y, k - 2) - node(y, k + 2)) / 12.0 +
                   (node(y, k + 1) - node(y, k - 1)) * (2.0 / 3.0);
    if (!(before > 0.0 && after > 0.0)) /* foot and top of a cam are flat */
        return 0.0;
    return fmin(fmax(slope, 0.0), 3.0 * fmin(before, after));
}

/* Share of the interval after node k where the curve through the nodes reaches `lift`. */
static double share_of_interval(const double *y, int k, double lift)
{
    double m0 = node_slope(y, k), m1 = node_slope(y, k + 1), rise = y[k + 1] - y[k];
    double a = m0 + m1 - 2.0 * rise, b = 3.0 * rise - 2.0 * m0 - m1;
    if (!(lift > y[k])) /* also where foot or top are flat, and have no slope */
        return 0.0;
    double low = 0.0, high = 1.0, t = rise > 0.0 ? (lift - y[k]) / rise : 0.0;
    for (int turn = 0; turn < 60; turn++) { /* Newton, kept inside its bracket */
        double miss = y[k] + t * (m0 + t * (b + t * a)) - lift;
        double slope = m0 + t * (2.0 * b + 3.0 * t * a);
        if (miss > 0.0)
            high = t;
        else
            low = t;
        double next = t - miss / slope;
        if (!(next > low && next < high))
            next = 0.5 * (low + high);
        if (fabs(next - t) < 1e-13)
            return next;
        t = next;
    }
    return t;
}

/* Pump angle from the foot at which the fitted rise has a lift; NaN outside it. */
static double angle_on_rise(const dialarc_timing *timing, double lift)
{
    const double *y = timing->rise_mm;
    int low = 0, high = DIALARC_RISE_INTERVALS;
    if (!(lift >= y[low] && lift <= y[high]))
        return DIALARC_UNKNOWN;
    while (high - low > 1) {
        int middle = (low + high) / 2;
        if (y[middle] <= lift)
            low = middle;
        else
            high = middle;
    }
    return timing->rise_pump_deg * (low + share_of_interval(y, low, lift)) /
           DIALARC_RISE_INTERVALS;
}

/* True lift at TDC minus what the dial will show there, from the minimum. */
static darc_belief reading_error(const darc_noise *noise, const dialarc_timing *timing)
{
    double variance = darc_decision_reading_variance(noise);
    double tdc = isfinite(timing->budget.tdc_mm) ? timing->budget.tdc_mm : 0.0;
    double dial = isfinite(timing->budget.dial_mm) ? timing->budget.dial_mm : 0.0;
    darc_belief error = {0.0, 0.0, 0.0};
    if (isfinite(timing->dial_hysteresis_mm) && isfinite(timing->dial_hysteresis_u_mm)) {
        double sd = timing->dial_hysteresis_u_mm / DARC_NORMAL_975;
        error.mean_mm = timing->dial_hysteresis_mm;
        variance += sd * sd;
    } else {
        error.width_mm = noise->hysteresis_max_mm;
        error.mean_mm = 0.5 * error.width_mm;
    }
    error.sd_mm = sqrt(variance + tdc * tdc + dial * dial);
    return error;
}

static void add_aim(const darc_known *known, const dialarc_timing *timing,
                    dialarc_decision *decision)
{
    darc_shift shift;
    darc_forecast forecast;
    const darc_belief error = reading_error(&known->noise, timing);
    darc_shift_begin(&shift);
    darc_shift_forecast(&shift, &forecast);
    double way, minimum = isfinite(timing->minimum_mm) ? timing->minimum_mm : 0.0;
    darc_forecast_aim(&forecast, &error, 0.0, known->low_mm, known->high_mm, &way,
                      &decision->aim_probability_in);
    decision->aim_mm = darc_shown_way(&known->dial, minimum, way);
}

/* What a result of somebody else may say: a fit that knows nothing says much, but its
 * squares are numbers. */
#define MOST_TOLD 1e100

static dialarc_status check_lift(const dialarc_timing *timing)
{
    if (isfinite(timing->lift_mm) && isnan(timing->lift_u_mm))
        return DIALARC_ERR_NOT_FINITE;
    const double told[] = {timing->lift_mm,
                           timing->lift_u_mm,
                           timing->budget.tdc_mm,
                           timing->budget.dial_mm,
                           timing->budget.wheel_mm,
                           timing->budget.cam_mm,
                           timing->budget.readings_mm,
                           timing->budget.hysteresis_mm,
                           timing->budget.total_mm,
                           timing->minimum_mm,
                           timing->minimum_u_mm,
                           timing->dial_hysteresis_mm,
                           timing->dial_hysteresis_u_mm,
                           timing->rate_mm_per_crank_deg,
                           timing->total_lift_mm,
                           timing->rise_pump_deg,
                           timing->lift_crank_deg};
    for (size_t i = 0; i < sizeof told / sizeof told[0]; i++)
        if (isgreater(fabs(told[i]), MOST_TOLD))
            return isinf(told[i]) ? DIALARC_ERR_NOT_FINITE : DIALARC_ERR_RANGE;
    return isless(timing->lift_u_mm, 0.0) ? DIALARC_ERR_SD : DIALARC_OK; /* NaN: none */
}

/* All that is said of a lift that is known, against a window. */
static void judge(const darc_known *known, const dialarc_timing *timing,
                  dialarc_decision *d)
{
    double low = known->low_mm, high = known->high_mm, tdc = timing->budget.tdc_mm;
    double u = timing->lift_u_mm / DARC_NORMAL_975;
    dialarc_conformity where;
    dialarc_conformity_split(timing->lift_mm, u, low, high, &where);
    darc_decision_weigh(&where, d);
    darc_decision_turn(known, angle_on_rise(timing, timing->lift_mm),
                       angle_on_rise(timing, 0.5 * (low + high)), d);
    darc_decision_turn_u(known, timing->lift_u_mm, timing->rate_mm_per_crank_deg, d);
    add_aim(known, timing, d);
    const darc_best_case best = {sqrt(fmax(u * u - tdc * tdc, 0.0)), 0.0,
                                 timing->rate_mm_per_crank_deg};
    darc_decision_tdc(known, &best, DARC_SURE, d);
    const darc_doubt doubt = darc_doubt_of(known, timing);
    darc_advise(known, &doubt, d);
}

void darc_decide(const darc_known *known, const dialarc_timing *timing,
                 dialarc_decision *decision)
{
    bool usable = isfinite(timing->lift_mm) && isfinite(timing->lift_u_mm) &&
                  dialarc_findings_worst(&timing->findings) != DIALARC_SEVERITY_STOP;
    darc_decision_clear(decision,
                        usable ? DIALARC_VERDICT_NONE : DIALARC_VERDICT_UNUSABLE);
    if (usable && known->has_window)
        judge(known, timing, decision);
}

dialarc_status dialarc_decision_judge(const dialarc_setup *setup,
                                      const dialarc_timing *timing,
                                      dialarc_decision *decision)
{
    if (!setup || !timing || !decision)
        return DIALARC_ERR_NULL;
    dialarc_status status = dialarc_setup_check(setup);
    if (status == DIALARC_OK)
        status = check_lift(timing);
    if (status != DIALARC_OK)
        return status;
    darc_known known = darc_known_of(setup);
    darc_decide(&known, timing, decision);
    return DIALARC_OK;
}
