/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Loops that are compiled a second time for processors with 256-bit registers, unless
 * nothing is optimised, when it would be the same code twice. Fused multiply-add is left
 * out on purpose: results are the same bits on either path.
 */
#ifndef DARC_WIDE_H
#define DARC_WIDE_H

#include <stdbool.h>

#if defined(__GNUC__) && defined(__OPTIMIZE__)
#define DARC_INLINE static inline __attribute__((always_inline))
#else
#define DARC_INLINE static inline
#endif
#if defined(__GNUC__) && defined(__OPTIMIZE__) && defined(__x86_64__)
#define DARC_HAVE_WIDE 1
#define DARC_WIDE      __attribute__((target("avx2")))
#else
#define DARC_HAVE_WIDE 0
#endif

/* Whether this processor has such registers, and code for them was compiled. */
bool darc_is_wide(void);

#endif
