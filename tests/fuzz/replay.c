/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Engine for a fuzz target where there is no libFuzzer: runs every file of the target's
 * corpus, and every file cut short in 16 places. Files or folders may be named instead.
 */
#ifndef FUZZ_ENGINE

#include <dirent.h>
#include <sys/stat.h>

#include "fuzz_kit.h"

#define MOST_BYTES (1 << 20)

static int replayed;

static void run_file(const char *path)
{
    FILE *file = fopen(path, "rb");
    uint8_t *whole = malloc(MOST_BYTES);
    if (!file || !whole) {
        fprintf(stderr, "cannot read %s\n", path);
        exit(EXIT_FAILURE);
    }
    size_t size = fread(whole, 1, MOST_BYTES, file);
    fclose(file);
    for (size_t k = 0; k <= 16; k++) {
        /* Memory of just that size, so that reading beyond it is noticed. */
        size_t part = size - size * k / 16;
        uint8_t *data = malloc(part ? part : 1);
        if (!data)
            exit(EXIT_FAILURE);
        memcpy(data, whole, part);
        LLVMFuzzerTestOneInput(data, part);
        free(data);
    }
    free(whole);
    replayed++;
}

static void run_folder(const char *folder)
{
    DIR *list = opendir(folder);
    if (!list) {
        fprintf(stderr, "cannot read %s\n", folder);
        exit(EXIT_FAILURE);
    }
    for (struct dirent *entry; (entry = readdir(list)) != NULL;) {
        char path[4096];
        if (entry->d_name[0] == '.')
            continue;
        snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        run_file(path);
    }
    closedir(list);
}

static void run(const char *path)
{
    struct stat what;
    if (stat(path, &what) == 0 && S_ISDIR(what.st_mode))
        run_folder(path);
    else
        run_file(path);
}

int main(int argc, char **argv)
{
    const char *top = getenv("srcdir");
    char folder[4096];
    snprintf(folder, sizeof folder, "%s/tests/fuzz/corpus/%s", top ? top : ".",
             fuzz_name);
    for (int k = 1; k < argc; k++)
        run(argv[k]);
    if (argc < 2)
        run(folder);
    printf("%s: %d files replayed\n", fuzz_name, replayed);
    return replayed > 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

#else
typedef int replay_is_not_needed; /* libFuzzer brings main() */
#endif
