/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Cams table: cams that were learned or measured, point by point, to be used again.
 *
 * Columns, all needed: cam (its name); pump_deg and lift_mm (a point of the lobe, pump
 * angle 0 at the foot of the rise); period_deg (pump degrees after which the cam repeats:
 * one lobe pitch); cam_sd_mm (standard uncertainty of the lift near TDC, mm). The rows of
 * a cam stand together, angles rising; period_deg and cam_sd_mm are the same in all of
 * them. What dialarc_cam_format() writes is read back to the last bit.
 */
#ifndef DIALARC_TABLE_CAMS_H
#define DIALARC_TABLE_CAMS_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/camtable.h>
#include <dialarc/status.h>
#include <dialarc/table.h>

/** Room for any row of the cams table. */
#define DIALARC_CAM_ROW_SIZE 400

/** A cam of a table. */
typedef struct dialarc_cam_record {
    const char *name;              /**< its name */
    const dialarc_camtable *table; /**< its curve, for dialarc_reuse_estimate() */
    double cam_sd_mm;              /**< standard uncertainty of its lift near TDC, mm */
    double period_deg;             /**< pump degrees after which it repeats */
    size_t n;                      /**< points, at least 3 */
    const double *pump_deg;        /**< n pump angles, degrees */
    const double *lift_mm;         /**< n lifts, mm */
} dialarc_cam_record;

/** The cams of a table; may be read by several threads at once. */
typedef struct dialarc_cams dialarc_cams;

DIALARC_BEGIN_DECLS

/**
 * @brief Reads a cams table.
 *
 * @param[in]     read     Brings the bytes.
 * @param[in,out] context  Its context.
 * @param[out]    cams     The cams, at least one; free with dialarc_cams_free().
 * @param[in,out] error    Place and reason when the table is refused, or NULL.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_FILE, DIALARC_ERR_NO_MEMORY,
 *         DIALARC_ERR_TABLE, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_SIZE (fewer than 3
 *         points or more than DIALARC_CAMTABLE_MAX), DIALARC_ERR_ORDER (angles),
 *         DIALARC_ERR_ANGLE (period_deg), DIALARC_ERR_SD.
 * @par Source
 * RFC 4180.
 */
DIALARC_API dialarc_status dialarc_cams_read(dialarc_read read, void *context,
                                             dialarc_cams **cams, dialarc_error *error);

/**
 * @brief Reads a cams table from a file.
 *
 * @param[in]     path   Name of the file.
 * @param[out]    cams   As for dialarc_cams_read().
 * @param[in,out] error  As for dialarc_cams_read().
 * @return As dialarc_cams_read().
 * @par Source
 * RFC 4180.
 */
DIALARC_API dialarc_status dialarc_cams_load(const char *path, dialarc_cams **cams,
                                             dialarc_error *error);

/**
 * @brief Frees the cams.
 *
 * @param[in] cams  The cams; NULL is allowed and does nothing.
 * @par Source
 * This project.
 */
DIALARC_API void dialarc_cams_free(dialarc_cams *cams);

/**
 * @brief How many cams there are.
 *
 * @param[in] cams  The cams; NULL counts as none.
 * @return Their number.
 * @par Source
 * This project.
 */
DIALARC_API size_t dialarc_cams_count(const dialarc_cams *cams);

/**
 * @brief Name of a cam.
 *
 * @param[in] cams   The cams.
 * @param[in] index  Which one, from 0 in the order of the table.
 * @return The name, as long as the cams live; NULL when there is no such cam.
 * @par Source
 * This project.
 */
DIALARC_API const char *dialarc_cams_name(const dialarc_cams *cams, size_t index);

/**
 * @brief One of the cams.
 *
 * @param[in] cams   The cams.
 * @param[in] index  Which one, from 0 in the order of the table.
 * @return The cam, as long as the cams live; NULL when there is no such cam.
 * @par Source
 * This project.
 */
DIALARC_API const dialarc_cam_record *dialarc_cams_get(const dialarc_cams *cams,
                                                       size_t index);

/**
 * @brief Finds a cam by its name.
 *
 * @param[in]  cams   The cams.
 * @param[in]  name   The name.
 * @param[out] index  Which one it is.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NO_SOLUTION (no such cam).
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_cams_find(const dialarc_cams *cams, const char *name,
                                             size_t *index);

/**
 * @brief Header row of the cams table, with its newline.
 *
 * @return A constant string.
 * @par Source
 * RFC 4180.
 */
DIALARC_API const char *dialarc_cams_header(void);

/**
 * @brief Writes the rows of a cam into memory, as dialarc_cams_read() takes them.
 *
 * @param[in]  name        Its name, UTF-8, 1 to 127 bytes; quoted as needed.
 * @param[in]  n           Points, as for dialarc_camtable_new().
 * @param[in]  pump_deg    n pump angles, degrees, as there; at most 1e9.
 * @param[in]  lift_mm     n lifts, mm, as there; at most 1e9.
 * @param[in]  period_deg  Pump degrees after which the cam repeats, as there.
 * @param[in]  cam_sd_mm   Standard uncertainty of the lift near TDC, mm, 0..1e9; of a
 *                         learned cam as dialarc_learned_cam_sd() says.
 * @param[out] rows        Room for the rows, each of which ends with a newline, and a
 *                         zero.
 * @param[in]  size        Size of that room, bytes, at least n DIALARC_CAM_ROW_SIZE.
 * @param[out] length      Bytes of the rows without the zero; NULL if not wanted.
 * @return The codes of dialarc_camtable_new(), DIALARC_ERR_SIZE (room too small; name
 *         blank or too long), DIALARC_ERR_TABLE (name with what no table can hold),
 *         DIALARC_ERR_SD (beyond 1e9, or below 0).
 * @par Source
 * RFC 4180.
 */
DIALARC_API dialarc_status dialarc_cam_format(const char *name, size_t n,
                                              const double *pump_deg,
                                              const double *lift_mm, double period_deg,
                                              double cam_sd_mm, char *rows, size_t size,
                                              size_t *length);

DIALARC_END_DECLS
#endif
