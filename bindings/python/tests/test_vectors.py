# SPDX-License-Identifier: GPL-3.0-or-later
"""The calls of refdata/vectors.csv give in Python what they give in C, to the bit."""
import csv
import io
import os
import re
import struct
import subprocess
import unittest
from pathlib import Path

import kit
from kit import TOP, dialarc as d

# What is a class in Python; a function that is one with its array form.
MADE = {"make_injection": d.Injection, "make_sweep": d.Sweep}


def bits(number):
    return struct.pack(">d", number).hex()


def vectors():
    """As the library of this machine gives them, where that is built; else as kept."""
    program = Path(os.environ.get("builddir", ".")) / "tests/whole/vectors"
    if program.exists():
        return subprocess.run([program.resolve()], capture_output=True, text=True).stdout
    return (TOP / "refdata/vectors.csv").read_text()


class Reader:
    def __init__(self):
        self.known = {"product": lambda x: x[0] * x[1]}
        self.fields = {}  # of structs that have not been needed yet

    def make(self, name, call, arguments):
        if call[0].isupper():
            self.fields[name] = (getattr(d, call), {})
        else:
            self.known[name] = self.call(call, arguments)

    def set(self, name, field, value):
        if name in self.fields:
            self.fields[name][1][field] = value
        else:
            setattr(self.known[name], field, value)

    def word(self, text):
        if ";" in text:
            return [self.word(part) for part in text.split(";")]
        if text == "-":
            return None
        if text in self.fields:
            made, fields = self.fields.pop(text)
            self.known[text] = made(**fields)
        if text in self.known:
            return self.known[text]
        if re.match("[a-z]", text):
            return text
        return int(text) if re.fullmatch(r"-?\d+", text) else float(text)

    def call(self, name, arguments):
        function = MADE.get(name) or getattr(d, name, None)
        if name == "conformity_probabilities":
            function = d.conformity_probability
        elif name == "assess":
            return self.assess(*map(self.word, arguments.split()))
        elif name == "whatif_sensitivity":  # here of all inputs at once
            case, which = map(self.word, arguments.split())
            return function(case)[which]
        elif function is None:
            function = getattr(d, name.removesuffix("_array"))
        return function(*map(self.word, arguments.split()))

    @staticmethod
    def assess(setup, sweep):
        return d.assess(setup, sweep.crank_deg, sweep.dial_mm)

    @staticmethod
    def at(result, path):
        place, rest = re.match(r"(\d+)(.*)", path).groups()
        results = result if isinstance(result, tuple) else (result,)
        value = results[int(place) - 1]
        for field, index in re.findall(r"\.(\w+)|\[(\d+)\]", rest):
            value = getattr(value, field) if field else value[int(index)]
        return float(value)


class Vectors(unittest.TestCase):
    def test_every_row(self):
        reader, last, result, compared = Reader(), None, None, 0
        for row in csv.DictReader(io.StringIO(vectors())):
            call, path = row["call"], row["path"]
            if row["bits"]:
                self.assertEqual(bits(float(row["value"])), row["bits"], row)
            if call.startswith("="):
                reader.set(call[1:], path, reader.word(row["value"]))
                continue
            if path.startswith("="):
                reader.make(path[1:], call, row["arguments"])
                continue
            if last != (call, row["arguments"]):
                last = (call, row["arguments"])
                result = reader.call(*last)
            self.assertEqual(bits(reader.at(result, path)), row["bits"], row)
            compared += 1
        self.assertGreater(compared, 500)


if __name__ == "__main__":
    kit.main()
