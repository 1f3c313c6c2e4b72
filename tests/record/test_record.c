/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings in recorded order cut into passes. */
#include <dialarc/sweep.h>
#include <math.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/simulate.h"
#include "record/record.h"
#include "record/sweep.h"

#define MOST   400
#define SD_DEG 0.2 /* a reversal counts from five of these: 1 degree */

typedef struct cut {
    darc_record record;
    double crank[MOST], lift[MOST];
    size_t row[MOST];
} cut;

/* Cuts a sweep; the lift of reading i is i unless given. */
static dialarc_status fill(cut *c, size_t n, const double *crank, const double *dial,
                           const dialarc_direction *direction, int sense)
{
    static double numbers[MOST];
    for (size_t i = 0; i < MOST; i++)
        numbers[i] = (double)i;
    dialarc_sweep sweep = {n, crank, dial ? dial : numbers, direction};
    memset(c, 0, sizeof *c);
    const darc_readings room = {c->crank, c->lift, c->row};
    dialarc_status status = darc_sweep_check(&sweep);
    const darc_dial_use used = {.sense = sense < 0 ? -1.0 : 1.0};
    return status == DIALARC_OK
               ? darc_record_make(&sweep, &used, SD_DEG, &room, &c->record)
               : status;
}

/* Whatever the sweep: passes are in order, without gaps, and hold every row once. */
static void check_whole(const cut *c, size_t n)
{
    const darc_record *r = &c->record;
    int seen[MOST] = {0};
    ck_assert_uint_eq(r->n, n);
    ck_assert_int_le(r->passes, DARC_MAX_PASSES);
    ck_assert_int_eq(r->passes > 0, n > 0);
    size_t at = 0;
    for (int k = 0; k < r->passes; k++) {
        ck_assert_uint_eq(r->pass[k].begin, at);
        ck_assert_uint_gt(r->pass[k].end, at);
        ck_assert(r->pass[k].direction == 1 || r->pass[k].direction == -1);
        at = r->pass[k].end;
    }
    ck_assert_uint_eq(at, n);
    for (size_t i = 0; i < n; i++) {
        ck_assert_uint_lt(r->row[i], n);
        seen[r->row[i]]++;
    }
    for (size_t i = 0; i < n; i++)
        ck_assert_int_eq(seen[i], 1);
}

static void check_pass(const cut *c, int k, size_t begin, size_t end, int direction,
                       darc_start start)
{
    const darc_pass *p = &c->record.pass[k];
    ck_assert_uint_eq(p->begin, begin);
    ck_assert_uint_eq(p->end, end);
    ck_assert_int_eq(p->direction, direction);
    ck_assert_int_eq(p->start, start);
}

START_TEST(one_way_and_back)
{
    const double crank[] = {-6, -4, -2, 0, 2, 4, 2, 0, -2, -4, -6};
    cut c;
    ck_assert_int_eq(fill(&c, 6, crank, NULL, NULL, 0), DIALARC_OK);
    check_whole(&c, 6);
    ck_assert_int_eq(c.record.passes, 1);
    check_pass(&c, 0, 0, 6, 1, DARC_START_FREE);
    ck_assert_int_eq(fill(&c, 6, crank + 5, NULL, NULL, 0), DIALARC_OK);
    check_pass(&c, 0, 0, 6, -1, DARC_START_FREE);
    ck_assert_int_eq(fill(&c, 11, crank, NULL, NULL, 0), DIALARC_OK);
    check_whole(&c, 11);
    ck_assert_int_eq(c.record.passes, 2);
    check_pass(&c, 0, 0, 6, 1, DARC_START_FREE); /* the turn belongs to the way there */
    check_pass(&c, 1, 6, 11, -1, DARC_START_TURN);
    ck_assert_int_eq(c.record.sorted, 0);
    for (size_t i = 0; i < 11; i++) {
        ck_assert_double_eq(c.crank[i], crank[i]);
        ck_assert_uint_eq(c.row[i], i);
    }
}
END_TEST

START_TEST(several_reversals)
{
    const double crank[] = {0, 10, 20, 15, 10, 14, 18, 18, 17.5, 25, 30, 28.9};
    cut c;
    ck_assert_int_eq(fill(&c, 12, crank, NULL, NULL, 0), DIALARC_OK);
    check_whole(&c, 12);
    ck_assert_int_eq(c.record.passes, 4);
    check_pass(&c, 0, 0, 3, 1, DARC_START_FREE);
    check_pass(&c, 1, 3, 5, -1, DARC_START_TURN);
    check_pass(&c, 2, 5, 11, 1, DARC_START_TURN);   /* half a degree back is noise */
    check_pass(&c, 3, 11, 12, -1, DARC_START_TURN); /* 1.1 degrees is not */
}
END_TEST

/* Up and down again in steps of a tenth of the noise: two passes, never more, and the
 * turn within the noise of where it was. */
START_TEST(noise_is_no_reversal)
{
    sim_random r;
    sim_seed(&r, 701);
    for (int trial = 0; trial < 300; trial++) {
        double crank[MOST];
        cut c;
        for (int i = 0; i < 200; i++)
            crank[i] =
                -20.0 + 0.2 * (i < 100 ? i : 200 - i) + 0.5 * SD_DEG * sim_normal(&r);
        ck_assert_int_eq(fill(&c, 200, crank, NULL, NULL, 0), DIALARC_OK);
        check_whole(&c, 200);
        ck_assert_int_eq(c.record.passes, 2);
        ck_assert_uint_ge(c.record.pass[0].end, 97);
        ck_assert_uint_le(c.record.pass[0].end, 105);
        ck_assert_int_eq(c.record.pass[1].start, DARC_START_TURN);
    }
}
END_TEST

START_TEST(standing_still_is_one_pass)
{
    const double crank[] = {5.0, 5.1, 4.9, 5.0, 5.0};
    cut c;
    ck_assert_int_eq(fill(&c, 5, crank, NULL, NULL, 0), DIALARC_OK);
    check_whole(&c, 5);
    ck_assert_int_eq(c.record.passes, 1);
    check_pass(&c, 0, 0, 5, 1, DARC_START_FREE);
}
END_TEST

/* Forward to 20, back without a reading to -10, forward again: what slack was left at -10
 * nobody knows. */
START_TEST(jump_opens_the_next_pass)
{
    const double crank[] = {0, 10, 20, -10, 0, 10, 20};
    cut c;
    ck_assert_int_eq(fill(&c, 7, crank, NULL, NULL, 0), DIALARC_OK);
    check_whole(&c, 7);
    ck_assert_int_eq(c.record.passes, 2);
    check_pass(&c, 0, 0, 3, 1, DARC_START_FREE);
    check_pass(&c, 1, 3, 7, 1, DARC_START_FREE);
    const double twice[] = {0, 10, 20, -10, 0, 10, 20, -10, 0, 10};
    ck_assert_int_eq(fill(&c, 10, twice, NULL, NULL, 0), DIALARC_OK);
    check_whole(&c, 10);
    ck_assert_int_eq(c.record.passes, 3);
    check_pass(&c, 2, 7, 10, 1, DARC_START_FREE);
}
END_TEST

START_TEST(wheel_wraps)
{
    const double forward[] = {340, 350, 359, 1, 10, 20};
    const double backward[] = {20, 10, 1, 359, 350, 340};
    const double two_turns[] = {700, 710, 719, 1, 11, 21};
    const double below[] = {170, 175, 180, -175, -170};
    cut c;
    ck_assert_int_eq(fill(&c, 6, forward, NULL, NULL, 0), DIALARC_OK);
    ck_assert_int_eq(c.record.passes, 1);
    for (size_t i = 0; i < 6; i++) /* TDC is where the wheel said 0 */
        ck_assert_double_eq(c.crank[i], forward[i] - (i < 3 ? 360.0 : 0.0));
    ck_assert_int_eq(fill(&c, 6, backward, NULL, NULL, 0), DIALARC_OK);
    check_pass(&c, 0, 0, 6, -1, DARC_START_FREE);
    for (size_t i = 0; i < 6; i++)
        ck_assert_double_eq(c.crank[i], backward[i] - (i < 3 ? 0.0 : 360.0));
    ck_assert_int_eq(fill(&c, 6, two_turns, NULL, NULL, 0), DIALARC_OK);
    ck_assert_int_eq(c.record.passes, 1);
    for (size_t i = 0; i < 6; i++)
        ck_assert_double_eq(c.crank[i], two_turns[i] - (i < 3 ? 720.0 : 0.0));
    ck_assert_int_eq(fill(&c, 5, below, NULL, NULL, 0), DIALARC_OK);
    ck_assert_int_eq(c.record.passes, 1);
    ck_assert_double_eq(c.crank[4] - c.crank[2], 10.0);
}
END_TEST

/* Three turns of the engine on a wheel of 360 degrees, there and back. */
START_TEST(wheel_wraps_several_times)
{
    double crank[MOST];
    cut c;
    for (int i = 0; i < 109; i++) {
        double true_angle = 10.0 * i - 540.0;
        crank[i] = crank[217 - i] = true_angle - 360.0 * floor(true_angle / 360.0);
    }
    ck_assert_int_eq(fill(&c, 218, crank, NULL, NULL, 0), DIALARC_OK);
    check_whole(&c, 218);
    ck_assert_int_eq(c.record.passes, 2);
    check_pass(&c, 0, 0, 110, 1, DARC_START_FREE);
    check_pass(&c, 1, 110, 218, -1, DARC_START_TURN);
    for (int i = 1; i < 109; i++)
        ck_assert_double_eq_tol(c.crank[i] - c.crank[i - 1], 10.0, 1e-12);
}
END_TEST

/* A misread angle that is out by less than most of a turn is no wrap. */
START_TEST(large_steps_are_not_wraps)
{
    const double crank[] = {-100, 0, 260, 300};
    cut c;
    ck_assert_int_eq(fill(&c, 4, crank, NULL, NULL, 0), DIALARC_OK);
    for (size_t i = 0; i < 4; i++)
        ck_assert_double_eq(c.crank[i], crank[i]);
}
END_TEST

START_TEST(directions_in_order_of_the_readings)
{
    const double crank[] = {-4, -2, 0, 2, 4, 2, 0, -2};
    dialarc_direction d[8];
    cut c;
    for (int i = 0; i < 8; i++)
        d[i] = i < 5 ? DIALARC_DIRECTION_WITH : DIALARC_DIRECTION_AGAINST;
    ck_assert_int_eq(fill(&c, 8, crank, NULL, d, 0), DIALARC_OK);
    check_whole(&c, 8);
    ck_assert_int_eq(c.record.sorted, 0);
    ck_assert_int_eq(c.record.passes, 2);
    check_pass(&c, 0, 0, 5, 1, DARC_START_FREE);
    check_pass(&c, 1, 5, 8, -1, DARC_START_TURN);
    d[3] = DIALARC_DIRECTION_UNKNOWN; /* then the order decides for all */
    ck_assert_int_eq(fill(&c, 8, crank, NULL, d, 0), DIALARC_OK);
    ck_assert_int_eq(c.record.passes, 2);
    check_pass(&c, 1, 5, 8, -1, DARC_START_TURN);
    /* directions settle what the angles are too close together to show */
    const double close[] = {0.0, 0.3, 0.6, 0.5, 0.2};
    const dialarc_direction to_and_fro[] = {1, 1, 1, -1, -1};
    ck_assert_int_eq(fill(&c, 5, close, NULL, to_and_fro, 0), DIALARC_OK);
    ck_assert_int_eq(c.record.passes, 2);
    check_pass(&c, 1, 3, 5, -1, DARC_START_TURN);
}
END_TEST

/* The record of a whole sweep in any order: put in order with the running direction
 * first, each with its own reading. */
START_TEST(directions_out_of_order)
{
    double crank[40], dial[40];
    dialarc_direction d[40];
    cut c;
    sim_random r;
    sim_seed(&r, 702);
    for (int i = 0; i < 40; i++) {
        crank[i] = i < 20 ? 3.0 * i - 30.0 : 3.0 * (40 - i) - 30.0;
        d[i] = i < 20 ? DIALARC_DIRECTION_WITH : DIALARC_DIRECTION_AGAINST;
        dial[i] = crank[i] + 1000.0 * (int)d[i];
    }
    for (int i = 39; i > 0; i--) {
        int k = sim_integer(&r, 0, i);
        double a = crank[i], b = dial[i];
        dialarc_direction e = d[i];
        crank[i] = crank[k], dial[i] = dial[k], d[i] = d[k];
        crank[k] = a, dial[k] = b, d[k] = e;
    }
    ck_assert_int_eq(fill(&c, 40, crank, dial, d, 0), DIALARC_OK);
    check_whole(&c, 40);
    ck_assert_int_eq(c.record.sorted, 1);
    ck_assert_int_eq(c.record.passes, 2);
    check_pass(&c, 0, 0, 20, 1, DARC_START_FREE);
    check_pass(&c, 1, 20, 40, -1, DARC_START_FREE); /* the turn was not recorded */
    for (size_t i = 0; i < 40; i++) {
        ck_assert_double_eq(c.lift[i], c.crank[i] + (i < 20 ? 1000.0 : -1000.0));
        ck_assert_double_eq(dial[c.row[i]], c.lift[i]);
        if (i % 20)
            ck_assert_double_gt((c.crank[i] - c.crank[i - 1]) * (i < 20 ? 1 : -1), 0.0);
    }
}
END_TEST

/* Rows at one angle keep their order. */
START_TEST(sorting_is_stable)
{
    const double crank[] = {9, 5, 5, 1, 5}, dial[] = {0, 1, 2, 3, 4};
    const dialarc_direction d[] = {1, 1, 1, 1, 1};
    const size_t row[] = {3, 1, 2, 4, 0};
    cut c;
    ck_assert_int_eq(fill(&c, 5, crank, dial, d, 0), DIALARC_OK);
    check_whole(&c, 5);
    for (size_t i = 0; i < 5; i++)
        ck_assert_uint_eq(c.row[i], row[i]);
    ck_assert_int_eq(c.record.passes, 1);
    const double late[] = {0, 10, 20, 12, 30}; /* back from the farthest, not the first */
    ck_assert(fill(&c, 5, late, dial, d, 0) == DIALARC_OK && c.record.sorted);
}
END_TEST

START_TEST(sense_of_the_dial)
{
    const double crank[] = {0, 5, 10}, dial[] = {1.0, -2.0, 3.5};
    cut c;
    for (int sense = -1; sense <= 1; sense++) {
        ck_assert_int_eq(fill(&c, 3, crank, dial, NULL, sense), DIALARC_OK);
        for (size_t i = 0; i < 3; i++)
            ck_assert_double_eq(c.lift[i], sense < 0 ? -dial[i] : dial[i]);
    }
}
END_TEST

/* More passes than there is room for: none is lost, the rest joins the last. */
START_TEST(too_many_passes)
{
    double crank[MOST];
    dialarc_direction d[MOST];
    cut c;
    for (int i = 0; i < MOST; i++) {
        crank[i] = (i / 4) % 2 ? 10.0 - 2.0 * (i % 4) : 3.0 + 2.0 * (i % 4);
        d[i] = (i / 4) % 2 ? DIALARC_DIRECTION_AGAINST : DIALARC_DIRECTION_WITH;
    }
    ck_assert_int_eq(fill(&c, MOST, crank, NULL, NULL, 0), DIALARC_OK);
    check_whole(&c, MOST);
    ck_assert_int_eq(c.record.passes, DARC_MAX_PASSES);
    ck_assert_int_eq(fill(&c, MOST, crank, NULL, d, 0), DIALARC_OK);
    check_whole(&c, MOST);
    ck_assert_int_eq(c.record.passes, DARC_MAX_PASSES);
}
END_TEST

START_TEST(few_readings)
{
    const double crank[] = {7.0, 3.0};
    const dialarc_direction d[] = {DIALARC_DIRECTION_AGAINST, DIALARC_DIRECTION_AGAINST};
    cut c;
    ck_assert_int_eq(fill(&c, 0, NULL, NULL, NULL, 0), DIALARC_OK);
    check_whole(&c, 0);
    ck_assert_int_eq(fill(&c, 0, NULL, NULL, d, 0), DIALARC_OK);
    check_whole(&c, 0);
    ck_assert_int_eq(fill(&c, 1, crank, NULL, NULL, 0), DIALARC_OK);
    check_whole(&c, 1);
    check_pass(&c, 0, 0, 1, 1, DARC_START_FREE);
    ck_assert_int_eq(fill(&c, 1, crank, NULL, d, 0), DIALARC_OK);
    check_pass(&c, 0, 0, 1, -1, DARC_START_FREE);
    ck_assert_int_eq(fill(&c, 2, crank, NULL, NULL, 0), DIALARC_OK);
    check_whole(&c, 2);
    check_pass(&c, 0, 0, 2, -1, DARC_START_FREE);
}
END_TEST

START_TEST(bad_sweeps)
{
    double crank[] = {0, 1, 2}, dial[] = {0, 1, 2};
    dialarc_direction d[] = {1, 1, 1};
    const double bad[] = {NAN, INFINITY, -INFINITY};
    cut c;
    dialarc_sweep s = {3, NULL, dial, NULL};
    ck_assert_int_eq(darc_sweep_check(&s), DIALARC_ERR_NULL);
    s = (dialarc_sweep){3, crank, NULL, NULL};
    ck_assert_int_eq(darc_sweep_check(&s), DIALARC_ERR_NULL);
    s = (dialarc_sweep){DIALARC_SWEEP_MAX + 1, crank, dial, NULL};
    ck_assert_int_eq(darc_sweep_check(&s), DIALARC_ERR_SIZE);
    for (int k = 0; k < 3; k++) {
        crank[k] = bad[k];
        ck_assert_int_eq(fill(&c, 3, crank, dial, d, 0), DIALARC_ERR_NOT_FINITE);
        crank[k] = k;
        dial[k] = bad[k];
        ck_assert_int_eq(fill(&c, 3, crank, dial, d, 0), DIALARC_ERR_NOT_FINITE);
        dial[k] = k;
        crank[k] = k % 2 ? 1.1e9 : -1.1e9;
        ck_assert_int_eq(fill(&c, 3, crank, dial, d, 0), DIALARC_ERR_RANGE);
        crank[k] = k;
        dial[k] = k % 2 ? -1.1e9 : 1.1e9;
        ck_assert_int_eq(fill(&c, 3, crank, dial, d, 0), DIALARC_ERR_RANGE);
        dial[k] = k;
        d[k] = (dialarc_direction)(k % 2 ? 2 : -2);
        ck_assert_int_eq(fill(&c, 3, crank, dial, d, 0), DIALARC_ERR_DIRECTION);
        d[k] = DIALARC_DIRECTION_WITH;
    }
    ck_assert_int_eq(fill(&c, 3, crank, dial, d, 0), DIALARC_OK);
}
END_TEST

/* Readings at one angle in a row are of one stand; the pass ends it. */
START_TEST(stands)
{
    static cut c;
    const double crank[] = {0, 0, 5, 5, 5, 10, 10, 5, 5, 0};
    const size_t wanted[] = {2, 2, 3, 3, 3, 2, 2, 2, 2, 1};
    ck_assert_int_eq(fill(&c, 10, crank, NULL, NULL, 1), DIALARC_OK);
    ck_assert_int_eq(c.record.passes, 2);
    for (int k = 0; k < c.record.passes; k++)
        for (size_t i = c.record.pass[k].begin; i < c.record.pass[k].end; i++)
            ck_assert_uint_eq(darc_record_stand(&c.record, &c.record.pass[k], i),
                              wanted[i]);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("sweep");
    TCase *tc = tcase_create("by order");
    tcase_add_test(tc, stands);
    tcase_add_test(tc, one_way_and_back);
    tcase_add_test(tc, several_reversals);
    tcase_add_test(tc, noise_is_no_reversal);
    tcase_add_test(tc, standing_still_is_one_pass);
    tcase_add_test(tc, jump_opens_the_next_pass);
    tcase_add_test(tc, wheel_wraps);
    tcase_add_test(tc, wheel_wraps_several_times);
    tcase_add_test(tc, large_steps_are_not_wraps);
    tcase_add_test(tc, too_many_passes);
    tcase_add_test(tc, few_readings);
    suite_add_tcase(suite, tc);
    tc = tcase_create("by direction");
    tcase_add_test(tc, directions_in_order_of_the_readings);
    tcase_add_test(tc, directions_out_of_order);
    tcase_add_test(tc, sorting_is_stable);
    tcase_add_test(tc, sense_of_the_dial);
    suite_add_tcase(suite, tc);
    tc = tcase_create("refused");
    tcase_add_test(tc, bad_sweeps);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
