/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdint.h>
#include <stdio.h>

#include "kit/check_main.h"
#include "kit/sweeps_kit.h"

START_TEST(sweeps_in_order)
{
    dialarc_sweeps *s = read_good("dial_mm,crank_deg,setup,sweep,direction,remark\n"
                                  "0.01,-40,six,b,with,\"two\nlines\"\n"
                                  "0.02,-38.5,,b,,\n"
                                  "\n"
                                  "0.5,-1e1,six,b,against,\n"
                                  "1,0,four,a,,\n",
                                  two);
    ck_assert_uint_eq(dialarc_sweeps_count(s), 2);
    const dialarc_sweep_record *r = dialarc_sweeps_get(s, 0);
    ck_assert_str_eq(r->name, "b");
    ck_assert_uint_eq(r->setup_index, 1);
    ck_assert_int_eq(r->setup.lobes, 6);
    ck_assert_double_eq(r->setup.angle_sd_deg, 0.25);
    ck_assert_uint_eq(r->row, 1);
    ck_assert_uint_eq(r->sweep.n, 3);
    const double crank[] = {-40.0, -38.5, -10.0}, dial[] = {0.01, 0.02, 0.5};
    const size_t line[] = {2, 4, 6};
    ck_assert_uint_eq((uintptr_t)r->sweep.crank_deg % _Alignof(double), 0);
    ck_assert_uint_eq((uintptr_t)r->sweep.dial_mm % _Alignof(double), 0);
    ck_assert_mem_eq(r->sweep.crank_deg, crank, sizeof crank);
    ck_assert_mem_eq(r->sweep.dial_mm, dial, sizeof dial);
    ck_assert_mem_eq(r->line, line, sizeof line);
    ck_assert_int_eq(r->sweep.direction[0], DIALARC_DIRECTION_WITH);
    ck_assert_int_eq(r->sweep.direction[1], DIALARC_DIRECTION_UNKNOWN);
    ck_assert_int_eq(r->sweep.direction[2], DIALARC_DIRECTION_AGAINST);
    r = dialarc_sweeps_get(s, 1);
    ck_assert_str_eq(r->name, "a");
    ck_assert_uint_eq(r->setup_index, 0);
    ck_assert_uint_eq(r->row, 4);
    ck_assert_uint_eq(r->line[0], 7);
    ck_assert_ptr_null(dialarc_sweeps_get(s, 2));
    dialarc_sweeps_free(s);
}
END_TEST

START_TEST(columns_that_may_be_left_out)
{
    dialarc_sweeps *s = read_good("sweep,crank_deg,dial_mm\na,1,2\na,3,4\n", one);
    const dialarc_sweep_record *r = dialarc_sweeps_get(s, 0);
    ck_assert_ptr_null(r->sweep.direction);
    ck_assert_uint_eq(r->setup_index, 0);
    dialarc_sweeps_free(s);
    s = read_good("sweep,setup,crank_deg,dial_mm\na,,1,2\na,four,3,4\n", one);
    ck_assert_uint_eq(dialarc_sweeps_get(s, 0)->sweep.n, 2);
    dialarc_sweeps_free(s);
    s = read_good("sweep,crank_deg,dial_mm\n", one); /* no sweep is no error */
    ck_assert_uint_eq(dialarc_sweeps_count(s), 0);
    dialarc_sweeps_free(s);
}
END_TEST

/* An inch is 25.4 mm by definition (refdata/units.csv). */
START_TEST(inches)
{
    dialarc_sweeps *s = read_good("sweep,crank_deg,dial_in,dial_mm\n"
                                  "a,0,1,\na,0,,2\na,0,-0.035,\n",
                                  one);
    const double *dial = dialarc_sweeps_get(s, 0)->sweep.dial_mm;
    ck_assert_double_eq(dial[0], 25.4);
    ck_assert_double_eq(dial[1], 2.0);
    ck_assert_double_eq(dial[2], -0.035 * 25.4);
    dialarc_sweeps_free(s);
}
END_TEST

/* Angle and its uncertainty are multiplied by crank_per_pump, 2 when it is blank. */
START_TEST(wheel_on_the_pump)
{
    dialarc_sweeps *s = read_good("sweep,setup,pump_deg,crank_deg,dial_mm\n"
                                  "a,four,-20,,0\na,,-10.25,,0\n"
                                  "b,six,-20,,0\n"
                                  "c,six,,-20,0\n",
                                  two);
    const dialarc_sweep_record *r = dialarc_sweeps_get(s, 0);
    ck_assert_double_eq(r->sweep.crank_deg[0], -40.0);
    ck_assert_double_eq(r->sweep.crank_deg[1], -20.5);
    ck_assert_double_eq(r->setup.angle_sd_deg, 0.4);
    ck_assert_double_eq(r->setup.wheel_error_deg, 0.6);
    r = dialarc_sweeps_get(s, 1);
    ck_assert_double_eq(r->sweep.crank_deg[0], -30.0);
    ck_assert_double_eq(r->setup.angle_sd_deg, 0.375);
    r = dialarc_sweeps_get(s, 2);
    ck_assert_double_eq(r->sweep.crank_deg[0], -20.0);
    ck_assert_double_eq(r->setup.angle_sd_deg, 0.25);
    ck_assert_double_eq(dialarc_setups_get(two, 1)->angle_sd_deg, 0.25); /* not changed */
    dialarc_sweeps_free(s);
}
END_TEST

/* 0.25 degrees of the wheel that is read: common practice, no source. */
START_TEST(uncertainty_of_the_wheel_not_known)
{
    dialarc_setups *setups = kit_setups("setup,lobes\nfour,4\n");
    dialarc_sweeps *s =
        read_good("sweep,pump_deg,crank_deg,dial_mm\na,1,,0\nb,,1,0\n", setups);
    ck_assert_double_eq(dialarc_sweeps_get(s, 0)->setup.angle_sd_deg, 0.5);
    ck_assert_double_nan(dialarc_sweeps_get(s, 1)->setup.angle_sd_deg);
    dialarc_sweeps_free(s);
    dialarc_setups_free(setups);
}
END_TEST

#define HEADER "sweep,crank_deg,dial_mm\n"

/* One sweep at a time, memory used again, nothing read after an error. */
START_TEST(one_sweep_at_a_time)
{
    kit_source source = kit_text(HEADER "a,1,2\na,3,4\nb,5,6\nc,7,x\n");
    dialarc_sweep_reader *reader = NULL;
    dialarc_error error = {0};
    ck_assert_int_eq(dialarc_sweep_reader_new(kit_read, &source, one, &reader, &error),
                     DIALARC_OK);
    dialarc_sweep_buffer *buffer = dialarc_sweep_buffer_new();
    dialarc_sweep_record record;
    ck_assert_int_eq(dialarc_sweep_reader_next(reader, buffer, &record, &error),
                     DIALARC_OK);
    ck_assert_str_eq(record.name, "a");
    const double *array = record.sweep.crank_deg;
    ck_assert_int_eq(dialarc_sweep_reader_next(reader, buffer, &record, &error),
                     DIALARC_OK);
    ck_assert_str_eq(record.name, "b");
    ck_assert_ptr_eq(record.sweep.crank_deg, array);
    ck_assert_double_eq(array[0], 5.0);
    for (int i = 0; i < 2;
         i++) /* and once more: the same answer, the first error stays */
        ck_assert_int_eq(dialarc_sweep_reader_next(reader, buffer, &record, &error),
                         DIALARC_ERR_TABLE);
    ck_assert_uint_eq(record.row, 3); /* written on success only */
    kit_expect(&error, DIALARC_ERR_TABLE,
               "line 5 (row 4), column dial_mm: \"x\" is not a number");
    ck_assert_int_eq(dialarc_sweep_reader_next(NULL, buffer, &record, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_sweep_reader_next(reader, NULL, &record, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_sweep_reader_next(reader, buffer, NULL, NULL),
                     DIALARC_ERR_NULL);
    dialarc_sweep_reader_free(reader);
    dialarc_sweep_buffer_free(buffer);
}
END_TEST

START_TEST(the_end_stays_the_end)
{
    kit_source source = kit_text(HEADER "a,1,2\n");
    dialarc_sweep_reader *reader = NULL;
    ck_assert_int_eq(dialarc_sweep_reader_new(kit_read, &source, one, &reader, NULL),
                     DIALARC_OK);
    dialarc_sweep_buffer *buffer = dialarc_sweep_buffer_new();
    dialarc_sweep_record record;
    ck_assert_int_eq(dialarc_sweep_reader_next(reader, buffer, &record, NULL),
                     DIALARC_OK);
    ck_assert_str_eq(record.name, "a");
    for (int i = 0; i < 3; i++) {
        ck_assert_int_eq(dialarc_sweep_reader_next(reader, buffer, &record, NULL),
                         DIALARC_OK);
        ck_assert_ptr_null(record.name);
        ck_assert_uint_eq(record.sweep.n, 0);
    }
    dialarc_sweep_reader_free(reader);
    dialarc_sweep_buffer_free(buffer);
}
END_TEST

/* The same sweeps whatever the pieces in which the bytes arrive. */
START_TEST(pieces)
{
    for (size_t piece = 1; piece < 9; piece++) {
        kit_source source =
            kit_text("sweep,crank_deg,dial_mm\r\na,1,2\r\n\"a\",3,4\r\nb,5,6");
        source.piece = piece;
        dialarc_sweeps *s = NULL;
        ck_assert_int_eq(dialarc_sweeps_read(kit_read, &source, one, &s, NULL),
                         DIALARC_OK);
        ck_assert_uint_eq(dialarc_sweeps_count(s), 2);
        ck_assert_uint_eq(dialarc_sweeps_get(s, 0)->sweep.n, 2);
        ck_assert_double_eq(dialarc_sweeps_get(s, 1)->sweep.dial_mm[0], 6.0);
        dialarc_sweeps_free(s);
    }
    kit_source broken = kit_text(HEADER "a,1,2\n");
    broken.fails = 1;
    dialarc_sweeps *s = NULL;
    dialarc_error error = {0};
    ck_assert_int_eq(dialarc_sweeps_read(kit_read, &broken, one, &s, &error),
                     DIALARC_ERR_FILE);
    kit_expect(&error, DIALARC_ERR_FILE, "reading failed");
}
END_TEST

START_TEST(arguments)
{
    kit_source source = kit_text(HEADER);
    dialarc_sweeps *s = NULL;
    dialarc_sweep_reader *r = NULL;
    ck_assert_int_eq(dialarc_sweeps_read(NULL, &source, one, &s, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_sweeps_read(kit_read, &source, NULL, &s, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_sweeps_read(kit_read, &source, one, NULL, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_sweep_reader_new(NULL, &source, one, &r, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_sweep_reader_new(kit_read, &source, NULL, &r, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_sweep_reader_new(kit_read, &source, one, NULL, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_sweeps_load(NULL, one, &s, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_sweeps_load("x", NULL, &s, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_sweeps_load("x", one, NULL, NULL), DIALARC_ERR_NULL);
    dialarc_error error = {0};
    ck_assert_int_eq(dialarc_sweeps_load("no/such.csv", one, &s, &error),
                     DIALARC_ERR_FILE);
    kit_expect(&error, DIALARC_ERR_FILE, "there is no such file");
    ck_assert_ptr_null(s);
    ck_assert_ptr_null(r);
    ck_assert_uint_eq(dialarc_sweeps_count(NULL), 0);
    ck_assert_ptr_null(dialarc_sweeps_get(NULL, 0));
    dialarc_sweeps_free(NULL);
    dialarc_sweep_reader_free(NULL);
    dialarc_sweep_buffer_free(NULL);
}
END_TEST

START_TEST(from_a_file)
{
    char path[] = "sweepsXXXXXX";
    kit_file(path, HEADER "a,1,2\n");
    dialarc_sweeps *s = NULL;
    ck_assert_int_eq(dialarc_sweeps_load(path, one, &s, NULL), DIALARC_OK);
    remove(path);
    ck_assert_uint_eq(dialarc_sweeps_count(s), 1);
    dialarc_sweeps_free(s);
}
END_TEST

static Suite *suite(void)
{
    Suite *s = suite_create("table_sweeps");
    TCase *c = tcase_create("sweeps");
    tcase_add_checked_fixture(c, setup, teardown);
    tcase_add_test(c, sweeps_in_order);
    tcase_add_test(c, columns_that_may_be_left_out);
    tcase_add_test(c, inches);
    tcase_add_test(c, wheel_on_the_pump);
    tcase_add_test(c, uncertainty_of_the_wheel_not_known);
    tcase_add_test(c, one_sweep_at_a_time);
    tcase_add_test(c, the_end_stays_the_end);
    tcase_add_test(c, pieces);
    tcase_add_test(c, arguments);
    tcase_add_test(c, from_a_file);
    suite_add_tcase(s, c);
    return s;
}

int main(void)
{
    return darc_run(suite());
}
