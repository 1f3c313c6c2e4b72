/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/table_results.h>

#include <stdbool.h>
#include <string.h>

#include "table/table_format.h"

#define LENGTH_DECIMALS      4
#define ANGLE_DECIMALS       3
#define PROBABILITY_DECIMALS 4

static const char header[] =
    "sweep,verdict,lift_mm,lift_u_mm,minimum_mm,minimum_crank_deg,slack_crank_deg,"
    "slack_u_crank_deg,dial_hysteresis_mm,advance_error_crank_deg,turn_pump_deg,"
    "probability_in,readings_used,readings_rejected,findings,severity,"
    "tdc_sd_needed_deg,lift_crank_deg\n";

const char *dialarc_results_header(void)
{
    return header;
}

static char *put(char *to, const char *text)
{
    size_t length = strlen(text);
    memcpy(to, text, length);
    return to + length;
}

static char *put_number(char *to, double value, int decimals)
{
    *to++ = ',';
    return to + darc_format_fixed(value, decimals, to);
}

static char *put_lift(char *to, const dialarc_timing *timing, dialarc_verdict verdict)
{
    bool told = verdict != DIALARC_VERDICT_UNUSABLE;
    to = put_number(to, told ? timing->lift_mm : DIALARC_UNKNOWN, LENGTH_DECIMALS);
    return put_number(to, told ? timing->lift_u_mm : DIALARC_UNKNOWN, LENGTH_DECIMALS);
}

static char *put_severity(char *to, const dialarc_findings *findings)
{
    *to++ = ',';
    return findings->present
               ? put(to, dialarc_severity_name(dialarc_findings_worst(findings)))
               : to;
}

static char *put_findings(char *to, const dialarc_findings *findings)
{
    const char *separator = ",";
    for (int i = 0; i < DIALARC_FINDING_COUNT; i++) {
        if (!dialarc_findings_has(findings, (dialarc_finding)i))
            continue;
        to = put(put(to, separator), dialarc_finding_code((dialarc_finding)i));
        separator = ";";
    }
    return *separator == ',' ? put(to, separator) : to;
}

dialarc_status dialarc_result_format(const char *name, const dialarc_timing *timing,
                                     const dialarc_decision *decision, char *text,
                                     size_t size, size_t *length)
{
    if (!name || !timing || !decision || !text)
        return DIALARC_ERR_NULL;
    if (size < DIALARC_RESULT_SIZE || strlen(name) >= DIALARC_NAME_SIZE)
        return DIALARC_ERR_SIZE;
    char *to = text + darc_format_name(name, text);
    *to++ = ',';
    to = put(to, dialarc_verdict_name(decision->verdict));
    to = put_lift(to, timing, decision->verdict);
    to = put_number(to, timing->minimum_mm, LENGTH_DECIMALS);
    to = put_number(to, timing->minimum_crank_deg, ANGLE_DECIMALS);
    to = put_number(to, timing->slack_crank_deg, ANGLE_DECIMALS);
    to = put_number(to, timing->slack_u_crank_deg, ANGLE_DECIMALS);
    to = put_number(to, timing->dial_hysteresis_mm, LENGTH_DECIMALS);
    to = put_number(to, decision->advance_error_crank_deg, ANGLE_DECIMALS);
    to = put_number(to, decision->turn_pump_deg, ANGLE_DECIMALS);
    to = put_number(to, decision->probability_in, PROBABILITY_DECIMALS);
    to = put_number(to, (double)timing->readings_used, 0);
    to = put_number(to, (double)timing->readings_rejected, 0);
    to = put_severity(put_findings(to, &timing->findings), &timing->findings);
    to = put_number(to, decision->tdc_sd_needed_deg, ANGLE_DECIMALS);
    to = put_number(to, timing->lift_crank_deg, ANGLE_DECIMALS);
    *to++ = '\n';
    *to = '\0';
    if (length)
        *length = (size_t)(to - text);
    return DIALARC_OK;
}
