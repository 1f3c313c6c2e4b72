# SPDX-License-Identifier: GPL-3.0-or-later
"""What the public headers say, for Python: names, docstrings, type stubs.

    python3 describe.py INCLUDE FOLDER

reads INCLUDE/dialarc/*.h and writes FOLDER/_headers.py (data: functions with their
arguments and docstrings, structs with their fields, enumerations, constants) and
FOLDER/_c.pyi (the same as type stubs).
"""
import pprint
import sys
from pathlib import Path

from headers import (HANDLES, OTHER_NAMES, PAIRS, STRUCTS, class_name, describe, fields,
                     line, read_constants, read_enums, read_functions, read_structs)
from stubs import stub


def main():
    include, folder = Path(sys.argv[1]), Path(sys.argv[2])
    texts = [path.read_text() for path in sorted((include / "dialarc").glob("*.h"))]
    structs, functions = read_structs(texts), read_functions(texts)
    STRUCTS.update(HANDLES)
    enums, constants = read_enums(texts), read_constants(texts)
    records = {class_name(stem): {
        "doc": line(doc), "fields": [(n, d) for n, _, _, d in fields(body)]}
        for stem, (doc, body) in structs.items()}
    described = {name: describe(name, functions)[0] for name in functions
                 if name not in PAIRS.values()}
    out = ["# SPDX-License-Identifier: GPL-3.0-or-later",
           '"""What the public headers say. Made by describe.py."""']
    for name, value in (("FUNCTIONS", described), ("RECORDS", records), ("ENUMS", enums),
                        ("CONSTANTS", constants), ("OTHER_NAMES", OTHER_NAMES)):
        out.append(f"{name} = " + pprint.pformat(value, width=96, sort_dicts=False))
    (folder / "_headers.py").write_text("\n".join(out) + "\n")
    (folder / "_c.pyi").write_text(stub(functions, structs, enums, constants))


if __name__ == "__main__":
    main()
