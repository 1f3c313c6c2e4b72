#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""build.py PACKAGE PAGE: one page, PAGE, from the sources beside this file.

PACKAGE is the package for JavaScript that `make javascript` makes. esbuild bundles; what
comes out is one file that needs no other and no network.
"""
import os
import pathlib
import subprocess
import sys
import tempfile

LARGEST_BYTES = 700_000

SOURCES = pathlib.Path(__file__).resolve().parent / "src"


def bundle(entry, modules):
    command = ["esbuild", str(SOURCES / entry), "--bundle", "--minify", "--format=esm", "--target=es2022",
               "--charset=utf8", "--legal-comments=none", "--external:node:*", "--log-level=warning"]
    return subprocess.run(command, check=True, stdout=subprocess.PIPE, encoding="utf-8",
                          env=os.environ | {"NODE_PATH": modules}).stdout.strip()


def main(package, page):
    with tempfile.TemporaryDirectory() as modules:
        os.symlink(pathlib.Path(package).resolve(), pathlib.Path(modules) / "dialarc")
        style, script = bundle("page.css", modules), bundle("main.ts", modules)
    text = (SOURCES / "page.html").read_text(encoding="utf-8")
    text = text.replace("/*STYLE*/", style).replace("/*SCRIPT*/", script.replace("</script", "<\\/script"))
    made = text.encode()
    if len(made) > LARGEST_BYTES:
        sys.exit(f"build.py: the page has {len(made)} bytes, more than {LARGEST_BYTES}")
    part = pathlib.Path(page + ".part")
    part.write_bytes(made)
    part.replace(page)
    print(f"{page}: {len(made)} bytes")


main(*sys.argv[1:])
