/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/problem.h"

#include <math.h>

#include "cam/camtable.h"
#include "cam/law.h"
#include "record/graduation.h"
#include "record/sweep.h"

#define PERIOD_SLIP_DEG 1e-6 /* rounding of the lobe pitch, times the lobes */

/* Total lift of pumps of this kind, 2.0 to 2.8 mm as a rule, and room for others: common
 * practice, no source. A total lift that is stated, with a shape or without, is nominal;
 * sd as a share of it. */
#define LIFT_MEAN_MM    2.4
#define LIFT_SD_MM      1.0
#define NOMINAL_LIFT_SD 0.05

/* Reads from a table of one lobe of such a pump where its flanks begin and end. */
static dialarc_status read_table(const dialarc_camtable *table, int lobes,
                                 darc_given_cam *cam)
{
    double period, low, high;
    dialarc_camtable_range(table, &period, &low, &high);
    if (fabs(period * lobes - 360.0) > PERIOD_SLIP_DEG)
        return DIALARC_ERR_SEGMENTS;
    if (!(high > low))
        return DIALARC_ERR_LIFT;
    darc_segments segments = darc_camtable_segments(table);
    cam->table = table;
    cam->table_low_mm = low;
    cam->table_high_mm = high;
    cam->rise_deg = segments.rise_deg;
    cam->top_deg = segments.top_deg;
    cam->base_deg = segments.base_deg;
    return DIALARC_OK;
}

static dialarc_status give_cam(const darc_known *known, const dialarc_camtable *table,
                               double table_sd_mm, darc_given_cam *cam)
{
    bool given = known->has_shape || table, nominal = known->has_lift;
    *cam = (darc_given_cam){
        .given = given,
        .lift_mean_mm = nominal ? known->cam.lift_mm : LIFT_MEAN_MM,
        .lift_sd_mm = nominal ? NOMINAL_LIFT_SD * known->cam.lift_mm : LIFT_SD_MM,
        .law = known->cam.law,
        .fall_law = known->cam.fall_law != DIALARC_LAW_UNKNOWN ? known->cam.fall_law
                                                               : known->cam.law,
        .blend = known->cam.blend > 0.0 ? known->cam.blend : DARC_DEFAULT_BLEND,
        .rise_deg = known->cam.rise_deg,
        .top_deg = known->cam.top_dwell_deg,
        .base_deg = known->cam.base_dwell_deg,
        .rise_sd_deg = table ? 0.0 : known->rise_sd_deg,
        .sd_mm = table ? table_sd_mm : known->cam_sd_mm};
    return table ? read_table(table, known->lobes, cam) : DIALARC_OK;
}

/* The graduation that the readings show, and what is usual for a dial that has it. */
static void see_graduation(const dialarc_sweep *sweep, bool error_stated,
                           darc_noise *noise)
{
    noise->step_mm = darc_graduation(sweep->n, sweep->dial_mm);
    if (!error_stated && noise->step_mm > 0.0)
        noise->dial_error_mm = darc_usual_dial_error(noise->step_mm);
}

/* Travel over which the readings go, but no more than a cam has. */
static double travel_of(const darc_record *record, const darc_given_cam *cam)
{
    double low = INFINITY, high = -INFINITY;
    for (size_t i = 0; i < record->n; i++) {
        low = fmin(low, record->lift_mm[i]);
        high = fmax(high, record->lift_mm[i]);
    }
    return fmin(high - low, cam->lift_mean_mm);
}

static dialarc_status make(const dialarc_setup *setup, const dialarc_camtable *table,
                           double table_sd_mm, const dialarc_sweep *sweep,
                           const darc_readings *room, darc_problem *problem)
{
    dialarc_status status = dialarc_setup_check(setup);
    if (status == DIALARC_OK)
        status = darc_sweep_check(sweep);
    if (status != DIALARC_OK)
        return status;
    problem->counted_from_deg = problem->zero_mm = problem->zero_sd_mm = 0.0;
    problem->known = darc_known_of(setup);
    const darc_known *known = &problem->known;
    if (!darc_travel_covers(&known->dial, sweep))
        return DIALARC_ERR_READING;
    problem->noise = known->noise;
    if (!known->step_stated && sweep->n >= DARC_LEAST_GRADED)
        see_graduation(sweep, known->dial_error_stated, &problem->noise);
    status = give_cam(known, table, table_sd_mm, &problem->cam);
    if (status == DIALARC_OK)
        status = darc_record_make(sweep, &known->dial, known->noise.angle_sd_deg, room,
                                  &problem->record);
    if (status == DIALARC_OK)
        problem->instruments = darc_instruments_of(
            &problem->noise, travel_of(&problem->record, &problem->cam));
    return status;
}

dialarc_status darc_problem_make(const dialarc_setup *setup,
                                 const dialarc_camtable *table, double table_sd_mm,
                                 const dialarc_sweep *sweep, const darc_readings *room,
                                 darc_problem *problem)
{
    dialarc_status status = make(setup, table, table_sd_mm, sweep, room, problem);
    if (status != DIALARC_OK)
        return status;
    problem->counted_from_deg = problem->known.window_crank_deg;
    darc_record_count_from(problem->counted_from_deg, room, &problem->record);
    return status;
}

dialarc_status darc_problem_make_turn(const dialarc_setup *setup,
                                      const dialarc_sweep *sweep,
                                      const darc_readings *room, darc_problem *problem)
{
    dialarc_status status = make(setup, NULL, 0.0, sweep, room, problem);
    if (status == DIALARC_OK)
        darc_record_meet_first_tdc(sweep, room, &problem->record);
    return status;
}
