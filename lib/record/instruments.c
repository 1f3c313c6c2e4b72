/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/instruments.h"

#include <math.h>

#include "core/angle.h"

/* sds of the amplitudes as shares of what is stated (JCGM 100:2008 4.3). The largest
 * error of a dial on its way says nothing of its kind. In proportion to the travel it is
 * met at the end of the way; once a turn, A (sin(x + p) - sin p) with any p, it is
 * A (1 + |sin p|), and each of the two amplitudes has half the mean square of A, 0.424 of
 * the square of the error. Two in three are thought to be of the first kind, to which a
 * stem that is not square belongs. An eccentric wheel errs by what is stated, at any
 * phase. */
#define TRAVEL_PART 0.816 /* root of 2/3 */
#define NEEDLE_PART 0.266 /* root of 0.424 / 2 / 3 */
#define WHEEL_PART  0.707 /* root of 1/2 */

#define LEAST_TRAVEL_MM 0.1 /* over which a dial may reach its largest error */

/* What a calibration leaves is unknown from point to point: half of it comes with the
 * needle, and all of it is there after a turn, where that half has come back to nothing.
 */
#define LEFT_NEEDLE_PART 0.5

darc_instruments darc_instruments_of(const darc_noise *noise, double travel_mm)
{
    double error = noise->dial_error_mm, left = noise->dial_u_mm,
           way = fmax(travel_mm, LEAST_TRAVEL_MM);
    return (darc_instruments){
        .travel_sd = hypot(hypot(TRAVEL_PART * error / way, noise->dial_askew_sd),
                           left / noise->turn_mm),
        .needle_sd_mm = hypot(NEEDLE_PART * error, LEFT_NEEDLE_PART * left),
        .wheel_sd_deg = WHEEL_PART * noise->wheel_error_deg,
    };
}

double darc_dial_error_sd(const darc_noise *noise, double travel_mm, double lift_mm)
{
    darc_instruments sd = darc_instruments_of(noise, travel_mm);
    double chord = 2.0 * sin(DARC_PI * lift_mm / noise->turn_mm);
    return hypot(sd.travel_sd * lift_mm, sd.needle_sd_mm * chord);
}

double darc_dial_error_of(double sd_mm)
{
    return sd_mm / TRAVEL_PART;
}
