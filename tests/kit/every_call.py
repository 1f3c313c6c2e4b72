# SPDX-License-Identifier: GPL-3.0-or-later
"""From the public headers: what keeps a call of each function that computes, with copies of
all it was given, and calls it again after single numbers were changed (every_call.h).

    every_call.py INCLUDE names.h >every_names.h  dialarc_x becomes keep_x where calls are kept
    every_call.py INCLUDE made.c >every_made.c    keep_x, and how x is called again
"""
import re
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "bindings/python"))
import headers  # noqa: E402

headers.LEFT_OUT = re.compile(r"^$")
# Readers of tables have fuzz targets of their own; the rest gives words, counts or memory.
NOT_CALLED = re.compile(
    r"(_free|_load|_read|_new|_get|_find|_count|_header|_next|_dial|_code|_name|_text)$|^read_|"
    r"^(version|stream_assess|law_from_name|findings_\w+|fuel_diesel|setup_unknown)$|"
    r"_per_(in|bar|psi|kgf_c?m|lbf|lbf_ft|lbf_in)$|^k_at_0_celsius$")
# These hand on fields of what they were given, whatever these are.
HANDED_ON = {"joint_timing", "whatif_change"}
MADE = {"camtable_new", "dialcal_new", "learned_cam_new"}  # these compute all the same
# Memory that the library owns: the call gets it as it is, and it is kept.
HANDLES = {"camtable", "dialcal", "learned_cam", "workspace"}
CALLED_BACK = {"model", "progress", "read", "take"}
# Numbers whose length is not `n`.
LENGTHS = {("lobes_assign", "firing_order"): "lobes", ("", "correlation"): "n * n"}
# Arrays in structs, and their lengths.
INSIDE = {"sweep": {"crank_deg": "n", "dial_mm": "n", "direction": "n"},
          "injection": {"crank_rpm": "n", "advance_crank_deg": "n"},
          "batch": {"offset": "sweeps + 1", "crank_deg": "readings",
                    "dial_mm": "readings", "direction": "readings", "setup": "setups",
                    "setup_index": "sweeps"}}
WHOLE = {"int": "EVERY_INT", "size_t": "EVERY_COUNT", "uint32_t": "EVERY_WORD",
         "double": "EVERY_NUMBER"}


def public(include):
    texts = [path.read_text() for path in sorted(Path(include, "dialarc").glob("*.h"))]
    structs = {}
    opaque = set(re.findall(r"typedef struct dialarc_(\w+) dialarc_\w+;", "".join(texts)))
    tables = opaque - HANDLES
    for text in texts:
        for m in headers.STRUCT.finditer(text):
            named = re.search(r"NaN|UNKNOWN|not known", m["doc"])
            structs[m["name"].removeprefix("dialarc_")] = [
                (name, kind, size, doc + (" NaN" if named else ""))
                for name, kind, size, doc in headers.fields(m["body"])]
    functions = {name: f for name, f in headers.read_functions(texts).items()
                 if name in MADE or not (NOT_CALLED.search(name) or
                                         any(a.stem in tables for a in f[2]))}
    return functions, structs, opaque


def is_enum(kind, structs):
    return kind.startswith("dialarc_") and kind[8:] not in structs | dict.fromkeys(HANDLES)


def declaration(name, result, arguments):
    return f"{result.replace(' *', '*')} keep_{name}(" + (", ".join(
        f"{a.type} {a.name}" for a in arguments) or "void") + ")"


def slots(prefix, path, kind, dims, structs, out, field):
    """Lines that name each number of a struct at `path`."""
    for name, inner, size, _ in structs[kind]:
        at, shown = f"{path}->{name}", f"{prefix}{name}"
        bare = inner.replace("const", "").replace("*", "").strip()
        if "*" in inner:
            if name in INSIDE.get(kind, {}):
                length = re.sub(r"[a-z]\w*", lambda m: f"{path}->{m[0]}",
                                INSIDE[kind][name])
                out += array(shown, at, bare, length, structs)
            continue
        if size:
            out += array(shown, at, bare, f"sizeof {at} / sizeof({bare})", structs)
        elif bare in WHOLE:
            out.append(f"    every_slot(c, \"{shown}\", {WHOLE[bare]}, &{at});")
        elif bare.startswith("dialarc_") and bare[8:] in structs:
            out.append(f"    slots_{bare[8:]}(c, &{at});")
        elif bare[8:] not in CALLED_BACK:
            out.append(f"    every_slot(c, \"{shown}\", EVERY_INT, &{at});")


def array(shown, at, bare, length, structs):
    if bare in WHOLE or not (bare.startswith("dialarc_") and bare[8:] in structs):
        kind = "EVERY_PLACE" if bare == "size_t" else WHOLE.get(bare, "EVERY_INT")
        return [f"    every_slots(c, \"{shown}\", {kind}, (void *)(uintptr_t){at}, {length}, sizeof({bare}));"]
    there = "" if length.startswith("sizeof") else f"{at} && "
    return [f"    for (size_t i = 0; {there}i < {length}; i++)",
            f"        slots_{bare[8:]}(c, (dialarc_{bare[8:]} *)(uintptr_t)&{at}[i]);"]


def struct_functions(structs):
    """For each struct: its numbers, copies of what it points to, and whether a result is
    finite."""
    made = []
    for kind, fields in structs.items():
        lines = []
        slots("", "s", kind, 0, structs, lines, "")
        made.append(f"EVERY_MAYBE_UNUSED static void slots_{kind}(every_call *c, "
                    f"dialarc_{kind} *s)\n{{\n" + "\n".join(lines) +
                    "\n    (void)c;\n    (void)s;\n}\n")
        lines = []
        for name, inner, size, doc in fields:
            bare, at = inner.replace("const", "").strip(), f"s->{name}"
            if "*" in inner:
                continue
            if bare == "double":
                unknown = 2 if "HUGE_VAL" in doc else int(bool(
                    re.search(r"NaN|not known|unknown|UNKNOWN", doc)))
                where = f"{at}, sizeof {at} / sizeof(double)" if size else f"&{at}, 1"
                where = f"(const double *){where}" if size else where
                lines.append(f"    every_finite(c, \"{kind}.{name}\", {where}, "
                             f"{unknown or 'unknown'});")
            elif bare.startswith("dialarc_") and bare[8:] in structs:
                some = int("NaN" in doc) or "unknown"
                if size:
                    lines.append(f"    for (size_t i = 0; i < sizeof {at} / sizeof {at}[0]; i++)")
                    lines.append(f"        finite_{bare[8:]}(c, &{at}[i], {some});")
                else:
                    lines.append(f"    finite_{bare[8:]}(c, &{at}, {some});")
        made.append(f"EVERY_MAYBE_UNUSED static void finite_{kind}(every_call *c, "
                    f"const dialarc_{kind} *s, int unknown)\n{{\n" + "\n".join(lines) +
                    "\n    (void)c;\n    (void)s;\n    (void)unknown;\n}\n")
        if kind in INSIDE:
            lines = [f"    s->{name} = every_copy(c, s->{name}, (" + re.sub(
                r"[a-z]\w*", lambda m: f"s->{m[0]}", length) + f") * sizeof *s->{name});"
                for name, length in INSIDE[kind].items()]
            made.append(f"static void inside_{kind}(every_call *c, dialarc_{kind} *s)\n{{\n"
                        + "\n".join(lines) + "\n}\n")
    return made


def order(structs):
    """Structs after those that they contain."""
    done = {}
    while len(done) < len(structs):
        for kind, fields in structs.items():
            needs = {f[1].replace("const", "").replace("*", "").strip()[8:] for f in fields
                     if f[1].replace("const", "").strip().startswith("dialarc_")}
            if kind not in done and all(n in done or n not in structs for n in needs):
                done[kind] = fields
    return done


def function(name, result, arguments, doc, structs):
    """keep_<name>() and again_<name>()."""
    counted = any(a.name == "n" for a in arguments)
    held = "".join(f"    {a.type} {a.name};\n" for a in arguments)
    keep, check = [], []
    more = {"n": "a->n", "size": "a->size", "sweep": "a->sweep->n",
            "batch": "a->batch->sweeps"}  # how long a result may be
    room = " + ".join(["EVERY_ROOM"] + [more[a.name] for a in arguments if a.name in more])
    lengths = {length for (function, _), length in LENGTHS.items() if function == name}
    for a in arguments:
        at, bare = f"a->{a.name}", a.stem
        pointed = "*" in a.type
        if not pointed:
            if bare in ("double", "int", "size_t", "uint32_t") or is_enum(
                    "dialarc_" + bare, structs):
                # Where a whole number says how long an array is, the array ends there.
                if bare not in CALLED_BACK and a.name not in lengths:
                    keep.append(f"    every_slot(c, \"{a.name}\", "
                                f"{WHOLE.get(bare, 'EVERY_INT')}, &{at});")
            continue
        length = LENGTHS.get((name, a.name)) or LENGTHS.get(("", a.name)) or (
            "n" if counted and a.name not in ("scca",) else "1")
        length = re.sub(r"[a-z]\w*", lambda m: f"(size_t)a->{m[0]}", length)
        if a.type == "void *":
            continue
        if bare in HANDLES and "**" not in a.type:
            keep.append(f"    every_pointer(c, \"{a.name}\", (void **)(uintptr_t)&{at});")
        elif bare in HANDLES:
            keep.append(f"    {at} = every_result(c, sizeof *{at});")
            check.append(f"        finite_handle_{bare}(c, *{at});")
        elif a.const and bare == "char":
            keep.append(f"    {at} = every_copy(c, {at}, {at} ? strlen({at}) + 1 : 0);")
            keep.append(f"    every_pointer(c, \"{a.name}\", (void **)(uintptr_t)&{at});")
        elif a.const:
            one = bare in structs and headers.LISTS.get(bare) != a.name and \
                a.name not in ("looks",) or name == "input_sd"
            size = "1" if one else length
            keep.append(f"    {at} = every_copy(c, {at}, {size} * sizeof *{at});")
            if bare in INSIDE:
                keep.append(f"    if ({at})")
                keep.append(f"        inside_{bare}(c, (dialarc_{bare} *)(uintptr_t){at});")
            keep += ["    if (" + at + ") {"] + ["    " + x for x in array(
                a.name, at, ("dialarc_" + bare) if bare in structs or bare == "direction"
                else bare, size, structs)] + ["    }"]
            keep.append(f"    every_pointer(c, \"{a.name}\", (void **)(uintptr_t)&{at});")
        else:
            keep.append(f"    if ({at})")
            keep.append(f"        {at} = every_result(c, ({room}) * sizeof *{at});")
            keep.append(f"    every_pointer(c, \"{a.name}\", (void **)(uintptr_t)&{at});")
            unknown = int(bool(re.search(r"@param\[(?:in,)?out\]\s+" + a.name +
                                         r"\b(?:(?!@).)*(?:NaN|UNKNOWN|not known)", doc, re.S)))
            if name in HANDED_ON:
                continue
            if bare == "double":
                check.append(f"        every_finite(c, \"{a.name}\", {at}, "
                             f"every_size(c, {at}) / sizeof *{at}, {unknown});")
            elif bare in structs and bare != "error":
                check.append(f"        for (size_t i = 0; i < every_size(c, {at}) / sizeof *{at}; i++)")
                check.append("            if (every_written(&" + at + f"[i], sizeof *{at}))")
                check.append(f"                finite_{bare}(c, &{at}[i], 0);")
    call = f"dialarc_{name}(" + ", ".join(f"a->{a.name}" for a in arguments) + ")"
    names = ", ".join(a.name for a in arguments)
    init = "{" + names + "}" if arguments else "{0}"
    if result == "dialarc_status":
        run = (f"    dialarc_status status = {call};\n    if (status >= DIALARC_OK) {{\n" +
               "\n".join(check) + "\n        (void)a;\n    }\n    return (int)status;\n")
    else:
        run = f"    (void){call};\n    (void)c;\n    return EVERY_NO_STATUS;\n"
    return f"""
typedef struct args_{name} {{
{held}}} args_{name};

static int again_{name}(every_call *c)
{{
    args_{name} *a = c->arguments;
{run}}}

{declaration(name, result, arguments)}
{{
    every_call *c = every_new("{name}", again_{name}, sizeof(args_{name}));
    if (c) {{
        args_{name} *a = c->arguments;
        *a = (args_{name}){init};
{chr(10).join('    ' + line for line in keep)}
        every_done(c);
    }}
    return dialarc_{name}({names});
}}
"""


def main():
    include, what = sys.argv[1:]
    functions, structs, opaque = public(include)
    if what == "names.h":
        print("/* Made by every_call.py. */\n#include <dialarc.h>")
        for name, (_, result, arguments) in functions.items():
            if arguments:
                print(declaration(name, result, arguments) + ";")
                print(f"#define dialarc_{name} keep_{name}")
        print("void every_hold(void *kept);")
        for handle in sorted(opaque):
            print(f"#define dialarc_{handle}_free(kept) every_hold(kept)")
        return
    print("/* Made by every_call.py. */\n#define EVERY_CALL_ITSELF\n"
          "#include \"kit/every_call.h\"\n\n#include <string.h>\n")
    called = {n: f for n, f in functions.items() if f[2]}
    for name, (_, result, arguments) in called.items():
        print(declaration(name, result, arguments) + ";")
    print("\n".join(struct_functions(order(structs))))
    for name, (doc, result, arguments) in called.items():
        print(function(name, result, arguments, doc, structs))
    print("const char *const every_function[] = {")
    for name in called:
        print(f"    \"{name}\",")
    print("    0,\n};")


main()
