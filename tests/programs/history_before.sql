-- SPDX-License-Identifier: GPL-3.0-or-later
-- A history as dialarc 0.1.0 wrote it before it kept who measured, the dial, what the window
-- refers to, the rule of the verdict and the uncertainty by cause. The readings are those of
-- examples/demo, invented; numbers cut to nine digits.
PRAGMA application_id = 1684108903;
BEGIN;
CREATE TABLE sweeps (setup TEXT NOT NULL, sweep TEXT NOT NULL, taken_on TEXT NOT NULL,
    verdict TEXT NOT NULL, lift_mm REAL, lift_u_mm REAL, rate_mm_per_crank_deg REAL,
    slack_crank_deg REAL, slack_u_crank_deg REAL, advance_error_crank_deg REAL,
    turn_pump_deg REAL, probability_in REAL, lift_low_mm REAL, lift_high_mm REAL,
    readings_used INTEGER, readings_rejected INTEGER, findings TEXT, lift_shared_sd_mm REAL,
    PRIMARY KEY (setup, sweep, taken_on)) WITHOUT ROWID;
CREATE TABLE anew (setup TEXT NOT NULL, set_on TEXT NOT NULL, PRIMARY KEY (setup,
    set_on)) WITHOUT ROWID;
INSERT INTO sweeps VALUES ('badger6', 'badger misread', '2025-02-28', 'in', 1.06710272,
    0.016067895, 0.0866269451, 4.44214463, 0.16366046, -0.0334392326, 0.0167196163,
    0.978908409, 1.05, 1.09, 71, 2,
    'whole_turn_misread;reading_rejected;stroke_not_determined', 0.00669279033);
INSERT INTO sweeps VALUES ('badger6', 'badger one way', '2025-02-28', 'undecided',
    1.10893853, 0.0229359758, 0.0872833905, NULL, NULL, 0.447071983, -0.223535992,
    0.0527915088, 1.05, 1.09, 31, 0, 'stroke_not_determined', 0.0067142488);
INSERT INTO sweeps VALUES ('badger6', 'badger short', '2025-02-28', 'unusable', NULL, NULL,
    0.0867229129, NULL, NULL, NULL, NULL, NULL, 1.05, 1.09, 17, 0,
    'minimum_not_bracketed;stroke_not_determined', NULL);
INSERT INTO sweeps VALUES ('heron4', 'heron early', '2025-02-28', 'high', 1.01954693,
    0.0129738202, 0.0539704003, 1.90170009, 0.16825678, 2.22972598, -1.11486299,
    2.04994511e-51, 0.88, 0.92, 79, 0, 'stroke_not_determined', 0.00585095216);
INSERT INTO sweeps VALUES ('heron4', 'heron good', '2025-02-28', 'in', 0.893788961,
    0.0128176298, 0.053201144, 3.13647565, 0.172985162, -0.116673487, 0.0583367437,
    0.982475144, 0.88, 0.92, 79, 0, 'stroke_not_determined', 0.00574605267);
INSERT INTO sweeps VALUES ('heron4', 'heron late', '2025-02-28', 'low', 0.756904106,
    0.0124771466, 0.0510666751, 3.03416695, 0.178169154, -2.74274329, 1.37137164,
    1.3259656e-83, 0.88, 0.92, 79, 0, 'stroke_not_determined', 0.00562842341);
INSERT INTO sweeps VALUES ('otter4', 'otter learned', '2025-02-28', 'undecided', 0.716306483,
    0.047761753, 0.0472145666, 2.48109201, 0.188191257, -0.0780325285, 0.0390162643,
    0.582850098, 0.7, 0.74, 83, 0, 'stroke_not_determined', 0.0241921019);
INSERT INTO anew VALUES ('badger6', '2025-01-15');
COMMIT;
