/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Collecting findings. Private: only the library makes findings.
 */
#ifndef DARC_FINDING_H
#define DARC_FINDING_H

#include <stddef.h>

#include <dialarc/finding.h>

/* Empties a set; every set starts with this. */
void darc_findings_clear(dialarc_findings *findings);

/*
 * Adds a finding. Of several with one code the worst severity stays, and the smallest
 * row: DIALARC_NO_ROW, the largest size_t, gives way to any row.
 */
void darc_findings_add(dialarc_findings *findings, dialarc_finding finding,
                       dialarc_severity severity, size_t row);

#endif
