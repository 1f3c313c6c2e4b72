/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/problem.h"

#include <math.h>

#include "record/sweep.h"

/* Where the curve of a table stands this share of its span from its ends, its flanks
 * begin and end; it decides no more than in which dwell the dial turns. */
#define DWELL_SHARE 0.002

#define PERIOD_SLIP_DEG 1e-6 /* rounding of the lobe pitch, times the lobes */

/* Total lift of pumps of this kind, 2.0 to 2.8 mm as a rule, and room for others: common
 * practice, no source. A total lift that is stated with a shape is nominal; sd as a share
 * of it. */
#define LIFT_MEAN_MM    2.4
#define LIFT_SD_MM      1.0
#define NOMINAL_LIFT_SD 0.05

#define LEAST_GRADED 8 /* readings that show a graduation, or that there is none */

/* Coarsest of the usual graduations that all readings lie on; 0 when none. */
static double graduation(size_t n, const double *dial_mm)
{
    static const double usual[] = {0.0254, 0.0127, 0.01, 0.005, 0.00254, 0.002, 0.001};
    for (size_t k = 0; k < sizeof usual / sizeof usual[0]; k++) {
        size_t on = 0;
        while (on < n &&
               fabs(dial_mm[on] / usual[k] - round(dial_mm[on] / usual[k])) < 1e-3)
            on++;
        if (on == n)
            return usual[k];
    }
    return 0.0;
}

/* Reads from a table of one lobe of such a pump where its flanks begin and end. */
static dialarc_status read_table(const dialarc_camtable *table, int lobes,
                                 darc_given_cam *cam)
{
    double period, low, high, foot = 0.0, top = 0.0, leave = 0.0, rest = 0.0;
    dialarc_camtable_range(table, &period, &low, &high);
    if (fabs(period * lobes - 360.0) > PERIOD_SLIP_DEG)
        return DIALARC_ERR_SEGMENTS;
    if (!(high > low))
        return DIALARC_ERR_LIFT;
    double small = DWELL_SHARE * (high - low);
    dialarc_camtable_angle_at_lift(table, low + small, DIALARC_FLANK_RISING, 0.0, &foot);
    dialarc_camtable_angle_at_lift(table, high - small, DIALARC_FLANK_RISING,
                                   foot + 0.4 * period, &top);
    dialarc_camtable_angle_at_lift(table, high - small, DIALARC_FLANK_FALLING, top,
                                   &leave);
    dialarc_camtable_angle_at_lift(table, low + small, DIALARC_FLANK_FALLING,
                                   leave + 0.4 * period, &rest);
    cam->table = table;
    cam->table_low_mm = low;
    cam->table_high_mm = high;
    cam->rise_deg = top;
    cam->top_deg = fmax(leave - top, 0.0);
    cam->base_deg = fmax(period - rest, 0.0);
    return DIALARC_OK;
}

static dialarc_status give_cam(const darc_known *known, const dialarc_camtable *table,
                               double table_sd_mm, darc_given_cam *cam)
{
    bool given = known->has_shape || table, nominal = given && known->has_lift;
    *cam = (darc_given_cam){.given = given,
                            .lift_mean_mm = nominal ? known->cam.lift_mm : LIFT_MEAN_MM,
                            .lift_sd_mm = nominal ? NOMINAL_LIFT_SD * known->cam.lift_mm
                                                  : LIFT_SD_MM,
                            .law = known->cam.law,
                            .rise_deg = known->cam.rise_deg,
                            .top_deg = known->cam.top_dwell_deg,
                            .base_deg = known->cam.base_dwell_deg,
                            .sd_mm = table ? table_sd_mm : 0.0};
    return table ? read_table(table, known->lobes, cam) : DIALARC_OK;
}

dialarc_status darc_problem_make(const dialarc_setup *setup,
                                 const dialarc_camtable *table, double table_sd_mm,
                                 const dialarc_sweep *sweep, const darc_readings *room,
                                 darc_problem *problem)
{
    dialarc_status status = dialarc_setup_check(setup);
    if (status == DIALARC_OK)
        status = darc_sweep_check(sweep);
    if (status != DIALARC_OK)
        return status;
    problem->known = darc_known_of(setup);
    const darc_known *known = &problem->known;
    problem->noise = known->noise;
    if (!known->step_stated && sweep->n >= LEAST_GRADED)
        problem->noise.step_mm = graduation(sweep->n, sweep->dial_mm);
    status = give_cam(known, table, table_sd_mm, &problem->cam);
    if (status != DIALARC_OK)
        return status;
    return darc_record_make(sweep, known->sense, known->noise.angle_sd_deg, room,
                            &problem->record);
}

dialarc_status darc_problem_make_turn(const dialarc_setup *setup,
                                      const dialarc_sweep *sweep,
                                      const darc_readings *room, darc_problem *problem)
{
    dialarc_status status = darc_problem_make(setup, NULL, 0.0, sweep, room, problem);
    if (status == DIALARC_OK)
        darc_record_meet_first_tdc(sweep, room, &problem->record);
    return status;
}
