#!/bin/sh
# browser.sh PROGRAM ROOT [FOLDER]: browser.mjs on a demo market of its own, with
# the packages of ROOT/node_modules; FOLDER gets a picture of each sheet.
set -eu
command -v node >/dev/null || exit 77
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
"$1" demo --dir "$scratch" --quiet >/dev/null
cd "$2"
# The browser keeps what is the person's own out of it, and the other way round.
HOME=$scratch node tests/web/browser.mjs "$1" "$scratch/book.sqlite" ${3:+"$3"}
