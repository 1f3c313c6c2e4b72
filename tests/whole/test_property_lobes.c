/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What must hold for any sweep over a whole turn: changed in a way whose effect is known,
 * the lobes must come back moved by just that. Random pumps, cams known and learned.
 */
#include <math.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/lobes_kit.h"

#define PUMPS 12

/* For changes that leave the problem the same but for rounding. */
#define EXACT_DEG 1e-9
#define EXACT_MM  1e-10

/* One random pump and what its sweep says. */
typedef struct scene {
    sim_job job;
    dialarc_setup setup;
    size_t n;
    double crank[SIM_MAX], dial[SIM_MAX];
    dialarc_lobes plain;
} scene;

static dialarc_lobes lobes_of(const scene *s)
{
    const dialarc_sweep record = {s->n, s->crank, s->dial, NULL};
    return kit_estimate(&s->setup, &record);
}

static scene *scene_of(int k)
{
    static scene s;
    static sim_sweep sweep;
    sim_random r;
    sim_seed(&r, (uint64_t)(500 + k));
    s.job = kit_turn(&r);
    sim_run(&s.job, &r, &sweep);
    s.setup = kit_setup(&s.job, k % 2);
    s.n = sweep.n;
    memcpy(s.crank, sweep.crank_deg, s.n * sizeof *s.crank);
    memcpy(s.dial, sweep.dial_mm, s.n * sizeof *s.dial);
    s.plain = lobes_of(&s);
    ck_assert_int_eq(s.plain.lobes_seen, s.job.cam.lobes);
    return &s;
}

static void check_same(const scene *s, const dialarc_lobes *got)
{
    ck_assert_int_eq(got->lobes_seen, s->plain.lobes_seen);
    for (int i = 0; i < s->plain.lobes; i++) {
        const dialarc_lobe *a = &s->plain.lobe[i], *b = &got->lobe[i];
        ck_assert_double_eq_tol(a->advance_crank_deg, b->advance_crank_deg, EXACT_DEG);
        ck_assert_double_eq_tol(a->advance_u_crank_deg, b->advance_u_crank_deg,
                                EXACT_DEG);
        ck_assert_double_eq_tol(a->lift_mm, b->lift_mm, EXACT_MM);
        ck_assert_double_eq_tol(a->run_out_mm, b->run_out_mm, EXACT_MM);
        ck_assert_uint_eq(a->readings, b->readings);
    }
    ck_assert_double_eq_tol(s->plain.run_out_mm, got->run_out_mm, EXACT_MM);
    ck_assert_uint_eq(s->plain.readings_rejected, got->readings_rejected);
}

/* The pump turned by one lobe: each lobe is now the one before it, and the advances count
 * from the new first. Timing and lift are held, faintly, to what is usual about the first
 * lobe; another first lobe moves them by less than a thirtieth of their uncertainty. */
START_TEST(the_next_lobe_becomes_the_first)
{
    for (int k = 0; k < kit_count(PUMPS); k++) {
        scene *s = scene_of(k);
        const dialarc_lobe *was = s->plain.lobe;
        int lobes = s->job.cam.lobes;
        for (size_t i = 0; i < s->n; i++)
            s->crank[i] -= s->job.crank_per_pump * 360.0 / lobes;
        dialarc_lobes got = lobes_of(s);
        for (int i = 0; i < lobes; i++) {
            int old = (i + 1) % lobes;
            double advance = was[old].advance_crank_deg - was[1].advance_crank_deg;
            ck_assert_double_eq_tol(got.lobe[i].advance_crank_deg, advance,
                                    was[1].advance_u_crank_deg / 30.0);
            ck_assert_double_eq_tol(got.lobe[i].lift_mm, was[old].lift_mm,
                                    was[1].lift_error_u_mm / 30.0);
            ck_assert_uint_eq(got.lobe[i].readings, was[old].readings);
        }
        ck_assert_double_eq_tol(got.run_out_mm, s->plain.run_out_mm,
                                s->plain.run_out_u_mm / 30.0);
        ck_assert_double_eq_tol(got.spread_crank_deg, s->plain.spread_crank_deg,
                                s->plain.spread_u_crank_deg / 30.0);
    }
}
END_TEST

START_TEST(a_whole_turn_further_on)
{
    for (int k = 0; k < kit_count(PUMPS); k++) {
        scene *s = scene_of(k);
        for (size_t i = 0; i < s->n; i++)
            s->crank[i] += 360.0 * s->job.crank_per_pump;
        dialarc_lobes got = lobes_of(s);
        check_same(s, &got);
    }
}
END_TEST

START_TEST(a_constant_on_the_dial)
{
    for (int k = 0; k < kit_count(PUMPS); k++) {
        scene *s = scene_of(k);
        for (size_t i = 0; i < s->n; i++)
            s->dial[i] += 2.5;
        dialarc_lobes got = lobes_of(s);
        check_same(s, &got);
    }
}
END_TEST

/* A dial that falls as the plunger rises: not a bit of the answer changes. */
START_TEST(a_falling_dial)
{
    for (int k = 0; k < kit_count(PUMPS); k++) {
        scene *s = scene_of(k);
        for (size_t i = 0; i < s->n; i++)
            s->dial[i] = -s->dial[i];
        s->setup.dial_sense = -1;
        dialarc_lobes got = lobes_of(s);
        size_t size = (size_t)s->plain.lobes * sizeof got.lobe[0];
        ck_assert_int_eq(memcmp(got.lobe, s->plain.lobe, size), 0);
        ck_assert_double_eq(got.run_out_mm, s->plain.run_out_mm);
        ck_assert_double_eq(got.noise_ratio, s->plain.noise_ratio);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("property_lobes");
    TCase *tc = tcase_create("any whole turn");
    tcase_set_timeout(tc, 60.0);
    tcase_add_test(tc, the_next_lobe_becomes_the_first);
    tcase_add_test(tc, a_whole_turn_further_on);
    tcase_add_test(tc, a_constant_on_the_dial);
    tcase_add_test(tc, a_falling_dial);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
