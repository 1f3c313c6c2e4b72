/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Chosen readings against even ones, by simulated sweeps with known truth. */
#include "guide/choose.h"

#include "kit/guide_kit.h"

/* What plans of one kind have come to. */
typedef struct score {
    int used, stopped, covered;
    double square, u_mm;
} score;

static void take(dialarc_workspace *ws, sim_job *job, const dialarc_setup *setup,
                 size_t n, const double *crank_deg, int misread, sim_random r, score *s)
{
    static sim_sweep sweep;
    dialarc_timing t;
    const dialarc_sweep taken = kit_take(job, n, crank_deg, &r, &sweep);
    if (misread)
        sweep.dial_mm[sim_integer(&r, 0, (int)n - 1)] +=
            sim_uniform(&r, 0, 1) < 0.5 ? -0.1 : 1.0;
    ck_assert_int_ge(dialarc_timing_estimate(ws, setup, &taken, NULL, &t), DIALARC_OK);
    s->stopped += kit_stopped(&t);
    if (kit_stopped(&t))
        return;
    double off = t.lift_mm - sweep.lift_tdc_mm;
    s->used++;
    s->square += off * off;
    s->u_mm += t.lift_u_mm;
    s->covered += fabs(off) <= t.lift_u_mm;
}

/* Chosen and even plans on the same pumps. */
static void compare(int known, int both_ways, size_t n, size_t n_even, int misread,
                    int pumps, score *chosen, score *even)
{
    dialarc_workspace *ws = dialarc_workspace_new();
    sim_random r;
    sim_seed(&r, 300 + n);
    *chosen = *even = (score){.used = 0};
    for (int k = 0; k < pumps; k++) {
        double crank[KIT_MOST];
        sim_job job = kit_pump(&r);
        const dialarc_setup setup = kit_setup(&job, known);
        const dialarc_reach reach = kit_reach(&job, both_ways);
        ck_assert_int_eq(dialarc_design_choose(ws, &setup, KIT_MIDDLE, &reach, n, crank),
                         DIALARC_OK);
        take(ws, &job, &setup, n, crank, misread, r, chosen);
        kit_even(&reach, n_even, crank);
        take(ws, &job, &setup, n_even, crank, misread, r, even);
        sim_normal(&r);
    }
    dialarc_workspace_free(ws);
}

/* As good as half as many again, evenly spaced, or nearly so where they are few, and U
 * holds the truth. */
START_TEST(two_thirds_of_even_ones)
{
    static const struct {
        int both_ways;
        size_t n, even;
    } cases[] = {{0, 10, 14}, {0, 20, 30}, {1, 16, 24}, {1, 20, 30}};
    score chosen, even;
    int pumps = kit_count(200);
    compare(1, cases[_i].both_ways, cases[_i].n, cases[_i].even, 0, pumps, &chosen,
            &even);
    ck_assert_int_eq(chosen.stopped, 0);
    ck_assert_double_le(chosen.u_mm / chosen.used,
                        (1.0 + 0.6 / sqrt(pumps)) * even.u_mm / even.used);
    ck_assert_double_ge((double)chosen.covered / chosen.used,
                        0.95 - 3.0 * sqrt(0.95 * 0.05 / pumps));
}
END_TEST

/* One reading is misread, by a tenth or a whole turn: it costs no more sweeps than it
 * does with even readings, and the sweep stays as good as it was foretold. */
START_TEST(one_misread_costs_no_sweep)
{
    score sound, misread, even;
    int pumps = kit_count(200);
    compare(1, 0, 12, 12, 0, pumps, &sound, &even);
    compare(1, 0, 12, 12, 1, pumps, &misread, &even);
    ck_assert_int_le(misread.stopped, pumps / 100 + 1);
    ck_assert_double_le(misread.u_mm / misread.used, 1.35 * sound.u_mm / sound.used);
    ck_assert_double_ge((double)misread.covered / misread.used,
                        0.95 - 3.0 * sqrt(0.95 * 0.05 / pumps));
}
END_TEST

/* With the cam to be learned the choice covers rise and fall: it is as usable as even
 * readings, and with readings to spare better. */
START_TEST(cam_learned)
{
    score chosen, even;
    int pumps = kit_count(40);
    compare(0, 0, 30, 30, 0, pumps, &chosen, &even);
    ck_assert_int_le(chosen.stopped, even.stopped + 3);
    ck_assert_double_le(chosen.u_mm / chosen.used, even.u_mm / even.used);
}
END_TEST

/* Angles of the reach in order, none twice a way, TDC and the turning point among them.
 */
START_TEST(plans_are_in_order)
{
    dialarc_workspace *ws = dialarc_workspace_new();
    sim_random r;
    sim_seed(&r, 31);
    for (int k = 0; k < kit_count(40); k++) {
        double crank[KIT_MOST];
        sim_job job = kit_pump(&r);
        size_t n = (size_t)sim_integer(&r, 6, 40), turn = 0;
        int tdc = 0, known = k % 2, both = k / 2 % 2;
        const dialarc_setup setup = kit_setup(&job, known);
        dialarc_reach reach = kit_reach(&job, both);
        reach.step_crank_deg = k % 3 == 0 ? 2.0 : 1.0;
        reach.first_crank_deg = 2.0 * floor(0.5 * reach.first_crank_deg);
        ck_assert_int_eq(dialarc_design_choose(ws, &setup, KIT_MIDDLE, &reach, n, crank),
                         DIALARC_OK);
        while (turn + 1 < n && crank[turn + 1] > crank[turn])
            turn++;
        for (size_t i = turn + 1; i < n; i++)
            ck_assert_double_lt(crank[i], crank[i - 1]);
        for (size_t i = 0; i < n; i++) {
            double steps = (crank[i] - reach.first_crank_deg) / reach.step_crank_deg;
            ck_assert_double_eq_tol(steps, round(steps), 1e-9);
            ck_assert_double_ge(crank[i], reach.first_crank_deg);
            ck_assert_double_le(crank[i], reach.last_crank_deg);
            tdc += i <= turn && fabs(crank[i]) < 1e-9;
        }
        ck_assert_int_eq(tdc, 1);
        ck_assert(both || turn == n - 1);
        ck_assert(!both || fabs(crank[turn] - reach.last_crank_deg) < 1e-9);
    }
    dialarc_workspace_free(ws);
}
END_TEST

START_TEST(reach_is_counted)
{
    const dialarc_reach one = {-3.0, 1.5, 1.5, 0}, both = {-3.0, 2.0, 1.5, 1};
    static const double there[] = {-3.0, -1.5, 0.0, 1.5, 0.0, -1.5, -3.0};
    double crank[7];
    ck_assert_uint_eq(darc_reach_angles(&one, crank), 4);
    ck_assert_uint_eq(darc_reach_forward(&both), 4);
    ck_assert_uint_eq(darc_reach_angles(&both, crank), 7);
    for (int k = 0; k < 7; k++)
        ck_assert_double_eq(crank[k], there[k]);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("choose");
    TCase *tc = tcase_create("choose");
    tcase_set_timeout(tc, 120);
    tcase_add_loop_test(tc, two_thirds_of_even_ones, 0, 4);
    tcase_add_test(tc, one_misread_costs_no_sweep);
    tcase_add_test(tc, cam_learned);
    tcase_add_test(tc, plans_are_in_order);
    tcase_add_test(tc, reach_is_counted);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
