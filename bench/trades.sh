#!/bin/sh
# Trades over whole markets: in memory, over four sizes, and out of a book with
# the program as a person runs it: seconds, bars a second, memory.
set -eu
build=$1
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
for size in 200 2000 20000; do
    "$build/bench/trades_bench" setups/low-inverted-hammer.yaml "$size" 5000 "$(nproc)"
done
"$build/bench/book_bench" "$folder/book.sqlite" 5000 5000
/usr/bin/python3 - "$build/rushlight" trades --watchlist all --book "$folder/book.sqlite" --quiet \
    --setup setups/low-inverted-hammer.yaml --format csv <<'END'
import resource, subprocess, sys, time
began = time.time()
rows = subprocess.run(sys.argv[1:], check=True, stdout=subprocess.PIPE).stdout.count(b"\n") - 1
took = time.time() - began
peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
print(f"5000 x 5000 bars out of a book: {took:.2f} s, {25 / took:.1f} million bars/s, "
      f"{rows} trades, {peak:.0f} MB of memory at most")
END
