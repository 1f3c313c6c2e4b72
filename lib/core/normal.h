/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The standard normal distribution. */
#ifndef DARC_NORMAL_H
#define DARC_NORMAL_H

/* Value exceeded with probability 2.5 %: half an interval of 95 %. */
#define DARC_NORMAL_975 1.95996398454005423552
/* Value exceeded with probability 1.25 %: half an interval of 97.5 %. */
#define DARC_NORMAL_9875 2.24140272760494537509

double darc_normal_density(double x);

#endif
