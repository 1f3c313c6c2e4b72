#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The API reference is built, and nothing public is without its words.
set -u
command -v doxygen >/dev/null || { echo "skipped: doxygen is not installed"; exit 77; }
make --no-print-directory -s html
