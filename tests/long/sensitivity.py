# SPDX-License-Identifier: GPL-3.0-or-later
"""What a constant of the library decides: the calibration with it smaller, as it is and
larger.

    sensitivity.py BUILD FILE:CONSTANT [SWEEPS LEARNED_SWEEPS]

BUILD is a folder in which tests/long/calibrate has been built; FILE, below the source
folder, defines CONSTANT by a number. For 0.8, 1 and 1.25 of it FILE alone is compiled
anew and linked before the rest. A family whose row is the same for all three is left out.
"""
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

TOP = Path(os.environ.get("srcdir", Path(__file__).resolve().parents[2])).resolve()
FACTORS = 0.8, 1.0, 1.25


def changed(text, constant, factor):
    pattern = re.compile(rf"^(#define {constant} +)\(?(-?[0-9.]+(?:e-?\d+)?)\)?", re.M)
    found = pattern.search(text)
    if not found:
        sys.exit(f"sensitivity: no number is defined as {constant}")
    value = float(found[2]) * factor
    whole = re.fullmatch(r"-?\d+", found[2])
    value = f"{round(value)}" if whole else f"{value:.12g}"
    return pattern.sub(lambda m: f"{m[1]}({value})", text), value


def calibrated(build, source, text, counts, folder):
    makefile = (build / "Makefile").read_text()
    value = lambda name: re.search(rf"^{name} = (.*)$", makefile, re.M)[1].split()
    path, program = folder / source.name, folder / "calibrate"
    path.write_text(text)
    subprocess.run(
        value("CC") + ["-std=c11", "-O2", "-D_POSIX_C_SOURCE=200809L", f"-I{TOP}/include",
                       f"-I{TOP}/lib"] + value("GSL_CFLAGS")
        + ["-c", str(path), "-o", str(folder / "changed.o")], check=True)
    subprocess.run(
        value("CC") + [str(build / "tests/long/calibrate-calibrate.o"),
                       str(folder / "changed.o"), str(build / ".libs/libdarc_testkit.a"),
                       str(build / ".libs/libdialarc_core.a")]
        + value("GSL_LIBS") + ["-lm", "-pthread", "-o", str(program)], check=True)
    made = subprocess.run([str(program), *counts], check=True, capture_output=True, text=True)
    return made.stdout.splitlines()


def main():
    build, (file, constant) = Path(sys.argv[1]).resolve(), sys.argv[2].split(":")
    counts, source = sys.argv[3:5] or ["4000", "400"], TOP / sys.argv[2].split(":")[0]
    tables, values = [], []
    with tempfile.TemporaryDirectory() as folder:
        for factor in FACTORS:
            text, value = changed(source.read_text(), constant, factor)
            values.append(value)
            tables.append(calibrated(build, source, text, counts, Path(folder)))
    print(f"{file}: {constant}, {counts[0]} and {counts[1]} sweeps a family", *tables[1][1:3],
          sep="\n")
    for rows in zip(*(table[3:] for table in tables)):
        if len(set(rows)) > 1:
            print(*(f"{row}  {constant} = {value}" for row, value in zip(rows, values)),
                  sep="\n")


main()
