/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Workspace: memory for estimates, made once per thread and reused from sweep to sweep.
 */
#ifndef DIALARC_WORKSPACE_H
#define DIALARC_WORKSPACE_H

#include <dialarc/api.h>

/** Memory of the estimator: one per thread, reused from sweep to sweep. */
typedef struct dialarc_workspace dialarc_workspace;

DIALARC_BEGIN_DECLS

/**
 * @brief A new workspace for the estimator.
 *
 * @return The workspace, or NULL when memory is short. Free it with
 *         dialarc_workspace_free().
 * @note Results never depend on what a workspace was used for before.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_workspace *dialarc_workspace_new(void);

/**
 * @brief Frees a workspace.
 *
 * @param[in] workspace  The workspace; NULL is allowed and does nothing.
 * @par Source
 * This project.
 */
DIALARC_API void dialarc_workspace_free(dialarc_workspace *workspace);

DIALARC_END_DECLS
#endif
