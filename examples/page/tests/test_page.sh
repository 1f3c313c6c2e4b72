#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The offline page: its types, and what it does in Chromium. Runs in the build folder, into
# which npm brings what checks it; pictures of the page are left in examples/page/pictures.
set -euo pipefail
srcdir=$(cd "${srcdir:?}" && pwd) top=$PWD
for tool in node npm chromium pdftotext; do
    command -v $tool >/dev/null || { echo "skipped: page: no $tool"; exit 77; }
done
[ -e examples/page/dialarc.html ] || { echo "skipped: page: no page, make page"; exit 77; }

work=$top/examples/page/work
rm -rf "$work" && mkdir -p "$work" "$top/examples/page/pictures"
cp -r "$srcdir"/examples/page/{src,tests,package.json,package-lock.json,tsconfig.json} "$work"
chmod -R u+w "$work"
cd "$work"
npm ci --ignore-scripts --no-audit --no-fund --loglevel=error >/dev/null
cp -r "$top/bindings/javascript/package" node_modules/dialarc
node_modules/.bin/tsc -p .

export DIALARC_PAGE=$top/examples/page/dialarc.html DIALARC_PICTURES=$top/examples/page/pictures
export DIALARC_PROGRAM=$top/examples/programs/dialarc
node --test tests
