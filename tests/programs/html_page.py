# SPDX-License-Identifier: GPL-3.0-or-later
"""The HTML pages of dialarc: well formed, alone, safe, and it says what the text says.

Sources: HTML Living Standard, void elements and escaping; WCAG 2.1, success criterion 1.4.3
and its definition of contrast (from memory); the text page of the same command; the table
of readings itself.
"""
import csv
import os
import re
import subprocess
import sys
import tempfile
from collections import Counter
from html.parser import HTMLParser
from pathlib import Path

DEMO = Path(os.environ.get("srcdir", ".")).resolve() / "examples/demo"
DIALARC = Path(
    os.environ.get("DIALARC_PROGRAM") or "examples/programs/dialarc"
).resolve()
FOLDER = Path(tempfile.mkdtemp())
VOID = {"br", "meta"}
KNOWN = {"a", "article", "body", "br", "circle", "dd", "div", "dl", "dt", "figcaption",
         "figure", "h1", "h2", "h3", "head", "html", "li", "meta", "ol", "p", "path", "rect",
         "section", "small", "style", "svg", "table", "tbody", "td", "text", "th", "thead", "title",
         "tr", "ul"}
faults = []


def check(what, good, text=""):
    if not good:
        faults.append(f"{what}\n{text}")


class Page(HTMLParser):
    """What a browser would make of it; complains where it would have to guess."""

    def __init__(self, text):
        super().__init__()
        self.open, self.words, self.drawn, self.ids, self.links = [], [], [], [], []
        check("a document type", text.startswith("<!DOCTYPE html>\n<html lang="))
        self.feed(text)
        self.close()
        check("elements left open", not self.open, self.open)
        check("an identity twice", len(set(self.ids)) == len(self.ids), self.ids)
        check("links that lead nowhere", set(self.links) <= {f"#{i}" for i in self.ids})

    def take(self, tag, attributes):
        names = [name for name, _ in attributes]
        check("an attribute twice", len(set(names)) == len(names), f"{tag} {names}")
        check("an element that should not be here", tag in KNOWN, tag)
        check("what runs or comes from elsewhere", not any(
            n.startswith("on") or n in ("src", "style", "xlink:href") for n in names), names)
        given = dict(attributes)
        self.ids += [given["id"]] if "id" in given else []
        self.links += [given["href"]] if "href" in given else []
        if "svg" in self.open:
            self.drawn.append((tag, given))

    def handle_starttag(self, tag, attrs):
        self.take(tag, attrs)
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.take(tag, attrs)
        check("an element that HTML does not close by itself", "svg" in self.open, tag)

    def handle_endtag(self, tag):
        check("an end that fits nothing", self.open and self.open[-1] == tag,
              f"{tag} in {self.open}")
        if self.open and self.open[-1] == tag:
            self.open.pop()

    def handle_data(self, data):
        if "svg" not in self.open and "style" not in self.open:
            self.words += data.split()


def run(*words, command="assess", status=(0, 1)):
    done = subprocess.run([DIALARC, *command.split(), *words], capture_output=True,
                          text=True, check=False, cwd=FOLDER)
    check(f"status {done.returncode} of {words}", done.returncode in status, done.stderr)
    return done


def page_of(*words, command="assess"):
    target = FOLDER / "page.html"
    target.unlink(missing_ok=True)
    beside = run("--page", target, *words, command=command).stdout
    check("output beside the page", beside == "", beside)
    return target.read_text(encoding="utf-8")


def rows(name):
    with (DEMO / name).open(newline="") as table:
        return list(csv.DictReader(table))


def write(name, table):
    with (FOLDER / name).open("w", newline="", encoding="utf-8") as out:
        writer = csv.DictWriter(out, table[0].keys())
        writer.writeheader()
        writer.writerows(table)
    return FOLDER / name


def says_what_the_text_says(*words, command="assess"):
    """Every word and number, as often at least; what makes lists in text is left out."""
    report = ["--report"] if command == "assess" else []
    text = re.sub(r"(?m)^ *(\d+\.|-) |^=+$", "",
                  run(*report, *words, command=command).stdout)
    page = Page(page_of(*words, command=command))
    missing = Counter(text.split()) - Counter(page.words)
    check(f"words of the text that the HTML lacks: {words}", not missing, missing)
    check("no words", len(text.split()) > 200)


def alone():
    page = page_of(DEMO / "setups.csv", DEMO / "sweeps.csv")
    for part in ("http:", "https:", "url(", "@import", "<script", "<link", "<img", "//"):
        check(f"{part} in the page", part not in page)
    check("not one policy that allows nothing from elsewhere",
          page.count("default-src 'none'") == 1)
    check("the summary", "2 GOOD, 1 TOO LATE, 1 TOO EARLY, 2 NOT SURE, 1 NO VERDICT of 7."
          in page)
    check("links of the summary", len(Page(page).links) == 7)
    check("numbers that are none", not re.search(r"\b(nan|inf)\b|-0\.0+\b", page))
    late = [row for row in rows("sweeps.csv") if row["sweep"] == "heron late"]
    check("a summary of one", "SUMMARY" not in page_of(DEMO / "setups.csv",
                                                       write("one.csv", late)))


def names_that_do_harm():
    evil = "<script>alert('1')</script>\"&amp;\u202e\u009b"
    shown = "<script>alert('1')</script>\"&amp;\\u202E\\u009B"
    setups = [{**row, "setup": evil} for row in rows("setups.csv") if row["setup"] == "heron4"]
    sweeps = [{**row, "setup": evil, "sweep": f"{row['sweep']} {evil}"}
              for row in rows("sweeps.csv") if row["setup"] == "heron4"]
    tables = write("evil.csv", setups), write("evil_sweeps.csv", sweeps)
    for words in tables, ("--together", *tables):
        page = page_of(*words)
        check("a script", "<script" not in page)
        check("controls in the page", not re.search("[\0-\x09\x0b-\x1f\x7f-\x9f\u202e]", page))
        check("the name as it was", shown in " ".join(Page(page).words), page[:9000])
        says_what_the_text_says(*words)


def fallen(table, top_mm, *columns):
    """What a falling dial shows that stands at top_mm where the other stands at 0."""
    return [{**row, **{c: f"{top_mm - float(row[c]):.3f}" for c in columns}} for row in table]


def the_picture_is_the_table(falling):
    """Places of the marks are those of the readings; the curve goes through them."""
    late = [row for row in rows("sweeps.csv") if row["sweep"] == "heron late"]
    late = fallen(late, 5, "dial_mm") if falling else late
    setups = write("setups.csv", [{**row, "dial_sense": -1 if falling else 1}
                                  for row in rows("setups.csv")])
    drawn = Page(page_of(setups, write("one.csv", late))).drawn
    marks = [(float(g["cx"]), float(g["cy"])) if tag == "circle" else
             (float(g["x"]) + 2.5, float(g["y"]) + 2.5) for tag, g in drawn
             if g.get("class") in ("with", "against")]
    n = len(late)
    check("marks of readings", len(marks) >= n, len(marks))
    angle, shown = ([float(row[c]) for row in late] for c in ("crank_deg", "dial_mm"))
    for k, value in enumerate((angle, shown)):
        low, high = value.index(min(value)), value.index(max(value))
        scale = (marks[high][k] - marks[low][k]) / (value[high] - value[low])
        for i in range(n):
            wanted = marks[low][k] + scale * (value[i] - value[low])
            check("a mark in the wrong place", abs(marks[i][k] - wanted) <= 0.11,
                  f"{late[i]} {marks[i]}")
    with_the_crank = [g["class"] == "with" for _, g in drawn
                      if g.get("class") in ("with", "against")][:n]
    rising = [angle[min(i + 1, n - 1)] > angle[max(i, 1) - 1] if i == 0 else
              angle[i] > angle[i - 1] for i in range(n)]
    check("directions", with_the_crank == rising)
    curve = next(g["d"] for _, g in drawn if g.get("class") == "forward")
    points = [tuple(map(float, p.split())) for p in re.split("[ML]", curve) if p]
    off = []
    for i, (x, y) in enumerate(marks[:n]):
        for (x1, y1), (x2, y2) in zip(points, points[1:]):
            if x1 <= x < x2 and with_the_crank[i]:
                off.append(y1 + (y2 - y1) * (x - x1) / (x2 - x1) - y)
    check("readings on the rise", len(off) > 10, off)
    # Half a degree of the wheel at 0.05 mm a degree, 0.01 mm of the dial, 0.009 mm a pixel.
    check("the curve passes a reading by", max(map(abs, off)) < 4, off)
    check("the curve lies to one side", abs(sum(off) / len(off)) < 0.5, off)
    for tag, g in drawn:
        across = [float(g[c]) for c in ("x", "cx") if c in g]
        check("beyond the figure", all(0 <= x <= 344 for x in across), f"{tag} {g}")


def heights(page):
    """Of the marks of all rounds."""
    return [g.get("cy", g.get("y")) for _, g in Page(page).drawn
            if g.get("class") in ("with", "against")]


def rounds():
    """A mark for each row of the table, loose and tight apart; and the guards."""
    page = page_of(DEMO / "setups.csv", DEMO / "rounds.csv", command="round")
    shapes = Counter(g["class"] for _, g in Page(page).drawn
                     if g.get("class") in ("with", "against"))
    setups = write("setups.csv", [{**row, "dial_sense": -1} for row in rows("setups.csv")])
    falling = write("rounds.csv", fallen(rows("rounds.csv"), 0, "minimum_mm", "tdc_mm"))
    check("a falling dial, the same heights", heights(page) == heights(
        page_of(setups, falling, command="round")))
    states = Counter(row["state"] for row in rows("rounds.csv"))
    check("marks of rounds", shapes["with"] == states["loose"] and
          shapes["against"] == states["tight"], f"{shapes} {states}")
    evil = "<script>x</script>"
    table = [{**row, "job": evil + row["job"]} for row in rows("rounds.csv")]
    page = page_of(DEMO / "setups.csv", write("evil_rounds.csv", table), command="round")
    check("a script", "<script" not in page and "&lt;script&gt;" in page)
    target = FOLDER / "job.html"
    target.write_text("kept")
    run("--page", target, DEMO / "setups.csv", DEMO / "sweeps.csv", command="round",
        status=(2,))
    check("a page of a table that failed", target.read_text() == "kept")


def job_sheets():
    """A sheet a sweep with the words of the text, whatever the names and options are."""
    evil, file = "<script>alert('1')</script>\"&amp;\u202e\u009b=1+2", FOLDER / "shop.db"
    shown = "<script>alert('1')</script>\"&amp;\\u202E\\u009B=1+2"
    setups = [{**row, "setup": evil, "dial": evil} for row in rows("setups.csv")[:1]]
    sweeps = [{**row, "setup": evil, "sweep": f"{row['sweep']} {evil}"}
              for row in rows("sweeps.csv") if row["setup"] == "heron4"]
    dials = [{**row, "dial": evil, "certificate": evil} for row in rows("dials.csv")]
    done = run("--hand", evil, "--dials", write("dials.csv", dials), file, "2026-02-28",
               write("evil.csv", setups), write("evil_sweeps.csv", sweeps),
               command="history add", status=(0, 1, 2))
    if "built without" in done.stderr:
        print("skipped: job sheets,", done.stderr.strip())
        return
    words = ("--shop", evil, "--customer", evil, "--literature", evil, file, evil)
    page = page_of(*words, command="history sheet")
    check("a script", "<script" not in page)
    check("controls in the sheet", not re.search("[\0-\x09\x0b-\x1f\x7f-\x9f\u202e]", page))
    said = " ".join(Page(page).words)
    for part in ("Shop {}", "Customer {}", "Measured by {}", "Dial {}, calibrated",
                 "certificate {}", "literature: {}"):
        check(f"names of the sheet: {part}", said.count(part.format(shown)) == 3, said)
    check("a sheet a sweep", page.count("<article") == 3)
    says_what_the_text_says(*words, command="history sheet")


def as_high_as(marks, values):
    """Whether marks, from the left, stand as high as values do, within a tenth of a unit."""
    low, high = values.index(min(values)), values.index(max(values))
    scale = (marks[high] - marks[low]) / (values[high] - values[low])
    return scale < 0 and all(abs(marks[low] + scale * (v - values[low]) - m) <= 0.11
                             for m, v in zip(marks, values))


def lobes():
    """Discs stand as high as the table of the lobes says; names harm nobody."""
    evil = "<script>x</script>"
    sweeps = rows("turns.csv")
    turn = write("turn.csv", [{**row, "sweep": evil} for row in sweeps
                              if row["sweep"] == sweeps[0]["sweep"]])
    table = list(csv.DictReader(run(
        "--csv", DEMO / "setups.csv", turn, command="lobes").stdout.split("\n")))
    page = page_of(DEMO / "setups.csv", turn, command="lobes")
    marks = [float(g["cy"]) for _, g in Page(page).drawn if g.get("class") == "with"]
    n = len(table)
    check("a mark for each lobe in two pictures", len(marks) == 2 * n > 0, marks)
    for k, column in enumerate(("advance_crank_deg", "lift_error_mm")):
        check(f"heights of {column}", as_high_as(
            marks[k * n:(k + 1) * n], [float(row[column]) for row in table]), marks)
    check("a script", "<script" not in page and "&lt;script&gt;" in page)
    check("a summary of one", "SUMMARY" not in page)
    page = page_of(DEMO / "setups.csv", DEMO / "turns.csv", command="lobes")
    check("links of the summary", len(Page(page).links) == len({r["sweep"] for r in sweeps}))
    check("numbers that are none", not re.search(r"\b(nan|inf)\b|-0\.0+\b", page))
    check("what cannot be compared", "The lobes cannot be compared." in page)
    target = FOLDER / "lobes.html"
    target.write_text("kept")
    run("--page", target, DEMO / "setups.csv", FOLDER / "none.csv", command="lobes",
        status=(2,))
    check("a page of a table that failed", target.read_text() == "kept")


def as_a_whole_or_not_at_all():
    target = FOLDER / "kept.html"
    target.write_text("kept")
    broken = FOLDER / "broken.csv"
    broken.write_text((DEMO / "sweeps.csv").read_text() + "x,heron4,no number,1\n")
    for words in ((DEMO / "setups.csv", broken), (DEMO / "setups.csv", FOLDER / "none.csv")):
        run("--page", target, *words, status=(2,))
        check("a page of a table that failed", target.read_text() == "kept")
    check("what was left behind", {p.name for p in FOLDER.glob("kept*")} == {"kept.html"})
    for option in (["--report"], ["--for-spreadsheet"], ["--out", FOLDER / "other"]):
        done = run("--page", target, *option, DEMO / "setups.csv", DEMO / "sweeps.csv",
                   status=(2,))
        check("why not", "--page: goes with neither" in done.stderr, done.stderr)
    if os.path.exists("/dev/full"):
        run("--page", "/dev/full", DEMO / "setups.csv", DEMO / "sweeps.csv", status=(2,))
    threads = [page_of("--threads", n, DEMO / "setups.csv", DEMO / "sweeps.csv")
               for n in ("1", "3")]
    check("the page depends on threads", threads[0] == threads[1])


def form_of(kind, *options):
    done = subprocess.run([DIALARC, "form", *options, kind], capture_output=True, text=True,
                          check=False)
    check(f"status of form {kind}", done.returncode == 0 and not done.stderr, done.stderr)
    return done.stdout


def forms_ask_for_what_tables_have():
    """Columns of the table of engines: those that the README lists, but for inches."""
    readme = (DEMO.parents[1] / "README.md").read_text()
    listed = re.search(r"\*\*setups\*\*.*?\n\n(.*?)\n\n", readme, re.S)[1]
    wanted = {name for row in listed.split("\n")[2:]
              for name in re.findall(r"`(\w+)`", row.split("|")[1])}
    wanted |= {"lift_low_mm", "lift_high_mm"}
    for kind, rows_wanted in ("sweep", 60), ("round", 20):
        page = form_of(kind)
        Page(page)
        asked = re.findall(r"<small>(\w+)</small>", page)
        check(f"columns of form {kind}", sorted(asked) == sorted(wanted),
              wanted ^ set(asked))
        check("rows", len(re.findall(r'<tr><th scope="row">\d+</th>', page)) == rows_wanted)
        check("cautions", "The manufacturer's service literature comes first"
              in " ".join(Page(page).words))
    numbers = re.findall(r'<th scope="row">(\d+)</th>', form_of("sweep", "--rows", "7"))
    check("rows of a short form", numbers == list("1234567"), numbers)


def brightness(colour):
    """Relative luminance of #rgb or #rrggbb by WCAG 2.1."""
    digits = colour[1:] if len(colour) == 7 else "".join(2 * c for c in colour[1:])
    part = [int(digits[k:k + 2], 16) / 255 for k in (0, 2, 4)]
    part = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in part]
    return 0.2126 * part[0] + 0.7152 * part[1] + 0.0722 * part[2]


def can_be_read():
    style = page_of(DEMO / "setups.csv", DEMO / "sweeps.csv").split("</style>")[0]
    themes = re.findall(r":root\{[^}]*(--paper[^}]*)\}", style)
    check("light, dark and print", len(themes) == 3, themes)
    for theme in themes:
        colour = dict(re.findall(r"--(\w+):(#\w+)", theme))
        for ink in ("ink", "soft", "blue", "orange"):
            for paper in ("paper", "sheet"):
                a, b = sorted((brightness(colour[ink]), brightness(colour[paper])))
                check(f"{ink} on {paper}", (b + 0.05) / (a + 0.05) >= 4.5, theme)
    screen = style.split("@media print")[0]
    wide = [w for w in re.findall(r"(?<!max-)(?<!min-)width:(\d+)px", screen) if int(w) > 344]
    check("wider than a telephone", not wide, wide)


says_what_the_text_says(DEMO / "setups.csv", DEMO / "sweeps.csv")
says_what_the_text_says("--together", DEMO / "setups.csv", DEMO / "sweeps.csv")
says_what_the_text_says("--dials", DEMO / "dials.csv", DEMO / "setups.csv", DEMO / "sweeps.csv")
says_what_the_text_says(DEMO / "setups.csv", DEMO / "rounds.csv", command="round")
alone()
rounds()
lobes()
names_that_do_harm()
job_sheets()
the_picture_is_the_table(falling=False)
the_picture_is_the_table(falling=True)
as_a_whole_or_not_at_all()
forms_ask_for_what_tables_have()
can_be_read()
print("\n".join(faults[:20]))
sys.exit(1 if faults else 0)
