#!/bin/sh
# run.sh [--refresh] FIGURE_TEXT NAME: compares one kind of figure with its
# golden text, golden/NAME.txt; --refresh writes it. Look at what changed
# (./dev look) before it is committed.
set -eu
here=$(dirname "$0")
if [ "$1" = --refresh ]; then
    "$2" "$3" >"$here/golden/$3.txt"
    exit
fi
"$1" "$2" | diff -u "$here/golden/$2.txt" -
