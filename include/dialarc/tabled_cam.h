/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Tabled cam: a measured, smoothed or learned lobe as a cam, and tables of cams that
 * follow laws.
 */
#ifndef DIALARC_TABLED_CAM_H
#define DIALARC_TABLED_CAM_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/arcs.h>
#include <dialarc/cam.h>
#include <dialarc/camtable.h>
#include <dialarc/scca.h>
#include <dialarc/status.h>

DIALARC_BEGIN_DECLS

/**
 * @brief A table of one lobe pitch of a cam.
 *
 * @param[in]  cam    The cam.
 * @param[in]  n      Points, 3..DIALARC_CAMTABLE_MAX, at equal steps from the foot of the
 *                    rise.
 * @param[out] table  The table; free it with dialarc_camtable_free().
 * @return As dialarc_camtable_new(), or a code of dialarc_cam_check().
 * @par Source
 * As dialarc_camtable_new().
 */
DIALARC_API dialarc_status dialarc_camtable_from_cam(const dialarc_cam *cam, size_t n,
                                                     dialarc_camtable **table);

/**
 * @brief A table of one lobe whose flanks follow laws of the SCCA family.
 *
 * @param[in]  cam    Lobes, total lift, rise and dwells; its laws and table are not used.
 * @param[in]  rise   Fractions of the rise.
 * @param[in]  fall   Fractions of the fall; may be those of the rise.
 * @param[in]  n      Points, 3..DIALARC_CAMTABLE_MAX, at equal steps from the foot of the
 *                    rise; with 1440 the lift is that of the law to 1e-6 of itself.
 * @param[out] table  The table; free it with dialarc_camtable_free().
 * @return As dialarc_camtable_from_cam(), or a code of dialarc_scca_motion().
 * @par Source
 * As dialarc_scca_motion().
 */
DIALARC_API dialarc_status dialarc_camtable_from_scca(const dialarc_cam *cam,
                                                      const dialarc_scca *rise,
                                                      const dialarc_scca *fall, size_t n,
                                                      dialarc_camtable **table);

/**
 * @brief A table of one lobe whose flanks are arcs and tangents under a roller.
 *
 * @param[in]  cam    Lobes, total lift, rise and dwells; its laws and table are not used.
 * @param[in]  rise   The rise, as it is drawn.
 * @param[in]  fall   The fall; may be the rise.
 * @param[in]  n      Points, 3..DIALARC_CAMTABLE_MAX, at equal steps from the foot of the
 *                    rise; with 1440 the lift is that of the drawing to 1e-4 of itself.
 * @param[out] table  The table; free it with dialarc_camtable_free().
 * @return As dialarc_camtable_from_cam(), or a code of dialarc_arcs_motion().
 * @par Source
 * As dialarc_arcs_motion().
 */
DIALARC_API dialarc_status dialarc_camtable_from_arcs(const dialarc_cam *cam,
                                                      const dialarc_arcs *rise,
                                                      const dialarc_arcs *fall, size_t n,
                                                      dialarc_camtable **table);

/**
 * @brief A cam whose lobes are those of a table, for all functions that take a cam.
 *
 * The lift counts from the lowest of the curve. rise_deg ends where the curve has
 * come within 0.2 % of its highest lift, top_dwell_deg where it leaves that, and
 * base_dwell_deg begins within as much of the lowest. The form is stretched to lift_mm:
 * lower it for a lobe that is worn evenly. Where a measured flank passes a lift more than
 * once, dialarc_cam_angle_at_lift() gives the passage nearest to a harmonic one.
 *
 * @param[in]  table  One lobe, pump angle 0 at the foot of its rise; it must live as long
 *                    as the cam.
 * @param[out] cam    The cam.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_LIFT (no lift),
 *         DIALARC_ERR_SEGMENTS (the period is not a lobe pitch of 1 to 16 lobes, the
 *         table has more than one lobe, or its foot is not at 0).
 * @par Source
 * This project; the share is common practice, no source.
 */
DIALARC_API dialarc_status dialarc_cam_from_table(const dialarc_camtable *table,
                                                  dialarc_cam *cam);

DIALARC_END_DECLS
#endif
