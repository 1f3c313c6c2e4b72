/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "long/calibrate_faults.h"

#include <math.h>
#include <string.h>

#include "kit/sweep_kit.h"

#define PI 3.14159265358979323846

/* The window is a few hundredths wide, about the lift or at most so far beside it. */
#define WINDOW_MM 0.04
#define BESIDE_MM 0.12

#define FORWARD_KNOWN  (KNOWN | ONE_WAY)
#define THERE_AND_BACK (KNOWN | LEARNED | TWO_WAY)
#define STATED_CAM     (KNOWN | ONE_WAY | TWO_WAY)
#define CAM_FROM_SWEEP (LEARNED | ONE_WAY | TWO_WAY)

const fault faults[] = {
    {.name = "nothing wrong"},
    {.name = "wheel on whole degrees", .whole_degrees = true},
    {.name = "lost below 0.05 mm", .off_mm = 0.05},
    {.name = "lost below 0.10 mm", .off_mm = 0.10},
    {.name = "lost below 0.20 mm", .off_mm = 0.20},
    {.name = "lost below 0.10 mm, 14", .off_mm = 0.10, .stands = 14},
    {.name = "lost below 0.20 mm, 14", .off_mm = 0.20, .stands = 14},
    {.name = "at its stop, 0.80 mm", .stop_mm = 0.80},
    {.name = "at its stop, 1.30 mm", .stop_mm = 1.30},
    {.name = "rows bottom to top", .slip = SIM_BOTTOM_TO_TOP},
    {.name = "with/against exchanged", .slip = SIM_EXCHANGED},
    {.name = "rows sorted by angle", .tried = THERE_AND_BACK, .slip = SIM_BY_ANGLE},
    {.name = "inches in dial_mm", .slip = SIM_INCHES},
    {.name = "centimetres in dial_mm", .slip = SIM_CENTIMETRES},
    {.name = "window in hundredths", .window_factor = 100},
    {.name = "its law, 8 readings", .tried = FORWARD_KNOWN, .stands = 8},
    {.name = "its law, 12 readings", .tried = FORWARD_KNOWN, .stands = 12},
    {.name = "its law, 20 readings", .tried = FORWARD_KNOWN, .stands = 20},
    {.name = "other law, 8 readings",
     .tried = FORWARD_KNOWN,
     .law = OTHER_LAW,
     .stands = 8},
    {.name = "other law, 12 readings",
     .tried = FORWARD_KNOWN,
     .law = OTHER_LAW,
     .stands = 12},
    {.name = "other law, 20 readings",
     .tried = FORWARD_KNOWN,
     .law = OTHER_LAW,
     .stands = 20},
    {.name = "other law, whole sweep", .tried = STATED_CAM, .law = OTHER_LAW},
    {.name = "nearest law, 10 readings",
     .term = CAM_FORM,
     .tried = FORWARD_KNOWN,
     .form = DRAWN,
     .law = NEAREST_LAW,
     .stands = 10},
    {.name = "nearest law, whole sweep",
     .term = CAM_FORM,
     .tried = STATED_CAM,
     .form = DRAWN,
     .law = NEAREST_LAW},
    {.name = "real shape, coarse",
     .least_use = 90,
     .tried = CAM_FROM_SWEEP,
     .form = DRAWN,
     .tool = COARSE},
    {.name = "real shape, fine",
     .least_use = 90,
     .tried = CAM_FROM_SWEEP,
     .form = DRAWN,
     .tool = FINE},
    {.name = "real shape, digital",
     .least_use = 85,
     .tried = CAM_FROM_SWEEP,
     .form = DRAWN,
     .tool = DIGITAL},
    {.name = "real shape, sd blank",
     .least_use = 85,
     .tried = CAM_FROM_SWEEP,
     .form = DRAWN,
     .tool = DIGITAL,
     .unstated = true},
    {.name = "measured cam, coarse",
     .least_use = 90,
     .tried = CAM_FROM_SWEEP,
     .form = MEASURED,
     .tool = COARSE},
    {.name = "measured cam, fine",
     .least_use = 90,
     .tried = CAM_FROM_SWEEP,
     .form = MEASURED,
     .tool = FINE},
    {.name = "measured cam, digital",
     .least_use = 85,
     .tried = CAM_FROM_SWEEP,
     .form = MEASURED,
     .tool = DIGITAL},
    {.name = "a law, fine", .tool = FINE},
    {.name = "a law, digital", .tool = DIGITAL},
    {.name = "scatter 2 x the stated", .dial_factor = 2, .wheel_factor = 2},
    {.name = "scatter 3 x the stated", .dial_factor = 3, .wheel_factor = 3},
    {.name = "wheel's 3 x the stated", .wheel_factor = 3},
    {.name = "dial askew by 10 degrees", .term = DIAL_ERROR, .askew_deg = 10},
    {.name = "dial askew by 15 degrees", .term = DIAL_ERROR, .askew_deg = 15},
    {.name = "dial's scale 0.5 % off", .term = DIAL_ERROR, .scale = 0.005},
    {.name = "dial's scale 1 % off", .term = DIAL_ERROR, .scale = 0.01},
    {.name = "once a dial turn, 5 um", .term = DIAL_ERROR, .turn_error_mm = 0.005},
    {.name = "once a dial turn, 10 um", .term = DIAL_ERROR, .turn_error_mm = 0.010},
    {.name = "wheel eccentric, 0.3 deg", .term = WHEEL_ERROR, .wheel_deg = 0.3},
    {.name = "wheel eccentric, 0.5 deg", .term = WHEEL_ERROR, .wheel_deg = 0.5},
    {.name = "belt wound up by 0.5 deg", .windup_deg = 0.5},
    {.name = "belt wound up by 1 deg", .windup_deg = 1.0},
    {.name = "flank worn by 20 um", .term = CAM_FORM, .wear_mm = 0.02},
    {.name = "stated rise 1 deg off",
     .term = RISE_LENGTH,
     .tried = STATED_CAM,
     .rise_off_deg = 1},
    {.name = "stated rise 3 deg off",
     .term = RISE_LENGTH,
     .tried = STATED_CAM,
     .rise_off_deg = 3},
    {.name = "hysteresis 10 um, not 4", .term = DIAL_HYSTERESIS, .hysteresis_mm = 0.010},
    {.name = "hysteresis 20 um, not 4", .term = DIAL_HYSTERESIS, .hysteresis_mm = 0.020},
    {.name = "3 readings at each stand", .readings = 3},
    {.name = "rows pasted twice", .slip = SIM_PASTED_TWICE},
    {.name = "way back copied", .tried = THERE_AND_BACK, .slip = SIM_BACK_COPIED},
    {.name = "zero creeps by 20 um", .creep_mm = 0.02},
    {.name = "zero drifts by 10 um", .drift_mm = 0.01},
    {.name = "1 in 4 turned back to", .overshot_share = 0.25},
    {.name = "slack varies by 1/4", .slack_share = 0.25},
    {.name = "late start, its law", .tried = STATED_CAM, .late_deg = 6},
    {.name = "late start, other law",
     .tried = STATED_CAM,
     .late_deg = 6,
     .law = OTHER_LAW},
    {.name = "7 stands there and back", .tried = LEARNED | TWO_WAY, .stands = 7},
    {.name = "13 stands there and back", .tried = LEARNED | TWO_WAY, .stands = 13},
};
const int faults_n = (int)(sizeof faults / sizeof faults[0]);

static double either_sign(sim_random *r, double size)
{
    return sim_integer(r, 0, 1) ? size : -size;
}

/* --- the job ----------------------------------------------------------------------- */

static void draw_form(cam_form form, const measured_cam *measured, sim_random *r,
                      trial *t)
{
    sim_cam *cam = &t->job.cam;
    double lift = sim_lift(cam, -t->job.foot_crank_deg / t->job.crank_per_pump);
    if (form == A_LAW)
        return;
    if (form == MEASURED) {
        t->rise = measured->rise;
        t->fall = measured->fall;
    } else {
        t->rise = sim_draw_shape(r, 0.01, 0.02);
        t->fall = sim_draw_shape(r, 0.01, 0.02);
    }
    cam->rise_shape = t->rise.lift;
    cam->fall_shape = t->fall.lift;
    t->job.foot_crank_deg = -t->job.crank_per_pump * sim_angle_of(cam, lift);
}

static void draw_tool(tool_kind tool, sim_random *r, sim_job *j)
{
    static const struct {
        double step_mm, dial_mm, angle_deg, hysteresis_mm;
    } kind[] = {[COARSE] = {0.01, 0.003, 0.25, 0.004},
                [FINE] = {0.001, 0.0005, 0.05, 0.002},
                [DIGITAL] = {0.0005, 0.0003, 0.02, 0.001}};
    if (tool == ANY_TOOL)
        return;
    j->dial_step_mm = kind[tool].step_mm;
    j->dial_sd_mm = kind[tool].dial_mm;
    j->angle_sd_deg = kind[tool].angle_deg;
    j->hysteresis_mm = sim_uniform(r, 0.0, kind[tool].hysteresis_mm);
}

static void draw_faults(const fault *f, sim_random *r, sim_job *j)
{
    double tilt = cos(f->askew_deg * PI / 180);
    j->off_mm = f->off_mm;
    j->drift_mm = either_sign(r, f->drift_mm);
    j->cam.wear_mm = f->wear_mm;
    if (f->hysteresis_mm > 0)
        j->hysteresis_mm = f->hysteresis_mm;
    j->faults = (sim_faults){.stop_mm = f->stop_mm,
                             .scale = sim_integer(r, 0, 1) ? 1 / tilt - 1 : tilt - 1,
                             .turn_error_mm = f->turn_error_mm,
                             .wheel_error_deg = f->wheel_deg,
                             .windup_deg = f->windup_deg,
                             .slack_share = f->slack_share,
                             .one_stand = f->readings > 0};
    j->faults.scale += either_sign(r, f->scale);
    j->faults.creep_mm = either_sign(r, f->creep_mm);
    j->faults.turn_phase = sim_uniform(r, 0, 2 * PI);
    j->faults.wheel_phase = sim_uniform(r, 0, 2 * PI);
    j->faults.slack_phase = sim_uniform(r, 0, 2 * PI);
}

/* Over a lobe, or from the base dwell to about the top; forward only, that shows a cam to
 * be learned no minimum. */
static void draw_whole(const family *of, sim_random *r, sim_job *j)
{
    int lobe = sim_integer(r, 0, 1) || (of->learned && !of->two_way);
    double pitch = j->crank_per_pump * 360.0 / j->cam.lobes;
    double rise = j->crank_per_pump * j->cam.rise_deg;
    if (lobe) {
        j->start_deg = j->foot_crank_deg - pitch * sim_uniform(r, 0.2, 0.4);
        j->end_deg = j->start_deg + pitch * sim_uniform(r, 0.85, 1.1);
    } else {
        j->start_deg = j->foot_crank_deg - pitch * sim_uniform(r, 0.06, 0.15);
        j->end_deg = j->foot_crank_deg + rise * sim_uniform(r, 0.85, 1.1);
    }
}

static void draw_span(const family *of, sim_random *r, sim_job *j)
{
    const fault *f = of->fault;
    j->two_way = of->two_way;
    draw_whole(of, r, j);
    if (f->late_deg > 0)
        j->start_deg = j->foot_crank_deg + f->late_deg;
    if (f->stands == 0)
        return;
    j->start_deg = j->foot_crank_deg -
                   j->crank_per_pump * j->cam.base_deg * sim_uniform(r, 0.3, 0.9);
    double end = sim_uniform(r, 5.0, 12.0);
    j->step_deg = (end - j->start_deg) / (f->stands - 1);
    j->end_deg = end + 0.01;
}

/* The stands one by one, each so often as it is read, some approached from beyond. */
static void draw_path(const fault *f, sim_random *r, trial *t)
{
    double stand[SIM_MAX];
    size_t n = sim_angles(&t->job, stand),
           each = f->readings > 0 ? (size_t)f->readings : 1;
    for (size_t i = 0; i < n * each; i++) {
        bool beyond = i % each == 0 && sim_uniform(r, 0, 1) < f->overshot_share;
        t->path_deg[i] = stand[i / each];
        if (f->whole_degrees) /* the pointer on a mark, the crank near it */
            t->path_deg[i] = round(stand[i / each]) + t->job.tdc_error_deg +
                             t->job.angle_sd_deg * sim_normal(r);
        t->overshoot_deg[i] = beyond ? sim_uniform(r, 0.5, 3.0) : 0;
    }
    t->job.path_deg = t->path_deg;
    t->job.path_n = n * each;
    t->job.faults.overshoot_deg = t->overshoot_deg;
}

/* --- what is stated of it ---------------------------------------------------------- */

static void state_cam(const fault *f, sim_random *r, const trial *t, dialarc_setup *s)
{
    const sim_cam *cam = &t->job.cam;
    s->rise_deg += either_sign(r, f->rise_off_deg);
    if (f->law == OTHER_LAW)
        s->cam_law = (dialarc_law)(1 + (cam->rise_law + sim_integer(r, 1, SIM_LAWS - 1)) %
                                           SIM_LAWS);
    if (f->law != NEAREST_LAW)
        return;
    sim_nearest rise = sim_nearest_law(&t->rise), fall = sim_nearest_law(&t->fall);
    double fall_deg = 360.0 / cam->lobes - cam->rise_deg - cam->top_deg - cam->base_deg;
    s->cam_law = (dialarc_law)(1 + rise.law);
    s->rise_deg = rise.length * cam->rise_deg;
    s->base_dwell_deg =
        fmax(0, cam->base_deg + rise.begin * cam->rise_deg + fall.begin * fall_deg);
    s->top_dwell_deg =
        fmax(0, cam->top_deg + (1 - rise.begin - rise.length) * cam->rise_deg +
                    (1 - fall.begin - fall.length) * fall_deg);
}

/* The size of the fault, as a certificate or a drawing would give it. */
static void state_term(const fault *f, const sim_job *j, dialarc_setup *s)
{
    switch (f->term) {
    case DIAL_ERROR: /* over the travel used */
        s->dial_error_mm = fabs(j->faults.scale) * j->cam.lift_mm + f->turn_error_mm;
        break;
    case DIAL_HYSTERESIS:
        s->dial_hysteresis_mm = f->hysteresis_mm;
        break;
    case WHEEL_ERROR:
        s->wheel_error_deg = f->wheel_deg;
        break;
    case CAM_FORM: /* an sd: half of what is worn off, half of a gap of 1 to 2 % */
        s->cam_sd_mm = f->wear_mm > 0 ? f->wear_mm / 2 : 0.0075 * j->cam.lift_mm;
        break;
    case RISE_LENGTH:
        s->rise_sd_deg = f->rise_off_deg;
        break;
    case NO_TERM:
        break;
    }
}

static double over(double sd, double factor)
{
    return factor > 0 ? sd / factor : sd;
}

static void state(const family *of, sim_random *r, trial *t)
{
    const fault *f = of->fault;
    dialarc_setup *s = &t->setup;
    *s = kit_setup(&t->job, !of->learned);
    s->dial_error_mm = s->wheel_error_deg = DIALARC_UNKNOWN; /* as most setups are */
    s->cam_sd_mm = s->rise_sd_deg = DIALARC_UNKNOWN;
    s->dial_sd_mm = over(s->dial_sd_mm, f->dial_factor);
    s->angle_sd_deg = over(s->angle_sd_deg, f->wheel_factor);
    if (f->tool == FINE || f->tool == DIGITAL)
        s->dial_hysteresis_mm = f->tool == FINE ? 0.002 : 0.001;
    if (f->unstated)
        s->dial_sd_mm = s->angle_sd_deg = s->dial_step_mm = DIALARC_UNKNOWN;
    if (f->slip == SIM_INCHES || f->slip == SIM_CENTIMETRES)
        s->dial_sd_mm = s->dial_step_mm = s->dial_turn_mm = DIALARC_UNKNOWN;
    if (!of->learned)
        state_cam(f, r, t, s);
    if (of->stated)
        state_term(f, &t->job, s);
}

void draw_trial(const family *of, const measured_cam *measured, sim_random *r, trial *t)
{
    const fault *f = of->fault;
    t->job = kit_job(r);
    draw_form(f->form, measured, r, t);
    draw_tool(f->tool, r, &t->job);
    draw_span(of, r, &t->job);
    double tdc_sd = sim_uniform(r, 0.02, 0.1);
    t->job.tdc_error_deg = tdc_sd * sim_normal(r);
    draw_faults(f, r, &t->job);
    draw_path(f, r, t);
    state(of, r, t);
    t->setup.tdc_sd_deg = tdc_sd;
    if (f->whole_degrees)
        t->job.angle_sd_deg = 0;
    sim_run(&t->job, r, &t->sweep);
    for (size_t i = 0; i < t->sweep.n && f->whole_degrees; i++)
        t->sweep.crank_deg[i] = round(t->sweep.crank_deg[i]);
    size_t forward = t->sweep.n;
    if (of->two_way)
        forward = (t->sweep.n + 1) / 2;
    sim_write(&t->sweep, forward, f->slip, &t->sheet);
    t->lift_mm = t->sweep.lift_tdc_mm;
    t->low_mm = t->lift_mm + sim_uniform(r, -BESIDE_MM, BESIDE_MM) - WINDOW_MM / 2;
    t->high_mm = t->low_mm + WINDOW_MM;
    double factor = f->window_factor > 0 ? f->window_factor : 1;
    t->setup.lift_low_mm = factor * t->low_mm;
    t->setup.lift_high_mm = factor * t->high_mm;
}
