/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which estimate is asked for: by the given cam, or by one learned whether one is given
 * or not. */
#include <math.h>
#include <string.h>

#include "estimate/known_cam.h"
#include "estimate/learn.h"
#include "estimate/solve.h"
#include "kit/fit_kit.h"

static void check_equal(const darc_estimate *a, const darc_estimate *b)
{
    ck_assert(memcmp(a->mean, b->mean, sizeof a->mean) == 0);
    ck_assert(memcmp(a->var, b->var, sizeof a->var) == 0);
    ck_assert(memcmp(a->rise_mm, b->rise_mm, sizeof a->rise_mm) == 0);
    ck_assert(memcmp(&a->var_cam, &b->var_cam, sizeof a->var_cam) == 0);
    ck_assert_int_eq(a->law, b->law);
}

/* Whatever the fits held before: the second time each is asked for after the other. */
START_TEST(by_what_is_asked)
{
    static bench b;
    sim_random r;
    darc_estimate known, learned, e;
    sim_seed(&r, 940);
    sim_job job = kit_job(&r);
    dialarc_setup setup = kit_setup(&job, 1);
    set_bench(&b, &job, &setup, &r);
    darc_fit *fit = &b.memory.fit, *spare = &b.memory.trial;
    darc_fit_known(fit, spare, &b.problem, &known);
    darc_fit_learn(fit, spare, &b.problem, &learned);
    ck_assert(known.mean[DARC_ASK_LIFT] != learned.mean[DARC_ASK_LIFT]);
    darc_fit_solve(fit, spare, &b.problem, false, &e);
    check_equal(&e, &known);
    ck_assert_int_eq(fit->at.learned->count, 0); /* nothing is left of what was learned */
    darc_fit_solve(fit, spare, &b.problem, true, &e);
    check_equal(&e, &learned);
    ck_assert_int_gt(fit->at.learned->count, 0);
    clear_bench(&b);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("solve");
    TCase *c = tcase_create("solve");
    tcase_add_test(c, by_what_is_asked);
    suite_add_tcase(s, c);
    return darc_run(s);
}
