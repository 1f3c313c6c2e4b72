# SPDX-License-Identifier: GPL-3.0-or-later
"""An archive of sweeps becomes one results table, by as many workers as there are.

    python3 fleet_dask.py SETUPS FOLDER [--out FILE] [--workers N | --scheduler ADDRESS]

Every *.csv and *.csv.gz in FOLDER and below is a sweeps table. Dask's distributed
scheduler hands them to workers: N processes of this machine, which are started again when
they are killed, or those of a cluster that stands (dask-scheduler, dask-worker), whose
machines see FOLDER by the same name. The results table has the column `file` in front.

A worker only returns the rows of a file; this process alone writes them, in the order of
the names. So each file stands in the result once, however often it was begun.

Exit status: 0 all files were assessed; 1 some could not be, and are named; 2 nothing was
written.
"""
import argparse
import csv
import gzip
import io
import os
import sys
import tempfile
from pathlib import Path

import dialarc


def assess_file(setups, folder, name):
    """The rows of one file, as text. It needs nothing else, so that any scheduler can
    call it anywhere and as often as it wants.

    setups: bytes of the setups table. name: of the file, below folder.
    """
    opened = gzip.open if name.endswith(".gz") else open
    with opened(os.path.join(folder, name), "rb") as table:
        text = dialarc.stream_assess(table, dialarc.read_setups(setups), 1)
    rows = csv.reader(io.StringIO(text, newline=""))
    next(rows)
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator="\n").writerows([name, *row] for row in rows)
    return out.getvalue()


def find_files(folder, without=()):
    """Names of the sweeps tables below a folder, sorted; `without`: paths to leave out."""
    without = {Path(path).resolve() for path in without}
    names = sorted(path.relative_to(folder).as_posix() for path in Path(folder).rglob("*")
                   if path.name.endswith((".csv", ".csv.gz")) and path.is_file()
                   and path.resolve() not in without)
    for name in names:
        if name + ".gz" in names:
            raise ValueError(f"{name} is there twice, once compressed: keep one of them")
    return names


def assess_fleet(client, setups, folder, names, assess=assess_file):
    """Yields (name, rows, fault) for each file in order; one of the last two is None.

    client: distributed.Client. A file whose worker died is given to others by the
    scheduler. When that has happened too often, perhaps a neighbour was to blame: the
    file gets one more chance by itself, when all others are done.
    """
    from distributed import KilledWorker, wait

    futures = [client.submit(assess, setups, folder, name, pure=False) for name in names]
    for place, name in enumerate(names):
        rows, fault = None, None
        try:
            try:
                rows = futures[place].result()
            except KilledWorker:
                wait(futures[place + 1:])
                rows = client.submit(assess, setups, folder, name, pure=False).result()
        except KilledWorker:
            fault = "each worker that took it has died"
        except (dialarc.DialarcError, OSError, EOFError, gzip.zlib.error) as error:
            fault = str(error)
        futures[place] = None    # the workers may forget it
        yield name, rows, fault


def write_results(out, results):
    """Writes them to a path, as a whole or not at all. Returns the faults by name."""
    faults = {}
    handle, temporary = tempfile.mkstemp(dir=Path(out).resolve().parent, prefix=".fleet")
    try:
        with open(handle, "w", encoding="utf-8", newline="") as file:
            file.write("file," + dialarc.results_header())
            for name, rows, fault in results:
                if fault is None:
                    file.write(rows)
                else:
                    faults[name] = fault
        mask = os.umask(0)
        os.umask(mask)
        os.chmod(temporary, 0o666 & ~mask)
        os.replace(temporary, out)
    except BaseException:
        os.unlink(temporary)
        raise
    return faults


def local_cluster(workers, **more):
    """Workers of this machine. Left to itself, Dask gives one up that takes 15 s to start
    again, as on a busy machine it may, and when the last one has gone all wait for ever."""
    import dask
    from distributed import LocalCluster
    dask.config.set({"distributed.deploy.lost-worker-timeout": "1 hour"})
    return LocalCluster(n_workers=workers, threads_per_worker=1, dashboard_address=None,
                        **more)


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("setups")
    parser.add_argument("folder")
    parser.add_argument("--out", default="results.csv")
    where = parser.add_mutually_exclusive_group()
    where.add_argument("--workers", type=int, default=os.cpu_count())
    where.add_argument("--scheduler", help="address of a scheduler, tcp://host:8786")
    options = parser.parse_args()
    try:
        from distributed import Client
        setups = Path(options.setups).read_bytes()
        dialarc.read_setups(setups)    # complains here rather than on each worker
        folder = str(Path(options.folder).resolve(strict=True))
        names = find_files(folder, without=(options.setups, options.out))
        cluster = options.scheduler or local_cluster(options.workers)
        with Client(cluster) as client:
            faults = write_results(options.out,
                                   assess_fleet(client, setups, folder, names))
        if not options.scheduler:
            cluster.close()
    except (ImportError, ValueError, OSError, dialarc.DialarcError) as error:
        print(f"fleet_dask: {error}", file=sys.stderr)
        return 2
    for name, fault in faults.items():
        print(f"fleet_dask: {name}: {fault}", file=sys.stderr)
    print(f"{len(names) - len(faults)} of {len(names)} files: {options.out}")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
