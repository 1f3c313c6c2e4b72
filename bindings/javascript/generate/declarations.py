# SPDX-License-Identifier: GPL-3.0-or-later
"""What the public headers declare, with the places of fields in memory of WebAssembly.

Everything stands in the headers; of what an argument is to other languages, the rules at
the top of ../../interface/dialarc.i hold.
"""
import re
import sys
from collections import namedtuple
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "python"))
from headers import DEFINE, ENUM, ENUMS, FUNCTION, RENAMED, STRUCT  # noqa: E402

HANDLE = re.compile(r"typedef struct (\w+) \1;")
FIELD = re.compile(r"(?P<type>[\w ]+?)(?P<star> ?\*)?\b(?P<name>\w+)"
                   r"(?P<dims>(\[[^]]*\])*)$")
COMMENT = re.compile(r"/\*.*?\*/", re.S)
WORDS = {"double": ("double", 8), "int": ("int", 4), "size_t": ("size", 4),
         "uint32_t": ("uint", 4), "char": ("char", 1)}

Argument = namedtuple("Argument", "type name")       # type as in C, with its stars
Function = namedtuple("Function", "name result arguments doc")
Field = namedtuple("Field", "name kind stars dims offset doc")
Struct = namedtuple("Struct", "name fields size align doc")
Enum = namedtuple("Enum", "name members doc")        # members: (name, value, doc)


def class_name(c_name):
    """Cam of dialarc_cam: the name that other languages use."""
    stem = c_name.removeprefix("dialarc_")
    if stem in ENUMS:
        return ENUMS[stem][0]
    if stem == "sweep_record":
        return "SweepRecord"
    return RENAMED.get(stem) or "".join(part.capitalize() for part in stem.split("_"))


class Declarations:
    def __init__(self, paths):
        self.text = "\n".join(Path(path).read_text() for path in paths)
        self.constants = {name: float(value.strip("()"))
                          for name, value in DEFINE.findall(self.text)}
        self.enums = {m["name"]: self.enum(m) for m in ENUM.finditer(self.text)}
        found = {m["name"]: m for m in STRUCT.finditer(self.text)}
        self.handles = [n for n in HANDLE.findall(self.text) if n not in found]
        self.structs = {}
        while len(self.structs) < len(found):       # those within others come first
            for name, match in found.items():
                needs = {n for n in found if re.search(rf"\b{n} \w", match["body"])}
                if name not in self.structs and needs <= set(self.structs):
                    self.structs[name] = self.struct(match)
        self.functions = {m["name"]: self.function(m)
                          for m in FUNCTION.finditer(self.text)}

    def number(self, text):
        """The value of a dimension such as DIALARC_RISE_INTERVALS + 1."""
        first, _, more = text.partition("+")
        first = first.strip().removeprefix("DIALARC_")
        return int(self.constants.get(first) or first) + int(more or 0)

    def enum(self, match):
        value, members = -1, []
        body = re.sub(r"(?<!\w)/\*(?!\*).*?\*/", "", match["body"], flags=re.S)
        for m in re.finditer(r"DIALARC_(\w+)(?:\s*=\s*(-?\d+))?\s*,?\s*"
                             r"(?:/\*\*<((?:(?!\*/).)*)\*/)?", body, re.S):
            value = int(m[2]) if m[2] else value + 1
            if m[1].endswith("COUNT"):
                self.constants[m[1]] = value
            else:
                members.append((m[1], value, m[3] or ""))
        return Enum(class_name(match["name"]), members, match["doc"])

    def kind(self, c_type):
        """(kind, size, alignment) of what is no pointer."""
        if c_type in WORDS:
            return *WORDS[c_type], WORDS[c_type][1]
        if c_type in self.enums:
            return self.enums[c_type].name, 4, 4
        made = self.structs.get(c_type)
        if made:
            return made.name, made.size, made.align
        return class_name(c_type), 4, 4     # a handle or a function: a pointer

    def struct(self, match):
        fields, offset, widest = [], 0, 4
        for text, doc in declared(match["body"]):
            m = FIELD.match(text)
            c_type = m["type"].replace("const ", "").strip()
            kind, size, align = self.kind(c_type)
            if m["star"]:
                size = align = 4
            dims = [self.number(d) for d in re.findall(r"\[([^]]*)\]", m["dims"])]
            offset += -offset % align
            fields.append(Field(m["name"], kind, bool(m["star"]), dims, offset, doc))
            for dim in dims:
                size *= dim
            offset, widest = offset + size, max(widest, align)
        size = offset + -offset % widest
        return Struct(class_name(match["name"]), fields, size, widest, match["doc"])

    def function(self, match):
        arguments = []
        for text in match["args"].split(","):
            text = " ".join(text.split())
            if text and text != "void":
                name = re.search(r"(\w+)$", text)[1]
                arguments.append(Argument(text[:-len(name)].strip(), name))
        return Function(match["name"], " ".join(match["type"].split()), arguments,
                        match["doc"])


def declared(body):
    """[(declaration, what its comment says)] of the body of a struct."""
    found, before = [], ""
    for comment, after, text in re.findall(
            r"/\*\*(?!<)(.*?)\*/|([^;/]+;\s*(?:/\*\*<.*?\*/)?)()", body, re.S):
        if comment:
            before = comment
            continue
        text, _, said = after.partition(";")
        said = re.search(r"/\*\*<(.*?)\*/", said, re.S)
        found.append((" ".join(text.split()), said[1] if said else before))
        before = ""
    return found
