# SPDX-License-Identifier: GPL-3.0-or-later
"""The folders of lib/ are layers: nothing in one uses what a later one brings.

The order of the rooms, and which public headers belong to each, are read from the table
in DEVELOPERS.md. A public header include/dialarc/x.h belongs to the room of its twin
lib/<room>/x.c. Checked are

  - each #include in lib/ and include/dialarc: it leads to the same or an earlier room;
  - each symbol that an object uses (by nm): it is defined in the same or an earlier room;
  - inside a room neither headers nor objects use each other in a circle;
  - each private header has its twin .c beside it, each .c a header of its name.

What does not hold stands in KNOWN, a line each, and goes from there when it holds: an
exception that nothing needs is a fault as well. At the end faults are planted to see
them noticed.
"""
import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections import defaultdict
from pathlib import Path

TOP = Path(os.environ.get("srcdir", ".")).resolve()
INCLUDE = re.compile(r'^\s*#\s*include\s*(?:"(\w+/\w+\.h)"|<dialarc/(\w+)\.h>)', re.M)
KNOWN: set[str] = set()


def read_rooms(top):
    """Room to its public headers, in the order of the table in DEVELOPERS.md."""
    table = re.search(r"^\| room \|.*?\n\n", (top / "DEVELOPERS.md").read_text(), re.M | re.S)
    rows = [row.split("|") for row in table[0].splitlines()[2:] if row.strip()]
    return {row[1].strip(" `"): re.findall(r"`(\w+)`", row[3]) for row in rows}


class Layers:
    """The sources below `top` and their objects below `build`; faults are gathered."""

    def __init__(self, top, build):
        self.top, self.build, self.faults = top, build, set()
        self.rooms = read_rooms(top)
        self.level = {room: number for number, room in enumerate(self.rooms)}
        self.sources = sorted((top / "lib").glob("*/*.c"))
        self.private = sorted((top / "lib").glob("*/*.h"))
        self.public = sorted((top / "include/dialarc").glob("*.h"))
        self.home = {path.stem: path.parent.name for path in self.sources}

    def room(self, path):
        """The room of a file; a public header stands where its twin does."""
        return path.parent.name if path.parent.name in self.rooms else self.home[path.stem]

    def name(self, path):
        return f"{self.room(path)}/{path.name}"

    def check_table(self):
        for room in sorted({p.parent.name for p in self.sources} ^ set(self.rooms)):
            if room in self.rooms:
                continue  # planned, and empty as yet
            self.faults.add(f"lib/{room} is not in the table of DEVELOPERS.md")
        for header in self.public:
            if header.stem not in self.home:
                self.faults.add(f"dialarc/{header.name} has no twin in lib/")
            elif header.stem not in self.rooms.get(self.home[header.stem], []):
                self.faults.add(f"DEVELOPERS.md: `{header.stem}` belongs to "
                                f"{self.home[header.stem]}")
        listed = {name for names in self.rooms.values() for name in names}
        for name in sorted(listed - {header.stem for header in self.public}):
            self.faults.add(f"DEVELOPERS.md: there is no {name}.h")

    def check_twins(self):
        public = {header.stem for header in self.public}
        for header in self.private:
            if not header.with_suffix(".c").exists():
                self.faults.add(f"{self.name(header)} has no twin .c")
        for source in self.sources:
            if source.stem not in public and not source.with_suffix(".h").exists():
                self.faults.add(f"{self.name(source)} has no header")

    def compare(self, user, used, what):
        """One use between rooms given as names 'room/file'."""
        below, above = (self.level.get(name.split("/")[0]) for name in (used, user))
        if below is None or above is None or below > above:
            self.faults.add(f"{user} uses {what}")

    def check_includes(self):
        edges = defaultdict(set)
        for path in self.sources + self.private + self.public:
            for private, public in INCLUDE.findall(path.read_text()):
                target = (self.top / "lib" / private if private else
                          self.top / f"include/dialarc/{public}.h")
                if not target.exists() or (public and public not in self.home):
                    self.faults.add(f"{self.name(path)} includes what is not there: {target}")
                    continue
                used = self.name(target)
                self.compare(self.name(path), used, used)
                if path.suffix == ".h":  # a public and a private header may share a name
                    edges[str(path)].add(str(target))
        for circle in circles(edges):
            self.faults.add("headers in a circle: " +
                            " ".join(sorted(Path(p).name for p in circle)))

    def read_objects(self):
        """For each object, as 'room/stem', the names that it defines and that it uses."""
        files = {}
        for source in self.sources:
            made = self.build / "lib" / source.parent.name / f"{source.stem}.o"
            if not made.exists():
                made = made.parent / ".libs" / made.name
            files[str(made)] = f"{source.parent.name}/{source.stem}"
        said = subprocess.run([*os.environ.get("NM", "nm").split(), "-gA", *files],
                              check=True, capture_output=True, text=True).stdout
        objects = {name: (set(), set()) for name in files.values()}
        for line in said.splitlines():
            made, kind, symbol = re.match(r"(.*?\.o):.* (\w) (\S+)$", line).groups()
            objects[files[made]][kind == "U"].add(symbol)
        return objects

    def check_symbols(self):
        objects, edges = self.read_objects(), defaultdict(set)
        origin = {name: made for made, (defined, _) in objects.items() for name in defined}
        for made, (_, used) in objects.items():
            for name in used & origin.keys():
                other = origin[name]
                self.compare(made, other, f"{name}() of {other}")
                if made.split("/")[0] == other.split("/")[0]:
                    edges[made].add(other)
        for circle in circles(edges):
            self.faults.add("objects in a circle: " + " ".join(sorted(circle)))

    def check(self):
        self.check_table()
        self.check_twins()
        self.check_includes()
        self.check_symbols()
        return self.faults


def circles(edges):
    """The sets of nodes of which each reaches all others, as a list."""
    def reach(start):
        seen, todo = set(), list(edges.get(start, ()))
        while todo:
            node = todo.pop()
            if node not in seen:
                seen.add(node)
                todo += edges.get(node, ())
        return seen

    reached = {node: reach(node) for node in list(edges)}
    return {frozenset(n for n in reached[node] if node in reached.get(n, ()))
            for node in reached if node in reached[node]}


def planted(change):
    """The faults that a change to a copy of the sources and objects brings."""
    with tempfile.TemporaryDirectory() as folder:
        top = Path(folder)
        for name in ("lib", "include"):
            shutil.copytree(TOP / name, top / name, copy_function=os.symlink)
        os.symlink(TOP / "DEVELOPERS.md", top / "DEVELOPERS.md")
        shutil.copytree(Path("lib").resolve(), top / "build/lib", copy_function=os.symlink)
        change(top)
        return Layers(top, top / "build").check()


def write(path, text):
    path.unlink()  # a link to the true file
    path.write_text(text)


def include_upward(top):
    source = top / "lib/core/angle.c"
    write(source, source.read_text() + '#include "many/batch.h"\n')


def symbol_upward(top):
    """The lowest room calls a private function of the last, without any #include."""
    objects = Layers(top, top / "build").read_objects()
    upper = min(name for made, (defined, _) in objects.items() if made.startswith("many/")
                for name in defined if name.startswith("darc_"))
    write(top / "lib/core/angle.c", f"void {upper}(void);\n"
          f"void darc_probe(void)\n{{\n    {upper}();\n}}\n")
    made = top / "build/lib/core/angle.o"
    if not made.exists():
        made = made.parent / ".libs" / made.name
    made.unlink()
    subprocess.run([*os.environ.get("CC", "cc").split(), "-c",
                    str(top / "lib/core/angle.c"), "-o", str(made)], check=True)


def circle(top):
    for one, other in (("angle", "units"), ("units", "angle")):
        header = top / f"include/dialarc/{one}.h"
        write(header, header.read_text() + f"#include <dialarc/{other}.h>\n")


def main():
    faults = Layers(TOP, Path(".")).check()
    said = [*sorted(faults - KNOWN),
            *(f"no longer needed in KNOWN: {known}" for known in sorted(KNOWN - faults))]
    for change, fault in ((include_upward, "core/angle.c uses many/batch.h"),
                          (symbol_upward, "core/angle uses darc_"),
                          (circle, "headers in a circle: angle.h units.h")):
        if not any(noticed.startswith(fault) for noticed in planted(change) - faults):
            said.append(f"{change.__name__}() was planted and not noticed")
    print(*said, sep="\n")
    return 1 if said else 0


sys.exit(main())
