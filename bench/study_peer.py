"""The study of study.yaml in numpy, on one core: a second implementation of
docs/method.md 10, whose figures are compared with those of study_bench before
its seconds are printed.

    study_peer.py FOLDER SETUP INSTRUMENTS BARS

reads FOLDER/bars.f64 and FOLDER/figures.txt; the numbers of study.yaml may be
others. It leaves out reach, splits and the next trades. What is drawn by chance
agrees within five standard errors, everything else to 1e-9. 77 without numpy,
or without scipy where there are few enough trades for Student's t.
"""
import re
import sys
import time

try:
    import numpy as np
except ImportError:
    sys.exit(77)

TICK = 0.01
RESAMPLES = 10000
FOLLOWED = (1, 2, 3, 5, 10, 20)


class Setup:
    """The numbers of a setup that is otherwise study.yaml."""

    def __init__(self, path):
        with open(path, encoding="ascii") as file:
            text = file.read()

        def number(pattern):
            return float(re.search(pattern, text)[1])

        self.fall_bars = int(number(r"fall: \{bars: (\d+)"))
        self.fall_atr = number(r"fall: .* atr: ([0-9.]+)")
        self.stop_bars = int(number(r"lowest_low, bars: (\d+)"))
        self.stop_atr = number(r"buffer_atr: ([0-9.]+)")
        self.target_r = number(r"targets: \[\{r: ([0-9.]+)")
        self.time_stop = int(number(r"time_stop: (\d+)"))


# --- measures: one row an instrument, one column a bar ---------------------------


def wilder(x, n):
    """Seeded as the mean of the first n, then (previous*(n-1)+x)/n."""
    bars = np.ascontiguousarray(x.T)
    mean = np.full_like(bars, np.nan)
    mean[n - 1] = bars[:n].mean(axis=0)
    for t in range(n, len(bars)):
        mean[t] = (mean[t - 1] * (n - 1) + bars[t]) / n
    return np.ascontiguousarray(mean.T)


def average_true_range(h, l, c, n):
    span = h - l
    before = c[:, :-1]
    span[:, 1:] = np.maximum(span[:, 1:], np.maximum(np.abs(h[:, 1:] - before),
                                                     np.abs(l[:, 1:] - before)))
    return wilder(span, n)


def rolling(extreme, x, n):
    """Extreme of the last n bars, NaN before there are as many."""
    out = x
    width = 1
    while width < n:
        step = min(width, n - width)
        out = extreme(out[:, step:], out[:, :-step])
        width += step
    return np.concatenate([np.full((len(x), n - 1), np.nan), out], axis=1)


def before(x):
    """The column one bar ago."""
    return np.concatenate([np.full((len(x), 1), np.nan), x[:, :-1]], axis=1)


# --- the setup ---------------------------------------------------------------------


class Market:
    def __init__(self, bars, setup):
        self.setup = setup
        self.o, self.h, self.l, self.c = (np.ascontiguousarray(bars[:, k]) for k in range(4))
        self.instruments, self.count = self.o.shape
        self.tolerance = 1e-10 * np.maximum(np.abs(self.h), np.abs(self.l))
        self.atr = average_true_range(self.h, self.l, self.c, 14)
        spread = self.h - self.l
        body = np.abs(self.c - self.o)
        upper = self.h - np.maximum(self.o, self.c)
        lower = np.minimum(self.o, self.c) - self.l
        atr_before = before(self.atr)
        tolerance = self.tolerance
        self.shape = ((spread > 0) & (upper >= 2 * body - tolerance)
                      & (lower <= 0.10 * spread + tolerance) & (body <= 0.34 * spread + tolerance)
                      & (spread >= 0.5 * atr_before - tolerance))
        high = before(rolling(np.maximum, self.h, setup.fall_bars))
        self.place = high - self.l >= setup.fall_atr * atr_before - tolerance
        self.candidates = self.shape & self.place
        self.others = self.place & ~self.candidates & (spread > 0) & (spread >= 0.5 * atr_before)
        self.lowest = rolling(np.minimum, self.l, setup.stop_bars)


def rounded(price, direction):
    """To the tick; a quotient within 1e-6 of a whole number is that number."""
    quotient = price / TICK
    near = np.round(quotient)
    return np.where(np.abs(quotient - near) <= 1e-6, near, direction(quotient)) / 100


class Trades:
    """What becomes of signals at (instrument, bar), each on its own."""

    def __init__(self, market, mask, rule="nearest"):
        m = market
        self.instrument, self.signal = np.nonzero(mask)
        self.signals = len(self.signal)
        here = (self.instrument, self.signal)
        self.there = self.signal + 1 < m.count
        self.entry = np.minimum(self.signal + 1, m.count - 1)
        self.fill = m.o[self.instrument, self.entry]
        self.stop = rounded(m.lowest[here] - m.setup.stop_atr * m.atr[here], np.floor)
        tolerance = m.tolerance[self.instrument, self.entry]
        self.filled = self.there & (self.fill > self.stop + tolerance)
        self.risk = self.fill - self.stop
        self.risk_atr = self.risk / m.atr[here]
        self.target = rounded(self.fill + m.setup.target_r * self.risk, np.ceil)
        self.exit = np.full(self.signals, m.count - 1)
        self.price = np.full(self.signals, np.nan)
        self.doubt = np.zeros(self.signals, bool)
        self.walk(m, rule)
        self.r = (self.price - self.fill) / self.risk
        self.closed = ~np.isnan(self.r)

    def walk(self, m, rule):
        left = np.nonzero(self.filled)[0]
        for ahead in range(m.setup.time_stop + 1):
            left = left[self.entry[left] + ahead < m.count]
            if len(left) == 0:
                return
            bar = (self.instrument[left], self.entry[left] + ahead)
            o, h, l, c, tolerance = (column[bar] for column in (m.o, m.h, m.l, m.c, m.tolerance))
            stop, target = self.stop[left], self.target[left]
            at_open = np.zeros(len(left), bool)
            if ahead > 0:
                at_open = (o <= stop + tolerance) | (o >= target - tolerance)
            down = l <= stop + tolerance
            up = h >= target - tolerance
            both = down & up & ~at_open
            good_first = {"nearest": h - o < o - l - tolerance, "worst": False,
                          "best": True}[rule]
            price = np.where(down & ~(up & good_first), stop, np.where(up, target, np.nan))
            price = np.where(at_open, o, price)
            if ahead == m.setup.time_stop:
                price = np.where(np.isnan(price), c, price)
            gone = ~np.isnan(price)
            self.price[left[gone]] = price[gone]
            self.exit[left[gone]] = bar[1][gone]
            self.doubt[left[gone]] = both[gone]
            left = left[~gone]


def one_at_a_time(trades):
    """Indices of the signals that are taken where one trade is open at a time,
    and how many are passed over."""
    taken = []
    busy_of, busy_until = -1, 0
    free = np.where(trades.filled, np.where(trades.closed, trades.exit, sys.maxsize),
                    trades.entry).tolist()
    instrument, signal = trades.instrument.tolist(), trades.signal.tolist()
    for i, until in enumerate(free):
        if instrument[i] == busy_of and signal[i] < busy_until:
            continue
        busy_of, busy_until = instrument[i], until
        taken.append(i)
    return np.array(taken, int), len(free) - len(taken)


# --- statistics ----------------------------------------------------------------------


def block_length(u):
    """Politis & White 2004 with the correction of 2009, stationary bootstrap."""
    n = len(u)
    x = u - u.mean()
    run = max(5, int(np.ceil(np.sqrt(np.log10(n)))))
    most = int(np.ceil(np.sqrt(n))) + run
    covariance = np.array([x[: n - k] @ x[k:] for k in range(min(most + run, n - 1) + 1)]) / n
    small = np.abs(covariance[1:]) < 2 * np.sqrt(np.log10(n) / n) * covariance[0]
    runs = np.lib.stride_tricks.sliding_window_view(small, run).all(axis=1)
    m = max(1, int(np.argmax(runs))) if runs.any() else most
    window = min(2 * m, most)
    lag = np.arange(1, window + 1)
    weight = np.minimum(1, 2 * (1 - lag / window)) * covariance[1 : window + 1]
    g = covariance[0] + 2 * weight.sum()
    slope = 2 * (lag * weight).sum()
    return min(max(np.cbrt(slope**2 / g**2 * n), 1), np.ceil(min(3 * np.sqrt(n), n / 3)))


def bootstrap_variance(u, length):
    n = len(u)
    spectrum = np.fft.rfft(u)
    g = np.fft.irfft(spectrum * spectrum.conj(), n)
    j = np.arange(1, n)
    return g[0] + 2 * ((1 - j / n) * (1 - 1 / length) ** j * g[1:]).sum()


def studentised(arms, value, length, n, rng):
    """t* of every replicate; arms are (sum, weight) per date, signed."""
    running = [np.concatenate([[0], np.cumsum(np.tile(x, 2))]) for arm in arms for x in arm]
    width = int(n / length + 6 * np.sqrt(n / length) + 12)
    t = []
    for _ in range(0, RESAMPLES, 500):
        lengths = rng.geometric(1 / length, (500, width))
        ends = np.cumsum(lengths, axis=1)
        while ends[:, -1].min() < n:
            lengths = np.concatenate([lengths, rng.geometric(1 / length, (500, 16))], axis=1)
            ends = np.cumsum(lengths, axis=1)
        lengths = np.clip(n - (ends - lengths), 0, lengths)
        start = rng.integers(0, n, lengths.shape)
        end = start + lengths
        mean = 0
        u = 0
        for k, sign in zip(range(0, len(running), 2), (1, -1)):
            total = running[k][end] - running[k][start]
            weight = running[k + 1][end] - running[k + 1][start]
            weights = weight.sum(axis=1, keepdims=True)
            m = np.where(weights > 1e-9, total.sum(axis=1, keepdims=True) / weights, np.nan)
            mean = mean + sign * m
            u = u + sign * (total - m * weight) / weights
        variance = (u * u).sum(axis=1)
        variance[~(variance > 1e-24)] = np.nan
        t.append((mean[:, 0] - value) / np.sqrt(variance))
    return np.concatenate(t)


def estimate(n, held, rng, dates, values, other=None):
    """Mean of the values, or their mean less that of (dates, values, weights)."""
    arms = [(np.bincount(dates, values, n), np.bincount(dates, minlength=n).astype(float))]
    if other is not None:
        arms.append((np.bincount(other[0], other[2] * other[1], n),
                     np.bincount(other[0], other[2], n)))
    means = [total.sum() / weight.sum() for total, weight in arms]
    value = means[0] - sum(means[1:])
    u = sum(sign * (total - mean * weight) / weight.sum()
            for (total, weight), mean, sign in zip(arms, means, (1, -1)))
    length = min(max(block_length(u), max(1, 3 * held)), max(1, n / 2))
    once, twice = bootstrap_variance(u, length), bootstrap_variance(u, 2 * length)
    variance = max(once, 2 * twice - once)
    used = int((arms[0][1] > 0).sum())
    result = {"count": len(values), "dates": used, "value": value, "variance": variance,
              "design_effect": variance / (np.var(values, ddof=1) / len(values)), "block_length": length,
              "low": np.nan, "high": np.nan, "p": np.nan, "freedom": np.nan, "left_out": 0}
    wins = int((values > 0).sum())
    if used >= 50:
        result.update(bootstrap(value, variance, studentised(arms, value, length, n, rng)))
    elif used >= 20 and min(wins, len(values) - wins) >= 5:
        result.update(student(value, variance, np.bincount(dates // int(np.ceil(length)))))
    elif other is None and wins > 0:
        low, high = wilson(wins / len(values), len(values))
        win = values[values > 0].mean()
        loss = values[values <= 0].mean() if wins < len(values) else -1
        result.update(low=low * win + (1 - low) * loss, high=high * win + (1 - high) * loss)
    return result


def bootstrap(value, variance, t):
    t = t[~np.isnan(t)]
    scale = np.sqrt(variance)
    return {"low": value - np.quantile(t, 0.975) * scale,
            "high": value - np.quantile(t, 0.025) * scale, "drawn": True,
            "p": (1 + (t >= value / scale).sum()) / (1 + len(t)), "left_out": RESAMPLES - len(t)}


def student(value, variance, trades):
    try:
        from scipy import stats
    except ImportError:
        sys.exit(77)
    nu = trades.sum() ** 2 / (trades**2).sum() - 1
    if nu < 1:
        return {}
    scale = np.sqrt(variance * (nu + 1) / nu)
    half = stats.t.ppf(0.975, nu) * scale
    return {"low": value - half, "high": value + half, "p": stats.t.sf(value / scale, nu),
            "freedom": nu}


def compare_cells(market, held, rng, setup, others, banded=True):
    """Setup's and others' (instrument, date, r, risk_atr), r NaN while open."""
    edges = np.quantile(setup[3], [0.2, 0.4, 0.6, 0.8]) if banded else np.zeros(4)
    if not edges[3] - edges[0] >= 0.01 * np.quantile(setup[3], 0.5):
        edges = np.array([])
    cells = market.instruments * (len(edges) + 1)
    arms = []
    for instrument, date, r, risk in (setup, others):
        keep = ~np.isnan(r) & ~np.isnan(risk)
        cell = instrument * (len(edges) + 1) + np.searchsorted(edges, risk)
        arms.append((cell[keep], date[keep], r[keep]))
    (cell_a, date_a, a), (cell_b, date_b, b) = arms
    n_a, n_b = np.bincount(cell_a, minlength=cells), np.bincount(cell_b, minlength=cells)
    with np.errstate(invalid="ignore", divide="ignore"):
        mean = np.bincount(cell_b, b, cells) / n_b
        weight = n_a / n_b
    known = n_b[cell_a] > 0
    used = n_a[cell_b] > 0
    w = weight[cell_b[used]]
    result = estimate(market.count, held, rng, date_a[known], a[known] - mean[cell_a[known]],
                      (date_b[used], b[used] - mean[cell_b[used]], w))
    result.update(others=int(used.sum()), without_others=int((~known).sum()),
                  bands=len(edges) + 1, others_mean=(w * b[used]).sum() / w.sum())
    return result


def arm(trades):
    f = trades.filled
    return trades.instrument[f], trades.entry[f], trades.r[f], trades.risk_atr[f]


def moves(market, mask, h):
    instrument, t = np.nonzero(mask)
    later = np.minimum(t + h, market.count - 1)
    move = (market.c[instrument, later] - market.c[instrument, t]) / market.atr[instrument, t]
    move[t + h >= market.count] = np.nan
    return instrument, t, move, np.ones(len(t))


def wilson(share, n):
    z = 1.959963984540054
    middle = (share + z * z / (2 * n)) / (1 + z * z / n)
    half = z / (1 + z * z / n) * np.sqrt(share * (1 - share) / n + z * z / (4 * n * n))
    return middle - half, middle + half


def longest_run(lost):
    edges = np.flatnonzero(np.diff(np.concatenate([[0], lost.astype(int), [0]])))
    return int((edges[1::2] - edges[::2]).max()) if lost.any() else 0


def own_trades(market, signals, rng, figures):
    """The setup's own trades; returns the dates held from signal to exit."""
    taken, passed = one_at_a_time(signals)
    taken = taken[signals.filled[taken]]
    held = (signals.exit[taken] - signals.signal[taken]).mean()
    closed = taken[signals.closed[taken]]
    r = signals.r[closed]
    in_order = r[np.lexsort((np.arange(len(closed)), signals.exit[closed]))]
    level = np.concatenate([[0], np.cumsum(in_order)])
    mean = estimate(market.count, held, rng, signals.entry[closed], r)
    low, high = wilson((r > 0).mean(), len(r) / max(1, mean["design_effect"]))
    figures["mean_r"] = mean
    figures["study"] = {
        "candidates": int(market.candidates.sum()), "shapes": int(market.shape.sum()),
        "filled": len(taken), "closed": len(closed), "passed_over": passed,
        "median_r": np.median(r),
        "sd_r": r.std(ddof=1), "win_rate": (r > 0).mean(), "win_low": low, "win_high": high,
        "profit_factor": r[r > 0].sum() / -r[r <= 0].sum(), "nearest": r.mean(),
        "max_drawdown_r": (np.maximum.accumulate(level) - level).max(),
        "longest_losing_streak": longest_run(in_order <= 0),
        "mean_bars": (signals.exit[closed] - signals.entry[closed]).mean()}
    return held


def study(bars, numbers):
    rng = np.random.default_rng(1)
    figures = {}
    market = Market(bars, numbers)
    setup = Trades(market, market.candidates)
    held = own_trades(market, setup, rng, figures)
    for rule in ("worst", "best"):
        trades = Trades(market, market.candidates, rule)
        taken, _ = one_at_a_time(trades)
        figures["study"][rule] = np.nanmean(trades.r[taken])
        if rule == "worst":
            figures["study"]["same_bar"] = int((trades.doubt & trades.filled)[taken].sum())
    for name, mask in (("candle", market.others), ("place", market.shape & ~market.place)):
        others = Trades(market, mask)
        figures[name] = compare_cells(market, held, rng, arm(setup), arm(others))
        figures[name].update(signals=setup.signals, other_signals=others.signals)
    for h in FOLLOWED:
        figures[f"followed{h}"] = compare_cells(market, h, rng,
                                                moves(market, market.candidates, h),
                                                moves(market, market.others, h), banded=False)
    return figures


# --- comparison ------------------------------------------------------------------------


def allowed(name, mine):
    """How far apart a figure drawn by chance may be: five standard errors of
    the difference of two runs, each of 10,000 replicates."""
    scale = 5 * np.sqrt(2 / RESAMPLES)
    if name in ("low", "high"):
        # sqrt(q(1-q)) over the normal density at its 2.5% quantile; half as
        # much again for a law with longer tails.
        return 1.5 * scale * np.sqrt(0.025 * 0.975) / 0.0584 * np.sqrt(mine["variance"])
    if name == "p":
        return scale * np.sqrt(mine["p"] * (1 - mine["p"])) + 2 / RESAMPLES
    return scale * np.sqrt(mine["left_out"]) * np.sqrt(RESAMPLES) + 2


def compare(path, mine):
    compared = 0
    for line in open(path, encoding="ascii"):
        key, text = line.split()
        of, name = key.split(".")
        here, theirs = mine[of][name], float(text)
        compared += 1
        if np.isnan(here) or np.isnan(theirs):
            near = np.isnan(here) and np.isnan(theirs)
        elif name in ("low", "high", "p", "left_out") and mine[of].get("drawn", False):
            near = abs(here - theirs) <= allowed(name, mine[of])
        else:
            # A difference may be near 0: to 1e-9 of its standard error, too.
            is_value = name in ("value", "low", "high")
            scale = np.sqrt(mine[of].get("variance", 0)) if is_value else 0
            near = abs(here - theirs) <= 1e-9 * max(abs(theirs), scale)
        if not near:
            sys.exit(f"study_peer: {key}: rushlight {theirs!r}, numpy {here!r}")
    return compared


def main():
    folder, setup, instruments, count = sys.argv[1], Setup(sys.argv[2]), *map(int, sys.argv[3:])
    bars = np.fromfile(folder + "/bars.f64").reshape(instruments, 4, count)
    began = time.perf_counter()
    figures = study(bars, setup)
    took = time.perf_counter() - began
    compared = compare(folder + "/figures.txt", figures)
    print(f"{took:.3f} {compared}")


main()
