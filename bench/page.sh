#!/bin/sh
# The page in Chromium: dragging, the next case, a changed limit, first paint with
# 10,000 instruments in the book, 20 clients at once. Nothing without a browser.
#
#   page.sh BUILD
set -eu
root=$(cd "$(dirname "$0")/.." && pwd)
program=$(cd "$1" && pwd)/rushlight
[ -x /usr/bin/chromium ] && [ -d "$root/node_modules/playwright-core" ] || {
    echo "there is no Chromium, or no driver for it"
    exit 0
}
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
"$program" demo --dir "$folder" --quiet >/dev/null
/usr/bin/python3 - "$folder" <<'END'
import datetime
import os
import random
import sys

folder = sys.argv[1]
chance = random.Random(8)


def write(name, count, first):
    price = 50
    with open(f"{folder}/{name}.csv", "w", encoding="ascii") as file:
        file.write("time,open,high,low,close,volume\n")
        for i in range(count):
            day = first + datetime.timedelta(hours=i) if count > 9999 else first + datetime.timedelta(days=i)
            stamp = day.strftime("%Y-%m-%dT%H:%M:%SZ" if count > 9999 else "%Y-%m-%d")
            close = max(1, round(price * (1 + chance.gauss(0, 0.01)), 2))
            high = round(max(price, close) * 1.004, 2)
            low = round(min(price, close) * 0.996, 2)
            file.write(f"{stamp},{price},{high},{low},{close},{i % 1000}\n")
            price = close


write("long", 50000, datetime.datetime(2015, 1, 1))
os.mkdir(folder + "/many")
for i in range(9960):
    write(f"many/m{i:05}", 60, datetime.datetime(2024, 10, 1))
END
"$program" import "$folder/long.csv" --book "$folder/book.sqlite" --quiet >/dev/null
"$program" import "$folder/many" --book "$folder/book.sqlite" --quiet >/dev/null
cd "$root"
HOME=$folder node bench/page.mjs "$program" "$folder/book.sqlite"
