/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Drive: from crank to pump through sprockets or gears, its ratio, and what play and
 * stretch of each stage mean in crank degrees.
 *
 * Stages are given from the crank to the pump. Lengths along the pitch line of a stage
 * are the same at both of its wheels.
 */
#ifndef DIALARC_DRIVE_H
#define DIALARC_DRIVE_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/status.h>

/** Most stages of a drive. */
#define DIALARC_STAGES_MAX 16

/** One belt, chain or pair of gears. */
typedef struct dialarc_stage {
    int driving_teeth; /**< teeth of the wheel on the side of the crank, >= 1 */
    int driven_teeth;  /**< teeth of the wheel on the side of the pump, >= 1 */
    int reverses;    /**< 1: the wheels turn against each other (gears); 0: belt, chain */
    double pitch_mm; /**< pitch of the teeth along the pitch line, mm, > 0 */
    double play_mm;  /**< full play along the pitch line, mm, >= 0 */
    double stretch_mm; /**< lengthening of the tight run since the setting, mm, >= 0 */
} dialarc_stage;

DIALARC_BEGIN_DECLS

/**
 * @brief Whether every stage of a drive is complete.
 *
 * @param[in] n      Stages, 1..DIALARC_STAGES_MAX.
 * @param[in] stage  n stages, from the crank to the pump.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_SIZE, DIALARC_ERR_NOT_FINITE,
 *         DIALARC_ERR_TEETH, DIALARC_ERR_DIRECTION (reverses neither 0 nor 1),
 *         DIALARC_ERR_LENGTH (pitch), DIALARC_ERR_SLACK (play or stretch).
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_drive_check(size_t n, const dialarc_stage *stage);

/**
 * @brief Ratio of a drive and sense of rotation of the pump.
 *
 * @param[in]  n               Stages, 1..DIALARC_STAGES_MAX.
 * @param[in]  stage           n stages, from the crank to the pump.
 * @param[out] crank_per_pump  Crank turns per pump turn.
 * @param[out] sense           1: the pump turns as the crank does; -1: against it.
 * @return As dialarc_drive_check().
 * @par Equation
 * product of driven_teeth/driving_teeth; (-1)^(stages that reverse)
 * @par Source
 * Definition.
 */
DIALARC_API dialarc_status dialarc_drive_ratio(size_t n, const dialarc_stage *stage,
                                               double *crank_per_pump, int *sense);

/**
 * @brief What moving one wheel of a stage by one tooth does.
 *
 * @param[in]  n          Stages, 1..DIALARC_STAGES_MAX.
 * @param[in]  stage      n stages, from the crank to the pump.
 * @param[in]  which      Stage in which a tooth is moved, 0 at the crank.
 * @param[out] crank_deg  Crank degrees, > 0.
 * @param[out] pump_deg   Pump degrees, > 0.
 * @return As dialarc_drive_check(); DIALARC_ERR_SIZE (no such stage).
 * @par Equation
 * pump: 360/driven_teeth * product over later stages of driving/driven; crank: that times
 * the ratio
 * @par Source
 * Definition.
 */
DIALARC_API dialarc_status dialarc_drive_tooth(size_t n, const dialarc_stage *stage,
                                               size_t which, double *crank_deg,
                                               double *pump_deg);

/**
 * @brief Crank degrees that a length along the pitch line of a stage stands for.
 *
 * @param[in]  n          Stages, 1..DIALARC_STAGES_MAX.
 * @param[in]  stage      n stages, from the crank to the pump.
 * @param[in]  which      Stage, 0 at the crank.
 * @param[in]  arc_mm     Length along its pitch line, mm, signed.
 * @param[out] crank_deg  Crank degrees, same sign.
 * @return As dialarc_drive_tooth().
 * @par Equation
 * arc/pitch teeth, each as dialarc_drive_tooth()
 * @par Source
 * Definition.
 */
DIALARC_API dialarc_status dialarc_drive_arc(size_t n, const dialarc_stage *stage,
                                             size_t which, double arc_mm,
                                             double *crank_deg);

/**
 * @brief Slack of a whole drive: the plays of its stages add up.
 *
 * @param[in]  n                Stages, 1..DIALARC_STAGES_MAX.
 * @param[in]  stage            n stages, from the crank to the pump.
 * @param[out] slack_crank_deg  Full play, crank degrees.
 * @return As dialarc_drive_check().
 * @par Equation
 * sum of dialarc_drive_arc() of play_mm
 * @par Source
 * Definition.
 */
DIALARC_API dialarc_status dialarc_drive_slack(size_t n, const dialarc_stage *stage,
                                               double *slack_crank_deg);

/**
 * @brief Change of advance from the stretch of all stages: it makes the pump late.
 *
 * @param[in]  n                  Stages, 1..DIALARC_STAGES_MAX.
 * @param[in]  stage              n stages, from the crank to the pump.
 * @param[out] advance_crank_deg  Crank degrees, <= 0.
 * @return As dialarc_drive_check().
 * @par Equation
 * minus the sum of dialarc_drive_arc() of stretch_mm
 * @par Source
 * Definition.
 */
DIALARC_API dialarc_status dialarc_drive_stretch(size_t n, const dialarc_stage *stage,
                                                 double *advance_crank_deg);

/**
 * @brief Lengthening of a tight run when engine and belt warm up together.
 *
 * The engine carries both shafts apart, the belt grows by itself; what is between them
 * comes round the pump's wheel and makes the pump late, as stretch does:
 * dialarc_drive_arc() turns it into crank degrees. Below 0 the belt grows more, and the
 * pump runs earlier. Tension is taken to stay as it is.
 *
 * @param[in]  run_mm        Length of the tight run, cold, mm, > 0.
 * @param[in]  warming_k     From cold to warm, kelvins; below 0: cooling.
 * @param[in]  engine_per_k  Expansion of block and head, 1/K, 0..1e-3; 2.3e-5 for
 *                           aluminium, 1.1e-5 for cast iron.
 * @param[in]  belt_per_k    Expansion of the belt, 1/K, -1e-3..1e-3; glass cord near
 *                           0.5e-5, aramid below 0.
 * @param[out] stretch_mm    Lengthening, mm.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_LENGTH,
 *         DIALARC_ERR_FRACTION (an expansion out of range).
 * @par Equation
 * run warming (engine - belt)
 * @par Source
 * Linear expansion; figures from memory.
 */
DIALARC_API dialarc_status dialarc_drive_warming(double run_mm, double warming_k,
                                                 double engine_per_k, double belt_per_k,
                                                 double *stretch_mm);

DIALARC_END_DECLS
#endif
