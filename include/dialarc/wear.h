/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Wear: how far a belt or chain that lengthens in service makes the pump late.
 *
 * A belt settles in at first and then lengthens steadily. The figures are the user's own:
 * two checks of the timing some hours apart give them. dialarc ships none, and a belt is
 * renewed at the interval of the service literature whatever they say.
 */
#ifndef DIALARC_WEAR_H
#define DIALARC_WEAR_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/drive.h>
#include <dialarc/status.h>

/** Lengthening in service, as parts of the length. */
typedef struct dialarc_wear {
    double settling;          /**< strain of settling in, in the end, >= 0 */
    double settling_h;        /**< hours in which 63 % of it is reached, > 0 */
    double strain_per_1000_h; /**< steady strain in 1000 hours, >= 0 */
} dialarc_wear;

DIALARC_BEGIN_DECLS

/**
 * @brief Strain after hours of service.
 *
 * @param[in]  wear       The belt's figures.
 * @param[in]  n          Number of times; 0 is allowed, the arrays may then be NULL.
 * @param[in]  service_h  n times since the setting, hours, >= 0.
 * @param[out] strain     n strains, parts of the length; may be the same array.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_SLACK (a
 *         strain below 0), DIALARC_ERR_POSITIVE (settling_h not above 0, or hours below
 *         0). Nothing is written unless every number is good.
 * @par Equation
 * settling (1 - exp(-h/settling_h)) + strain_per_1000_h h/1000
 * @par Source
 * Common practice, no source.
 */
DIALARC_API dialarc_status dialarc_wear_strain(const dialarc_wear *wear, size_t n,
                                               const double *service_h, double *strain);

/**
 * @brief Hours of service after which a strain is reached: the inverse of
 * dialarc_wear_strain().
 *
 * @param[in]  wear       The belt's figures.
 * @param[in]  strain     Strain, >= 0.
 * @param[out] service_h  Hours since the setting.
 * @return As dialarc_wear_strain(); DIALARC_ERR_NO_SOLUTION (it is never reached).
 * @par Equation
 * As dialarc_wear_strain().
 * @par Source
 * As dialarc_wear_strain().
 */
DIALARC_API dialarc_status dialarc_wear_service(const dialarc_wear *wear, double strain,
                                                double *service_h);

/**
 * @brief Change of advance when the tight run of a stage has lengthened by a strain.
 *
 * @param[in]  n                  Stages, 1..DIALARC_STAGES_MAX.
 * @param[in]  stage              n stages, from the crank to the pump.
 * @param[in]  which              Stage that has lengthened, 0 at the crank.
 * @param[in]  tight_run_mm       Free length of its tight run, mm, > 0.
 * @param[in]  strain             Strain, >= 0.
 * @param[out] advance_crank_deg  Crank degrees, <= 0: the pump becomes late.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_LENGTH,
 *         DIALARC_ERR_SLACK, or a code of dialarc_drive_arc().
 * @par Equation
 * minus dialarc_drive_arc() of tight_run strain/(1 + strain): the run keeps its length
 * and holds fewer teeth
 * @par Source
 * Geometry of a belt with fixed centres.
 */
DIALARC_API dialarc_status dialarc_wear_advance(size_t n, const dialarc_stage *stage,
                                                size_t which, double tight_run_mm,
                                                double strain, double *advance_crank_deg);

DIALARC_END_DECLS
#endif
