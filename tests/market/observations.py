#!/usr/bin/python3
"""Observations made into bars against pandas' resample (Debian's
python3-pandas): observations.py RUSHLIGHT. Clock changes included, in three
zones; no output and status 0 if every bar is the same."""
import os
import subprocess
import sys
import tempfile

import numpy
import pandas

RULES = {"30m": "30min", "1h": "1h", "1d": "1D", "1w": "W-MON"}


def expected(observations, zone, interval):
    """Buckets of the zone's wall clock, empty ones left out."""
    local = observations.tz_convert(zone)
    options = {}
    if interval == "1w":
        options = {"label": "left", "closed": "left"}
    groups = local.resample(RULES[interval], **options)
    bars = groups["price"].ohlc()
    bars["volume"] = groups["volume"].sum()
    return bars.dropna()


def main():
    rushlight = sys.argv[1]
    random = numpy.random.default_rng(11)
    with tempfile.TemporaryDirectory() as folder:
        for zone in ("UTC", "America/New_York", "Europe/Berlin"):
            for interval in RULES:
                check(rushlight, folder, random, zone, interval)


def check(rushlight, folder, random, zone, interval):
    seconds = numpy.sort(random.integers(0, 86400 * 250, 4000))
    times = pandas.to_datetime(1708000000 + seconds, unit="s", utc=True)
    table = pandas.DataFrame({"price": random.integers(-500, 5000, 4000) / 100,
                              "volume": random.integers(0, 9, 4000)}, index=times)
    path = os.path.join(folder, "observed.csv")
    local = times.tz_convert(zone)
    stamps = [t.strftime("%Y-%m-%dT%H:%M:%S%z") for t in local]
    with open(path, "w", encoding="ascii") as file:
        file.write("time,price,volume\n")
        for stamp, price, volume in zip(stamps, table["price"], table["volume"]):
            file.write(f"{stamp},{price},{volume}\n")
    text = subprocess.run([rushlight, "bars", path, "--interval", interval, "--zone", zone,
                           "--tick", "0.01", "--format", "csv"],
                          check=True, capture_output=True, text=True).stdout
    rows = [line.split(",") for line in text.splitlines()[1:]]
    bars = expected(table, zone, interval)
    if len(rows) != len(bars):
        sys.exit(f"{zone} {interval}: {len(rows)} bars where pandas has {len(bars)}")
    for row, (start, bar) in zip(rows, bars.iterrows()):
        if interval in ("1d", "1w"):
            time = start.strftime("%Y-%m-%d")
        else:
            time = start.tz_convert("UTC").strftime("%Y-%m-%dT%H:%M:%SZ")
        if row[0] != time or [float(x) for x in row[1:]] != list(bar):
            sys.exit(f"{zone} {interval}: {row} where pandas has {time} {list(bar)}")


main()
