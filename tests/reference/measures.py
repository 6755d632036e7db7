#!/usr/bin/env python3
"""Every measure of the catalogue against numpy, scipy and pandas.

measures.py PROGRAM PRICES.csv [COUNT]

Reads the prices, computes each measure from the method page with general
libraries (pandas' ewm and rolling windows, scipy's least squares), and compares
it with `PROGRAM measure`. A measure of the program's catalogue that has no
reference here is a failure, so that none goes unchecked. With COUNT, also
counts the bars on which an upper shadow is at least twice the body and the
lower shadow at most a tenth of the range, here and through `PROGRAM scan`.

Exit 77 (CTest: skipped) where the prices or the libraries are not there.
"""
import csv
import io
import os
import subprocess
import sys
import tempfile

try:
    import numpy as np
    import pandas as pd
    from scipy import stats
except ImportError as missing:
    print(f"skipped: {missing}")
    sys.exit(77)

# Both sides add the same few numbers in another order, which costs some 1e-15
# of the largest a time: 1e-12 of the largest price for lengths and levels.
# Ratios divide by lengths that may be small against the price: 1e-10 for
# figures from 0 to 100 and the t-statistic.
OF_PRICE = 1e-12
OF_RATIO = 1e-10


def exponential(x, weight, n):
    """Started at the n-th defined value as the mean of the first n."""
    x = pd.Series(x)
    first = x.first_valid_index()
    started = x.copy()
    started[: first + n - 1] = np.nan
    started[first + n - 1] = x[first : first + n].mean()
    return started.ewm(alpha=weight, adjust=False).mean().where(started.notna()).to_numpy()


def wilder(x, n):
    return exponential(x, 1 / n, n)


def appel(x, n):
    return exponential(x, 2 / (n + 1), n)


def rolling(x, n):
    return pd.Series(x).rolling(n)


def deviation(x, n):
    """Population deviation of each window afresh; pandas' own rolling one drifts."""
    windows = np.lib.stride_tricks.sliding_window_view(x, n)
    return np.concatenate([np.full(n - 1, np.nan), windows.std(axis=1)])


class Reference:
    def __init__(self, bars):
        self.open, self.high, self.low, self.close, self.volume = (
            bars[name].to_numpy(float) for name in ("open", "high", "low", "close", "volume")
        )
        before = np.roll(self.close, 1)
        before[0] = np.nan
        self.true_range = np.nanmax(
            [self.high - self.low, abs(self.high - before), abs(self.low - before)], axis=0
        )

    def rsi(self, n):
        change = np.diff(self.close, prepend=np.nan)
        up = wilder(np.where(np.isnan(change), np.nan, np.maximum(change, 0)), n)
        down = wilder(np.where(np.isnan(change), np.nan, np.maximum(-change, 0)), n)
        return 100 * up / (up + down)

    def macd(self, fast, slow):
        return appel(self.close, fast) - appel(self.close, slow)

    def macd_signal(self, fast, slow, signal):
        return appel(self.macd(fast, slow), signal)

    def stochastic(self, n):
        low = rolling(self.low, n).min()
        return (100 * (self.close - low) / (rolling(self.high, n).max() - low)).to_numpy()

    def directional(self, n):
        rise = np.diff(self.high, prepend=np.nan)
        fall = -np.diff(self.low, prepend=np.nan)
        moves = []
        for own, other in ((rise, fall), (fall, rise)):
            taken = np.where((own > other) & (own > 0), own, 0.0)
            taken[0] = np.nan
            span = self.true_range.copy()
            span[0] = np.nan
            # Wilder's sums: the first n, then less an n-th of itself.
            moves.append(100 * wilder(taken, n) * n / (wilder(span, n) * n))
        return moves

    def adx(self, n):
        up, down = self.directional(n)
        return wilder(100 * abs(up - down) / (up + down), n)

    def line(self, n, what):
        out = np.full(len(self.close), np.nan)
        for end in range(n - 1, len(self.close)):
            fit = stats.linregress(np.arange(n), self.close[end - n + 1 : end + 1])
            out[end] = fit.slope if what == "slope" else fit.slope / fit.stderr
        return out

    def band(self, n, width):
        return rolling(self.close, n).mean().to_numpy() + width * deviation(self.close, n)

    def of(self, name, n):
        c = self.close
        table = {
            "range": lambda: self.high - self.low,
            "body": lambda: abs(c - self.open),
            "upper_shadow": lambda: self.high - np.maximum(self.open, c),
            "lower_shadow": lambda: np.minimum(self.open, c) - self.low,
            "average": lambda: rolling(c, n[0]).mean(),
            "exponential_average": lambda: appel(c, n[0]),
            "wilder_average": lambda: wilder(c, n[0]),
            "true_range": lambda: self.true_range,
            "atr": lambda: wilder(self.true_range, n[0]),
            "rsi": lambda: self.rsi(n[0]),
            "rsi_average": lambda: rolling(self.rsi(n[0]), n[1]).mean(),
            "macd": lambda: self.macd(n[0], n[1]),
            "macd_signal": lambda: self.macd_signal(*n),
            "macd_histogram": lambda: self.macd(n[0], n[1]) - self.macd_signal(*n),
            "stochastic_raw": lambda: self.stochastic(n[0]),
            "stochastic_smooth": lambda: rolling(self.stochastic(n[0]), n[1]).mean(),
            "stochastic": lambda: rolling(rolling(self.stochastic(n[0]), n[1]).mean(), n[2]).mean(),
            "deviation": lambda: deviation(c, n[0]),
            "upper_band": lambda: self.band(n[0], n[1]),
            "lower_band": lambda: self.band(n[0], -n[1]),
            "directional_up": lambda: self.directional(n[0])[0],
            "directional_down": lambda: self.directional(n[0])[1],
            "adx": lambda: self.adx(n[0]),
            "slope": lambda: self.line(n[0], "slope"),
            "slope_t": lambda: self.line(n[0], "t"),
            "highest": lambda: rolling(self.high, n[0]).max(),
            "lowest": lambda: rolling(self.low, n[0]).min(),
            "average_volume": lambda: rolling(self.volume, n[0]).mean(),
        }
        return np.asarray(table[name](), float) if name in table else None


# The numbers each measure is asked with; a row that is not here has none.
NUMBERS = {
    "average": [("bars",), (20,), (5,)],
    "exponential_average": [("bars",), (12,), (26,)],
    "wilder_average": [("bars",), (14,), (3,)],
    "atr": [("length",), (14,), (5,)],
    "rsi": [("length",), (14,), (2,)],
    "rsi_average": [("length", "average"), (14, 9), (7, 3)],
    "macd": [("fast", "slow"), (12, 26), (3, 10)],
    "macd_signal": [("fast", "slow", "signal"), (12, 26, 9), (3, 10, 16)],
    "macd_histogram": [("fast", "slow", "signal"), (12, 26, 9), (3, 10, 16)],
    "stochastic_raw": [("length",), (14,), (5,)],
    "stochastic_smooth": [("length", "smooth"), (14, 3), (5, 2)],
    "stochastic": [("length", "smooth", "average"), (14, 3, 3), (5, 2, 4)],
    "deviation": [("bars",), (20,), (5,)],
    "upper_band": [("bars", "width"), (20, 2), (10, 1.5)],
    "lower_band": [("bars", "width"), (20, 2), (10, 1.5)],
    "directional_up": [("length",), (14,), (5,)],
    "directional_down": [("length",), (14,), (5,)],
    "adx": [("length",), (14,), (5,)],
    "slope": [("bars",), (20,), (5,)],
    "slope_t": [("bars",), (20,), (5,)],
    "highest": [("bars",), (20,), (3,)],
    "lowest": [("bars",), (20,), (3,)],
    "average_volume": [("bars",), (20,), (3,)],
}
RATIOS = {"rsi", "rsi_average", "stochastic_raw", "stochastic_smooth", "stochastic",
          "directional_up", "directional_down", "adx", "slope_t"}


def run(program, *words):
    done = subprocess.run([program, *words, "--format", "csv"], capture_output=True, text=True,
                          check=False)
    if done.returncode not in (0, 1):
        sys.exit(f"{' '.join(words)}: status {done.returncode}: {done.stderr}")
    return list(csv.DictReader(io.StringIO(done.stdout)))


def read_prices(path):
    bars = pd.read_csv(path)
    bars.columns = [name.lower() for name in bars.columns]
    if "date" not in bars:
        bars["date"] = pd.date_range("2001-01-01", periods=len(bars)).strftime("%Y-%m-%d")
    if "volume" not in bars:
        bars["volume"] = 1000.0 + np.arange(len(bars)) * 37 % 101
    return bars[["date", "open", "high", "low", "close", "volume"]]


def trials_of(names):
    """(words, name, numbers) of everything to be computed."""
    for name in names:
        keys, *trials = NUMBERS.get(name, [(), ()])
        for numbers in trials:
            yield ",".join([name] + [f"{k}={v}" for k, v in zip(keys, numbers)]), name, numbers


def compare(program, path, bars):
    reference = Reference(bars)
    wrong = 0
    names = [row["name"] for row in run(program, "catalogue", "measures")]
    trials = list(trials_of(dict.fromkeys(name for name in names if name)))
    found = {}
    for start in range(0, len(trials), 16):
        some = [words for words, _, _ in trials[start : start + 16]]
        rows = run(program, "measure", path, "--of", " ".join(some))
        found.update((w, np.array([float(row[w] or "nan") for row in rows])) for w in some)
    for words, name, numbers in trials:
        expected = reference.of(name, numbers)
        if expected is None:
            print(f"{name}: the catalogue has it, but there is no reference for it here")
            wrong += 1
            continue
        tolerance = OF_RATIO if name in RATIOS else OF_PRICE * np.nanmax(abs(bars["high"]))
        if name == "average_volume":
            tolerance = OF_PRICE * bars["volume"].max()
        same = np.array_equal(np.isnan(found[words]), np.isnan(expected))
        largest = np.nanmax(abs(found[words] - expected)) if same else np.inf
        print(f"{words:40} {np.isfinite(expected).sum():5} values, largest difference "
              f"{largest:.2g} of {tolerance:.2g} allowed")
        wrong += not largest <= tolerance
    return wrong


SETUP = """setup: count
side: long
candle: {shape: inverted-hammer, limits: {body_max: 1, range_min_atr: 0}}
entry: {on: next_open}
stop: {at: candle_low}
exit: {time_stop: 1}
overlap: all
"""


def count_shape(program, path, bars, folder, expected):
    """U >= 2B and W <= 0.10 R, by decimals as the file has them."""
    ticks = (bars[["open", "high", "low", "close"]] * 1e6).round().astype("int64")
    top = ticks[["open", "close"]].max(axis=1)
    bottom = ticks[["open", "close"]].min(axis=1)
    span = ticks["high"] - ticks["low"]
    mine = ((ticks["high"] - top >= 2 * (top - bottom)) & (10 * (bottom - ticks["low"]) <= span)
            & (span > 0)).sum()
    setup = os.path.join(folder, "count.yaml")
    with open(setup, "w", encoding="utf-8") as file:
        file.write(SETUP)
    found = len(run(program, "scan", path, "--all", "--tick", "0.000001", "--setup", setup))
    print(f"shape alone: {expected} known for this file, {mine} here, {found} by the program")
    return (mine != expected) + (found != expected)


def main():
    program, prices = sys.argv[1:3]
    if not os.path.exists(prices):
        print(f"skipped: {prices} is not there; ./dev test installs it")
        return 77
    bars = read_prices(prices)
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "prices.csv")
        bars.to_csv(path, index=False)
        wrong = compare(program, path, bars)
        if len(sys.argv) > 3:
            wrong += count_shape(program, path, bars, folder, int(sys.argv[3]))
    return 1 if wrong else 0


sys.exit(main())
