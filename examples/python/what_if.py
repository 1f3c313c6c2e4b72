# SPDX-License-Identifier: GPL-3.0-or-later
"""What does half a degree of TDC-mark error, a tooth, a looser belt do to this setting?

    python3 what_if.py [SETUPS [NAME]] [--out FOLDER]

NAME is a setup whose cam and window are known. The demonstration tables are invented.
"""
import argparse
from pathlib import Path

import dialarc

DEMO = Path(__file__).resolve().parents[1] / "demo"
QUESTIONS = (("TDC mark half a degree late", "tdc_mark", 0.5),
             ("pump a tooth early", "teeth", 1.0),
             ("belt stretched by half a crank degree", "stretch", -0.5),
             ("cam worn by 3 %, set as a new one", "wear", 0.03),
             ("half a degree of slack left in", "slack", 0.5),
             ("dial set 0.01 mm high", "reading", 0.01))


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("setups", nargs="?", default=DEMO / "setups.csv")
    parser.add_argument("name", nargs="?")
    parser.add_argument("--out", default=".")
    options = parser.parse_args()
    setups = dialarc.read_setups(options.setups)
    name = options.name or next(iter(setups))
    setup = setups[name]
    case = dialarc.whatif_from_setup(setup)
    print(f"{name}: window {setup.lift_low_mm:g} to {setup.lift_high_mm:g} mm")
    for question, what, step in QUESTIONS:
        trial = case.copy()
        trial.input[dialarc.WhatifInput[what.upper()]].centre += step
        try:
            outcome = dialarc.whatif_evaluate(trial)
        except dialarc.InputError as error:
            print(f"  {question}: cannot be told. {error.sentence}")
            continue
        inside = setup.lift_low_mm <= outcome.lift_mm <= setup.lift_high_mm
        print(f"  {question}: lift {outcome.lift_mm:.3f} mm, timing "
              f"{outcome.advance_crank_deg:+.2f} crank degrees, "
              f"{'still in' if inside else 'out of'} the window")
    whole = dialarc.whatif_propagate(case, 20_000, 1)
    lift = whole.lift_mm
    print(f"  All errors at once, as far as this setup knows them: 95 settings in 100 end "
          f"from {lift.low:.3f} to {lift.high:.3f} mm")
    paths = dialarc.plot.save(dialarc.plot.tornado(case), Path(options.out) / "what_if")
    print("  Pictures:", *(path.name for path in paths))


if __name__ == "__main__":
    main()
