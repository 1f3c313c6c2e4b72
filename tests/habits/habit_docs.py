# SPDX-License-Identifier: GPL-3.0-or-later
"""Every exported function is documented in its header, in one grammar.

A block holds @brief, one @param[in], [out] or [in,out] for each parameter in order,
@return unless the function is void, and @par Source; what is declared is what
lib/dialarc.sym lists; the umbrella header includes every header. The program that
README.md quotes is examples/embed.c, which is built and run.
"""
import os
import re
import sys
from pathlib import Path

TOP = Path(os.environ.get("srcdir", "."))
DECLARATION = re.compile(
    r"(?:/\*\*(?P<doc>(?:(?!\*/).)*)\*/\s*)?"
    r"DIALARC_API\s+(?P<type>[^;()]*?)(?P<name>dialarc_\w+)\s*\((?P<args>[^;]*)\)\s*;",
    re.S)
PARAM = re.compile(r"@param\[(in|out|in,out)\]\s+(\w+)\s+(\S)")
faults = []


def parameters(args):
    """Pairs of name and whether the function may write through it."""
    args = " ".join(args.split())
    if args == "void":
        return []
    # A callback's own parameters are no parameters of the function.
    args = re.sub(r"\(\s*\*\s*(?:const\s+)?(\w+)\s*\)\s*\([^()]*\)", r" \1", args)
    result = []
    for arg in args.split(","):
        name = re.search(r"(\w+)\s*(?:\[[^]]*\])?\s*$", arg).group(1)
        pointer = "*" in arg or "[" in arg
        result.append((name, pointer and not re.match(r"\s*const\b", arg)))
    return result


def check(header, found):
    name, doc = found["name"], found["doc"]

    def fault(text):
        faults.append(f"{header}: {name}: {text}")

    if doc is None:
        fault("no block directly above the declaration")
        return name
    fields = [text for text in ("@brief", "@param", "@return", "@par Equation",
                                "@par Source") if text in doc]
    if sorted(fields, key=doc.index) != fields:
        fault("fields out of order; it is " + ", ".join(fields))
    if not re.search(r"@brief +\S", doc):
        fault("no @brief")
    if not re.search(r"@par Source\s*\n\s*\*\s*\S", doc):
        fault("no @par Source")
    if found["type"].split() != ["void"] and not re.search(r"@return +\S", doc):
        fault("no @return")
    documented = [(p[1], p[0]) for p in PARAM.findall(doc)]
    expected = parameters(found["args"])
    if [p[0] for p in documented] != [p[0] for p in expected]:
        fault(f"@param {[p[0] for p in documented]} for {[p[0] for p in expected]}")
        return name
    for (parameter, way), (_, writable) in zip(documented, expected):
        if way != "in" and not writable:
            fault(f"@param[{way}] {parameter} cannot be written")
    return name


def check_readme():
    quoted = re.search(r"^```c\n(.*?)^```$", (TOP / "README.md").read_text(), re.S | re.M)
    example = TOP / "examples/embed.c"
    if not quoted or not example.exists() or quoted.group(1) != example.read_text():
        faults.append("README.md: its C block is not examples/embed.c, word for word")
    elif len(quoted.group(1).splitlines()) > 40:
        faults.append("examples/embed.c: over 40 lines")


def main():
    names = []
    headers = sorted((TOP / "include/dialarc").glob("*.h"))
    umbrella = (TOP / "include/dialarc.h").read_text()
    for header in headers:
        text = header.read_text()
        found = [check(header.name, m) for m in DECLARATION.finditer(text)]
        if len(found) != len(re.findall(r"^DIALARC_API\b", text, re.M)):
            faults.append(f"{header.name}: a declaration that this test cannot read")
        if f"#include <dialarc/{header.name}>" not in umbrella:
            faults.append(f"{header.name}: not in the umbrella header")
        names += found
    listed = (TOP / "lib/dialarc.sym").read_text().split()
    for name in sorted(set(names) ^ set(listed)):
        faults.append(f"{name}: only in " + ("a header" if name in names else "the list"))
    check_readme()
    print(*faults, sep="\n")
    print(f"{len(names)} functions in {len(headers)} headers, {len(faults)} faults")
    return 1 if faults or not names else 0


sys.exit(main())
