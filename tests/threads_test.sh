#!/bin/sh
# The same bytes with 1, 2 and 7 threads: every signal and every trade of some
# shipped setups over the whole demo market, in each format; and the same trades
# from each instrument alone as from all of them together.
#
#   threads_test.sh PROGRAM [SETUP...]
set -eu
root=$(cd "$(dirname "$0")/.." && pwd)
program=$1
shift
[ $# -gt 0 ] || set -- low-inverted-hammer scale-out
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"
export XDG_DATA_HOME="$work" HOME="$work"

# The command, with its status after what it printed.
run() {
    status=0
    "$program" "$@" >out 2>err || status=$?
    cat out err
    echo "status $status"
}

"$program" demo --dir demo --quiet >/dev/null
set -- "$@" -- demo/prices/*.csv
setups=
while [ "$1" != -- ]; do
    setups="$setups $1"
    shift
done
shift

compared=0
lines=0
for setup in $setups; do
    for command in scan trades; do
        for format in csv json text; do
            for threads in 1 2 7; do
                run "$command" "$@" --setup "$root/setups/$setup.yaml" --all --format "$format" \
                    --threads "$threads" >"with-$threads"
            done
            for threads in 2 7; do
                cmp with-1 "with-$threads" || {
                    echo "$command of $setup in $format differs with $threads threads"
                    exit 1
                }
                compared=$((compared + 1))
            done
            lines=$((lines + $(wc -l <with-1)))
        done
    done
done
for setup in $setups; do
    "$program" trades "$@" --setup "$root/setups/$setup.yaml" --all --format csv >together \
        2>/dev/null || true
    for file in "$@"; do
        "$program" trades "$file" --setup "$root/setups/$setup.yaml" --all --format csv \
            2>/dev/null || true
    done | awk 'NR == 1 || !/^instrument,setup,/' >alone
    cmp together alone || {
        echo "trades of $setup differ where each instrument is taken alone"
        exit 1
    }
    compared=$((compared + 1))
done
echo "$compared comparisons, $lines lines"
[ "$compared" -gt 0 ] && [ "$lines" -gt 1000 ]
