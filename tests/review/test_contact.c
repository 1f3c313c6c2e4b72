/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A dial that lost the plunger near the minimum, or stood at its stop: what the readings
 * in which it moved say of those in which it stood still.
 */
#include <math.h>

#include "estimate/solve.h"
#include "kit/check_main.h"
#include "kit/review_kit.h"
#include "review/contact.h"

#define SWEEPS 40

/* From the rise over the top into the next base dwell, turning round there, where a dial
 * that has lost the plunger stands still, and back. */
static sim_job job_turning_there(sim_random *r)
{
    sim_job j = kit_job(r);
    double pitch = j.crank_per_pump * 360.0 / j.cam.lobes;
    j.cam.base_deg = 10.0;
    j.two_way = 1;
    j.start_deg = j.foot_crank_deg + 10.0;
    j.end_deg = j.foot_crank_deg + pitch - 10.0;
    j.step_deg = 1.0;
    return j;
}

static double outermost(const sim_sweep *s, double sense)
{
    double out = INFINITY;
    for (size_t i = 0; i < s->n; i++)
        out = fmin(out, sense * s->dial_mm[i]);
    return out;
}

/* The dial goes no further than `short_mm` of the end. */
static void stand_off(sim_sweep *s, darc_end end, double short_mm)
{
    double sense = end == DARC_END_LOW ? 1.0 : -1.0;
    double level = outermost(s, sense) + short_mm;
    for (size_t i = 0; i < s->n; i++)
        s->dial_mm[i] = sense * fmax(sense * s->dial_mm[i], level);
}

typedef struct answer {
    int found, lost, right;
} answer;

/* The evidence is weighed against that of the fit of all readings, 25 to 1. */
static answer ask(darc_end end, double short_mm, bool learn)
{
    static sim_sweep s;
    static copied before;
    sim_random r;
    answer a = {0, 0, 0};
    sim_seed(&r, 40);
    for (int k = 0; k < kit_count(SWEEPS); k++) {
        sim_job job = job_turning_there(&r);
        sim_run(&job, &r, &s);
        if (short_mm > 0.0)
            stand_off(&s, end, short_mm);
        dialarc_setup setup = kit_setup(&job, 1);
        dialarc_sweep given = kit_sweep(&s);
        darc_memory memory = {.capacity = 0};
        darc_problem problem;
        darc_estimate all;
        ck_assert_int_eq(darc_memory_open(&memory, &setup, NULL, 0.0, &given, &problem),
                         DIALARC_OK);
        darc_fit_solve(&memory.fit, &memory.trial, &problem, learn, &all);
        copy_record(&problem.record, &before);
        darc_contact c = darc_contact_look(&problem, end, learn, &memory);
        check_unaltered(&problem.record, &before);
        a.found += c.found;
        a.lost += c.found && c.estimate.log_evidence > all.log_evidence + log(25.0);
        a.right += c.found && fabs(c.beyond_mm - short_mm) < 3.0 * c.sd_mm + 0.01;
        darc_memory_release(&memory);
    }
    return a;
}

START_TEST(lost_by_a_tenth_with_the_cam_given)
{
    answer a = ask(DARC_END_LOW, 0.1, false);
    int n = kit_count(SWEEPS);
    ck_assert_int_eq(a.found, n);
    ck_assert_int_eq(a.lost, n);
    ck_assert_int_ge(10 * a.right, 9 * n);
}
END_TEST

START_TEST(lost_by_a_tenth_with_the_cam_learned)
{
    answer a = ask(DARC_END_LOW, 0.1, true);
    int n = kit_count(SWEEPS);
    ck_assert_int_ge(4 * a.found, 3 * n);
    ck_assert_int_ge(10 * a.lost, 9 * a.found);
}
END_TEST

START_TEST(at_its_stop_with_the_cam_given)
{
    answer a = ask(DARC_END_HIGH, 0.3, false);
    int n = kit_count(SWEEPS);
    ck_assert_int_eq(a.lost, n);
    ck_assert_int_ge(10 * a.right, 9 * n);
}
END_TEST

START_TEST(at_its_stop_with_the_cam_learned)
{
    answer a = ask(DARC_END_HIGH, 0.5, true);
    ck_assert_int_ge(10 * a.lost, 9 * kit_count(SWEEPS));
}
END_TEST

START_TEST(nothing_lost)
{
    for (int end = 0; end < DARC_ENDS; end++)
        for (int learn = 0; learn < 2; learn++)
            ck_assert_int_eq(ask((darc_end)end, 0.0, learn).lost, 0);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("contact");
    TCase *c = tcase_create("contact");
    tcase_set_timeout(c, 240);
    tcase_add_test(c, lost_by_a_tenth_with_the_cam_given);
    tcase_add_test(c, lost_by_a_tenth_with_the_cam_learned);
    tcase_add_test(c, at_its_stop_with_the_cam_given);
    tcase_add_test(c, at_its_stop_with_the_cam_learned);
    tcase_add_test(c, nothing_lost);
    suite_add_tcase(s, c);
    return darc_run(s);
}
