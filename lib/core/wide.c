/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "core/wide.h"

bool darc_is_wide(void)
{
#if DARC_HAVE_WIDE
    return __builtin_cpu_supports("avx2");
#else
    return false;
#endif
}
