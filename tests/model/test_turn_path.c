/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The path model of a whole turn: values against the simulator, derivatives against
 * differences. */
#include <math.h>
#include <string.h>

#include "estimate/memory.h"
#include "estimate/prior.h"
#include "kit/check_main.h"
#include "kit/lobes_kit.h"
#include "model/turn_path.h"

static sim_sweep sweep;

/* A record with the model of its own pump at the true parameters. */
typedef struct scene {
    darc_memory memory;
    darc_problem problem;
    darc_lobes_model model;
    double own[2 * DIALARC_LOBES_MAX];
} scene;

static void own_parameters(const sim_job *j, double *own)
{
    double phase = kit_phase(j) * 3.14159265358979323846 / 180.0;
    own[0] = j->cam.run_out_mm * cos(phase);
    own[1] = j->cam.run_out_mm * sin(phase);
    for (int k = 1; k < j->cam.lobes; k++) {
        own[darc_lobes_timing(k)] = -kit_advance(j, k);
        own[darc_lobes_lift(j->cam.lobes, k)] = kit_extra(j, k);
    }
}

/* With `free` the second pass begins anywhere, not where the first one ended. */
static void make_scene(const sim_job *j, double angle_sd_deg, int free, scene *c)
{
    sim_random r;
    sim_seed(&r, 1);
    sim_run(j, &r, &sweep);
    dialarc_setup setup = kit_setup(j, 1);
    dialarc_sweep record = kit_sweep(&sweep);
    setup.angle_sd_deg = angle_sd_deg;
    memset(&c->memory, 0, sizeof c->memory);
    ck_assert_int_eq(
        darc_memory_open(&c->memory, &setup, NULL, 0.0, &record, &c->problem),
        DIALARC_OK);
    darc_fit *fit = &c->memory.fit;
    darc_fit_begin(fit, &c->problem);
    fit->model.rise_law = fit->model.fall_law = setup.cam_law;
    fit->model.rise_deg = setup.rise_deg;
    fit->model.top_deg = setup.top_dwell_deg;
    fit->model.base_deg = setup.base_dwell_deg;
    fit->model.free_passes = free ? 2 : 0;
    darc_model_layout(&fit->model, &c->problem.record);
    darc_prior_basic(fit, &c->problem); /* sets the turning points */
    fit->param[DARC_ZERO] = j->zero_mm;
    fit->param[DARC_FOOT] = j->foot_crank_deg + 2.0 * j->cam.late_deg[0];
    fit->param[DARC_LIFT] = j->cam.lift_mm + j->cam.extra_mm[0];
    fit->param[DARC_SLACK] = j->slack_deg;
    fit->param[DARC_HYST] = j->hysteresis_mm;
    own_parameters(j, c->own);
    c->model = (darc_lobes_model){
        .cam = &fit->model, .common = fit->param, .own = c->own, .lobes = j->cam.lobes};
}

static void read_all(scene *c, double angle_sd_deg, darc_lobes_row *rows)
{
    darc_lobes_walk walk;
    darc_lobes_find_turns(&c->model);
    darc_lobes_begin(&c->model, &c->problem.record, angle_sd_deg, &walk);
    for (size_t i = 0; i < c->problem.record.n; i++)
        darc_lobes_next(&walk, i, &rows[i]);
}

static darc_lobes_row rows[SIM_MAX], up[SIM_MAX], down[SIM_MAX];

/* Without noise the model reads what the simulator's chain of plays shows, there and
 * back, run-out and hysteresis on the dwells included. */
START_TEST(readings_are_those_of_the_simulator)
{
    for (int two_way = 0; two_way <= 1; two_way++) {
        sim_job j = kit_pump(0.0);
        scene c;
        j.two_way = two_way;
        make_scene(&j, 0.0, 0, &c);
        read_all(&c, 0.0, rows);
        for (size_t i = 0; i < sweep.n; i++)
            ck_assert_msg(fabs(rows[i].mean - sweep.dial_mm[i]) < 3e-5,
                          "reading %zu at %.1f: %.6f, not %.6f", i, sweep.crank_deg[i],
                          rows[i].mean, sweep.dial_mm[i]);
        darc_memory_release(&c.memory);
    }
}
END_TEST

/* Derivative of a row by parameter k of all. */
static double by(const darc_lobes_row *row, const scene *c, int k)
{
    int common = c->model.cam->n_param, own = k - common;
    if (own < 0)
        return row->common[k];
    if (own < 2)
        return own ? row->by_sin : row->by_cos;
    if (row->lobe && own == darc_lobes_timing(row->lobe))
        return row->by_timing;
    return row->lobe && own == darc_lobes_lift(c->model.lobes, row->lobe) ? row->by_lift
                                                                          : 0.0;
}

static void check_derivatives(int free)
{
    const double sd = 0.2, h = 1e-5;
    sim_job j = kit_pump(1.0);
    scene c;
    make_scene(&j, sd, free, &c);
    read_all(&c, sd, rows);
    int common = c.model.cam->n_param, all = common + 2 * c.model.lobes;
    size_t off = 0, met = 0;
    for (int k = 0; k < all; k++) {
        double *p = k < common ? &c.memory.fit.param[k] : &c.own[k - common];
        *p += h;
        read_all(&c, sd, up);
        *p -= 2.0 * h;
        read_all(&c, sd, down);
        *p += h;
        for (size_t i = 0; i < sweep.n; i++) {
            double difference = (up[i].mean - down[i].mean) / (2.0 * h);
            double scale = k == DARC_FOOT || k == DARC_SLACK ||
                                   (k >= common + 2 && k < common + 1 + c.model.lobes)
                               ? 0.05
                               : 1.0;
            met += by(&rows[i], &c, k) != 0.0;
            off += fabs(by(&rows[i], &c, k) - difference) > 0.02 * scale;
        }
    }
    /* Where slope and width of the rounding change together the derivative is not exact:
     * a few readings beside the turns. */
    ck_assert_uint_gt(met, 4 * sweep.n);
    ck_assert_msg(100 * off < met, "%zu of %zu derivatives are off", off, met);
    darc_memory_release(&c.memory);
}

START_TEST(derivatives_are_those_of_the_readings)
{
    check_derivatives(_i);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("path of a whole turn");
    TCase *tc = tcase_create("model");
    tcase_set_timeout(tc, 0);
    tcase_add_test(tc, readings_are_those_of_the_simulator);
    tcase_add_loop_test(tc, derivatives_are_those_of_the_readings, 0, 2);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
