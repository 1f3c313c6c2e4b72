/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/workspace.h"

#include <stdlib.h>

dialarc_workspace *dialarc_workspace_new(void)
{
    return calloc(1, sizeof(dialarc_workspace));
}

void dialarc_workspace_free(dialarc_workspace *workspace)
{
    if (workspace)
        darc_memory_release(&workspace->memory);
    free(workspace);
}
