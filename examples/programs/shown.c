/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shown.h"

#include <stdio.h>
#include <string.h>

/* Bytes of the UTF-8 character that begins here, and its number; 0 when it is none. */
static size_t decode(const unsigned char *at, unsigned long *number)
{
    static const unsigned long least[] = {0, 0, 0x80, 0x800, 0x10000};
    size_t bytes = at[0] < 0x80   ? 1
                   : at[0] < 0xc0 ? 0
                   : at[0] < 0xe0 ? 2
                   : at[0] < 0xf0 ? 3
                   : at[0] < 0xf8 ? 4
                                  : 0;
    *number = bytes < 2 ? at[0] : at[0] & (0x7fu >> bytes);
    for (size_t i = 1; i < bytes; i++) {
        if ((at[i] & 0xc0) != 0x80) /* the end of the text too */
            return 0;
        *number = *number << 6 | (at[i] & 0x3fu);
    }
    return bytes && *number >= least[bytes] && *number <= 0x10ffff ? bytes : 0;
}

/* Controls, line separators, and what marks, embeds, overrides or isolates a direction.
 */
static int steers(unsigned long c)
{
    return c < 0x20 || (c >= 0x7f && c < 0xa0) || c == 0x061c || c == 0x200e ||
           c == 0x200f || (c >= 0x2028 && c <= 0x202e) || (c >= 0x2066 && c <= 0x2069);
}

const char *shown(const char *text, char *room, size_t size)
{
    size_t used = 0;
    for (const unsigned char *at = (const unsigned char *)text; *at;) {
        char piece[8];
        unsigned long number;
        size_t bytes = decode(at, &number);
        if (bytes == 0)
            snprintf(piece, sizeof piece, "\\x%02X", *at);
        else if (steers(number))
            snprintf(piece, sizeof piece, "\\u%04lX", number & 0xffff);
        else
            snprintf(piece, sizeof piece, "%.*s", (int)bytes, (const char *)at);
        size_t length = strlen(piece);
        if (used + length >= size)
            break;
        memcpy(room + used, piece, length);
        used += length;
        at += bytes ? bytes : 1;
    }
    room[used] = '\0';
    return room;
}
