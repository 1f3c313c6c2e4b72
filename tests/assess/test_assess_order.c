/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows that say in which direction the crank went may stand in any order. */
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/sweep_kit.h"
#include "kit/timing_kit.h"

#define SWEEPS 60

typedef struct sheet {
    size_t n;
    double crank[SIM_MAX], dial[SIM_MAX];
    dialarc_direction direction[SIM_MAX];
} sheet;

static dialarc_sweep of(const sheet *s)
{
    return (dialarc_sweep){s->n, s->crank, s->dial, s->direction};
}

/* A two-way sweep as it was taken, with the direction of each row. */
static void take(const sim_sweep *s, sheet *to)
{
    size_t top = 0;
    to->n = s->n;
    for (size_t i = 0; i < s->n; i++)
        top = s->crank_deg[i] > s->crank_deg[top] ? i : top;
    for (size_t i = 0; i < s->n; i++) {
        to->crank[i] = s->crank_deg[i];
        to->dial[i] = s->dial_mm[i];
        to->direction[i] = i <= top ? DIALARC_DIRECTION_WITH : DIALARC_DIRECTION_AGAINST;
    }
}

static void exchange(sheet *s, size_t i, size_t k)
{
    double crank = s->crank[i], dial = s->dial[i];
    dialarc_direction direction = s->direction[i];
    s->crank[i] = s->crank[k];
    s->dial[i] = s->dial[k];
    s->direction[i] = s->direction[k];
    s->crank[k] = crank;
    s->dial[k] = dial;
    s->direction[k] = direction;
}

static void shuffle(sheet *s, sim_random *r)
{
    for (size_t i = s->n - 1; i > 0; i--)
        exchange(s, i, (size_t)sim_integer(r, 0, (int)i));
}

/* Both ways side by side, as one fills in a form. */
static void by_angle(sheet *s)
{
    for (size_t i = 1; i < s->n; i++)
        for (size_t k = i; k > 0 && s->crank[k] < s->crank[k - 1]; k--)
            exchange(s, k, k - 1);
}

static bool same(const dialarc_timing *a, const dialarc_timing *b)
{
    return memcmp(&a->lift_mm, &b->lift_mm, sizeof a->lift_mm) == 0 &&
           memcmp(&a->lift_u_mm, &b->lift_u_mm, sizeof a->lift_u_mm) == 0 &&
           memcmp(&a->slack_crank_deg, &b->slack_crank_deg, sizeof a->lift_mm) == 0 &&
           memcmp(&a->minimum_mm, &b->minimum_mm, sizeof a->lift_mm) == 0 &&
           a->readings_rejected == b->readings_rejected;
}

static void check_orders(int known)
{
    static sim_sweep s;
    static sheet taken, other;
    sim_random r;
    int stopped = 0, far = 0, n = kit_count(SWEEPS);
    sim_seed(&r, (uint64_t)(90 + known));
    for (int k = 0; k < n; k++) {
        sim_job job = kit_job(&r);
        job.two_way = 1;
        sim_run(&job, &r, &s);
        dialarc_setup setup = kit_setup(&job, known);
        take(&s, &taken);
        dialarc_sweep rows = of(&taken);
        dialarc_timing in_order = timing_of(&setup, &rows);
        stopped += dialarc_findings_worst(&in_order.findings) == DIALARC_SEVERITY_STOP;
        far += !(fabs(in_order.lift_mm - s.lift_tdc_mm) <= 1.5 * in_order.lift_u_mm);
        other = taken;
        shuffle(&other, &r);
        rows = of(&other);
        dialarc_timing shuffled = timing_of(&setup, &rows);
        ck_assert(same(&shuffled, &in_order));
        by_angle(&other);
        rows = of(&other);
        dialarc_timing side_by_side = timing_of(&setup, &rows);
        ck_assert(same(&side_by_side, &in_order));
    }
    ck_assert_int_le(stopped, 1 + n / 20);
    ck_assert_int_le(far, 1 + n / 20);
}

START_TEST(any_order_gives_the_same_bits_cam_known)
{
    check_orders(1);
}
END_TEST

START_TEST(any_order_gives_the_same_bits_cam_learned)
{
    check_orders(0);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("order of the rows");
    TCase *c = tcase_create("order");
    tcase_set_timeout(c, 240);
    tcase_add_test(c, any_order_gives_the_same_bits_cam_known);
    tcase_add_test(c, any_order_gives_the_same_bits_cam_learned);
    suite_add_tcase(s, c);
    return darc_run(s);
}
