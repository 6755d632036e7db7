#!/bin/sh
# A whole study of 25 million bars, and of a tenth of them against the same in
# numpy, once the figures of the two agree.
#
#   study.sh BUILD              the benchmark
#   study.sh --small PROGRAM    the comparison alone, over 20 x 2,000 bars and four
#                               setups, with the study_bench given; 77 without numpy
set -eu
here=$(dirname "$0")
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
peer() {
    env -u OPENBLAS_CORETYPE -u OPENBLAS_L2_SIZE OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 \
        /usr/bin/python3 "$here/study_peer.py" "$folder" "$@"
}
if [ "$1" = --small ]; then
    # Enough trades for every figure; many that leave by time; enough dates for
    # Student's t alone; too few for that.
    for change in 's/atr: 8/atr: 5/' 's/atr: 8/atr: 5/; s/r: 2,/r: 4,/; s/limit: 60/limit: 4/' \
        '' 's/atr: 8/atr: 9/'; do
        sed "$change" "$here/study.yaml" >"$folder/study.yaml"
        "$2" "$folder/study.yaml" 20 2000 2 0 "$folder"
        peer "$folder/study.yaml" 20 2000
    done
    exit
fi
program=$1/bench/study_bench
"$program" "$here/study.yaml" 5000 5000 2 100
for threads in 2 1; do
    "$program" "$here/study.yaml" 500 5000 "$threads" 0 "$folder" >"$folder/$threads"
    cat "$folder/$threads"
done
peer "$here/study.yaml" 500 5000 >"$folder/peer"
awk 'FILENAME ~ /peer$/ { peer = $1; figures = $2; next }
     { ours[++n] = $9 }
     END { printf "numpy %.2f s, its %d figures the same: %.1f times as long as 2 threads, " \
               "%.1f times as long as one\n", \
        peer, figures, peer / ours[1], peer / ours[2] }' "$folder/2" "$folder/1" "$folder/peer"
