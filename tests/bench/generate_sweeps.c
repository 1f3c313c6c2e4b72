/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Any number of simulated sweeps as a table on standard output, the same for the same
 * seed: what the tests of streams and the bench read. A few hundred sweeps are simulated;
 * those written are copies of them with other zeros and angles, so that writing is fast
 * and no two are alike.
 */
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <dialarc.h>

#include "kit/lobes_kit.h"
#include "kit/sweep_kit.h"

#define ENGINES 8
#define POOL    400
#define ROOM    ((size_t)1 << 16)

static const char usage[] =
    "usage: generate_sweeps [--seed N] [--readings N] "
    "[--learned] [--turn] [--setups FILE] SWEEPS\n"
    "  --readings  of each sweep, 10 to 2000; 120\n"
    "  --learned   the setups say nothing of the cams\n"
    "  --turn      over a whole turn of a pump whose lobes differ\n"
    "  --setups    writes the table of setups there\n";

typedef struct options {
    uint64_t seed;
    size_t readings, sweeps;
    int learned, turn;
    const char *setups;
} options;

/* One simulated sweep, in hundredths of a degree and in micrometres. */
typedef struct original {
    int engine;
    long crank[SIM_MAX], dial[SIM_MAX];
} original;

static sim_job engine_job(const options *o, sim_random *r)
{
    sim_job job = o->turn ? kit_turn(r) : kit_job(r);
    job.dial_step_mm = 0.01;
    return job;
}

/* Another day at the same engine: forward over the flank and back. */
static void simulate(const sim_job *engine, const options *o, sim_random *r, original *to)
{
    static double path[SIM_MAX];
    static sim_sweep sweep;
    sim_job job = *engine;
    size_t half = (o->readings + 1) / 2;
    double step = (job.end_deg - job.start_deg) / (double)half;
    for (size_t k = 0; k < o->readings; k++)
        path[k] = k < half ? job.start_deg + (double)k * step
                           : job.start_deg + ((double)(o->readings - k) - 0.5) * step;
    job.path_deg = path;
    job.path_n = o->readings;
    job.slack_deg = sim_uniform(r, 0.5, 8.0);
    job.foot_crank_deg += sim_uniform(r, -1.0, 1.0);
    sim_run(&job, r, &sweep);
    for (size_t k = 0; k < o->readings; k++) {
        to->crank[k] = (long)(sweep.crank_deg[k] * 100.0);
        to->dial[k] = (long)(sweep.dial_mm[k] * 1000.0 + 1000.5) - 1000;
    }
}

static int write_setups(const options *o, const sim_job *engine)
{
    FILE *file = fopen(o->setups, "w");
    if (!file)
        return -1;
    fprintf(file, "setup,lobes,crank_per_pump,lift_low_mm,lift_high_mm,angle_sd_deg,"
                  "dial_sd_mm,dial_step_mm,tdc_sd_deg,cam_law,rise_deg,top_dwell_deg,"
                  "base_dwell_deg\n");
    for (int i = 0; i < ENGINES; i++) {
        const dialarc_setup s = kit_setup(&engine[i], 1);
        fprintf(file, "engine%d,%d,2,0.85,1.05,%.4f,%.5f,0.01,0.2", i, s.lobes,
                s.angle_sd_deg, s.dial_sd_mm);
        if (o->learned)
            fprintf(file, ",,,,\n");
        else
            fprintf(file, ",%s,%.4f,%.4f,%.4f\n", dialarc_law_name(s.cam_law), s.rise_deg,
                    s.top_dwell_deg, s.base_dwell_deg);
    }
    return fclose(file);
}

/* A number with so many digits behind the point. */
static char *put(char *to, long value, int digits)
{
    char text[24];
    int n = 0;
    unsigned long rest = value < 0 ? 0ul - (unsigned long)value : (unsigned long)value;
    if (value < 0)
        *to++ = '-';
    do {
        text[n++] = (char)('0' + rest % 10);
        rest /= 10;
        if (n == digits)
            text[n++] = '.';
    } while (rest || n <= digits + 1);
    while (n > 0)
        *to++ = text[--n];
    return to;
}

static int write_sweep(const options *o, const original *from, size_t number,
                       sim_random *r)
{
    static char block[ROOM];
    char begin[64], *to = block;
    int length = snprintf(begin, sizeof begin, "s%zu,engine%d,", number, from->engine);
    long turn = sim_integer(r, -30, 30), zero = 10L * sim_integer(r, -9, 9);
    for (size_t k = 0; k < o->readings; k++) {
        memcpy(to, begin, (size_t)length);
        to = put(to + length, from->crank[k] + turn, 2);
        *to++ = ',';
        to = put(to, from->dial[k] + zero, 3);
        *to++ = '\n';
        if ((size_t)(to - block) > ROOM - 200 || k + 1 == o->readings) {
            if (fwrite(block, 1, (size_t)(to - block), stdout) != (size_t)(to - block))
                return -1;
            to = block;
        }
    }
    return 0;
}

static int generate(const options *o, original *pool)
{
    sim_random r;
    sim_job engine[ENGINES];
    size_t count = o->sweeps < POOL ? o->sweeps : POOL;
    sim_seed(&r, o->seed);
    for (int i = 0; i < ENGINES; i++)
        engine[i] = engine_job(o, &r);
    if (o->setups && write_setups(o, engine))
        return -1;
    for (size_t i = 0; i < count; i++) {
        pool[i].engine = (int)(i % ENGINES);
        simulate(&engine[pool[i].engine], o, &r, &pool[i]);
    }
    fputs("sweep,setup,crank_deg,dial_mm\n", stdout);
    for (size_t i = 0; i < o->sweeps; i++)
        if (write_sweep(o, &pool[i % POOL], i, &r))
            return -1;
    return fclose(stdout);
}

/* A whole number in a range; -1 when it is none. */
static long long whole(const char *text, long long low, long long high)
{
    char *end;
    errno = 0;
    long long value = text ? strtoll(text, &end, 10) : -1;
    return text && *text && !*end && !errno && value >= low && value <= high ? value : -1;
}

static int parse(int argc, char **argv, options *o)
{
    long long seed = 1, readings = 120, sweeps = -1;
    *o = (options){0};
    for (int i = 1; i < argc; i++)
        if (strcmp(argv[i], "--learned") == 0)
            o->learned = 1;
        else if (strcmp(argv[i], "--turn") == 0)
            o->turn = 1;
        else if (strcmp(argv[i], "--seed") == 0)
            seed = whole(argv[++i], 0, 1LL << 62);
        else if (strcmp(argv[i], "--readings") == 0)
            readings = whole(argv[++i], 10, 2000);
        else if (strcmp(argv[i], "--setups") == 0 && i + 1 < argc)
            o->setups = argv[++i];
        else
            sweeps = whole(argv[i], 0, 1LL << 40);
    o->seed = (uint64_t)seed;
    o->readings = (size_t)readings;
    o->sweeps = (size_t)sweeps;
    return seed < 0 || readings < 0 || sweeps < 0 ? -1 : 0;
}

int main(int argc, char **argv)
{
    options o;
    if (parse(argc, argv, &o)) {
        fputs(usage, stderr);
        return 2;
    }
    original *pool = calloc(POOL, sizeof *pool);
    int failed = !pool || generate(&o, pool);
    free(pool);
    if (failed)
        fputs("generate_sweeps: nobody takes the sweeps, or there is no room\n", stderr);
    return failed ? 1 : 0;
}
