/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A simulated mechanic who reads what he is told next, until it is enough. */
#include "guide/next.h"

#include "kit/guide_kit.h"

#define LOW  0.93 /* a window of 0.04 mm */
#define HIGH 0.97

/* Readings so far, each come to from behind in its direction. */
typedef struct taken {
    size_t n;
    double crank_deg[KIT_MOST], dial_mm[KIT_MOST];
    dialarc_direction direction[KIT_MOST];
} taken;

static dialarc_sweep sweep_of(const taken *t)
{
    return (dialarc_sweep){t->n, t->crank_deg, t->dial_mm, t->direction};
}

/* Goes to where he is told and reads. */
static void read_one(sim_job *job, const dialarc_reach *reach, const dialarc_next *next,
                     sim_random *r, taken *t)
{
    static sim_sweep sweep;
    const double way[2] = {reach->last_crank_deg, next->crank_deg};
    int back = next->direction == DIALARC_DIRECTION_AGAINST;
    ck_assert_double_ge(next->crank_deg, reach->first_crank_deg - 1e-9);
    ck_assert_double_le(next->crank_deg, reach->last_crank_deg + 1e-9);
    ck_assert(!back || reach->both_ways);
    job->path_deg = back ? way : way + 1;
    job->path_n = back ? 2 : 1;
    sim_run(job, r, &sweep);
    t->crank_deg[t->n] = sweep.crank_deg[sweep.n - 1];
    t->dial_mm[t->n] = sweep.dial_mm[sweep.n - 1];
    t->direction[t->n++] = next->direction;
}

typedef struct score {
    int jobs, decided, wrong;
    double readings;
} score;

static int is_wrong(dialarc_verdict verdict, double lift)
{
    return (verdict == DIALARC_VERDICT_IN && (lift < LOW || lift > HIGH)) ||
           (verdict == DIALARC_VERDICT_LOW && lift >= LOW) ||
           (verdict == DIALARC_VERDICT_HIGH && lift <= HIGH);
}

static void count(dialarc_workspace *ws, const dialarc_setup *setup,
                  const dialarc_sweep *sweep, double lift, score *s)
{
    dialarc_timing t;
    dialarc_decision d;
    ck_assert_int_ge(dialarc_assess(ws, setup, sweep, NULL, &t, &d), DIALARC_OK);
    s->jobs++;
    s->readings += (double)sweep->n;
    s->decided += d.verdict == DIALARC_VERDICT_IN || d.verdict == DIALARC_VERDICT_LOW ||
                  d.verdict == DIALARC_VERDICT_HIGH;
    s->wrong += is_wrong(d.verdict, lift);
}

/* One job both ways: guided, and with `even` readings spaced evenly. */
static void one_job(dialarc_workspace *ws, sim_random *r, int known, size_t even,
                    double misread_share, score *guided, score *spaced)
{
    static sim_sweep sweep;
    sim_job job = kit_job(r);
    double lift = 0.95 + 0.03 * sim_normal(r), crank[KIT_MOST];
    job.foot_crank_deg = -2.0 * sim_angle_of(&job.cam, lift);
    job.tdc_error_deg = 0.1 * sim_normal(r);
    job.misread_share = misread_share;
    dialarc_setup setup = kit_setup(&job, known);
    setup.tdc_sd_deg = 0.1;
    setup.lift_low_mm = LOW;
    setup.lift_high_mm = HIGH;
    const dialarc_reach reach = kit_reach(&job, 0);
    taken t = {.n = 0};
    dialarc_next next = {.prospect = DIALARC_PROSPECT_MORE};
    while (t.n < KIT_MOST) {
        const dialarc_sweep sofar = sweep_of(&t);
        ck_assert_int_ge(dialarc_design_next(ws, &setup, &sofar, &reach, &next),
                         DIALARC_OK);
        if (next.prospect != DIALARC_PROSPECT_MORE)
            break;
        read_one(&job, &reach, &next, r, &t);
    }
    const dialarc_sweep all = sweep_of(&t);
    lift = sim_lift_forward(&job, 0.0);
    count(ws, &setup, &all, lift, guided);
    kit_even(&reach, even, crank);
    const dialarc_sweep other = kit_take(&job, even, crank, r, &sweep);
    count(ws, &setup, &other, lift, spaced);
}

/* With 30 % fewer readings than evenly spaced ones at least as many jobs are decided, and
 * no more than 2.5 % of them wrongly, although one stops as soon as there is a verdict.
 */
START_TEST(fewer_readings_and_no_more_false_verdicts)
{
    score guided = {0}, spaced = {0};
    int jobs = kit_count(150);
    dialarc_workspace *ws = dialarc_workspace_new();
    sim_random r;
    sim_seed(&r, 71 + (uint64_t)_i);
    for (int k = 0; k < jobs; k++)
        one_job(ws, &r, 1, 20, _i ? 0.05 : 0.0, &guided, &spaced);
    dialarc_workspace_free(ws);
    ck_assert_double_le(guided.readings, 0.7 * spaced.readings);
    ck_assert_int_ge(guided.decided, spaced.decided - jobs / 20);
    ck_assert_double_le(guided.wrong, 0.025 * jobs + 2.0 * sqrt(0.025 * jobs));
}
END_TEST

START_TEST(cam_learned)
{
    score guided = {0}, spaced = {0};
    int jobs = kit_count(15);
    dialarc_workspace *ws = dialarc_workspace_new();
    sim_random r;
    sim_seed(&r, 81);
    for (int k = 0; k < jobs; k++)
        one_job(ws, &r, 0, 34, 0.0, &guided, &spaced);
    dialarc_workspace_free(ws);
    ck_assert_double_le(guided.readings, spaced.readings);
    ck_assert_int_le(guided.wrong, 1 + jobs / 20);
}
END_TEST

/* TDC known so badly that no reading helps: told so, with what would. */
START_TEST(never)
{
    dialarc_workspace *ws = dialarc_workspace_new();
    sim_random r;
    sim_sweep sweep;
    double crank[KIT_MOST];
    dialarc_next next;
    sim_seed(&r, 91);
    sim_job job = kit_pump(&r);
    dialarc_setup setup = kit_setup(&job, 1);
    double lift = sim_lift_forward(&job, 0.0);
    setup.tdc_sd_deg = 1.0;
    setup.lift_low_mm = lift - 0.02;
    setup.lift_high_mm = lift + 0.02;
    const dialarc_reach reach = kit_reach(&job, 0);
    kit_even(&reach, 20, crank);
    const dialarc_sweep sofar = kit_take(&job, 20, crank, &r, &sweep);
    ck_assert_int_eq(dialarc_design_next(ws, &setup, &sofar, &reach, &next), DIALARC_OK);
    ck_assert_int_eq(next.prospect, DIALARC_PROSPECT_NEVER);
    ck_assert_int_eq(next.advice, DIALARC_ADVICE_FIND_TDC);
    ck_assert_double_nan(next.crank_deg);
    ck_assert_double_lt(next.chance_verdict, 0.05);
    dialarc_workspace_free(ws);
}
END_TEST

/* Without a window: on while a reading is worth one part in a hundred. */
START_TEST(without_a_window)
{
    dialarc_workspace *ws = dialarc_workspace_new();
    sim_random r;
    taken t = {.n = 0};
    dialarc_next next;
    sim_seed(&r, 95);
    sim_job job = kit_pump(&r);
    dialarc_setup setup = kit_setup(&job, 1);
    setup.tdc_sd_deg = 0.2;
    const dialarc_reach reach = kit_reach(&job, 1);
    double before = INFINITY;
    for (; t.n < KIT_MOST; read_one(&job, &reach, &next, &r, &t)) {
        const dialarc_sweep sofar = sweep_of(&t);
        ck_assert_int_ge(dialarc_design_next(ws, &setup, &sofar, &reach, &next),
                         DIALARC_OK);
        ck_assert_double_nan(next.chance_verdict);
        if (next.prospect != DIALARC_PROSPECT_MORE)
            break;
        if (!isnan(next.lift_u_next_mm)) {
            ck_assert_double_lt(next.lift_u_next_mm, next.lift_u_mm);
            before = next.lift_u_next_mm;
        }
    }
    ck_assert_int_eq(next.prospect, DIALARC_PROSPECT_ENOUGH);
    ck_assert_uint_ge(t.n, 8);
    ck_assert_double_eq_tol(next.lift_u_mm, before, 0.25 * before);
    dialarc_workspace_free(ws);
}
END_TEST

/* All that can be read has been, and nothing comes of it. */
START_TEST(nothing_left)
{
    static const double crank[] = {-10, -5, 0, 5, 10, 15, 20}, dial[7] = {0.0};
    const dialarc_reach reach = {-10.0, 20.0, 5.0, 0};
    dialarc_workspace *ws = dialarc_workspace_new();
    const dialarc_setup setup = dialarc_setup_unknown(4);
    const dialarc_sweep sweep = {7, crank, dial, NULL};
    dialarc_next next;
    ck_assert_int_eq(dialarc_design_next(ws, &setup, &sweep, &reach, &next), DIALARC_OK);
    ck_assert_int_eq(next.prospect, DIALARC_PROSPECT_NEVER);
    ck_assert_int_eq(next.advice, DIALARC_ADVICE_SEE_FINDINGS);
    dialarc_workspace_free(ws);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("next");
    TCase *tc = tcase_create("next");
    tcase_set_timeout(tc, 120);
    tcase_add_loop_test(tc, fewer_readings_and_no_more_false_verdicts, 0, 2);
    tcase_add_test(tc, cam_learned);
    tcase_add_test(tc, never);
    tcase_add_test(tc, without_a_window);
    tcase_add_test(tc, nothing_left);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
