/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A sweep while it is taken: lines in any pieces, and the same bits as afterwards. */
#include <dialarc/live.h>

#include <stdio.h>
#include <string.h>

#include "kit/guide_kit.h"

static const dialarc_reach there = {-60.0, 20.0, 1.0, 0}, both = {-60.0, 20.0, 1.0, 1};

static dialarc_setup known_cam(void)
{
    dialarc_setup s = dialarc_setup_unknown(4);
    s.lift_low_mm = 0.88;
    s.lift_high_mm = 0.92;
    s.cam_law = DIALARC_LAW_HARMONIC;
    s.cam_lift_mm = 2.4;
    s.rise_deg = 40.0;
    s.top_dwell_deg = 3.0;
    s.base_dwell_deg = 12.0;
    s.tdc_sd_deg = 0.1;
    return s;
}

static dialarc_live *begin(const dialarc_reach *reach)
{
    const dialarc_setup s = known_cam();
    dialarc_live *live = NULL;
    ck_assert_int_eq(dialarc_live_new(&s, reach, &live), DIALARC_OK);
    return live;
}

static dialarc_heard hear(dialarc_live *live, const char *text, double time_s)
{
    dialarc_heard heard = DIALARC_HEARD_FULL;
    ck_assert_int_eq(dialarc_live_hear(live, text, time_s, &heard), DIALARC_OK);
    return heard;
}

static void check_last(const dialarc_live *live, double crank_deg, double dial_mm,
                       dialarc_direction direction)
{
    dialarc_taken t;
    ck_assert_int_eq(dialarc_live_reading(live, dialarc_live_count(live) - 1, &t),
                     DIALARC_OK);
    ck_assert_double_eq(t.crank_deg, crank_deg);
    ck_assert_double_eq(t.dial_mm, dial_mm);
    ck_assert_int_eq(t.direction, direction);
}

START_TEST(a_sweep_as_it_is_typed)
{
    dialarc_live *live = begin(&both);
    ck_assert_int_eq(hear(live, "-40 0.0", 1.0), DIALARC_HEARD_WAITING);
    ck_assert_int_eq(hear(live, "5\n", 2.0), DIALARC_HEARD_READING);
    check_last(live, -40.0, 0.05, DIALARC_DIRECTION_WITH);
    ck_assert_str_eq(dialarc_live_line(live, 0), "-40 0.05");
    ck_assert_int_eq(hear(live, "-50 0.04\r", 3.0), DIALARC_HEARD_FROM_BEHIND);
    ck_assert_int_eq(hear(live, "\n", 3.1), DIALARC_HEARD_WAITING);
    ck_assert_int_eq(hear(live, "back\r\n", 4.0), DIALARC_HEARD_STRUCK);
    ck_assert_uint_eq(dialarc_live_count(live), 1);
    ck_assert_int_eq(hear(live, "0 0.9\nturn\n-10 0.5\n", 5.0), DIALARC_HEARD_READING);
    ck_assert_int_eq(hear(live, "", 5.0), DIALARC_HEARD_TURNED);
    ck_assert_int_eq(hear(live, "", 5.5), DIALARC_HEARD_READING);
    check_last(live, -10.0, 0.5, DIALARC_DIRECTION_AGAINST);
    ck_assert_int_eq(hear(live, "", 6.0), DIALARC_HEARD_WAITING);
    ck_assert_int_eq(hear(live, "-5 0.7\n", 7.0), DIALARC_HEARD_FROM_BEHIND);
    ck_assert_int_eq(hear(live, "\n", 8.0), DIALARC_HEARD_BLANK);
    dialarc_taken t;
    ck_assert_int_eq(dialarc_live_reading(live, 2, &t), DIALARC_OK);
    ck_assert_double_eq(t.time_s, 5.5);
    dialarc_live_free(live);
}
END_TEST

START_TEST(what_is_wrong_is_told_and_not_taken)
{
    dialarc_live *live = begin(&there);
    ck_assert_int_eq(hear(live, "back\n", 1.0), DIALARC_HEARD_NOTHING_TAKEN);
    ck_assert_int_eq(hear(live, "0.9\n", 2.0), DIALARC_HEARD_NO_ANGLE);
    ck_assert_int_eq(hear(live, "turn\n", 3.0), DIALARC_HEARD_NOT_BACK);
    ck_assert_int_eq(hear(live, "-70 0.1\n", 4.0), DIALARC_HEARD_OUT_OF_REACH);
    ck_assert_int_eq(hear(live, "340 0.1\n", 4.5), DIALARC_HEARD_OUT_OF_REACH);
    ck_assert_int_eq(hear(live, "-20 31\n", 5.0), DIALARC_HEARD_TOO_LARGE);
    ck_assert_int_eq(hear(live, "-20 0.1 0.2\n", 6.0), DIALARC_HEARD_NOT_UNDERSTOOD);
    ck_assert_int_eq(hear(live, "-20 0.1\n", 7.0), DIALARC_HEARD_READING);
    ck_assert_int_eq(hear(live, "-20 0.1\n", 7.2), DIALARC_HEARD_REPEATED);
    ck_assert_int_eq(hear(live, "-20 0.1\n", 8.0), DIALARC_HEARD_READING);
    ck_assert_uint_eq(dialarc_live_count(live), 2);
    for (int k = DIALARC_HEARD_WAITING; k <= DIALARC_HEARD_FULL; k++)
        ck_assert_uint_gt(strlen(dialarc_heard_text((dialarc_heard)k)), 5);
    ck_assert_ptr_nonnull(strstr(dialarc_heard_text((dialarc_heard)99), "Unknown"));
    dialarc_live_free(live);
}
END_TEST

/* Lines without an end and noise cost the line that they stand in, and no other. */
START_TEST(noise_costs_its_line_alone)
{
    char noise[3001];
    dialarc_live *live = begin(&there);
    memset(noise, '7', sizeof noise - 1);
    noise[sizeof noise - 1] = '\0';
    for (int k = 0; k < 20; k++)
        ck_assert_int_eq(hear(live, noise, k), DIALARC_HEARD_WAITING);
    ck_assert_int_eq(hear(live, "-20 0.1\n", 21.0), DIALARC_HEARD_NOT_UNDERSTOOD);
    ck_assert_int_eq(hear(live, "-20 0.1\n", 22.0), DIALARC_HEARD_READING);
    ck_assert_int_eq(hear(live, "\xff\x01\x80\n-10 0.5\n", 23.0),
                     DIALARC_HEARD_NOT_UNDERSTOOD);
    ck_assert_int_eq(hear(live, "", 23.0), DIALARC_HEARD_READING);
    dialarc_live_free(live);
}
END_TEST

/* However the bytes are cut, the readings are the same. */
START_TEST(pieces_do_not_matter)
{
    static const char text[] = "-40 0.05\r\n-30 0,2\r\n?\xff\n-20 0.4\r-10 0.6 mm\n"
                               "back\n-10 0.61mm\n\n0 0.9\nturn\r\n-15 0.45\n";
    dialarc_live *whole = begin(&both);
    size_t length = strlen(text);
    dialarc_heard heard = hear(whole, text, 0.0);
    for (int k = 1; heard != DIALARC_HEARD_WAITING; k++)
        heard = hear(whole, "", k);
    ck_assert_uint_eq(dialarc_live_count(whole), 6);
    for (size_t cut = 1; cut < 9; cut++) {
        dialarc_live *live = begin(&both);
        for (size_t at = 0; at < length; at += cut) {
            char piece[16] = "";
            memcpy(piece, text + at, cut < length - at ? cut : length - at);
            heard = hear(live, piece, (double)at);
            for (int k = 0; heard != DIALARC_HEARD_WAITING && k < 20; k++)
                heard = hear(live, "", (double)at + 0.5 + k);
        }
        ck_assert_uint_eq(dialarc_live_count(live), dialarc_live_count(whole));
        for (size_t i = 0; i < dialarc_live_count(live); i++) {
            dialarc_taken a, b;
            dialarc_live_reading(live, i, &a);
            dialarc_live_reading(whole, i, &b);
            ck_assert_double_eq(a.crank_deg, b.crank_deg);
            ck_assert_double_eq(a.dial_mm, b.dial_mm);
            ck_assert_int_eq(a.direction, b.direction);
            ck_assert_str_eq(dialarc_live_line(live, i), dialarc_live_line(whole, i));
        }
        dialarc_live_free(live);
    }
    dialarc_live_free(whole);
}
END_TEST

/* A simulated mechanic types a reading alone wherever he is asked for one. The estimate
 * is to the bit that of the sweep afterwards. */
START_TEST(the_same_bits_as_afterwards)
{
    static sim_sweep s;
    double crank[KIT_MOST], dial[KIT_MOST];
    dialarc_direction direction[KIT_MOST];
    dialarc_workspace *ws = dialarc_workspace_new();
    sim_random r;
    sim_seed(&r, 7);
    sim_job job = kit_pump(&r);
    dialarc_setup setup = kit_setup(&job, 1);
    setup.tdc_sd_deg = 0.1;
    setup.lift_low_mm = 0.9;
    setup.lift_high_mm = 0.94;
    const dialarc_reach reach = kit_reach(&job, 0);
    dialarc_live *live = NULL;
    dialarc_next next;
    size_t n = 0;
    ck_assert_int_eq(dialarc_live_new(&setup, &reach, &live), DIALARC_OK);
    for (; n < KIT_MOST; n++) {
        char line[64];
        ck_assert_int_ge(dialarc_live_next(live, &next), DIALARC_OK);
        if (next.prospect != DIALARC_PROSPECT_MORE)
            break;
        job.path_deg = &next.crank_deg;
        job.path_n = 1;
        sim_run(&job, &r, &s);
        snprintf(line, sizeof line, "%+.3f mm\r\n", s.dial_mm[0]);
        ck_assert_int_le(hear(live, line, (double)n), DIALARC_HEARD_FROM_BEHIND);
        ck_assert_uint_eq(dialarc_live_count(live), n + 1);
        dialarc_taken t;
        dialarc_timing now, after;
        dialarc_live_reading(live, n, &t);
        ck_assert_double_eq(t.crank_deg, next.crank_deg);
        crank[n] = t.crank_deg;
        dial[n] = t.dial_mm;
        direction[n] = t.direction;
        const dialarc_sweep sofar = {n + 1, crank, dial, direction};
        ck_assert_int_ge(dialarc_live_timing(live, &now), DIALARC_OK);
        ck_assert_int_ge(dialarc_timing_estimate(ws, &setup, &sofar, NULL, &after),
                         DIALARC_OK);
        ck_assert_mem_eq(&now.lift_mm, &after.lift_mm, sizeof now.lift_mm);
        ck_assert_mem_eq(&now.budget, &after.budget, sizeof now.budget);
        ck_assert_uint_eq(now.findings.present, after.findings.present);
    }
    ck_assert_uint_gt(n, 6);
    ck_assert_int_eq(hear(live, "0.5\n", 99.0), DIALARC_HEARD_NO_ANGLE);
    dialarc_live_free(live);
    dialarc_workspace_free(ws);
}
END_TEST

START_TEST(gone_on_with)
{
    dialarc_live *live = begin(&there);
    dialarc_taken t = {-30.0, 0.2, DIALARC_DIRECTION_WITH, 12.0}, back;
    ck_assert_int_eq(dialarc_live_add(live, &t), DIALARC_OK);
    ck_assert_str_eq(dialarc_live_line(live, 0), "");
    ck_assert_ptr_null(dialarc_live_line(live, 1));
    ck_assert_int_eq(dialarc_live_reading(live, 0, &back), DIALARC_OK);
    ck_assert_double_eq(back.time_s, 12.0);
    ck_assert_int_eq(hear(live, "-20 0.4\n", 13.0), DIALARC_HEARD_READING);
    t.direction = DIALARC_DIRECTION_UNKNOWN;
    ck_assert_int_eq(dialarc_live_add(live, &t), DIALARC_ERR_DIRECTION);
    t.direction = DIALARC_DIRECTION_AGAINST;
    t.crank_deg = 2e9;
    ck_assert_int_eq(dialarc_live_add(live, &t), DIALARC_ERR_RANGE);
    t.crank_deg = NAN;
    ck_assert_int_eq(dialarc_live_add(live, &t), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_live_add(NULL, &t), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_live_add(live, NULL), DIALARC_ERR_NULL);
    dialarc_live_free(live);
}
END_TEST

START_TEST(as_many_as_there_may_be)
{
    dialarc_live *live = begin(&there);
    const dialarc_taken t = {-30.0, 0.2, DIALARC_DIRECTION_WITH, 0.0};
    for (int k = 0; k < DIALARC_LIVE_MAX; k++)
        ck_assert_int_eq(dialarc_live_add(live, &t), DIALARC_OK);
    ck_assert_int_eq(dialarc_live_add(live, &t), DIALARC_ERR_SIZE);
    ck_assert_int_eq(hear(live, "-20 0.4\n", 1.0), DIALARC_HEARD_FULL);
    ck_assert_uint_eq(dialarc_live_count(live), DIALARC_LIVE_MAX);
    dialarc_live_free(live);
}
END_TEST

START_TEST(arguments)
{
    dialarc_setup s = known_cam();
    dialarc_live *live = NULL;
    dialarc_heard heard;
    dialarc_taken t;
    dialarc_timing timing;
    dialarc_next next;
    static char piece[DIALARC_LIVE_PIECE_MAX + 2];
    const dialarc_reach bad = {5.0, 20.0, 1.0, 0};
    ck_assert_int_eq(dialarc_live_new(NULL, &there, &live), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_live_new(&s, NULL, &live), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_live_new(&s, &there, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_live_new(&s, &bad, &live), DIALARC_ERR_ANGLE);
    s.lobes = 0;
    ck_assert_int_eq(dialarc_live_new(&s, &there, &live), DIALARC_ERR_LOBES);
    ck_assert_ptr_null(live);
    dialarc_live_free(NULL);
    ck_assert_uint_eq(dialarc_live_count(NULL), 0);
    ck_assert_ptr_null(dialarc_live_line(NULL, 0));
    live = begin(&there);
    ck_assert_int_eq(dialarc_live_hear(NULL, "", 0.0, &heard), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_live_hear(live, NULL, 0.0, &heard), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_live_hear(live, "", 0.0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_live_hear(live, "", NAN, &heard), DIALARC_ERR_NOT_FINITE);
    memset(piece, '\n', sizeof piece - 1);
    ck_assert_int_eq(dialarc_live_hear(live, piece, 0.0, &heard), DIALARC_ERR_SIZE);
    piece[DIALARC_LIVE_PIECE_MAX] = '\0'; /* two of them fit, not three */
    ck_assert_int_eq(dialarc_live_hear(live, piece, 0.0, &heard), DIALARC_OK);
    ck_assert_int_eq(dialarc_live_hear(live, piece, 0.0, &heard), DIALARC_OK);
    ck_assert_int_eq(dialarc_live_hear(live, piece, 0.0, &heard), DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_live_reading(NULL, 0, &t), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_live_reading(live, 0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_live_reading(live, 0, &t), DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_live_timing(NULL, &timing), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_live_timing(live, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_live_next(NULL, &next), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_live_next(live, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_live_timing(live, &timing), DIALARC_OK);
    ck_assert_double_nan(timing.lift_mm);
    dialarc_live_free(live);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("live");
    TCase *tc = tcase_create("live");
    tcase_add_test(tc, a_sweep_as_it_is_typed);
    tcase_add_test(tc, what_is_wrong_is_told_and_not_taken);
    tcase_add_test(tc, noise_costs_its_line_alone);
    tcase_add_test(tc, pieces_do_not_matter);
    tcase_add_test(tc, the_same_bits_as_afterwards);
    tcase_add_test(tc, gone_on_with);
    tcase_add_test(tc, as_many_as_there_may_be);
    tcase_add_test(tc, arguments);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
