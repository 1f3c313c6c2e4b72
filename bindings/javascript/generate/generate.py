# SPDX-License-Identifier: GPL-3.0-or-later
"""Makes what the module for JavaScript needs to know of the headers.

    python3 generate.py FOLDER HEADER...

    FOLDER/interface.js   functions, structs, enumerations and constants, as data
    FOLDER/dialarc.d.ts   their types: those of types.d.ts, and one for each of them
    FOLDER/layout.c       the places of fields, which the compiler confirms
    FOLDER/exports        names of the functions to be exported
"""
import json
import re
import sys
from pathlib import Path

import typings
from calls import LEFT_OUT, handles, result, words
from declarations import Declarations, class_name

# Structs of C whose arrays or streams nobody here has.
NO_STRUCTS = {"dialarc_batch", "dialarc_batch_options", "dialarc_batch_result",
              "dialarc_streamed", "dialarc_memory"}
# What the module itself calls, besides.
OWN = ["_dialarc_workspace_new", "_dialarc_errors_text", "_darc_model", "_darc_reader",
       "_malloc", "_free"]


def wrapped(said):
    return [f for f in said.functions.values()
            if not any(re.fullmatch(pattern, f.name) for pattern in LEFT_OUT)]


def field_words(field, handle_names):
    """One field for src/structs.js: its name, what it is, where it stands."""
    kind = {"double": "number"}.get(field.kind, field.kind)
    if field.kind == "char":
        kind = "text" if field.stars else f"chars[{field.dims[0]}]"
    elif field.stars and field.kind not in handle_names:
        kind += "*"
    elif field.name == "n":
        kind = "length"
    dims = "" if field.kind == "char" else "".join(f"[{dim}]" for dim in field.dims)
    return f"{field.name} {kind}{dims} {field.offset}"


def interface(said, names):
    functions = {f.name: [result(f), *(f"{name} {word}" for name, word in words(f, said))]
                 for f in wrapped(said)}
    structs = {said.structs[n].name: [said.structs[n].size] +
               [field_words(f, handles(said)) for f in said.structs[n].fields]
               for n in names}
    constants = {name: value for enum in said.enums.values()
                 for name, value, _ in enum.members}
    constants |= {name: int(value) if value == int(value) else value
                  for name, value in said.constants.items() if not name.endswith("COUNT")}
    made = {class_name(n): n.removeprefix("dialarc_") for n in said.handles
            if not re.match("dialarc_(workspace|sweep_(reader|buffer))$", n)}
    parts = {"functions": functions, "structs": structs, "constants": constants,
             "handles": made}
    return "// Made by generate.py.\n" + "".join(
        f"export const {name} = {lines(part)};\n" for name, part in parts.items()
        ), constants, made


def lines(part):
    """Data with one entry a line."""
    text = json.dumps(part)
    return text if isinstance(part, list) else "{\n" + ",\n".join(
        f"{json.dumps(name)}: {json.dumps(value)}" for name, value in part.items()) + "}"


def declarations(said, names, constants, made, own):
    """dialarc.d.ts: what is written by hand, with the made parts in their places."""
    functions = "".join(typings.function_type(f, said) for f in wrapped(said))
    values = "".join(f"    readonly {name}: {value};\n" if isinstance(value, int) else
                     f"    readonly {name}: number;\n"
                     for name, value in constants.items())
    classes = "".join(f"    readonly {name}: typeof {name};\n" for name in made)
    text = own.replace("    // functions\n", functions).replace(
        "    // constants\n", values).replace("    // classes\n", classes)
    handle_types = "".join(f"export class {name} extends Handle {{\n"
                           f"    private readonly {name}: never;\n}}\n" for name in made)
    return text + "\n" + handle_types + "\n" + "\n".join(typings.enums(said)) + "\n" + \
        "\n".join(typings.structs(said, names))


def layout(said, names):
    checks = "".join(
        f"_Static_assert(sizeof({name}) == {said.structs[name].size}, \"{name}\");\n" +
        "".join(f"_Static_assert(offsetof({name}, {f.name}) == {f.offset}, "
                f"\"{name}.{f.name}\");\n" for f in said.structs[name].fields)
        for name in names)
    head = "/* Made by generate.py. */\n#include <dialarc.h>\n#include <stddef.h>\n"
    return head + checks


def main():
    folder, headers = Path(sys.argv[1]), sys.argv[2:]
    said = Declarations(headers)
    names = [n for n in said.structs if n not in NO_STRUCTS]
    text, constants, made = interface(said, names)
    own = (Path(__file__).parent / "types.d.ts").read_text()
    exported = [f"_dialarc_{f.name}" for f in wrapped(said)] + \
        [f"_dialarc_{n}_free" for n in made.values()] + OWN
    (folder / "interface.js").write_text(text)
    (folder / "dialarc.d.ts").write_text(declarations(said, names, constants, made, own))
    (folder / "layout.c").write_text(layout(said, names))
    (folder / "exports").write_text("\n".join(exported) + "\n")


main()
