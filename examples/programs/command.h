/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A command of dialarc as a table: its words, operands and options, from which the
 * command line is understood and the help is made.
 */
#ifndef COMMAND_H
#define COMMAND_H

#include <stddef.h>
#include <stdio.h>

typedef enum option_kind {
    OPTION_FLAG,  /* int, set to 1 */
    OPTION_TEXT,  /* const char * */
    OPTION_WHOLE, /* int, from least to most */
    OPTION_NUMBER /* double, finite */
} option_kind;

typedef struct command_option {
    const char *name;     /* without the dashes */
    const char *argument; /* what the help calls its value; NULL: a flag */
    option_kind kind;
    size_t at; /* where the value goes in the wishes: offsetof() */
    int least, most;
    const char *help;
} command_option;

typedef struct command_operand {
    const char *name, *help;
} command_operand;

typedef struct command {
    const char *name;               /* the words after dialarc: "assess", "cam learn" */
    const char *brief;              /* its line in the list of commands */
    const command_operand *operand; /* in order; the last is {0} */
    int repeats;                    /* the last operand may come several times */
    int optional;                   /* the last operand may be missing */
    const command_option *option;   /* all but --help; the last is {0} */
    void (*list)(FILE *out);        /* what its help lists besides, or NULL */
    const char *more;               /* what else there is to know, or NULL */
    const char *statuses;           /* exit statuses */
    size_t size;                    /* of its wishes: what the options ask for */
    const void *defaults;           /* the wishes when no option is given; NULL: zeros */
    const char *needs;              /* what it cannot be built without, or NULL */
    /* the operands end with NULL; run is NULL: not built */
    int (*run)(const char *who, const void *wishes, char **operand);
} command;

/* The option of every command that writes. */
#define COMMAND_OUT(wishes)                                                              \
    {                                                                                    \
        "out", "FILE", OPTION_TEXT, offsetof(wishes, out), 0, 0,                         \
            "write to FILE instead of standard output"                                   \
    }

/* The option of every command that takes readings of a dial. */
#define COMMAND_DIALS(wishes)                                                            \
    {                                                                                    \
        "dials", "TABLE", OPTION_TEXT, offsetof(wishes, dials), 0, 0,                    \
            "table of calibrations, which correct readings of the dials that SETUPS "    \
            "names"                                                                      \
    }

/* The option of every command that writes a table for other programs. */
#define COMMAND_GUARD(wishes)                                                            \
    {                                                                                    \
        "for-spreadsheet", NULL, OPTION_FLAG, offsetof(wishes, guard), 0, 0,             \
            "put ' in front of names that a spreadsheet would work out as formulas"      \
    }

/* What all that read tables have in common. */
#define COMMAND_TABLES                                                                   \
    "Tables are CSV, plain or compressed by gzip; - stands for standard input. Results " \
    "appear as a whole at the end, or not at all."

/*
 * Does what the words behind the command's name ask for; the exit status. `argv` begins
 * with the last word of the name and is put in order: options first.
 */
int command_do(const command *c, int argc, char **argv);

/* The help of the commands that go by this first word, or FAILED. */
int command_help(size_t n, const command *const *all, const char *word);

/* A finite number in the C locale, which is never left. */
int command_number(const char *text, double *number);

/* The name of a list that is most like the word, or NULL when none is. */
const char *command_nearest(const char *word, size_t n, const char *const *name);

#endif
