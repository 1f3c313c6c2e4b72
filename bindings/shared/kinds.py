# SPDX-License-Identifier: GPL-3.0-or-later
"""What each function gives back, for languages with types: Java and C#.

    python3 kinds.py HEADER... >kinds.i

A function of C gives its results through its last arguments, and SWIG chooses the type
that a function returns from its name alone: so each name gets its kind here.
"""
import re
import sys
from pathlib import Path

FUNCTION = re.compile(r"dialarc_status\s+(\w+)\s*\(([^;{]*)\)\s*;")
ENUMERATION = re.compile(r"typedef enum (\w+)")
NOT_RESULTS = {"workspace", "live", "reader", "buffer", "error", "length", "context",
               "archive", "size", "residual_mm", "data", "memory", "file"}
SCALARS = {"combined", "effective", "probability"}


def kind(arguments, enumerations):
    """The macro for these arguments, and what it takes besides the name."""
    parts = [re.fullmatch(r"(.*?)(\w+)", " ".join(a.split())).groups()
             for a in arguments.split(",")]
    parts = [(t.strip(), name) for t, name in parts]
    outs = [(t, name) for t, name in parts
            if t.endswith("*") and (not t.startswith("const") or t.endswith("**")) and
            (name not in NOT_RESULTS or t.endswith("**"))]
    if not outs:
        return "NOTHING", ""
    types = [t.removesuffix("*").strip() for t, _ in outs]
    if types[0] in ("char", "const char *"):
        return "TEXT", ""
    if types[0] == "size_t":
        return "WHOLE", ""
    if types[0] == "int":
        return "WHOLES", ""
    if types[0] == "double":
        arrays = any(t == "const double *" and name != "correlation" for t, name in parts)
        arrays = arrays or any(name in ("points", "residuals") for _, name in parts)
        if any(name == "slope" for _, name in outs) or arrays and len(outs) > 1:
            return "ARRAYS", ""
        if arrays and outs[0][1] not in SCALARS:
            return "ARRAY", ""
        return ("NUMBER" if len(outs) == 1 else "NUMBERS"), ""
    if types[0].endswith("*"):
        return "OBJECT", types[0].removesuffix("*").strip()
    return ("WORD" if types[0] in enumerations else "OBJECT"), types[0]


def main():
    print("/* Made by kinds.py. */")
    texts = [re.sub(r"/\*.*?\*/", "", Path(path).read_text(), flags=re.S)
             for path in sys.argv[1:]]
    enumerations = {name for text in texts for name in ENUMERATION.findall(text)}
    for text in texts:
        for name, arguments in FUNCTION.findall(text):
            what, besides = kind(arguments, enumerations)
            print(f"DARC_GIVES_{what}({name}{', ' if besides else ''}{besides})")


main()
