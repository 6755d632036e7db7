#!/bin/sh
# Golden cases of the command line: run.sh [--refresh] PROGRAM NAME...
#
# NAME is a group (a folder beside this file) or one case, GROUP/CASE. A case
# is a folder of up to four files:
#   command  read by sh in an empty folder of its own
#   stdout   what it has to print, byte for byte; none: nothing
#   stderr   the same
#   status   its exit status; none: 0
# In the folder, `data` leads to tests/data, `setups` to the shipped setups, and
# `rushlight` is the program; RUSHLIGHT and DATA name them, too. So the paths in
# messages are the same on every machine.
#
# With --refresh the files are written instead of compared: read the difference
# before it is committed.
set -u

refresh=
if [ "${1:-}" = --refresh ]; then
    refresh=1
    shift
fi
if [ $# -lt 2 ]; then
    sed -n '2s/^# //p' "$0" >&2
    exit 2
fi
here=$(cd "$(dirname "$0")" && pwd)
root=$(cd "$here/../.." && pwd)
RUSHLIGHT=$(cd "$(dirname "$1")" && pwd)/$(basename "$1")
shift
[ -x "$RUSHLIGHT" ] || { echo "$RUSHLIGHT is no program" >&2; exit 2; }
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

# Runs the case in $1, leaving stdout, stderr and status in $2.
run_case() {
    mkdir -p "$2" "$work/home"
    rm -rf "$work/folder"
    mkdir "$work/folder"
    ln -s "$root/tests/data" "$work/folder/data"
    ln -s "$root/setups" "$work/folder/setups"
    status=0
    (
        cd "$work/folder" || exit 125
        exec env -u XDG_DATA_HOME HOME="$work/folder/home" TZ=UTC LC_ALL=C.UTF-8 \
            PATH="$(dirname "$RUSHLIGHT"):$PATH" RUSHLIGHT="$RUSHLIGHT" DATA=data \
            timeout 120 sh "$1/command"
    ) >"$2/stdout" 2>"$2/stderr" </dev/null || status=$?
    echo "$status" >"$2/status"
}

# What a case expects of the stream or status $2 goes to $3.
expected() {
    if [ -e "$1/$2" ]; then
        cat "$1/$2"
    elif [ "$2" = status ]; then
        echo 0
    fi >"$3"
}

compare_case() {
    same=0
    for part in status stderr stdout; do
        expected "$1" "$part" "$work/expected"
        diff -u --label "expected $part" --label "found $part" "$work/expected" "$2/$part" || same=1
    done
    return $same
}

refresh_case() {
    for part in stdout stderr status; do
        rm -f "$1/$part"
        expected "$1" "$part" "$work/expected"
        cmp -s "$work/expected" "$2/$part" || cp "$2/$part" "$1/$part"
    done
}

count=0
failed=0
for name in "$@"; do
    for file in "$here/$name/command" "$here/$name"/*/command; do
        [ -e "$file" ] || continue
        folder=$(dirname "$file")
        case=${folder#"$here/"}
        count=$((count + 1))
        run_case "$folder" "$work/found"
        if [ -n "$refresh" ]; then
            refresh_case "$folder" "$work/found"
        elif ! compare_case "$folder" "$work/found"; then
            echo "FAILED $case: $(cat "$file")"
            failed=$((failed + 1))
        fi
    done
done
echo "$count cases, $failed failed"
[ "$count" -gt 0 ] && [ "$failed" -eq 0 ]
