#!/bin/sh
# The reference scan against the same in pandas; one core each, one run.
set -eu
build=$1
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
peer() {
    env -u OPENBLAS_CORETYPE -u OPENBLAS_L2_SIZE OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 \
        /usr/bin/python3 bench/scan_peer.py "$@"
}
for size in "400 5000" "1 2000000"; do
    # shellcheck disable=SC2086 # two arguments
    ours=$("$build/bench/scan_bench" "$folder" $size)
    # shellcheck disable=SC2086
    theirs=$(peer "$folder" $size)
    echo "$size $ours $theirs" | awk '{
        printf "%d instrument(s) x %d bars: %.3f s (%.1f ns a bar), pandas %.3f s: %.1f times; ", \
            $1, $2, $3, $3 * 1e9 / $1 / $2, $6, $6 / $3
        printf "%.1f times reading the bars once; columns equal\n", $3 / $4 }'
done
