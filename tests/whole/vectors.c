/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Prints refdata/vectors.csv: calls of the library and what they give, to the last bit,
 * for the tests of the other languages. `make vectors` renews the file.
 *
 * A row is one of
 *     make      call, arguments, "=name"      calls it and keeps the result as `name`
 *     set       "=name", "", field, value     sets a field of it
 *     result    call, arguments, path, value  what the call gives there
 * An argument is a number, a kept name, "-" for nothing, or several of one kind with ";"
 * between them. A path is the number of the result, fields after dots, and an index in
 * brackets, from 0. `bits` is the value as the 64 bits of a double. `source` is the table
 * or test that compares the function with an outside source.
 *
 * The calls are made as by a host that traps floating-point exceptions: good input raises
 * none but inexact and underflow.
 */
#ifdef __linux__
#define _GNU_SOURCE /* feenableexcept() */
#endif
#include <fenv.h>
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "whole/vectors.h"

static struct {
    const void *object;
    const char *name;
} known[64];
static size_t knowns;

static const char *const invented = "invented";

static const char *call, *checked;
static char arguments[4096];

void vector_known(const void *object, const char *name)
{
    known[knowns].object = object;
    known[knowns++].name = name;
}

void vector_begin(const char *function, const char *checked_in)
{
    call = function;
    checked = checked_in;
    arguments[0] = 0;
}

static void append(const char *separator, const char *text)
{
    size_t used = strlen(arguments);
    snprintf(arguments + used, sizeof arguments - used, "%s%s", used ? separator : "",
             text);
}

void vector_number(double number)
{
    char text[40];
    snprintf(text, sizeof text, "%.17g", number);
    append(" ", text);
}

void vector_whole(long whole)
{
    char text[40];
    snprintf(text, sizeof text, "%ld", whole);
    append(" ", text);
}

void vector_object(const void *object)
{
    if (!object) {
        append(" ", "-");
        return;
    }
    for (size_t i = 0; i < knowns; i++)
        if (known[i].object == object) {
            append(" ", known[i].name);
            return;
        }
    fprintf(stderr, "%s: an object without a name\n", call);
    exit(1);
}

void vector_words(const char *words)
{
    append(" ", words);
}

void vector_numbers(size_t n, const double *number)
{
    char text[40];
    for (size_t i = 0; i < n; i++) {
        snprintf(text, sizeof text, "%.17g", number[i]);
        append(i ? ";" : " ", text);
    }
}

void vector_must(dialarc_status status)
{
    if (status != DIALARC_OK) {
        fprintf(stderr, "%s(%s): %s\n", call, arguments, dialarc_status_name(status));
        exit(1);
    }
}

static void print(const char *name, const char *given, const char *path, double value,
                  const char *source)
{
    /* A zero with a sign that whole numbers do not have. */
    const char *point = signbit(value) && value >= 0 ? ".0" : "";
    uint64_t bits;
    memcpy(&bits, &value, sizeof bits);
    printf("%s,%s,%s,%.17g%s,%016" PRIx64 ",0,%s\n", name, given, path, value, point,
           bits, source);
}

void vector_put(const char *path, double value)
{
    if (isfinite(value))
        print(call, arguments, path, value, checked);
}

void vector_put_all(const char *path, size_t n, const double *value)
{
    char place[64];
    for (size_t i = 0; i < n; i++) {
        snprintf(place, sizeof place, "%s[%zu]", path, i);
        vector_put(place, value[i]);
    }
}

void vector_keep(const void *object, const char *name)
{
    printf("%s,%s,=%s,,,0,%s\n", call, arguments, name, invented);
    vector_known(object, name);
}

void vector_set(const char *name, const char *field, double value)
{
    char object[64];
    snprintf(object, sizeof object, "=%s", name);
    if (isfinite(value))
        print(object, "", field, value, invented);
}

int main(void)
{
#ifdef __GLIBC__
    feenableexcept(FE_INVALID | FE_DIVBYZERO | FE_OVERFLOW);
#endif
    puts("call,arguments,path,value,bits,tolerance,source");
    vectors_words();
    vectors_cam();
    vectors_engine();
    vectors_dial();
    vectors_trust();
    vectors_flow();
    vectors_belt();
    vectors_setting();
    if (fflush(stdout) != 0)
        return 1;
#if defined(__x86_64__) && !defined(__FMA__)
    return 0;
#else
    return 3; /* another arithmetic than that of the table: last bits may differ */
#endif
}
