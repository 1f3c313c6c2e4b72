# SPDX-License-Identifier: GPL-3.0-or-later
"""Every call is refused memory at one of the places where Python gives some, once or four
times on end: MemoryError, no crash, and what does come back is the same as ever. (Without
any from there on the interpreter itself gives up.)

FAULTS=all (make faults): at every place, not at a few of them."""
import os
import re
import unittest

import kit
from kit import dialarc as d
from test_every_function import CALLS

try:
    import _testcapi  # CPython's own tests, where they are installed
except ImportError:
    _testcapi = None

FEW = (1, 2, 3, 4, 5, 7, 9, 12, 16, 22, 30, 45, 70, 110, 200)
# What the interpreter says where it was itself refused.
ITS_OWN = re.compile("__setattr__|not PosixPath|can't allocate")
EVERY = 300  # most calls ask less often


def place_of(call, first, last):
    """What comes of a call, and whether memory was refused."""
    _testcapi.set_nomemory(first, last)
    try:
        return call()
    except MemoryError as error:
        return error
    except d.DialarcError as error:
        return error
    finally:
        _testcapi.remove_mem_hooks()


def plain(result):
    """Results that can be compared by what they show."""
    shown = repr(result)
    return None if " at 0x" in shown or "object" in shown else shown


@unittest.skipUnless(hasattr(_testcapi, "set_nomemory"), "skipped: no _testcapi here")
class NoMemory(unittest.TestCase):
    def refused_once(self, name, call, wanted, first, last):
        """Whether memory was refused; what is returned all the same must be right."""
        try:
            got = place_of(call, first, last)
        except Exception as error:
            if ITS_OWN.search(str(error)):
                return True
            self.fail(f"{type(error).__name__}: {error}")
        if isinstance(got, (MemoryError, d.DialarcError)):
            return True
        self.assertEqual(plain(got), wanted)
        return False

    def test_every_function(self):
        every = os.environ.get("FAULTS") == "all"
        refused = 0
        for name, call in sorted(CALLS.items()):
            wanted = plain(call())
            wanted = wanted if plain(call()) == wanted else None
            for first in range(1, EVERY) if every else FEW:
                with self.subTest(name, place=first):
                    one = self.refused_once(name, call, wanted, first, first + 1)
                    four = self.refused_once(name, call, wanted, first, first + 4)
                    refused += one + four
        self.assertGreater(refused, 3 * len(CALLS))


if __name__ == "__main__":
    kit.main()
