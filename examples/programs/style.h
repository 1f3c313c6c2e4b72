/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * How the HTML pages look.
 */
#ifndef STYLE_H
#define STYLE_H

/* Light and dark, on a telephone, a screen and a sheet of A4. What colours say is said by
 * shapes and words too. */
extern const char style_screen[], style_print[];

#endif
