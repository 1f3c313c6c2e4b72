/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Any command line for the program dialarc, and any table: lines of words as far as the
 * first that is empty, then what stands in the table. The words @table and @setups are
 * the names of that and of good setups; - is standard input, the table again. It ends
 * with one of its statuses, and leaves no temporary file.
 */
#define _XOPEN_SOURCE 700 /* mkdtemp() */

#include <dirent.h>
#include <fcntl.h>
#include <getopt.h>
#include <unistd.h>

#include "fuzz_kit.h"

const char fuzz_name[] = "programs";

#define MOST_WORDS 12
#define MOST_BYTES 4000

int dialarc_main(int argc, char **argv);
int __real_fclose(FILE *file);
int __wrap_fclose(FILE *file);

/* The program closes its output, which the next one needs. */
int __wrap_fclose(FILE *file)
{
    return file == stdout ? fflush(file) : __real_fclose(file);
}

static void put(const char *name, const void *text, size_t size)
{
    FILE *file = fopen(name, "wb");
    FUZZ_CHECK(file && fwrite(text, 1, size, file) == size);
    __real_fclose(file);
}

static FILE *quiet;
static int home, place; /* folders */

static char folder[] = "fuzz_programs_XXXXXX"; /* where the program was started */

static void leave(void)
{
    rmdir(folder);
}

/* An empty folder, and nothing said aloud. */
static void prepare(void)
{
    home = open(".", O_RDONLY | O_DIRECTORY);
    FUZZ_CHECK(home >= 0 && mkdtemp(folder));
    place = open(folder, O_RDONLY | O_DIRECTORY);
    atexit(leave);
    quiet = fopen("/dev/null", "w");
    FUZZ_CHECK(quiet && freopen("/dev/null", "w", stdout));
}

/* The program, with its words to the other end of nowhere. */
static int run(int n, char **word)
{
    optind = 0; /* getopt() begins anew */
#ifdef __GLIBC__
    FILE *aloud = stderr;
    stderr = quiet;
    int result = dialarc_main(n, word);
    stderr = aloud;
    return result;
#else
    return dialarc_main(n, word);
#endif
}

/* What the command has written goes; a temporary file would have stayed for ever. */
static void tidy(void)
{
    DIR *here = opendir(".");
    for (struct dirent *entry; here && (entry = readdir(here)) != NULL;) {
        FUZZ_CHECK(!strstr(entry->d_name, ".dialarc-"));
        if (entry->d_name[0] != '.')
            unlink(entry->d_name);
    }
    closedir(here);
}

/* The words, of which none leads out of the folder; their number, or -1. */
static int split(char *text, size_t *used, char **word)
{
    static char program[] = "dialarc", table[] = "table.csv", setups[] = "setups.csv";
    int n = 0;
    word[n++] = program;
    for (char *line = text, *end; n < MOST_WORDS && (end = strchr(line, '\n')) != NULL;
         line = end + 1) {
        *end = '\0';
        *used = (size_t)(end + 1 - text);
        if (line == end)
            break;
        if (strchr(line, '/'))
            return -1;
        word[n++] = !strcmp(line, "@table")    ? table
                    : !strcmp(line, "@setups") ? setups
                                               : line;
    }
    word[n] = NULL;
    return n;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const char good[] = "setup,lobes,lift_low_mm,lift_high_mm,cam_law,cam_lift_mm,"
                               "rise_deg,top_dwell_deg,base_dwell_deg\n"
                               "a,4,0.86,0.9,poly345,2.2,38,4,12\nb,6,,,,,,,\n";
    static int prepared;
    static char text[MOST_BYTES + 1];
    char *word[MOST_WORDS + 1];
    size_t used = 0;
    if (size > MOST_BYTES)
        return 0;
    memcpy(text, data, size);
    text[size] = '\0';
    int n = split(text, &used, word);
    if (n < 0)
        return 0;
    if (!prepared++)
        prepare();
    FUZZ_CHECK(fchdir(place) == 0);
    put("setups.csv", good, sizeof good - 1);
    put("table.csv", data + used, size - used);
    int input = open("table.csv", O_RDONLY);
    FUZZ_CHECK(input >= 0 && dup2(input, STDIN_FILENO) == STDIN_FILENO);
    close(input);
    int result = run(n, word);
    FUZZ_CHECK(result >= 0 && result <= 3);
    tidy();
    FUZZ_CHECK(fchdir(home) == 0);
    return 0;
}
