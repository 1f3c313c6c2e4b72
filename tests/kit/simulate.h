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
#define SIM_LOBES 16
#define SIM_SHAPE 257

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
    double late_deg[SIM_LOBES]; /* pump degrees by which each lobe comes late */
    double extra_mm[SIM_LOBES]; /* total lift of each lobe beyond lift_mm */
    double run_out_mm;          /* once a pump turn, highest ... */
    double run_out_phase_deg;   /* ... this far after the foot of the first lobe */
    /* Flanks in place of the laws, or NULL: share of the lift at SIM_SHAPE even steps
     * from foot to top. */
    const double *rise_shape, *fall_shape;
    double wear_mm; /* worn off the middle of the rise, nothing at its ends */
} sim_cam;

/* What instruments, drives and hands do beside the model. 0 or NULL: they do not. */
typedef struct sim_faults {
    double stop_mm;       /* lift above which the dial stands at its stop */
    double scale;         /* of the dial: error in proportion to travel, share of it */
    double turn_error_mm; /* of the dial, once a turn of the needle, half its span ... */
    double turn_phase;    /* ... radians at zero lift */
    double
        wheel_error_deg; /* of the degree wheel, once a crank turn, half its span ... */
    double wheel_phase;  /* ... radians; the wheel is set to read 0 at marked TDC */
    double windup_deg;   /* crank degrees by which the drive is wound up where the
                            plunger rises at twice its mean rate; else in proportion */
    double slack_share;  /* by which the slack varies once a pump turn, either way */
    double slack_phase;
    double creep_mm; /* of the dial's zero, fast at first, at rest at the end */
    const double *overshoot_deg; /* one a reading: the crank goes so far beyond it and
                                    turns back */
    int one_stand; /* 1: readings in a row at one angle are taken without moving the
                      crank: one reading of the wheel serves them all */
} sim_faults;

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
    const double
        *path_deg; /* crank angles of the readings in place of the pass, or NULL */
    size_t path_n;
    double off_mm;   /* lift below which the dial has lost the plunger; 0: it never has */
    double drift_mm; /* of the dial's zero, evenly from the first reading to the last */
    double knock_mm; /* of the dial's zero, at once ... */
    double knock_share; /* ... after this share of the readings */
    sim_faults faults;
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

/* Share of the lift that a law has reached after the share u of its rise. */
double sim_law(int law, double blend, double u);

double sim_lift(const sim_cam *cam, double pump_deg);

/* Pump angle on the rise of the first lobe at which the lift is `lift_mm`. */
double sim_angle_of(const sim_cam *cam, double lift_mm);

/* Lift when the crank has come to an angle in running direction, slack taken up. */
double sim_lift_forward(const sim_job *job, double crank_deg);

/* True crank angles of the readings, and clean dial readings at such angles in order; the
 * way between them is followed in steps of `fine` degrees. */
size_t sim_angles(const sim_job *job, double *crank);
void sim_trace(const sim_job *job, size_t n, const double *crank, double fine,
               double *dial);

void sim_run(const sim_job *job, sim_random *r, sim_sweep *out);

/* Cramer-Rao bound of the lift at TDC, sd in mm, for known cam shape and unknown zero,
 * phase, total lift, slack and hysteresis; first order in the angle errors. With
 * `one_way` slack and hysteresis are left out of the unknowns. */
double sim_bound(const sim_job *job);

/* The same when the angles of rise, top dwell and base dwell are unknown as well, each to
 * a tenth of the lobe pitch. */
double sim_bound_segments(const sim_job *job);

/* The same for a whole turn: sds of the timing (crank degrees) and of the lift (mm) of
 * each lobe relative to the first, with timing and lift of every lobe and run-out among
 * the unknowns. Returns the sd of the run-out's component along the true phase, mm. */
double sim_lobe_bound(const sim_job *job, double *timing_deg, double *lift_mm);

#endif
