#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The package in a project of somebody else: as npm packs it, looked at by tsc, bundled by
# esbuild, run by Node and by Chromium.
set -euo pipefail
tests=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
source=$(cd "$tests/../../.." && pwd)
package=$PWD/bindings/javascript/package
[ -e "$package/package.json" ] || { echo "skipped: no package, make javascript"; exit 77; }
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
lacks() {
    if command -v "$1" >/dev/null; then return 1; fi
    echo "skipped: $1 is not installed"
}

cd "$work"
mkdir -p node_modules/dialarc
if command -v npm >/dev/null; then
    npm pack --silent --offline "$package" >/dev/null
    tar -xzf dialarc-*.tgz -C node_modules/dialarc --strip-components=1
else
    cp -R "$package/." node_modules/dialarc
fi
echo '{"type": "module"}' >package.json
cp "$tests/types.ts" "$tests/page.js" "$tests/vectors.js" .

lacks tsc || tsc --noEmit --strict --target es2022 --module esnext --moduleResolution node \
    --lib es2022,dom types.ts

lacks esbuild && exit 0
cat >app.js <<'END'
import { load } from "dialarc";
import { bytes } from "dialarc/bytes";
console.log((await load(await bytes())).mm_from_in(1));
END
for file in app page; do
    esbuild "$file.js" --bundle --minify --format=esm --platform=browser --log-level=warning \
        --outfile="$file.bundle.js"
done
[ "$(node app.bundle.js)" = 25.4 ]
size=$(wc -c <app.bundle.js)
echo "a page that is one file carries $size bytes of it"
[ "$size" -lt 400000 ] # of the 700,000 that a page may have

lacks chromium || node "$tests/chromium.js" "$package" "$source/refdata/vectors.csv" \
    "$work/page.bundle.js" "$work"
