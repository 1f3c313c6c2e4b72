# SPDX-License-Identifier: GPL-3.0-or-later
"""Times beside those of peers, everything measured in this run, in one table.

    python3 bench.py BUILD [NAME...]

BUILD is the build folder; with names (sweep, lift, table, csv, threads, memory, readings,
sweeps) only those rows. Work on one thread is measured in processor time, for the machine
may have other work too; rows about threads in time by the clock. Every number is the
median over rounds in which dialarc and its peer take turns; the largest distance of a
round from it stands behind, in per cent. What a missing package leaves out says so.

Environment: BENCH_ROUNDS (5), BENCH_MB (sizes for the memory row, "10 100 1000").
"""
import csv
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import million

os.environ.setdefault("OMP_NUM_THREADS", "1")  # peers work on one thread too
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
BUILD = Path(sys.argv[1])
NAMES = sys.argv[2:]
ROUNDS = int(os.environ.get("BENCH_ROUNDS", "5"))
SIZES_MB = os.environ.get("BENCH_MB", "10 100 1000").split()
GENERATE = BUILD / "tests/bench/generate_sweeps"
TIME = BUILD / "tests/bench/time_batch"
ASSESS = (BUILD / "examples/programs/dialarc", "assess")
FOLDER = Path(tempfile.mkdtemp())
SETUPS, SWEEPS = FOLDER / "setups.csv", FOLDER / "sweeps.csv"
BYTES_A_SWEEP = 3240  # of 120 readings


def missing(*names):
    """What cannot be imported, as a remark; "" when all is there."""
    for name in names:
        try:
            __import__(name)
        except ImportError:
            return f"python3-{name} is not installed"
    return ""


def middle(values):
    """Median, and how far the values lie from it at most, in per cent."""
    median = statistics.median(values)
    return median, 100 * max(abs(v - median) for v in values) / median


def row(what, own, peer="", ratio="", wanted=""):
    print(f"{what:<44}{own:>21}{peer:>21}{ratio:>10}{wanted:>10}", flush=True)


def shown(values, scale, unit):
    median, spread = middle(values)
    return f"{median * scale:.4g} {unit} {spread:3.0f} %"


def compare(what, own, peer, scale, unit, wanted, remark=""):
    """A row with a peer; ratio above 1: dialarc is faster."""
    if remark:
        return row(what, shown(own, scale, unit), remark)
    ratio = middle(peer)[0] / middle(own)[0]
    row(what, shown(own, scale, unit), shown(peer, scale, unit), f"{ratio:.1f}", wanted)


def generate(sweeps, *options):
    with SWEEPS.open("wb") as file:
        subprocess.run([GENERATE, "--setups", SETUPS, *options, str(sweeps)], stdout=file,
                       check=True)


def processor_time(command):
    """Seconds that a program works, and its lines."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run(command, stdout=subprocess.PIPE, check=False)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if done.returncode not in (0, 1):
        sys.exit(f"bench: {command[0]} failed")
    return (after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime,
            done.stdout.decode().splitlines())


def assessed():
    """Seconds a sweep from arrays in memory, and the lifts with their U."""
    first, *rest = processor_time([TIME, "assess", SETUPS, SWEEPS])[1]
    sweeps, _, seconds = first.split()
    return float(seconds) / int(sweeps), [tuple(map(float, line.split())) for line in rest]


def tables():
    """The setups and sweeps as arrays."""
    import numpy as np
    with SETUPS.open() as file:
        setups = {r["setup"]: {k: v if k in ("setup", "cam_law") else float(v or 0)
                               for k, v in r.items()} for r in csv.DictReader(file)}
    sweeps = {}
    with SWEEPS.open() as file:
        for r in csv.DictReader(file):
            sweeps.setdefault((r["sweep"], r["setup"]), []).append(
                (float(r["crank_deg"]), float(r["dial_mm"])))
    return [(setups[setup], *np.array(rows).T.copy())
            for (_, setup), rows in sweeps.items()]


def bench_sweep():
    """One sweep of 120 readings."""
    remark = missing("numpy", "scipy")
    for what, options, sweeps, fits in (("law known", (), 400, 8),
                                        ("cam learned", ("--learned",), 40, 2)):
        generate(sweeps, *options)
        own, peer, apart = [], [], []
        if not remark:
            import scipy_fit
            table = tables()
        for k in range(ROUNDS):
            seconds, lifts = assessed()
            own.append(seconds)
            if remark:
                continue
            begin = time.process_time()
            for i in range(k * fits, (k + 1) * fits):
                lift, _ = scipy_fit.fit(*table[i % sweeps])
                apart.append(abs(lift - lifts[i % sweeps][0]) / lifts[i % sweeps][1])
            peer.append((time.process_time() - begin) / fits)
        compare(f"one sweep, {what}; SciPy, robust fit", own, peer, 1e6, "us", "1000",
                remark)
        if apart:
            row("  lifts apart, in U: median, largest",
                f"{statistics.median(apart):.2f}, {max(apart):.2f}")


def bench_lift():
    remark = missing("numpy")
    if remark:
        return row("lift at 1e6 angles; NumPy", "", remark)
    library = BUILD / ".libs/libdialarc.so"
    if not library.exists():
        return row("lift at 1e6 angles; NumPy", "no shared library")
    import lift_array
    n = 1_000_000
    for law, peer, own, _ in lift_array.measure(str(library), n, 3 * ROUNDS):
        row(f"lift at 1e6 angles, {law}; NumPy", f"{own / n * 1e9:.3g} ns",
            f"{peer / n * 1e9:.3g} ns", f"{peer / own:.1f}", "5")


def bench_table():
    """Parsing alone: 20,000 sweeps."""
    generate(20000)
    size = SWEEPS.stat().st_size / 1e6
    remark = missing("pandas")
    for precision in (None, "round_trip"):
        own, peer = [], []
        for _ in range(ROUNDS):
            line = processor_time([TIME, "parse", SETUPS, SWEEPS])[1][0]
            own.append(size / float(line.split()[2]))
            if not remark:
                import pandas
                begin = time.process_time()
                pandas.read_csv(SWEEPS, engine="c", float_precision=precision)
                peer.append(size / (time.process_time() - begin))
        name = "pandas, C engine" + (", exact" if precision else "")
        if remark:
            return row(f"table to numbers; {name}", shown(own, 1, "MB/s"), remark)
        row(f"table to numbers; {name}", shown(own, 1, "MB/s"), shown(peer, 1, "MB/s"),
            f"{middle(own)[0] / middle(peer)[0]:.1f}")


def to_results(threads):
    begin = time.perf_counter()
    used, _ = processor_time([*ASSESS, "--threads", str(threads), "--out",
                              FOLDER / "results.csv", SETUPS, SWEEPS])
    return used, time.perf_counter() - begin


def bench_csv():
    generate(4000)
    rates = [4000 / to_results(1)[0] for _ in range(ROUNDS)]
    row("CSV to CSV, law known, one core", shown(rates, 1, "sweeps/s"), wanted="50000")


def bench_threads():
    generate(8000)
    one, two = [], []
    for _ in range(ROUNDS):
        one.append(to_results(1)[1])
        two.append(to_results(2)[1])
    row("CSV to CSV, 8000 sweeps: threads 2; 1", shown(two, 1, "s"), shown(one, 1, "s"),
        f"{middle(one)[0] / middle(two)[0]:.2f}", "1.9")


def bench_memory():
    for size in SIZES_MB:
        sweeps = int(float(size) * 1e6 / BYTES_A_SWEEP)
        done = million.stream(BUILD, sweeps)
        if not done or done[0] != sweeps:
            sys.exit("bench: the stream failed")
        row(f"peak memory, {size} MB through a pipe", f"{done[2]:.1f} MB",
            f"({sweeps} sweeps,", f"{sweeps / done[1]:.0f}/s)", "64 MB")


def line(x, y):
    """Slope and intercept, and the largest distance from the line in per cent of the top."""
    slope, cut = statistics.linear_regression(x, y)
    off = max(abs(b - cut - slope * a) for a, b in zip(x, y))
    return slope, cut, 100 * off / max(y)


def bench_readings():
    counts, cost = [30, 60, 120, 240, 480, 960], []
    for count in counts:
        generate(200, "--readings", str(count))
        cost.append(1e6 * statistics.median(assessed()[0] for _ in range(ROUNDS)))
    slope, cut, off = line(counts, cost)
    for count, us in zip(counts, cost):
        row(f"one sweep of {count} readings, law known", f"{us:.4g} us")
    row("  line: us a reading, and a sweep", f"{slope:.3f}, {cut:.1f}", f"off {off:.0f} %")


def bench_sweeps():
    counts, cost = [500, 1000, 2000, 4000], []
    for count in counts:
        generate(count)
        cost.append(1e3 * statistics.median(to_results(1)[0] for _ in range(ROUNDS)))
        row(f"CSV to CSV, {count} sweeps", f"{cost[-1]:.4g} ms")
    slope, cut, off = line(counts, cost)
    row("  line: us a sweep, and ms a run", f"{1e3 * slope:.1f}, {cut:.1f}", f"off {off:.0f} %")


def main():
    print(f"rounds: {ROUNDS}; {os.cpu_count()} processors, load "
          f"{os.getloadavg()[0]:.1f} before")
    row("what; peer", "dialarc", "peer", "ratio", "wanted")
    for name, bench in list(globals().items()):
        if name.startswith("bench_") and (not NAMES or name[6:] in NAMES):
            bench()


try:
    main()
finally:
    for left in FOLDER.iterdir():
        left.unlink()
    FOLDER.rmdir()
