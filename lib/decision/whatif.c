/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/whatif.h>

#include <math.h>
#include <string.h>

#include "core/angle.h"
#include "core/finite.h"
#include "decision/decision.h"
#include "decision/tightening.h"

const char *dialarc_whatif_name(dialarc_whatif_input input)
{
    static const char *const names[DIALARC_WHATIF_COUNT] = {
        [DIALARC_WHATIF_READING] = "reading_mm",
        [DIALARC_WHATIF_TDC_MARK] = "tdc_mark_crank_deg",
        [DIALARC_WHATIF_SLACK] = "slack_left_crank_deg",
        [DIALARC_WHATIF_SHIFT] = "shift_mm",
        [DIALARC_WHATIF_TILT] = "tilt_deg",
        [DIALARC_WHATIF_SCALE] = "dial_scale",
        [DIALARC_WHATIF_HYSTERESIS] = "hysteresis_mm",
        [DIALARC_WHATIF_STRETCH] = "stretch_advance_crank_deg",
        [DIALARC_WHATIF_TEETH] = "teeth",
        [DIALARC_WHATIF_RATIO] = "crank_per_pump",
        [DIALARC_WHATIF_WEAR] = "cam_wear",
    };
    return (int)input >= 0 && (int)input < DIALARC_WHATIF_COUNT ? names[input]
                                                                : "unknown";
}

dialarc_status dialarc_whatif_change(const dialarc_whatif *whatif, const char *name,
                                     double change, dialarc_whatif *changed)
{
    if (!whatif || !name || !changed)
        return DIALARC_ERR_NULL;
    if (!isfinite(change))
        return DIALARC_ERR_NOT_FINITE;
    for (int i = 0; i < DIALARC_WHATIF_COUNT; i++)
        if (strcmp(name, dialarc_whatif_name((dialarc_whatif_input)i)) == 0) {
            dialarc_whatif w = *whatif;
            dialarc_status status =
                darc_give(w.input[i].centre + change, &w.input[i].centre);
            if (status == DIALARC_OK)
                *changed = w;
            return status;
        }
    return DIALARC_ERR_CHOICE;
}

/* Inputs of a setup: what its decision assumes, everything else fixed. */
static void fill_inputs(const darc_known *k, dialarc_whatif *w)
{
    double lag = k->noise.hysteresis_max_mm;
    darc_shift shift;
    darc_forecast forecast;
    darc_shift_begin(&shift);
    darc_shift_forecast(&shift, &forecast);
    for (int i = 0; i < DIALARC_WHATIF_COUNT; i++)
        w->input[i] = (dialarc_input){.shape = DIALARC_SHAPE_NORMAL};
    w->input[DIALARC_WHATIF_READING].centre = w->target_lift_mm - 0.5 * lag;
    w->input[DIALARC_WHATIF_READING].spread =
        sqrt(darc_decision_reading_variance(&k->noise));
    w->input[DIALARC_WHATIF_TDC_MARK].spread = k->noise.tdc_sd_deg;
    w->input[DIALARC_WHATIF_SHIFT].spread = forecast.shift_sd_mm;
    w->input[DIALARC_WHATIF_HYSTERESIS] = (dialarc_input){
        .shape = DIALARC_SHAPE_RECTANGULAR, .centre = 0.5 * lag, .spread = 0.5 * lag};
    w->input[DIALARC_WHATIF_RATIO].centre = k->crank_per_pump;
}

static dialarc_status begin(const darc_known *known, const dialarc_cam *cam,
                            dialarc_whatif *whatif)
{
    dialarc_whatif w = {.contact = DIALARC_CONTACT_FLAT, .cam = *cam};
    if (!known->has_window)
        return DIALARC_ERR_WINDOW;
    dialarc_status status = dialarc_cam_check(&w.cam);
    if (status != DIALARC_OK)
        return status;
    w.target_lift_mm = 0.5 * (known->low_mm + known->high_mm);
    w.pump_teeth = known->has_teeth ? known->sprocket_teeth : 0;
    fill_inputs(known, &w);
    *whatif = w;
    return DIALARC_OK;
}

dialarc_status dialarc_whatif_from_setup(const dialarc_setup *setup,
                                         dialarc_whatif *whatif)
{
    if (!setup || !whatif)
        return DIALARC_ERR_NULL;
    dialarc_status status = dialarc_setup_check(setup);
    if (status != DIALARC_OK)
        return status;
    const darc_known known = darc_known_of(setup);
    if (!known.has_shape)
        return DIALARC_ERR_LAW;
    if (!known.has_lift)
        return DIALARC_ERR_LIFT;
    return begin(&known, &known.cam, whatif);
}

dialarc_status dialarc_whatif_from_cam(const dialarc_setup *setup, const dialarc_cam *cam,
                                       dialarc_whatif *whatif)
{
    if (!setup || !cam || !whatif)
        return DIALARC_ERR_NULL;
    dialarc_status status = dialarc_setup_check(setup);
    if (status != DIALARC_OK)
        return status;
    const darc_known known = darc_known_of(setup);
    return cam->lobes == known.lobes ? begin(&known, cam, whatif) : DIALARC_ERR_LOBES;
}

/* The chain at one set of inputs. */
typedef struct chain {
    dialarc_cam cam;        /* as it is now, and worn */
    double travel_per_mm;   /* of reading: scale and cosine */
    double mark_pump_deg;   /* pump at the mark ... */
    double tdc_pump_deg;    /* ... and at true TDC */
    double target_pump_deg; /* of the cam as made */
} chain;

static dialarc_status check_inputs(const dialarc_whatif *w, const double *x)
{
    if (!darc_all_finite(DIALARC_WHATIF_COUNT, x))
        return DIALARC_ERR_NOT_FINITE;
    if (!darc_all_within(DIALARC_WHATIF_COUNT, x))
        return DIALARC_ERR_RANGE;
    if (!darc_positive(x[DIALARC_WHATIF_RATIO]))
        return DIALARC_ERR_RATIO;
    if (!(x[DIALARC_WHATIF_WEAR] < 1.0))
        return DIALARC_ERR_FRACTION;
    if (fabs(x[DIALARC_WHATIF_TILT]) > 89.0)
        return DIALARC_ERR_ANGLE;
    if (w->pump_teeth < 0 || (w->pump_teeth == 0 && x[DIALARC_WHATIF_TEETH] != 0.0))
        return DIALARC_ERR_TEETH;
    if (w->contact != DIALARC_CONTACT_FLAT && w->contact != DIALARC_CONTACT_POINT)
        return DIALARC_ERR_DIAL;
    return DIALARC_OK;
}

/* What can be followed, and is not what no engine has. */
static dialarc_status check_possible(const dialarc_whatif *w, const double *x)
{
    dialarc_status status = check_inputs(w, x);
    if (status != DIALARC_OK)
        return status;
    if (x[DIALARC_WHATIF_SLACK] < 0.0 || x[DIALARC_WHATIF_STRETCH] > 0.0)
        return DIALARC_ERR_SLACK;
    if (x[DIALARC_WHATIF_HYSTERESIS] < 0.0 || x[DIALARC_WHATIF_SCALE] <= -1.0)
        return DIALARC_ERR_DIAL;
    return x[DIALARC_WHATIF_WEAR] < 0.0 ? DIALARC_ERR_FRACTION : DIALARC_OK;
}

/* Crank degrees by which the pump at true TDC is behind where the dial was read. */
static double behind_crank_deg(const double *x)
{
    return x[DIALARC_WHATIF_TDC_MARK] + x[DIALARC_WHATIF_SLACK] -
           x[DIALARC_WHATIF_STRETCH];
}

static double tooth_pump_deg(const dialarc_whatif *w)
{
    return w->pump_teeth > 0 ? 360.0 / w->pump_teeth : 0.0;
}

static dialarc_status follow(const dialarc_whatif *w, const double *x, chain *c)
{
    dialarc_status status = check_inputs(w, x);
    if (status != DIALARC_OK)
        return status;
    double cosine = cos(x[DIALARC_WHATIF_TILT] / DARC_DEG_PER_RAD);
    c->cam = w->cam_now.lobes != 0 ? w->cam_now : w->cam;
    c->cam.lift_mm *= 1.0 - x[DIALARC_WHATIF_WEAR];
    c->travel_per_mm = (1.0 + x[DIALARC_WHATIF_SCALE]) *
                       (w->contact == DIALARC_CONTACT_FLAT ? cosine : 1.0 / cosine);
    double lift = x[DIALARC_WHATIF_READING] * c->travel_per_mm +
                  x[DIALARC_WHATIF_HYSTERESIS] + x[DIALARC_WHATIF_SHIFT];
    status =
        dialarc_cam_angle_at_lift(&c->cam, lift, DIALARC_FLANK_RISING, &c->mark_pump_deg);
    if (status != DIALARC_OK)
        return status;
    c->tdc_pump_deg = c->mark_pump_deg - behind_crank_deg(x) / x[DIALARC_WHATIF_RATIO] +
                      x[DIALARC_WHATIF_TEETH] * tooth_pump_deg(w);
    return dialarc_cam_angle_at_lift(&w->cam, w->target_lift_mm, DIALARC_FLANK_RISING,
                                     &c->target_pump_deg);
}

static dialarc_status outcome_of(const dialarc_whatif *w, const double *x,
                                 dialarc_outcome *outcome)
{
    chain c;
    double lift;
    dialarc_status status = follow(w, x, &c);
    if (status == DIALARC_OK)
        status = dialarc_cam_lift(&c.cam, c.tdc_pump_deg, &lift);
    if (status != DIALARC_OK)
        return status;
    outcome->lift_mm = lift;
    outcome->advance_crank_deg =
        (c.tdc_pump_deg - c.target_pump_deg) * x[DIALARC_WHATIF_RATIO];
    return DIALARC_OK;
}

static void centres_of(const dialarc_whatif *w, double *x)
{
    for (int i = 0; i < DIALARC_WHATIF_COUNT; i++)
        x[i] = w->input[i].centre;
}

dialarc_status dialarc_whatif_evaluate(const dialarc_whatif *whatif,
                                       dialarc_outcome *outcome)
{
    double x[DIALARC_WHATIF_COUNT];
    if (!whatif || !outcome)
        return DIALARC_ERR_NULL;
    centres_of(whatif, x);
    dialarc_status status = check_possible(whatif, x);
    return status == DIALARC_OK ? outcome_of(whatif, x, outcome) : status;
}

/* Pump degrees at true TDC per unit of each input; lift and rate are those at the mark.
 */
static void pump_slopes(const dialarc_whatif *w, const double *x, const chain *c,
                        double lift_at_mark, double rate, double *by)
{
    double reading = x[DIALARC_WHATIF_READING], ratio = x[DIALARC_WHATIF_RATIO];
    double bend = tan(x[DIALARC_WHATIF_TILT] / DARC_DEG_PER_RAD) / DARC_DEG_PER_RAD;
    if (w->contact == DIALARC_CONTACT_FLAT)
        bend = -bend;
    by[DIALARC_WHATIF_READING] = c->travel_per_mm / rate;
    by[DIALARC_WHATIF_SCALE] =
        reading * c->travel_per_mm / (1.0 + x[DIALARC_WHATIF_SCALE]) / rate;
    by[DIALARC_WHATIF_TILT] = reading * c->travel_per_mm * bend / rate;
    by[DIALARC_WHATIF_HYSTERESIS] = by[DIALARC_WHATIF_SHIFT] = 1.0 / rate;
    by[DIALARC_WHATIF_TDC_MARK] = by[DIALARC_WHATIF_SLACK] = -1.0 / ratio;
    by[DIALARC_WHATIF_STRETCH] = 1.0 / ratio;
    by[DIALARC_WHATIF_TEETH] = tooth_pump_deg(w);
    by[DIALARC_WHATIF_RATIO] = behind_crank_deg(x) / (ratio * ratio);
    by[DIALARC_WHATIF_WEAR] = lift_at_mark / (1.0 - x[DIALARC_WHATIF_WEAR]) / rate;
}

dialarc_status dialarc_whatif_sensitivity(const dialarc_whatif *whatif,
                                          dialarc_outcome *slope)
{
    double x[DIALARC_WHATIF_COUNT], by[DIALARC_WHATIF_COUNT], lift[2], rate[2];
    chain c;
    if (!whatif || !slope)
        return DIALARC_ERR_NULL;
    centres_of(whatif, x);
    dialarc_status status = check_possible(whatif, x);
    if (status == DIALARC_OK)
        status = follow(whatif, x, &c);
    if (status != DIALARC_OK)
        return status;
    const double place[] = {c.mark_pump_deg, c.tdc_pump_deg};
    for (int k = 0; k < 2; k++) { /* the cam was checked on the way */
        dialarc_cam_lift(&c.cam, place[k], &lift[k]);
        dialarc_cam_rate(&c.cam, place[k], &rate[k]);
    }
    if (!(rate[0] > 0.0))
        return DIALARC_ERR_NO_SOLUTION;
    pump_slopes(whatif, x, &c, lift[0], rate[0], by);
    for (int i = 0; i < DIALARC_WHATIF_COUNT; i++) {
        slope[i].lift_mm = rate[1] * by[i];
        slope[i].advance_crank_deg = x[DIALARC_WHATIF_RATIO] * by[i];
    }
    slope[DIALARC_WHATIF_RATIO].advance_crank_deg += c.tdc_pump_deg - c.target_pump_deg;
    slope[DIALARC_WHATIF_WEAR].lift_mm -= lift[1] / (1.0 - x[DIALARC_WHATIF_WEAR]);
    return DIALARC_OK;
}

static double lift_model(const double *x, void *context)
{
    dialarc_outcome outcome;
    return outcome_of(context, x, &outcome) == DIALARC_OK ? outcome.lift_mm
                                                          : DIALARC_UNKNOWN;
}

static double advance_model(const double *x, void *context)
{
    dialarc_outcome outcome;
    return outcome_of(context, x, &outcome) == DIALARC_OK ? outcome.advance_crank_deg
                                                          : DIALARC_UNKNOWN;
}

/* Standard uncertainties to first order. */
static dialarc_status first_order(const dialarc_whatif *w, dialarc_outcome *sd)
{
    dialarc_outcome slope[DIALARC_WHATIF_COUNT];
    double lift = 0.0, advance = 0.0, u;
    dialarc_status status = dialarc_whatif_sensitivity(w, slope);
    for (int i = 0; i < DIALARC_WHATIF_COUNT && status == DIALARC_OK; i++) {
        status = dialarc_input_sd(&w->input[i], &u);
        if (status != DIALARC_OK)
            return status;
        lift += pow(slope[i].lift_mm * u, 2.0);
        advance += pow(slope[i].advance_crank_deg * u, 2.0);
    }
    *sd = (dialarc_outcome){sqrt(lift), sqrt(advance)};
    return status;
}

dialarc_status dialarc_whatif_propagate(const dialarc_whatif *whatif, size_t trials,
                                        uint32_t seed, dialarc_whatif_result *result)
{
    dialarc_whatif_result r;
    if (!whatif || !result)
        return DIALARC_ERR_NULL;
    dialarc_whatif copy = *whatif; /* the models want it writable */
    dialarc_status status = dialarc_whatif_evaluate(whatif, &r.value);
    if (status == DIALARC_OK)
        status = first_order(whatif, &r.sd);
    if (status == DIALARC_OK)
        status =
            dialarc_propagate_monte_carlo(DIALARC_WHATIF_COUNT, copy.input, lift_model,
                                          &copy, trials, seed, 0.95, &r.lift_mm);
    if (status == DIALARC_OK)
        status = dialarc_propagate_monte_carlo(DIALARC_WHATIF_COUNT, copy.input,
                                               advance_model, &copy, trials, seed, 0.95,
                                               &r.advance_crank_deg);
    if (status == DIALARC_OK)
        *result = r;
    return status;
}
