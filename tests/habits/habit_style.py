# SPDX-License-Identifier: GPL-3.0-or-later
"""Sizes that keep the sources readable, and tables of values that name their sources.

Lines at most 90 columns, functions at most 80 lines, sources at most 600 and public
headers below 200; a public header's functions stand in lib/<room>/<stem>.c and are
tested in tests/<room>/test_<stem>.c; rows of refdata/*.csv name a source and, but for the data sets
*_data.csv that published results are computed from, a tolerance.
"""
import csv
import os
import re
import sys
from pathlib import Path

TOP = Path(os.environ.get("srcdir", "."))
COLUMNS, FUNCTION, SOURCE, HEADER = 90, 80, 600, 199
faults = []


def check_sizes(path, most):
    lines = path.read_text(encoding="utf-8").split("\n")[:-1]
    where = path.relative_to(TOP)
    if len(lines) > most:
        faults.append(f"{where}: {len(lines)} lines, at most {most}")
    begin = None
    for number, line in enumerate(lines, 1):
        if len(line) > COLUMNS:
            faults.append(f"{where}:{number}: {len(line)} columns, at most {COLUMNS}")
        if "\t" in line or line != line.rstrip():
            faults.append(f"{where}:{number}: tab or trailing space")
        if line == "{":
            begin = number
        elif line == "}" and begin:
            if number - begin + 1 > FUNCTION:
                faults.append(f"{where}:{begin}: function of {number - begin + 1} lines")
            begin = None


def check_stems(header):
    if not re.search(r"^DIALARC_API\b", header.read_text(), re.M):
        return
    for pattern in (f"lib/*/{header.stem}.c", f"tests/*/test_{header.stem}.c"):
        if not any(TOP.glob(pattern)):
            faults.append(f"{header.name}: no {pattern}")


def check_table(path):
    with path.open(encoding="utf-8", newline="") as table:
        rows = list(csv.DictReader(table, strict=True))
    for number, row in enumerate(rows, 2):
        if not (row.get("source") or "").strip():
            faults.append(f"{path.name}:{number}: no source")
            break
        tolerance = any((row[c] or "").strip() for c in row if c and "tolerance" in c)
        if not tolerance and not path.stem.endswith("_data"):
            faults.append(f"{path.name}:{number}: no tolerance")
            break
    if not rows:
        faults.append(f"{path.name}: no rows")


def main():
    for header in sorted((TOP / "include").rglob("*.h")):
        check_sizes(header, HEADER)
        check_stems(header)
    for pattern in ("lib/*/*.[ch]", "tests/*/*.[ch]", "examples/*.[ch]"):
        for path in sorted(TOP.glob(pattern)):
            check_sizes(path, SOURCE)
    for path in sorted((TOP / "refdata").glob("*.csv")):
        check_table(path)
    print(*faults, sep="\n")
    return 1 if faults else 0


sys.exit(main())
