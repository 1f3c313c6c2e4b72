# SPDX-License-Identifier: GPL-3.0-or-later
"""A million sweeps of 120 readings through a pipe in one run, in memory that stays flat.

    python3 million.py BUILD [SWEEPS [MEGABYTES]]

Says how long it took and the peak memory of dialarc assess; fails when that is above the
limit (64 MB) or when a sweep has no row in the result.
"""
import subprocess
import sys
import tempfile
import time
from pathlib import Path


def peak_mb(pid, so_far):
    """Peak memory so far of a process that may have ended. (What wait4() tells counts the
    memory of this program too, from before the other one was loaded.)"""
    try:
        status = Path(f"/proc/{pid}/status").read_text()
        return int(status.split("VmHWM:")[1].split()[0]) / 1024
    except (OSError, IndexError):
        return so_far


def stream(build, sweeps):
    """(rows of the result, seconds, peak memory in MB), or None when it failed."""
    with tempfile.TemporaryDirectory() as folder:
        setups, results = Path(folder, "setups.csv"), Path(folder, "results.csv")
        generate = [build / "tests/bench/generate_sweeps", "--setups", setups]
        subprocess.run([*generate, "0"], stdout=subprocess.DEVNULL, check=True)
        begin, memory = time.perf_counter(), 0.0
        source = subprocess.Popen([generate[0], str(sweeps)], stdout=subprocess.PIPE)
        work = subprocess.Popen([build / "examples/programs/dialarc", "assess", "--out",
                                 results, setups, "-"], stdin=source.stdout)
        source.stdout.close()
        while work.poll() is None:
            memory = peak_mb(work.pid, memory)
            time.sleep(0.01)
        seconds = time.perf_counter() - begin
        if source.wait() or work.returncode not in (0, 1):
            return None
        with results.open("rb") as rows:
            return sum(1 for _ in rows) - 1, seconds, memory


def main(build, sweeps=1_000_000, limit=64):
    done = stream(build, sweeps)
    if not done:
        return 1
    rows, seconds, memory = done
    print(f"{rows} of {sweeps} sweeps in {seconds:.1f} s ({rows / seconds:.0f} a second), "
          f"peak memory {memory:.1f} MB, limit {limit} MB")
    return 0 if rows == sweeps and memory <= limit else 1


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]), *map(int, sys.argv[2:])))
