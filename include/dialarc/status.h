/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Status codes: what a function that can fail returns.
 *
 * Zero is good, a positive code means a usable but doubtful result, a negative code
 * means failure. Results are written only when the code is zero or positive.
 * Each code names the argument at fault and the range it must lie in.
 *
 * No result that is called good is NaN or infinite, but for what is said to be unknown.
 * So every function that computes refuses numbers that no engine has, beyond 1e9 or,
 * where something is divided by them, below 1e-9: by the code of the argument where it
 * has one, else by DIALARC_ERR_RANGE, which is not listed again at each function.
 */
#ifndef DIALARC_STATUS_H
#define DIALARC_STATUS_H

#include <dialarc/api.h>

/** Status codes. The comment beside each gives an example cause. */
typedef enum dialarc_status {
    DIALARC_OK = 0,
    DIALARC_NOT_CONVERGED = 1,      /**< the fit stopped early: contradictory readings */
    DIALARC_ERR_NULL = -1,          /**< a pointer is NULL where data is needed */
    DIALARC_ERR_NOT_FINITE = -2,    /**< NaN or infinity among the inputs */
    DIALARC_ERR_NO_MEMORY = -3,     /**< malloc failed */
    DIALARC_ERR_SIZE = -4,          /**< array length too small, or too large */
    DIALARC_ERR_LOBES = -5,         /**< lobes outside 1..16 */
    DIALARC_ERR_LAW = -6,           /**< cam law not one of the list */
    DIALARC_ERR_SEGMENTS = -7,      /**< rise, dwells, fall do not fill a lobe pitch */
    DIALARC_ERR_BLEND = -8,         /**< blend fraction outside (0, 0.5] */
    DIALARC_ERR_LIFT = -9,          /**< lift below 0 or above the total lift */
    DIALARC_ERR_RATIO = -10,        /**< crank_per_pump not above 0 */
    DIALARC_ERR_WINDOW = -11,       /**< lift_low_mm not below lift_high_mm, or below 0 */
    DIALARC_ERR_SD = -12,           /**< a standard uncertainty below 0 */
    DIALARC_ERR_DIAL = -13,         /**< step, turn, sense, hysteresis, error of a dial */
    DIALARC_ERR_TEETH = -14,        /**< tooth count below 1 */
    DIALARC_ERR_LENGTH = -15,       /**< a length, radius or diameter not above 0 */
    DIALARC_ERR_ANGLE = -16,        /**< an angle outside its stated range */
    DIALARC_ERR_FLANK = -17,        /**< flank neither rising nor falling */
    DIALARC_ERR_DIRECTION = -18,    /**< direction neither with nor against */
    DIALARC_ERR_ORDER = -19,        /**< a table whose abscissae do not increase */
    DIALARC_ERR_NO_SOLUTION = -20,  /**< the equation has no root in the stated range */
    DIALARC_ERR_NO_TONE = -21,      /**< the recording holds no clear tone */
    DIALARC_ERR_PROBABILITY = -22,  /**< a probability outside (0, 1) */
    DIALARC_ERR_POSITIVE = -23,     /**< a physical quantity not above 0 */
    DIALARC_ERR_FILE = -24,         /**< a file cannot be opened, read or written */
    DIALARC_ERR_TABLE = -25,        /**< a malformed table: see dialarc_error */
    DIALARC_ERR_CANCELLED = -26,    /**< the progress callback asked to stop */
    DIALARC_ERR_DOF = -27,          /**< degrees of freedom neither 0 nor at least 1 */
    DIALARC_ERR_SHAPE = -28,        /**< a distribution not of the list, or its limits */
    DIALARC_ERR_FREQUENCY = -29,    /**< a frequency not above 0, or a band upside down */
    DIALARC_ERR_DEFLECTION = -30,   /**< deflection outside (0, a 16th of the span] */
    DIALARC_ERR_STIFFNESS = -31,    /**< a stiffness below 0, or the pipe wall's */
    DIALARC_ERR_TEMPERATURE = -32,  /**< fuel temperature outside -40..120 C */
    DIALARC_ERR_PRESSURE = -33,     /**< fuel pressure outside 0..100 MPa */
    DIALARC_ERR_SPEED = -34,        /**< a crank speed below 0 */
    DIALARC_ERR_FRACTION = -35,     /**< fractions below 0 or not making a whole */
    DIALARC_ERR_SLACK = -36,        /**< a slack or stretch below 0 */
    DIALARC_ERR_CRANK = -37,        /**< rod not longer than throw and offset together */
    DIALARC_ERR_DROP = -38,         /**< piston drop below 0 or above the stroke */
    DIALARC_ERR_READING = -39,      /**< a reading outside the calibration table */
    DIALARC_ERR_UNDERCUT = -40,     /**< the roller does not fit into or around the cam */
    DIALARC_ERR_SIDE = -41,         /**< a side neither before nor after TDC */
    DIALARC_ERR_FIRING_ORDER = -42, /**< a cylinder out of range, missing or twice */
    DIALARC_ERR_BATCH = -43,        /**< offsets or setup of a sweep outside the batch */
    DIALARC_ERR_START = -44,        /**< a start of delivery that no lift at TDC gives */
    DIALARC_ERR_BENDING = -45,      /**< a belt too stiff for its tension to show */
    DIALARC_ERR_CENTRES = -46,      /**< centres no further apart than both radii */
    DIALARC_ERR_REACH = -47,        /**< the fastener at or beyond the grip of a wrench */
    DIALARC_ERR_CONTACTS = -48,  /**< contacts half a turn or more apart by way of TDC */
    DIALARC_ERR_AMBIGUOUS = -49, /**< tones that several notes explain alike */
    DIALARC_ERR_STRETCH = -50,   /**< a push that mostly stretches the belt */
    DIALARC_ERR_RANGE = -51,     /**< a number beyond 1e9, or a result that is none */
    DIALARC_ERR_CHOICE = -52     /**< a choice or name not of its list */
} dialarc_status;

DIALARC_BEGIN_DECLS

/**
 * @brief Sentence for a status code, in words a mechanic understands.
 *
 * @param[in] status  Any value of dialarc_status; an unknown one gets a sentence too.
 * @return A constant string in English; never NULL, never to be freed.
 * @par Source
 * This project.
 */
DIALARC_API const char *dialarc_status_text(dialarc_status status);

/**
 * @brief Name of a status code as it is spelt in C, for logs and bindings.
 *
 * @param[in] status  Any value of dialarc_status.
 * @return A constant string such as "DIALARC_ERR_LIFT"; "unknown" for other values.
 * @par Source
 * This project.
 */
DIALARC_API const char *dialarc_status_name(dialarc_status status);

DIALARC_END_DECLS
#endif
