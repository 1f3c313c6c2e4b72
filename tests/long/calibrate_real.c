/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Real instruments and careless hands: seeded simulated sweeps in which one thing is not
 * as the model has it, and what becomes of the promise that U covers 95 %, or that
 * somebody is told. `calibrate_real [SWEEPS [LEARNED_SWEEPS [SEED [PART_OF_A_NAME]]]]`;
 * the second part of tests/calibration.txt is what it prints.
 */
#include <math.h>
#include <pthread.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "long/calibrate_faults.h"

#define THREADS 2

static const char legend[] =
    "cam     k: law and segments stated; l: learned; 1: forward, 2: there and back;\n"
    "        y: a term of the setup states the fault truly; -: blank, or there is none\n"
    "use     sweeps that get a lift, %\n"
    "told    sweeps that are refused, stopped or get a finding above a note, %\n"
    "silent  those that are not told: share whose U covers the lift at true TDC, %\n"
    "all     the same of all that get a lift, %\n"
    "rms/U   of all that get a lift: rms error over median U\n"
    "false   verdicts that are not told and wrong by more than U\n"
    "aim     met: silent at least 93 or told at least 95, and nothing false; real cams\n"
    "        to be learned: of use 90 or 85 times in 100, and of these all at least 92\n"
    "last, the finding above a note that is met most often\n";

typedef struct outcome {
    bool usable, told, wrong;
    double error, expanded;
    uint32_t findings; /* above a note */
} outcome;

typedef struct task {
    const family *family;
    const measured_cam *measured;
    uint64_t seed;
    long first, count;
    outcome *out;
    int failed;
} task;

/* --- one sweep --------------------------------------------------------------------- */

/* By how much a verdict is wrong, mm; not above 0 when it is right or there is none. */
static double wrong_by(const trial *t, dialarc_verdict verdict)
{
    switch (verdict) {
    case DIALARC_VERDICT_IN:
        return fmax(t->low_mm - t->lift_mm, t->lift_mm - t->high_mm);
    case DIALARC_VERDICT_LOW:
        return t->lift_mm - t->low_mm;
    case DIALARC_VERDICT_HIGH:
        return t->high_mm - t->lift_mm;
    default:
        return 0;
    }
}

static outcome assess(dialarc_workspace *workspace, const trial *t)
{
    dialarc_direction way[SIM_MAX];
    dialarc_timing timing;
    dialarc_decision decision;
    outcome o = {.told = true};
    for (size_t i = 0; i < t->sheet.n; i++)
        way[i] = t->sheet.direction[i] > 0 ? DIALARC_DIRECTION_WITH
                                           : DIALARC_DIRECTION_AGAINST;
    const dialarc_sweep sweep = {t->sheet.n, t->sheet.crank_deg, t->sheet.dial_mm,
                                 t->sheet.has_directions ? way : NULL};
    if (dialarc_assess(workspace, &t->setup, &sweep, NULL, &timing, &decision) < 0)
        return o;
    for (int k = 0; k < DIALARC_FINDING_COUNT; k++)
        if (dialarc_findings_has(&timing.findings, (dialarc_finding)k) &&
            timing.findings.severity[k] > DIALARC_SEVERITY_NOTE)
            o.findings |= UINT32_C(1) << k;
    o.usable = decision.verdict != DIALARC_VERDICT_UNUSABLE;
    o.told = o.findings != 0 || !o.usable;
    o.error = timing.lift_mm - t->lift_mm;
    o.expanded = timing.lift_u_mm;
    o.wrong = !o.told && wrong_by(t, decision.verdict) > o.expanded;
    return o;
}

/* Streams of random numbers depend on seed and name, not on the place in the table. */
static uint64_t stream_of(const family *f, uint64_t seed)
{
    uint64_t hash = 0xcbf29ce484222325u ^ seed; /* FNV-1a */
    for (const char *c = f->fault->name; *c; c++)
        hash = (hash ^ (unsigned char)*c) * 0x100000001b3u;
    return (hash ^ (f->learned ? 2u : 0u) ^ (f->two_way ? 1u : 0u)) * 0x100000001b3u;
}

static void *work(void *argument)
{
    task *t = argument;
    trial *one = malloc(sizeof *one);
    dialarc_workspace *workspace = dialarc_workspace_new();
    t->failed = !one || !workspace;
    for (long k = t->first; k < t->first + t->count && !t->failed; k++) {
        sim_random random;
        sim_seed(&random, stream_of(t->family, t->seed) + (uint64_t)k);
        draw_trial(t->family, t->measured, &random, one);
        t->out[k] = assess(workspace, one);
    }
    dialarc_workspace_free(workspace);
    free(one);
    return NULL;
}

/* --- one family -------------------------------------------------------------------- */

static int ascending(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double percent(long part, long whole)
{
    return 100.0 * (double)part / (double)whole;
}

/* The finding met most often, after a blank; empty where there was none. */
static const char *commonest(const outcome *o, long n, char code[64])
{
    long most = 0;
    code[0] = '\0';
    for (int k = 0; k < DIALARC_FINDING_COUNT; k++) {
        long count = 0;
        for (long i = 0; i < n; i++)
            count += o[i].findings >> k & 1;
        if (count > most) {
            most = count;
            snprintf(code, 64, " %s", dialarc_finding_code((dialarc_finding)k));
        }
    }
    return code;
}

typedef struct counts {
    long usable, told, silent, silent_covered, covered, wrong;
    double square;
} counts;

static counts count(const outcome *o, long n, double *width)
{
    counts c = {0};
    for (long i = 0; i < n; i++) {
        bool covered = o[i].usable && fabs(o[i].error) <= o[i].expanded;
        c.told += o[i].told;
        c.silent += !o[i].told;
        c.silent_covered += !o[i].told && covered;
        c.covered += covered;
        c.wrong += o[i].wrong;
        if (o[i].usable) {
            width[c.usable++] = o[i].expanded;
            c.square += o[i].error * o[i].error;
        }
    }
    return c;
}

/* A number, or a dash where there is nothing of which it could be a share. */
static void print_share(int width, int digits, double value, long whole)
{
    if (whole > 0)
        printf(" %*.*f", width, digits, value);
    else
        printf(" %*s", width, "-");
}

static bool is_met(const fault *f, const counts *c, long n)
{
    if (c->wrong > 0)
        return false;
    if (f->least_use > 0)
        return percent(c->usable, n) >= f->least_use &&
               percent(c->covered, c->usable) >= 92;
    return percent(c->told, n) >= 95 || percent(c->silent_covered, c->silent) >= 93;
}

static void print_row(const family *f, const outcome *o, long n, double *width)
{
    char code[64];
    counts c = count(o, n, width);
    qsort(width, (size_t)c.usable, sizeof *width, ascending);
    printf("%-24s %c%c%c", f->fault->name, f->learned ? 'l' : 'k', f->two_way ? '2' : '1',
           f->stated ? 'y' : '-');
    print_share(5, 1, percent(c.usable, n), n);
    print_share(5, 1, percent(c.told, n), n);
    print_share(6, 1, percent(c.silent_covered, c.silent), c.silent);
    print_share(5, 1, percent(c.covered, c.usable), c.usable);
    print_share(5, 2, sqrt(c.square / (double)c.usable) / width[c.usable / 2], c.usable);
    printf(" %5ld %-3s%s\n", c.wrong, is_met(f->fault, &c, n) ? "met" : "no",
           commonest(o, n, code));
    fflush(stdout);
}

static int run_family(const family *f, const measured_cam *measured, uint64_t seed,
                      long n)
{
    outcome *out = calloc((size_t)n, sizeof *out);
    double *width = calloc((size_t)n + 1, sizeof *width);
    pthread_t thread[THREADS];
    task part[THREADS];
    int started = 0, failed = !out || !width;
    for (; started < THREADS && !failed; started++) {
        long first = n * started / THREADS, next = n * (started + 1) / THREADS;
        part[started] = (task){f, measured, seed, first, next - first, out, 0};
        failed = pthread_create(&thread[started], NULL, work, &part[started]) != 0;
    }
    for (int k = 0; k < started; k++) {
        pthread_join(thread[k], NULL);
        failed |= part[k].failed;
    }
    if (!failed)
        print_row(f, out, n, width);
    free(width);
    free(out);
    return failed;
}

/* --- the table --------------------------------------------------------------------- */

#define ROWS_MOST 1000

static int read_measured(measured_cam *cam)
{
    const char *folder = getenv("srcdir");
    char path[1000], line[1000];
    double angle[ROWS_MOST], lift[ROWS_MOST];
    size_t n = 0;
    snprintf(path, sizeof path, "%s/refdata/valve_lift_data.csv", folder ? folder : ".");
    FILE *file = fopen(path, "r");
    while (file && n < ROWS_MOST && fgets(line, sizeof line, file))
        n += sscanf(line, "%lf,%lf", &angle[n], &lift[n]) == 2;
    if (file)
        fclose(file);
    if (n == 0 || sim_table_shapes(n, angle, lift, &cam->rise, &cam->fall) == 0) {
        fprintf(stderr, "calibrate_real: %s holds no lobe\n", path);
        return 1;
    }
    return 0;
}

static bool is_tried(const family *one)
{
    const fault *f = one->fault;
    unsigned tried = f->tried ? f->tried : EVERY_WAY;
    bool sayable = f->term != NO_TERM && !(one->learned && f->term == CAM_FORM);
    return (tried & (one->learned ? LEARNED : KNOWN)) &&
           (tried & (one->two_way ? TWO_WAY : ONE_WAY)) && (sayable || !one->stated);
}

static int run_fault(const fault *f, const measured_cam *measured, uint64_t seed,
                     long known, long learned)
{
    int failed = 0;
    for (int k = 0; k < 8 && !failed; k++) {
        family one = {f, k / 4 == 1, k / 2 % 2 == 1, k % 2 == 1};
        if (is_tried(&one))
            failed = run_family(&one, measured, seed, one.learned ? learned : known);
    }
    return failed;
}

int main(int argc, char **argv)
{
    long known = argc > 1 ? atol(argv[1]) : 1000;
    long learned = argc > 2 ? atol(argv[2]) : known;
    uint64_t seed = argc > 3 ? strtoull(argv[3], NULL, 10) : 1;
    const char *part = argc > 4 ? argv[4] : "";
    measured_cam measured;
    if (known < 1 || learned < 1)
        return 2;
    if (read_measured(&measured))
        return 1;
    printf("calibrate_real %ld %ld %llu\n%s", known, learned, (unsigned long long)seed,
           legend);
    printf("%-24s %-3s %5s %5s %6s %5s %5s %5s %-3s %s\n", "one thing is wrong", "cam",
           "use", "told", "silent", "all", "rms/U", "false", "aim", "finding");
    for (int k = 0; k < faults_n; k++)
        if (strstr(faults[k].name, part) &&
            run_fault(&faults[k], &measured, seed, known, learned))
            return 1;
    return 0;
}
