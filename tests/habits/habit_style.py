# SPDX-License-Identifier: GPL-3.0-or-later
"""Sizes that keep the sources readable, and tables of values that name their sources.

Lines at most 90 columns, functions at most 80 lines, files at most 600 and public headers
below 200, in the library, its modules for other languages, programs and tests; no comment
broken behind a macro, no constant with two values. What stands in lib/<room>/<stem>.c is tested in
tests/<room>/test_<stem>*.c, and each public header has one that is named as it is. Rows of
refdata/*.csv name a source and, but for the data sets *_data.csv that published results are
computed from, a tolerance.
"""
import ast
import csv
import os
import re
import sys
from pathlib import Path

TOP = Path(os.environ.get("srcdir", "."))
COLUMNS, FUNCTION, SOURCE, HEADER = 90, 80, 600, 199
WHOLE_ROOM = {"tests/estimate/test_oracle.c"}  # beside an estimator of another make
faults = []


def functions(path, lines):
    """First and last line of each function, of C by its braces, of Python by the indent."""
    if path.suffix == ".py":
        for node in ast.walk(ast.parse("\n".join(lines))):
            if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
                yield node.lineno, node.end_lineno
        return
    begin = None
    for number, line in enumerate(lines, 1):
        if line == "{":
            begin = number
        elif line == "}" and begin:
            yield begin, number
            begin = None


def check_sizes(path, most):
    lines = path.read_text(encoding="utf-8").split("\n")[:-1]
    where = path.relative_to(TOP)
    if len(lines) > most:
        faults.append(f"{where}: {len(lines)} lines, at most {most}")
    for begin, end in functions(path, lines):
        if end - begin + 1 > FUNCTION:
            faults.append(f"{where}:{begin}: function of {end - begin + 1} lines")
    for number, line in enumerate(lines, 1):
        if len(line) > COLUMNS:
            faults.append(f"{where}:{number}: {len(line)} columns, at most {COLUMNS}")
        if "\t" in line or line != line.rstrip():
            faults.append(f"{where}:{number}: tab or trailing space")
        if re.search(r"/\*(?!.*\*/).*\\$", line):
            faults.append(f"{where}:{number}: a macro's comment stands above it")


def check_stems(header):
    if not re.search(r"^DIALARC_API\b", header.read_text(), re.M):
        return
    for twin in TOP.glob(f"lib/*/{header.stem}.c"):
        room = twin.parent.name
        if not (TOP / f"tests/{room}/test_{header.stem}.c").exists():
            faults.append(f"{header.name}: no tests/{room}/test_{header.stem}.c")


def check_test(path):
    """A program in the tests of a room begins with the stem of a file there."""
    room = TOP / "lib" / path.parent.name
    words = path.stem.split("_")[1:]
    stems = {"_".join(words[:n]) for n in range(1, len(words) + 1)}
    name = str(path.relative_to(TOP))
    if not room.is_dir() or name in WHOLE_ROOM:
        return
    if not any((room / f"{stem}.c").exists() for stem in stems):
        faults.append(f"{name}: no file of {room.relative_to(TOP)} by that name")


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


def check_constants():
    """No name stands for one value in one file of lib/ and for another in another."""
    values = {}
    for path in sorted((TOP / "lib").rglob("*.[ch]")):
        for name, value in re.findall(r"^#define (\w+) +([^/\n]+)", path.read_text(), re.M):
            first, where = values.setdefault(name, (value.strip(), path))
            if value.strip() != first and path != where:
                faults.append(f"{path.relative_to(TOP)}: {name} has another value in "
                              f"{where.relative_to(TOP)}")


def main():
    check_constants()
    for header in sorted((TOP / "include").rglob("*.h")):
        check_sizes(header, HEADER)
        check_stems(header)
    for pattern in ("lib/*/*.[ch]", "tests/*/*.[ch]", "examples/**/*.[ch]",
                    "bindings/**/*.h", "bindings/**/*.i", "bindings/**/*.py",
                    "bindings/**/*.[jt]s"):
        for path in sorted(TOP.glob(pattern)):
            if not {"made", "package"} & set(path.parts):
                check_sizes(path, SOURCE)
    for path in sorted(TOP.glob("tests/*/test_*.c")):
        check_test(path)
    for path in sorted((TOP / "refdata").glob("*.csv")):
        check_table(path)
    print(*faults, sep="\n")
    return 1 if faults else 0


sys.exit(main())
