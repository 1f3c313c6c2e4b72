/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "page.h"

#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "shown.h"

#define COLUMNS 80

/* So near to a tooth, or more, and a tooth is the likelier cause. */
#define WHOLE_TOOTH 0.75

/* Columns of a word: bytes that continue a UTF-8 character take none. */
static int width_of(const char *text, size_t bytes)
{
    int width = 0;
    for (size_t i = 0; i < bytes; i++)
        width += ((unsigned char)text[i] & 0xc0) != 0x80;
    return width;
}

static int is_space(char c)
{
    return (unsigned char)c <= ' ';
}

static void wrap(FILE *out, const char *lead, const char *text)
{
    int indent = width_of(lead, strlen(lead)), column = indent;
    fputs(lead, out);
    for (const char *p = text; *p;) {
        while (*p && is_space(*p))
            p++;
        size_t bytes = 0;
        while (p[bytes] && !is_space(p[bytes]))
            bytes++;
        if (bytes == 0)
            break;
        int width = width_of(p, bytes);
        if (column > indent && column + 1 + width > COLUMNS) {
            fprintf(out, "\n%*s", indent, "");
            column = indent;
        }
        fprintf(out, "%s%.*s", column > indent ? " " : "", (int)bytes, p);
        column += width + (column > indent);
        p += bytes;
    }
    fputc('\n', out);
}

void page_say(FILE *out, const char *lead, const char *format, ...)
{
    char text[PAGE_TEXT], safe[2 * PAGE_TEXT];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    wrap(out, lead, shown(text, safe, sizeof safe));
}

void page_head(FILE *out, const char *format, ...)
{
    char text[PAGE_TEXT], safe[2 * PAGE_TEXT];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    fputc('\n', out);
    wrap(out, "", shown(text, safe, sizeof safe));
    for (int i = 0; i < COLUMNS - 1; i++)
        fputc('=', out);
    fputc('\n', out);
}

const char *page_percent(double probability, char text[32])
{
    double percent = 100.0 * probability;
    if (isnan(percent))
        strcpy(text, "not known");
    else if (percent > 99.9)
        strcpy(text, "more than 99.9 %");
    else if (percent < 0.1)
        strcpy(text, "less than 0.1 %");
    else
        snprintf(text, 32, "%.1f %%", percent);
    return text;
}

static const char *verdict_word(dialarc_verdict verdict)
{
    switch (verdict) {
    case DIALARC_VERDICT_IN:
        return "GOOD";
    case DIALARC_VERDICT_LOW:
        return "TOO LATE";
    case DIALARC_VERDICT_HIGH:
        return "TOO EARLY";
    case DIALARC_VERDICT_UNDECIDED:
        return "NOT SURE";
    case DIALARC_VERDICT_NONE:
    case DIALARC_VERDICT_UNUSABLE:
        break;
    }
    return "NO VERDICT";
}

const char *page_zero(const dialarc_setup *setup)
{
    return setup->window_at == DIALARC_WINDOW_AT_MARK ? "the mark" : "TDC";
}

const char *page_place(const dialarc_setup *setup, char text[64])
{
    const char *zero = page_zero(setup);
    double crank = setup->window_crank_deg;
    if (isnan(crank) || crank == 0.0)
        snprintf(text, 64, "%s", zero);
    else
        snprintf(text, 64, "%g crank degrees %s %s", fabs(crank),
                 crank < 0.0 ? "before" : "after", zero);
    return text;
}

void page_verdict(FILE *out, const dialarc_setup *setup, const dialarc_decision *d)
{
    char percent[32], place[64];
    if (!isnan(setup->lift_low_mm))
        page_say(out, "  Window        ", "%.3f to %.3f mm at %s, the middle is %.3f mm",
                 setup->lift_low_mm, setup->lift_high_mm, page_place(setup, place),
                 (setup->lift_low_mm + setup->lift_high_mm) / 2.0);
    page_say(out, "  Verdict       ", "%s. %s", verdict_word(d->verdict),
             dialarc_verdict_text(d->verdict));
    if (!isnan(d->probability_in))
        page_say(out, "                ", "Chance that it lies in the window: %s.",
                 page_percent(d->probability_in, percent));
}

double page_round(double x, int digits)
{
    double scale = pow(10.0, digits);
    return round(x * scale) / scale + 0.0;
}

const char *page_step(int *number, char lead[16])
{
    snprintf(lead, 16, "%3d. ", ++*number);
    return lead;
}

void page_caution(FILE *out, int *number, const dialarc_findings *findings)
{
    char lead[16];
    if (dialarc_findings_worst(findings) >= DIALARC_SEVERITY_CAUTION)
        page_say(out, page_step(number, lead),
                 "First see to the findings below that say caution.");
}

void page_tdc(FILE *out, const char *lead, const dialarc_setup *setup,
              const dialarc_decision *d)
{
    int mark = setup->window_at == DIALARC_WINDOW_AT_MARK;
    int stated = !isnan(setup->tdc_sd_deg);
    double needed = d->tdc_sd_needed_deg;
    if (isnan(needed) || (stated && needed >= d->tdc_sd_deg))
        return;
    if (needed == 0.0)
        page_say(out, lead,
                 "Were %s exact, this window could not be decided yet: the rest of the "
                 "uncertainty must become smaller too.",
                 mark ? "the meeting of the mark" : "TDC");
    else
        page_say(out, lead, "%s to +- %.2g crank degrees (sd) for this window; %s %.2g.",
                 mark ? "The mark must be met" : "TDC must be known", needed,
                 stated ? "tdc_sd_deg says"
                 : mark ? "tdc_sd_deg is blank, and it is assumed to be met to"
                        : "tdc_sd_deg is blank, and the mark is assumed to stand within",
                 d->tdc_sd_deg);
}

/* "1.6 mm along the rim (at 66 mm radius), 0.17 teeth", as far as the setup allows. */
static void describe_turn(const dialarc_setup *setup, const dialarc_decision *d,
                          char *text, size_t size)
{
    size_t used = 0;
    text[0] = '\0';
    if (setup->turned == DIALARC_TURNED_BODY) {
        if (!isnan(d->turn_body_mm))
            snprintf(text, size, " That is %.1f mm at %g mm radius.",
                     fabs(d->turn_body_mm), setup->body_radius_mm);
        return;
    }
    if (!isnan(d->turn_rim_mm))
        used +=
            (size_t)snprintf(text, size, " That is %.1f mm along the rim at %g mm radius",
                             fabs(d->turn_rim_mm), setup->sprocket_radius_mm);
    if (!isnan(d->turn_teeth))
        used += (size_t)snprintf(text + used, size - used, "%s %.2f of a sprocket tooth",
                                 used ? ", or" : " That is", fabs(d->turn_teeth));
    if (used)
        snprintf(text + used, size - used, ".");
}

static const char *seen_from_the_drive(const dialarc_decision *d, int body)
{
    int way = body ? -(int)d->turn_rotation : (int)d->turn_rotation;
    return way == DIALARC_ROTATION_CW    ? ", clockwise seen from the drive end,"
           : way == DIALARC_ROTATION_CCW ? ", counter-clockwise seen from the drive end,"
                                         : "";
}

void page_turn(FILE *out, const char *lead, const dialarc_setup *setup,
               const dialarc_decision *d)
{
    if (isnan(d->turn_pump_deg)) {
        page_say(
            out, lead,
            "With the fasteners loose, turn the pump a little: the %s, for more lift "
            "and earlier delivery, the other way for less. How far cannot be told "
            "without knowing the cam.",
            setup->turned == DIALARC_TURNED_BODY
                ? "body against the running direction of its shaft"
                : "shaft forward, in its running direction");
        return;
    }
    char extent[160];
    describe_turn(setup, d, extent, sizeof extent);
    int forward = d->turn_pump_deg > 0.0, body = setup->turned == DIALARC_TURNED_BODY;
    page_say(out, lead,
             "With the fasteners loose, turn the pump %s %s%s by %.2f pump degrees while "
             "the crank stands still.%s This makes delivery %s.%s",
             body ? "body" : "shaft",
             body      ? forward ? "against the running direction of its shaft"
                                 : "in the running direction of its shaft"
             : forward ? "forward in its running direction"
                       : "back against its running direction",
             seen_from_the_drive(d, body), fabs(d->turn_pump_deg), extent,
             forward ? "earlier" : "later",
             setup->turned == DIALARC_TURNED_UNKNOWN
                 ? " Where the pump body is turned and not the shaft, turn it as far the "
                   "other way."
                 : "");
    if (fabs(d->turn_teeth) >= WHOLE_TOOTH)
        page_say(
            out, "     ",
            "This is near to a whole tooth or more: first look whether belt, chain or "
            "gears are a tooth out.");
}

void page_aim(FILE *out, const char *lead, const dialarc_setup *setup,
              const dialarc_decision *d, double slack_crank_deg)
{
    char percent[32], place[64];
    double slack = isnan(slack_crank_deg) ? 5.0 : ceil(slack_crank_deg / 5.0) * 5.0;
    page_place(setup, place);
    if (setup->turn_back == DIALARC_TURN_BACK_FORBIDDEN)
        page_say(out, lead,
                 "Turn the engine forward in its running direction, two full crank turns "
                 "on, up to %s without going past it. It must not be turned back: once "
                 "past, go round again.",
                 place);
    else
        page_say(out, lead,
                 "Turn the crank back by %.0f degrees or more, then come forward to %s "
                 "without going past it: coming forward takes the slack out of the "
                 "drive.%s",
                 20.0 + slack, place,
                 setup->turn_back == DIALARC_TURN_BACK_ALLOWED
                     ? ""
                     : " Where the maker forbids turning back, come round forward "
                       "instead.");
    if (!isnan(d->aim_mm))
        page_say(out, "     ",
                 "Aim: the dial should then stand %.3f mm %s its reading at the minimum, "
                 "before you tighten. The chance to be in the window after tightening is "
                 "then %s.",
                 d->aim_mm, setup->dial_sense < 0 ? "below" : "above",
                 page_percent(d->aim_probability_in, percent));
}

void page_leave(FILE *out, const char *lead, const dialarc_decision *d)
{
    if (fabs(d->turn_pump_deg) < d->turn_u_pump_deg)
        page_say(out, lead,
                 "Leave the pump as it is: the correction to mid-window, %.2f pump "
                 "degrees, is smaller than its own uncertainty of %.2f.",
                 fabs(d->turn_pump_deg), d->turn_u_pump_deg);
    else
        page_say(out, lead,
                 "Leave the pump as it is: a correction so small would not better its "
                 "chance, for tightening moves the setting by more.");
}

void page_no_window(FILE *out, const char *lead)
{
    page_say(out, lead,
             "Look up the lift that the manufacturer asks for, and enter it as "
             "lift_low_mm and lift_high_mm of this engine; and where it is asked for, as "
             "window_at and window_crank_deg.");
}

void page_findings(FILE *out, const dialarc_setup *setup,
                   const dialarc_findings *findings, const char *what, const size_t *line,
                   const char *file)
{
    const char *slash = strrchr(file, '/');
    char at[64];
    int any = 0;
    for (int k = 0; k < DIALARC_FINDING_COUNT; k++) {
        dialarc_finding finding = (dialarc_finding)k;
        if (!dialarc_findings_has(findings, finding))
            continue;
        if (!any++)
            fputs("\n  Findings\n", out);
        char place[PAGE_TEXT / 2] = "";
        size_t row = findings->row[k];
        if (row != DIALARC_NO_ROW)
            snprintf(place, sizeof place, " (%s %zu, line %zu of %.200s)", what, row + 1,
                     line[row], slash ? slash + 1 : file);
        page_say(out, "  - ", "%s: %s%s", dialarc_severity_text(findings->severity[k]),
                 dialarc_finding_text(finding), place);
    }
    if (any && setup->turn_back == DIALARC_TURN_BACK_FORBIDDEN)
        page_say(out, "    ",
                 "This engine must not be turned back: where that is said above, come "
                 "round forward instead.");
    if (any && strcmp(page_place(setup, at), "TDC") != 0)
        page_say(out, "    ", "TDC stands for %s above.", at);
}

void page_words(FILE *out)
{
    page_head(out, "WORDS");
    page_say(out, "  ",
             "Lift at TDC: how far the plunger has risen from its minimum when the timed "
             "cylinder stands at firing TDC. More lift: delivery starts earlier.");
    page_say(
        out, "  ",
        "Crank degrees are read at the crank, pump degrees at the shaft of the pump.");
    page_say(out, "  ",
             "Slack: what the crank turns before the pump follows. Hysteresis: by how "
             "much the dial shows less on the way up than on the way down.");
}

void page_cautions(FILE *out)
{
    page_head(out, "CAUTION");
    page_say(out, "  ",
             "The manufacturer's service literature comes first, then local rules "
             "and licensed practice. Check the window and the way of measuring "
             "against it.");
    page_say(out, "  ",
             "Before every measurement: give the dial 1 to 2 mm of preload and leave it "
             "travel beyond full lift, put a cold-start advance out of action, and take "
             "every locking pin out before the engine is turned.");
    page_say(out, "  ",
             "Fuel under high pressure goes through skin: never feel for a leak "
             "with a hand, and never loosen a line while the engine runs.");
    page_say(out, "  ",
             "A turned engine can start or crush: shut off the fuel, disconnect "
             "the battery, turn by hand at the crank only.");
    page_say(out, "  ",
             "A wrong setting can wreck a belt engine: after every change turn it "
             "two full crank turns by hand before it is started, and stop at any "
             "resistance.");
}
