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
#
# Starting a process costs more than most cases do: what is found is kept in the
# same files, and all of it compared by one diff at the end.
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
root=${here%/tests/cli}
bin=$(cd "$(dirname "$1")" && pwd)
RUSHLIGHT=$bin/${1##*/}
shift
[ -x "$RUSHLIGHT" ] || { echo "$RUSHLIGHT is no program" >&2; exit 2; }
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
export RUSHLIGHT DATA=data HOME="$work/folder/home" TZ=UTC LC_ALL=C.UTF-8 PATH="$bin:$PATH"
unset XDG_DATA_HOME

# Makes the folder that cases run in, unless the one before left it as it was.
empty_folder() {
    for left in "$work"/folder/* "$work"/folder/.[!.]*; do
        case $left in
        */data | */setups | *'/*' | *'/.[!.]*') ;;
        *)
            rm -rf "$work/folder"
            break
            ;;
        esac
    done
    [ -L "$work/folder/data" ] && [ -L "$work/folder/setups" ] && return
    rm -rf "$work/folder"
    mkdir "$work/folder" && ln -s "$root/tests/data" "$root/setups" "$work/folder"
}

# Runs the case in $1, leaving stdout, stderr and, unless it is 0, status in $2.
run_case() {
    empty_folder
    status=0
    (
        cd "$work/folder" || exit 125
        exec timeout 120 sh "$1/command"
    ) >"$2/stdout" 2>"$2/stderr" </dev/null || status=$?
    [ "$status" -eq 0 ] || echo "$status" >"$2/status"
}

# Of case $1 what was found, $2, becomes what is expected; an empty file is left out.
refresh_case() {
    for part in stdout stderr status; do
        if [ ! -s "$2/$part" ]; then
            rm -f "$1/$part"
        elif ! cmp -s "$1/$part" "$2/$part"; then
            cp "$2/$part" "$1/$part"
        fi
    done
}

# The cases that differ from what is expected, with their commands.
name_failed() {
    for case in $cases; do
        diff -rNq -x command "$here/$case" "found/$case" >/dev/null && continue
        echo "FAILED $case: $(cat "$here/$case/command")"
        failed=$((failed + 1))
    done
}

cases=
for name in "$@"; do
    for file in "$here/$name/command" "$here/$name"/*/command; do
        [ -e "$file" ] || continue
        file=${file%/command}
        cases="$cases ${file#"$here/"}"
    done
done
[ -n "$cases" ] || { echo "0 cases: $*" >&2; exit 1; }
cd "$work" && mkdir found && cd found || exit 2
# shellcheck disable=SC2086 # one argument a case
mkdir -p $cases && cd ..

count=0
failed=0
for case in $cases; do
    count=$((count + 1))
    run_case "$here/$case" "$work/found/$case"
    [ -z "$refresh" ] || refresh_case "$here/$case" "$work/found/$case"
done
same=1
if [ -z "$refresh" ]; then
    for name in "$@"; do
        # A file that is not there is an empty one to -N.
        diff -ruN -x command "$here/$name" "found/$name" || same=
    done
    [ -n "$same" ] || name_failed
fi
echo "$count cases, $failed failed"
[ -n "$same" ]
