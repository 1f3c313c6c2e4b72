# SPDX-License-Identifier: GPL-3.0-or-later
"""dialarc take as it is used: a keyboard, and an indicator on a pseudo-terminal, that answer
what is asked for from an invented pump; noise, a lost line, a program that is killed and a
table that breaks off at any byte.

Source of the readings: a harmonic cam, lift = 1.1 (1 - cos(180 u)) mm at share u of its rise,
written out here; the verdict is dialarc's own on the finished table.
"""
import csv
import math
import os
import pty
import re
import select
import signal
import subprocess
import sys
import tempfile
import time
import tty
from pathlib import Path

DIALARC = Path(
    os.environ.get("DIALARC_PROGRAM") or "examples/programs/dialarc"
).resolve()
FOLDER = Path(tempfile.mkdtemp())
SETUPS = ("setup,lobes,lift_low_mm,lift_high_mm,cam_law,cam_lift_mm,rise_deg,top_dwell_deg,"
          "base_dwell_deg,angle_sd_deg,tdc_sd_deg,dial_sd_mm,dial_step_mm,turn_back\n"
          "wren4,4,0.88,0.92,harmonic,2.2,40,2,10,0.1,0.05,0.002,0.005,forbidden\n")
FOOT = -80.0 / math.pi * math.acos(1.0 - 0.9 / 1.1)  # 0.9 mm at TDC, slack taken up
faults = []


def check(what, good, text=""):
    if not good:
        faults.append(f"{what}\n{text}")


def dial_mm(crank_deg):
    share = (crank_deg - FOOT) / 80.0 % 2.25  # rise, top dwell, fall, base dwell of 180
    lift = (1.1 * (1.0 - math.cos(math.pi * share)) if share < 1.0 else
            2.2 if share < 1.05 else
            1.1 * (1.0 + math.cos(math.pi * (share - 1.05) / 0.95)) if share < 2.0 else 0.0)
    return round(lift * 200.0) / 200.0


def line_of(angle, n):
    """Never the same line twice at once, which would count as a double send."""
    return f"{' ' * (n % 2)}{dial_mm(angle):+.3f} mm\r\n".encode()


def start(*words, port=None):
    line = ["--port", port] if port else []
    return subprocess.Popen([DIALARC, "take", *line, *words, "setups.csv", "wren4"],
                            cwd=FOLDER, stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                            stderr=subprocess.PIPE)


class Told:
    """What a program says, as it says it."""

    def __init__(self, program):
        self.program, self.text = program, ""

    def until(self, pattern, seconds=20.0):
        end = time.monotonic() + seconds
        while not (found := re.search(pattern, " ".join(self.text.split()))):
            ready, _, _ = select.select([self.program.stdout], [], [],
                                        max(end - time.monotonic(), 0.0))
            piece = os.read(self.program.stdout.fileno(), 4096) if ready else b""
            if not piece:
                return None
            self.text += piece.decode()
        return found

    def asked(self):
        """The angle that is asked for; None when nothing more is."""
        found = self.until(r"Next: read at (-?[\d.]+) degrees, coming forward[^.]*\.|It is "
                           "enough|hardly")
        self.text = ""
        return float(found[1]) if found and found[1] else None


def rows(name="taken.csv"):
    with (FOLDER / name).open(newline="") as table:
        return list(csv.DictReader(table))


def finish(program):
    _, complaint = program.communicate(timeout=20)
    return program.returncode, complaint.decode()


def typed():
    """A keyboard: the job is done, and assess says the same of the table."""
    program = start()
    told, n = Told(program), 0
    while (angle := told.asked()) is not None and n < 60:
        on_disk = len(rows())
        check("each reading is on the disk before the next is asked for", on_disk == n)
        program.stdin.write(line_of(angle, n))
        program.stdin.flush()
        n += 1
    status, complaint = finish(program)
    check(f"typed: status {status} after {n}", status == 0 and 6 <= n < 30, complaint)
    done = subprocess.run([DIALARC, "assess", "setups.csv", "taken.csv"], cwd=FOLDER,
                          capture_output=True, text=True, check=False)
    result = next(csv.DictReader(done.stdout.splitlines()))
    check("the table's verdict", result["verdict"] == "in" and
          abs(float(result["lift_mm"]) - 0.9) < 0.01, done.stdout)
    check("the way of each", {row["direction"] for row in rows()} == {"with"})
    again = start()
    status, complaint = finish(again)
    check("what is enough stays enough", status == 0 and len(rows()) == n, complaint)


def refused():
    """Words, bad lines and corrections; what is struck is off the disk."""
    program = start("--out", "words.csv")
    program.stdin.write(b"-60 0,25\r\n-60 9.5 9.5\nback\nback\nturn\n-500 0\n-60 99\n"
                        b"-60 0.250 mm\n-60.5 0.01in\n")
    said, complaint = program.communicate(timeout=20)
    text = " ".join(said.decode().split())
    check("ended before: status 1", program.returncode == 1, complaint.decode())
    for words in ("Not understood", "is struck", "no reading to strike", "the way back",
                  "Is its sign right", "and the unit", "come to from behind"):
        check(f"told: {words}", words in text, text)
    left = [(row["crank_deg"], row["dial_mm"]) for row in rows("words.csv")]
    check("kept", left == [("-60", "0.25"), ("-60.5", "0.254")], str(left))


def indicator():
    """A pseudo-terminal sends bytes in pieces, noise between, until the line is lost; the
    next start goes on."""
    (FOLDER / "port.csv").unlink(missing_ok=True)
    sent = 0
    for part in range(2):
        master, slave = pty.openpty()
        tty.setraw(slave)
        program = start("--out", "port.csv", port=os.ttyname(slave))
        told = Told(program)
        while (angle := told.asked()) is not None and sent < 60:
            if part == 0 and sent == 5:
                break
            line = line_of(angle, sent)
            if sent % 3 == 1:
                os.write(master, b"\xff\x00\x01~\r\n")
                told.until(r"Not understood")
                told.asked()
            for k in range(0, len(line), 1 + sent % 4):
                os.write(master, line[k:k + 1 + sent % 4])
                time.sleep(0.002)
            sent += 1
        os.close(slave)
        os.close(master)
        if part == 0:
            check("a lost line ends it", program.wait(timeout=20) == 2)
            check("and says so", b"start again to go on" in program.stderr.read())
            check("nothing is lost", len(rows("port.csv")) == 5)
    status, complaint = finish(program)
    check(f"indicator: status {status}", status == 0, complaint)
    check("all on the disk", len(rows("port.csv")) == sent, f"{sent}")


def killed():
    """kill -9 after every reading, and a table that breaks off at every byte."""
    whole = (FOLDER / "taken.csv").read_bytes()
    table = FOLDER / "killed.csv"
    table.unlink(missing_ok=True)
    for n in range(1, 4):
        program = start("--out", "killed.csv")
        angle = Told(program).asked()
        program.stdin.write(f"{dial_mm(angle):.3f}\n".encode())
        program.stdin.flush()
        end = time.monotonic() + 20.0
        while table.read_bytes().count(b"\n") < n + 1 and time.monotonic() < end:
            time.sleep(0.005)
        program.send_signal(signal.SIGKILL)
        program.wait()
        check("a killed program has kept its readings", len(rows("killed.csv")) == n)
    light = 7 if os.environ.get("DIALARC_TEST_LIGHT") else 1
    for cut in range(0, min(len(whole), 220), light):
        table.write_bytes(whole[:cut])
        program = start("--out", "killed.csv")
        program.communicate(timeout=20)
        kept = whole[:cut].rfind(b"\n") + 1
        wanted = whole[:kept] if kept else whole[:whole.index(b"\n") + 1]
        check(f"broken off at byte {cut}", table.read_bytes() == wanted and
              program.returncode == 1)


def complaints():
    other = FOLDER / "other.csv"
    other.write_text("sweep,crank_deg,dial_mm\na,1,2\n")
    for words, text in ((["--out", "other.csv"], "not begun by dialarc take"),
                        (["--to", "-5"], "the angle of the window"),
                        (["--port", "no/such/line"], "No such file"),
                        (["--out", "no/such/folder.csv"], "No such file"),
                        (["--forward", "--both-ways"], "one of them")):
        program = start(*words)
        _, complaint = program.communicate(timeout=20)
        check(f"{words}", program.returncode == 2 and text in complaint.decode(),
              complaint.decode())
    check("a table of somebody else stays as it is",
          other.read_text() == "sweep,crank_deg,dial_mm\na,1,2\n")


def main():
    (FOLDER / "setups.csv").write_text(SETUPS)
    for part in (typed, refused, indicator, killed, complaints):
        part()
    print(*faults, sep="\n")
    return 1 if faults else 0


sys.exit(main())
