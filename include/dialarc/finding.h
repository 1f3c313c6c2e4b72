/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Findings: what a good foreman would notice about a sweep or a job.
 *
 * A finding never changes a record. It has a code, a severity, a sentence and, where
 * it helps, the reading it points at.
 */
#ifndef DIALARC_FINDING_H
#define DIALARC_FINDING_H

#include <stddef.h>
#include <stdint.h>

#include <dialarc/api.h>

/** What was noticed. */
typedef enum dialarc_finding {
    DIALARC_FINDING_MINIMUM_NOT_BRACKETED = 0,
    DIALARC_FINDING_TDC_NOT_REACHED,
    DIALARC_FINDING_TOO_FEW_READINGS,
    DIALARC_FINDING_DIAL_OFF_SPINDLE,
    DIALARC_FINDING_WHOLE_TURN_MISREAD,
    DIALARC_FINDING_READING_REJECTED,
    DIALARC_FINDING_APPROACH_AGAINST_ROTATION,
    DIALARC_FINDING_SLACK_NOT_TAKEN_UP,
    DIALARC_FINDING_OVERSHOT_TDC,
    DIALARC_FINDING_ZERO_DRIFT,
    DIALARC_FINDING_BELOW_ZERO,
    DIALARC_FINDING_LOBE_COUNT_MISMATCH,
    DIALARC_FINDING_CAM_MISMATCH,
    DIALARC_FINDING_STROKE_NOT_DETERMINED,
    DIALARC_FINDING_WINDOW_WIDER_THAN_SWEEP,
    DIALARC_FINDING_SCATTER_ABOVE_SETUP,
    DIALARC_FINDING_REPEATABILITY,
    DIALARC_FINDING_FIT_NOT_CONVERGED,
    DIALARC_FINDING_TURN_NOT_COVERED,
    DIALARC_FINDING_ORDER_REVERSED,
    DIALARC_FINDING_UNIT_MISTAKEN,
    DIALARC_FINDING_PASSES_COPIED,
    DIALARC_FINDING_WINDOW_TOO_NARROW,
    DIALARC_FINDING_DIAL_NOT_PRELOADED,
    DIALARC_FINDING_DIAL_AT_STOP,
    DIALARC_FINDING_CAM_NOT_CONFIRMED,
    DIALARC_FINDING_HYSTERESIS_AT_LIMIT,
    DIALARC_FINDING_COUNT
} dialarc_finding;

/** How much a finding matters. */
typedef enum dialarc_severity {
    DIALARC_SEVERITY_NOTE = 0,    /**< good to know */
    DIALARC_SEVERITY_CAUTION = 1, /**< the result stands, look again */
    DIALARC_SEVERITY_STOP = 2     /**< no verdict may be given */
} dialarc_severity;

/** Row of a finding that points at no reading in particular. */
#define DIALARC_NO_ROW ((size_t)-1)

/** The findings of one sweep or job: one entry a code, in the order of the codes. */
typedef struct dialarc_findings {
    uint32_t present; /**< bit k set: finding k was made */
    dialarc_severity severity[DIALARC_FINDING_COUNT]; /**< the worst one met */
    size_t row[DIALARC_FINDING_COUNT]; /**< first reading concerned; or DIALARC_NO_ROW */
} dialarc_findings;

DIALARC_BEGIN_DECLS

/**
 * @brief Code of a finding as it stands in the results table.
 *
 * @param[in] finding  A finding.
 * @return A constant string such as "zero_drift"; "unknown" for other values.
 * @par Source
 * This project.
 */
DIALARC_API const char *dialarc_finding_code(dialarc_finding finding);

/**
 * @brief Sentence for a finding: what was seen and what to do about it.
 *
 * @param[in] finding  A finding.
 * @return A constant string in English; never NULL.
 * @par Source
 * Common practice, no source.
 */
DIALARC_API const char *dialarc_finding_text(dialarc_finding finding);

/**
 * @brief Word for a severity: "note", "caution" or "stops the verdict".
 *
 * @param[in] severity  A severity.
 * @return A constant string; "unknown" for other values.
 * @par Source
 * This project.
 */
DIALARC_API const char *dialarc_severity_text(dialarc_severity severity);

/**
 * @brief Word for a severity as it stands in the results table.
 *
 * @param[in] severity  A severity.
 * @return "note", "caution" or "stop"; "unknown" for other values. A constant string.
 * @par Source
 * This project.
 */
DIALARC_API const char *dialarc_severity_name(dialarc_severity severity);

/**
 * @brief Whether a finding was made.
 *
 * @param[in] findings  The set; NULL counts as empty.
 * @param[in] finding   The finding asked for.
 * @return 1 when present, else 0.
 * @par Source
 * This project.
 */
DIALARC_API int dialarc_findings_has(const dialarc_findings *findings,
                                     dialarc_finding finding);

/**
 * @brief The worst severity in a set.
 *
 * @param[in] findings  The set; NULL counts as empty.
 * @return The worst severity, or DIALARC_SEVERITY_NOTE for an empty set.
 * @par Source
 * This project.
 */
DIALARC_API dialarc_severity dialarc_findings_worst(const dialarc_findings *findings);

DIALARC_END_DECLS
#endif
