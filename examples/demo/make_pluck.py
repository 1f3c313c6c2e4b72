#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Writes the demonstration recordings: python3 make_pluck.py FOLDER

Both are invented: pluck.wav is a simulated span of 148.3 Hz, plucked at 0.35 s near a
machine with mains hum; no_pluck.wav holds the same hum and noise and no pluck. The seed is
fixed, and nothing is shared with the library.
"""
import math
import random
import struct
import sys
from pathlib import Path

RATE, SECONDS, ONSET_S, SPAN_HZ, DECAY_S = 8000, 1.5, 0.35, 148.3, 0.11


def string(t):
    """Partials of a slightly stiff string plucked at 0.3 of its length."""
    return sum(math.sin(0.3 * math.pi * k) / k ** 2
               * math.exp(-(0.7 + 0.3 * k) * t / DECAY_S)
               * math.cos(2 * math.pi * k * SPAN_HZ * math.sqrt((1 + 0.004 * k * k) / 1.004)
                          * t + k)
               for k in range(1, 9))


def hum(t):
    return sum(level * math.cos(2 * math.pi * 49.98 * k * t + 2 * k)
               for k, level in ((1, 0.04), (2, 0.09), (3, 0.03), (4, 0.05)))


def sound(plucked, seed):
    draw = random.Random(seed)
    for i in range(int(RATE * SECONDS)):
        t = i / RATE
        ring = string(t - ONSET_S) if plucked and t >= ONSET_S else 0.0
        yield 0.4 * (ring + hum(t) + draw.gauss(0, 0.05))


def chunk(name, data):
    return name + struct.pack("<I", len(data)) + data + b"\0" * (len(data) % 2)


def wav(samples, comment):
    """One channel of 16 bits, with a comment."""
    data = b"".join(struct.pack("<h", round(32767 * max(-1, min(1, x)))) for x in samples)
    info = b"INFO" + chunk(b"ICMT", comment.encode() + b"\0")
    return chunk(b"RIFF", b"WAVE" + chunk(b"fmt ", struct.pack("<HHIIHH", 1, 1, RATE,
                                                               2 * RATE, 2, 16))
                 + chunk(b"LIST", info) + chunk(b"data", data))


def main(folder):
    for name, plucked, seed in (("pluck", True, 7), ("no_pluck", False, 8)):
        comment = "Invented: simulated by make_pluck.py"
        (Path(folder) / f"{name}.wav").write_bytes(wav(sound(plucked, seed), comment))


if __name__ == "__main__":
    main(sys.argv[1])
