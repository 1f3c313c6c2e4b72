# SPDX-License-Identifier: GPL-3.0-or-later
"""What README claims of simulated sweeps is what tests/calibration.txt shows: each number
of the sentences below, worked out anew from the table, and every target of make that the
documents name is there."""
import os
import re
import sys
from pathlib import Path

TOP = Path(os.environ.get("srcdir", ".")).resolve()
README = " ".join((TOP / "README.md").read_text().split())
TABLE = (TOP / "tests/calibration.txt").read_text().splitlines()
FAMILY = re.compile(r"(law known|learned), .{23,}?\d{4,5} +(-?[\d. -]+)$")
REAL = re.compile(r".{25}[kl][12][y-] .* (met|no)(?: |$)")
NUMBER = r"(\d+(?:\.\d+)?)"
faults = []


def claim(what, pattern, *wanted):
    """README has this sentence, with these numbers as they are rounded there."""
    said = re.search(pattern.replace("#", NUMBER), README)
    if not said:
        faults.append(f"README no longer says {what}: {pattern}")
        return
    for text, value in zip(said.groups(), wanted):
        digits = len(text.partition(".")[2])
        if f"{value:.{digits}f}" != text:
            faults.append(f"{what}: README says {text}, the table {value:g}")


def families(kind):
    """Columns rms/bound, cover and the two of wrong verdicts of one kind of family."""
    rows = [m[2].split() for m in map(FAMILY.match, TABLE) if m and m[1] == kind]
    columns = [[float(row[k]) for row in rows] for k in (0, 4, 6, 7)]
    return columns[0], columns[1], columns[2] + columns[3]


def calibrated():
    known, cover, wrong = families("law known")
    learned, cover_learned, wrong_learned = families("learned")
    claim("the bound", "# to # of the Cramer-Rao bound", min(known), max(known))
    claim("learned cams", "error is # to # of what it would be", min(learned), max(learned))
    claim("the cover", "the truth # to # times in 100 in every family",
          min(cover + cover_learned), max(cover + cover_learned))
    claim("wrong verdicts", "at most # in 100 are wrong", max(wrong + wrong_learned))


def real():
    met = [m[1] for m in map(REAL.match, TABLE) if m]
    claim("the rows", "table: # rows of a thousand", len(met))
    claim("rows that meet the aim", "; # rows meet it", met.count("met"))


def targets():
    """Those that automake makes by itself stand in none of the files."""
    known = set(re.findall(r"^([a-z][\w-]*):", "\n".join(
        path.read_text() for path in (Path("Makefile"), *TOP.glob("*/*/build.am"))),
        re.M)) | {"check", "dist", "distcheck", "install", "installcheck", "uninstall", "clean"}
    for path in (*TOP.glob("*.md"), *TOP.glob("bindings/*.md"), *TOP.glob("bindings/*/*.md")):
        for name in set(re.findall(r"`make (?:-C build )?([a-z][\w-]*)", path.read_text())):
            if name not in known:
                faults.append(f"{path.name}: make {name}: there is no such target")


calibrated()
real()
targets()
print(*faults, sep="\n")
sys.exit(1 if faults else 0)
