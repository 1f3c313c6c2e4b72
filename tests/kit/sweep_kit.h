/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What the tests of the estimator share: random jobs for the simulator, and the setups
 * and sweeps that go with them.
 */
#ifndef SWEEP_KIT_H
#define SWEEP_KIT_H

#include <dialarc/setup.h>
#include <dialarc/sweep.h>

#include "kit/simulate.h"

/*
 * A two-way sweep over about a lobe pitch, 3 to 6 lobes, any law, dwells at both ends,
 * 0.8 to 1.1 mm at TDC: steps 1..3 degrees, angle sd 0.1..0.3 degrees, dial sd 0.002..
 * 0.004 mm, graduation 0.002, 0.005 or 0.01 mm, slack 0.5..12 degrees, hysteresis
 * 0..0.004 mm, no misread dials, no error of the TDC mark.
 */
sim_job kit_job(sim_random *random);

/* Ten readings in running direction, from the base dwell to just after TDC. */
void kit_few(sim_job *job, sim_random *random);

/* What a mechanic can know of the job: its cam when `known`, and its errors. */
dialarc_setup kit_setup(const sim_job *job, int known);

/* The readings as the library takes them; they stay in `s`. */
dialarc_sweep kit_sweep(const sim_sweep *s);

/* `full`, or a tenth of it when DIALARC_TEST_LIGHT is set: sanitizers and valgrind. */
int kit_count(int full);

/* Whether a light run leaves out the k-th of a series: it looks at one in five. */
int kit_skips(int k);

#endif
