/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How many lobes a record shows: waves of a known count, and simulated pumps. */
#include <math.h>

#include "kit/check_main.h"
#include "kit/simulate.h"
#include "record/lobe_count.h"

#define MOST 800

static double crank[MOST], lift[MOST];

/* Two passes: back over 200 crank degrees, then over the whole of a pump turn. */
static darc_record two_passes(double crank_per_pump)
{
    darc_record r = {.n = MOST, .crank_deg = crank, .lift_mm = lift, .passes = 2};
    r.pass[0] = (darc_pass){0, 300, -1, DARC_START_FREE};
    r.pass[1] = (darc_pass){300, MOST, 1, DARC_START_TURN};
    for (int i = 0; i < MOST; i++)
        crank[i] = i < 300 ? 200.0 * (1.0 - i / 300.0)
                           : 360.0 * crank_per_pump * (i - 300) / 499.0;
    return r;
}

/* A cosine of so many waves a pump turn, with as much noise as a fifth of it. The short
 * pass shows another count, and is not asked. */
START_TEST(waves)
{
    const double ratio[] = {1.0, 2.0};
    sim_random random;
    sim_seed(&random, 1);
    for (int j = 0; j < 2; j++)
        for (int lobes = 1; lobes <= 16; lobes++) {
            darc_record r = two_passes(ratio[j]);
            for (int i = 0; i < MOST; i++) {
                int count = i < 300 ? lobes % 16 + 1 : lobes;
                double angle = count * crank[i] / ratio[j] * 3.14159265358979 / 180.0;
                lift[i] = cos(angle + 0.7) + 0.2 * sim_normal(&random);
            }
            ck_assert_int_eq(darc_lobes_seen(&r, ratio[j]), lobes);
        }
}
END_TEST

/* A lobe has overtones; its first wave is the strongest. */
START_TEST(lobes_of_any_law)
{
    static sim_sweep s;
    sim_random random;
    sim_seed(&random, 2);
    for (int law = 0; law < SIM_LAWS; law++)
        for (int lobes = 2; lobes <= 12; lobes++) {
            double pitch = 360.0 / lobes;
            sim_job job = {.cam = {.lobes = lobes,
                                   .lift_mm = 2.3,
                                   .rise_deg = 0.4 * pitch,
                                   .top_deg = 0.03 * pitch,
                                   .base_deg = 0.2 * pitch,
                                   .rise_law = law,
                                   .fall_law = law,
                                   .blend = 0.25},
                           .crank_per_pump = 2.0,
                           .slack_deg = 4.0,
                           .end_deg = 725.0,
                           .step_deg = 2.0,
                           .dial_turn_mm = 1.0};
            sim_run(&job, &random, &s);
            const darc_record r = {.n = s.n,
                                   .crank_deg = s.crank_deg,
                                   .lift_mm = s.dial_mm,
                                   .pass = {{0, s.n, 1, DARC_START_FREE}},
                                   .passes = 1};
            ck_assert_int_eq(darc_lobes_seen(&r, 2.0), lobes);
        }
}
END_TEST

/* Noise alone, a dial that stands still, and readings too few to tell. */
START_TEST(no_lobes)
{
    sim_random random;
    sim_seed(&random, 3);
    darc_record r = two_passes(2.0);
    for (int i = 0; i < MOST; i++)
        lift[i] = sim_normal(&random);
    ck_assert_int_eq(darc_lobes_seen(&r, 2.0), 0);
    for (int i = 0; i < MOST; i++)
        lift[i] = 0.25;
    ck_assert_int_eq(darc_lobes_seen(&r, 2.0), 0);
    r.pass[0] = (darc_pass){0, 1, 1, DARC_START_FREE};
    r.passes = 1;
    r.n = 1;
    ck_assert_int_eq(darc_lobes_seen(&r, 2.0), 0);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("lobe_count");
    TCase *c = tcase_create("count");
    tcase_add_test(c, waves);
    tcase_add_test(c, lobes_of_any_law);
    tcase_add_test(c, no_lobes);
    suite_add_tcase(s, c);
    return darc_run(s);
}
