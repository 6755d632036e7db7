#!/bin/sh
# Trades over whole markets: in memory, over three sizes, and out of a book with
# the program as a person runs it: seconds, bars a second, memory. Then signals of
# one long series of a book, walked along.
set -eu
build=$1
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
for size in 200 2000 20000; do
    "$build/bench/trades_bench" setups/low-inverted-hammer.yaml "$size" 5000 "$(nproc)"
done
"$build/bench/book_bench" "$folder/book.sqlite" 5000 5000
# measured WHAT MILLIONS COMMAND...: the program with the rows it printed, what it took.
measured() {
    /usr/bin/python3 -c 'import resource, subprocess, sys, time
what, millions = sys.argv[1], float(sys.argv[2])
began = time.time()
rows = subprocess.run(sys.argv[3:], check=True, stdout=subprocess.PIPE).stdout.count(b"\n") - 1
took = time.time() - began
used = resource.getrusage(resource.RUSAGE_CHILDREN)
print(f"{what}: {took:.2f} s, {used.ru_utime + used.ru_stime:.2f} s of work, "
      f"{millions / took:.1f} million bars/s, {rows} rows, {used.ru_maxrss / 1024:.0f} MB of memory at most")' \
        "$@" --setup setups/low-inverted-hammer.yaml --watchlist all --quiet --format csv
}
measured "5000 x 5000 bars out of a book, trades" 25 "$build/rushlight" trades --book "$folder/book.sqlite"
for millions in 1 2 4; do
    rm -f "$folder/one.sqlite"
    "$build/bench/book_bench" "$folder/one.sqlite" 1 "${millions}000000"
    measured "one series of $millions million bars out of a book, scan --all" "$millions" \
        "$build/rushlight" scan --all --book "$folder/one.sqlite"
done
