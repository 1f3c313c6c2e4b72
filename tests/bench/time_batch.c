/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Times parts of the way from table to results by themselves, for the bench: one line
 * with the numbers of sweeps and readings and the seconds of processor time that each
 * repeat took, then for `assess` lift and expanded uncertainty of each sweep. Built
 * against other commits of the library as well: what it calls has to be there.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include <dialarc.h>

static const char usage[] =
    "usage: time_batch assess|lobes|parse SETUPS SWEEPS [REPEATS [THREADS]]\n"
    "  assess  by the batch, from arrays in memory\n"
    "  lobes   whole turns, one after the other, from arrays in memory\n"
    "  parse   the table, one sweep after the other, nothing kept\n";

static double used_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* The sweeps in flat form; what has not been made is NULL. */
typedef struct flat {
    dialarc_batch batch;
    size_t *offset, *setup_index;
    double *crank_deg, *dial_mm;
    dialarc_setup *setup;
    dialarc_batch_result *result;
} flat;

static void flat_free(flat *f)
{
    free(f->offset);
    free(f->setup_index);
    free(f->crank_deg);
    free(f->dial_mm);
    free(f->setup);
    free(f->result);
}

static int flatten(const dialarc_setups *setups, const dialarc_sweeps *sweeps, flat *f)
{
    size_t n = dialarc_sweeps_count(sweeps), count = dialarc_setups_count(setups);
    size_t total = 0;
    for (size_t i = 0; i < n; i++)
        total += dialarc_sweeps_get(sweeps, i)->sweep.n;
    *f = (flat){.offset = calloc(n + 1, sizeof(size_t)),
                .setup_index = calloc(n + 1, sizeof(size_t)),
                .crank_deg = calloc(total + 1, sizeof(double)),
                .dial_mm = calloc(total + 1, sizeof(double)),
                .setup = calloc(count, sizeof(dialarc_setup)),
                .result = calloc(n + 1, sizeof(dialarc_batch_result))};
    if (!f->offset || !f->setup_index || !f->crank_deg || !f->dial_mm || !f->setup ||
        !f->result)
        return -1;
    for (size_t i = 0; i < count; i++)
        f->setup[i] = *dialarc_setups_get(setups, i);
    for (size_t i = 0; i < n; i++) {
        const dialarc_sweep_record *r = dialarc_sweeps_get(sweeps, i);
        memcpy(f->crank_deg + f->offset[i], r->sweep.crank_deg,
               r->sweep.n * sizeof(double));
        memcpy(f->dial_mm + f->offset[i], r->sweep.dial_mm, r->sweep.n * sizeof(double));
        f->offset[i + 1] = f->offset[i] + r->sweep.n;
        f->setup_index[i] = r->setup_index;
    }
    f->batch = (dialarc_batch){n,    total, f->offset, f->crank_deg,  f->dial_mm,
                               NULL, count, f->setup,  f->setup_index};
    return 0;
}

static int time_assess(const dialarc_setups *setups, const char *path, int repeats,
                       size_t threads)
{
    dialarc_sweeps *sweeps = NULL;
    flat f = {0};
    int failed = dialarc_sweeps_load(path, setups, &sweeps, NULL) != DIALARC_OK ||
                 flatten(setups, sweeps, &f);
    dialarc_sweeps_free(sweeps);
    if (!failed)
        printf("%zu %zu", f.batch.sweeps, f.batch.readings);
    const dialarc_batch_options options = {.threads = threads};
    for (int i = 0; !failed && i < repeats; i++) {
        double begin = used_s();
        failed = dialarc_batch_assess(&f.batch, &options, f.result) != DIALARC_OK;
        printf(" %.9f", used_s() - begin);
    }
    putchar('\n');
    for (size_t i = 0; i < f.batch.sweeps; i++)
        printf("%.6f %.6f\n", f.result[i].timing.lift_mm, f.result[i].timing.lift_u_mm);
    flat_free(&f);
    return failed;
}

static int lobes_once(const dialarc_setups *setups, const dialarc_sweeps *sweeps,
                      dialarc_workspace *workspace)
{
    for (size_t i = 0; i < dialarc_sweeps_count(sweeps); i++) {
        const dialarc_sweep_record *r = dialarc_sweeps_get(sweeps, i);
        dialarc_lobes lobes;
        if (dialarc_lobes_estimate(workspace, dialarc_setups_get(setups, r->setup_index),
                                   &r->sweep, NULL, &lobes) < DIALARC_OK)
            return -1;
    }
    return 0;
}

static int time_lobes(const dialarc_setups *setups, const char *path, int repeats)
{
    dialarc_sweeps *sweeps = NULL;
    dialarc_workspace *workspace = dialarc_workspace_new();
    int failed =
        !workspace || dialarc_sweeps_load(path, setups, &sweeps, NULL) != DIALARC_OK;
    if (!failed)
        printf("%zu 0", dialarc_sweeps_count(sweeps));
    for (int i = 0; !failed && i < repeats; i++) {
        double begin = used_s();
        failed = lobes_once(setups, sweeps, workspace);
        printf(" %.9f", used_s() - begin);
    }
    putchar('\n');
    dialarc_sweeps_free(sweeps);
    dialarc_workspace_free(workspace);
    return failed;
}

static int parse_once(const dialarc_setups *setups, const char *path, size_t *sweeps,
                      size_t *readings)
{
    FILE *file = fopen(path, "rb");
    dialarc_sweep_buffer *buffer = dialarc_sweep_buffer_new();
    dialarc_sweep_reader *reader = NULL;
    dialarc_sweep_record record = {.name = ""};
    int failed = !file || !buffer ||
                 dialarc_sweep_reader_new(dialarc_read_file, file, setups, &reader,
                                          NULL) != DIALARC_OK;
    *sweeps = *readings = 0;
    while (!failed) {
        failed = dialarc_sweep_reader_next(reader, buffer, &record, NULL) != DIALARC_OK;
        if (failed || !record.name)
            break;
        ++*sweeps;
        *readings += record.sweep.n;
    }
    dialarc_sweep_reader_free(reader);
    dialarc_sweep_buffer_free(buffer);
    if (file)
        fclose(file);
    return failed;
}

static int time_parse(const dialarc_setups *setups, const char *path, int repeats)
{
    size_t sweeps, readings;
    int failed = parse_once(setups, path, &sweeps, &readings);
    printf("%zu %zu", sweeps, readings);
    for (int i = 0; !failed && i < repeats; i++) {
        double begin = used_s();
        failed = parse_once(setups, path, &sweeps, &readings);
        printf(" %.9f", used_s() - begin);
    }
    putchar('\n');
    return failed;
}

int main(int argc, char **argv)
{
    int repeats = argc > 4 ? atoi(argv[4]) : 1;
    size_t threads = argc > 5 ? (size_t)atoi(argv[5]) : 1;
    dialarc_setups *setups = NULL;
    if (argc < 4 || argc > 6 || repeats < 1) {
        fputs(usage, stderr);
        return 2;
    }
    int failed = dialarc_setups_load(argv[2], &setups, NULL) != DIALARC_OK;
    if (!failed)
        failed = strcmp(argv[1], "assess") == 0
                     ? time_assess(setups, argv[3], repeats, threads)
                 : strcmp(argv[1], "lobes") == 0 ? time_lobes(setups, argv[3], repeats)
                                                 : time_parse(setups, argv[3], repeats);
    dialarc_setups_free(setups);
    if (failed)
        fputs("time_batch: it did not work\n", stderr);
    return failed;
}
