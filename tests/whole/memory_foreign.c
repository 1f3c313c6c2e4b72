/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The program's own malloc() and the rest: all allocations of all libraries pass through
 * memory_kit.c, not only those of the library under test. The sanitizers have an
 * allocator of their own, which this would put out of work.
 */
#include <stdlib.h>

#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
#define HAVE_ALLOCATOR 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer)
#define HAVE_ALLOCATOR 1
#endif
#endif

void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t n, size_t size);
void *__wrap_realloc(void *old, size_t size);
void __wrap_free(void *old);
void *__real_malloc(size_t size);
void *__real_calloc(size_t n, size_t size);
void *__real_realloc(void *old, size_t size);
void __real_free(void *old);

#if !defined(__GLIBC__) || defined(HAVE_ALLOCATOR)

void *__real_malloc(size_t size)
{
    return malloc(size);
}

void *__real_calloc(size_t n, size_t size)
{
    return calloc(n, size);
}

void *__real_realloc(void *old, size_t size)
{
    return realloc(old, size);
}

void __real_free(void *old)
{
    free(old);
}

#else

void *__libc_malloc(size_t size);
void *__libc_calloc(size_t n, size_t size);
void *__libc_realloc(void *old, size_t size);
void __libc_free(void *old);

void *__real_malloc(size_t size)
{
    return __libc_malloc(size);
}

void *__real_calloc(size_t n, size_t size)
{
    return __libc_calloc(n, size);
}

void *__real_realloc(void *old, size_t size)
{
    return __libc_realloc(old, size);
}

void __real_free(void *old)
{
    __libc_free(old);
}

void *malloc(size_t size)
{
    return __wrap_malloc(size);
}

void *calloc(size_t n, size_t size)
{
    return __wrap_calloc(n, size);
}

void *realloc(void *old, size_t size)
{
    return __wrap_realloc(old, size);
}

void free(void *old)
{
    __wrap_free(old);
}

#endif
