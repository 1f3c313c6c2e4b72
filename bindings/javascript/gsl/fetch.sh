#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# fetch.sh FOLDER: puts the sources of GSL 2.7.1 into FOLDER, once. From GSL_SOURCE, a folder
# or an archive; else Debian's, by a list of packages made of the system's own, which stays
# as it is.
set -euo pipefail
folder=$1
[ ! -e "$folder/gsl_math.h" ] || exit 0
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

# Of what Debian calls gsl_2.7.1+dfsg.orig.tar.gz.
wanted=e560d6b9c6e254e46769bbb03583c00ecafbdd51b062c55db23b3b9612868567

from_debian() {
    local name
    command -v apt-get >/dev/null ||
        { echo "GSL_SOURCE= must name the sources of GSL 2.7.1" >&2; return 1; }
    mkdir -p "$work/lists/partial" "$work/parts"
    # Lists have a paragraph a source or a line a source.
    for name in /etc/apt/sources.list.d/debian.sources /etc/apt/sources.list; do
        [ ! -s "$name" ] || sed -E 's/^Types:.*/Types: deb-src/; s/^deb /deb-src /' "$name" \
            >"$work/parts/source.${name##*.}"
    done
    local options=(-qq -o Dir::Etc::SourceList=/dev/null -o Dir::Etc::SourceParts="$work/parts"
        -o Dir::State::Lists="$work/lists" -o Dir::Cache::srcpkgcache= -o Dir::Cache::pkgcache=
        -o APT::Sandbox::User=root)
    cd "$work" && apt-get "${options[@]}" update >&2 &&
        apt-get "${options[@]}" source --download-only gsl >&2
    echo "$work"/gsl_*.orig.tar.*
}

source=${GSL_SOURCE:-$(from_debian)}
mkdir "$work/gsl"
if [ -d "$source" ]; then
    cp -R "$source/." "$work/gsl"
else
    sha256sum --check --quiet <<<"$wanted  $source" ||
        { echo "$source is not GSL 2.7.1 as Debian has it" >&2; exit 1; }
    tar -xf "$source" -C "$work/gsl" --strip-components=1
fi
rm -rf "$folder"
mv "$work/gsl" "$folder"
