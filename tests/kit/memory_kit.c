/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "kit/memory_kit.h"

#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>

#include "kit/check_main.h"

void *__real_malloc(size_t size);
void *__real_calloc(size_t n, size_t size);
void *__real_realloc(void *old, size_t size);
void __real_free(void *old);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t n, size_t size);
void *__wrap_realloc(void *old, size_t size);
void __wrap_free(void *old);

static atomic_int counting;
static atomic_long until_failure, living, asked;

/* Whether this is the one that fails. */
static int fails(void)
{
    if (!counting)
        return 0;
    asked++;
    return until_failure-- == 0;
}

static void *count(void *made)
{
    if (counting && made)
        living++;
    return made;
}

void *__wrap_malloc(size_t size)
{
    return fails() ? NULL : count(__real_malloc(size));
}

void *__wrap_calloc(size_t n, size_t size)
{
    return fails() ? NULL : count(__real_calloc(n, size));
}

void *__wrap_realloc(void *old, size_t size)
{
    if (fails())
        return NULL;
    return old ? __real_realloc(old, size) : count(__real_malloc(size));
}

void __wrap_free(void *old)
{
    if (counting && old)
        living--;
    __real_free(old);
}

void memory_watch(int failing)
{
    living = asked = 0;
    until_failure = failing;
    counting = 1;
}

int memory_ignore(void)
{
    counting = 0;
    return asked > 0 && until_failure < 0;
}

long memory_living(void)
{
    return living;
}

long memory_asked(void)
{
    return asked;
}

int memory_each_fails(memory_path path, void *result, size_t size)
{
    char *before = malloc(size + 1);
    ck_assert_ptr_nonnull(before);
    memset(result, 0x5a, size);
    memcpy(before, result, size);
    for (int failing = 0;; failing++) {
        memory_watch(failing);
        dialarc_status status = path(result);
        int reached = memory_ignore();
        ck_assert_int_eq(memory_living(), 0);
        if (!reached) {
            ck_assert_int_eq(status, DIALARC_OK);
            free(before);
            return failing;
        }
        ck_assert_int_eq(status, DIALARC_ERR_NO_MEMORY);
        ck_assert_int_eq(memcmp(before, result, size), 0);
        ck_assert_int_lt(failing, 10000);
    }
}
