/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What must not matter does not, and what must move the answer moves it just so: where
 * the degree wheel and the dial were set to zero, which way the dial turns, in which unit
 * and in which order the readings were written down.
 */
#include <dialarc/assess.h>
#include <dialarc/units.h>
#include <math.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/sweep_kit.h"

#define MOST 1000

/* A sweep that can be changed, and what it came to. */
typedef struct record {
    dialarc_setup setup;
    size_t n;
    double crank[MOST], dial[MOST], residual[MOST];
    dialarc_direction direction[MOST];
    int by_direction;
    dialarc_timing timing;
} record;

static void estimate(record *r)
{
    dialarc_workspace *ws = dialarc_workspace_new();
    dialarc_sweep s = {r->n, r->crank, r->dial, r->by_direction ? r->direction : NULL};
    dialarc_status status =
        dialarc_timing_estimate(ws, &r->setup, &s, r->residual, &r->timing);
    ck_assert_int_eq(status, DIALARC_OK);
    dialarc_workspace_free(ws);
}

static void record_of(record *r, const sim_job *job, const dialarc_setup *setup,
                      sim_random *random)
{
    static sim_sweep sweep;
    sim_run(job, random, &sweep);
    ck_assert_uint_le(sweep.n, MOST);
    r->setup = *setup;
    r->n = sweep.n;
    r->by_direction = 0;
    memcpy(r->crank, sweep.crank_deg, sweep.n * sizeof r->crank[0]);
    memcpy(r->dial, sweep.dial_mm, sweep.n * sizeof r->dial[0]);
    for (size_t i = 0; i < r->n; i++)
        r->direction[i] =
            i <= r->n / 2 ? DIALARC_DIRECTION_WITH : DIALARC_DIRECTION_AGAINST;
}

static void random_record(record *r, int known, sim_random *random)
{
    sim_job job = kit_job(random);
    job.misread_share = 0.04;
    dialarc_setup setup = kit_setup(&job, known);
    setup.tdc_sd_deg = 0.2;
    record_of(r, &job, &setup, random);
}

/* The same answer, but that the minimum reads `dial_mm` more and lies `crank_deg` later.
 */
static void check_moved(const dialarc_timing *a, const dialarc_timing *b, double dial_mm,
                        double crank_deg, double tolerance)
{
    ck_assert_double_eq_tol(b->lift_mm, a->lift_mm, tolerance);
    ck_assert_double_eq_tol(b->lift_u_mm, a->lift_u_mm, tolerance);
    ck_assert_double_eq_tol(b->budget.readings_mm, a->budget.readings_mm, tolerance);
    ck_assert_double_eq_tol(b->budget.cam_mm, a->budget.cam_mm, tolerance);
    ck_assert_double_eq_tol(b->minimum_mm, a->minimum_mm + dial_mm, tolerance);
    ck_assert_double_eq_tol(b->minimum_u_mm, a->minimum_u_mm, tolerance);
    ck_assert_double_eq_tol(b->minimum_crank_deg, a->minimum_crank_deg + crank_deg,
                            100.0 * tolerance);
    ck_assert_double_eq_tol(b->slack_crank_deg, a->slack_crank_deg, 100.0 * tolerance);
    ck_assert_double_eq_tol(b->dial_hysteresis_mm, a->dial_hysteresis_mm, tolerance);
    ck_assert_double_eq_tol(b->total_lift_mm, a->total_lift_mm, tolerance);
    ck_assert_double_eq_tol(b->rise_pump_deg, a->rise_pump_deg, 100.0 * tolerance);
    ck_assert_double_eq_tol(b->scatter, a->scatter, 100.0 * tolerance);
    ck_assert_uint_eq(b->readings_used, a->readings_used);
    ck_assert_uint_eq(b->readings_rejected, a->readings_rejected);
    ck_assert_int_eq(b->law, a->law);
}

/* Runs a change over known and learned cams. */
static void over_all(void (*change)(record *a, double tolerance), int known, int learned,
                     uint64_t seed)
{
    static record r;
    sim_random random;
    sim_seed(&random, seed);
    for (int k = 0; k < kit_count(known) + kit_count(learned); k++) {
        int is_known = k < kit_count(known);
        random_record(&r, is_known, &random);
        estimate(&r);
        change(&r, is_known ? 1e-6 : 1e-5);
    }
}

/* --- where things were set to zero ------------------------------------------- */

static void shift_by_a_pitch(record *a, double tolerance)
{
    static record b;
    for (int k = -1; k <= 2; k += 3) {
        b = *a;
        for (size_t i = 0; i < b.n; i++)
            b.crank[i] += k * 720.0 / a->setup.lobes;
        estimate(&b);
        check_moved(&a->timing, &b.timing, 0.0, 0.0, tolerance);
    }
}

START_TEST(a_lobe_pitch_makes_no_difference)
{
    over_all(shift_by_a_pitch, 40, 10, 901);
}
END_TEST

static void shift_the_dial(record *a, double tolerance)
{
    static record b;
    b = *a;
    for (size_t i = 0; i < b.n; i++)
        b.dial[i] += 2.37;
    estimate(&b);
    check_moved(&a->timing, &b.timing, 2.37, 0.0, tolerance);
    for (size_t i = 0; i < b.n; i++)
        ck_assert_double_eq_tol(b.residual[i], a->residual[i], 10.0 * tolerance);
}

START_TEST(zero_of_the_dial_moves_the_minimum_alone)
{
    over_all(shift_the_dial, 60, 10, 902);
}
END_TEST

/* A dial that falls while the lift rises: its minimum is its highest reading. */
static void turn_the_dial(record *a, double tolerance)
{
    static record b;
    b = *a;
    b.setup.dial_sense = -1;
    for (size_t i = 0; i < b.n; i++)
        b.dial[i] = -b.dial[i];
    estimate(&b);
    for (size_t i = 0; i < b.n; i++)
        ck_assert_double_eq_tol(b.residual[i], -a->residual[i], 10.0 * tolerance);
    b.timing.minimum_mm = -b.timing.minimum_mm;
    check_moved(&a->timing, &b.timing, 0.0, 0.0, tolerance);
}

START_TEST(sense_of_the_dial)
{
    over_all(turn_the_dial, 60, 10, 907);
}
END_TEST

/* Wherever the sweep lies on the wheel, the search finds the same minimum of the same cam
 * from its trial values: the answer does not depend on where it began. */
static void shift_the_wheel(record *a, double tolerance)
{
    static record b;
    double pitch = 720.0 / a->setup.lobes;
    for (int k = 1; k < 6; k++) {
        b = *a;
        for (size_t i = 0; i < b.n; i++)
            b.crank[i] += 0.17 * k * pitch + 0.3;
        estimate(&b);
        double by = b.timing.minimum_crank_deg - a->timing.minimum_crank_deg -
                    (0.17 * k * pitch + 0.3);
        ck_assert_double_eq_tol(by - pitch * round(by / pitch), 0.0, 100.0 * tolerance);
        ck_assert_double_eq_tol(b.timing.minimum_mm, a->timing.minimum_mm, tolerance);
        ck_assert_double_eq_tol(b.timing.total_lift_mm, a->timing.total_lift_mm,
                                tolerance);
        ck_assert_double_eq_tol(b.timing.slack_crank_deg, a->timing.slack_crank_deg,
                                100.0 * tolerance);
    }
}

START_TEST(any_offset_of_the_wheel_gives_the_same_curve)
{
    over_all(shift_the_wheel, 60, 0, 903);
}
END_TEST

static void wrap_the_wheel(record *a, double tolerance)
{
    static record b;
    b = *a;
    for (size_t i = 0; i < b.n; i++)
        b.crank[i] -= 360.0 * floor(b.crank[i] / 360.0);
    estimate(&b);
    check_moved(&a->timing, &b.timing, 0.0, 0.0, tolerance);
}

START_TEST(wheel_of_360_degrees)
{
    over_all(wrap_the_wheel, 60, 10, 904);
}
END_TEST

/* --- how they were written down ---------------------------------------------- */

static void in_inches(record *a, double tolerance)
{
    static record b;
    b = *a;
    for (size_t i = 0; i < b.n; i++)
        b.dial[i] = dialarc_mm_from_in(b.dial[i] / DIALARC_MM_PER_IN);
    estimate(&b);
    check_moved(&a->timing, &b.timing, 0.0, 0.0, tolerance);
}

START_TEST(readings_in_inches)
{
    over_all(in_inches, 60, 10, 905);
}
END_TEST

static void shuffle(record *r, size_t *to, sim_random *random)
{
    for (size_t i = 0; i < r->n; i++)
        to[i] = i;
    for (size_t i = r->n - 1; i > 0; i--) {
        size_t k = (size_t)sim_integer(random, 0, (int)i), t = to[i];
        to[i] = to[k];
        to[k] = t;
    }
    record kept = *r;
    for (size_t i = 0; i < r->n; i++) {
        r->crank[i] = kept.crank[to[i]];
        r->dial[i] = kept.dial[to[i]];
        r->direction[i] = kept.direction[to[i]];
    }
}

/* Directions given, rows in any order: always the same answer, within the uncertainty of
 * that from the order taken, and each residual beside its own reading. */
START_TEST(directions_in_any_order)
{
    static record a, b, c;
    static size_t to[MOST], from[MOST];
    sim_random random;
    sim_seed(&random, 906);
    for (int k = 0; k < kit_count(40) + kit_count(10); k++) {
        random_record(&a, k < kit_count(40), &random);
        estimate(&a);
        a.by_direction = 1;
        b = c = a;
        shuffle(&b, to, &random);
        shuffle(&c, from, &random);
        estimate(&b);
        estimate(&c);
        check_moved(&b.timing, &c.timing, 0.0, 0.0, 1e-9);
        double sd = hypot(a.timing.budget.readings_mm, a.timing.budget.cam_mm);
        ck_assert_double_lt(fabs(b.timing.lift_mm - a.timing.lift_mm), sd);
        for (size_t i = 0; i < b.n; i++)
            for (size_t j = 0; j < c.n; j++)
                if (to[i] == from[j])
                    ck_assert_double_eq_tol(b.residual[i], c.residual[j], 1e-9);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("timing_moves");
    TCase *tc = tcase_create("zero");
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, a_lobe_pitch_makes_no_difference);
    tcase_add_test(tc, zero_of_the_dial_moves_the_minimum_alone);
    tcase_add_test(tc, sense_of_the_dial);
    tcase_add_test(tc, any_offset_of_the_wheel_gives_the_same_curve);
    tcase_add_test(tc, wheel_of_360_degrees);
    suite_add_tcase(suite, tc);
    tc = tcase_create("writing");
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, readings_in_inches);
    tcase_add_test(tc, directions_in_any_order);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
