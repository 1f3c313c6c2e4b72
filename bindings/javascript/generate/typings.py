# SPDX-License-Identifier: GPL-3.0-or-later
"""The types of the interface, dialarc.d.ts, with what the headers say of each thing."""
import re
import textwrap

from calls import handles, result, words
from declarations import class_name

HIDDEN = {"length", "workspace", "error", "room", "null", "context"}
WORDS = {"number": "number", "int": "number", "size": "number", "uint": "number",
         "count": "number", "text": "string", "ints": "ArrayLike<number>",
         "numbers": "ArrayLike<number>", "numbers?": "ArrayLike<number> | null",
         "square?": "ArrayLike<number> | null", "contents": "string | Uint8Array",
         "model": "(input: Float64Array) => number"}
GIVEN = {"numbers": "Float64Array", "readings": "Float64Array", "ints": "number[]",
         "text": "string", "nothing": "void"}


def plain(text, said):
    """A comment of C in the words of JavaScript."""
    text = " ".join(re.sub(r"^[ \t]*\*[ \t]?", "", text, flags=re.M).split())
    text = re.sub(r"\bNULL\b", "null", text.replace("DIALARC_UNKNOWN", "NaN"))
    text = text.replace("->", ".")
    text = re.sub(r"DIALARC_(\w+)", r"\1", text)
    text = re.sub(r"dialarc_(\w+)\(\)", r"\1()", text)
    known = set(said.structs) | set(said.enums) | set(said.handles)
    return re.sub(r"dialarc_\w+", lambda m: class_name(m[0]) if m[0] in known else
                  m[0].removeprefix("dialarc_"), text).replace("*/", "* /")


def comment(paragraphs, indent=""):
    """A block of documentation; nothing when there is nothing to say."""
    lines = []
    for paragraph in filter(None, paragraphs):
        tagged = paragraph.startswith("@")
        if lines and not (tagged and lines[-1][0] in "@ "):
            lines.append("")
        lines += textwrap.wrap(paragraph, 84 - len(indent), break_on_hyphens=False,
                               subsequent_indent="    " * tagged)
    if len(lines) < 2:
        return "".join(f"{indent}/** {text} */\n" for text in lines)
    body = "".join(f"{indent} * {text}".rstrip() + "\n" for text in lines)
    return f"{indent}/**\n{body}{indent} */\n"


def enums(said):
    for enum in said.enums.values():
        values = " | ".join(str(value) for value in dict.fromkeys(v for _, v, _ in
                                                                 enum.members))
        yield comment([plain(enum.doc, said)]) + f"export type {enum.name} = {values};\n"


def field_type(field, said):
    """The type of a field that is read."""
    if field.kind == "char":
        return "string" if field.dims or field.stars else "number"
    if field.kind in handles(said):
        return f"{field.kind} | null"
    name = WORDS.get({"double": "number"}.get(field.kind, field.kind), field.kind)
    depth = len(field.dims) + field.stars
    if name == "number" and field.kind == "double" and depth:
        name, depth = "Float64Array", depth - 1
    optional = " | null" if field.stars and field.name == "direction" else ""
    return name + "[]" * depth + optional


def structs(said, names):
    for name in names:
        struct = said.structs[name]
        body = "".join(comment([plain(f.doc, said)], "    ") +
                       f"    {f.name}: {field_type(f, said)};\n"
                       for f in struct.fields if f.name not in ("n", "room", "count") or
                       f.kind != "size")
        yield comment([plain(struct.doc, said)]) + \
            f"export interface {struct.name} {{\n{body}}}\n"


def taken(word, said):
    """The type of an argument."""
    name = word.rstrip("!")
    if name in WORDS:
        return WORDS[name]
    bare = name.removesuffix("[]")
    if bare in handles(said) or bare in {e.name for e in said.enums.values()}:
        return bare
    return f"readonly Given<{bare}>[]" if name.endswith("[]") else f"Given<{bare}>"


def given(word):
    """The type of a result."""
    word = word.removeprefix("=").split()[0].rstrip("*")
    word = GIVEN.get(word) or WORDS.get(word) or word
    return word.split("[")[0] + "[]" if re.search(r"\[\d+\]", word) else word


def result_type(function, pairs):
    outs = [(name, word) for name, word in pairs if word.startswith("=")]
    if not outs:
        kind = result(function)
        return "void" if kind == "status" else given(kind)
    if len(outs) == 1:
        return given(outs[0][1])
    return "{ " + "; ".join(f"{name}: {given(word)}" for name, word in outs) + " }"


def function_type(function, said):
    pairs = words(function, said)
    seen = [(name, word) for name, word in pairs
            if word not in HIDDEN and not word.startswith("=")]
    last = max((i for i, (_, word) in enumerate(seen) if not word.endswith("?")),
               default=-1)
    arguments = ", ".join(f"{'contents' if word == 'contents' else name}"
                          f"{'?' if i > last else ''}: {taken(word, said)}"
                          for i, (name, word) in enumerate(seen))
    return (comment(documentation(function, seen, pairs, said), "    ") +
            f"    {function.name}({arguments}): {result_type(function, pairs)};\n")


def documentation(function, seen, pairs, said):
    """The paragraphs of a block of Doxygen: of arguments only those that are seen."""
    doc = re.sub(r"^[ \t]*\*[ \t]?", "", function.doc.strip("*\n "), flags=re.M)
    visible, outs = {name for name, _ in seen}, {n for n, w in pairs if w[0] == "="}
    results = []
    for part in re.split(r"^(?=@)", doc, flags=re.M):
        tag, _, text = part.partition(" ")
        text = plain(text, said)
        if tag == "@brief":
            yield text
        elif tag.startswith("@param"):
            name, _, what = text.partition(" ")
            if name in visible:
                yield f"@param {name}  {what}"
            elif name in outs:
                results.append(f"{name}: {what}" if len(outs) > 1 else what)
        elif tag == "@return" and result(function) == "status":
            yield "@returns " + " ".join(results) if results else ""
            yield "@throws DialarcError: " + re.sub(r"\bOK[,;]? ?|ERR_NULL,? ?", "", text)
        elif tag == "@return":
            yield "@returns " + text
        elif tag == "@note":
            yield "Note: " + text
