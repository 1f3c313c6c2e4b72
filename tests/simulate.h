/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Simulator of a pump, its drive and a dial: the known truth against which the estimator
 * is judged. It shares no code with the library: cam laws, play and noise are written
 * anew here, in other forms.
 */
#ifndef SIMULATE_H
#define SIMULATE_H

#include <stddef.h>
#include <stdint.h>

#define SIM_MAX   4000
#define SIM_LAWS  7
#define SIM_WAVES 4

typedef struct sim_random {
    uint64_t state;
    int has_spare;
    double spare;
} sim_random;

/* The true cam. Law numbers follow the order of the setups table: harmonic 0, cycloidal
 * 1, poly345 2, poly4567 3, modified_sine 4, modified_trapezoid 5, constant_rate 6. */
typedef struct sim_cam {
    int lobes;
    double lift_mm, rise_deg, top_deg, base_deg;
    int rise_law, fall_law;
    int second_law;            /* mixed into both flanks ... */
    double mix;                /* ... with this share */
    double blend;              /* constant_rate blend fraction */
    double wave_mm[SIM_WAVES]; /* waviness of the rise and fall, whole-flank harmonics */
    double wave_cycles[SIM_WAVES];
    double wave_phase[SIM_WAVES];
} sim_cam;

typedef struct sim_job {
    sim_cam cam;
    double crank_per_pump;
    double foot_crank_deg; /* crank angle of the foot of the rise */
    double slack_deg, hysteresis_mm, zero_mm;
    double start_deg, end_deg, step_deg; /* crank, forward pass */
    int two_way;
    int start_in_slack; /* 1: first reading taken before the slack is taken up */
    double start_share; /* share of the slack still open then */
    double angle_sd_deg, dial_sd_mm, dial_step_mm;
    double tdc_error_deg; /* marked TDC minus true TDC */
    double misread_share;
    double dial_turn_mm;
} sim_job;

typedef struct sim_sweep {
    size_t n;
    double crank_deg[SIM_MAX]; /* as recorded */
    double dial_mm[SIM_MAX];
    int misread[SIM_MAX];
    double lift_tdc_mm; /* truth */
    double rate_tdc;    /* mm per crank degree */
} sim_sweep;

void sim_seed(sim_random *r, uint64_t seed);
double sim_uniform(sim_random *r, double low, double high);
double sim_normal(sim_random *r);
int sim_integer(sim_random *r, int low, int high);

double sim_lift(const sim_cam *cam, double pump_deg);
void sim_run(const sim_job *job, sim_random *r, sim_sweep *out);

/* Cramer-Rao bound of the lift at TDC, sd in mm, for known cam shape and unknown zero,
 * phase, total lift, slack and hysteresis; first order in the angle errors. With
 * `one_way` slack and hysteresis are left out of the unknowns. */
double sim_bound(const sim_job *job);

#endif
