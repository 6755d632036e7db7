#!/bin/sh
# Trades over whole markets: seconds, bars a second, and how cost grows.
set -eu
build=$1
for size in 200 2000 20000; do
    "$build/bench/trades_bench" setups/low-inverted-hammer.yaml "$size" 5000 "$(nproc)"
done
"$build/bench/trades_bench" setups/low-inverted-hammer.yaml 5000 5000 "$(nproc)"
