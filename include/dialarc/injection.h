/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Injection: from the static setting to what a strobe or pickup shows at speed, and back.
 *
 * Before the nozzle opens the plunger has to compress the fuel between them, which takes
 * the same crank degrees at any speed. At speed the timing device moves delivery earlier
 * and the pipe moves injection later:
 * dynamic reading = static start of delivery - build-up + device advance - delay.
 * A cold-start advance must be released first; the engine turns: keep clear of it, and of
 * high-pressure fuel.
 */
#ifndef DIALARC_INJECTION_H
#define DIALARC_INJECTION_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/cam.h>
#include <dialarc/status.h>

/**
 * What happens between static start of delivery and injection. The arrays belong to the
 * caller. Between the speeds of the table the advance is interpolated by straight lines;
 * outside them the device rests against its stops.
 */
typedef struct dialarc_injection {
    size_t n;                        /**< speeds in the table; 0: no timing device */
    const double *crank_rpm;         /**< n crank speeds, r/min, >= 0, increasing */
    const double *advance_crank_deg; /**< n advances, crank degrees, positive = earlier */
    double delay_ms; /**< line delay, and nozzle opening where it counts, ms, >= 0 */
    double buildup_crank_deg; /**< crank degrees in which the pressure builds up, >= 0, as
                                 of dialarc_delivery_buildup() */
} dialarc_injection;

DIALARC_BEGIN_DECLS

/**
 * @brief Advance of the timing device at a speed.
 *
 * @param[in]  injection          The device's table.
 * @param[in]  crank_rpm          Crank speed, r/min, >= 0.
 * @param[out] advance_crank_deg  Advance, crank degrees; 0 without a device.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_SPEED (a
 *         speed below 0), DIALARC_ERR_ORDER (speeds of the table not increasing).
 * @par Equation
 * Linear interpolation, constant outside the table
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_injection_advance(const dialarc_injection *injection,
                                                     double crank_rpm,
                                                     double *advance_crank_deg);

/**
 * @brief Advance of a timing device given as a line between its stops.
 *
 * @param[in]  start_rpm          Crank speed at which the device leaves its first stop,
 *                                r/min, >= 0.
 * @param[in]  full_rpm           Crank speed at which it meets the other, > start_rpm.
 * @param[in]  full_crank_deg     Advance there, crank degrees.
 * @param[in]  crank_rpm          Crank speed, r/min, >= 0.
 * @param[out] advance_crank_deg  Advance, crank degrees.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_SPEED,
 *         DIALARC_ERR_ORDER (full_rpm not above start_rpm).
 * @par Equation
 * As dialarc_injection_advance() with the table (start, 0), (full, full_crank_deg)
 * @par Source
 * This project.
 */
DIALARC_API dialarc_status dialarc_injection_advance_line(double start_rpm,
                                                          double full_rpm,
                                                          double full_crank_deg,
                                                          double crank_rpm,
                                                          double *advance_crank_deg);

/**
 * @brief Crank degrees that pass during a delay.
 *
 * @param[in]  delay_ms         Delay, ms, >= 0.
 * @param[in]  crank_rpm        Crank speed, r/min, >= 0.
 * @param[out] delay_crank_deg  Delay, crank degrees.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_POSITIVE
 *         (delay below 0), DIALARC_ERR_SPEED.
 * @par Equation
 * 6 N t = 6 N L / c, t in seconds
 * @par Source
 * Definition of speed.
 */
DIALARC_API dialarc_status dialarc_injection_delay(double delay_ms, double crank_rpm,
                                                   double *delay_crank_deg);

/**
 * @brief Dynamic readings to expect at speeds from a static start of delivery.
 *
 * @param[in]  injection          Device, build-up and delay.
 * @param[in]  static_btdc_crank_deg   Static start of delivery, crank degrees before TDC.
 * @param[in]  n                  Number of speeds; 0 is allowed, with NULL arrays.
 * @param[in]  crank_rpm          n crank speeds, r/min, >= 0.
 * @param[out] dynamic_btdc_crank_deg  n starts of injection, crank degrees before TDC;
 * may be crank_rpm itself.
 * @return DIALARC_OK, DIALARC_ERR_POSITIVE (build-up or delay below 0), or a code of
 *         dialarc_injection_advance(). Nothing is written unless all is in order.
 * @par Equation
 * dynamic = static - build-up + advance(N) - 6 N t
 * @par Source
 * Common practice, no source.
 */
DIALARC_API dialarc_status dialarc_injection_dynamic_array(
    const dialarc_injection *injection, double static_btdc_crank_deg, size_t n,
    const double *crank_rpm, double *dynamic_btdc_crank_deg);

/**
 * @brief Dynamic reading to expect at a speed from a static start of delivery.
 *
 * @param[in]  injection               Device, build-up and delay.
 * @param[in]  static_btdc_crank_deg   Static start of delivery, crank degrees before TDC.
 * @param[in]  crank_rpm               Crank speed, r/min, >= 0.
 * @param[out] dynamic_btdc_crank_deg  Start of injection, crank degrees before TDC.
 * @return As dialarc_injection_dynamic_array().
 * @par Equation
 * dynamic = static - build-up + advance(N) - 6 N t
 * @par Source
 * Common practice, no source.
 */
DIALARC_API dialarc_status dialarc_injection_dynamic(const dialarc_injection *injection,
                                                     double static_btdc_crank_deg,
                                                     double crank_rpm,
                                                     double *dynamic_btdc_crank_deg);

/**
 * @brief Static start of delivery that belongs to a dynamic reading.
 *
 * @param[in]  injection               Device, build-up and delay.
 * @param[in]  dynamic_btdc_crank_deg  Start of injection, crank degrees before TDC.
 * @param[in]  crank_rpm               Crank speed at which it was read, r/min, >= 0.
 * @param[out] static_btdc_crank_deg   Static start of delivery, crank degrees before TDC.
 * @return As dialarc_injection_dynamic_array().
 * @par Equation
 * static = dynamic + build-up - advance(N) + 6 N t
 * @par Source
 * Common practice, no source.
 */
DIALARC_API dialarc_status dialarc_injection_static(const dialarc_injection *injection,
                                                    double dynamic_btdc_crank_deg,
                                                    double crank_rpm,
                                                    double *static_btdc_crank_deg);

/**
 * @brief Dynamic reading to expect from the lift at TDC.
 *
 * @param[in]  injection       Device, build-up and delay.
 * @param[in]  cam             The cam.
 * @param[in]  crank_per_pump  Crank turns per pump turn, > 0.
 * @param[in]  prestroke_mm    Lift at port closing, mm, 0..total lift.
 * @param[in]  lift_mm         Lift at TDC on the rise, mm, > 0, at most total lift.
 * @param[in]  crank_rpm       Crank speed, r/min, >= 0.
 * @param[out] dynamic_btdc_crank_deg  Start of injection, crank degrees before TDC.
 * @return A code of dialarc_delivery_start() or dialarc_injection_dynamic_array().
 * @par Equation
 * dialarc_delivery_start(), then dialarc_injection_dynamic()
 * @par Source
 * Common practice, no source.
 */
DIALARC_API dialarc_status dialarc_injection_from_lift(const dialarc_injection *injection,
                                                       const dialarc_cam *cam,
                                                       double crank_per_pump,
                                                       double prestroke_mm,
                                                       double lift_mm, double crank_rpm,
                                                       double *dynamic_btdc_crank_deg);

/**
 * @brief Lift at TDC that a dynamic reading stands for.
 *
 * @param[in]  injection       Device, build-up and delay.
 * @param[in]  cam             The cam.
 * @param[in]  crank_per_pump  Crank turns per pump turn, > 0.
 * @param[in]  prestroke_mm    Lift at port closing, mm, 0..total lift.
 * @param[in]  dynamic_btdc_crank_deg  Start of injection, crank degrees before TDC.
 * @param[in]  crank_rpm       Crank speed at which it was read, r/min, >= 0.
 * @param[out] lift_mm         Lift at TDC, mm.
 * @return A code of dialarc_delivery_lift() or dialarc_injection_dynamic_array().
 * @par Equation
 * dialarc_injection_static(), then dialarc_delivery_lift()
 * @par Source
 * Common practice, no source.
 */
DIALARC_API dialarc_status dialarc_injection_to_lift(const dialarc_injection *injection,
                                                     const dialarc_cam *cam,
                                                     double crank_per_pump,
                                                     double prestroke_mm,
                                                     double dynamic_btdc_crank_deg,
                                                     double crank_rpm, double *lift_mm);

DIALARC_END_DECLS
#endif
