# SPDX-License-Identifier: GPL-3.0-or-later
"""A folder of sweeps becomes a table and one page with pictures that needs no other file.

    python3 batch_report.py SETUPS FOLDER [--out FOLDER]

Every *.csv of FOLDER with the columns of the sweeps table is read. results.csv and
report.html are written into --out.
"""
import argparse
import html
import io
import re
import sys
from pathlib import Path

import dialarc

PAGE = """<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><title>Sweeps</title>
<style>body{{font:15px/1.45 sans-serif;max-width:60em;margin:2em auto;padding:0 1em}}
table{{border-collapse:collapse}}td,th{{padding:.2em .7em;text-align:right;
border-bottom:1px solid #ccc}}td:first-child,th:first-child{{text-align:left}}
svg{{max-width:100%;height:auto}}</style></head><body>
<h1>{count} sweeps</h1>
<table><tr><th>sweep</th><th>verdict</th><th>lift at TDC, mm</th><th>within, mm</th>
<th>turn, pump degrees</th></tr>
{rows}
</table>
{parts}
</body></html>
"""


def picture(figure, number):
    """A figure as SVG inside the page; its names are made different from the others'."""
    buffer = io.StringIO()
    figure.savefig(buffer, format="svg", metadata={"Date": None})
    svg = buffer.getvalue()
    svg = svg[svg.index("<svg"):]
    svg = re.sub(r'\bid="', f'id="p{number}-', svg)
    return re.sub(r'(url\(#|href="#)', rf"\g<1>p{number}-", svg)


def part(result, number):
    name = html.escape(result.sweep.name)
    notes = "".join(f"<li>{html.escape(note.text)}</li>" for note in result.findings)
    return (f"<h2>{name}</h2>\n<p>{html.escape(result.verdict.text)}</p>\n"
            f"<ul>{notes}</ul>\n{picture(dialarc.plot.sweep(result), number)}")


def row(result):
    cells = [html.escape(result.sweep.name), dialarc.verdict_name(result.verdict)]
    cells += ["" if value != value else f"{value:.{digits}f}" for value, digits in (
        (result.lift_mm, 3), (result.lift_u_mm, 3), (result.turn_pump_deg, 2))]
    return "<tr>" + "".join(f"<td>{cell}</td>" for cell in cells) + "</tr>"


def read_folder(folder, setups):
    sweeps = []
    for path in sorted(Path(folder).glob("*.csv")):
        header = path.read_bytes().split(b"\n", 1)[0].decode("utf-8-sig", "replace")
        words = set(re.findall(r"\w+", header.lower()))
        if "sweep" in words and words & {"dial_mm", "dial_in"}:
            sweeps += dialarc.read_sweeps(path, setups)
    return sweeps


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("setups")
    parser.add_argument("folder")
    parser.add_argument("--out", default=".")
    options = parser.parse_args()
    try:
        sweeps = read_folder(options.folder, dialarc.read_setups(options.setups))
    except dialarc.DialarcError as error:
        sys.exit(str(error))
    results = dialarc.assess_each(sweeps)
    out = Path(options.out)
    out.mkdir(parents=True, exist_ok=True)
    (out / "results.csv").write_text(
        dialarc.results_header() + "".join(result.line() for result in results))
    (out / "report.html").write_text(PAGE.format(
        count=len(results), rows="\n".join(map(row, results)),
        parts="\n".join(part(result, n) for n, result in enumerate(results))))
    print(f"{len(results)} sweeps: results.csv, report.html")


if __name__ == "__main__":
    main()
