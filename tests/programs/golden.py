# SPDX-License-Identifier: GPL-3.0-or-later
"""Whole pages and tables of every command are what they were: word by word, layout
included; numbers may differ by one in their last digit, as on another machine.

    python3 golden.py [--renew]

Source of the pages in golden/: dialarc itself, read by a person when they were renewed
(make golden); whether they are right is for the other tests to say. Demonstration tables,
and variants of their setups: a falling dial, a pump that turns the other way.
"""
import csv
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

TOP = Path(os.environ.get("srcdir", ".")).resolve()
DEMO, GOLDEN = TOP / "examples/demo", TOP / "tests/programs/golden"
DIALARC = Path(
    os.environ.get("DIALARC_PROGRAM") or "examples/programs/dialarc"
).resolve()
FOLDER = Path(tempfile.mkdtemp())
PAGES = {
    "assess.csv": "assess setups.csv sweeps.csv",
    "assess.txt": "assess --report setups.csv sweeps.csv",
    "assess_dials.txt": "assess --report --dials dials.csv blank_dial.csv heron.csv",
    "assess_falling.txt": "assess --report falling.csv falling_sweeps.csv",
    "assess_other_way.txt": "assess --report other_way.csv sweeps.csv",
    "assess_help.txt": "assess --help",
    "assess_page.html": "assess --page /dev/stdout setups.csv late.csv",
    "assess_together.csv": "assess --together setups.csv again.csv",
    "assess_together.html": "assess --together --page /dev/stdout setups.csv again.csv",
    "assess_together.txt": "assess --together --report setups.csv again.csv",
    "assess_together_not.txt": "assess --together --report setups.csv heron.csv",
    "cam_check.txt": "cam check cams.csv pumps.csv ten_readings.csv",
    "cam_check_help.txt": "cam check --help",
    "cam_compare.csv": "cam compare --csv two_cams.csv teal5 worn",
    "cam_compare.txt": "cam compare two_cams.csv teal5 worn",
    "cam_compare_help.txt": "cam compare --help",
    "cam_learn.txt": "cam learn --out again.csv pumps.csv whole_lobes.csv",
    "cam_learn_help.txt": "cam learn --help",
    "chart.csv": "chart --csv --from -2 --to 2 --step 0.5 setups.csv heron4",
    "chart.txt": "chart --step 5 setups.csv badger6",
    "chart_help.txt": "chart --help",
    "chart_learned.txt": "chart --step 5 --cams cams.csv pumps.csv teal5",
    "crosscheck.csv": "crosscheck --csv setups.csv heron4 witnesses.csv",
    "crosscheck.txt": "crosscheck setups.csv heron4 witnesses.csv",
    "crosscheck_apart.txt": "crosscheck setups.csv badger6 witnesses.csv",
    "crosscheck_help.txt": "crosscheck --help",
    "dial.csv": "dial --csv --on 2026-01-31 --certificate bench-2 --read-to 0.002 blocks.csv",
    "dial_type.csv": "dial --csv --name bench --range 5",
    "dial_type.txt": "dial --range 5",
    "dial_type_small.txt": "dial --small --range 10",
    "dial.txt": "dial --read-to 0.002 blocks.csv",
    "dial_help.txt": "dial --help",
    "drive.txt": "drive --play 0.2 --stretch 0.3 --run 180 --flywheel 140 22 44",
    "drive_help.txt": "drive --help",
    "errors.csv": "errors --csv setups.csv study_sweeps.csv",
    "errors.txt": "errors setups.csv sweeps.csv",
    "errors_help.txt": "errors --help",
    "form_help.txt": "form --help",
    "form_round.html": "form --rows 4 round",
    "form_sweep.html": "form sweep",
    "gauge.txt": "gauge --low 0.86 --high 0.94 --shared 0.003 lifts.csv",
    "gauge_help.txt": "gauge --help",
    "gauge_sweeps.txt": "gauge --setups setups.csv --sweeps study_sweeps.csv study.csv",
    "help.txt": "--help",
    "history_add.txt": "history add shop.db 2026-02-28 setups.csv sweeps.csv",
    "history_add_help.txt": "history add --help",
    "history_anew.txt": "history anew shop.db otter4 2026-02-28",
    "history_anew_help.txt": "history anew --help",
    "history_engine.txt": "history engine shop.db heron4",
    "history_engine_help.txt": "history engine --help",
    "history_near.csv": "history near --from 2026-02-28 shop.db",
    "history_near_help.txt": "history near --help",
    "history_near_page.html": "history near --from 2026-02-28 --page /dev/stdout shop.db",
    "history_sheet.html": "history sheet --page /dev/stdout sheets.db otter4",
    "history_sheet.txt": "history sheet sheets.db badger6",
    "history_sheet_help.txt": "history sheet --help",
    "injection.csv": "injection --csv --step 1000 setups.csv badger6",
    "injection.txt": "injection --prestroke 0.3 --delay 0.44 --buildup 6 "
                     "--device 900:0,3500:9 setups.csv heron4",
    "injection_help.txt": "injection --help",
    "lobes.csv": "lobes --csv setups.csv turns.csv",
    "lobes.txt": "lobes setups.csv turns.csv",
    "lobes_help.txt": "lobes --help",
    "lobes_page.html": "lobes --page /dev/stdout setups.csv turns.csv",
    "plan.csv": "plan --csv --readings 10 setups.csv heron4",
    "plan.txt": "plan setups.csv heron4",
    "plan_both_ways.txt": "plan --both-ways --readings 16 setups.csv heron4",
    "plan_help.txt": "plan --help",
    "plan_learn.txt": "plan --forward --from -50 --readings 20 setups.csv otter4",
    "pluck.txt": "pluck --mass 0.14 --length 152 --want 300 pluck.wav",
    "pluck_help.txt": "pluck --help",
    "round.txt": "round setups.csv rounds.csv",
    "round_dials.txt": "round --dials dials.csv blank_dial.csv rounds.csv",
    "round_falling.txt": "round falling.csv falling_rounds.csv",
    "round.html": "round --page /dev/stdout setups.csv rounds.csv",
    "round_help.txt": "round --help",
    "round_stopped.txt": "round falling.csv rounds.csv",
    "take_help.txt": "take --help",
    "tdc.txt": "tdc 31.5:30.9 24.2:23.8 40.1:39.3",
    "tdc.csv": "tdc --csv tdc.csv",
    "tdc_table.txt": "tdc --pointers pointers.csv tdc.csv",
    "tdc_help.txt": "tdc --help",
    "tdc_rim.txt": "tdc --rim 140 --chord --offset 1 77.5:73.2",
    "tooth.txt": "tooth setups.csv heron4 1.74",
    "tooth_help.txt": "tooth --help",
    "tooth_none.txt": "tooth setups.csv heron4 0.95",
    "torque.txt": "torque --unit kgf-m --wrench 400 --adapter 60 --angle 30 2.5",
    "torque_help.txt": "torque --help",
    "what_if.txt": "what-if setups.csv heron4 tdc_mark_crank_deg=0.5",
    "what_if_both.txt": "what-if setups.csv heron4 tdc_mark_crank_deg=0.5 "
                        "slack_left_crank_deg=2",
    "what_if_budget.txt": "what-if --budget setups.csv heron4 tdc_mark_crank_deg=0.5",
    "what_if_help.txt": "what-if --help",
    "what_if_tooth.txt": "what-if setups.csv badger6 teeth=1",
}
# What is said of command lines, tables and engines that will not do: one page a command.
COMPLAINTS = {
    "": ["", "asses", "cam", "cam lern", "history --nothing"],
    "assess": [
        "setups.csv", "--reprot setups.csv sweeps.csv",
        "--threads 0 setups.csv sweeps.csv",
        "--page x.html --report setups.csv sweeps.csv",
        "nothing.csv sweeps.csv", "sweeps.csv setups.csv", "- -",
        "--dials setups.csv setups.csv sweeps.csv"],
    "cam check": [
        "--cam teal5 cams.csv pumps.csv ten_readings.csv",
        "--cam nobody cams.csv pumps.csv ten_readings.csv",
        "two_cams.csv pumps.csv ten_readings.csv", "pumps.csv pumps.csv sweeps.csv"],
    "cam compare": [
        "two_cams.csv teal5 nobody", "cams.csv teal5 grebe4",
        "--sd -1 two_cams.csv teal5 worn"],
    "cam learn": ["setups.csv ten_readings.csv", "pumps.csv ten_readings.csv"],
    "chart": ["setups.csv nobody", "--step 0 setups.csv heron4", "setups.csv otter4",
              "--from 5 --to 1 setups.csv heron4", "--cam x setups.csv heron4"],
    "crosscheck": ["setups.csv heron4", "setups.csv heron4 setups.csv",
                   "setups.csv nobody witnesses.csv", "setups.csv otter4 witnesses.csv",
                   *(f"setups.csv heron4 bad_witnesses_{k}.csv" for k in range(9))],
    "dial": ["", "--range 5 --step 0.02", "none.csv", "setups.csv", "--step -1 blocks.csv", "--on soon blocks.csv",
             "--turn 0 blocks.csv", "bad_blocks.csv", "falling_blocks.csv"],
    "drive": ["0 44", "22", "22 4x4", "--play -1 22 44", "--stretch 1e300 22 44"],
    "errors": ["setups.csv", "setups.csv lifts.csv"],
    "form": ["", "wheel", "--rows 0 sweep"],
    "gauge": ["", "sweeps.csv", "study.csv", "--low 0.9 lifts.csv", "--csv lifts.csv",
              "--low 0.9 --high 0.8 lifts.csv", "--sweeps sweeps.csv study.csv",
              "--setups setups.csv --sweeps sweeps.csv study.csv"],
    "history add": [
        "shop.db tomorrow setups.csv sweeps.csv",
        "shop.db 2025-02-30 setups.csv sweeps.csv",
        "setups.csv 2025-03-01 setups.csv sweeps.csv"],
    "history anew": ["shop.db nobody 2025-03-01", "shop.db otter4 soon"],
    "history engine": ["shop.db nobody", "none.db heron4"],
    "history sheet": ["shop.db nobody", "none.db heron4", "--day soon shop.db heron4",
                      "--day 2024-01-01 shop.db heron4",
                      "--page x --out y shop.db heron4"],
    "history near": ["none.db", "--months 0 shop.db", "--from never shop.db",
                     "--page x.html --out y.csv shop.db"],
    "injection": ["--prestroke 9 setups.csv heron4", "--device 900 setups.csv heron4",
                  "--delay -1 setups.csv heron4", "setups.csv otter4"],
    "lobes": ["--order 1342x setups.csv turns.csv",
              "--page x.html --csv setups.csv turns.csv"],
    "plan": ["setups.csv nobody", "--readings 0 setups.csv heron4"],
    "pluck": ["--mass 0 --length 152 pluck.wav", "--low 600 --high 20 pluck.wav"],
    "round": ["setups.csv sweeps.csv", "--page x --out y setups.csv rounds.csv"],
    "take": ["setups.csv nobody", "- heron4", "--to -5 setups.csv heron4",
             "--forward --both-ways setups.csv heron4",
             "--out sweeps.csv setups.csv heron4", "--baud 1 setups.csv heron4"],
    "tdc": ["31.5", "a:b", "30:-40", "200:10", "--sd 0 30:31", "--rim 0 30:31",
            "--wheel -1 30:31", "--rod 10 30:31", "none.csv", "setups.csv",
            "--pointers tdc.csv 30:31", "--rim 100 bad_pairs.csv"],
    "tooth": ["setups.csv heron4 9", "setups.csv heron4 high", "setups.csv otter4 0.9"],
    "torque": ["25", "--wrench 400 lots", "--wrench 400 --unit stone 25",
               "--wrench 400 --adapter 500 --angle 180 25"],
    "what-if": ["setups.csv heron4 nothing=1", "setups.csv heron4 teeth=many",
                "setups.csv heron4", "setups.csv heron4 dial_scale=-2",
                "setups.csv otter4 teeth=1"],
}
for command, lines in COMPLAINTS.items():
    page = "_".join(["complaints", *re.split("[ -]", command)]).rstrip("_")
    PAGES[f"{page}.txt"] = [f"{command} {words}" for words in lines]
NUMBER = re.compile(r"\d+(?:\.\d+)?")


def change(source, target, how):
    """A table of the demonstration with each row changed."""
    with (DEMO / source).open(newline="") as table:
        rows = [how(row) for row in csv.DictReader(table)]
    with (FOLDER / target).open("w", newline="") as table:
        writer = csv.DictWriter(table, rows[0].keys())
        writer.writeheader()
        writer.writerows(rows)


def fall(top_mm, *columns):
    """What a falling dial shows that stands at top_mm where the other stands at 0."""
    return lambda row: {**row, **{c: f"{top_mm - float(row[c]):.3f}" for c in columns}}


def look_again():
    """The good sweep three times, the dial set to zero anew; all of heron4; and one."""
    with (DEMO / "sweeps.csv").open(newline="") as table:
        heron = [row for row in csv.DictReader(table) if row["setup"] == "heron4"]
    good = [row for row in heron if row["sweep"] == "heron good"]
    again = [{**row, "sweep": f"heron {k}",
              "dial_mm": f"{float(row['dial_mm']) + 0.005 * (k + ((7 * i + k) % 11 == 0)):.3f}"}
             for k in range(3) for i, row in enumerate(good)]
    late = [row for row in heron if row["sweep"] == "heron late"]
    for name, rows in (("again.csv", again), ("heron.csv", heron), ("late.csv", late)):
        with (FOLDER / name).open("w", newline="") as table:
            writer = csv.DictWriter(table, rows[0].keys())
            writer.writeheader()
            writer.writerows(rows)


def spoil_tables():
    """Words that say nothing, and a dial that falls."""
    blocks = (DEMO / "blocks.csv").read_text()
    (FOLDER / "bad_blocks.csv").write_text(blocks.replace(",out\n", ",up\n", 1))
    (FOLDER / "falling_blocks.csv").write_text(
        "dial,block_mm,shown_mm,way\na,0,1,in\na,0.5,0.5,in\na,1,0,in\n")
    text = (DEMO / "tdc.csv").read_text()
    (FOLDER / "bad_pairs.csv").write_text(text.replace(",tape,", ",rope,"))
    head = "setup,witness,lift_mm,crank_deg,crank_rpm,lift_sd_mm,crank_sd_deg,mark\n"
    for k, rows in enumerate((
            ",dial,9,,,,,\n", ",dial,,,,,,\n", ",dial,0,,,,,\n", ",a,0.9,200,,,,\n",
            ",a,0.9,-5,0,,,\n", ",a,0.9,-5,800,,,\n,a,0.9,-5,,,,\n",
            ",a,0.9,-5,800,,,\n", ",a,0.9,,,0.1,,up\n,a,0.9,,,0.2,,\n",
            ",a,0.9,,,0,0,\n")):
        (FOLDER / f"bad_witnesses_{k}.csv").write_text(head + rows)


def wear_cam():
    """The learned cam of teal5, and the same with a part of its lift lost."""
    with (FOLDER / "cams.csv").open(newline="") as table:
        rows = [row for row in csv.DictReader(table) if row["cam"] == "teal5"]
    worn = [{**row, "cam": "worn", "lift_mm": f"{0.97 * float(row['lift_mm']):.6f}"}
            for row in rows]
    with (FOLDER / "two_cams.csv").open("w", newline="") as table:
        writer = csv.DictWriter(table, rows[0].keys())
        writer.writeheader()
        writer.writerows(rows + worn)


def prepare():
    for path in (*DEMO.glob("*.*"), *DEMO.glob("reuse/*.csv")):
        (FOLDER / path.name).symlink_to(path)
    change("setups.csv", "falling.csv", lambda row: {**row, "dial_sense": -1})
    change("sweeps.csv", "falling_sweeps.csv", fall(5, "dial_mm"))
    change("rounds.csv", "falling_rounds.csv", fall(0, "minimum_mm", "tdc_mm"))
    change("setups.csv", "blank_dial.csv", lambda row: {**row, "dial_error_mm": ""})
    other = {"cw": "ccw", "ccw": "cw", "": ""}
    change("setups.csv", "other_way.csv",
           lambda row: {**row, "rotation": other[row["rotation"]]})
    look_again()
    spoil_tables()
    run("cam learn --out cams.csv pumps.csv whole_lobes.csv")
    wear_cam()
    run("history add shop.db 2025-02-28 setups.csv sweeps.csv")
    run("history add --hand apprentice --dials dials.csv sheets.db 2026-02-28 setups.csv "
        "sweeps.csv")


def run(words):
    """What a command says; of several, each behind its words."""
    if isinstance(words, list):
        return "".join(f"$ dialarc {' '.join(w.split())}\n{run(w)}" for w in words)
    return subprocess.run([DIALARC, *words.split()], cwd=FOLDER, text=True, check=False,
                          stdout=subprocess.PIPE, stderr=subprocess.STDOUT).stdout


def near(a, b):
    """Whether two numbers of one form differ by one in the last digit at most."""
    return abs(int(a.replace(".", "")) - int(b.replace(".", ""))) <= 1


def same(got, wanted):
    layout = NUMBER.sub("0", got) == NUMBER.sub("0", wanted)
    return layout and all(map(near, NUMBER.findall(got), NUMBER.findall(wanted)))


def main():
    prepare()
    faults = 0
    for name, words in PAGES.items():
        page = run(words)
        if "built without" in page:
            print(f"left out: {name}: {page.strip()}")
        elif "--renew" in sys.argv:
            (GOLDEN / name).write_text(page)
        elif not same(page, (GOLDEN / name).read_text()):
            print(f"{name} is not what it was: dialarc {words}\n{page}")
            faults += 1
    known = {path.name for path in GOLDEN.iterdir()}
    if known != set(PAGES):
        print(f"pages without a command, or commands without one: {known ^ set(PAGES)}")
        faults += 1
    return 1 if faults else 0


sys.exit(main())
