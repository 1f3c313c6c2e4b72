/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Probabilities against what came true: `probabilities [JOBS [SEED]]`, JOBS for each
 * line. Simulated shops and sweeps with known truth, in and out of the model;
 * `tests/calibration.txt` holds what it printed.
 *
 *   n       probabilities of a bin, a tenth each, or of all of them
 *   stated  their mean
 *   true    share of them that came true
 *   !       off by more than 0.05 and four standard errors to the side of false hopes
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include <dialarc.h>

#include "../../examples/programs/history_drift.h"
#include "kit/simulate.h"

#define BINS   10
#define LOW    0.88
#define HIGH   0.92
#define MIDDLE 0.90
#define RATE   0.04 /* mm per crank degree, as rounds assume where no cam is known */

typedef struct bins {
    double n[BINS + 1], stated[BINS + 1], came[BINS + 1];
} bins;

static void count(bins *b, double probability, int came)
{
    int bin = (int)fmin(BINS * probability, BINS - 1);
    for (int k = bin;; k = BINS) {
        b->n[k] += 1.0;
        b->stated[k] += probability;
        b->came[k] += came;
        if (k == BINS)
            return;
    }
}

static void show_line(const bins *b, int k, const char *label, int good)
{
    double stated = b->stated[k] / b->n[k], came = b->came[k] / b->n[k];
    double error = sqrt(fmax(came * (1.0 - came), 0.25 / b->n[k]) / b->n[k]);
    printf("  %-7s %7.0f  %.3f  %.3f %s\n", label, b->n[k], stated, came,
           (stated - came) * good > fmax(0.05, 4.0 * error) ? "!" : "");
}

/* `good`: 1 for a probability of what is hoped for, -1 of what is feared. */
static void show(const char *what, const bins *b, int good)
{
    char label[16];
    printf("%s\n", what);
    for (int k = 0; k < BINS; k++) {
        snprintf(label, sizeof label, "%.1f-%.1f", 0.1 * k, 0.1 * (k + 1));
        if (b->n[k] > 0.0)
            show_line(b, k, label, good);
    }
    show_line(b, BINS, "all", good);
}

/* --- rounds ------------------------------------------------------------------------- */

typedef enum shift_kind {
    STEADY,
    DRAWN_ANEW,
    TURN_ABOUT,
    GROWING,
    NONE,
    FAR_AND_STEADY,
    SHIFT_KINDS
} shift_kind;

static const char *const shift_names[SHIFT_KINDS] = {
    "steady, as assumed",      "drawn anew, 0.01 to 0.02 either way",
    "turn about, up and down", "growing by 0.005 each time",
    "none to speak of",        "steady, 0.01 to 0.02, scatter 0.003"};

/* What is drawn once a job. */
typedef struct world {
    shift_kind kind;
    double mean, scatter, hysteresis, tdc_mm, dial_error, dial_sd, step;
    int shifts; /* so far */
} world;

static double either_way(sim_random *r)
{
    return sim_uniform(r, 0.01, 0.02) * (sim_uniform(r, 0.0, 1.0) < 0.5 ? -1.0 : 1.0);
}

static dialarc_setup shop(double tdc_sd_deg)
{
    dialarc_setup s = dialarc_setup_unknown(4);
    s.lift_low_mm = LOW;
    s.lift_high_mm = HIGH;
    s.tdc_sd_deg = tdc_sd_deg;
    s.dial_sd_mm = 0.002;
    s.dial_step_mm = 0.005;
    s.dial_hysteresis_mm = 0.004;
    s.dial_error_mm = 0.0;
    return s;
}

static world draw_world(sim_random *r, const dialarc_setup *s, shift_kind kind)
{
    double chi = 0.0;
    for (int k = 0; k < 6; k++)
        chi += pow(sim_normal(r), 2);
    world w = {.kind = kind,
               .hysteresis = sim_uniform(r, 0.0, s->dial_hysteresis_mm),
               .tdc_mm = RATE * s->tdc_sd_deg * sim_normal(r),
               .dial_sd = s->dial_sd_mm,
               .step = s->dial_step_mm};
    if (kind == STEADY) {
        w.mean = 0.014 * sim_normal(r);
        w.scatter = 0.005 * sqrt(6.0 / chi);
    } else if (kind == NONE) {
        w.scatter = 0.002;
    } else if (kind == FAR_AND_STEADY) {
        w.mean = either_way(r);
        w.scatter = 0.003;
    } else {
        w.mean = either_way(r);
    }
    return w;
}

static double next_shift(sim_random *r, world *w)
{
    int k = w->shifts++;
    switch (w->kind) {
    case DRAWN_ANEW:
        return either_way(r);
    case TURN_ABOUT:
        return (k % 2 ? -1.0 : 1.0) * w->mean + 0.002 * sim_normal(r);
    case GROWING:
        return copysign(0.005 * k, w->mean) + 0.002 * sim_normal(r);
    default:
        return w->mean + w->scatter * sim_normal(r);
    }
}

static double shown(sim_random *r, const world *w, double mm)
{
    return w->step * floor((mm + w->dial_sd * sim_normal(r)) / w->step + 0.5);
}

static dialarc_round read_pair(sim_random *r, const world *w, int round, int tight,
                               double lift)
{
    double minimum = shown(r, w, 0.0031), tdc = lift - w->hysteresis - w->tdc_mm;
    return (dialarc_round){round, minimum, shown(r, w, 0.0031 + tdc), tight};
}

/* The lift that follows when he turns until the dial shows the reading. */
static double set_to(sim_random *r, const world *w, double aim_mm)
{
    double lift = aim_mm + w->hysteresis + w->tdc_mm;
    return lift + w->dial_sd * (sim_normal(r) + sim_normal(r)) +
           w->step * (sim_uniform(r, -0.5, 0.5) + sim_uniform(r, -0.5, 0.5));
}

/* `pairs` loose and tight readings about the window; then the tight verdict's probability
 * and that of the next aim are tried. */
static void one_job(sim_random *r, const dialarc_setup *s, shift_kind kind, int pairs,
                    bins *in, bins *aim)
{
    dialarc_round rows[16];
    size_t n = 0;
    world w = draw_world(r, s, kind);
    dialarc_plan plan;
    double lift = sim_uniform(r, MIDDLE - 0.1, MIDDLE + 0.1);
    for (int k = 1; k <= pairs; k++) {
        lift = sim_uniform(r, MIDDLE - 0.1, MIDDLE + 0.1);
        rows[n++] = read_pair(r, &w, k, 0, lift);
        lift += next_shift(r, &w);
        rows[n++] = read_pair(r, &w, k, 1, lift);
    }
    if (pairs == 0)
        rows[n++] = read_pair(r, &w, 1, 1, lift);
    if (dialarc_plan_rounds(s, n, rows, &plan) != DIALARC_OK ||
        isnan(plan.decision.probability_in))
        return;
    count(in, plan.decision.probability_in, lift >= LOW && lift <= HIGH);
    lift = set_to(r, &w, plan.decision.aim_mm) + next_shift(r, &w);
    count(aim, plan.decision.aim_probability_in, lift >= LOW && lift <= HIGH);
}

static void rounds_table(long jobs, uint64_t seed)
{
    char what[128];
    const dialarc_setup s = shop(0.05);
    bins in = {.n = {0.0}};
    for (shift_kind kind = STEADY; kind < SHIFT_KINDS; kind++)
        for (int pairs = 0; pairs <= 4; pairs++) {
            bins aim = {.n = {0.0}};
            sim_random r;
            sim_seed(&r, seed + 10 * (uint64_t)kind + (uint64_t)pairs);
            for (long i = 0; i < jobs; i++)
                one_job(&r, &s, kind, pairs, &in, &aim);
            snprintf(what, sizeof what, "aim_probability_in, shifts %s, %d pairs",
                     shift_names[kind], pairs);
            show(what, &aim, 1);
        }
    show("probability_in of tight settings, all of these", &in, 1);
}

/* --- a mechanic who does what he is told -------------------------------------------- */

typedef struct tally {
    long jobs, good, false_good, readings;
} tally;

/* Three rounds at most: aim, tighten, read; read again as long as that is the advice,
 * six times at most. */
static void work(sim_random *r, const dialarc_setup *s, shift_kind kind, tally *t)
{
    dialarc_round rows[32];
    size_t n = 0;
    world w = draw_world(r, s, kind);
    dialarc_plan plan;
    double lift = sim_uniform(r, MIDDLE - 0.2, MIDDLE + 0.2);
    rows[n++] = read_pair(r, &w, 1, 0, lift);
    dialarc_plan_rounds(s, n, rows, &plan);
    for (int round = 2; round <= 4; round++) {
        lift = set_to(r, &w, plan.decision.aim_mm);
        rows[n++] = read_pair(r, &w, round, 0, lift);
        lift += next_shift(r, &w);
        for (int again = 0; again < 6; again++) {
            rows[n++] = read_pair(r, &w, round, 1, lift);
            dialarc_plan_rounds(s, n, rows, &plan);
            if (plan.decision.verdict != DIALARC_VERDICT_UNDECIDED ||
                plan.decision.advice == DIALARC_ADVICE_TURN)
                break;
        }
        if (plan.decision.verdict == DIALARC_VERDICT_IN)
            break;
    }
    t->jobs++;
    t->readings += (long)n;
    t->good += plan.decision.verdict == DIALARC_VERDICT_IN;
    t->false_good +=
        plan.decision.verdict == DIALARC_VERDICT_IN && !(lift >= LOW && lift <= HIGH);
}

static void work_table(long jobs, uint64_t seed)
{
    printf("told GOOD within three rounds, %%; of all jobs falsely, %%; pairs read\n");
    for (shift_kind kind = STEADY; kind < SHIFT_KINDS; kind++) {
        const dialarc_setup s = shop(0.05);
        tally t = {0};
        sim_random r;
        sim_seed(&r, seed + 100 + (uint64_t)kind);
        for (long i = 0; i < jobs; i++)
            work(&r, &s, kind, &t);
        printf("  %-38s %5.1f  %5.2f  %4.1f\n", shift_names[kind],
               100.0 * (double)t.good / (double)t.jobs,
               100.0 * (double)t.false_good / (double)t.jobs,
               (double)t.readings / (double)t.jobs);
    }
}

/* --- a shop's history --------------------------------------------------------------- */

typedef enum shop_kind {
    WEARING,     /* drifts of 0.008 +- 0.008 mm a year */
    STANDING,    /* none drifts */
    FEW_SWEEPS,  /* wearing, one or two sweeps an engine */
    SPEEDING_UP, /* wear that has grown with the square of the years */
    RUNNING_IN,  /* ... with their root */
    SCATTERING,  /* wearing, sweeps scatter 0.004 mm more than they state */
    FEW_ENGINES, /* wearing, 3 in the shop */
    FEW_SPEEDING_UP,
    SHOP_KINDS
} shop_kind;

static const char *const history_names[SHOP_KINDS] = {
    "wearing",
    "standing",
    "one or two sweeps each",
    "speeding up",
    "running in",
    "wearing, sweeps scatter more than they state",
    "wearing, 3 engines a shop",
    "speeding up, 3 engines a shop"};

enum { ENGINES = 30, MOST_SWEEPS = 6 };

/* An engine of four years, up to today. */
typedef struct engine {
    size_t n;
    drift_point point[MOST_SWEEPS];
    double start, slope, bend, root;
} engine;

static double truth(const engine *e, double year)
{
    return e->start + e->slope * year + e->bend * year * year + e->root * sqrt(year);
}

static engine make_engine(sim_random *r, shop_kind kind)
{
    engine e = {.start = sim_uniform(r, LOW - 0.01, HIGH + 0.01)};
    double shared = 0.004 * sim_normal(r);
    e.n = (size_t)sim_integer(r, 1, kind == FEW_SWEEPS ? 2 : MOST_SWEEPS);
    if (kind != STANDING)
        e.slope = 0.008 + 0.008 * sim_normal(r);
    double extra = kind == SCATTERING ? 0.004 : 0.0;
    if (kind == SPEEDING_UP || kind == FEW_SPEEDING_UP) {
        e.bend = e.slope / 4.0;
        e.slope = 0.0;
    } else if (kind == RUNNING_IN) {
        e.root = e.slope * 2.0;
        e.slope = 0.0;
    }
    for (size_t i = 0; i < e.n; i++) {
        double year = sim_uniform(r, 0.0, 4.0);
        e.point[i] =
            (drift_point){.year = year,
                          .lift_mm = truth(&e, year) + shared +
                                     hypot(hypot(0.002, 0.001), extra) * sim_normal(r),
                          .own_sd_mm = 0.002,
                          .shared_sd_mm = 0.004,
                          .rate_mm_per_crank_deg = RATE};
    }
    return e;
}

/* Probabilities of a shop's engines to be outside within a year, against the truth. */
static void one_shop(sim_random *r, shop_kind kind, bins *b, long *blank)
{
    engine e[ENGINES];
    drift d[ENGINES];
    const drift *line[ENGINES];
    size_t lines = 0;
    const int engines = kind >= FEW_ENGINES ? 3 : ENGINES;
    for (int k = 0; k < engines; k++) {
        e[k] = make_engine(r, kind);
        d[k] = drift_fit(e[k].n, e[k].point);
        if (!isnan(d[k].mm_per_year) && d[k].remark != DRIFT_SET_ANEW)
            line[lines++] = &d[k];
    }
    const drift_prior prior = drift_learn(lines, line);
    for (int k = 0; k < engines; k++)
        drift_believe(&d[k], &prior);
    for (int k = 0; k < engines; k++) {
        drift_remark remark;
        double p = drift_outside(&d[k], LOW, HIGH, 4.0, 5.0, &remark);
        double now = truth(&e[k], 4.0), then = truth(&e[k], 5.0);
        if (isnan(p))
            ++*blank;
        else
            count(b, p, fmin(now, then) < LOW || fmax(now, then) > HIGH);
    }
}

static void history_table(long jobs, uint64_t seed)
{
    char what[128];
    for (shop_kind kind = WEARING; kind < SHOP_KINDS; kind++) {
        bins b = {.n = {0.0}};
        long blank = 0;
        sim_random r;
        sim_seed(&r, seed + 200 + (uint64_t)kind);
        for (long i = 0; i < jobs; i += kind >= FEW_ENGINES ? 3 : ENGINES)
            one_shop(&r, kind, &b, &blank);
        snprintf(what, sizeof what, "probability_outside, %s, %ld blank",
                 history_names[kind], blank);
        show(what, &b, -1);
    }
}

int main(int argc, char **argv)
{
    long jobs = argc > 1 ? atol(argv[1]) : 1000;
    uint64_t seed = argc > 2 ? strtoull(argv[2], NULL, 10) : 1;
    if (jobs < 1) {
        fputs("usage: probabilities [JOBS [SEED]]\n", stderr);
        return 2;
    }
    rounds_table(jobs, seed);
    work_table(jobs, seed);
    history_table(jobs, seed);
    return 0;
}
