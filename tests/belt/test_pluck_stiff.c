/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Stiff spans: their note, their stiffness, and what is refused. Simulated recordings by
 * pluck_sim.c, which shares no code with the library; by the thousand in `make
 * pluck-trials`.
 */
#include <math.h>
#include <stdlib.h>

#include "belt/pluck_comb.h"
#include "kit/check_main.h"
#include "kit/pluck_kit.h"
#include "kit/pluck_trials.h"

/* A clear pluck of an invented span. */
static const pluck_sim plain = {.seed = 4,
                                .rate_hz = 8000.0,
                                .seconds = 1.5,
                                .onset_s = 0.2,
                                .hz = 96.0,
                                .decay_s = 0.11,
                                .place = 0.27,
                                .snr_db = 20.0};

/* A span that gives 96 Hz a stiffness: m L^2 is 1 kg mm there, so that
 * pi^2 E I / (4 m L^4) = s f^2 / (1 + s) is a line. */
static dialarc_span span_of(double hz, double stiffness)
{
    double l = 100.0, m = 0.1, pi = acos(-1.0);
    double hz2 = hz * hz * stiffness / (1.0 + stiffness);
    return (dialarc_span){.mass_kg_per_m = m,
                          .length_mm = l,
                          .bending_n_mm2 = 4e-6 * m * pow(l, 4.0) * hz2 / (pi * pi)};
}

static dialarc_status listen_knowing(const pluck_sim *sim, dialarc_span span,
                                     dialarc_pluck *p)
{
    size_t n = record(sim);
    return dialarc_pluck_span_frequency(n, sample, sim->rate_hz, DIALARC_PLUCK_LOW_HZ,
                                        DIALARC_PLUCK_HIGH_HZ, &span, p);
}

START_TEST(stiffness_is_in_the_answer)
{
    const double stiffness[] = {0.0, 0.01, 0.05, 0.1, 0.2};
    for (size_t i = 0; i < sizeof stiffness / sizeof stiffness[0]; i++) {
        pluck_sim s = plain;
        dialarc_pluck p;
        s.stiffness = stiffness[i];
        ck_assert_int_eq(listen(&s, &p), DIALARC_OK);
        ck_assert_double_eq_tol(p.frequency_hz, 96.0, p.frequency_u_hz + 0.02);
        ck_assert_double_eq_tol(p.stiffness, s.stiffness, 3.0 * p.stiffness_sd);
        ck_assert_double_gt(p.stiffness_sd, 0.0);
        ck_assert_double_lt(p.stiffness_sd, 0.01);
        ck_assert_int_eq(listen_knowing(&s, span_of(96.0, s.stiffness), &p), DIALARC_OK);
        ck_assert_double_eq_tol(p.stiffness, s.stiffness, 3.0 * p.stiffness_sd + 1e-9);
    }
}
END_TEST

/* One partial alone tells nothing of stiffness; what is known of the span does. */
START_TEST(a_lone_partial)
{
    pluck_sim s = plain;
    dialarc_pluck p;
    s.missing = 0xffe;
    ck_assert_int_eq(listen(&s, &p), DIALARC_OK);
    ck_assert_int_eq(p.partials, 1);
    ck_assert_double_nan(p.stiffness);
    ck_assert_double_nan(p.stiffness_sd);
    ck_assert_int_eq(listen_knowing(&s, span_of(96.0, 0.05), &p), DIALARC_OK);
    ck_assert_double_eq_tol(p.frequency_hz, 96.0, p.frequency_u_hz + 0.02);
    ck_assert_double_eq_tol(p.stiffness, 0.05, 0.005);
    ck_assert_double_gt(p.stiffness_sd, 0.005);
}
END_TEST

/* Partials 2, 4, 6 of a stiff string are 1, 2, 3 of one of twice the note and four times
 * the stiffness: by ear alone nothing tells them apart, by the span's bending all. */
START_TEST(only_the_bending_tells_an_octave)
{
    pluck_sim s = plain;
    dialarc_pluck p;
    s.missing = 0x555;
    s.stiffness = 0.04;
    s.place = 0.2;
    double twice = 2.0 * 96.0 * sqrt((1.0 + 4.0 * 0.04) / (1.0 + 0.04));
    ck_assert_int_eq(listen(&s, &p), DIALARC_OK);
    ck_assert_double_eq_tol(p.frequency_hz, twice, p.frequency_u_hz + 0.1);
    ck_assert_double_eq_tol(p.stiffness, 0.16, 0.02);
    p.frequency_hz = UNTOUCHED;
    ck_assert_int_lt(listen_knowing(&s, span_of(96.0, 0.04), &p), DIALARC_OK);
    ck_assert_double_eq(p.frequency_hz, UNTOUCHED);
    ck_assert_int_eq(listen_knowing(&s, span_of(twice, 0.16), &p), DIALARC_OK);
}
END_TEST

/* A fundamental that is not heard follows from the law, stiffness and all; or it is
 * refused, as the even partials alone make a string nearly as likely. */
START_TEST(a_stiff_note_without_its_fundamental)
{
    int given = 0;
    for (int i = 0; i < 9; i++) {
        pluck_sim s = plain;
        dialarc_pluck p;
        s.missing = 1;
        s.stiffness = 0.025 * i;
        dialarc_status status = listen(&s, &p);
        ck_assert(status == DIALARC_OK || status == DIALARC_ERR_AMBIGUOUS);
        if (status != DIALARC_OK)
            continue;
        given++;
        ck_assert_double_eq_tol(p.frequency_hz, 96.0, p.frequency_u_hz);
        ck_assert_double_lt(p.frequency_u_hz, 0.02 * 96.0);
        ck_assert_double_eq_tol(p.stiffness, s.stiffness, 3.0 * p.stiffness_sd);
    }
    ck_assert_int_ge(given, 4);
}
END_TEST

static dialarc_status comb(int n, const double *hz, const darc_bending *known,
                           darc_string *string)
{
    darc_peak tone[DARC_PEAKS] = {0};
    for (int i = 0; i < n; i++)
        tone[i] =
            (darc_peak){{.hz = hz[i], .hz_sd = 0.01, .decay = 10.0}, 2.0, 1000.0 - i};
    return darc_peaks_comb(n, tone, 20.0, 600.0, known, string);
}

START_TEST(tones_that_go_with_several_notes_are_refused)
{
    darc_string s;
    ck_assert_int_eq(comb(0, NULL, NULL, &s), DIALARC_ERR_NO_TONE);
    ck_assert_int_eq(comb(2, (double[]){200.0, 300.0}, NULL, &s), DIALARC_ERR_AMBIGUOUS);
    ck_assert_int_eq(comb(2, (double[]){100.0, 171.0}, NULL, &s), DIALARC_ERR_AMBIGUOUS);
    ck_assert_int_eq(comb(3, (double[]){300.0, 400.0, 500.0}, NULL, &s),
                     DIALARC_ERR_AMBIGUOUS);
    ck_assert_int_eq(comb(2, (double[]){100.0, 200.0}, NULL, &s), DIALARC_OK);
    ck_assert_int_eq(s.partials, 2);
    ck_assert_int_eq(s.partial[1].order, 2);
    ck_assert_int_eq(comb(4, (double[]){200.0, 300.0, 400.0, 500.0}, NULL, &s),
                     DIALARC_OK);
    ck_assert_int_eq(s.partial[0].order, 2);
    ck_assert_int_eq(s.partials, 4);
    const darc_bending stiff = {0.2 / 1.2 * 1e4, 100.0};
    ck_assert_int_lt(comb(2, (double[]){100.0, 200.0}, &stiff, &s), DIALARC_OK);
}
END_TEST

static int of_each(int usual)
{
    const char *wanted = getenv("TEST_RECORDINGS");
    return wanted ? atoi(wanted) : usual;
}

START_TEST(no_stiff_note_is_read_wrong)
{
    for (size_t i = 0; i < pluck_kinds_n; i++) {
        int n = of_each(20);
        pluck_count c = pluck_try(&pluck_kinds[i], 77 + i, n);
        ck_assert_msg(c.wrong == 0, "%s: %d wrong", pluck_kinds[i].name, c.wrong);
        ck_assert_msg(c.refused <= n / 10, "%s: %d refused", pluck_kinds[i].name,
                      c.refused);
    }
}
END_TEST

/* Off the law the note may be out by a little, as its span has no single one; but it is
 * not taken for another. */
START_TEST(strange_notes_are_not_taken_for_others)
{
    for (size_t i = 0; i < pluck_strange_kinds_n; i++) {
        int n = of_each(8);
        pluck_count c = pluck_try(&pluck_strange_kinds[i], 770 + i, n);
        ck_assert_msg(c.another <= n / 50, "%s: %d taken for others",
                      pluck_strange_kinds[i].name, c.another);
        ck_assert_msg(c.right >= n / 2, "%s: %d right", pluck_strange_kinds[i].name,
                      c.right);
    }
}
END_TEST

START_TEST(a_span_is_checked)
{
    dialarc_pluck p = {.frequency_hz = UNTOUCHED};
    size_t n = record(&plain);
    dialarc_span bad = span_of(96.0, 0.05);
    ck_assert_int_eq(
        dialarc_pluck_span_frequency(n, sample, 8000.0, 20.0, 600.0, NULL, &p),
        DIALARC_ERR_NULL);
    ck_assert_int_eq(
        dialarc_pluck_span_frequency(n, sample, 8000.0, 20.0, 600.0, &bad, NULL),
        DIALARC_ERR_NULL);
    ck_assert_int_eq(
        dialarc_pluck_span_frequency(n, sample, 8000.0, 9.0, 600.0, &bad, &p),
        DIALARC_ERR_FREQUENCY);
    bad.mass_kg_per_m = 0.0;
    ck_assert_int_eq(listen_knowing(&plain, bad, &p), DIALARC_ERR_POSITIVE);
    bad = span_of(96.0, 0.05);
    bad.bending_n_mm2 = NAN;
    ck_assert_int_eq(listen_knowing(&plain, bad, &p), DIALARC_ERR_NOT_FINITE);
    ck_assert_double_eq(p.frequency_hz, UNTOUCHED);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("pluck, stiff");
    TCase *tests = tcase_create("pluck");
    tcase_set_timeout(tests, 3600.0);
    tcase_add_test(tests, stiffness_is_in_the_answer);
    tcase_add_test(tests, a_lone_partial);
    tcase_add_test(tests, only_the_bending_tells_an_octave);
    tcase_add_test(tests, a_stiff_note_without_its_fundamental);
    tcase_add_test(tests, tones_that_go_with_several_notes_are_refused);
    tcase_add_test(tests, no_stiff_note_is_read_wrong);
    tcase_add_test(tests, strange_notes_are_not_taken_for_others);
    tcase_add_test(tests, a_span_is_checked);
    suite_add_tcase(suite, tests);
    return darc_run(suite);
}
