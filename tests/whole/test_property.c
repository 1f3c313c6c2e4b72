/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What must hold for any sweep: the sweep is changed in a way whose effect on the answer
 * is known, and the answer must move by just that. Random setups, cams known and learned.
 *
 * EXACT_MM is for changes that leave the problem the same to the last bit but for
 * rounding: sums of readings of some mm and angles below 1000 degrees are good to 1e-13
 * mm, and the fit stops only when its steps are as small. The minimum's uncertainty, when
 * the cam is learned, is a mean square less the square of a mean of some mm:
 * MEAN_SQUARE_MM.
 */
#include <dialarc/decision.h>
#include <dialarc/table_sweeps.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "kit/table_kit.h"
#include "kit/timing_kit.h"

#define EXACT_MM       1e-11
#define MEAN_SQUARE_MM 1e-9
#define EXACT_DEG      1e-8
#define SETUPS         36

/* One random setup, its sweep, and the answer from which the others are told apart. */
typedef struct scene {
    sim_random random;
    sim_job job;
    dialarc_setup setup;
    size_t n;
    double crank[2 * SIM_MAX], dial[2 * SIM_MAX];
    dialarc_direction direction[SIM_MAX];
    dialarc_timing plain;
    double u_mm; /* standard uncertainty */
} scene;

static dialarc_workspace *workspace;

static dialarc_timing answer(const scene *s, const dialarc_direction *direction)
{
    dialarc_timing t;
    const dialarc_sweep record = {s->n, s->crank, s->dial, direction};
    ck_assert_int_eq(dialarc_timing_estimate(workspace, &s->setup, &record, NULL, &t),
                     DIALARC_OK);
    return t;
}

/* Setup number k; every second cam is known. */
static scene *scene_of(int k)
{
    static scene s;
    sim_seed(&s.random, (uint64_t)(7000 + k));
    s.job = kit_job(&s.random);
    sim_run(&s.job, &s.random, &sweep);
    s.setup = kit_setup(&s.job, k % 2);
    s.setup.lift_low_mm = s.job.cam.lift_mm * 0.35;
    s.setup.lift_high_mm = s.setup.lift_low_mm + 0.05;
    s.setup.sprocket_radius_mm = 50.0;
    s.n = sweep.n;
    memcpy(s.crank, sweep.crank_deg, s.n * sizeof *s.crank);
    memcpy(s.dial, sweep.dial_mm, s.n * sizeof *s.dial);
    for (size_t i = 0; i < s.n; i++)
        s.direction[i] =
            i <= s.n / 2 ? DIALARC_DIRECTION_WITH : DIALARC_DIRECTION_AGAINST;
    s.plain = answer(&s, NULL);
    s.u_mm = s.plain.budget.total_mm;
    return &s;
}

static int scenes(void)
{
    return kit_count(SETUPS);
}

/* The answers are the same, but for rounding; the minimum may have moved. */
static void check_same(const dialarc_timing *a, const dialarc_timing *b)
{
    ck_assert_double_eq_tol(a->lift_mm, b->lift_mm, EXACT_MM);
    ck_assert_double_eq_tol(a->lift_u_mm, b->lift_u_mm, EXACT_MM);
    ck_assert_double_eq_tol(a->minimum_u_mm, b->minimum_u_mm, MEAN_SQUARE_MM);
    ck_assert_double_eq_tol(a->minimum_u_crank_deg, b->minimum_u_crank_deg, EXACT_DEG);
    ck_assert_int_eq(isnan(a->slack_crank_deg), isnan(b->slack_crank_deg));
    if (!isnan(a->slack_crank_deg))
        ck_assert_double_eq_tol(a->slack_crank_deg, b->slack_crank_deg, EXACT_DEG);
    ck_assert_double_eq_tol(a->dial_hysteresis_mm, b->dial_hysteresis_mm, EXACT_MM);
    ck_assert_double_eq_tol(a->total_lift_mm, b->total_lift_mm, EXACT_MM);
    ck_assert_double_eq_tol(a->rate_mm_per_crank_deg, b->rate_mm_per_crank_deg, EXACT_MM);
    ck_assert_int_eq(a->law, b->law);
    ck_assert_uint_eq(a->readings_rejected, b->readings_rejected);
}

/* --- the wheel --------------------------------------------------------------- */

/* All lobes are alike: one pitch further on, or a whole pump turn, nothing is different.
 */
START_TEST(another_lobe_gives_the_same_lift)
{
    for (int k = 0; k < scenes(); k++) {
        scene *s = scene_of(k);
        double pitch = s->job.crank_per_pump * 360.0 / s->job.cam.lobes;
        const double by[] = {-pitch, pitch, 720.0};
        for (int m = 0; m < 3; m++) {
            for (size_t i = 0; i < s->n; i++)
                s->crank[i] = sweep.crank_deg[i] + by[m];
            dialarc_timing t = answer(s, NULL);
            check_same(&s->plain, &t);
            double moved = t.minimum_crank_deg - s->plain.minimum_crank_deg;
            ck_assert_double_eq_tol(remainder(moved, pitch), 0.0, EXACT_DEG);
        }
    }
}
END_TEST

/* --- the dial ---------------------------------------------------------------- */

START_TEST(a_constant_moves_the_minimum_alone)
{
    for (int k = 0; k < scenes(); k++) {
        scene *s = scene_of(k);
        double constant = sim_uniform(&s->random, -5.0, 5.0);
        for (size_t i = 0; i < s->n; i++)
            s->dial[i] += constant;
        dialarc_timing t = answer(s, NULL);
        check_same(&s->plain, &t);
        ck_assert_double_eq_tol(t.minimum_mm, s->plain.minimum_mm + constant, EXACT_MM);
    }
}
END_TEST

/* A dial that falls as the plunger rises: not a bit of the answer changes. */
START_TEST(a_falling_dial_is_a_mirror)
{
    for (int k = 0; k < scenes(); k++) {
        scene *s = scene_of(k);
        for (size_t i = 0; i < s->n; i++)
            s->dial[i] = -s->dial[i];
        s->setup.dial_sense = -1;
        dialarc_timing t = answer(s, NULL);
        ck_assert_double_eq(t.minimum_mm, -s->plain.minimum_mm);
        t.minimum_mm = s->plain.minimum_mm;
        check_same_bits(&s->plain, &t);
    }
}
END_TEST

/* Every length doubled, those of the setup too: so is the answer, but for the faint
 * expectations of zero, lift and hysteresis that the fit holds in millimetres. */
START_TEST(doubled_lengths_double_the_lift)
{
    for (int k = 0; k < scenes(); k++) {
        scene *s = scene_of(k);
        for (size_t i = 0; i < s->n; i++)
            s->dial[i] *= 2.0;
        s->setup.dial_sd_mm *= 2.0;
        s->setup.dial_step_mm *= 2.0;
        s->setup.dial_turn_mm *= 2.0;
        s->setup.dial_hysteresis_mm *= 2.0;
        dialarc_timing t = answer(s, NULL);
        ck_assert_double_eq_tol(t.lift_mm, 2.0 * s->plain.lift_mm, 0.02 * s->u_mm);
        ck_assert_double_eq_tol(t.lift_u_mm, 2.0 * s->plain.lift_u_mm, 0.02 * s->u_mm);
    }
}
END_TEST

/* The readings as a table whose dial column has another unit, to 17 digits. */
static dialarc_timing by_table(const scene *s, const char *column, double per_mm)
{
    static char text[SIM_MAX * 80];
    locale_t before = kit_point();
    char *end = text + sprintf(text, "sweep,crank_deg,%s\n", column);
    for (size_t i = 0; i < s->n; i++)
        end += sprintf(end, "s,%.17g,%.17g\n", s->crank[i], s->dial[i] * per_mm);
    kit_no_point(before);
    dialarc_setups *setups = NULL;
    dialarc_sweeps *sweeps = NULL;
    kit_source source = kit_text("setup,lobes\ne,4\n");
    ck_assert_int_eq(dialarc_setups_read(kit_read, &source, &setups, NULL), DIALARC_OK);
    source = kit_text(text);
    ck_assert_int_eq(dialarc_sweeps_read(kit_read, &source, setups, &sweeps, NULL),
                     DIALARC_OK);
    dialarc_timing t;
    ck_assert_int_eq(dialarc_timing_estimate(workspace, &s->setup,
                                             &dialarc_sweeps_get(sweeps, 0)->sweep, NULL,
                                             &t),
                     DIALARC_OK);
    dialarc_sweeps_free(sweeps);
    dialarc_setups_free(setups);
    return t;
}

START_TEST(inches_are_millimetres)
{
    for (int k = 0; k < scenes(); k++) {
        scene *s = scene_of(k);
        dialarc_timing mm = by_table(s, "dial_mm", 1.0);
        dialarc_timing in = by_table(s, "dial_in", 1.0 / 25.4);
        check_same_bits(&s->plain, &mm);
        check_same(&mm, &in);
        ck_assert_double_eq_tol(in.minimum_mm, mm.minimum_mm, EXACT_MM);
    }
}
END_TEST

/* --- the engine seen from the other side ------------------------------------- */

static dialarc_decision judged(const scene *s, dialarc_rotation rotation,
                               const dialarc_timing *t)
{
    dialarc_setup setup = s->setup;
    dialarc_decision d;
    setup.rotation = rotation;
    ck_assert_int_eq(dialarc_decision_judge(&setup, t, &d), DIALARC_OK);
    return d;
}

/* The way to turn is seen the other way round; nothing else is. */
START_TEST(rotation_mirrors_the_way_to_turn)
{
    int turned = 0;
    for (int k = 0; k < scenes(); k++) {
        scene *s = scene_of(k);
        s->setup.rotation = k % 4 < 2 ? DIALARC_ROTATION_CW : DIALARC_ROTATION_CCW;
        dialarc_timing t = answer(s, NULL);
        check_same_bits(&s->plain, &t);
        dialarc_decision cw = judged(s, DIALARC_ROTATION_CW, &t);
        dialarc_decision ccw = judged(s, DIALARC_ROTATION_CCW, &t);
        ck_assert_int_eq(cw.turn_rotation, -(int)ccw.turn_rotation);
        turned += cw.turn_rotation != DIALARC_ROTATION_UNKNOWN;
        ck_assert_int_eq(cw.verdict, ccw.verdict);
        ck_assert(memcmp(&cw.probability_in, &ccw.probability_in,
                         offsetof(dialarc_decision, turn_rotation) -
                             offsetof(dialarc_decision, probability_in)) == 0);
        ck_assert(memcmp(&cw.aim_mm, &ccw.aim_mm, 2 * sizeof cw.aim_mm) == 0);
    }
    ck_assert_int_gt(turned, scenes() / 2);
}
END_TEST

/* --- the record -------------------------------------------------------------- */

/* Readings i and j change places, with their directions. */
static void exchange(scene *s, size_t i, size_t j)
{
    double crank = s->crank[i], dial = s->dial[i];
    dialarc_direction direction = s->direction[i];
    s->crank[i] = s->crank[j];
    s->dial[i] = s->dial[j];
    s->direction[i] = s->direction[j];
    s->crank[j] = crank;
    s->dial[j] = dial;
    s->direction[j] = direction;
}

/* When part of the readings is taken away, or the turn between the passes is not told,
 * the answer moves by the information lost: for least squares the variance of the
 * difference of two estimates, one from more data than the other, is the difference of
 * their variances. Six standard deviations, as the cam may be learned anew. */
static void check_less_known(const scene *s, const dialarc_timing *less)
{
    double own = s->plain.lift_u_mm, other = less->lift_u_mm;
    double lost = fmax(other * other - own * own, 0.01 * own * own);
    ck_assert_double_le(fabs(less->lift_mm - s->plain.lift_mm), 6.0 / 1.96 * sqrt(lost));
}

/* Rows with directions may stand in any order: not a bit of the answer changes. */
START_TEST(passes_may_be_reordered)
{
    for (int k = 0; k < scenes(); k++) {
        scene *s = scene_of(k);
        dialarc_timing shuffled[2];
        for (int m = 0; m < 2; m++) {
            for (size_t i = s->n - 1; i > 0; i--)
                exchange(s, i, (size_t)sim_integer(&s->random, 0, (int)i));
            shuffled[m] = answer(s, s->direction);
        }
        check_same_bits(&shuffled[0], &shuffled[1]);
        check_less_known(s, &shuffled[0]);
    }
}
END_TEST

/* The way back written down before the way there. */
START_TEST(passes_may_change_places)
{
    for (int k = 0; k < scenes(); k++) {
        scene *s = scene_of(k);
        size_t first = s->n / 2 + 1;
        for (size_t i = 0; i < s->n; i++) {
            size_t from = i + first < s->n ? i + first : i + first - s->n;
            s->crank[i] = sweep.crank_deg[from];
            s->dial[i] = sweep.dial_mm[from];
            s->direction[i] =
                from < first ? DIALARC_DIRECTION_WITH : DIALARC_DIRECTION_AGAINST;
        }
        dialarc_timing t = answer(s, s->direction);
        check_less_known(s, &t);
    }
}
END_TEST

/* Directions that only say what the order shows. */
START_TEST(directions_in_order_say_nothing_new)
{
    for (int k = 0; k < scenes(); k++) {
        scene *s = scene_of(k);
        dialarc_timing t = answer(s, s->direction);
        check_same_bits(&s->plain, &t);
    }
}
END_TEST

/* Each reading twice, at stands so little apart that the lift is the same and yet not at
 * one, where the wheel would err alike: with the cam known the least-squares problem has
 * the same solution and half the variance; what is not made of readings (the limits of
 * the hysteresis and the graduation's share) weighs less, which moves the lift by less
 * than half its uncertainty. A learned cam may be taken for another law: within two
 * uncertainties. */
START_TEST(readings_taken_twice)
{
    for (int k = 0; k < scenes(); k++) {
        scene *s = scene_of(k);
        for (size_t i = s->n; i-- > 0;) {
            s->crank[2 * i] = sweep.crank_deg[i];
            s->crank[2 * i + 1] = sweep.crank_deg[i] + 1e-7;
            s->dial[2 * i] = s->dial[2 * i + 1] = sweep.dial_mm[i];
        }
        s->n *= 2;
        dialarc_timing t = answer(s, NULL);
        double moved = fabs(t.lift_mm - s->plain.lift_mm);
        if (s->plain.cam_learned) {
            ck_assert_double_le(moved, 2.0 * s->u_mm);
            ck_assert_double_le(t.lift_u_mm, 1.3 * s->plain.lift_u_mm);
            continue;
        }
        ck_assert_double_le(moved, 0.5 * s->u_mm);
        double ratio = t.budget.readings_mm / s->plain.budget.readings_mm;
        ck_assert_double_ge(ratio, 0.68);
        ck_assert_double_le(ratio, 0.78); /* 1/sqrt(2) is 0.707 */
    }
}
END_TEST

/* Every second reading left out. U may grow by more than sqrt(2), 1.41: how large errors
 * are is told less surely too. */
START_TEST(a_thinned_sweep)
{
    for (int k = 0; k < scenes(); k++) {
        scene *s = scene_of(k);
        s->n = (s->n + 1) / 2;
        for (size_t i = 0; i < s->n; i++) {
            s->crank[i] = sweep.crank_deg[2 * i];
            s->dial[i] = sweep.dial_mm[2 * i];
        }
        dialarc_timing t = answer(s, NULL);
        check_less_known(s, &t);
        ck_assert_double_le(t.lift_u_mm, 2.2 * s->plain.lift_u_mm);
    }
}
END_TEST

int main(void)
{
    workspace = dialarc_workspace_new();
    Suite *suite = suite_create("property");
    TCase *tc = tcase_create("any sweep");
    tcase_set_timeout(tc, 120.0);
    tcase_add_test(tc, another_lobe_gives_the_same_lift);
    tcase_add_test(tc, a_constant_moves_the_minimum_alone);
    tcase_add_test(tc, a_falling_dial_is_a_mirror);
    tcase_add_test(tc, doubled_lengths_double_the_lift);
    tcase_add_test(tc, inches_are_millimetres);
    tcase_add_test(tc, rotation_mirrors_the_way_to_turn);
    tcase_add_test(tc, passes_may_be_reordered);
    tcase_add_test(tc, passes_may_change_places);
    tcase_add_test(tc, directions_in_order_say_nothing_new);
    tcase_add_test(tc, readings_taken_twice);
    tcase_add_test(tc, a_thinned_sweep);
    suite_add_tcase(suite, tc);
    int status = darc_run(suite);
    dialarc_workspace_free(workspace);
    return status;
}
