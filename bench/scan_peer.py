"""The reference scan in pandas, one instrument at a time, on one core; compares
its columns with those of scan_bench and prints its seconds.

    scan_peer.py FOLDER INSTRUMENTS BARS
"""
import sys
import time

import numpy as np
import pandas as pd


def wilder(x, n):
    """Seeded as the mean of the first n, then (previous*(n-1)+x)/n."""
    seeded = x.copy()
    seeded.iloc[: n - 1] = np.nan
    seeded.iloc[n - 1] = x.iloc[:n].mean()
    return seeded.ewm(alpha=1 / n, adjust=False).mean()


def exponential(x, n):
    first = x.first_valid_index()
    seeded = x.copy()
    seeded.iloc[: first + n - 1] = np.nan
    seeded.iloc[first + n - 1] = x.iloc[first : first + n].mean()
    return seeded.ewm(alpha=2 / (n + 1), adjust=False).mean()


def scan(bars):
    o, h, l, c = (pd.Series(column) for column in bars)
    spread = h - l
    top = np.maximum(o, c)
    bottom = np.minimum(o, c)
    before = c.shift()
    true_range = np.maximum(spread, np.maximum((h - before).abs(), (l - before).abs()).fillna(0))
    change = c.diff()
    up = wilder(change.clip(lower=0).iloc[1:].reset_index(drop=True), 14)
    down = wilder((-change).clip(lower=0).iloc[1:].reset_index(drop=True), 14)
    total = up + down
    rsi = (100 * up / total).where(total > 0, 50).where(up.notna())
    rsi = pd.concat([pd.Series([np.nan]), rsi], ignore_index=True)
    macd = exponential(c, 12) - exponential(c, 26)
    signal = exponential(macd, 9)
    x = np.arange(20) - 9.5
    slope = np.full(len(c), np.nan)
    slope[19:] = np.lib.stride_tricks.sliding_window_view(c.to_numpy(), 20) @ x / (x @ x)
    return [spread, (c - o).abs(), h - top, bottom - l, wilder(true_range, 14), rsi,
            rsi.rolling(9).mean(), macd, signal, macd - signal, pd.Series(slope),
            l.rolling(20).min()]


def main():
    folder, instruments, count = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
    bars = np.fromfile(folder + "/bars.f64").reshape(instruments, 4, count)
    best = float("inf")
    for _ in range(3):
        began = time.perf_counter()
        result = [scan(instrument) for instrument in bars]
        best = min(best, time.perf_counter() - began)
    ours = np.fromfile(folder + "/columns.f64").reshape(instruments, 12, count)
    for mine, theirs in zip(ours, result):
        for a, b in zip(mine, theirs):
            # Other orders of summation: some units in the last place of prices near 100.
            np.testing.assert_allclose(a, b.to_numpy(), rtol=1e-9, atol=1e-9)
    print(f"{best:.6f}")


main()
