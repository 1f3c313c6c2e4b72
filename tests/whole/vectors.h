/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What vectors.c and its topics share: see there for the rows. */
#ifndef DARC_VECTORS_H
#define DARC_VECTORS_H

#include <dialarc.h>

#ifdef EVERY_CALL /* each call is kept, to be made again otherwise: kit/every_call.h */
#include "kit/every_names.h"
#endif

void vector_known(const void *object, const char *name);
void vector_begin(const char *function, const char *checked_in);
void vector_number(double number);
void vector_whole(long whole);
void vector_object(const void *object);
void vector_words(const char *words);
void vector_numbers(size_t n, const double *number);
void vector_must(dialarc_status status);
void vector_put(const char *path, double value);
void vector_put_all(const char *path, size_t n, const double *value);
void vector_keep(const void *object, const char *name);
void vector_set(const char *name, const char *field, double value);

void vectors_words(void);
void vectors_cam(void);
void vectors_engine(void);
void vectors_dial(void);
void vectors_trust(void);
void vectors_flow(void);
void vectors_belt(void);
void vectors_setting(void);

/* One argument, whatever it is. */
#define VECTOR_ARGUMENT(a)                                                               \
    _Generic((a), double                                                                 \
             : vector_number, int                                                        \
             : vector_whole, unsigned int                                                \
             : vector_whole, unsigned long                                               \
             : vector_whole, default                                                     \
             : vector_object)(a)

#define VECTOR_EACH_1(a) VECTOR_ARGUMENT(a);
#define VECTOR_EACH_2(a, ...)                                                            \
    VECTOR_ARGUMENT(a);                                                                  \
    VECTOR_EACH_1(__VA_ARGS__)
#define VECTOR_EACH_3(a, ...)                                                            \
    VECTOR_ARGUMENT(a);                                                                  \
    VECTOR_EACH_2(__VA_ARGS__)
#define VECTOR_EACH_4(a, ...)                                                            \
    VECTOR_ARGUMENT(a);                                                                  \
    VECTOR_EACH_3(__VA_ARGS__)
#define VECTOR_EACH_5(a, ...)                                                            \
    VECTOR_ARGUMENT(a);                                                                  \
    VECTOR_EACH_4(__VA_ARGS__)
#define VECTOR_EACH_6(a, ...)                                                            \
    VECTOR_ARGUMENT(a);                                                                  \
    VECTOR_EACH_5(__VA_ARGS__)
#define VECTOR_EACH_7(a, ...)                                                            \
    VECTOR_ARGUMENT(a);                                                                  \
    VECTOR_EACH_6(__VA_ARGS__)
#define VECTOR_PICK(a, b, c, d, e, f, g, name, ...) name
#define VECTOR_EACH(...)                                                                 \
    VECTOR_PICK(__VA_ARGS__, VECTOR_EACH_7, VECTOR_EACH_6, VECTOR_EACH_5, VECTOR_EACH_4, \
                VECTOR_EACH_3, VECTOR_EACH_2, VECTOR_EACH_1, )                           \
    (__VA_ARGS__)

/* A function with one number as its result. */
#define NUMBER(source, function, ...)                                                    \
    do {                                                                                 \
        double number_;                                                                  \
        RECORD(source, number_, function, __VA_ARGS__);                                  \
        vector_put("1", number_);                                                        \
    } while (0)

/* A function with one struct, or number, as its result. */
#define RECORD(source, result, function, ...)                                            \
    vector_begin(#function, source);                                                     \
    VECTOR_EACH(__VA_ARGS__)                                                             \
    vector_must(dialarc_##function(__VA_ARGS__, &(result)))

/* Its fields. */
#define FIELD(result, field) vector_put("1." #field, (double)(result).field)

/* A struct that the calls use: made, and its fields set. */
#define MAKE(type, object)                                                               \
    vector_begin(#type, "");                                                             \
    vector_keep(&(object), #object)
#define SET(object, field) vector_set(#object, #field, (double)(object).field)

#endif
