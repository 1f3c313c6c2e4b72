/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Torque: a torque wrench with an adapter that moves the fastener away from its drive.
 */
#ifndef DIALARC_TORQUE_H
#define DIALARC_TORQUE_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/status.h>

/**
 * An adapter (crow-foot, offset ring) on a torque wrench. Uncertainties are standard
 * uncertainties; 0 takes the value as exact.
 */
typedef struct dialarc_adapter {
    double
        wrench_mm; /**< centre of the wrench's drive to the middle of the grip, mm, > 0 */
    double adapter_mm; /**< centre of the drive to the centre of the fastener, mm, >= 0 */
    double angle_deg;  /**< 0: adapter straight on, longer wrench; 90: square to it; 180:
                            folded back over the handle; -360..360 */
    double wrench_sd_mm;  /**< of wrench_mm, mm, >= 0 */
    double adapter_sd_mm; /**< of adapter_mm, mm, >= 0 */
    double angle_sd_deg;  /**< of angle_deg, degrees, >= 0 */
} dialarc_adapter;

/** A torque and how far to trust it. */
typedef struct dialarc_torque {
    double torque_nm;    /**< N m */
    double torque_sd_nm; /**< standard uncertainty, N m */
    double torque_u_nm;  /**< expanded uncertainty, 95 %, N m */
} dialarc_torque;

DIALARC_BEGIN_DECLS

/**
 * @brief Wrench setting divided by torque at the fastener, in any unit of torque.
 *
 * @param[in]  adapter  The adapter; its uncertainties are not looked at.
 * @param[out] factor   The factor; below 1 when the adapter makes the wrench longer.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_LENGTH (a
 * length out of range), DIALARC_ERR_ANGLE (outside -360..360), DIALARC_ERR_REACH (the
 * fastener lies under the grip or beyond it: L + E cos(angle) must be above 0).
 * @par Equation
 * factor = L / (L + E cos(angle))
 * @par Source
 * US Army TM 1-1500-204-23-9 section 8; TM 9-254 section 4 (angled adapters).
 */
DIALARC_API dialarc_status dialarc_torque_factor(const dialarc_adapter *adapter,
                                                 double *factor);

/**
 * @brief What to set on the wrench so that the fastener gets the torque wanted.
 *
 * The sense of turning does not matter: tightening and loosening share the formula.
 *
 * @param[in]  adapter         The adapter.
 * @param[in]  fastener_nm     Torque wanted at the fastener, N m, > 0.
 * @param[in]  wrench_sd_ratio Standard uncertainty of the wrench as a fraction of its
 * setting,
 *                             >= 0 (a wrench good to 4 % at 95 %: 0.02).
 * @param[out] setting         The setting; its uncertainty says how far the fastener's
 * torque, brought to the wrench, may be from it.
 * @return DIALARC_OK, DIALARC_ERR_POSITIVE (torque not above 0), DIALARC_ERR_SD (an
 *         uncertainty below 0), or a code of dialarc_torque_factor().
 * @par Equation
 * setting = fastener * L / (L + E cos(angle)); uncertainty by JCGM 100 clause 5.1.2
 * @par Source
 * US Army TM 1-1500-204-23-9 section 8; JCGM 100:2008.
 */
DIALARC_API dialarc_status dialarc_torque_setting(const dialarc_adapter *adapter,
                                                  double fastener_nm,
                                                  double wrench_sd_ratio,
                                                  dialarc_torque *setting);

/**
 * @brief The torque that a fastener got from a wrench that read or clicked at a setting.
 *
 * @param[in]  adapter         The adapter.
 * @param[in]  setting_nm      Setting or reading of the wrench, N m, > 0.
 * @param[in]  wrench_sd_ratio Standard uncertainty of the wrench as a fraction of its
 * setting,
 *                             >= 0.
 * @param[out] fastener        Torque at the fastener.
 * @return DIALARC_OK, DIALARC_ERR_POSITIVE (torque not above 0), DIALARC_ERR_SD (an
 *         uncertainty below 0), or a code of dialarc_torque_factor().
 * @par Equation
 * fastener = setting * (L + E cos(angle)) / L; uncertainty by JCGM 100 clause 5.1.2
 * @par Source
 * US Army TM 1-1500-204-23-9 section 8; JCGM 100:2008.
 */
DIALARC_API dialarc_status dialarc_torque_at_fastener(const dialarc_adapter *adapter,
                                                      double setting_nm,
                                                      double wrench_sd_ratio,
                                                      dialarc_torque *fastener);

/**
 * @brief Wrench settings for many torques with one adapter.
 *
 * @param[in]  adapter      The adapter; its uncertainties are not looked at.
 * @param[in]  n            Number of torques; 0 is allowed, with NULL arrays.
 * @param[in]  fastener_nm  n torques wanted at the fastener, N m, > 0.
 * @param[out] setting_nm   n settings, N m; may be fastener_nm itself.
 * @return As dialarc_torque_setting(). Nothing is written unless all is in order.
 * @par Equation
 * setting = fastener * L / (L + E cos(angle))
 * @par Source
 * US Army TM 1-1500-204-23-9 section 8.
 */
DIALARC_API dialarc_status dialarc_torque_setting_array(const dialarc_adapter *adapter,
                                                        size_t n,
                                                        const double *fastener_nm,
                                                        double *setting_nm);

DIALARC_END_DECLS
#endif
