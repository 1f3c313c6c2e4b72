/* SPDX-License-Identifier: GPL-3.0-or-later
 * C#: how an error gets across, and how memory of results gets back. */
#ifndef DARC_CSHARP_REGISTER_H
#define DARC_CSHARP_REGISTER_H

#include <stdlib.h>

typedef void(SWIGSTDCALL *darcs_problem)(int status, const char *message);

static darcs_problem darcs_set_problem;

SWIGEXPORT void SWIGSTDCALL dialarc_register_problem(darcs_problem set)
{
    darcs_set_problem = set;
}

SWIGEXPORT void SWIGSTDCALL dialarc_free_block(void *block)
{
    free(block);
}

#endif
