/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Calibration of the estimator: seeded simulated sweeps with known truth, family by
 * family, by way of the batch, in one table. `calibrate [SWEEPS [LEARNED_SWEEPS
 * [FAMILY]]]`; tests/calibration.txt is what it prints.
 *
 *   rms     error of the lift at marked TDC over its Cramer-Rao bound, root mean square
 *           of either; the bound takes the cam's shape as known and zero, phase, total
 *           lift and, two-way, slack and hysteresis as unknown
 *   shape   the same, over the bound with the segment angles unknown as well
 *   bias    mean of error over bound
 *   worst   largest error over bound
 *   cover   share of sweeps, %, whose U covers the lift at true TDC
 *   medU    median of U over the bound's standard deviation, error of the TDC mark
 * included wrong   share of `in` verdicts, and of `low` and `high` verdicts, that are
 * wrong, %
 */
#include <math.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <dialarc.h>

#include "kit/simulate.h"

#define THREADS 2
#define SHARE   64 /* sweeps of a batch */

typedef enum cam_kind { ONE_LAW, TWO_LAWS, OTHER_BLEND, WAVY, OTHER_FALL } cam_kind;
typedef enum reach { TO_TOP, WHOLE_LOBE, EITHER, TEN_READINGS } reach;

typedef struct family {
    const char *name;
    int learned;
    cam_kind cam;
    reach span;
    int two_way;
    double misreads;
    double step_mm; /* 0: any of the usual graduations */
} family;

static const family families[] = {
    {"law known, two-way", 0, ONE_LAW, EITHER, 1, 0, 0},
    {"law known, 8 % misread", 0, ONE_LAW, EITHER, 1, 0.08, 0},
    {"law known, one-way", 0, ONE_LAW, EITHER, 0, 0, 0},
    {"law known, ten readings", 0, ONE_LAW, TEN_READINGS, 0, 0, 0},
    {"law known, whole graduations", 0, ONE_LAW, EITHER, 1, 0, 0.01},
    {"learned, to the top, a law", 1, ONE_LAW, TO_TOP, 1, 0, 0},
    {"learned, to the top, other fall", 1, OTHER_FALL, TO_TOP, 1, 0, 0},
    {"learned, to the top, two laws mixed", 1, TWO_LAWS, TO_TOP, 1, 0, 0},
    {"learned, to the top, other blends", 1, OTHER_BLEND, TO_TOP, 1, 0, 0},
    {"learned, to the top, wavy", 1, WAVY, TO_TOP, 1, 0, 0},
    {"learned, to the top, 8 % misread", 1, ONE_LAW, TO_TOP, 1, 0.08, 0},
    {"learned, to the top, one-way", 1, ONE_LAW, TO_TOP, 0, 0, 0},
    {"learned, whole lobe, a law", 1, ONE_LAW, WHOLE_LOBE, 1, 0, 0},
    {"learned, whole lobe, two laws mixed", 1, TWO_LAWS, WHOLE_LOBE, 1, 0, 0},
    {"learned, whole lobe, other blends", 1, OTHER_BLEND, WHOLE_LOBE, 1, 0, 0},
    {"learned, whole lobe, wavy", 1, WAVY, WHOLE_LOBE, 1, 0, 0},
};
#define FAMILIES ((int)(sizeof families / sizeof families[0]))

typedef struct outcome {
    double error, bound, shape_bound; /* at marked TDC */
    double full, expanded;            /* error at true TDC, and U */
    double full_bound;
    dialarc_verdict verdict;
    int inside, doubtful, usable;
} outcome;

typedef struct task {
    const family *family;
    long first, count;
    outcome *out;
    int failed;
} task;

static void shape(const family *f, sim_random *r, sim_cam *cam)
{
    memset(cam, 0, sizeof *cam);
    cam->lobes = sim_integer(r, 3, 6);
    double pitch = 360.0 / cam->lobes;
    cam->lift_mm = sim_uniform(r, 2.0, 2.8);
    cam->rise_deg = pitch * sim_uniform(r, 0.38, 0.52);
    cam->top_deg = pitch * sim_uniform(r, 0.0, 0.08);
    cam->base_deg = pitch * sim_uniform(r, 0.06, 0.2);
    cam->rise_law = cam->fall_law = sim_integer(r, 0, SIM_LAWS - 1);
    cam->blend = 0.25;
    switch (f->cam) {
    case TWO_LAWS:
        cam->second_law = sim_integer(r, 0, SIM_LAWS - 1);
        cam->mix = sim_uniform(r, 0.2, 0.8);
        break;
    case OTHER_BLEND:
        cam->rise_law = cam->fall_law = SIM_LAWS - 1;
        cam->blend = sim_uniform(r, 0.1, 0.45);
        break;
    case WAVY:
        for (int k = 0; k < 3; k++) {
            cam->wave_mm[k] = sim_uniform(r, 0.0, 0.0015);
            cam->wave_cycles[k] = k + 1 + sim_uniform(r, 0.0, 2.0);
            cam->wave_phase[k] = sim_uniform(r, 0.0, 6.283);
        }
        break;
    case OTHER_FALL:
        cam->fall_law = sim_integer(r, 0, SIM_LAWS - 1);
        break;
    case ONE_LAW:
        break;
    }
}

static void span(const family *f, sim_random *r, sim_job *j)
{
    double pitch = 720.0 / j->cam.lobes;
    int top = f->span == TO_TOP || (f->span == EITHER && sim_integer(r, 0, 1));
    j->two_way = f->two_way;
    j->step_deg = sim_uniform(r, 1.0, 3.0);
    if (f->span == TEN_READINGS) {
        j->start_deg =
            j->foot_crank_deg - 2.0 * j->cam.base_deg * sim_uniform(r, 0.3, 0.9);
        j->end_deg = sim_uniform(r, 5.0, 12.0);
        j->step_deg = (j->end_deg - j->start_deg) / 9.0;
        j->end_deg += 0.01;
    } else if (top) {
        j->start_deg = j->foot_crank_deg - pitch * sim_uniform(r, 0.12, 0.3);
        j->end_deg =
            j->foot_crank_deg + 2.0 * j->cam.rise_deg * sim_uniform(r, 0.85, 1.1);
    } else {
        j->start_deg = j->foot_crank_deg - pitch * sim_uniform(r, 0.2, 0.4);
        j->end_deg = j->start_deg + pitch * sim_uniform(r, 0.85, 1.1);
    }
}

static sim_job draw(const family *f, sim_random *r, double *tdc_sd)
{
    static const double steps[] = {0.002, 0.005, 0.01};
    sim_job j;
    memset(&j, 0, sizeof j);
    shape(f, r, &j.cam);
    j.crank_per_pump = 2.0;
    j.foot_crank_deg = -2.0 * sim_angle_of(&j.cam, sim_uniform(r, 0.8, 1.1));
    j.slack_deg = sim_uniform(r, 0.5, 12.0);
    j.hysteresis_mm = sim_uniform(r, 0.0, 0.004);
    j.zero_mm = sim_uniform(r, -0.02, 0.02);
    span(f, r, &j);
    j.angle_sd_deg = sim_uniform(r, 0.1, 0.3);
    j.dial_sd_mm = sim_uniform(r, 0.002, 0.004);
    j.dial_step_mm = f->step_mm > 0.0 ? f->step_mm : steps[sim_integer(r, 0, 2)];
    *tdc_sd = sim_uniform(r, 0.05, 0.3);
    j.tdc_error_deg = *tdc_sd * sim_normal(r);
    j.misread_share = f->misreads;
    j.dial_turn_mm = 1.0;
    return j;
}

static dialarc_setup describe(const family *f, const sim_job *j, double tdc_sd)
{
    dialarc_setup s = dialarc_setup_unknown(j->cam.lobes);
    s.crank_per_pump = j->crank_per_pump;
    s.angle_sd_deg = j->angle_sd_deg;
    s.dial_sd_mm = j->dial_sd_mm;
    s.dial_step_mm = j->dial_step_mm;
    s.dial_turn_mm = j->dial_turn_mm;
    s.dial_hysteresis_mm = 0.004;
    s.dial_error_mm = s.wheel_error_deg = s.cam_sd_mm = s.rise_sd_deg = 0.0;
    s.tdc_sd_deg = tdc_sd;
    if (!f->learned) {
        s.cam_law = (dialarc_law)(DIALARC_LAW_HARMONIC + j->cam.rise_law);
        s.rise_deg = j->cam.rise_deg;
        s.top_dwell_deg = j->cam.top_deg;
        s.base_dwell_deg = j->cam.base_deg;
    }
    return s;
}

/* One sweep with what is known of it. */
typedef struct trial {
    sim_job job;
    double tdc_sd, lift_tdc_mm, rate_tdc;
} trial;

/* Sweeps in the flat form of a batch. */
typedef struct share {
    dialarc_batch batch;
    trial trial[SHARE];
    size_t offset[SHARE + 1], setup_index[SHARE];
    dialarc_setup setup[SHARE];
    dialarc_batch_result result[SHARE];
    double crank_deg[SHARE * SIM_MAX], dial_mm[SHARE * SIM_MAX];
    sim_sweep sweep;
} share;

static void simulate(const family *f, long index, share *s, size_t k)
{
    sim_random r;
    trial *t = &s->trial[k];
    dialarc_setup *setup = &s->setup[k];
    size_t at = s->offset[k];
    sim_seed(&r, (uint64_t)(f - families) * 10000019u + (uint64_t)index);
    t->job = draw(f, &r, &t->tdc_sd);
    sim_run(&t->job, &r, &s->sweep);
    size_t n = s->sweep.n;
    t->lift_tdc_mm = s->sweep.lift_tdc_mm;
    t->rate_tdc = s->sweep.rate_tdc;
    memcpy(s->crank_deg + at, s->sweep.crank_deg, n * sizeof(double));
    memcpy(s->dial_mm + at, s->sweep.dial_mm, n * sizeof(double));
    s->offset[k + 1] = at + n;
    *setup = describe(f, &t->job, t->tdc_sd);
    double half = sim_uniform(&r, 0.01, 0.03);
    double middle = t->lift_tdc_mm + sim_uniform(&r, -0.06, 0.06);
    setup->lift_low_mm = middle - half;
    setup->lift_high_mm = middle + half;
    s->setup_index[k] = k;
}

static void score(const family *f, const share *s, size_t k, outcome *o)
{
    const trial *t = &s->trial[k];
    const dialarc_batch_result *got = &s->result[k];
    const sim_job *j = &t->job;
    o->doubtful = got->status == DIALARC_NOT_CONVERGED;
    o->usable = got->status >= 0 && got->decision.verdict != DIALARC_VERDICT_UNUSABLE;
    if (!o->usable)
        return;
    sim_job clean = *j;
    clean.tdc_error_deg = 0.0;
    o->bound = sim_bound(&clean);
    o->shape_bound = f->learned ? sim_bound_segments(&clean) : o->bound;
    o->error =
        got->timing.lift_mm -
        sim_lift(&j->cam, (j->tdc_error_deg - j->foot_crank_deg) / j->crank_per_pump);
    o->full = got->timing.lift_mm - t->lift_tdc_mm;
    o->expanded = got->timing.lift_u_mm;
    o->full_bound = hypot(o->bound, t->rate_tdc * t->tdc_sd);
    o->verdict = got->decision.verdict;
    o->inside = t->lift_tdc_mm >= s->setup[k].lift_low_mm &&
                t->lift_tdc_mm <= s->setup[k].lift_high_mm;
}

static void *work(void *argument)
{
    task *t = argument;
    share *s = calloc(1, sizeof *s);
    t->failed = !s;
    const dialarc_batch_options alone = {.threads = 1};
    for (long from = 0; s && from < t->count; from += SHARE) {
        size_t n = (size_t)(t->count - from < SHARE ? t->count - from : SHARE);
        for (size_t k = 0; k < n; k++)
            simulate(t->family, t->first + from + (long)k, s, k);
        s->batch = (dialarc_batch){
            n, s->offset[n], s->offset,     s->crank_deg, s->dial_mm, NULL,
            n, s->setup,     s->setup_index};
        t->failed = dialarc_batch_assess(&s->batch, &alone, s->result) < 0;
        if (t->failed)
            break;
        for (size_t k = 0; k < n; k++)
            score(t->family, s, k, &t->out[from + (long)k]);
    }
    free(s);
    return NULL;
}

static int ascending(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double percent(long part, long whole)
{
    return whole ? 100.0 * (double)part / (double)whole : 0.0;
}

static void print_row(const family *f, const outcome *o, long n)
{
    double square = 0, bound2 = 0, shape2 = 0, bias = 0, worst = 0;
    long used = 0, covered = 0, doubtful = 0, in = 0, in_wrong = 0, out = 0,
         out_wrong = 0;
    double *width = malloc((size_t)n * sizeof *width);
    if (!width)
        return;
    for (long k = 0; k < n; k++) {
        doubtful += o[k].doubtful;
        if (!o[k].usable)
            continue;
        double z = o[k].error / o[k].bound;
        square += o[k].error * o[k].error;
        bound2 += o[k].bound * o[k].bound;
        shape2 += o[k].shape_bound * o[k].shape_bound;
        bias += z;
        worst = fmax(worst, fabs(z));
        covered += fabs(o[k].full) <= o[k].expanded;
        width[used++] = o[k].expanded / o[k].full_bound;
        in += o[k].verdict == DIALARC_VERDICT_IN;
        in_wrong += o[k].verdict == DIALARC_VERDICT_IN && !o[k].inside;
        int said_out =
            o[k].verdict == DIALARC_VERDICT_LOW || o[k].verdict == DIALARC_VERDICT_HIGH;
        out += said_out;
        out_wrong += said_out && o[k].inside;
    }
    qsort(width, (size_t)used, sizeof *width, ascending);
    printf("%-36s %7ld %6.3f %6.3f %6.3f %6.1f %6.2f %5.2f %5.2f %5.2f %6ld %6ld\n",
           f->name, n, sqrt(square / bound2), sqrt(square / shape2), bias / (double)used,
           worst, percent(covered, used), width[used / 2], percent(in_wrong, in),
           percent(out_wrong, out), n - used, doubtful);
    fflush(stdout);
    free(width);
}

static int run_family(const family *f, long n)
{
    outcome *out = calloc((size_t)n, sizeof *out);
    pthread_t thread[THREADS];
    task part[THREADS];
    if (!out)
        return 1;
    for (int k = 0; k < THREADS; k++) {
        long first = n * k / THREADS;
        part[k] = (task){f, first, n * (k + 1) / THREADS - first, out + first, 0};
        if (pthread_create(&thread[k], NULL, work, &part[k]))
            return 1;
    }
    int failed = 0;
    for (int k = 0; k < THREADS; k++) {
        pthread_join(thread[k], NULL);
        failed |= part[k].failed;
    }
    if (!failed)
        print_row(f, out, n);
    free(out);
    return failed;
}

int main(int argc, char **argv)
{
    long known = argc > 1 ? atol(argv[1]) : 100000;
    long learned = argc > 2 ? atol(argv[2]) : known;
    int only = argc > 3 ? atoi(argv[3]) : -1;
    if (known < 1 || learned < 1)
        return 2;
    printf("calibrate %ld %ld\n", known, learned);
    printf("%-36s %7s %6s %6s %6s %6s %6s %5s %5s %5s %6s %6s\n", "family", "sweeps",
           "rms", "shape", "bias", "worst", "cover", "medU", "in", "out", "no use",
           "doubt");
    printf("%-36s %7s %6s %6s %6s %6s %6s %5s %11s\n", "", "", "/bound", "/bound",
           "/bound", "/bound", "%", "/sd", "% wrong");
    for (int k = 0; k < FAMILIES; k++)
        if ((only < 0 || only == k) &&
            run_family(&families[k], families[k].learned ? learned : known))
            return 1;
    return 0;
}
