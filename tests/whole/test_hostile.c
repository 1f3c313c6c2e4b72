/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Hosts that are not kind: what the library does in each of them is what it does in a
 * plain program, to the last bit, or what the comment says.
 */
#ifdef __linux__
#define _GNU_SOURCE /* feenableexcept() */
#endif
#include <dialarc.h>
#include <fenv.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_math.h>
#include <locale.h>
#include <math.h>
#include <pthread.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/time.h>
#include <unistd.h>

#include "kit/check_main.h"
#include "kit/hostile_kit.h"
#include "kit/sweep_kit.h"
#include "kit/table_kit.h"

static hostile_notes plain, hostile;

/* A task done in peace, then by `way`, which prepares for it and undoes what it did. */
static void compare(int task, void (*way)(int task))
{
    hostile_do(task, &plain);
    ck_assert_uint_gt(plain.n, 4);
    way(task);
    hostile_check_same(&plain, &hostile, hostile_task_list[task].name);
}

/* --- the host's locale and its GSL ------------------------------------------- */

static void with_decimal_comma(int task)
{
    char before[100];
    snprintf(before, sizeof before, "%s", setlocale(LC_ALL, NULL));
    int comma = setlocale(LC_ALL, "de_DE.UTF-8") || setlocale(LC_ALL, "fr_FR.UTF-8");
    hostile_do(task, &hostile);
    ck_assert_int_eq(comma, strcmp(localeconv()->decimal_point, ",") == 0);
    setlocale(LC_ALL, before);
}

static int handled;

static void handler(const char *reason, const char *file, int line, int code)
{
    (void)reason, (void)file, (void)line, (void)code;
    handled++;
}

static void with_handler(int task)
{
    gsl_error_handler_t *before = gsl_set_error_handler(handler);
    handled = 0;
    hostile_do(task, &hostile);
    ck_assert_int_eq(handled, 0);
    ck_assert(gsl_set_error_handler(before) == handler);
}

START_TEST(decimal_comma)
{
    compare(_i,
            with_decimal_comma); /* without such a locale: habit_locale.sh makes one */
}
END_TEST

START_TEST(handler_of_the_host)
{
    compare(_i, with_handler);
}
END_TEST

/* --- a small stack ----------------------------------------------------------- */

#define STACK ((size_t)64 << 10)

static void *in_thread(void *task)
{
    hostile_do(*(int *)task, &hostile);
    return NULL;
}

static void with_small_stack(int task)
{
    pthread_t thread;
    pthread_attr_t attributes;
    ck_assert_int_eq(pthread_attr_init(&attributes), 0);
    ck_assert_int_eq(pthread_attr_setstacksize(&attributes, STACK), 0);
    ck_assert_int_eq(pthread_create(&thread, &attributes, in_thread, &task), 0);
    ck_assert_int_eq(pthread_join(thread, NULL), 0);
    pthread_attr_destroy(&attributes);
}

START_TEST(small_stack)
{
    compare(_i, with_small_stack);
}
END_TEST

/* --- floating point ---------------------------------------------------------- */

/* Good input raises neither invalid, nor division by zero, nor overflow, what is not
 * known included: a host that traps them is not stopped. */
static void with_traps(int task)
{
    const int bad = FE_INVALID | FE_DIVBYZERO | FE_OVERFLOW;
    feclearexcept(FE_ALL_EXCEPT);
#ifdef __GLIBC__
    feenableexcept(bad);
#endif
    hostile_do(task, &hostile);
    ck_assert_int_eq(fetestexcept(bad), 0);
#ifdef __GLIBC__
    fedisableexcept(bad);
#endif
}

START_TEST(trapped_exceptions)
{
    compare(_i, with_traps);
}
END_TEST

/* Estimate and verdict raise nothing; returns the status of the estimate. */
static dialarc_status quiet(dialarc_workspace *w, const dialarc_setup *setup,
                            const sim_sweep *sweep)
{
    const dialarc_sweep s = kit_sweep(sweep);
    dialarc_timing t;
    dialarc_decision d;
    feclearexcept(FE_ALL_EXCEPT);
    dialarc_status status = dialarc_timing_estimate(w, setup, &s, NULL, &t);
    if (status >= DIALARC_OK)
        ck_assert_int_eq(dialarc_decision_judge(setup, &t, &d), DIALARC_OK);
    ck_assert_int_eq(fetestexcept(FE_INVALID | FE_DIVBYZERO | FE_OVERFLOW), 0);
    return status;
}

/* The same for sweeps of any pump, some of them with misread dials. */
START_TEST(trapped_exceptions_any_sweep)
{
    static sim_sweep sweep;
    dialarc_workspace *w = dialarc_workspace_new();
    for (int k = 0; k < 60; k++) {
        sim_random r;
        sim_seed(&r, (uint64_t)(4000 + k));
        sim_job job = kit_job(&r);
        job.misread_share = k % 3 == 1 ? 0.05 : 0.0;
        job.two_way = k % 4 != 3;
        sim_run(&job, &r, &sweep);
        dialarc_setup setup = kit_setup(&job, k % 2);
        ck_assert_int_eq(quiet(w, &setup, &sweep), DIALARC_OK);
    }
    dialarc_workspace_free(w);
}
END_TEST

/* And for sweeps from which nothing can be learned: no host is stopped by them. */
START_TEST(trapped_exceptions_hopeless_sweep)
{
    static sim_sweep sweep;
    dialarc_workspace *w = dialarc_workspace_new();
    for (int k = 0; k < 16; k++) {
        sim_random r;
        sim_seed(&r, (uint64_t)(5100 + k));
        sim_job job = kit_job(&r);
        sim_run(&job, &r, &sweep);
        hostile_spoil(_i, &r, &sweep);
        dialarc_setup setup = kit_setup(&job, k % 2);
        quiet(w, &setup, &sweep);
    }
    dialarc_workspace_free(w);
}
END_TEST

static const int rounding_mode[] = {FE_UPWARD, FE_DOWNWARD, FE_TOWARDZERO};

static void rounded(int mode, int task)
{
    fesetround(mode);
    hostile_do(task, &hostile);
    ck_assert_int_eq(fegetround(), mode);
    fesetround(FE_TONEAREST);
    ck_assert_uint_eq(plain.n, hostile.n);
}

/* Another rounding mode changes last digits. Sums of some hundred terms, and a fit that
 * stops when a step no longer matters, keep seven of them. Verdicts and findings are
 * among the numbers and do not change. */
START_TEST(rounding)
{
    hostile_do(_i, &plain);
    for (int k = 0; k < 3 && strcmp(hostile_task_list[_i].name, "pluck"); k++) {
        rounded(rounding_mode[k], _i);
        for (size_t i = 0; i < plain.n; i++) {
            double a = plain.number[i], b = hostile.number[i];
            ck_assert_msg(
                (isnan(a) && isnan(b)) || fabs(a - b) <= 1e-7 * fmax(fabs(a), 1.0),
                "%s: number %zu: %.17g, then %.17g", hostile_task_list[_i].name, i, a, b);
        }
    }
}
END_TEST

/* In noise several samples may pass for the first of the pluck, and the last digits
 * decide which does: the note stays within half its standard uncertainty. */
START_TEST(rounding_and_the_note)
{
    int task = 0;
    while (strcmp(hostile_task_list[task].name, "pluck"))
        task++;
    hostile_do(task, &plain);
    for (int k = 0; k < 3; k++) {
        rounded(rounding_mode[k], task);
        double hz = plain.number[1], sd = plain.number[2];
        ck_assert_double_eq_tol(hostile.number[1], hz, 0.5 * sd);
        ck_assert_double_eq_tol(hostile.number[2], sd, 0.1 * sd);
    }
}
END_TEST

/* --- signals ----------------------------------------------------------------- */

static volatile sig_atomic_t alarms;

static void on_alarm(int number)
{
    (void)number;
    alarms++;
}

/* A signal every 200 microseconds, whose handler interrupts system calls. */
static void alarms_on(void)
{
    struct sigaction action = {.sa_handler = on_alarm};
    const struct itimerval often = {{0, 200}, {0, 200}};
    sigemptyset(&action.sa_mask);
    alarms = 0;
    sigaction(SIGALRM, &action, NULL);
    setitimer(ITIMER_REAL, &often, NULL);
}

static void alarms_off(void)
{
    const struct itimerval never = {{0, 0}, {0, 0}};
    setitimer(ITIMER_REAL, &never, NULL);
    signal(SIGALRM, SIG_DFL);
}

static void with_signals(int task)
{
    alarms_on();
    hostile_do(task, &hostile);
    alarms_off();
}

START_TEST(signals)
{
    compare(_i, with_signals);
}
END_TEST

/* Writes a table to the pipe in small pieces, slowly, so that the reader has to wait. */
static void *trickle(void *pipe_end)
{
    const char head[] = "sweep,crank_deg,dial_mm\n", row[] = "a sweep,12.5,0.25\n";
    FILE *to = fdopen(*(int *)pipe_end, "w");
    const struct timespec while_waiting = {0, 2000000};
    fputs(head, to);
    for (int i = 0; i < 40; i++) {
        fputs(row, to);
        fflush(to);
        nanosleep(&while_waiting, NULL);
    }
    fclose(to);
    return NULL;
}

/* A read that a signal interrupts goes on: nothing is lost, nothing refused. */
START_TEST(signals_while_reading)
{
    int ends[2];
    sigset_t alarm, before;
    pthread_t writer;
    kit_source source = kit_text("setup,lobes\ne,4\n");
    dialarc_setups *setups = NULL;
    dialarc_sweeps *sweeps = NULL;
    ck_assert_int_eq(dialarc_setups_read(kit_read, &source, &setups, NULL), DIALARC_OK);
    ck_assert_int_eq(pipe(ends), 0);
    sigemptyset(&alarm);
    sigaddset(&alarm, SIGALRM);
    pthread_sigmask(SIG_BLOCK, &alarm, &before); /* the reader alone hears it */
    ck_assert_int_eq(pthread_create(&writer, NULL, trickle, &ends[1]), 0);
    pthread_sigmask(SIG_SETMASK, &before, NULL);
    FILE *from = fdopen(ends[0], "r");
    alarms_on();
    dialarc_status status =
        dialarc_sweeps_read(dialarc_read_file, from, setups, &sweeps, NULL);
    alarms_off();
    pthread_join(writer, NULL);
    fclose(from);
    ck_assert_int_gt(alarms, 10);
    ck_assert_int_eq(status, DIALARC_OK);
    ck_assert_uint_eq(dialarc_sweeps_get(sweeps, 0)->sweep.n, 40);
    dialarc_sweeps_free(sweeps);
    dialarc_setups_free(setups);
}
END_TEST

/* --- little memory ------------------------------------------------------------------ */

/* Address space enough for what there is and 8 MB more; false where nobody is held to it,
 * as by qemu. */
static int limit_memory(void)
{
    long pages = 0;
    FILE *file = fopen("/proc/self/statm", "r");
    if (!file || fscanf(file, "%ld", &pages) != 1)
        pages = 1 << 18;
    if (file)
        fclose(file);
    rlim_t most = (rlim_t)pages * (rlim_t)sysconf(_SC_PAGESIZE) + ((rlim_t)8 << 20);
    const struct rlimit limit = {most, RLIM_INFINITY};
    ck_assert_int_eq(setrlimit(RLIMIT_AS, &limit), 0);
    void *volatile more = malloc((size_t)64 << 20);
    free(more);
    return !more;
}

/* What needs more memory than there is says so; what needs little still works. */
START_TEST(little_memory)
{
    const size_t n = DIALARC_SWEEP_MAX;
    double *crank = malloc(n * sizeof *crank), *dial = malloc(n * sizeof *dial);
    double *sound = malloc(20 * n * sizeof *sound);
    ck_assert(crank && dial && sound);
    for (size_t i = 0; i < n; i++) {
        crank[i] = -60.0 + 120.0 * (double)i / (double)n;
        dial[i] = 1e-4 * crank[i] * crank[i];
    }
    for (size_t i = 0; i < 20 * n; i++)
        sound[i] = sin(0.1 * (double)i);
    const dialarc_sweep large = {n, crank, dial, NULL};
    const dialarc_setup setup = dialarc_setup_unknown(4);
    dialarc_timing t = {.lift_mm = -7.0};
    dialarc_pluck p = {.frequency_hz = -7.0};
    hostile_do(0, &plain);
    int held = limit_memory();
    dialarc_workspace *w = dialarc_workspace_new();
    ck_assert_ptr_nonnull(w);
    if (held) {
        ck_assert_int_eq(dialarc_timing_estimate(w, &setup, &large, NULL, &t),
                         DIALARC_ERR_NO_MEMORY);
        ck_assert_double_eq(t.lift_mm, -7.0);
        ck_assert_int_eq(dialarc_pluck_frequency(20 * n, sound, 8000.0, 20.0, 600.0, &p),
                         DIALARC_ERR_NO_MEMORY);
        ck_assert_double_eq(p.frequency_hz, -7.0);
    }
    dialarc_workspace_free(w);
    hostile_do(0, &hostile);
    hostile_check_same(&plain, &hostile, "little memory");
    free(crank);
    free(dial);
    free(sound);
}
END_TEST

int main(void)
{
    hostile_prepare();
    Suite *suite = suite_create("hostile");
    TCase *tc = tcase_create("hosts");
    tcase_set_timeout(tc, 60.0);
    tcase_add_loop_test(tc, decimal_comma, 0, hostile_tasks);
    tcase_add_loop_test(tc, handler_of_the_host, 0, hostile_tasks);
    tcase_add_loop_test(tc, signals, 0, hostile_tasks);
    tcase_add_test(tc, signals_while_reading);
    if (hostile_plain_machine()) {
        tcase_add_loop_test(tc, small_stack, 0, hostile_tasks);
        tcase_add_loop_test(tc, trapped_exceptions, 0, hostile_tasks);
        tcase_add_test(tc, trapped_exceptions_any_sweep);
        tcase_add_loop_test(tc, trapped_exceptions_hopeless_sweep, 0, HOSTILE_WAYS);
        tcase_add_loop_test(tc, rounding, 0, hostile_tasks);
        tcase_add_test(tc, rounding_and_the_note);
        tcase_add_test(tc, little_memory);
    }
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
