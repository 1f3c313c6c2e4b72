/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Delivery: from plunger lift to start and end of delivery, rate and volume.
 *
 * Delivery starts when the plunger has risen by the prestroke and closes its port, and
 * ends when the spill port opens, one effective stroke later. Everything is geometric:
 * leakage and the speed of the fuel through the ports are left out.
 */
#ifndef DIALARC_DELIVERY_H
#define DIALARC_DELIVERY_H

#include <stddef.h>

#include <dialarc/api.h>
#include <dialarc/cam.h>
#include <dialarc/status.h>

/** A plunger and its ports. */
typedef struct dialarc_plunger {
    double diameter_mm;         /**< mm, > 0 */
    double prestroke_mm;        /**< lift from the foot to port closing, mm, >= 0 */
    double effective_stroke_mm; /**< lift from port closing to spill, mm, > 0 */
} dialarc_plunger;

/** One delivery stroke. Crank angles are before TDC: negative ones are after it. */
typedef struct dialarc_delivery {
    double start_btdc_crank_deg; /**< start of delivery, crank degrees before TDC */
    double end_btdc_crank_deg;   /**< end of delivery, crank degrees before TDC */
    double duration_crank_deg;   /**< crank degrees from start to end */
    double volume_mm3;           /**< volume per stroke */
    double mean_rate_mm3_per_crank_deg; /**< volume over duration */
} dialarc_delivery;

DIALARC_BEGIN_DECLS

/**
 * @brief Static start of delivery from the lift at TDC.
 *
 * @param[in]  cam                   The cam.
 * @param[in]  crank_per_pump        Crank turns per pump turn, > 0; 2 on a four-stroke.
 * @param[in]  prestroke_mm          Lift at port closing, mm, 0..total lift.
 * @param[in]  lift_mm               Lift at TDC on the rise, mm, > 0, at most total lift.
 * @param[out] start_btdc_crank_deg  Start of delivery, crank degrees before TDC.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_RATIO,
 *         DIALARC_ERR_LIFT (either lift), or a code of dialarc_cam_check().
 * @par Equation
 * start = crank_per_pump * (angle(lift) - angle(prestroke)), angle() on the rising flank
 * @par Source
 * Geometry of the cam; terms as in ISO 7876-1:1990.
 */
DIALARC_API dialarc_status dialarc_delivery_start(const dialarc_cam *cam,
                                                  double crank_per_pump,
                                                  double prestroke_mm, double lift_mm,
                                                  double *start_btdc_crank_deg);

/**
 * @brief Lift at TDC that puts the static start of delivery where it is wanted.
 *
 * @param[in]  cam                   The cam.
 * @param[in]  crank_per_pump        Crank turns per pump turn, > 0.
 * @param[in]  prestroke_mm          Lift at port closing, mm, 0..total lift.
 * @param[in]  start_btdc_crank_deg  Start of delivery, crank degrees before TDC.
 * @param[out] lift_mm               Lift at TDC, mm.
 * @return DIALARC_OK, DIALARC_ERR_START (TDC would not lie on the rise), or a code
 *         of dialarc_delivery_start().
 * @par Equation
 * As dialarc_delivery_start(), solved for the lift
 * @par Source
 * As dialarc_delivery_start().
 */
DIALARC_API dialarc_status dialarc_delivery_lift(const dialarc_cam *cam,
                                                 double crank_per_pump,
                                                 double prestroke_mm,
                                                 double start_btdc_crank_deg,
                                                 double *lift_mm);

/**
 * @brief Start, end, duration, volume and mean rate of a delivery stroke.
 *
 * @param[in]  cam             The cam.
 * @param[in]  crank_per_pump  Crank turns per pump turn, > 0.
 * @param[in]  plunger         The plunger; prestroke and effective stroke together at
 * most the total lift.
 * @param[in]  lift_mm         Lift at TDC on the rise, mm, > 0, at most total lift.
 * @param[out] delivery        The stroke.
 * @return DIALARC_OK, DIALARC_ERR_LENGTH (diameter not above 0), DIALARC_ERR_LIFT (also
 *         for strokes out of range), or a code of dialarc_delivery_start().
 * @par Equation
 * V = pi d^2 / 4 * effective stroke
 * @par Source
 * Geometry of the cam; terms as in ISO 7876-1:1990.
 */
DIALARC_API dialarc_status dialarc_delivery_compute(const dialarc_cam *cam,
                                                    double crank_per_pump,
                                                    const dialarc_plunger *plunger,
                                                    double lift_mm,
                                                    dialarc_delivery *delivery);

/**
 * @brief Volume that a plunger displaces.
 *
 * @param[in]  diameter_mm  Plunger diameter, mm, > 0.
 * @param[in]  stroke_mm    Stroke, mm, >= 0.
 * @param[out] volume_mm3   Volume, mm^3.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_LENGTH
 *         (diameter not above 0), DIALARC_ERR_LIFT (stroke below 0).
 * @par Equation
 * V = pi d^2 s / 4
 * @par Source
 * Volume of a cylinder.
 */
DIALARC_API dialarc_status dialarc_delivery_volume(double diameter_mm, double stroke_mm,
                                                   double *volume_mm3);

/**
 * @brief Stroke in which a plunger displaces a volume; add what compression takes
 * (dialarc_fuel_compression()) to the volume wanted at the nozzle.
 *
 * @param[in]  diameter_mm  Plunger diameter, mm, > 0.
 * @param[in]  volume_mm3   Volume, mm^3, > 0.
 * @param[out] stroke_mm    Stroke, mm.
 * @return DIALARC_OK, DIALARC_ERR_NULL, DIALARC_ERR_NOT_FINITE, DIALARC_ERR_LENGTH,
 *         DIALARC_ERR_POSITIVE (volume not above 0).
 * @par Equation
 * s = 4 V / (pi d^2)
 * @par Source
 * Volume of a cylinder; worked example 9.7 of an engine textbook (Scilab Textbook
 * Companion no. 443).
 */
DIALARC_API dialarc_status dialarc_delivery_stroke(double diameter_mm, double volume_mm3,
                                                   double *stroke_mm);

/**
 * @brief Geometric delivery rate at an array of pump angles, ports left out.
 *
 * @param[in]  cam             The cam.
 * @param[in]  crank_per_pump  Crank turns per pump turn, > 0.
 * @param[in]  diameter_mm     Plunger diameter, mm, > 0.
 * @param[in]  n               Number of angles; 0 is allowed, with NULL arrays.
 * @param[in]  pump_deg        n pump angles, degrees.
 * @param[out] rate_mm3_per_crank_deg  n rates; may be pump_deg itself; below 0 on the
 * fall, where the plunger fills.
 * @return DIALARC_OK, DIALARC_ERR_RATIO, DIALARC_ERR_LENGTH (diameter not above 0), or a
 *         code of dialarc_cam_rate_array(). Nothing is written unless all is in order.
 * @par Equation
 * rate = pi d^2 / 4 * (ds/dpump) / crank_per_pump; times 6 n for mm^3/s at n r/min
 * @par Source
 * Geometry of the cam.
 */
DIALARC_API dialarc_status dialarc_delivery_rate_array(const dialarc_cam *cam,
                                                       double crank_per_pump,
                                                       double diameter_mm, size_t n,
                                                       const double *pump_deg,
                                                       double *rate_mm3_per_crank_deg);

/**
 * @brief Crank degrees from start of delivery until the pressure has built up.
 *
 * What the plunger displaces goes into compressing the fuel between it and the nozzle
 * first: the volume of dialarc_fuel_compression(), for all of the fuel under the plunger,
 * in the pipe and in the nozzle holder, from the pressure left in the pipe to that at
 * which the nozzle opens. Degrees, not time: they are the same at any speed.
 *
 * @param[in]  cam                The cam.
 * @param[in]  crank_per_pump     Crank turns per pump turn, > 0.
 * @param[in]  plunger            The plunger; its prestroke and what is displaced
 * together at most the total lift.
 * @param[in]  compression_mm3    Volume that compression takes, mm^3, > 0.
 * @param[out] buildup_crank_deg  Crank degrees.
 * @return DIALARC_OK, DIALARC_ERR_NO_SOLUTION (the port spills before the nozzle opens:
 *         nothing is injected), DIALARC_ERR_POSITIVE, or a code of
 *         dialarc_delivery_compute().
 * @par Equation
 * crank_per_pump (angle(prestroke + V / area) - angle(prestroke)), on the rising flank
 * @par Source
 * Geometry of the cam; displacement of an incompressible plunger.
 */
DIALARC_API dialarc_status dialarc_delivery_buildup(const dialarc_cam *cam,
                                                    double crank_per_pump,
                                                    const dialarc_plunger *plunger,
                                                    double compression_mm3,
                                                    double *buildup_crank_deg);

DIALARC_END_DECLS
#endif
