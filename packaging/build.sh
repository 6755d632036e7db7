#!/bin/sh
# build.sh FOLDER: a Debian package of the sources that git knows, in FOLDER. The
# same sources give the same bytes, whenever and wherever they are built.
set -eu
root=$(cd "$(dirname "$0")/.." && pwd)
mkdir -p "$1"
folder=$(cd "$1" && pwd)
rm -rf "$folder/source"
mkdir "$folder/source"
(cd "$root" && git ls-files -z -- . | xargs -0 cp --parents -t "$folder/source")
cp -R "$root/packaging/debian" "$folder/source/debian"
cd "$folder/source"
env -u CFLAGS -u CPPFLAGS -u LDFLAGS dpkg-buildpackage -b -us -uc >"$folder/log" 2>&1 ||
    { tail -n 30 "$folder/log" >&2; exit 1; }
rm -rf "$folder/source"
ls "$folder"/rushlight_*.deb
