/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The promises of the pluck on simulated recordings (pluck_sim.c): within 0.2 % down to
 * 6 dB of string over noise, an uncertainty that covers, and no number without a tone.
 * TEST_RECORDINGS in the environment sets how many of each kind are made.
 */
#include <math.h>
#include <stdlib.h>

#include "kit/check_main.h"
#include "kit/pluck_kit.h"

#define PROMISE 0.002 /* relative error of the frequency */
#define OUTLIER 2.2   /* expanded uncertainties; by chance once in 60000 recordings */

static int recordings(int usual)
{
    const char *wanted = getenv("TEST_RECORDINGS");
    return wanted ? atoi(wanted) : usual;
}

/* A span of 35 to 350 Hz and a quality of 20 to 60, plucked somewhere, at 6 dB. */
static pluck_sim draw(uint64_t *state)
{
    pluck_sim s = {.rate_hz = 8000.0, .seconds = 1.5, .snr_db = 6.0};
    s.seed = (uint64_t)(1e15 * pluck_uniform(state));
    s.onset_s = 0.1 + 0.3 * pluck_uniform(state);
    s.hz = 35.0 * pow(10.0, pluck_uniform(state));
    s.decay_s = (20.0 + 40.0 * pluck_uniform(state)) / (acos(-1.0) * s.hz);
    s.place = 0.15 + 0.35 * pluck_uniform(state);
    s.stiffness = 0.01 * pluck_uniform(state);
    s.mains_hz = (pluck_uniform(state) < 0.5 ? 50.0 : 60.0) *
                 (0.998 + 0.004 * pluck_uniform(state));
    return s;
}

/* Runs drawn recordings changed by `change`; checks the promise and the coverage. */
static void check_promise(uint64_t seed, int usual,
                          void (*change)(pluck_sim *, uint64_t *))
{
    int n = recordings(usual), covered = 0, far = 0;
    for (int i = 0; i < n; i++) {
        pluck_sim s = draw(&seed);
        dialarc_pluck p;
        change(&s, &seed);
        ck_assert_msg(listen(&s, &p) == DIALARC_OK, "no tone at %g Hz", s.hz);
        double error = fabs(p.frequency_hz - s.hz);
        ck_assert_msg(error < 0.05 * s.hz, "%g Hz taken for %g", s.hz, p.frequency_hz);
        ck_assert_msg(error <= fmax(PROMISE * s.hz, OUTLIER * p.frequency_u_hz),
                      "%g Hz: read %g +- %g", s.hz, p.frequency_hz, p.frequency_u_hz);
        far += error > PROMISE * s.hz;
        covered += error <= p.frequency_u_hz;
    }
    /* Three standard deviations below 95 %. */
    double least = 0.95 * n - 3.0 * sqrt(0.95 * 0.05 * n);
    ck_assert_msg(covered >= least, "covered %d of %d", covered, n);
    ck_assert_msg(far <= n / 50, "%d of %d beyond the promise", far, n);
}

static void noise_white(pluck_sim *s, uint64_t *state)
{
    (void)state;
    s->noise = NOISE_WHITE;
}

static void noise_pink_and_blow(pluck_sim *s, uint64_t *state)
{
    s->noise = NOISE_PINK;
    s->thump = 3.0 * pluck_uniform(state);
}

static void hum_around(pluck_sim *s, uint64_t *state)
{
    s->hum = 2.0 * pluck_uniform(state);
}

static void hum_beside(pluck_sim *s, uint64_t *state)
{
    int order = 1 + (int)(4.0 * pluck_uniform(state));
    double ringing = s->hz * s->decay_s;
    s->hum = 1.0;
    s->hz = order * s->mains_hz + 6.0 * (pluck_uniform(state) - 0.5);
    s->decay_s = ringing / s->hz;
}

static void deaf_to_the_fundamental(pluck_sim *s, uint64_t *state)
{
    (void)state;
    s->drop_first = 0.25;
    s->stiffness *= 0.2;
}

START_TEST(white_noise)
{
    check_promise(1, 16, noise_white);
}
END_TEST

START_TEST(pink_noise_and_the_blow_itself)
{
    check_promise(2, 16, noise_pink_and_blow);
}
END_TEST

START_TEST(hum_stronger_than_the_string)
{
    check_promise(3, 16, hum_around);
}
END_TEST

START_TEST(hum_within_3_hz_of_the_note)
{
    check_promise(4, 16, hum_beside);
}
END_TEST

START_TEST(microphone_deaf_to_the_fundamental)
{
    check_promise(5, 10, deaf_to_the_fundamental);
}
END_TEST

/* Recordings without a string: kind by kind, how many get a number. */
START_TEST(no_tone_no_number)
{
    const pluck_sim kind[] = {
        {.noise = NOISE_WHITE},
        {.noise = NOISE_PINK},
        {.noise = NOISE_BROWN},
        {.noise = NOISE_WHITE, .hum = 3.0},
        {.noise = NOISE_WHITE, .hum = 30.0},
        {.noise = NOISE_WHITE, .thump = 30.0},
        {.noise = NOISE_PINK, .hum = 5.0, .thump = 30.0},
    };
    int n = recordings(8), given = 0;
    for (size_t k = 0; k < sizeof kind / sizeof kind[0]; k++)
        for (int i = 0; i < n; i++) {
            pluck_sim s = kind[k];
            dialarc_pluck p = {.frequency_hz = UNTOUCHED};
            s.seed = 1000 * k + (uint64_t)i;
            s.rate_hz = 8000.0;
            s.seconds = 1.2;
            s.onset_s = 0.3;
            s.mains_hz = i % 2 ? 50.03 : 59.98;
            dialarc_status status = listen(&s, &p);
            given += status == DIALARC_OK;
            if (status != DIALARC_OK) {
                ck_assert(status == DIALARC_ERR_NO_TONE ||
                          status == DIALARC_ERR_AMBIGUOUS);
                ck_assert_double_eq(p.frequency_hz, UNTOUCHED);
            }
        }
    ck_assert_msg(given <= n * 7 / 1000, "%d numbers without a tone", given);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("pluck, promises");
    TCase *tests = tcase_create("pluck");
    tcase_set_timeout(tests, 3600.0);
    tcase_add_test(tests, white_noise);
    tcase_add_test(tests, pink_noise_and_the_blow_itself);
    tcase_add_test(tests, hum_stronger_than_the_string);
    tcase_add_test(tests, hum_within_3_hz_of_the_note);
    tcase_add_test(tests, microphone_deaf_to_the_fundamental);
    tcase_add_test(tests, no_tone_no_number);
    suite_add_tcase(suite, tests);
    return darc_run(suite);
}
