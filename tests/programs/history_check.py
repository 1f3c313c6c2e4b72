# SPDX-License-Identifier: GPL-3.0-or-later
"""Drift and probabilities of dialarc history beside sums done here another way.

Usage: history_check.py PROGRAM FILE. Source of the line: weighted least squares in closed
form, Press et al., Numerical Recipes, 3rd ed., 15.2 (from memory), here from the inverse
of the normal matrix, days counted from 2000; scatter added after Paule and Mandel (from
memory), widened by Student's t from printed tables (refdata/student_t.csv holds them with
their sources). What the sweeps share is added to the intercept alone. How drifts grow is not
known here, so the sweeps' own parabola, square to the line as Gram and Schmidt have it,
is weighed against half a doubling within their time. Probability: sums over a fine grid
of parabolas, by statistics.NormalDist.
"""
import csv
import datetime
import io
import math
import sqlite3
import statistics
import subprocess
import sys

T_975 = {1: 12.7062, 2: 4.3027, 3: 3.1824, 4: 2.7764}
CASES = (("2023-03-01", "2025-03-01", 24), ("2021-03-01", "2021-09-01", 6),
         ("2024-03-01", "2024-04-01", 1), ("2022-03-01", "2024-09-01", 30))
STEPS, BENDS = 300, 60
NORMAL = statistics.NormalDist()
faults = []


def years(day):
    return (datetime.date.fromisoformat(day) - datetime.date(2000, 1, 1)).days / 365.25


def line(points, added):
    """a, b of lift = a + b t, their covariance, the weights and chi-square."""
    weight = [1 / (own * own + added) for _, _, own, _, _ in points]
    s, st, stt, sy, sty = (math.fsum(w * f(p) for w, p in zip(weight, points)) for f in (
        lambda p: 1, lambda p: p[0], lambda p: p[0] ** 2, lambda p: p[1],
        lambda p: p[0] * p[1]))
    det = s * stt - st * st
    a, b = (stt * sy - st * sty) / det, (s * sty - st * sy) / det
    chi = math.fsum(w * (p[1] - a - b * p[0]) ** 2 for w, p in zip(weight, points))
    return a, b, [x / det for x in (stt, -st, s)], weight, chi


def scatter(chi, dof):
    """Variance with which chi-square is what it should be."""
    low, high = 0.0, 1.0
    if dof <= 0 or chi(0.0) <= dof:
        high = 0.0
    while high - low > 1e-15:
        middle = (low + high) / 2
        low, high = (middle, high) if chi(middle) > dof else (low, middle)
    return high


def square_to_line(points, added):
    """c and d such that t^2 - c - d t is square to every line: what is left of squares
    when a line is fitted to them."""
    squares = [(t, t * t, *rest) for t, _, *rest in points]
    return line(squares, added)[:2]


def bend(points, added):
    """Size of a parabola beside the line, its variance, and what chi-square loses."""
    a, b, *_ = line(points, added)
    c, d = square_to_line(points, added)
    rows = [(1 / (p[2] ** 2 + added), p[0] ** 2 - c - d * p[0], p[1] - a - b * p[0])
            for p in points]
    top = math.fsum(w * q * y for w, q, y in rows)
    bottom = math.fsum(w * q * q for w, q, _ in rows)
    return top / bottom, 1 / bottom, top * top / bottom


def believed_bend(points, slope):
    span = points[-1][0] - points[0][0]
    added = scatter(lambda a: line(points, a)[4] - bend(points, a)[2], len(points) - 3)
    own, variance, _ = bend(points, added)
    prior = slope / span / 2
    both = 1 / (1 / variance + 1 / prior ** 2)
    return both * (own / variance + prior / prior ** 2), both


def fit(points):
    """The line with scatter added until chi-square is what it should be; its slope of the
    lift; whether anything was added."""
    dof = len(points) - 2
    high = scatter(lambda added: line(points, added)[4], dof)
    a, b, covariance, weight, _ = line(points, high)
    wide = (T_975[dof] / 1.959963984540054) ** 2 if high else 1.0
    mean = [math.fsum(w * p[k] for w, p in zip(weight, points)) / math.fsum(weight)
            for k in (3, 4)]
    covariance = [wide * c for c in covariance]
    covariance[0] += mean[0] ** 2
    return a, b, covariance, mean[1], high


def outside(a, b, covariance, low, high, t1, t2, bends=((0.0, 0.0, 1.0),)):
    """Over a fine grid of slopes: intercepts with both ends inside, given the slope. The
    bends: what each adds at the ends, and its weight."""
    caa, cab, cbb = covariance
    sd_b, sd_a = math.sqrt(cbb), math.sqrt(caa - cab * cab / cbb)
    total = 0.0
    for i in range(STEPS):
        z = -8 + 16 * (i + 0.5) / STEPS
        slope = b + z * sd_b
        given = statistics.NormalDist(a + cab / cbb * (slope - b), sd_a)
        for at1, at2, share in bends:
            bottom = low - min(slope * t1 + at1, slope * t2 + at2)
            top = high - max(slope * t1 + at1, slope * t2 + at2)
            if top > bottom:
                total += (share * NORMAL.pdf(z) * 16 / STEPS *
                          (given.cdf(top) - given.cdf(bottom)))
    return 1.0 - total


def same(what, got, want, tolerance):
    if not abs(float(got) - want) <= tolerance:
        faults.append(f"{what}: {got}, here {want:.6f}")


def main():
    program, file = sys.argv[1:]
    rows = sqlite3.connect(file).execute(
        "SELECT taken_on, lift_mm, lift_u_mm, lift_shared_sd_mm, rate_mm_per_crank_deg,"
        " lift_low_mm, lift_high_mm FROM sweeps WHERE setup = 'heron4'"
        " ORDER BY taken_on").fetchall()
    points = [(years(day), lift, math.sqrt((u / 1.959963984540054) ** 2 - shared ** 2),
               shared, rate) for day, lift, u, shared, rate, _, _ in rows]
    a, b, covariance, rate, added = fit(points)
    size, variance = believed_bend(points, b)
    c, d = square_to_line(points, added)
    for day, end, months in CASES:
        text = subprocess.run([program, "history", "near", file, "--from", day, "--months",
                               str(months)], capture_output=True, text=True,
                              check=True).stdout
        row = next(r for r in csv.DictReader(io.StringIO(text)) if r["setup"] == "heron4")
        u = 1.959964 * math.sqrt(covariance[2])
        t = years(day)
        at1, at2 = (x * x - c - d * x for x in (t, years(end)))
        sd = math.sqrt(covariance[0] + 2 * t * covariance[1] + t * t * covariance[2] +
                       at1 * at1 * variance)
        same("lift", row["lift_mm"], a + b * t + size * at1, 0.51e-4)
        same("its uncertainty", row["lift_u_mm"], 1.959964 * sd, 0.51e-4)
        same("drift", row["drift_mm_per_year"], b, 0.51e-4)
        same("its uncertainty", row["drift_u_mm_per_year"], u, 0.51e-4)
        same("degrees", row["drift_crank_deg_per_year"], b / rate, 0.51e-3)
        same("their uncertainty", row["drift_u_crank_deg_per_year"], u / rate, 0.51e-3)
        window = *rows[-1][5:], t, years(end)
        bends = [(k * at1, k * at2, NORMAL.pdf(z) * 16 / BENDS) for z, k in (
            (z, size + z * math.sqrt(variance)) for z in (
                -8 + 16 * (i + 0.5) / BENDS for i in range(BENDS)))]
        want = outside(a, b, covariance, *window, bends)
        if row["remark"]:
            now = outside(a, b, covariance, *window[:2], t, t,
                          [(k1, k1, share) for k1, _, share in bends])
            if not added or (row["probability_outside"] == "") != (now < 0.95):
                faults.append(f"remark {row['remark']}, now {now}: {row}")
        else:
            same(f"probability from {day}", row["probability_outside"], want, 0.6e-4)
        print(f"{day} + {months}: outside {row['probability_outside']} {row['remark']}, "
              f"here {want:.5f}")
    print(*faults, sep="\n")
    return 1 if faults else 0


sys.exit(main())
