# SPDX-License-Identifier: GPL-3.0-or-later
"""What the public headers say: functions, structs, enumerations, constants.

What an argument is follows the rules at the top of ../dialarc.i.
"""
import re
import textwrap

BLOCK = r"/\*\*(?P<doc>(?:(?!\*/).)*)\*/\s*"
FUNCTION = re.compile(BLOCK + r"DIALARC_API\s+(?P<type>[^;()]*?)dialarc_(?P<name>\w+)\s*"
                      r"\((?P<args>[^;]*)\)\s*;", re.S)
STRUCT = re.compile(BLOCK + r"typedef struct (?P<name>\w+) \{(?P<body>.*?)\n\} \w+;",
                    re.S)
ENUM = re.compile(BLOCK + r"typedef enum (?P<name>\w+) \{(?P<body>.*?)\n\} \w+;", re.S)
DEFINE = re.compile(r"^#define DIALARC_(\w+)\s+(?:\\\n\s*)?(\(?-?[\d.][\w.+-]*\)?)", re.M)

# Enumerations: C name, Python name, prefix of the members.
ENUMS = {
    "status": ("Status", ""), "shape": ("Shape", "SHAPE_"), "law": ("Law", "LAW_"),
    "flank": ("Flank", "FLANK_"), "side": ("Side", "SIDE_"),
    "contact": ("Contact", "CONTACT_"), "bezel": ("Bezel", "BEZEL_"),
    "dial_item": ("DialItem", "DIAL_"),
    "proof": ("Proof", "PROOF_"), "finding": ("Finding", "FINDING_"),
    "severity": ("Severity", "SEVERITY_"), "rotation": ("Rotation", "ROTATION_"),
    "window_at": ("WindowAt", "WINDOW_AT_"), "turned": ("Turned", "TURNED_"),
    "turn_back": ("TurnBack", "TURN_BACK_"), "firing_tdc": ("FiringTdc", "FIRING_TDC_"),
    "direction": ("Direction", "DIRECTION_"), "verdict": ("Verdict", "VERDICT_"),
    "advice": ("Advice", "ADVICE_"), "prospect": ("Prospect", "PROSPECT_"),
    "heard": ("Heard", "HEARD_"), "step_code": ("StepCode", "STEP_"),
    "whatif_input": ("WhatifInput", "WHATIF_")}
RENAMED = {"scca": "Scca", "error": "ErrorPlace", "dialcal": "DialCal",
           "dialcheck": "DialCheck",
           "camwear": "CamWear", "camtable": "CamTable", "sweep_record": "Sweep"}
HANDLES = ["camtable", "workspace", "learned_cam", "setups", "sweeps", "sweep_reader",
           "sweep_buffer",
           "jobs", "lifts", "live", "archive", "cams", "dials", "dialcal",
           "rows"]
BY_HAND = ["injection", "sweep", "sweep_record", "job", "cam_record", "memory",
           "batch", "batch_options", "batch_result", "streamed"]
LISTS = {"gauge_lift": "lifts", "stage": "stage", "witness": "witness",
         "round": "rounds", "input": "input"}
SCALARS = {"combined", "effective", "probability", "slope"}
OPTIONAL = {"sd_mm", "height_mm", "correlation", "workspace", "file"}
COUNTED = {"camtable_from_arcs", "camtable_from_cam", "camtable_from_scca",
           "learned_cam_lobe", "design_choose"}  # n is an argument like any other
LEFT_OUT = re.compile(r"_free$|^read_(file|memory)$|^((batch|stream)_)?assess$")
# Fields whose Python name is not that of the C struct, because it names a method.
OTHER_NAMES = {("Cam", "lift_mm"): "total_lift_mm"}
# Fields that tell of an array in the memory of the caller.
HIDDEN = {"error": re.compile(r"size_t (room|count);\s*/\*\*<(?:(?!\*/).)*\*/", re.S)}
# One name for the scalar and the array form.
PAIRS = {"angle_wrap": "angle_wrap_array", "angle_wrap_signed": "angle_wrap_signed_array",
         "cam_lift": "cam_lift_array", "cam_rate": "cam_rate_array",
         "cam_acceleration": "cam_acceleration_array",
         "cam_angle_at_lift": "cam_angle_at_lift_array",
         "dial_travel": "dial_travel_array",
         "conformity_probability": "conformity_probabilities",
         "injection_dynamic": "injection_dynamic_array"}


def class_name(c_name):
    stem = c_name.removeprefix("dialarc_")
    if stem in ENUMS:
        return ENUMS[stem][0]
    return RENAMED.get(stem) or "".join(part.capitalize() for part in stem.split("_"))


def plain(text):
    """A comment of C as text for Python."""
    text = re.sub(r"^[ \t]*\*[ \t]?", "", text, flags=re.M)
    text = re.sub(r"DIALARC_ERR_(\w+)", r"ERR_\1", text)
    text = re.sub(r"DIALARC_UNKNOWN", "NaN", text)
    text = re.sub(r"DIALARC_(\w+)", r"\1", text)
    text = re.sub(r"dialarc_(\w+)\(\)", r"\1()", text)
    text = re.sub(r"dialarc_(\w+)(?![.(\w])",
                  lambda m: class_name(m[1]) if m[1] in ENUMS or m[1] in STRUCTS
                  else m[1], text)
    return re.sub(r"dialarc_(\w+)\.", lambda m: class_name(m[1]) + ".", text
                  ).replace("NULL", "None")


STRUCTS = set()


def line(text):
    return " ".join(plain(text).split())


class Argument:
    def __init__(self, text):
        text = " ".join(text.split())
        self.name = re.search(r"(\w+)$", text)[1]
        self.type = text[:-len(self.name)].strip()
        self.const = self.type.startswith("const ")
        self.stem = self.type.replace("const", "").replace("*", "").strip()
        self.stem = self.stem.removeprefix("dialarc_")

    def role(self, function):
        """'in', 'out' or '' (not seen from Python)."""
        if self.name == "n" and function not in COUNTED:
            return ""
        if function == "lobes_assign" and self.name == "lobes":
            return ""
        if self.name in ("context", "error", "length") and "const" not in self.type:
            return ""
        if self.name in ("text", "size") and function in (
                "error_text", "errors_text", "result_format", "step_text"):
            return "out" if self.name == "text" else ""
        if self.name in ("rows", "size") and function == "cam_format":
            return "out" if self.name == "rows" else ""
        if "*" not in self.type or self.const or "**" not in self.type and \
                self.name in ("workspace", "live", "archive", "reader", "buffer"):
            if self.stem == "sweep_reader" and "**" in self.type:
                return "out"
            return "in"
        if self.stem == "setups" and "**" not in self.type:
            return "in"
        return "out"

    def is_array(self):
        return self.type == "const double *"

    def hint(self, function, scalar=True):
        if self.is_array():
            return "float" if scalar else "_Numbers"
        if self.stem == "double":
            return "float"
        if self.type == "const int *":
            return "Sequence[int]"
        if self.stem in ("int", "size_t", "uint32_t"):
            return "int"
        if self.stem == "char":
            return "_StrPath" if self.name == "path" else "str"
        if self.type == "dialarc_workspace *":
            return "Workspace | None"
        if self.stem == "model":
            return "Callable[[tuple[float, ...]], float]"
        if self.stem == "read":
            return "_Source"
        if LISTS.get(self.stem) == self.name and function != "input_sd":
            return f"Sequence[{class_name(self.stem)}]"
        name = class_name(self.stem)
        return f"{name} | str | int" if self.stem in ENUMS else name


def split_doc(doc):
    """Parts of a Doxygen block: [(tag, name, text)]; the first has no tag."""
    doc = re.sub(r"^[ \t]*\*[ \t]?", "", doc.strip("*\n "), flags=re.M)
    parts, pattern = [], re.compile(r"^@(brief|param\[[a-z,]+\]|return|note|par) ?", re.M)
    marks = list(pattern.finditer(doc))
    for mark, after in zip(marks, marks[1:] + [None]):
        text = doc[mark.end():after.start() if after else len(doc)]
        tag, name = mark[1].split("[")[0], ""
        if tag == "param":
            name, text = re.match(r"\s*(\w+)\s+(.*)", text, re.S).groups()
        if tag == "par":
            name, _, text = text.partition("\n")
        parts.append((tag, name.strip(), text))
    return parts


def wrap(text, indent=""):
    return textwrap.fill(line(text), 88, initial_indent=indent,
                         subsequent_indent=indent + ("    " if indent else ""))


def docstring(function, doc, arguments, forms):
    """The docstring of a function from its block."""
    out, parts = [], split_doc(doc)
    roles = {a.name: a.role(function) for a in arguments}
    brief, *rest = parts[0][2].strip().split("\n\n")
    out += [line(brief)] + [wrap(text) for text in rest]
    heads = {"in": "Arguments:", "out": "Result:"}
    for way in ("in", "out"):
        seen = [(name, text) for tag, name, text in parts
                if tag == "param" and roles.get(name) == way]
        if seen:
            out.append("\n".join([heads[way]] + [wrap(f"{name}: {text}", "    ")
                                                for name, text in seen]))
    for tag, name, text in parts:
        if tag == "return" and any(a.role(function) == "out" for a in arguments) or \
                tag == "return" and "DIALARC_OK" in text:
            text = re.sub(r"DIALARC_OK[,;]?\s*|DIALARC_ERR_NULL[,.;]?\s*(\(null\))?", "",
                          text)
            if text.strip(" .\n"):
                out.append(wrap("Raises DialarcError: " + text.strip(" ;,")))
        elif tag == "return":
            out.append(wrap("Returns: " + text))
        elif tag == "note":
            out.append(wrap("Note: " + text))
        elif tag == "par":
            out.append(wrap(f"{name}: {text}"))
    out.append("In C: " + ", ".join(f"dialarc_{form}()" for form in forms))
    return "\n\n".join(out)


def read_functions(texts):
    found = {}
    for text in texts:
        for m in FUNCTION.finditer(text):
            if not LEFT_OUT.search(m["name"]):
                args = "" if m["args"].strip() == "void" else m["args"]
                found[m["name"]] = (m["doc"], " ".join(m["type"].split()),
                                    [Argument(a) for a in args.split(",") if a.strip()])
    return found


def about_arrays(what, outs):
    """What a docstring says of arguments that may be arrays, and of `out`."""
    text = f"A number or an array for {what}: the "
    if outs == 1:
        return text + ("result is alike. out: an array of float64 for the result; it may "
                       "be the argument itself.")
    return text + (f"results are alike. out: a tuple of {outs} arrays of float64 for "
                   "them, apart from all others.")


def describe(name, functions):
    """Everything about one function as Python sees it."""
    array_name = PAIRS.get(name)
    doc, result, arguments = functions[name]
    array_arguments = functions[array_name][2] if array_name else arguments
    shown = [a for a in arguments if a.role(name) == "in"]
    array_inputs = [a.name for a in array_arguments if a.is_array() and
                    a.name != "correlation"]
    takes_sweep = any(a.stem == "sweep" for a in arguments)
    takes_arrays = bool(array_inputs) or takes_sweep
    outs = [a.name for a in array_arguments if a.type == "double *" and takes_arrays and
            a.name not in SCALARS]
    vary = tuple((i, a.name) for i, a in enumerate(shown) if a.name in array_inputs)
    names = tuple(a.name for a in shown)
    optional = [a.name in OPTIONAL for a in shown]
    required = len(names) - next((i for i, o in enumerate(reversed(optional)) if not o),
                                 len(names))
    signature = [n + ("=None" if i >= required else "") for i, n in enumerate(names)]
    if outs:
        signature += ["*", "out=None"]
    text = docstring(name, doc, arguments, [name] + ([array_name] if array_name else []))
    if outs and not takes_sweep:
        head, _, tail = text.partition("\n\nIn C: ")
        head += "\n\n" + wrap(about_arrays(" and ".join(n for _, n in vary), len(outs)))
        text = head + "\n\nIn C: " + tail
    return {"array": array_name, "pair": bool(array_name), "names": names,
            "required": required, "outs": len(outs), "vary": vary,
            "results": result_names(name, functions),
            "signature": "(" + ", ".join(signature) + ")", "doc": text,
            "scalar": bool(array_name) or not outs}, shown, result


def result_names(name, functions):
    """Class and names of several results; None of one or none."""
    names = tuple(a.name for a in functions[name][2] if a.role(name) == "out")
    made = "".join(part.capitalize() for part in name.split("_"))
    return (made, names) if len(names) > 1 else None


def result_hint(name, functions, scalar):
    if result_names(name, functions):
        return result_names(name, functions)[0]
    return result_hints(name, functions, scalar)[0]


def result_hints(name, functions, scalar):
    """Types of the results."""
    _, result, arguments = functions[name]
    hints = []
    takes = any(a.is_array() or a.stem == "sweep" for a in arguments) or \
        name in COUNTED or name in PAIRS
    for a in arguments:
        if a.role(name) != "out":
            continue
        if a.name == "slope":
            hints.append("tuple[Outcome, ...]" if a.stem == "outcome" else
                         "tuple[float, ...]")
        elif a.type == "double *":
            array = takes and not scalar and a.name not in SCALARS
            hints.append("_Array" if array else "float")
        elif a.stem == "int" and name == "lobes_assign":
            hints.append("tuple[int, ...]")
        elif a.stem == "sweep_record":
            hints.append("Sweep | None")
        else:
            hints.append({"int": "int", "size_t": "int", "char": "str"}.get(a.stem) or
                         class_name(a.stem))
    if not hints:
        bare = result.replace("const", "").replace("*", "").strip()
        return [{"dialarc_status": "None", "void": "None", "double": "float",
                 "int": "int", "size_t": "int", "char": "str"}.get(bare) or
                class_name(bare)]
    return hints


def read_structs(texts):
    found = {}
    for text in texts:
        for m in STRUCT.finditer(text):
            stem = m["name"].removeprefix("dialarc_")
            STRUCTS.add(stem)
            if stem not in BY_HAND:
                body = HIDDEN[stem].sub("", m["body"]) if stem in HIDDEN else m["body"]
                found[stem] = (m["doc"], body)
    return found


def fields(body):
    """[(name, type, sizes, comment)] of a struct."""
    found = []
    pieces = re.findall(r"/\*\*(?P<before>(?!<)(?:(?!\*/).)*)\*/|"
                        r"(?P<decl>[\w \n\t]+?[ *](?P<name>\w+)\s*"
                        r"(?P<size>(?:\[[^]]*\])*)\s*;)"
                        r"(?:\s*/\*\*<(?P<after>(?:(?!\*/).)*)\*/)?", body, re.S)
    before = ""
    for comment, decl, name, size, after in pieces:
        if not decl:
            before = comment
            continue
        kind = decl.split(";")[0]
        end = kind.rindex(name, 0, len(kind) - len(size) or None)
        kind = " ".join(kind[:end].split())
        found.append((name, kind, size.count("["), line(after or before)))
        before = ""
    return found


def field_hint(stem, name, kind, dims):
    kind = kind.replace("const", "").strip()
    base = {"double": "float", "int": "int", "size_t": "int", "uint32_t": "int",
            "char": "str"}.get(kind) or class_name(kind)
    if kind == "char":
        return "str"
    if kind.endswith("*"):  # a handle, or nothing
        base = class_name(kind.removesuffix("*").strip()) + " | None"
    if stem == "findings" and name == "row":
        base = "int | None"
    for _ in range(dims):
        base = f"tuple[{base}, ...]"
    return base


def enum_members(body, prefix):
    value, found = -1, []
    for m in re.finditer(r"DIALARC_(\w+)(?:\s*=\s*(-?\d+))?\s*,?\s*"
                         r"(?:/\*\*<((?:(?!\*/).)*)\*/)?",
                         re.sub(r"(?<!\w)/\*(?!\*).*?\*/", "", body), re.S):
        value = int(m[2]) if m[2] else value + 1
        if not m[1].endswith("COUNT"):
            found.append((m[1].removeprefix(prefix), value, line(m[3] or "")))
    return found


def read_enums(texts):
    found = {}
    for text in texts:
        for m in ENUM.finditer(text):
            name, prefix = ENUMS[m["name"].removeprefix("dialarc_")]
            found[name] = (line(m["doc"]), enum_members(m["body"], prefix))
    return found


def read_constants(texts):
    found = {}
    for text in texts:
        for name, value in DEFINE.findall(text):
            value = value.strip("()")
            found[name] = float(value) if re.search(r"[.e]", value) else int(value)
    return found
