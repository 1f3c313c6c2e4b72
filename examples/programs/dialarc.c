/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The program dialarc: which of its commands is meant.
 */
#include <dialarc.h>
#include <stdio.h>
#include <string.h>

#include "commands.h"
#include "complain.h"
#include "nearest.h"
#include "output.h"
#include "page.h"

/* In the order of the work. */
static const command *const commands[] = {
    &drive_command,          &tdc_command,          &dial_command,
    &pluck_command,          &chart_command,        &plan_command,
    &form_command,           &take_command,         &assess_command,
    &tooth_command,          &round_command,        &crosscheck_command,
    &torque_command,         &what_if_command,      &injection_command,
    &cam_learn_command,      &cam_check_command,    &cam_compare_command,
    &lobes_command,          &history_add_command,  &history_anew_command,
    &history_engine_command, &history_near_command, &history_sheet_command,
    &gauge_command,          &errors_command,
};
enum { COMMANDS = sizeof commands / sizeof commands[0] };

/* ---- help and version ------------------------------------------------------- */

static int fill_help(output *out, void *context)
{
    (void)context;
    fputs("usage: dialarc COMMAND [OPTION]... TABLE...\n", out->file);
    page_say(out->file, "",
             "Static timing of a distributor injection pump by dial indicator: from "
             "tables of readings to the setting, how far to trust it, and what to do "
             "next.");
    fputs("\nThe commands, in the order of the work:\n", out->file);
    for (size_t i = 0; i < COMMANDS; i++) {
        char lead[32];
        snprintf(lead, sizeof lead, "  %-16s", commands[i]->name);
        page_say(out->file, lead, "%s", commands[i]->brief);
    }
    fputc('\n', out->file);
    page_say(out->file, "",
             "dialarc COMMAND --help tells what a command takes, dialarc --version which "
             "dialarc this is. The manufacturer's service literature comes first.");
    return DONE;
}

static int fill_version(output *out, void *context)
{
    (void)context;
    fprintf(out->file, "dialarc %s\n", dialarc_version());
    fputs("GPL-3.0-or-later; there is NO WARRANTY, to the extent permitted by law.\n",
          out->file);
    return DONE;
}

/* ---- finding a command ------------------------------------------------------ */

/* How many words of the command line name this command; 0: they name another one. */
static int words_of(const command *c, int count, char **word)
{
    size_t first = strcspn(c->name, " ");
    const char *second = c->name[first] ? c->name + first + 1 : NULL;
    if (strlen(word[0]) != first || strncmp(word[0], c->name, first) != 0)
        return 0;
    if (!second)
        return 1;
    return count > 1 && strcmp(word[1], second) == 0 ? 2 : 0;
}

/* The second words of commands that begin with this one; how many there are. */
static size_t second_words(const char *word, const char **second)
{
    size_t n = 0, length = strlen(word);
    for (size_t i = 0; i < COMMANDS; i++)
        if (strncmp(commands[i]->name, word, length) == 0 &&
            commands[i]->name[length] == ' ')
            second[n++] = commands[i]->name + length + 1;
    return n;
}

/* First words, each once. */
static size_t first_words(char (*room)[16], const char **first)
{
    size_t n = 0;
    for (size_t i = 0; i < COMMANDS; i++) {
        int length = (int)strcspn(commands[i]->name, " ");
        snprintf(room[n], sizeof room[n], "%.*s", length, commands[i]->name);
        if (n == 0 || strcmp(room[n], room[n - 1]) != 0) {
            first[n] = room[n];
            n++;
        }
    }
    return n;
}

/* "there is no such command; did you mean assess?" */
static int refuse(const char *group, const char *word, size_t n, const char *const *names)
{
    char text[160];
    const char *near = nearest(word, n, names);
    snprintf(text, sizeof text,
             "there is no such command; %s%s%sdialarc%s%s --help lists them",
             near ? "did you mean " : "", near ? near : "", near ? "? " : "",
             group[0] ? " " : "", group);
    return complain(group, word, text);
}

static int refuse_command(int count, char **word)
{
    const char *names[COMMANDS];
    char room[COMMANDS + 1][16];
    size_t n = second_words(word[0], names);
    if (n == 0)
        return refuse("", word[0], first_words(room, names), names);
    if (count > 1 && strcmp(word[1], "--help") == 0)
        return command_help(COMMANDS, commands, word[0]);
    if (count > 1)
        return refuse(word[0], word[1], n, names);
    char text[160] = "";
    for (size_t i = 0; i < n; i++) {
        size_t used = strlen(text);
        snprintf(text + used, sizeof text - used, "%s%s",
                 i == 0      ? ""
                 : i + 1 < n ? ", "
                             : " or ",
                 names[i]);
    }
    return complain(word[0], "a second word is missing", text);
}

int main(int argc, char **argv)
{
    output_guard();
    if (argc > 1 && strcmp(argv[1], "--help") == 0)
        return output_write("--help", NULL, fill_help, NULL);
    if (argc > 1 && strcmp(argv[1], "--version") == 0)
        return output_write("--version", NULL, fill_version, NULL);
    if (argc < 2) {
        fputs("usage: dialarc COMMAND [OPTION]... TABLE...\n"
              "       dialarc --help lists the commands\n",
              stderr);
        return FAILED;
    }
    for (size_t i = 0; i < COMMANDS; i++) {
        int words = words_of(commands[i], argc - 1, argv + 1);
        if (words)
            return command_do(commands[i], argc - words, argv + words);
    }
    return refuse_command(argc - 1, argv + 1);
}
