/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Export macro, C linkage and version: included by every other header.
 */
#ifndef DIALARC_API_H
#define DIALARC_API_H

#if defined(__GNUC__)
#define DIALARC_API __attribute__((visibility("default")))
#else
#define DIALARC_API
#endif

/* A brace opens in one macro and closes in the other. */
/* clang-format off */
#ifdef __cplusplus
#define DIALARC_BEGIN_DECLS extern "C" {
#define DIALARC_END_DECLS }
#else
#define DIALARC_BEGIN_DECLS
#define DIALARC_END_DECLS
#endif
/* clang-format on */

DIALARC_BEGIN_DECLS

/**
 * @brief Version of the library that is running, as "major.minor.patch".
 *
 * @return A constant string; never NULL, never to be freed.
 * @par Source
 * This project.
 */
DIALARC_API const char *dialarc_version(void);

DIALARC_END_DECLS
#endif
