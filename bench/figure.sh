#!/bin/sh
# Milliseconds of one figure of 300 and of 3,000 bars, with the share of each
# part, of a whole case sheet on markets of that length, and of one frame of a
# chart window with so many of 50,000 bars in view; medians.
set -eu
build=$1
for bars in 300 3000; do
    # shellcheck disable=SC2046 # eight numbers
    set -- $("$build/bench/figure_bench" "$bars" 300)
    echo "$bars $*" | awk '{
        all = $2 + $3 + $4
        printf "%d bars: %.3f ms (marks %.0f %%, labels %.0f %%, writing %.0f %%), %.0f kB; ", \
            $1, all, 100 * $2 / all, 100 * $3 / all, 100 * $4 / all, $5 / 1e3
        printf "case sheet %.3f ms made, %.3f ms placed and written; ", $6, $7
        printf "a frame of a window %.3f ms, %.0f kB\n", $8, $9 / 1e3 }'
done
