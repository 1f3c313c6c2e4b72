# SPDX-License-Identifier: GPL-3.0-or-later
"""A mechanic who does what the page of dialarc assess says, to the letter, ends in the window.

Pumps are set wrong by a known amount: the angles of a good sweep of the demonstration are
shifted, by definition the same as a pump that runs so much later. What the page says is
read back out of its words; then the pump is turned as it says, and the sweep taken again.
Sources: definitions of the words; a shaft that turns forward delivers earlier.
"""
import csv
import math
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

DEMO = Path(os.environ.get("srcdir", ".")) / "examples/demo"
DIALARC = Path(
    os.environ.get("DIALARC_PROGRAM") or "examples/programs/dialarc"
).resolve()
FOLDER = Path(tempfile.mkdtemp())
TEETH, RADIUS_MM, CRANK_PER_PUMP = 44, 66, 2
BODY_RADIUS_MM = 75
DIAL_TOP_MM = 5.0  # a falling dial shows this less the lift
faults = []


def check(what, good, text=""):
    if not good:
        faults.append(f"{what}\n{text}")


def rows(name):
    with (DEMO / name).open(newline="") as table:
        return list(csv.DictReader(table))


def write(name, table):
    with (FOLDER / name).open("w", newline="") as out:
        writer = csv.DictWriter(out, table[0].keys())
        writer.writeheader()
        writer.writerows(table)
    return FOLDER / name


def tables(late_deg, sense, rotation, turned="shaft"):
    setups = [{**row, "dial_sense": sense, "rotation": rotation, "turned": turned,
               "body_radius_mm": BODY_RADIUS_MM} for row in
              rows("setups.csv") if row["setup"] == "heron4"]
    sweep = [{**row, "crank_deg": float(row["crank_deg"]) + late_deg,
              "dial_mm": float(row["dial_mm"]) if sense > 0 else
              DIAL_TOP_MM - float(row["dial_mm"])} for row in
             rows("sweeps.csv") if row["sweep"] == "heron good"]
    return write("setups.csv", setups), write("sweeps.csv", sweep), sweep


def run(*words):
    done = subprocess.run([DIALARC, *words], capture_output=True, text=True, check=False)
    check(f"status {done.returncode} of {words}", done.returncode == 0, done.stderr)
    return " ".join(done.stdout.split())


def number(pattern, page):
    found = re.search(pattern, page)
    check(f"the page says nothing like: {pattern}", found, page)
    return float(found[1]) if found else math.nan


def at_tdc(sweep):
    """What the dial shows above or below its minimum when the crank comes forward to 0."""
    pairs = zip(sweep, sweep[1:])
    forward = [(a, b) for a, b in pairs if a["crank_deg"] <= 0 < b["crank_deg"]]
    a, b = forward[0]
    share = -a["crank_deg"] / (b["crank_deg"] - a["crank_deg"])
    dial = a["dial_mm"] + share * (b["dial_mm"] - a["dial_mm"])
    base = [row["dial_mm"] for row in sweep]
    return (dial - min(base), max(base) - dial)


def turn(late_deg, sense, rotation, turned="shaft"):
    """One pump that runs so many crank degrees late, below 0 early."""
    case = f"{late_deg:+g} degrees late, sense {sense}, {rotation}, {turned} turned"
    setups, sweeps, sweep = tables(late_deg, sense, rotation, turned)
    page = run("assess", "--report", setups, sweeps)
    late = late_deg > 0
    pump_deg = number(r"by (\d+\.\d+) pump degrees", page)
    teeth, rim = pump_deg * TEETH / 360, pump_deg * math.pi / 180 * RADIUS_MM
    body = turned == "body"  # it goes the other way
    clockwise = (rotation == "cw") == (late != body)
    for text in ("TOO LATE. The setting is too low: delivery starts too late" if late else
                 "TOO EARLY. The setting is too high: delivery starts too early",
                 ("turn the pump body against the running direction of its shaft," if late
                  else "turn the pump body in the running direction of its shaft,")
                 if body else
                 "turn the pump shaft forward in its running direction," if late else
                 "turn the pump shaft back against its running direction,",
                 f", {'clockwise' if clockwise else 'counter-clockwise'} seen from the drive end and "
                 f"{'counter-clockwise' if clockwise else 'clockwise'} from the dial,",
                 f"This makes delivery {'earlier' if late else 'later'}.",
                 f"crank degrees too {'late' if late else 'early'}.",
                 "0.880 to 0.920 mm at TDC, the middle is 0.900 mm"):
        check(f"{case}: not on the page: {text}", text in page, page)
    check(f"{case}: {pump_deg} pump degrees", abs(pump_deg - abs(late_deg) / 2) < 0.2)
    check(f"{case}: crank degrees", abs(number(r"From mid-window: (\d+\.\d+) crank", page) -
                                        CRANK_PER_PUMP * pump_deg) < 0.02)
    if body:
        moved = pump_deg * math.pi / 180 * BODY_RADIUS_MM
        check(f"{case}: body", abs(number(r"That is (\d+\.\d+) mm at 75 mm", page) - moved)
              < 0.06)
    else:
        told = re.search(r"(\d+\.\d+) of a sprocket tooth", page)
        check(f"{case}: teeth", abs(float(told[1]) - teeth) < 0.01 if told else teeth < 0.51,
              page)
        check(f"{case}: rim", abs(number(r"(\d+\.\d+) mm along the rim", page) - rim) < 0.06)
    check(f"{case}: word of a tooth", ("near to a whole tooth" in page) == (teeth > 0.75))
    back = number(r"turn the crank back by (\d+) degrees", page)
    check(f"{case}: slack", back >= 20 + number(r"Slack of the drive: (\d+\.\d+)", page))
    # The page is obeyed.
    sign = 1 if "shaft forward" in page or "body against" in page else -1
    for row in sweep:
        row["crank_deg"] -= sign * CRANK_PER_PUMP * pump_deg
    aim = number(r"should then stand (\d+\.\d+) mm (?:above|below)", page)
    above = f"{aim:.2f} mm above" in page
    check(f"{case}: above or below", above == (sense > 0), page)
    shown = at_tdc(sweep)[0 if above else 1]
    check(f"{case}: aim {aim}, the dial shows {shown:.3f}", abs(shown - aim) < 0.02)
    write("sweeps.csv", sweep)
    again = run("assess", "--report", setups, sweeps)
    check(f"{case}: not in the window afterwards", "Verdict GOOD." in again and
          "1. Leave the pump as it is." in again, again)


def tighten(shift_mm):
    """Tightening that shifts the lift one way is said to shift it that way."""
    table = [dict(zip(("job", "setup", "round", "minimum_mm", "tdc_mm", "state"),
                      ("job", "heron4", n, 0, lift, state)))
             for n, loose in ((1, 0.78), (2, 0.80), (3, 0.81), (4, 0.82),
                                (5, 0.83)) for lift, state in
             ((loose, "loose"), (loose + shift_mm, "tight"))]
    setups, _, _ = tables(0, 1, "cw")
    page = run("round", setups, write("rounds.csv", table))
    word = "lowers" if shift_mm < 0 else "raises"
    said = number(rf"Tightening {word} the lift by (\d+\.\d+) mm", page)
    check(f"tightening by {shift_mm}: {said}", abs(said - abs(shift_mm)) < 0.006, page)
    aim = number(r"should then stand (\d+\.\d+) mm above", page)
    check(f"aim {aim} does not leave room for {shift_mm}", abs(aim + shift_mm - 0.9) < 0.012)


def find_tdc():
    """Who finds TDC as well as the page asks for has his window decided: in its middle."""
    setup = next(row for row in rows("setups.csv") if row["setup"] == "otter4")
    sweep = [row for row in rows("sweeps.csv") if row["sweep"] == "otter learned"]
    setups, sweeps = write("setups.csv", [setup]), write("sweeps.csv", sweep)
    page = run("assess", "--report", setups, sweeps)
    check("nothing about TDC", "TDC is the weakest point." in page, page)
    needed = number(r"TDC must be known to \+- (\d+\.\d+) crank degrees", page)
    late = number(r"From mid-window: (\d+\.\d+) crank degrees too late", page)
    for row in sweep:
        row["crank_deg"] = float(row["crank_deg"]) - late
    write("sweeps.csv", sweep)
    for share, verdict in ((0.9, "GOOD."), (1.1, "NOT SURE.")):
        write("setups.csv", [{**setup, "tdc_sd_deg": share * needed}])
        page = run("assess", "--report", setups, sweeps)
        check(f"TDC known to {share} of what is needed", f"Verdict {verdict}" in page, page)


def lift_at(late_deg, crank_deg):
    """heron4 by hand: the polynomial of degrees 3, 4 and 5 rises by 2.2 mm in 38 pump
    degrees (law of the demonstration's cam), and TDC is where 0.900 mm stands."""
    def rise(share):
        return 2.2 * share ** 3 * (10 - 15 * share + 6 * share ** 2)
    low, high = 0.0, 1.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if rise(middle) < 0.9 else (low, middle)
    return rise(low + (crank_deg - late_deg) / CRANK_PER_PUMP / 38)


def ask_witnesses(late_deg, wrong_deg=0.0):
    """What dial, spill and strobe see of a pump that runs late; the strobe by more."""
    head = ("witness", "lift_mm", "crank_deg", "crank_rpm", "lift_sd_mm", "mark")
    seen = [("dial", lift_at(late_deg, 0), "", "", 0.003, ""),
            ("spill", lift_at(late_deg, -12.5), -12.5, "", 0.003, "")]
    seen += [("strobe", lift_at(late_deg, -5), -5 + wrong_deg + 0.003 * rpm, rpm, 0.003,
              "lamp") for rpm in range(800, 3200, 400)]
    table = write("witnesses.csv", [dict(zip(head, one)) for one in seen])
    setups, _, _ = tables(0, 1, "cw")
    done = subprocess.run([DIALARC, "crosscheck", setups, "heron4", table], text=True,
                          capture_output=True, check=False)
    page = " ".join(done.stdout.split())
    case = f"witnesses {late_deg:+g} degrees late, strobe {wrong_deg:+g}"
    agree = wrong_deg == 0
    check(f"{case}: status {done.returncode}", done.returncode == (0 if agree else 1), page)
    where = "later" if late_deg > 0 else "earlier"
    check(f"{case}: setting", abs(number(rf"(\d+\.\d+) crank degrees {where} than mid-window",
                                         page) - abs(late_deg)) < 0.02, page)
    check(f"{case}: window", (f"it lies {'below: too late' if late_deg > 0 else 'above: too early'}."
                              in page), page)
    check(f"{case}: delay", "strobe: a delay of 0.50 ms" in page, page)
    if not agree:
        way = "later" if wrong_deg > 0 else "earlier"
        check(f"{case}: which", abs(number(rf"strobe: (\d+\.\d+) crank degrees {way} than the "
                                           "others", page) - abs(wrong_deg)) < 0.02, page)


def main():
    find_tdc()
    for late_deg in (3, -2):
        for wrong_deg in (0.0, 4.0, -4.0):
            ask_witnesses(late_deg, wrong_deg)
    for sense in (1, -1):
        for rotation in ("cw", "ccw"):
            for late_deg in (3, -3):
                turn(late_deg, sense, rotation)
    for rotation, late_deg in (("cw", 3), ("ccw", -3)):
        turn(late_deg, 1, rotation, "body")
    tooth = 360 / TEETH * CRANK_PER_PUMP
    turn(tooth, 1, "cw")
    turn(-tooth * 0.8, -1, "ccw")
    tighten(-0.02)
    tighten(0.02)
    print(*faults, sep="\n")
    return 1 if faults else 0


sys.exit(main())
