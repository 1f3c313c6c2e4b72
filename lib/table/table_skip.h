/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The inner loop of the CSV reader. Inline, because most of the time goes here.
 */
#ifndef DARC_TABLE_SKIP_H
#define DARC_TABLE_SKIP_H

#if defined(__SSE2__) && defined(__GNUC__)
#include <emmintrin.h>
#endif

/* Bytes looked at in one go: so many must be readable behind the byte that stops a scan.
 */
#define DARC_SKIP_STRIDE 16

/*
 * The first byte from p on at which a scan stops: a comma, a quotation mark, a control
 * other than tab. There must be one.
 */
static inline char *darc_skip_plain(char *p)
{
#if defined(__SSE2__) && defined(__GNUC__)
    const __m128i comma = _mm_set1_epi8(','), quote = _mm_set1_epi8('"'),
                  tab = _mm_set1_epi8('\t'), control = _mm_set1_epi8(0x1f);
    for (;; p += DARC_SKIP_STRIDE) {
        __m128i x = _mm_loadu_si128((const __m128i *)(const void *)p);
        __m128i stop = _mm_cmpeq_epi8(_mm_min_epu8(x, control), x);
        stop = _mm_andnot_si128(_mm_cmpeq_epi8(x, tab), stop);
        stop = _mm_or_si128(stop, _mm_cmpeq_epi8(x, comma));
        stop = _mm_or_si128(stop, _mm_cmpeq_epi8(x, quote));
        unsigned found = (unsigned)_mm_movemask_epi8(stop);
        if (found)
            return p + __builtin_ctz(found);
    }
#else
    while ((unsigned char)*p >= 0x20 ? *p != ',' && *p != '"' : *p == '\t')
        p++;
    return p;
#endif
}

#endif
