/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands behind a workspace. */
#ifndef DARC_WORKSPACE_H
#define DARC_WORKSPACE_H

#include <dialarc/workspace.h>

#include "estimate/memory.h"

struct dialarc_workspace {
    darc_memory memory;
};

#endif
