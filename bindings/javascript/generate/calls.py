# SPDX-License-Identifier: GPL-3.0-or-later
"""What each function takes and gives, one word an argument, for src/calls.js.

    number int size uint text        and the names of enumerations: one value
    Cam  Stage[]  Setups             a struct, a list of structs, a handle
    numbers  numbers?  square?       an array; "?" may be left out; square: n times n
    ints                             whole numbers, the argument before is their length
    model  contents                  a function; a table as text
    count                            a true argument, the length of the results
    length workspace error room null context      not seen by who calls
    =...                             a result
"""
from declarations import class_name

# Not arrays although arrays go in (`double *SCALAR` in ../../interface).
SCALARS = {"combined", "effective", "probability"}
OPTIONAL = {"sd_mm", "height_mm"}
# Here n is an argument like any other (`size_t COUNT` in ../../interface).
COUNTED = {"camtable_from_arcs", "camtable_from_cam", "camtable_from_scca",
           "learned_cam_lobe", "design_choose"}

# What is not here, and why. README.md says the same; tests/functions.js holds both to it.
LEFT_OUT = {
    r".*_load|read_file|stream_assess": "files: your host reads them, hand over text",
    r"batch_assess": "threads: a sweep takes milliseconds",
    r"sweep_(reader|buffer)_.*|read_memory": "streams: the table is text in memory",
    r".*_free": "dispose() frees",
    r"workspace_new": "one thread, one workspace, which the module keeps",
    r"errors?_text": "the message of the exception",
}


def words(function, said):
    """[(name, word)] of the arguments of a function."""
    return [(a.name, word(function, i, said)) for i, a in enumerate(function.arguments)]


def word(function, i, said):
    argument = function.arguments[i]
    stem = argument.type.replace("const", "").replace("*", "").strip()
    stars, const = argument.type.count("*"), argument.type.startswith("const")
    before = function.arguments[i - 1] if i else None
    if argument.name == "n":
        return "count" if function.name in COUNTED else "length"
    if stem == "dialarc_workspace" and stars == 1:
        return "workspace"
    special = {"dialarc_error": "error", "dialarc_model": "model",
               "dialarc_read": "contents"}.get(stem)
    if special or argument.name == "context":
        return special or "context"
    if stem == "char" and not const:
        return "=text 400*" if argument.name == "rows" else "=text 2048"
    if argument.name in ("size", "length") and stem == "size_t":
        return "null" if stars else "room"
    if stem == "char":
        return "text"
    if stem == "int" and stars:
        return "ints" if const else "=ints" if lists(function) else "=int"
    if stem == "int" and i + 1 < len(function.arguments) and \
            function.arguments[i + 1].type == "const int *":
        return "length"
    if stem == "double" and stars:
        return numbers(function, argument, const)
    return other(said, stem, stars, const, before, argument)


def lists(function):
    return any(a.type == "const int *" for a in function.arguments)


def numbers(function, argument, const):
    """An array, or one number as a result."""
    if const:
        if argument.name == "correlation":
            return "square?"
        return "numbers?" if argument.name in OPTIONAL else "numbers"
    if argument.name == "residual_mm":
        return "=readings"
    arrays = function.name in COUNTED or any(
        a.type == "const double *" and a.name != "correlation"
        for a in function.arguments)
    if argument.name == "slope" or arrays and argument.name not in SCALARS:
        return "=numbers"
    return "=number"


def other(said, stem, stars, const, before, argument):
    kind = {"double": "number", "size_t": "size", "uint32_t": "uint"}.get(stem) or \
        ("int" if stem == "int" else class_name(stem))
    if stars == 2 or stars and not const and kind not in handles(said):
        many = f"[{int(said.constants['WHATIF_COUNT'])}]" \
            if (stem, argument.name) == ("dialarc_outcome", "slope") else ""
        return "=" + kind + many
    if stars and before and before.name == "n":
        return kind + "[]"
    return kind + "!" if stars and not const and kind == "Setups" else kind


def handles(said):
    return {class_name(name) for name in said.handles}


def result(function):
    """What C returns: status, number, int, size, text, an enumeration, or a struct."""
    c_type = function.result.replace("const", "").strip()
    stem = c_type.rstrip(" *")
    plain = {"dialarc_status": "status", "double": "number", "int": "int",
             "size_t": "size", "char": "text", "void": "nothing"}.get(stem)
    if plain:
        return plain
    return class_name(stem) + ("*" if "*" in c_type else "")
