/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "kit/simulate.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PI 3.14159265358979323846

/* --- random numbers: splitmix64 and the polar method ------------------------------- */

static uint64_t mixed(uint64_t z)
{
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
}

/* The seed is mixed first: streams of neighbouring seeds would else be one stream,
 * shifted. */
void sim_seed(sim_random *r, uint64_t seed)
{
    r->state = mixed(mixed(seed + 0x1234567u) ^ 0x5851F42D4C957F2Du);
    r->has_spare = 0;
}

static uint64_t next(sim_random *r)
{
    return mixed(r->state += 0x9E3779B97F4A7C15u);
}

double sim_uniform(sim_random *r, double low, double high)
{
    return low + (high - low) * ((double)(next(r) >> 11) + 0.5) * 0x1p-53;
}

int sim_integer(sim_random *r, int low, int high)
{
    return low + (int)(next(r) % (uint64_t)(high - low + 1));
}

double sim_normal(sim_random *r)
{
    if (r->has_spare) {
        r->has_spare = 0;
        return r->spare;
    }
    double x, y, q;
    do {
        x = sim_uniform(r, -1.0, 1.0);
        y = sim_uniform(r, -1.0, 1.0);
        q = x * x + y * y;
    } while (q >= 1.0 || q == 0.0);
    double f = sqrt(-2.0 * log(q) / q);
    r->spare = y * f;
    r->has_spare = 1;
    return x * f;
}

/* --- the cam ----------------------------------------------------------------------- */

/* Integral form of the sine-constant-cosine family: acceleration pieces summed. */
static double scca(double u, double b, double c, double d)
{
    /* Acceleration over 0..1/2: sine quarter of width b/2, flat c/2, cosine quarter d/2;
     * integrated twice piece by piece with unit peak, then scaled to 1/2 at u = 1/2. */
    double edge[4] = {0.0, b / 2, b / 2 + c / 2, 0.5};
    double v = 0.0, s = 0.0, v_half = 0.0, s_half = 0.0, s_u = 0.0;
    int have = 0;
    for (int k = 0; k < 3; k++) {
        double w = edge[k + 1] - edge[k];
        for (int pass = 0; pass < 2; pass++) {
            double x = pass ? w : u - edge[k];
            if (!pass && (have || x > w || x < 0.0))
                continue;
            double dv = 0.0, ds = 0.0;
            if (k == 0 && b > 0) {
                double q = PI / b;
                dv = (1 - cos(q * x)) / q;
                ds = x / q - sin(q * x) / (q * q);
            } else if (k == 1) {
                dv = x;
                ds = x * x / 2;
            } else if (k == 2 && d > 0) {
                double q = PI / d;
                dv = sin(q * x) / q;
                ds = (1 - cos(q * x)) / (q * q);
            }
            if (!pass) {
                s_u = s + v * x + ds;
                have = 1;
            } else {
                s += v * x + ds;
                v += dv;
            }
        }
    }
    v_half = v;
    s_half = s;
    (void)v_half;
    return have ? 0.5 * s_u / s_half : 0.5;
}

double sim_law(int law, double blend, double u)
{
    if (u <= 0.0)
        return 0.0;
    if (u >= 1.0)
        return 1.0;
    if (u > 0.5)
        return 1.0 - sim_law(law, blend, 1.0 - u);
    double q = sin(PI * u / 2);
    switch (law) {
    case 0:
        return q * q;
    case 1:
        return scca(u, 0.5, 0.0, 0.5);
    case 2:
        return pow(u, 3) * 10 - pow(u, 4) * 15 + pow(u, 5) * 6;
    case 3:
        return 35 * pow(u, 4) - 84 * pow(u, 5) + 70 * pow(u, 6) - 20 * pow(u, 7);
    case 4:
        return scca(u, 0.25, 0.0, 0.75);
    case 5:
        return scca(u, 0.25, 0.5, 0.25);
    default:
        return u < blend ? u * u / (2 * blend * (1 - blend))
                         : (u - blend / 2) / (1 - blend);
    }
}

static double drawn(const double *shape, double u)
{
    double at = fmin(fmax(u, 0), 1) * (SIM_SHAPE - 1);
    int k = at < SIM_SHAPE - 1 ? (int)at : SIM_SHAPE - 2;
    return shape[k] + (at - k) * (shape[k + 1] - shape[k]);
}

static double flank(const sim_cam *cam, double total_mm, int law, const double *shape,
                    double u)
{
    double s = shape ? drawn(shape, u) : (1 - cam->mix) * sim_law(law, cam->blend, u);
    if (cam->mix > 0)
        s += cam->mix * sim_law(cam->second_law, cam->blend, u);
    s *= total_mm;
    if (u > 0 && u < 1)
        for (int k = 0; k < SIM_WAVES; k++)
            if (cam->wave_mm[k] != 0)
                s += cam->wave_mm[k] * pow(sin(PI * u), 2) *
                     sin(2 * PI * cam->wave_cycles[k] * u + cam->wave_phase[k]);
    return s;
}

/* One lobe, x from its foot, without run-out. */
static double lobe_lift(const sim_cam *cam, double total_mm, double x)
{
    double pitch = 360.0 / cam->lobes;
    double fall = pitch - cam->rise_deg - cam->top_deg - cam->base_deg;
    if (x <= cam->rise_deg) {
        double u = x / cam->rise_deg;
        double worn = x > 0 ? cam->wear_mm * pow(sin(PI * u), 2) : 0;
        return flank(cam, total_mm, cam->rise_law, cam->rise_shape, u) - worn;
    }
    x -= cam->rise_deg + cam->top_deg;
    if (x <= 0)
        return total_mm;
    if (x < fall)
        return flank(cam, total_mm, cam->fall_law, cam->fall_shape, 1 - x / fall);
    return 0.0;
}

double sim_lift(const sim_cam *cam, double pump_deg)
{
    double pitch = 360.0 / cam->lobes, half_base = cam->base_deg / 2;
    double x = fmod(pump_deg, 360.0);
    if (x < -half_base)
        x += 360.0;
    if (x >= 360.0 - half_base)
        x -= 360.0;
    int k = (int)floor((x + half_base) / pitch);
    if (k < 0 || k >= cam->lobes) /* rounding at the middle of a dwell */
        k = k < 0 ? 0 : cam->lobes - 1;
    double s =
        lobe_lift(cam, cam->lift_mm + cam->extra_mm[k], x - k * pitch - cam->late_deg[k]);
    if (cam->run_out_mm != 0)
        s += cam->run_out_mm * cos((x - cam->run_out_phase_deg) * PI / 180);
    return s;
}

double sim_angle_of(const sim_cam *cam, double lift_mm)
{
    double low = 0.0, high = cam->rise_deg;
    for (int k = 0; k < 60; k++) {
        double middle = 0.5 * (low + high);
        if (sim_lift(cam, middle) < lift_mm)
            low = middle;
        else
            high = middle;
    }
    return low;
}

/* --- the path ---------------------------------------------------------------------- */

typedef struct chain {
    const sim_job *job;
    double crank, pump, plunger, dial; /* pump in crank degrees */
} chain;

/* Crank degrees by which the plunger's resistance holds the pump back. */
static double wound_deg(const sim_job *j, double pump)
{
    double e = 0.05, at = (pump - j->foot_crank_deg) / j->crank_per_pump;
    double rate = (sim_lift(&j->cam, at + e) - sim_lift(&j->cam, at - e)) / (2 * e);
    return j->faults.windup_deg * rate * j->cam.rise_deg / (2 * j->cam.lift_mm);
}

/* Where the pump stands when the drive pushes it from `drive`, in crank degrees. */
static double pushed(const sim_job *j, double drive)
{
    double pump = drive;
    for (int k = 0; k < 6 && j->faults.windup_deg != 0; k++)
        pump = drive - wound_deg(j, pump);
    return pump;
}

static double slack_at(const sim_job *j, double crank)
{
    double turn = 2 * PI * crank / (360 * j->crank_per_pump);
    return j->slack_deg * (1 + j->faults.slack_share * sin(turn + j->faults.slack_phase));
}

static void nudge(chain *c, double crank)
{
    const sim_job *j = c->job;
    c->crank = crank;
    double least = pushed(j, crank), most = pushed(j, crank + slack_at(j, crank));
    if (c->pump < least)
        c->pump = least;
    if (c->pump > most)
        c->pump = most;
    c->plunger = sim_lift(&j->cam, (c->pump - j->foot_crank_deg) / j->crank_per_pump);
    if (c->dial < c->plunger - j->hysteresis_mm / 2)
        c->dial = c->plunger - j->hysteresis_mm / 2;
    if (c->dial > c->plunger + j->hysteresis_mm / 2)
        c->dial = c->plunger + j->hysteresis_mm / 2;
}

static void move(chain *c, double crank, double fine)
{
    double from = c->crank;
    int k, n = (int)ceil(fabs(crank - from) / fine);
    for (k = 1; k <= n; k++)
        nudge(c, from + (crank - from) * k / n);
}

double sim_lift_forward(const sim_job *j, double crank_deg)
{
    return sim_lift(&j->cam,
                    (pushed(j, crank_deg) - j->foot_crank_deg) / j->crank_per_pump);
}

size_t sim_angles(const sim_job *job, double *crank)
{
    size_t n = 0;
    for (; job->path_deg && n < job->path_n && n < SIM_MAX; n++)
        crank[n] = job->path_deg[n];
    if (job->path_deg)
        return n;
    int m = (int)floor((job->end_deg - job->start_deg) / job->step_deg + 1e-9);
    for (int k = 0; k <= m && n < SIM_MAX; k++)
        crank[n++] = job->start_deg + k * job->step_deg;
    for (int k = m - 1; job->two_way && k >= 0 && n < SIM_MAX; k--)
        crank[n++] = job->start_deg + k * job->step_deg;
    return n;
}

/* What the dial makes of the way of its stem, zero apart. */
static double shown(const sim_job *j, double stem)
{
    const sim_faults *f = &j->faults;
    if (stem <= j->off_mm && j->off_mm != 0)
        stem = j->off_mm;
    if (stem > f->stop_mm && f->stop_mm != 0)
        stem = f->stop_mm;
    if (f->turn_error_mm != 0)
        stem += f->turn_error_mm * sin(2 * PI * stem / j->dial_turn_mm + f->turn_phase);
    return stem * (1 + f->scale);
}

/* Clean dial readings for true crank angles, in order. */
void sim_trace(const sim_job *job, size_t n, const double *crank, double fine,
               double *dial)
{
    chain c = {job, crank[0] - 40.0 - 2 * job->slack_deg, 0, 0, 0};
    c.pump = c.crank;
    nudge(&c, c.crank);
    if (job->start_in_slack) { /* come from above, leaving part of the slack open */
        move(&c, crank[0] + job->slack_deg * job->start_share, fine);
        move(&c, crank[0], fine);
    }
    for (size_t i = 0; i < n; i++) {
        double beyond = job->faults.overshoot_deg ? job->faults.overshoot_deg[i] : 0;
        if (beyond != 0)
            move(&c, crank[i] + (crank[i] < c.crank ? -beyond : beyond), fine);
        move(&c, crank[i], fine);
        dial[i] = job->zero_mm + shown(job, c.dial);
    }
}

/* What the dial's zero has moved by before reading i of n. */
static double wandered(const sim_job *job, size_t i, size_t n)
{
    double share = n > 1 ? (double)i / (double)(n - 1) : 0.0;
    double crept = job->faults.creep_mm * (1 - exp(-5 * share));
    return crept + job->drift_mm * share +
           (share > job->knock_share ? job->knock_mm : 0.0);
}

static double misread(const sim_job *job, sim_random *r)
{
    /* one graduation, a tenth of a turn, or a whole turn, either way */
    double sign = sim_uniform(r, 0, 1) < 0.5 ? -1 : 1;
    double step = job->dial_step_mm > 0 ? job->dial_step_mm : 0.01;
    switch (sim_integer(r, 0, 2)) {
    case 0:
        return sign * step;
    case 1:
        return sign * job->dial_turn_mm / 10;
    default:
        return sign * job->dial_turn_mm;
    }
}

static double wheel_error(const sim_job *job, double crank_deg)
{
    const sim_faults *f = &job->faults;
    return f->wheel_error_deg *
           (sin(crank_deg * PI / 180 + f->wheel_phase) - sin(f->wheel_phase));
}

void sim_run(const sim_job *job, sim_random *r, sim_sweep *out)
{
    double crank[SIM_MAX], angle_error = 0;
    out->n = sim_angles(job, crank);
    sim_trace(job, out->n, crank, 0.2, out->dial_mm);
    for (size_t i = 0; i < out->n; i++) {
        if (i == 0 || !job->faults.one_stand || crank[i] != crank[i - 1])
            angle_error = job->angle_sd_deg * sim_normal(r);
        double marked = crank[i] - job->tdc_error_deg;
        out->crank_deg[i] = marked + wheel_error(job, marked) + angle_error;
        double d =
            out->dial_mm[i] + wandered(job, i, out->n) + job->dial_sd_mm * sim_normal(r);
        if (job->dial_step_mm > 0)
            d = job->dial_step_mm * floor(d / job->dial_step_mm + 0.5);
        out->misread[i] = sim_uniform(r, 0, 1) < job->misread_share;
        if (out->misread[i])
            d += misread(job, r);
        out->dial_mm[i] = d;
    }
    double theta = -job->foot_crank_deg / job->crank_per_pump, e = 1e-3;
    out->lift_tdc_mm = sim_lift_forward(job, 0);
    out->rate_tdc = (sim_lift(&job->cam, theta + e) - sim_lift(&job->cam, theta - e)) /
                    (2 * e * job->crank_per_pump);
}
