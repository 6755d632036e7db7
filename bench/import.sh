#!/bin/sh
# Reading a file of prices, and importing it into a book, against
# pandas.read_csv of the same file in the same run; memory over sizes; and
# opening a book of 10,000 instruments.
set -eu
build=$1
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
bench=$build/bench/import_bench
rushlight=$build/rushlight

# seconds COMMAND...: wall time.
seconds() {
    began=$(date +%s.%N)
    "$@" >/dev/null
    awk -v a="$began" -v b="$(date +%s.%N)" 'BEGIN { print b - a }'
}
"$bench" make "$folder/big.csv" 200
theirs=$(/usr/bin/python3 -c 'import pandas, sys, time
began = time.time(); pandas.read_csv(sys.argv[1]); print(time.time() - began)' "$folder/big.csv")
parse=$("$bench" parse "$folder/big.csv")
book=$(seconds "$rushlight" import "$folder/big.csv" --book "$folder/book.sqlite" --quiet)
echo "$parse $book $theirs" | awk '{
    printf "200 MB, %d bars: parse %.3f s, into the book %.3f s, pandas %.3f s: %.1f and %.1f times\n", \
        $2, $1, $3, $4, $4 / $1, $4 / $3 }'
for size in 10 100 1000; do
    "$bench" make "$folder/size.csv" $size
    rm -f "$folder/size.sqlite"
    peak=$(/usr/bin/python3 -c 'import resource, subprocess, sys
subprocess.run(sys.argv[1:], check=True, stdout=subprocess.DEVNULL)
print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)' \
        "$rushlight" import "$folder/size.csv" --book "$folder/size.sqlite" --quiet)
    echo "$size MB into the book: $((peak / 1024)) MB of memory at most"
done
rm -f "$folder"/*.csv
mkdir "$folder/many"
awk -v folder="$folder/many" 'BEGIN { for (i = 0; i < 10000; i++) {
    file = sprintf("%s/name%05d.csv", folder, i)
    print "date,open,high,low,close\n2024-01-02,1,2,1,2\n2024-01-03,2,3,2,3" >file
    close(file) } }'
"$rushlight" import "$folder/many" --book "$folder/many.sqlite" --quiet >/dev/null
# shellcheck disable=SC2046 # ten thousand names
made=$(seconds "$rushlight" watchlists make all $(seq -f name%05g 0 9999) --book "$folder/many.sqlite" \
    --quiet)
echo "10,000 instruments put on a list: $made s"
/usr/bin/python3 -c 'import statistics, subprocess, sys, time
times = []
for run in range(21):
    began = time.perf_counter()
    subprocess.run(sys.argv[1:], check=True, stdout=subprocess.DEVNULL)
    times.append((time.perf_counter() - began) * 1000)
print(f"10,000 instruments: watchlists in {statistics.median(times):.0f} ms, the median of 21 runs, "
      f"{min(times):.0f} at least")' "$rushlight" watchlists --book "$folder/many.sqlite"
