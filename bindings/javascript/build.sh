#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# build.sh SOURCE VERSION: makes the package for JavaScript in the folder package here: the
# library in WebAssembly, and what makes it callable. Needs emscripten and Python; GSL's
# sources come from where gsl/fetch.sh says.
set -euo pipefail
source=$(cd "$1" && pwd) version=$2
own=$source/bindings/javascript
command -v emcc >/dev/null ||
    { echo "skipped: javascript: no emcc (Debian: emscripten)"; exit 77; }

mkdir -p made
bash "$own/gsl/fetch.sh" made/gsl
mkdir -p made/include/gsl package
ln -sf "$PWD"/made/gsl/gsl_*.h "$PWD"/made/gsl/*/gsl_*.h made/include/gsl
${PYTHON3:-python3} -B "$own/generate/generate.py" made "$source"/include/dialarc/*.h
mapfile -t gsl < <(sed 's,^,made/gsl/,' "$own/gsl/files")

# Symbols that nobody defines are not an error here, for one is a function of JavaScript:
# a module that asks for others does not load. The stack lies below everything else, so
# that running out of it is seen.
# Node as Debian's emscripten knows it has no fetch().
NODE_OPTIONS=--no-experimental-fetch emcc -O2 -w -std=c11 -D_POSIX_C_SOURCE=200809L \
    -D"PACKAGE_VERSION=\"$version\"" -I"$own/gsl" -Imade/include -Imade/gsl \
    -I"$source/include" -I"$source/lib" "$source"/lib/*/*.c made/layout.c "$own/bridge.c" "${gsl[@]}" \
    --no-entry -s STANDALONE_WASM -s ALLOW_MEMORY_GROWTH=1 -s INITIAL_MEMORY=4MB \
    -s TOTAL_STACK=1MB -Wl,--stack-first -s EXPORTED_FUNCTIONS=@made/exports \
    -s ERROR_ON_UNDEFINED_SYMBOLS=0 -s WARN_ON_UNDEFINED_SYMBOLS=0 -o made/dialarc.wasm

# The bytes for who has one file alone: packed, as text.
{
    echo "// Made by build.sh: dialarc.wasm, packed by gzip."
    echo "export const packed = \"$(gzip -9 -n -c made/dialarc.wasm | base64 -w 0)\";"
} >made/packed.js
cp "$own"/src/*.js "$own"/src/*.d.ts "$own/README.md" "$source/COPYING" made/interface.js \
    made/dialarc.d.ts made/packed.js made/dialarc.wasm package
sed "s/@VERSION@/$version/" "$own/package.json" >package/package.json
