#!/usr/bin/python3
"""What `check` finds in an index file of the data set vega-datasets, against
pandas and numpy: index_findings.py RUSHLIGHT PRICES.csv. Every third open of
that file repeats the close before: its bodies are not trades. Exit 77 (skipped)
where the libraries or the prices are not there."""
import csv
import io
import os
import subprocess
import sys

try:
    import numpy as np
    import pandas as pd
except ImportError as missing:
    print(f"skipped: {missing}")
    sys.exit(77)


def check(program, prices, *options):
    return subprocess.run([program, "check", prices, "--quiet", *options], capture_output=True,
                          check=True, text=True).stdout


def main():
    program, prices = sys.argv[1:3]
    if not os.path.exists(prices):
        print(f"skipped: {prices} is not there (npm ci brings it)")
        sys.exit(77)
    found = {row["finding"]: row
             for row in csv.DictReader(io.StringIO(check(program, prices, "--format", "csv")))}
    bars = pd.read_csv(prices, parse_dates=["date"])
    copied = bars.open.iloc[1:].to_numpy() == bars.close.iloc[:-1].to_numpy()
    print(f"{copied.sum()} of {len(copied)} opens are the close before: {copied.mean():.2%}")
    assert 0.33 < copied.mean() < 0.36
    opens = found["opens"]
    assert (int(opens["count"]), int(opens["of"])) == (copied.sum(), len(copied)), opens
    first = bars.date.iloc[1:][copied].iloc[0]
    assert opens["examples"].startswith(f"{first:%Y-%m-%d};"), opens
    words = " ".join(check(program, prices).split())
    assert f"opens: {copied.sum()} of {len(copied)}" in words
    assert "Bodies are not trades" in words

    # Days from Monday to Friday strictly between two bars, four or more.
    days = bars.date.to_numpy().astype("datetime64[D]")
    missing = np.busday_count(days[:-1] + 1, days[1:])
    gaps = [f"{day} ({count})" for day, count in zip(days[1:], missing) if count >= 4]
    assert found["gap"]["examples"] == "; ".join(gaps), (found["gap"], gaps)
    assert int(found["gap"]["count"]) == len(gaps)
    # Volumes, and bars that are equal or stand still.
    prices_of = ["open", "high", "low", "close", "volume"]
    assert ("zero_volume" in found) == (bars.volume == 0).any()
    assert ("double" in found) == (bars[prices_of].diff().iloc[1:] == 0).all(axis=1).any()


main()
