# SPDX-License-Identifier: GPL-3.0-or-later
"""Lines and branches of lib/ that the tests reach, a file a line and in all.

    coverage.py INFO

INFO is what lcov wrote. Lines that no test can reach stand in coverage.allow with the
reason. The program fails when any other line was not reached, when one of these was, and
when less than 95 % of the branches were taken.
"""
import os
import re
import sys
from collections import Counter, defaultdict
from pathlib import Path

TOP = Path(os.environ.get("srcdir", Path(__file__).resolve().parent.parent.parent))
BRANCHES = 0.95


def read(info):
    """For each file its lines, number to count, and its branches, whether each was taken."""
    lines, branches, file = defaultdict(Counter), defaultdict(list), None
    for record in Path(info).read_text().splitlines():
        kind, _, rest = record.partition(":")
        if kind == "SF":
            file = re.search(r"lib/[^/]+/[^/]+$", rest)[0]
        elif kind == "DA":
            number, count = rest.split(",")[:2]
            lines[file][int(number)] += int(count)
        elif kind == "BRDA":
            branches[file].append(rest.split(",")[3] not in ("-", "0"))
    return lines, branches


def allowed():
    """Lines that nothing reaches: 'file: line' to the reason."""
    text = (TOP / "tests/long/coverage.allow").read_text().splitlines()
    return dict(line.split(" ## ") for line in text if line and not line.startswith("#"))


def row(name, reached, lines, taken, branches):
    of = lambda n, m: f"{n:5} of {m:5}, {100 * n / m if m else 100:6.2f} %"
    print(f"{name:32} lines {of(reached, lines)}   branches {of(taken, branches)}")


def main():
    lines, branches = read(sys.argv[1])
    reasons, faults, met = allowed(), [], set()
    for file in sorted(lines):
        text = (TOP / file).read_text().splitlines()
        counts, taken = lines[file], branches[file]
        row(file, sum(c > 0 for c in counts.values()), len(counts), sum(taken), len(taken))
        for number, count in sorted(counts.items()):
            line = f"{file}: {text[number - 1].strip()}"
            if count == 0 and line in reasons:
                met.add(line)
                print(f"    left out {number}: {text[number - 1].strip()}: {reasons[line]}")
            elif count == 0:
                faults.append(f"not reached: {file}:{number}: {text[number - 1].strip()}")
    counts = [c for file in lines.values() for c in file.values()]
    taken = [b for file in branches.values() for b in file]
    row("all", sum(c > 0 for c in counts), len(counts), sum(taken), len(taken))
    faults += [f"in coverage.allow, but reached or gone: {line}" for line in reasons.keys() - met]
    if sum(taken) < BRANCHES * len(taken):
        faults.append(f"fewer branches than {100 * BRANCHES:.0f} %")
    print("\n".join(faults))
    return 1 if faults else 0


sys.exit(main())
