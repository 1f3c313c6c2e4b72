/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Any public function with any numbers: a kept call, of which the bytes replace what they
 * like. A good result is finite, and a call that fails has written nothing.
 */
#include "fuzz_kit.h"
#include "kit/every_call.h"

const char fuzz_name[] = "functions";

#define MOST_REPLACED 12

typedef struct replaced {
    void *at;
    size_t size;
    unsigned char was[8];
} replaced;

/* A number like the one that was there, or any. */
static double other_number(fuzz_bytes *b, double was)
{
    unsigned how = fuzz_byte(b);
    if (how < 128)
        return fuzz_number(b);
    return how < 200 ? was * (fuzz_word(b) / 32768.0)
                     : was + (fuzz_word(b) - 32768.0) * 1e-3;
}

/* Sizes only become smaller, for the arrays end there. */
static void replace(fuzz_bytes *b, const every_number *slot, replaced *r)
{
    r->at = slot->at;
    r->size = slot->kind == EVERY_NUMBER                               ? sizeof(double)
              : slot->kind == EVERY_INT                                ? sizeof(int)
              : slot->kind == EVERY_WORD                               ? sizeof(uint32_t)
              : slot->kind == EVERY_COUNT || slot->kind == EVERY_PLACE ? sizeof(size_t)
                                                                       : sizeof(void *);
    memcpy(r->was, slot->at, r->size);
    unsigned byte = fuzz_byte(b), word = fuzz_word(b);
    switch (slot->kind) {
    case EVERY_NUMBER:
        *(double *)slot->at = other_number(b, *(double *)slot->at);
        break;
    case EVERY_INT:
        *(int *)slot->at =
            byte < 200 ? (int)byte - 20 : (int)(65537 * (int64_t)word + INT_MIN);
        break;
    case EVERY_WORD:
        *(uint32_t *)slot->at = word;
        break;
    case EVERY_COUNT:
        *(size_t *)slot->at = *(size_t *)slot->at * byte / 255;
        break;
    case EVERY_PLACE:
        *(size_t *)slot->at = byte < 128 ? byte : SIZE_MAX - word;
        break;
    case EVERY_POINTER:
        *(void **)slot->at = NULL;
        break;
    }
}

static void prepare(void)
{
    static int prepared;
    if (!prepared++)
        every_prepare();
}

/* libFuzzer's clock does not run yet. */
int LLVMFuzzerInitialize(int *argc, char ***argv);
int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    (void)argc;
    (void)argv;
    prepare();
    return 0;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fuzz_bytes b = {data, size};
    replaced list[MOST_REPLACED];
    size_t n = 0;
    int status;
    prepare();
    every_call *call = every_list[fuzz_word(&b) % every_calls];
    for (; b.size > 2 && n < MOST_REPLACED && call->slots; n++)
        replace(&b, &call->slot[fuzz_word(&b) % call->slots], &list[n]);
    if (!every_again(call, &status))
        fprintf(stderr, "%s, status %d: %s\n", call->function, status, call->not_finite);
    FUZZ_CHECK(!call->not_finite);
    while (n-- > 0)
        memcpy(list[n].at, list[n].was, list[n].size);
    return 0;
}
