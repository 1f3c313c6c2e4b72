/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Text from outside as it may be shown on a page or a terminal: what would steer the
 * terminal, turn the direction of writing or break the line is spelled out.
 */
#ifndef SHOWN_H
#define SHOWN_H

#include <stddef.h>

#define SHOWN_SIZE 2048 /* does for a message; what is longer is cut off */

/*
 * The text in `room`: control characters and those that direct the writing as \u202E,
 * bytes that are no UTF-8 as \xFF.
 */
const char *shown(const char *text, char *room, size_t size);

#endif
