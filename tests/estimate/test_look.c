/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The flexible fit: it follows a cam of any shape and tells which readings are misread.
 */
#include <math.h>

#include "estimate/look.h"
#include "kit/fit_kit.h"

#define SWEEPS 20

/* Waves of a hundredth of the lift on both flanks of a mixture of laws: no law at all. */
static sim_job lawless(sim_random *r)
{
    sim_job j = kit_job(r);
    j.cam.fall_law = sim_integer(r, 0, SIM_LAWS - 1);
    j.cam.second_law = sim_integer(r, 0, SIM_LAWS - 1);
    j.cam.mix = sim_uniform(r, 0.2, 0.8);
    j.cam.wave_mm[0] = 0.01 * j.cam.lift_mm;
    j.cam.wave_cycles[0] = sim_integer(r, 1, 2);
    j.step_deg = 1.0;
    return j;
}

typedef struct tally {
    int sound, misread;           /* readings */
    int sound_lost, misread_kept; /* those taken for what they are not */
    double square, lift_square;   /* scatter of the sound ones, in sds; errors at TDC */
} tally;

static void count(const bench *b, tally *t)
{
    const darc_fit *fit = &b->memory.fit;
    const darc_record *r = &b->problem.record;
    for (size_t i = 0; i < r->n; i++) {
        const darc_pull *p = &fit->at.pulls[i];
        bool misread = b->sweep.misread[r->row[i]] != 0, sound = darc_is_sound(p);
        t->sound += !misread;
        t->misread += misread;
        t->sound_lost += !misread && !sound;
        t->misread_kept += misread && sound;
        t->square += !misread && sound ? p->score2 : 0.0;
    }
}

static tally look_at_many(double misread_share)
{
    static bench b;
    sim_random r;
    tally t = {0};
    int n = kit_count(SWEEPS);
    sim_seed(&r, 920);
    for (int k = 0; k < n; k++) {
        sim_job job = lawless(&r);
        job.misread_share = misread_share;
        dialarc_setup setup = kit_setup(&job, 0);
        set_bench(&b, &job, &setup, &r);
        darc_fit_look(&b.memory.fit, &b.problem);
        ck_assert(b.memory.fit.solved);
        count(&b, &t);
        t.lift_square += pow(fitted_lift(&b.memory.fit) - b.sweep.lift_tdc_mm, 2) / n;
        clear_bench(&b);
    }
    return t;
}

/* The scatter left is what the readings have, less what fitting takes, and the lift at
 * TDC is right to a few of the dial's graduations. */
START_TEST(any_shape_is_followed)
{
    tally t = look_at_many(0.0);
    double scatter = t.square / (t.sound - t.sound_lost);
    ck_assert_double_gt(scatter, 0.7);
    ck_assert_double_lt(scatter, 1.1);
    ck_assert_double_lt(sqrt(t.lift_square), 0.015);
    ck_assert_int_le(200 * t.sound_lost, t.sound);
}
END_TEST

/* A third of them are off by one graduation, which may hide in the scatter; the others by
 * a tenth of a turn or a whole one. */
START_TEST(misread_ones_are_told)
{
    tally t = look_at_many(0.08);
    ck_assert_int_gt(t.misread, 0);
    ck_assert_int_le(100 * t.misread_kept, 36 * t.misread);
    ck_assert_int_le(100 * t.sound_lost, t.sound);
    ck_assert_double_lt(sqrt(t.lift_square), 0.02);
}
END_TEST

/* From afar it gets to where the whole lobe is known to a few graduations. */
START_TEST(from_afar)
{
    static bench b;
    sim_random r;
    double square = 0.0;
    int n = kit_count(SWEEPS);
    sim_seed(&r, 921);
    for (int k = 0; k < n; k++) {
        sim_job job = lawless(&r);
        dialarc_setup setup = kit_setup(&job, 0);
        set_bench(&b, &job, &setup, &r);
        darc_fit_look_from_afar(&b.memory.fit, &b.problem);
        square += pow(fitted_lift(&b.memory.fit) - b.sweep.lift_tdc_mm, 2) / n;
        clear_bench(&b);
    }
    ck_assert_double_lt(sqrt(square), 0.03);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("look");
    TCase *c = tcase_create("look");
    tcase_add_test(c, any_shape_is_followed);
    tcase_add_test(c, misread_ones_are_told);
    tcase_add_test(c, from_afar);
    suite_add_tcase(s, c);
    return darc_run(s);
}
