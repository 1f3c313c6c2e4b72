/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The path model: its values against the simulator, which shares no code with it, and
 * against quadrature over the errors of the angles.
 */
#include <gsl/gsl_integration.h>
#include <gsl/gsl_randist.h>
#include <math.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/scene_kit.h"
#include "kit/sweep_kit.h"
#include "model/path.h"

#define CORNER_MM   5e-4 /* reach of the rounding of the dial's play */
#define ROUNDING_MM 4e-5 /* most that it adds, 1e-4 mm over the root of 2 pi */

/* Parameters of a simulated job without errors; the readings go to the record. */
static void scene_of(scene *s, const sim_job *job, const sim_sweep *sweep)
{
    clear(s);
    dialarc_setup setup = kit_setup(job, 1);
    dialarc_sweep given = kit_sweep(sweep);
    const darc_readings room = {s->crank, s->lift, s->row};
    const darc_dial_use dial = {.sense = setup.dial_sense < 0 ? -1.0 : 1.0};
    ck_assert_int_eq(darc_record_make(&given, &dial, 0.1, &room, &s->record), DIALARC_OK);
    darc_model *m = &s->model;
    m->rise_law = (dialarc_law)(job->cam.rise_law + 1);
    m->fall_law = (dialarc_law)(job->cam.fall_law + 1);
    m->blend = job->cam.blend;
    m->pitch_deg = 360.0 / job->cam.lobes;
    m->rise_deg = job->cam.rise_deg;
    m->top_deg = job->cam.top_deg;
    m->base_deg = job->cam.base_deg;
    m->crank_per_pump = job->crank_per_pump;
    m->free_passes = job->start_in_slack ? 1u : 0u;
    darc_model_layout(m, &s->record);
    s->param[DARC_ZERO] = job->zero_mm;
    s->param[DARC_FOOT] = job->foot_crank_deg;
    s->param[DARC_LIFT] = job->cam.lift_mm;
    s->param[DARC_SLACK] = job->slack_deg;
    s->param[DARC_HYST] = job->hysteresis_mm;
    int at = m->first_turn;
    if (job->start_in_slack)
        s->param[at++] = job->start_deg - job->slack_deg * (1.0 - job->start_share);
    for (int k = 1; k < s->record.passes; k++)
        s->param[at++] = s->crank[s->record.pass[k].begin - 1];
    ck_assert_int_eq(at, m->n_param);
}

static sim_job clean_job(sim_random *r)
{
    sim_job job = kit_job(r);
    double pitch = 360.0 / job.cam.lobes;
    job.cam.fall_law = sim_integer(r, 0, SIM_LAWS - 1);
    job.cam.blend = sim_uniform(r, 0.1, 0.5);
    job.cam.top_deg = sim_uniform(r, 0.5, 4.0); /* wider than the simulator's stride */
    job.cam.base_deg = sim_uniform(r, 1.0, 8.0);
    job.cam.rise_deg = pitch * sim_uniform(r, 0.35, 0.5);
    job.crank_per_pump = sim_uniform(r, 0.8, 2.5);
    job.hysteresis_mm = sim_uniform(r, 0.001, 0.02);
    job.start_deg = sim_uniform(r, -200.0, 0.0);
    job.end_deg = job.start_deg + pitch * job.crank_per_pump * sim_uniform(r, 0.4, 1.6);
    job.two_way = sim_integer(r, 0, 1);
    job.start_in_slack = sim_integer(r, 0, 3) == 0;
    job.start_share = sim_uniform(r, 0.1, 0.9);
    job.angle_sd_deg = job.dial_sd_mm = job.dial_step_mm = 0.0;
    return job;
}

/* Lift at every reading: the play of the drive followed from reading to reading. */
static void follow(const scene *s, const sim_job *job, double *lift)
{
    double w = s->crank[0] + (s->record.pass[0].direction < 0 ? job->slack_deg : 0.0);
    if (job->start_in_slack)
        w = s->crank[0] + job->slack_deg * job->start_share;
    for (size_t i = 0; i < s->record.n; i++) {
        w = fmax(s->crank[i], fmin(s->crank[i] + job->slack_deg, w));
        lift[i] = sim_lift(&job->cam, (w - job->foot_crank_deg) / job->crank_per_pump);
    }
}

/* Whether the dial is about to be taken along: there the model rounds a corner. A dial
 * that still stood where an extreme left it when the crank turned is met at the extreme.
 */
static int near_corner(const scene *s, double turn_mm, double lift_mm)
{
    double total = s->param[DARC_LIFT], h = s->param[DARC_HYST];
    int low = turn_mm<h + CORNER_MM, high = turn_mm> total - h - CORNER_MM;
    const double corner[] = {h, total - h, turn_mm - h, turn_mm + h, low ? 0.0 : total};
    for (int k = 0; k < 4 + (low || high); k++)
        if (fabs(lift_mm - corner[k]) < CORNER_MM)
            return 1;
    return 0;
}

START_TEST(readings_are_those_of_the_simulator)
{
    static sim_sweep sweep;
    sim_random r;
    scene s;
    static darc_row rows[MOST];
    double lift[MOST];
    size_t exact = 0, rounded = 0;
    sim_seed(&r, 406);
    for (int k = 0; k < kit_count(400); k++) {
        sim_job job = clean_job(&r);
        sim_run(&job, &r, &sweep);
        ck_assert_uint_le(sweep.n, MOST);
        scene_of(&s, &job, &sweep);
        darc_model_rows(&s.model, s.param, &s.record, 0.0, rows);
        follow(&s, &job, lift);
        size_t turn = s.record.pass[0].end - 1;
        for (size_t i = 0; i < s.record.n; i++) {
            int corner = near_corner(&s, lift[turn], lift[i]) ||
                         (i > turn && near_corner(&s, lift[turn], lift[turn]));
            ck_assert_msg(fabs(rows[i].mean - sweep.dial_mm[i]) <
                              (corner ? ROUNDING_MM : 1e-9),
                          "job %d, reading %zu of %zu: %.12f mm, simulator %.12f", k, i,
                          s.record.n, rows[i].mean, sweep.dial_mm[i]);
            *(corner ? &rounded : &exact) += 1;
        }
    }
    ck_assert_uint_gt(exact, 10 * rounded);
}
END_TEST

/* Both plays followed in strides of at most 0.01 degrees along any path of the crank. */
static void walk(const sim_job *job, size_t n, const double *crank, double *dial)
{
    double u = crank[0] - 60.0, w = u, q = 0.0, half = 0.5 * job->hysteresis_mm;
    for (size_t i = 0; i < n; i++) {
        int strides = (int)ceil(fabs(crank[i] - u) / 0.01) + 1;
        for (int k = 1; k <= strides; k++) {
            double at = u + (crank[i] - u) * k / strides;
            w = fmax(at, fmin(at + job->slack_deg, w));
            double lift =
                sim_lift(&job->cam, (w - job->foot_crank_deg) / job->crank_per_pump);
            q = fmax(lift - half, fmin(lift + half, q));
        }
        u = crank[i];
        dial[i] = job->zero_mm + q;
    }
}

/* To and fro several times, each time by more than the slack; each turn may round. */
START_TEST(readings_of_many_passes)
{
    sim_random r;
    static darc_row rows[MOST];
    double dial[64], lift[64];
    sim_seed(&r, 407);
    for (int k = 0; k < kit_count(60); k++) {
        sim_sweep sweep = {0};
        sim_job job = clean_job(&r);
        job.start_in_slack = 0;
        job.hysteresis_mm = 0.002;
        double u = job.start_deg;
        for (int pass = 0; pass < 5; pass++) {
            double to = pass % 2 ? u - job.slack_deg - sim_uniform(&r, 2.0, 30.0)
                                 : u + job.slack_deg + sim_uniform(&r, 2.0, 60.0);
            for (int j = 0; j < 9; j++)
                sweep.crank_deg[sweep.n++] = u + (to - u) * (j + (pass > 0)) / 9.0;
            u = sweep.crank_deg[sweep.n - 1];
        }
        walk(&job, sweep.n, sweep.crank_deg, dial);
        scene s;
        scene_of(&s, &job, &sweep);
        ck_assert_int_eq(s.record.passes, 5);
        darc_model_rows(&s.model, s.param, &s.record, 0.0, rows);
        follow(&s, &job, lift);
        for (size_t i = 0; i < s.record.n; i++) {
            int corner = 0;
            for (int pass = 0; pass < 5; pass++) { /* left by any turn, or met by it */
                double held = lift[s.record.pass[pass].end - 1];
                corner |= near_corner(&s, held, lift[i]);
                for (int other = 0; other < 5; other++)
                    corner |= near_corner(&s, lift[s.record.pass[other].end - 1], held);
            }
            ck_assert_msg(fabs(rows[i].mean - dial[i]) <
                              (corner ? 5 * ROUNDING_MM : 1e-9),
                          "job %d, reading %zu: %.12f mm, walked %.12f", k, i,
                          rows[i].mean, dial[i]);
        }
    }
}
END_TEST

/* --- errors of the angles ---------------------------------------------------- */

typedef struct smear {
    const scene *s;
    double crank, sd;
} smear;

/* Lift where the crank stands when its recorded angle is out by e, times the density. */
static double smeared(double e, void *data)
{
    const smear *x = data;
    const scene *s = x->s;
    double held = s->param[s->model.first_turn] + s->param[DARC_SLACK];
    double pump = (fmax(x->crank + e, held) - s->param[DARC_FOOT]) / 2.0;
    darc_lift lift;
    darc_model_lift(&s->model, s->param, pump, &lift);
    return lift.mm * gsl_ran_gaussian_pdf(e, x->sd);
}

/* The mean reading is that over the errors of the recorded angle, by GSL's quadrature;
 * in the slack to a hundredth of a dial's sd, which is 200 times closer than the reading
 * at the recorded angle. */
START_TEST(mean_is_that_over_the_errors_of_the_angle)
{
    gsl_integration_workspace *work = gsl_integration_workspace_alloc(200);
    darc_row rows[MOST];
    double slack_off = 0.0, off = 0.0;
    scene s;
    sim_random r;
    clear(&s);
    sim_seed(&r, 408);
    s.model.rise_law = s.model.fall_law = DIALARC_LAW_HARMONIC;
    s.model.pitch_deg = 90.0;
    s.model.rise_deg = 40.0;
    s.model.top_deg = 2.0;
    s.model.base_deg = 8.0;
    s.model.free_passes = 1;
    s.param[DARC_FOOT] = -38.0;
    s.param[DARC_LIFT] = 2.4;
    s.param[DARC_SLACK] = 6.0;
    s.angle_sd_deg = 0.3;
    add_pass(&s, &r, -24.0, 30.0, 200, DARC_START_FREE);
    darc_model_layout(&s.model, &s.record);
    s.param[s.model.first_turn] = -26.0; /* slack taken up at -20 */
    darc_model_rows(&s.model, s.param, &s.record, s.angle_sd_deg, rows);
    for (size_t i = 0; i < s.record.n; i++) {
        smear x = {&s, s.crank[i], s.angle_sd_deg};
        gsl_function f = {smeared, &x};
        double reach = 8.0 * x.sd, corner = -20.0 - x.crank, mean, error;
        double points[] = {-reach, fmin(fmax(corner, 0.01 - reach), reach - 0.01), reach};
        ck_assert_int_eq(
            gsl_integration_qagp(&f, points, 3, 1e-11, 1e-11, 200, work, &mean, &error),
            0);
        double *most = fabs(corner) < 5.0 * x.sd ? &slack_off : &off;
        *most = fmax(*most, fabs(rows[i].mean - mean));
    }
    gsl_integration_workspace_free(work);
    ck_assert_double_lt(off, 1e-8);
    ck_assert_double_lt(slack_off, 3e-5);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("fit_model_values");
    TCase *tc = tcase_create("values");
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, readings_are_those_of_the_simulator);
    tcase_add_test(tc, readings_of_many_passes);
    tcase_add_test(tc, mean_is_that_over_the_errors_of_the_angle);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
