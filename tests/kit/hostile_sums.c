/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Tasks of a host beside those of hostile_kit.c: what the vectors of the other languages
 * do not call, and input at the edges of what is allowed.
 */
#include <dialarc.h>
#include <float.h>
#include <math.h>

#include "kit/hostile_kit.h"

static const dialarc_cam cam = {.lobes = 4,
                                .lift_mm = 2.2,
                                .rise_deg = 38.0,
                                .top_dwell_deg = 4.0,
                                .base_dwell_deg = 12.0,
                                .law = DIALARC_LAW_MODIFIED_SINE};

static double product(const double *x, void *context)
{
    (void)context;
    return x[0] * x[1];
}

static void models(hostile_notes *notes)
{
    const dialarc_input input[] = {
        {.shape = DIALARC_SHAPE_NORMAL, .centre = 2.0, .spread = 0.1},
        {.shape = DIALARC_SHAPE_ARCSINE, .centre = 3.0, .spread = 0.2}};
    double slope[2], value, sd;
    const dialarc_input bells[] = {input[0], input[0]};
    const double together[] = {1.0, 0.5, 0.5, 1.0};
    dialarc_propagation p = {0};
    dialarc_propagated orders = {0};
    dialarc_adaptive a = {0};
    hostile_note(notes,
                 dialarc_propagate_linear(2, input, product, NULL, slope, &value, &sd));
    hostile_note(notes, slope[0]);
    hostile_note(notes, sd);
    hostile_note(
        notes, dialarc_propagate_monte_carlo(2, input, product, NULL, 2000, 1, 0.95, &p));
    hostile_note(notes, p.sd);
    hostile_note(notes, p.shortest_high);
    hostile_note(notes,
                 dialarc_propagate_budget(2, bells, together, product, NULL, &orders));
    hostile_note(notes, orders.sd);
    hostile_note(notes, orders.second_sd);
    hostile_note(notes, dialarc_propagate_adaptive(2, bells, together, product, NULL, 1,
                                                   20000, 1, 0.95, &a));
    hostile_note(notes, a.output.sd);
    hostile_note(notes, a.scatter);
}

static void tables_of_numbers(hostile_notes *notes)
{
    const double shown[] = {0.0, 1.0, 2.0}, really[] = {0.0, 1.003, 1.998};
    const double angle[] = {0.0, 20.0, 50.0}, lift[] = {0.0, 1.5, 0.2},
                 rate[] = {0, 0.1, -0.05};
    dialarc_dialcal *dial = NULL;
    const dialarc_follower follower = {40.0, 8.0};
    dialarc_camtable *table = NULL;
    dialarc_cam_motion m = {0};
    double out[3], other[3];
    hostile_note(notes, dialarc_dialcal_new(3, shown, really, 0.001, &dial));
    hostile_note(notes, dialarc_dialcal_true(dial, 3, shown, out));
    hostile_note(notes, dialarc_dialcal_shown(dial, 3, out, other));
    hostile_note(notes, other[1]);
    dialarc_dialcal_free(dial);
    const dialarc_witness witness[] = {
        {.advance_crank_deg = 1.0, .own_sd_crank_deg = 0.2},
        {.advance_crank_deg = 9.0, .own_sd_crank_deg = 1e-3}};
    double off = 0.0, off_sd = 0.0, advance = 0.0;
    hostile_note(notes, dialarc_crosscheck_apart(2, witness, 1, &off, &off_sd));
    hostile_note(notes, off);
    hostile_note(notes,
                 dialarc_crosscheck_from_lift(&cam, 0.9, -3.0, 1.0, 2.0, &advance));
    hostile_note(notes, advance);
    const double ways[] = {1.0, -1.0, 0.0};
    hostile_note(notes,
                 dialarc_dialcheck_calibration(3, shown, really, ways, 1e-3, &dial));
    hostile_note(notes, (double)dialarc_dialcal_count(dial));
    dialarc_dialcal_free(dial);
    hostile_note(notes, dialarc_camtable_new(3, angle, lift, 90.0, &table));
    hostile_note(notes, dialarc_camtable_motion(table, 123.0, &m));
    hostile_note(notes, m.acceleration_mm_per_pump_deg2);
    dialarc_camtable_free(table);
    hostile_note(notes,
                 dialarc_follower_pitch(&follower, 3, angle, lift, rate, out, other));
    hostile_note(notes, out[2]);
}

static void smoothed_tables(hostile_notes *notes)
{
    double angle[24], lift[24];
    dialarc_camtable *table = NULL;
    dialarc_smoothing smoothing = {0};
    dialarc_cam_motion sd = {0};
    for (int i = 0; i < 24; i++) {
        angle[i] = 3.75 * i;
        hostile_note(notes, dialarc_cam_lift(&cam, angle[i], &lift[i]));
        lift[i] += 0.001 * (i * i % 7 - 3); /* in place of errors */
    }
    hostile_note(notes, dialarc_camtable_smooth(24, angle, lift, 90.0, 0.002, &table));
    hostile_note(notes, dialarc_camtable_smoothing(table, &smoothing));
    hostile_note(notes, smoothing.parameters);
    hostile_note(notes, dialarc_camtable_motion_sd(table, 21.0, &sd));
    hostile_note(notes, sd.acceleration_mm_per_pump_deg2);
    dialarc_camtable_free(table);
}

static void single(hostile_notes *notes)
{
    const dialarc_scca scca = {0.25, 0.5, 0.25};
    const dialarc_crank crank = {45.0, 140.0, 0.5};
    const dialarc_dial dial = {0.01, 1.0, 1, 0.0, DIALARC_CONTACT_FLAT};
    const dialarc_stage stage = {24, 48, 0, 9.525, 0.1, 0.0};
    const int order[] = {1, 3, 4, 2};
    int cylinder[4], outlet[4];
    dialarc_law_peaks peaks = {0};
    dialarc_tooth tooth = {0};
    hostile_note(notes, dialarc_scca_peak_factors(&scca, &peaks));
    const dialarc_arcs arcs = {22.0, 14.0, 6.0, 7.0};
    dialarc_unit_motion on = {0.0, 0.0, 0.0};
    double slope = 0.0;
    hostile_note(notes, dialarc_arcs_motion(&arcs, 2.3, 38.0, 0.3, &on));
    hostile_note(notes, on.rate);
    hostile_note(notes, dialarc_arcs_slope(&arcs, 2.3, 38.0, &slope));
    hostile_note(notes, slope);
    hostile_note(notes, peaks.acceleration);
    hostile_note(notes, dialarc_cam_check(&cam));
    hostile_note(notes, dialarc_crank_check(&crank));
    hostile_note(notes, dialarc_dial_check(&dial));
    hostile_note(notes, dialarc_drive_check(1, &stage));
    hostile_note(notes,
                 dialarc_tooth_from_lift(&cam, 0.9, 1.3, 0.01, DIALARC_FLANK_RISING, 15.0,
                                         0.2, 0.05, &tooth));
    hostile_note(notes, tooth.probability);
    hostile_note(
        notes, dialarc_lobes_assign(4, order, 1, DIALARC_ROTATION_CW, cylinder, outlet));
    hostile_note(notes, cylinder[1]);
}

/* Allowed, and where sums are apt to divide by 0 or to leave the range of doubles. */
void hostile_edges(hostile_notes *notes)
{
    const dialarc_wear settles = {4e-4, 50.0, 0.0}, creeps = {0.0, 50.0, 1e-320};
    const dialarc_wear steady = {0.0, 50.0, 1e-4};
    const double mean[] = {0.86, 0.9, 0.94, 1.0}, none[] = {0.0, 0.0, 0.0, DBL_TRUE_MIN};
    double x[4];
    dialarc_conformity where = {0};
    hostile_note(notes, dialarc_wear_service(&settles, 2e-4, x));
    hostile_note(notes, x[0]);
    hostile_note(notes, dialarc_wear_service(&settles, 4e-4, x));
    hostile_note(notes, dialarc_wear_service(&creeps, 2e-4, x));
    hostile_note(notes, dialarc_wear_service(&steady, 2e-4, x));
    hostile_note(notes, x[0]);
    hostile_note(notes, dialarc_conformity_probabilities(4, mean, none, 0.86, 0.94, x));
    for (int i = 0; i < 4; i++)
        hostile_note(notes, x[i]);
    for (int i = 0; i < 4; i++) {
        hostile_note(notes,
                     dialarc_conformity_split(mean[i], none[3 - i], 0.86, 0.94, &where));
        hostile_note(notes, where.below);
    }
    for (int law = 1; law < DIALARC_LAW_COUNT; law++) {
        dialarc_cam c = cam;
        c.law = (dialarc_law)law;
        hostile_note(notes, dialarc_cam_angle_at_lift(&c, 0.0, DIALARC_FLANK_RISING, x));
        hostile_note(notes,
                     dialarc_cam_angle_at_lift(&c, 1e-300, DIALARC_FLANK_RISING, x + 1));
        hostile_note(notes,
                     dialarc_cam_angle_at_lift(&c, 2.2, DIALARC_FLANK_FALLING, x + 2));
        hostile_note(notes, x[1]);
    }
}

void hostile_sums(hostile_notes *notes)
{
    models(notes);
    tables_of_numbers(notes);
    smoothed_tables(notes);
    single(notes);
}
