/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A cam whose law is stated, tried by the other laws. Each is first asked about some of
 * the readings, as the fit by the stated law has weighed them; those that this leaves far
 * behind are not fitted.
 */
#ifndef DARC_OTHER_LAWS_H
#define DARC_OTHER_LAWS_H

#include "estimate/fit.h"
#include "estimate/learn.h"
#include "estimate/mixture.h"

/* Fits the readings of a fit by each other law, with the segments that are stated; those
 * that give an estimate become rivals, at most DARC_CANDIDATES, of which all that there
 * are together are as likely before any reading as the stated law. Their weights count
 * from `log_evidence`, the fit's. `trial` is used. Returns how many. */
int darc_other_laws(const darc_fit *fit, double log_evidence, const darc_record *record,
                    darc_fit *trial, darc_rival *rival);

#endif
