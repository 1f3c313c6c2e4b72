# SPDX-License-Identifier: GPL-3.0-or-later
"""Writes the first files of the corpus: make_seeds.py [FOLDER]

Each fuzz target reads its bytes in its own way (see fuzz_*.c); these are well-formed
inputs from which an engine can start. The numbers are invented. Beside them lie, not
written by this program, found_*, inputs that once broke a promise, and met_*, a choice of
what libFuzzer met that reaches all code it reached.
"""
import random
import sys
from pathlib import Path

CORPUS = Path(sys.argv[1] if len(sys.argv) > 1 else Path(__file__).parent / "corpus")

SETUPS_HEADER = (
    "setup,lobes,crank_per_pump,lift_low_mm,lift_high_mm,cam_law,cam_lift_mm,rise_deg,"
    "top_dwell_deg,base_dwell_deg,angle_sd_deg,tdc_sd_deg,dial_sd_mm,dial_step_mm,"
    "dial_turn_mm,dial_sense,dial_hysteresis_mm,sprocket_teeth,sprocket_radius_mm,rotation"
)
TABLES = {
    "setups": {
        "plain": "setup,lobes\ne1,4\n",
        "full": SETUPS_HEADER + "\n"
        "e1,4,2,0.85,0.90,poly345,2.2,38,4,12,0.5,0.25,0.003,0.01,1,1,0.004,24,48.5,cw\n"
        "e2,6,,,,,,,,,,,,,,-1,,,,ccw\n",
        "quoted": '\ufeff"setup","lobes","remark"\r\n"a ""b""",4,"two\r\nlines, here"\r\n',
        "turned": "rotation,lobes,ignored,setup\ncw,1,x,\u00e9\n,16,,b\n",
        "refused": "setup,lobes\na,4\na,5\n",
        "instruments": "setup,lobes,lift_low_in,lift_high_in,window_at,window_crank_deg,"
        "cam_sd_mm,rise_sd_deg,wheel_error_deg,dial_error_mm,dial,turned,turn_back,"
        "body_radius_mm\na,4,0.034,0.036,mark,-5,0.01,0.5,0.3,0.003,D 12,body,forbidden,70\n"
        "b,6,,,tdc,,,,,,,shaft,allowed,\n",
        "number": "setup,lobes,rise_deg,cam_law\na,4,1e400,harmonic\n",
        "blank": "setup,lobes\n\n  ,  \na,3\n",
        "semicolons": "setup;lobes;rise_deg;dial_sense\na;4;38,5\u00b0;\u22121\nb;6;40;1\n",
        "misspelt": "setup,lobes,rise_degs\na,4,38\n",
    },
    "sweeps": {
        "plain": "sweep,crank_deg,dial_mm,setup\ns1,-10,0.02,a\ns1,-8,0.01,a\ns2,0,1,b\n",
        "pump": "sweep,setup,pump_deg,dial_in\ns1,b,1.5,0.04\ns1,b,2.5,0.05\n",
        "directed": "sweep,setup,crank_deg,dial_mm,direction\n"
        "s1,a,1,0.1,with\ns1,a,2,0.2,against\ns2,b,1,0,\n",
        "both": "sweep,setup,crank_deg,pump_deg,dial_mm,dial_in\n1,a,1,,0.1,\n2,a,,1,,0.1\n",
        "again": "sweep,setup,crank_deg,dial_mm\nx,a,1,1\ny,a,1,1\nx,a,1,1\n",
        "quoted": '"sweep","setup","crank_deg","dial_mm"\r\n"s ""1""",a,"-1.5e1",+.5\r\n',
        "sep": "\ufeffsep=;\r\nsweep;setup;crank_deg;dial_mm\r\n\u00a0x;a;\u22121,5\u00b0;0,85\r\n",
        "tabs": "sweep\tsetup\tcrank_deg\tdial_mm\nx\ta\t1.5\t0.85\nx\ta\t2\t0,9\n",
        "two_ways": "sweep,setup;crank_deg,dial_mm\nx,a;1,2\n",
    },
    "rounds": {
        "plain": "job,setup,round,minimum_mm,tdc_mm,state\n"
        "j1,a,1,0,0.84,loose\nj1,a,1,0.01,0.86,tight\nj2,b,1,0,1,loose\n",
        "falls": "job,setup,round,minimum_mm,tdc_mm,state\nj,a,2,0,1,loose\nj,a,1,0,1,tight\n",
        "lone": "job,round,minimum_mm,tdc_mm,state\nj,1,0,0.9,tight\n",
        "semicolons": "job;round;minimum_mm;tdc_mm;state\nj;1;0;0,9;tight\nj;2;0;.9;tight\n",
    },
    "cams": {
        "plain": "cam,pump_deg,lift_mm,period_deg,cam_sd_mm\n"
        "a,0,0,90,0.002\na,30.5,2.1,90,0.002\na,60,1,90,0.002\n"
        "b,-1,0,72,0\nb,1,1e-3,72,0\nb,2,-0,72,0\nb,70.9,0,72,0\n",
        "quoted": '"lift_mm","cam","pump_deg","cam_sd_mm","period_deg","remark"\r\n'
        '0,"a ""b"", c",0,1,360,x\r\n1,"a ""b"", c",1,1,360,\r\n0,"a ""b"", c",2,1,360,\r\n',
        "falls": "cam,pump_deg,lift_mm,period_deg,cam_sd_mm\na,0,0,90,0\na,1,1,90,0\na,1,1,90,0\n",
        "turned": "cam,pump_deg,lift_mm,period_deg,cam_sd_mm\na,0,0,90,0\na,1,1,90,0\na,90,1,90,0\n",
        "changed": "cam,pump_deg,lift_mm,period_deg,cam_sd_mm\na,0,0,90,0\na,1,1,90,1\n",
        "tabs": "cam\tpump_deg\tlift_mm\tperiod_deg\tcam_sd_mm\n"
        "a\t0\t0\t90\t0\na\t1,5\t\u202f1\t90\t0\na\t2\t1\t90\t0\n",
        "few": "cam,pump_deg,lift_mm,period_deg,cam_sd_mm\na,0,0,90,0\na,1,1,90,0\nb,0,0,9,0\n",
    },
}


def write(target, name, data):
    folder = CORPUS / target
    folder.mkdir(parents=True, exist_ok=True)
    (folder / name).write_bytes(data)


def tables():
    for target, texts in TABLES.items():
        for name, text in texts.items():
            write(target, name, b"\0" + text.encode())
            write(target, f"{name}_in_threes", b"\3" + text.encode())
    write("sweeps", "one_setup", b"\x80sweep,crank_deg,dial_mm\ns1,1,0.1\n")
    write("rounds", "one_setup", b"\x85" + TABLES["rounds"]["lone"].encode())


def field(value=None, low=0.0, high=1.0):
    """A field of fuzz_field()."""
    return b"\0" if value is None else bytes([128 + round((value - low) / (high - low) * 127)])


def number(value):
    """A number of fuzz_number(), to a hundredth."""
    word = round(value * 100) + 32768
    return bytes([64, word >> 8, word & 255])


def setup(lobes=4, law=0, window=True, **known):
    """Bytes of fuzz_setup()."""
    at = lambda name, low, high: field(known.get(name), low, high)
    words = law + 1 + 13 * 2 + 52 * 2
    return (
        bytes([lobes + 1, words])
        + at("ratio", 0.5, 3)
        + field(0.85 if window else None, 0, 1.2)
        + field(0.05 if window else None, 0, 0.2)
        + at("lift", 0, 4)
        + at("rise", 0, 90)
        + at("top", 0, 20)
        + at("base", 0, 40)
        + at("angle_sd", 0, 1)
        + at("tdc_sd", 0, 1)
        + at("dial_sd", 0, 0.02)
        + at("step", 0, 0.02)
        + at("turn", 0, 2)
        + at("hysteresis", 0, 0.02)
        + bytes([25])
        + at("radius", 0, 100)
    )


def assess():
    known = dict(law=3, ratio=2, rise=40, top=3, base=10, angle_sd=0.2, dial_sd=0.003)
    readings = b"".join(
        number(a) + number(max(0.0, (a + 34) / 30) ** 2) for a in range(-60, 20, 4)
    )
    write("assess", "readings_known", b"\1" + setup(**known) + readings)
    write("assess", "readings_learned", b"\1" + setup(angle_sd=0.2, step=0.01) + readings)
    write("assess", "readings_directed", b"\7" + setup(window=False) + readings)
    write("assess", "not_finite", b"\1" + setup() + readings + bytes([4, 4, 5, 6]))
    write("assess", "nothing", b"\1" + setup())
    said = bytes([2 + 8 + 32]) + field(-5, -30, 30) + field(0.004, 0, 0.02) + field(0.5, 0, 2)
    said += field(0.3, 0, 1) + field(0.003, 0, 0.02) + field(70, 0, 100)
    mark = setup(4 + 7 * 19, **known) + said
    write("assess", "instruments", b"\1" + mark + readings)
    rnd = random.Random(2)
    for k in range(24):
        kind = [0, 8, 2, 6][k % 4]
        job = bytes([rnd.randrange(256), k & 1, rnd.randrange(100, 220)])
        job += bytes(rnd.randrange(100, 256) for _ in range(1))
        job += bytes(rnd.randrange(20, 200) for _ in range(2)) + bytes([k % 7])
        job += bytes([rnd.randrange(40, 90), rnd.randrange(120), rnd.randrange(80), 125])
        job += bytes([rnd.randrange(8, 60), rnd.randrange(20, 60)])
        job += bytes([220 if kind == 8 else rnd.randrange(20, 60)])
        job += bytes([100, 60, 100, rnd.randrange(100)])
        edits = b"".join(
            bytes([0, rnd.randrange(200)]) + number(rnd.uniform(-3, 3)) for _ in range(k // 6)
        )
        lobes = rnd.choice([2, 3, 4, 5, 6])
        what = setup(lobes, **{**known, "rise": 75 - 8 * lobes}) if k % 3 else setup(lobes)
        write("assess", f"simulated_{k}", bytes([kind]) + what + job + edits)


def cams():
    for law in range(1, 10):
        words = (law + 1) + 12 * (law + 1)
        some = bytes([words, 5, *field(2.2, 0.1, 4), *field(38, 0.1, 90)])
        some += field(4, 0, 20) + field(12, 0, 40) + field(0.25, 0, 0.5)
        angles = b"".join(number(x) for x in (0, 5.5, 21, 40, 70, -33, 0.5))
        write("cam", f"law_{law}", some + bytes([7]) + angles)
    write("cam", "laws_differ", bytes([1 + 12 * 6, 7, 0, 0, 0, 0, 0, 7]) + angles)
    points = bytes(x for k in range(20) for x in (100, round(100 + 99 * (-1) ** (k // 10))))
    for name, n in (("twenty", 20), ("three", 3)):
        head = bytes([0]) + number(12.5) + bytes([100, 1])
        write("camtable", name, head + bytes([n]) + points[: 2 * n] + bytes([n]) + points)


def plucks():
    head = bytes([0, 0, 0])
    for k in range(6):
        sim = bytes([k, 60, 60, 40, 200 - 20 * k, k % 3, 30 * (k & 1), k & 1])
        write("pluck", f"simulated_{k}", head + b"\2" + sim)
    write("pluck", "faults", head + b"\2" + sim + bytes([1, 0, 4, 2, 0, 7, 3, 0, 8]))
    write("pluck", "samples", head + bytes([1, 120]) + bytes(range(256)) * 4)
    write("pluck", "numbers", head + b"\0" + b"".join(number(k % 7) for k in range(420)))


SWEEP = TABLES["sweeps"]["plain"].split("\n", 1)[0] + "\n" + "".join(
    f"s,{a},{max(0.0, (a + 36) / 38) ** 2 * 0.9:.3f},a\n" for a in range(-60, 14, 3))
COMMANDS = {  # words, and the table
    "assess": ("assess @setups @table", SWEEP),
    "together": ("assess --together --report - @setups -", SWEEP),
    "page": ("assess --page x @setups @table", SWEEP),
    "lobes": ("lobes @setups @table", SWEEP),
    "round": ("round @setups @table", TABLES["rounds"]["plain"]),
    "round_page": ("round --page x @setups @table", TABLES["rounds"]["plain"]),
    "learn": ("cam learn @setups @table", SWEEP),
    "check": ("cam check @table @setups @table", TABLES["cams"]["plain"]),
    "compare": ("cam compare @table a b", TABLES["cams"]["plain"]),
    "chart": ("chart --from -4 --to 4 @setups a", ""),
    "form": ("form --rows 3 round", ""),
    "tooth": ("tooth @setups a 0.5", ""),
    "injection": ("injection --out x @setups a", ""),
    "what_if": ("what-if --budget @setups a tdc_mark_crank_deg=0.5", ""),
    "drive": ("drive 20 40 --pitch 9.525", ""),
    "torque": ("torque 25 --wrench 300 --adapter 40 --unit lbf-ft", ""),
    "add": ("history add h 2026-01-02 @setups @table", SWEEP),
    "near": ("history near @table", "SQLite format 3\0"),
    "pluck": ("pluck @table", "RIFF\x24\0\0\0WAVEfmt "),
    "misspelt": ("asses --reprot", ""),
    "take": ("take @setups a", "-60 0.1\n-30 0,2\nback\n0 0.9\nturn\n?\n"),
    "help": ("cam --help", ""),
}


def programs():
    for name, (words, table) in COMMANDS.items():
        text = "".join(word + "\n" for word in words.split()) + "\n" + table
        write("programs", name, text.encode("latin-1"))


def functions():
    rnd = random.Random(3)
    for k in range(40):
        call = bytes([k * 7 % 4, k * 37 % 256])
        write("functions", f"drawn_{k}", call + bytes(rnd.randrange(256) for _ in range(60)))


LINES = {
    "typed": "-40 0.05\n-30 0.2\nback\n-30 0.21\n0 0.9\nturn\n-10 0.6\n",
    "comma": "-40,5 0,05\r\n-30,0;0,2\r\n\r\n",
    "indicator": "+00.123 mm\r\n-20 +0.3mm\r-10 0.02in\r",
    "noise": "\u00ff\u0001\n-20 1e999\n-20 0.1.2\n-20 0.1\n-20 31\n400 0.1\n",
}


def lines():
    for name, text in LINES.items():
        for piece in (0, 3, 63):
            write("live", f"{name}_{piece}", bytes([1, piece]) + text.encode("latin-1"))


tables()
lines()
programs()
functions()
assess()
cams()
plucks()
