# SPDX-License-Identifier: GPL-3.0-or-later
"""Times beside those of another commit, both built here and measured in turns in one run.

    python3 beside.py SOURCES BUILD COMMIT [ROW...]

The commit is built in BUILD/beside-<commit>, once, as BUILD was configured. The same bench
source is compiled against the headers and the library of each, so that programs may have
changed their names. Rows: known, learned, csv, lobes, python. Each number is the median of
rounds (BENCH_ROUNDS, 9) in processor time; the ratio is the median of those of the rounds,
with the half of the rounds that lies about it in brackets. Above 1: slower than it was.
The program fails when a row is slower by more than 5 %.
"""
import os
import re
import resource
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

TOP, BUILD = Path(sys.argv[1]), Path(sys.argv[2])
ROUNDS = int(os.environ.get("BENCH_ROUNDS", "9"))
SLOWER = 1.05
PROGRAMS = (["examples/programs/dialarc", "assess"], ["examples/assess_sweeps"])
PYTHON = """
import dialarc, sys, time
setups, sweeps = dialarc.read_setups(sys.argv[1]), dialarc.read_sweeps(sys.argv[2])
dialarc.assess_all(setups, sweeps, threads=1)
begin = time.process_time()
dialarc.assess_all(setups, sweeps, threads=1)
print(time.process_time() - begin)
"""


def run(*command, **options):
    return subprocess.run([str(word) for word in command], check=True, **options)


def variable(name):
    """What the Makefile of BUILD sets a variable to."""
    found = re.search(rf"^{name} = (.*)$", (BUILD / "Makefile").read_text(), re.M)
    return found[1] if found else ""


def build(commit):
    """The build folder of a commit, made when it is not there yet."""
    folder = BUILD / f"beside-{commit[:12]}"
    if (folder / "good").exists():
        return folder
    print(f"building {commit[:12]}", flush=True)
    (folder / "sources/.build-aux/m4").mkdir(parents=True, exist_ok=True)
    archive = subprocess.run(["git", "-C", TOP, "archive", commit], check=True,
                             capture_output=True).stdout
    run("tar", "-xf", "-", "-C", folder / "sources", input=archive)
    (folder / "sources/.build-aux/m4").mkdir(parents=True, exist_ok=True)
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    run("autoreconf", "--install", cwd=folder / "sources", **quiet)
    run("sources/configure", "--quiet", "--disable-lua", "--disable-octave", "--disable-java",
        "--disable-csharp", f"CC={variable('CC')}", f"CFLAGS={variable('CFLAGS')}",
        f"PYTHON3={variable('PYTHON3')}", cwd=folder, **quiet)
    run("make", "-s", f"-j{os.cpu_count()}", "all", cwd=folder, **quiet)
    if variable("pypkgdir") or (BUILD / "bindings/python/_dialarc.la").exists():
        run("make", "-s", "bindings/python/uninstalled/stamp", cwd=folder, **quiet)
    (folder / "good").touch()
    return folder


class Side:
    """One of the two builds, and how its rows are measured."""

    def __init__(self, folder, sources, tables):
        self.folder, self.tables = folder, tables
        self.library = folder / ".libs"
        self.timer = tables / f"time_{folder.name}"
        run(*variable("CC").split(), "-std=c11", "-D_POSIX_C_SOURCE=200809L",
            *variable("CFLAGS").split(), f"-I{sources}/include",
            TOP / "tests/bench/time_batch.c", "-o", self.timer, self.library / "libdialarc.so",
            f"-Wl,-rpath,{self.library}", "-lm")

    def timed(self, mode, table):
        said = run(self.timer, mode, self.tables / f"{table}.setups",
                   self.tables / f"{table}.csv", capture_output=True, text=True).stdout
        return float(said.split("\n", 1)[0].split()[2])

    def known(self):
        return self.timed("assess", "known")

    def learned(self):
        return self.timed("assess", "learned")

    def lobes(self):
        return self.timed("lobes", "turn")

    def csv(self):
        program = next(p for p in PROGRAMS if (self.folder / p[0]).exists())
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        done = subprocess.run([self.folder / program[0], *program[1:], "--threads", "1", "--out",
                               self.tables / "results.csv", self.tables / "many.setups",
                               self.tables / "many.csv"], check=False, stderr=subprocess.DEVNULL)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        if done.returncode not in (0, 1):
            sys.exit(f"beside: {program[0]} failed in {self.folder}")
        return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime

    def python(self):
        said = run(variable("PYTHON3"), "-Bc", PYTHON, self.tables / "many.setups",
                   self.tables / "many.csv", capture_output=True, text=True,
                   env={**os.environ, "LD_LIBRARY_PATH": str(self.library),
                        "PYTHONPATH": str(self.folder / "bindings/python/uninstalled")}).stdout
        return float(said)


ROWS = {"known": ("one sweep, law known", "known", 1e6, "us"),
        "learned": ("one sweep, cam learned", "learned", 1e6, "us"),
        "csv": ("CSV to CSV, a sweep, law known", "many", 1e6, "us"),
        "lobes": ("lobes of a whole turn, cam learned", "turn", 1e6, "us"),
        "python": ("Python assess_all, a sweep, law known", "many", 1e6, "us")}
TABLES = {"known": (1000, []), "learned": (60, ["--learned"]), "many": (4000, []),
          "turn": (16, ["--learned", "--turn", "--readings", "400"])}


def quartiles(ratios):
    low, middle, high = statistics.quantiles(ratios, n=4)
    return middle, low, high


def main():
    commit = run("git", "-C", TOP, "rev-parse", "--verify", sys.argv[3] + "^{commit}",
                 capture_output=True, text=True).stdout.strip()
    rows = sys.argv[4:] or list(ROWS)
    if not (BUILD / "bindings/python/uninstalled/stamp").exists() and "python" in rows:
        rows.remove("python")
        print("python: left out, there is no module in this build")
    other, slower = build(commit), []
    with tempfile.TemporaryDirectory() as folder:
        tables = Path(folder)
        for name, (sweeps, options) in TABLES.items():
            with (tables / f"{name}.csv").open("wb") as file:
                run(BUILD / "tests/bench/generate_sweeps", "--setups",
                    tables / f"{name}.setups", *options, sweeps, stdout=file)
        was, now = Side(other, other / "sources", tables), Side(BUILD, TOP, tables)
        print(f"{'what':<40}{commit[:12]:>16}{'now':>16}{'now / then':>12}")
        for name in rows:
            what, table, scale, unit = ROWS[name]
            measured = [(getattr(was, name)(), getattr(now, name)()) for _ in range(ROUNDS)]
            ratio, low, high = quartiles([new / old for old, new in measured])
            old, new = (scale * statistics.median(side) / TABLES[table][0]
                        for side in zip(*measured))
            print(f"{what:<40}{old:>13.4g} {unit}{new:>13.4g} {unit}{ratio:>12.3f}"
                  f"   ({low:.3f} to {high:.3f})", flush=True)
            if ratio > SLOWER:
                slower.append(name)
    if slower:
        print(f"slower than {commit[:12]} by more than 5 %: {' '.join(slower)}")
    return 1 if slower else 0


sys.exit(main())
