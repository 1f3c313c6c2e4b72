/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "command.h"

#include <errno.h>
#include <getopt.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "complain.h"
#include "nearest.h"
#include "output.h"
#include "page.h"

enum { OPTIONS_MAX = 12, FIRST = 256 /* above every letter */ };

/* ---- help ------------------------------------------------------------------- */

static void say_usage(FILE *out, const command *c)
{
    fprintf(out, "usage: dialarc %s [OPTION]...", c->name);
    for (const command_operand *o = c->operand; o->name; o++)
        fprintf(out, c->optional && !o[1].name ? " [%s]" : " %s", o->name);
    if (c->repeats)
        fputs("...", out);
    fputc('\n', out);
}

static void say_word(FILE *out, const char *word, const char *help)
{
    char lead[40];
    snprintf(lead, sizeof lead, "  %-18.32s", word);
    page_say(out, lead, "%s", help);
}

static void say_help(FILE *out, const command *c)
{
    char word[32];
    say_usage(out, c);
    page_say(out, "", "%s", c->brief);
    fputc('\n', out);
    for (const command_operand *o = c->operand; o->name; o++)
        say_word(out, o->name, o->help);
    if (c->list)
        c->list(out);
    for (const command_option *o = c->option; o->name; o++) {
        snprintf(word, sizeof word, "--%s%s%s", o->name, o->argument ? " " : "",
                 o->argument ? o->argument : "");
        say_word(out, word, o->help);
    }
    say_word(out, "--help", "this text");
    fputc('\n', out);
    if (c->more)
        page_say(out, "", "%s", c->more);
    page_say(out, "exit status: ", "%s", c->statuses);
}

typedef struct topic {
    size_t n;
    const command *const *all;
    const char *word;
} topic;

static int fill_help(output *out, void *context)
{
    const topic *t = context;
    size_t length = strlen(t->word);
    int any = 0;
    for (size_t i = 0; i < t->n; i++)
        if (strncmp(t->all[i]->name, t->word, length) == 0 &&
            strchr(" ", t->all[i]->name[length])) {
            fputs(any++ ? "\n" : "", out->file);
            say_help(out->file, t->all[i]);
        }
    return any ? DONE : FAILED;
}

int command_help(size_t n, const command *const *all, const char *word)
{
    topic t = {n, all, word};
    return output_write(word, NULL, fill_help, &t);
}

/* ---- the command line ------------------------------------------------------- */

static int refuse(const command *c, const char *what, const char *text)
{
    complain(c->name, what, text);
    say_usage(stderr, c);
    fprintf(stderr, "       dialarc %s --help tells more\n", c->name);
    return FAILED;
}

int command_number(const char *text, double *number)
{
    char *end;
    *number = strtod(text, &end);
    return end != text && *end == '\0' && isfinite(*number);
}

/* A whole number in digits alone, within its limits. */
static int read_whole(const command_option *o, const char *text, int *number)
{
    char *end;
    errno = 0;
    long value = strtol(text, &end, 10);
    *number = (int)value;
    return text[0] >= '0' && text[0] <= '9' && !*end && !errno && value >= o->least &&
           value <= o->most;
}

static int take_option(const command *c, const command_option *o, const char *text,
                       void *wishes)
{
    void *to = (char *)wishes + o->at;
    char name[32], why[160] = "a number must follow, such as 0.5";
    int good = 1;
    switch (o->kind) {
    case OPTION_FLAG:
        *(int *)to = 1;
        break;
    case OPTION_TEXT:
        *(const char **)to = text;
        break;
    case OPTION_WHOLE:
        good = read_whole(o, text, to);
        snprintf(why, sizeof why, "a whole number from %d to %d must follow", o->least,
                 o->most);
        break;
    case OPTION_NUMBER:
        good = command_number(text, to);
        break;
    }
    snprintf(name, sizeof name, "--%s", o->name);
    return good ? DONE : refuse(c, name, why);
}

/* What getopt_long() has not understood. `word` is where it stopped. */
static int refuse_option(const command *c, int code, const char *word)
{
    const char *names[OPTIONS_MAX + 1];
    char text[160], shortened[80];
    size_t n = 0;
    names[0] = "help"; /* before others that are as near */
    for (; c->option[n].name; n++)
        names[n + 1] = c->option[n].name;
    snprintf(shortened, sizeof shortened, "%.*s", (int)strcspn(word, "="), word);
    if (code == ':') {
        const command_option *o = &c->option[optopt - FIRST];
        snprintf(text, sizeof text, "a value must follow: --%s %s", o->name, o->argument);
        return refuse(c, shortened, text);
    }
    if (optopt >= FIRST)
        return refuse(c, shortened, "this option takes no value");
    const char *near =
        strncmp(shortened, "--", 2) == 0 ? nearest(shortened + 2, n + 1, names) : NULL;
    snprintf(text, sizeof text, "there is no such option%s%s%s",
             near ? "; did you mean --" : "", near ? near : "", near ? "?" : "");
    return refuse(c, shortened, text);
}

/* The words that are left when the options are gone. */
static int check_operands(const command *c, int count, char **word)
{
    int wanted = 0, streams = 0;
    while (c->operand[wanted].name)
        wanted++;
    if (count < wanted - (c->optional != 0))
        return refuse(c, c->operand[count].name, "this operand is missing");
    if (count > wanted && !c->repeats)
        return refuse(c, word[wanted], "one word too many");
    for (int i = 0; i < count; i++)
        streams += strcmp(word[i], "-") == 0;
    return streams > 1 ? refuse(c, "-", "standard input can be only one of the tables")
                       : DONE;
}

enum { HELP_WANTED = -1 };

static int understand(const command *c, int argc, char **argv, void *wishes)
{
    struct option known[OPTIONS_MAX + 2] = {{0}};
    int n = 0, code;
    for (; c->option[n].name; n++)
        known[n] = (struct option){
            c->option[n].name, c->option[n].argument ? required_argument : no_argument,
            NULL, FIRST + n};
    known[n] = (struct option){"help", no_argument, NULL, FIRST + n};
    opterr = 0;
    while ((code = getopt_long(argc, argv, ":", known, NULL)) >= 0) {
        char letter[] = {'-', (char)optopt, '\0'};
        if (code == FIRST + n)
            return HELP_WANTED;
        if (code < FIRST)
            return refuse_option(c, code,
                                 optopt && optopt < FIRST ? letter : argv[optind - 1]);
        if (take_option(c, &c->option[code - FIRST], optarg, wishes))
            return FAILED;
    }
    return check_operands(c, argc - optind, argv + optind);
}

int command_do(const command *c, int argc, char **argv)
{
    void *wishes = calloc(1, c->size ? c->size : 1);
    if (!wishes)
        return complain_memory(c->name);
    if (c->defaults)
        memcpy(wishes, c->defaults, c->size);
    int result = understand(c, argc, argv, wishes);
    if (result == HELP_WANTED)
        result = command_help(1, &c, c->name);
    else if (result == DONE && !c->run)
        result = complain(c->name, "this dialarc was built without", c->needs);
    else if (result == DONE)
        result = c->run(c->name, wishes, argv + optind);
    free(wishes);
    return result;
}
