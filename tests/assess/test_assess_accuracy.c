/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Accuracy and honesty of the estimator on simulated sweeps with known truth: errors
 * against the Cramer-Rao bound, expanded uncertainties against the 95 % they promise.
 * A small run of what the calibration program does at length; sampling errors are stated
 * as three standard deviations.
 */
#include <dialarc/assess.h>
#include <math.h>

#include "kit/check_main.h"
#include "kit/sweep_kit.h"

/* Errors over their stated sds. */
typedef struct scores {
    int n;
    double sum, square;
} scores;

/* What a family of sweeps came to; error and bound are those at the marked TDC. */
typedef struct tally {
    int n, covered, doubtful;
    double square, bias, worst; /* of error over bound: sums, and the largest */
    double width;               /* sum of U over the bound with the TDC mark */
    double rejected;            /* sum of the shares of readings set aside */
    scores slack, minimum, foot;
} tally;

static void score(scores *s, double error, double expanded)
{
    if (isnan(expanded))
        return;
    double z = 1.96 * error / expanded;
    s->n++;
    s->sum += z;
    s->square += z * z;
}

typedef void change(sim_job *job, sim_random *random);

static void nothing(sim_job *job, sim_random *random)
{
    (void)job, (void)random;
}

static void misread(sim_job *job, sim_random *random)
{
    (void)random;
    job->misread_share = 0.08;
}

static void one_way(sim_job *job, sim_random *random)
{
    (void)random;
    job->two_way = 0;
}

static void whole_graduations(sim_job *job, sim_random *random)
{
    (void)random;
    job->dial_step_mm = 0.01;
}

static void in_slack(sim_job *job, sim_random *random)
{
    job->start_in_slack = 1;
    job->start_share = sim_uniform(random, 0.2, 0.9);
}

/* Another law on the fall, and a little waviness: none of the list. */
static void no_law(sim_job *job, sim_random *random)
{
    job->cam.second_law = sim_integer(random, 0, SIM_LAWS - 1);
    job->cam.mix = sim_uniform(random, 0.3, 0.7);
    for (int k = 0; k < 3; k++) {
        job->cam.wave_mm[k] = sim_uniform(random, 0.0, 0.001);
        job->cam.wave_cycles[k] = k + 1;
        job->cam.wave_phase[k] = sim_uniform(random, 0.0, 6.0);
    }
}

static void assess(dialarc_workspace *ws, sim_job *job, int known, sim_random *r,
                   tally *t)
{
    static sim_sweep sweep;
    dialarc_timing timing;
    double tdc_sd = sim_uniform(r, 0.05, 0.3);
    job->tdc_error_deg = tdc_sd * sim_normal(r);
    sim_run(job, r, &sweep);
    dialarc_setup setup = kit_setup(job, known);
    setup.tdc_sd_deg = tdc_sd;
    dialarc_sweep given = kit_sweep(&sweep);
    dialarc_status status = dialarc_timing_estimate(ws, &setup, &given, NULL, &timing);
    ck_assert_int_ge(status, DIALARC_OK);
    ck_assert_int_eq(timing.cam_learned, !known);
    t->doubtful += status == DIALARC_NOT_CONVERGED;
    double marked = sim_lift(&job->cam, (job->tdc_error_deg - job->foot_crank_deg) /
                                            job->crank_per_pump);
    sim_job clean = *job;
    clean.tdc_error_deg = 0.0;
    double bound = sim_bound(&clean), error = timing.lift_mm - marked;
    t->n++;
    t->square += error * error / (bound * bound);
    t->bias += error / bound;
    t->worst = fmax(t->worst, fabs(error / bound));
    t->covered += fabs(timing.lift_mm - sweep.lift_tdc_mm) <= timing.lift_u_mm;
    t->width += timing.lift_u_mm / hypot(bound, sweep.rate_tdc * tdc_sd);
    t->rejected += (double)timing.readings_rejected / (double)sweep.n;
    score(&t->slack, timing.slack_crank_deg - job->slack_deg, timing.slack_u_crank_deg);
    score(&t->minimum, timing.minimum_mm - job->zero_mm, timing.minimum_u_mm);
    score(&t->foot, timing.minimum_crank_deg - job->foot_crank_deg,
          timing.minimum_u_crank_deg);
}

static tally family(int n, uint64_t seed, int known, change *vary, int few)
{
    dialarc_workspace *ws = dialarc_workspace_new();
    sim_random r;
    tally t = {0};
    sim_seed(&r, seed);
    for (int k = 0; k < n; k++) {
        sim_job job = kit_job(&r);
        vary(&job, &r);
        if (few)
            kit_few(&job, &r);
        assess(ws, &job, known, &r, &t);
    }
    dialarc_workspace_free(ws);
    return t;
}
/* Root mean square of errors over bounds at most `most`, no bias, U that covers. */
static void check(const tally *t, double most, double bias, double coverage_slip)
{
    double n = t->n, rms = sqrt(t->square / n);
    double cover = t->covered / n, sd = sqrt(0.95 * 0.05 / n);
    ck_assert_msg(rms <= most * (1.0 + 3.0 / sqrt(2.0 * n)), "rms %.3f, at most %.2f",
                  rms, most);
    ck_assert_msg(rms > 0.85 * (1.0 - 3.0 / sqrt(2.0 * n)),
                  "rms %.3f: better than possible", rms);
    ck_assert_msg(fabs(t->bias / n) < bias + 3.0 * rms / sqrt(n), "bias %.3f sd",
                  t->bias / n);
    ck_assert_msg(fabs(cover - 0.95) < coverage_slip + 3.0 * sd, "U covers %.3f", cover);
    ck_assert_int_le(t->doubtful, t->n / 50);
}

/* Errors over their sds average to 0, their squares to 1. */
static void check_scores(const scores *s, const tally *t, const char *what)
{
    double n = s->n, rms = sqrt(s->square / n), bias = s->sum / n;
    ck_assert_msg(s->n > t->n / 2, "%s known in %d of %d", what, s->n, t->n);
    ck_assert_msg(fabs(rms - 1.0) < 0.06 + 3.0 / sqrt(2.0 * n), "%s: rms %.3f sd", what,
                  rms);
    ck_assert_msg(fabs(bias) < 0.06 + 3.0 / sqrt(n), "%s: bias %.3f sd", what, bias);
}

static void check_others(const tally *t)
{
    check_scores(&t->slack, t, "slack");
    check_scores(&t->minimum, t, "minimum");
    check_scores(&t->foot, t, "foot");
}

/* Where a learned cam begins to rise hides in the scatter: its uncertainty is an
 * estimate by itself, and must not be too small. */
static void check_learned_foot(const tally *t)
{
    double n = t->foot.n, rms = sqrt(t->foot.square / n);
    ck_assert_msg(rms < 1.1 + 3.0 / sqrt(2.0 * n) && rms > 0.3, "foot: rms %.3f sd", rms);
}

START_TEST(known_cam)
{
    tally t = family(kit_count(400), 801, 1, nothing, 0);
    check(&t, 1.05, 0.1, 0.0);
    check_others(&t);
    ck_assert_double_lt(t.rejected / t.n, 0.005);
    ck_assert_double_lt(t.worst, 5.0);
    ck_assert_double_lt(t.width / t.n, 2.2); /* U is not padded */
}
END_TEST

START_TEST(known_cam_misread)
{
    tally t = family(kit_count(400), 802, 1, misread, 0);
    check(&t, 1.25, 0.1, 0.0);
    check_others(&t);
    /* errors of one graduation are not all seen */
    ck_assert_double_gt(t.rejected / t.n, 0.04);
    ck_assert_double_lt(t.rejected / t.n, 0.09);
    ck_assert_double_lt(t.worst, 6.0);
}
END_TEST

/* The hysteresis, which one way does not show, is not in the bound. */
START_TEST(known_cam_one_way)
{
    tally t = family(kit_count(400), 803, 1, one_way, 0);
    check(&t, 1.25, 0.1, 0.0);
}
END_TEST

START_TEST(known_cam_whole_graduations)
{
    tally t = family(kit_count(400), 804, 1, whole_graduations, 0);
    check(&t, 1.05, 0.1, 0.0);
}
END_TEST

START_TEST(known_cam_from_inside_the_slack)
{
    tally t = family(kit_count(400), 805, 1, in_slack, 0);
    check(&t, 1.1, 0.1, 0.0);
    check_others(&t);
    ck_assert_double_lt(t.rejected / t.n, 0.006);
}
END_TEST

START_TEST(known_cam_ten_readings)
{
    tally t = family(kit_count(400), 806, 1, nothing, 1);
    check(&t, 1.1, 0.1, 0.0);
}
END_TEST

/* A learned cam cannot reach the bound of a known one; the calibration program tells how
 * near it comes. Here: honest, and far from what a wrong shape would do. */
START_TEST(learned_cam)
{
    tally t = family(kit_count(100), 811, 0, nothing, 0);
    check(&t, 1.5, 0.2, 0.01);
    check_learned_foot(&t);
    t = family(kit_count(100), 812, 0, misread, 0);
    check(&t, 1.6, 0.2, 0.01);
}
END_TEST

START_TEST(learned_cam_one_way)
{
    tally t = family(kit_count(100), 813, 0, one_way, 0);
    check(&t, 2.0, 0.2, 0.01);
}
END_TEST

START_TEST(learned_cam_whole_graduations)
{
    tally t = family(kit_count(100), 814, 0, whole_graduations, 0);
    check(&t, 1.5, 0.2, 0.01);
}
END_TEST

START_TEST(learned_cam_of_no_law)
{
    tally t = family(kit_count(100), 815, 0, no_law, 0);
    check(&t, 2.2, 0.3, 0.02);
    check_learned_foot(&t);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("timing_accuracy");
    TCase *tc = tcase_create("known");
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, known_cam);
    tcase_add_test(tc, known_cam_misread);
    tcase_add_test(tc, known_cam_one_way);
    tcase_add_test(tc, known_cam_whole_graduations);
    tcase_add_test(tc, known_cam_from_inside_the_slack);
    tcase_add_test(tc, known_cam_ten_readings);
    suite_add_tcase(suite, tc);
    tc = tcase_create("learned");
    tcase_set_timeout(tc, 240);
    tcase_add_test(tc, learned_cam);
    tcase_add_test(tc, learned_cam_one_way);
    tcase_add_test(tc, learned_cam_whole_graduations);
    tcase_add_test(tc, learned_cam_of_no_law);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
