/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * How freely each flank of a learned cam is bent away from a law: seen at the last law of
 * the list, a constant rate with a blend of 0.44, at which a learned cam leaves the spare
 * fit.
 */
#include <math.h>

#include "estimate/learn.h"
#include "estimate/levels.h"
#include "estimate/memory.h"
#include "kit/check_main.h"
#include "kit/sweep_kit.h"

#define SWEEPS 40
#define BLEND  0.44
/* Free terms of the third level of six, a share of the total lift. A cam of another law
 * needs the fifth, 2e-2, or the sixth. */
#define LITTLE 2.5e-3

enum { POLY4567 = 3, CONSTANT_RATE = 6 }; /* of the simulator */

/* A sweep over a whole lobe of a cam with these laws. */
static sim_job lobe(sim_random *r, int rise_law, int fall_law)
{
    sim_job j = kit_job(r);
    double pitch = 2.0 * 360.0 / j.cam.lobes; /* crank degrees */
    j.cam.rise_law = rise_law;
    j.cam.fall_law = fall_law;
    j.cam.blend = BLEND;
    j.start_deg = j.foot_crank_deg - 0.3 * pitch;
    j.end_deg = j.start_deg + 1.2 * pitch;
    j.step_deg = 1.0;
    return j;
}

/* Whether the last law came to a solution and was not given up. */
static int settled(const darc_learned *learned)
{
    const darc_hypothesis *last = &learned->hypothesis[learned->count - 1];
    return last->law == DIALARC_LAW_CONSTANT_RATE && last->blend == BLEND;
}

static double size_of_terms(const darc_fit *fit, int first)
{
    double sum = 0.0;
    for (int k = 0; k < fit->model.terms; k++)
        sum += fit->param[first + k] * fit->param[first + k];
    return sqrt(sum) / fit->param[DARC_LIFT];
}

/* In how many of the sweeps in which the law is settled each flank is bent little. */
static void bent(int rise_law, int fall_law, int *count, int little[2])
{
    static sim_sweep sweep;
    darc_memory memory = {.capacity = 0};
    const darc_fit *last = &memory.trial;
    sim_random r;
    sim_seed(&r, 1);
    *count = little[0] = little[1] = 0;
    for (int k = 0; k < kit_count(SWEEPS); k++) {
        sim_job job = lobe(&r, rise_law, fall_law);
        sim_run(&job, &r, &sweep);
        dialarc_setup setup = kit_setup(&job, 0);
        dialarc_sweep given = kit_sweep(&sweep);
        darc_problem problem;
        darc_estimate e;
        ck_assert_int_eq(darc_memory_open(&memory, &setup, NULL, 0.0, &given, &problem),
                         DIALARC_OK);
        darc_fit_learn(&memory.fit, &memory.trial, &problem, &e);
        if (memory.fit.at.learned->count == 0 || !settled(memory.fit.at.learned))
            continue;
        ++*count;
        little[0] += size_of_terms(last, DARC_TERMS) < LITTLE;
        little[1] += size_of_terms(last, DARC_TERMS + last->model.terms) < LITTLE;
    }
    darc_memory_release(&memory);
}

static void check_bent(int rise_law, int fall_law, int rise_is_law, int fall_is_law)
{
    const int is_law[2] = {rise_is_law, fall_is_law};
    int count, little[2];
    bent(rise_law, fall_law, &count, little);
    ck_assert_int_ge(count, kit_count(SWEEPS) / 8);
    for (int flank = 0; flank < 2; flank++)
        if (is_law[flank])
            ck_assert_int_ge(2 * little[flank], count);
        else
            ck_assert_int_le(10 * little[flank], count);
}

START_TEST(both_flanks_follow_the_law)
{
    check_bent(CONSTANT_RATE, CONSTANT_RATE, 1, 1);
}
END_TEST

START_TEST(only_the_fall_follows_the_law)
{
    check_bent(POLY4567, CONSTANT_RATE, 0, 1);
}
END_TEST

START_TEST(only_the_rise_follows_the_law)
{
    check_bent(CONSTANT_RATE, POLY4567, 1, 0);
}
END_TEST

/* Flank by flank or with all equations at once: the same step. */
START_TEST(the_step_of_the_whole_fit)
{
    static sim_sweep sweep;
    darc_memory memory = {.capacity = 0};
    darc_fit *fit = &memory.trial;
    double step[DARC_MAX_PARAM], whole[DARC_MAX_PARAM];
    darc_levels levels = {1, 4};
    sim_random r;
    sim_seed(&r, 2);
    sim_job job = lobe(&r, POLY4567, CONSTANT_RATE);
    sim_run(&job, &r, &sweep);
    dialarc_setup setup = kit_setup(&job, 0);
    dialarc_sweep given = kit_sweep(&sweep);
    darc_problem problem;
    darc_estimate e;
    ck_assert_int_eq(darc_memory_open(&memory, &setup, NULL, 0.0, &given, &problem),
                     DIALARC_OK);
    darc_fit_learn(&memory.fit, fit, &problem, &e);
    ck_assert(isfinite(darc_levels_choose(fit, 0.0, 2.0, true, &levels, step)));
    ck_assert(isfinite(darc_fit_evidence(fit, 0.0, whole)));
    for (int k = 0; k < fit->model.n_param; k++)
        ck_assert_double_eq_tol(step[k], whole[k], 1e-8 * (1.0 + fabs(whole[k])));
    darc_memory_release(&memory);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("levels");
    TCase *tc = tcase_create("freedom of the flanks");
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, both_flanks_follow_the_law);
    tcase_add_test(tc, only_the_fall_follows_the_law);
    tcase_add_test(tc, only_the_rise_follows_the_law);
    tcase_add_test(tc, the_step_of_the_whole_fit);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
