# SPDX-License-Identifier: GPL-3.0-or-later
"""Faults in what people read: the texts and the flow of the program and of the Python
package; a part of mutate.py. A fault is noticed when a test of the programs, or of the
package, fails with it.
"""
import os
import random
import re
import shutil
import subprocess

COUNT, LIMIT_S = 3, 120
OPPOSITES = [
    ("earlier", "later"), ("below", "above"), ("counter-clockwise", "clockwise"),
    ("before", "after"), ("less", "more"), ("lower", "higher"), ("first", "last"),
    ("smallest", "largest"), ("least", "most"), ("rising", "falling"), ("add", "remove"),
    ("forwards", "backwards"), ("tighten", "loosen"), ("with", "without"), ("in", "out of"),
    ("too few", "too many"), ("not ", ""), ("mm", "in"), ("degrees", "radians")]
WORDS = [(a, b) for a, b in OPPOSITES] + [(b, a) for a, b in OPPOSITES if b]
CODE = [(r"(?<=[\w)\]]) \+ (?=[\w(])", " - "), (r"(?<=[\w)\]]) - (?=[\w(])", " + "),
        (r"(?<=[\w)\]]) < (?=[\w(-])", " > "), (r"(?<=[\w)\]]) > (?=[\w(-])", " < "),
        (r" == (?=\w)", " != "), (r" && ", " || "), (r"\band\b", "or")]
STRING = re.compile(r'"(?:[^"\\\n]|\\.)*"')


def places(text):
    """(kind, from, to, replacement), the code outside of comments and includes."""
    found, at, comment = [], 0, False
    for line in text.splitlines(keepends=True):
        comment = comment or "/*" in line
        if not comment and not re.match(r"\s*(#|\"\"\"|import|from)", line):
            strings = [m.span() for m in STRING.finditer(line)]
            inside = lambda m: any(a < m.start() and m.end() < b for a, b in strings)
            for a, b in WORDS:
                found += [("word", at + m.start(), at + m.end(), b) for m in
                          re.finditer(rf"(?<![\w-]){re.escape(a)}(?![\w-])" if a.strip() == a
                                      else re.escape(a), line) if inside(m)]
            for pattern, b in CODE:
                found += [("code", at + m.start(), at + m.end(), b)
                          for m in re.finditer(pattern, line) if not inside(m)]
        comment = comment and "*/" not in line
        at += len(line)
    return found


def chosen(name, text, seed):
    draw, some = random.Random(f"{seed} {name}"), places(text)
    kinds = {kind: [p for p in some if p[0] == kind] for kind in ("word", "code")}
    drawn = [draw.choice(kinds[k]) for k in ("word", "code", "word")[:COUNT] if kinds[k]]
    return list(dict.fromkeys(drawn))


def run(command, **more):
    try:
        return subprocess.run(command, capture_output=True, timeout=LIMIT_S, check=False,
                              **more).returncode in (0, 77)
    except subprocess.TimeoutExpired:
        return False


def program(top, build, path, text, folder):
    """The test that notices a fault of the program, None, or "" when it is none."""
    make = (build / "Makefile").read_text()
    value = lambda name: re.search(rf"^{name} = (.*)$", make, re.M)[1].split()
    here = folder / "shadow"
    shutil.rmtree(here, ignore_errors=True)
    (here / "examples/programs").mkdir(parents=True)
    (here / "tests/bench").mkdir(parents=True)
    for other in ("tests/bench/generate_sweeps", "examples/embed", "Makefile"):
        (here / other).symlink_to(build / other)
    source, made = here / path.name, here / "mutant.o"
    source.write_text(text)
    flags = ["-std=c11", "-w", "-D_POSIX_C_SOURCE=200809L", f"-I{top}/include",
             f"-I{path.parent}"]
    flags += value("PROGRAM_CPPFLAGS") + ["-O1"]
    if not run([*value("CC"), *flags, "-c", str(source), "-o", str(made)]):
        return ""
    objects = [o for o in sorted((build / "examples/programs").glob("dialarc-*.o"))
               if o.stem != f"dialarc-{path.stem}"]
    libraries = [word for name in re.findall(r"^[A-Z]+_LIBS(?= = )", make, re.M)
                 for word in re.search(rf"^{name} = (.*)$", make, re.M)[1].split()
                 if word.startswith("-l") and name != "CHECK_LIBS"]
    if not run([*value("CC"), *map(str, objects), str(made), "-o",
                str(here / "examples/programs/dialarc"),
                str(build / ".libs/libdialarc_core.a"), *libraries, "-lm", "-pthread"]):
        return ""
    python = next(iter(value("PYTHON3")), "python3")
    env = {**os.environ, "srcdir": str(top), "PYTHON3": python}  # parts of scripts need it
    for test in ["golden.py", "mechanic.py", *sorted(p.name for p in
                                                     top.glob("tests/programs/*.sh"))]:
        if test == "page_kit.sh":
            continue
        command = [python, "-B"] if test.endswith(".py") else ["bash"]
        if not run([*command, str(top / "tests/programs" / test)], cwd=here, env=env):
            return test
    return None


def package(top, build, path, text, folder):
    """The same for the Python package."""
    here = folder / "package"
    shutil.rmtree(here, ignore_errors=True)
    shutil.copytree(build / "bindings/python/uninstalled", here)
    (here / "dialarc" / path.name).write_text(text)
    env = {**os.environ, "srcdir": str(top), "builddir": str(build), "PYTHONPATH": str(here),
           "LD_LIBRARY_PATH": str(build / ".libs")}
    tests = ["work", "every_function", "records", "arrays", "ten", "plot", "guide", "readme"]
    for test in tests:
        if not run(["/usr/bin/python3", "-B",
                    str(top / f"bindings/python/tests/test_{test}.py")], cwd=here, env=env):
            return test
    return None


def files(top, name):
    """The files that a word of the command line means, and what runs their tests."""
    programs = sorted((top / "examples/programs").glob("*.c"))
    python = sorted((top / "bindings/python/dialarc").glob("*.py"))
    some = [(p, program) for p in programs if name in ("programs", p.stem)]
    return some + [(p, package) for p in python if name in ("python", p.name)]


def plant(top, build, name, seed, folder, planted, found):
    sound = set()  # without a fault nothing may be noticed
    for path, look in files(top, name):
        text = path.read_text()
        if look not in sound:
            test = look(top, build, path, text, folder)
            if test is not None:
                raise SystemExit(f"{path.name}: {test or 'the compiler'} fails without a fault")
            sound.add(look)
        for kind, start, end, replacement in chosen(path.name, text, seed):
            mutant = text[:start] + replacement + text[end:]
            number = text.count("\n", 0, start)
            test = look(top, build, path, mutant, folder)
            if test == "":
                continue
            where = str(path.parent.relative_to(top))
            planted[where] += 1
            found[where] += test is not None
            print(f"{test or 'NOBODY':20} {kind:12} {path.name}:{number + 1}: "
                  f"{mutant.splitlines()[number].strip()}", flush=True)
