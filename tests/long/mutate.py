# SPDX-License-Identifier: GPL-3.0-or-later
"""Plants small faults in the library, the program and the Python package, one at a time,
and tells which the tests notice.

    mutate.py BUILD [FILE...]

BUILD is a folder in which all tests have been built without shared libraries. Faults are
a sign, an off by one, a wrong constant, a dropped term, a comparison turned round, or a word
of a text put for its opposite; which of the possible places is drawn by a generator whose
seed MUTATE_SEED sets. Without FILE the files below are looked at; a FILE may be any of lib/,
"programs", "python" or a file of these. For "python", BUILD holds the module as well.
A fault is found when one of the tests of its file fails, crashes or hangs. Faults that
change nothing that matters stand in mutate.allow with the reason. The program fails when
fewer than 95 % of the others are found, when fewer than 60 were planted, or when one in
mutate.allow is no longer among them.
"""
import os
import random
import re
import subprocess
import sys
import tempfile
from collections import Counter
from pathlib import Path

import mutate_words

TOP = Path(os.environ.get("srcdir", Path(__file__).resolve().parent.parent.parent)).resolve()
SEED = int(os.environ.get("MUTATE_SEED", "1"))
LEAST, SHARE, LIMIT_S = 60, 0.95, 300
UNCOMPILED = "the compiler"

FIT = (
    "estimate gauss_newton reading_weight path_values path assess assess_budget assess_jumps "
    "lobes review_record review_path review_readings contact assess_timing learned_cam "
    "reuse assess_moves review_cam levels oracle property assess_accuracy review_alarms"
)
LOBES = "turn_fit turn_path lobes lobes_refused lobes_pumps"
# file: how many faults, and its tests, quick ones first
FILES = {
    "angle": (2, "angle"),
    "play": (2, "play"),
    "law": (2, "law cam"),
    "scca": (2, "scca"),
    "motion": (3, "law cam camlift"),
    "cam": (3, "cam camlift"),
    "camlift": (3, "camlift cam"),
    "periodic_spline": (2, "camtable"),
    "ring": (2, "ring"),
    "smoothing_spline": (2, "camsmooth"),
    "montecarlo": (3, "montecarlo propagate"),
    "camtable": (3, "camtable camcompare reuse"),
    "follower": (3, "follower"),
    "crank": (3, "crank tdc"),
    "tdc": (2, "tdc"),
    "drive": (2, "drive"),
    "tooth": (2, "tooth"),
    "dial": (2, "dial"),
    "delivery": (2, "delivery injection"),
    "conformity": (3, "conformity decision"),
    "decision": (4, "decision tightening rounds"),
    "tightening": (4, "tightening decision rounds"),
    "rounds": (4, "rounds rounds_findings rounds_promises"),
    "sweep": (2, "record assess"),
    "record": (4, "record review_record assess_jumps property"),
    "known": (3, "known problem decision rounds whatif"),
    "problem": (3, "problem reuse assess"),
    "minimum": (4, "minimum"),
    "cholesky": (2, "cholesky gauss_newton"),
    "normal_equations": (2, "normal_equations gauss_newton oracle"),
    "path": (5, FIT),
    "reading_weight": (4, FIT),
    "fit": (3, FIT),
    "step": (3, FIT),
    "prior": (3, FIT),
    "gauss_newton": (3, FIT),
    "look": (2, FIT),
    "known_cam": (3, FIT),
    "learn": (3, FIT),
    "levels": (3, FIT),
    "law_average": (3, FIT),
    "estimate": (2, FIT),
    "start": (3, FIT),
    "slack_start": (3, FIT),
    "timing": (3, FIT),
    "goodness": (3, FIT),
    "review": (4, FIT),
    "approach": (4, FIT),
    "contact": (3, FIT),
    "learned_cam": (2, "learned_cam reuse"),
    "turn_path": (3, LOBES),
    "turn_fit": (3, LOBES),
}

TERM = r"[A-Za-z_]\w*(?:(?:->|\.)\w+|\[\w+\])*"
OPERATORS = [
    ("sign", re.compile(r"(?<=[\w)\]]) \+ (?=[\w(])"), lambda m: " - "),
    ("sign", re.compile(r"(?<=[\w)\]]) - (?=[\w(])"), lambda m: " + "),
    ("off by one", re.compile(r"(?<=; )(\w+) < (?=[^;]+; \1\+\+)"), lambda m: m[1] + " + 1 < "),
    ("off by one", re.compile(r"(?<=[\w\]]) \+ 1(?=[\])])"), lambda m: ""),
    ("constant", re.compile(r"(?<![\w.])(?!0\.0)\d+\.\d+(?![\w.])"), lambda m: f"({m[0]} * 1.1)"),
    ("dropped term", re.compile(rf"(?<![\w.>])({TERM}) \* {TERM}(?![\w(\[.-])"), lambda m: m[1]),
    ("comparison", re.compile(r"(?<=[\w)\]]) < (?=[\w(-])(?![^;]*; \w+\+\+)"), lambda m: " > "),
    ("comparison", re.compile(r"(?<=[\w)\]]) > (?=[\w(-])"), lambda m: " < "),
]


def places(text):
    """All faults of a file: (kind, from, to, replacement)."""
    found, at, comment = [], 0, False
    for line in text.splitlines(keepends=True):
        code = line.split("/*")[0] if not comment else ""
        if "/*" in line or comment:
            comment = "*/" not in line
        if not line.startswith("#") and '"' not in code and line.startswith("    "):
            for kind, pattern, made in OPERATORS:
                found += [
                    (kind, at + m.start(), at + m.end(), made(m))
                    for m in pattern.finditer(code)
                ]
        at += len(line)
    return found


def plan(stem):
    """How many faults a file of lib/ gets, and its tests; those that need the linker's help
    are left out."""
    if stem in FILES:
        return FILES[stem]
    own = sorted(path.stem.removeprefix("test_") for path in TOP.glob(f"tests/*/test_{stem}*.c"))
    return 2, " ".join(t for t in own if not re.search("memory|threads|^table$", t))


def chosen(stem, text):
    """The faults drawn for a file, no two in one line."""
    draw, lines, kept = random.Random(f"{SEED} {stem}"), set(), []
    candidates = places(text)
    kinds = sorted({c[0] for c in candidates})
    while candidates and len(kept) < plan(stem)[0]:
        kind = draw.choice(kinds)
        some = [c for c in candidates if c[0] == kind] or candidates
        pick = draw.choice(some)
        candidates.remove(pick)
        line = text.count("\n", 0, pick[1])
        if line not in lines:
            lines.add(line)
            kept.append(pick)
    return kept


def flags(build):
    makefile = (build / "Makefile").read_text()
    value = lambda name: re.search(rf"^{name} = (.*)$", makefile, re.M)[1]
    compiler = value("CC").split()
    return (
        compiler, ["-std=c11", "-O2", "-D_POSIX_C_SOURCE=200809L", "-w"]
        + [f"-I{TOP}/include", f"-I{TOP}/lib", f"-I{TOP}/tests"] + value("GSL_CFLAGS").split(),
        [f"{build}/.libs/libdarc_testkit.a", f"{build}/.libs/libdialarc_core.a"]
        + value("CHECK_LIBS").split() + value("GSL_LIBS").split() + ["-lm", "-pthread"],
    )


def noticed(build, stem, text, folder):
    """The test that notices, or None; a fault that does not compile is none at all."""
    compiler, options, libraries = flags(build)
    source, made = folder / f"{stem}.c", folder / "mutant.o"
    source.write_text(text)
    compiled = subprocess.run(
        compiler + options + ["-c", str(source), "-o", str(made)], capture_output=True, check=False
    )
    if compiled.returncode != 0:
        return UNCOMPILED
    for test in plan(stem)[1].split():
        program = folder / f"test_{test}"
        subprocess.run(
            compiler + [str(next(build.glob(f"tests/*/test_{test}.o"))), str(made)] + libraries
            + ["-o", str(program)],
            check=True,
        )
        try:
            ran = subprocess.run(
                [str(program)], cwd=folder, capture_output=True, timeout=LIMIT_S, check=False,
                env={**os.environ, "srcdir": str(TOP), "CK_DEFAULT_TIMEOUT": "60"},
            )
        except subprocess.TimeoutExpired:
            return test
        if ran.returncode != 0:
            return test
    return None


def allowed():
    """Faults that change nothing that matters: 'file: line as it becomes' to the reason."""
    reasons = {}
    for line in (TOP / "tests/long/mutate.allow").read_text().splitlines():
        if line and not line.startswith("#"):
            fault, reason = line.split(" ## ")
            reasons[fault] = reason
    return reasons


def by_folder(planted, found):
    print(f"{'folder':24} planted noticed, seed {SEED}")
    for folder in sorted(planted):
        print(f"{folder:24} {planted[folder]:7} {found[folder]:7}")


def main():
    build, reasons = Path(sys.argv[1]).resolve(), allowed()
    planted, found, met = Counter(), Counter(), set()
    others = {name for name in sys.argv[2:] if not list(TOP.glob(f"lib/*/{name}.c"))}
    if "all" in others:
        sys.argv[2:] = [path.stem for path in sorted(TOP.glob("lib/*/*.c"))]
    with tempfile.TemporaryDirectory() as folder:
        for name in sorted(others - {"all"}):
            mutate_words.plant(TOP, build, name, SEED, Path(folder), planted, found)
        for stem in [name for name in sys.argv[2:] if name not in others] or (
                () if others else FILES):
            where = str(next(TOP.glob(f"lib/*/{stem}.c")).parent.relative_to(TOP))
            text = next(TOP.glob(f"lib/*/{stem}.c")).read_text()
            for kind, start, end, replacement in chosen(stem, text):
                mutant = text[:start] + replacement + text[end:]
                number = text.count("\n", 0, start)
                fault = f"{stem}: {mutant.splitlines()[number].strip()}"
                if fault in reasons:
                    met.add(fault)
                    print(f"left out  {fault}: {reasons[fault]}")
                    continue
                test = noticed(build, stem, mutant, Path(folder))
                if test == UNCOMPILED:
                    continue
                planted[where] += 1
                found[where] += test is not None
                print(f"{test or 'NOBODY':20} {kind:12} {stem}.c:{number + 1}: "
                      f"{fault.split(': ', 1)[1]}", flush=True)
    by_folder(planted, found)
    planted, found = planted.total(), found.total()
    print(f"{found} of {planted} faults noticed")
    if len(sys.argv) > 2:
        return 0 if found >= SHARE * planted else 1
    stale = sorted(reasons.keys() - met)
    for fault in stale:
        print(f"in mutate.allow, but no longer planted: {fault}")
    return 0 if planted >= LEAST and found >= SHARE * planted and not stale else 1


sys.exit(main())
