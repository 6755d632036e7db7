#!/bin/sh
# Two builds of the package, one after the other and in folders of other names,
# have the same bytes. It stands outside the tests: it takes minutes.
set -eu
root=$(cd "$(dirname "$0")/../.." && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
"$root/packaging/build.sh" "$work/first" >"$work/names"
sleep 2
"$root/packaging/build.sh" "$work/a folder of another name" >>"$work/names"
sha256sum "$work"/*/rushlight_*.deb | sed "s|$work/||"
[ "$(sha256sum "$work"/*/rushlight_*.deb | cut -d' ' -f1 | sort -u | wc -l)" -eq 1 ] ||
    { echo 'the two differ'; exit 1; }
echo 'two builds, the same bytes'
