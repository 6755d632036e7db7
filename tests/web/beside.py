"""What the figures of the sheet Charts let be seen of a case, or of bars that are held
back: the longer bars beside it are made of the bars that it shows, at the same prices,
and no stroke under a candle tells what a later bar does.

No source outside the project: the longer bars are made here anew, of the bars that the
figure itself sends.

    beside.py PROGRAM
"""

import csv
import io
import json
import os
import re
import subprocess
import sys
from datetime import datetime, timedelta, timezone
from urllib.parse import urlencode

from serving import demo_book, scratch, serving

PROGRAM = sys.argv[1]
failures = []

OPEN, HIGH, LOW, CLOSE, TIME = 1, 2, 3, 4, 6  # of a bar as the server sends it
LAST_HOUR = "2024-10-30T15:00:00Z"  # of that day's session
# A candle that only the second bar after it confirms.
LATER = """setup: confirmed-later
side: long
candle: {shape: hammer}
confirm: {wait: 3, at_least: 1, of: [rsi_crosses_above_average: {average: 9}]}
entry: {on: next_open}
stop: {at: candle_low}
exit: {time_stop: 5}
"""


def run(*words):
    return subprocess.run([PROGRAM, *words], check=True, capture_output=True, text=True).stdout


def ask(server, path, fields):
    status, _, body = server.ask("GET", path + "?" + urlencode(fields))
    if status != 200:
        failures.append(f"{path} {fields}: {status} {body[:200]}")
        return None
    return json.loads(body)


def day(bar):
    return datetime.fromtimestamp(bar[TIME], timezone.utc).date()


def begin_of(length, date):
    """The date of the longer bar that holds this one: a Monday, the first of a month."""
    if length == "1w":
        return date - timedelta(days=date.weekday())
    return date.replace(day=1) if length == "1month" else date


def made_of(bars, length):
    """The last of the longer bars, of whatever of it is shown."""
    begin = begin_of(length, day(bars[-1]))
    part = [bar for bar in bars if begin_of(length, day(bar)) == begin]
    return [begin, part[0][OPEN], max(bar[HIGH] for bar in part), min(bar[LOW] for bar in part),
            part[-1][CLOSE]]


def check(server, what, fields, last, *lengths):
    """The figure ends on that day, and so do the longer bars beside it."""
    main = ask(server, "/charts/figure", {**fields, "first": 0, "last": 100000})
    if not main or str(day(main["bars"][-1])) != last:
        failures.append(f"{what}: the figure ends at {main and main['bars'][-1]}")
        return
    for length in lengths:
        beside = ask(server, "/charts/beside", {**fields, "beside": length})
        if not beside:
            continue
        bar = beside["bars"][-1]
        found = [day(bar), *bar[OPEN:CLOSE + 1]]
        expected = made_of(main["bars"], length)
        if found[0] != expected[0] or any(abs(a - b) > 1e-9 * abs(b)
                                          for a, b in zip(found[1:], expected[1:])):
            failures.append(f"{what}, {length} beside: found {found}, expected {expected}")


def check_cases(server):
    """Cases of each day of the week, the newest first, and of an instrument's hourly bars."""
    setup = {"setup": "low-inverted-hammer"}
    for name, case in (("cut-rush", "2024-11-01"), ("bog-oak", "2024-08-27"), ("bog-oak", "2024-08-28"),
                       ("mothwing-textiles", "2024-03-19")):
        check(server, f"{name}, case {case}", {**setup, "instrument": name, "case": case}, case,
              "1w", "1month")
        # A moment within the bar, as it comes from a case on shorter bars.
        check(server, f"{name}, case within {case}",
              {**setup, "instrument": name, "interval": "1d", "case": case + "T14:00:00Z"}, case, "1w")


def check_held(server):
    # Of hours the longer bars are made of the days that are over, which the book has.
    hours = {"instrument": "lamp-tallow", "interval": "1h", "held": "2024-10-30T11:00:00Z"}
    days = {"instrument": "lamp-tallow", "held": "2024-10-29"}
    check(server, "days held", days, "2024-10-29", "1w", "1month")
    check(server, "hours held", hours, "2024-10-30")
    for length in ("1d", "1w", "1month"):
        of_hours = ask(server, "/charts/beside", {**hours, "beside": length})
        of_days = ask(server, "/charts/beside" if length != "1d" else "/charts/figure",
                      {**days, "beside": length, "first": 0, "last": 100000})
        if of_hours["bars"][-1][1:] != of_days["bars"][-1][1:]:
            failures.append(f"hours held, {length}: {of_hours['bars'][-1]}, not {of_days['bars'][-1]}")
    # With the last hour of a day, that day is over.
    check(server, "a day of hours held", {**hours, "held": LAST_HOUR}, "2024-10-30", "1w", "1month")
    # Weeks held back: the month has whole weeks only, of which the last ends on 11 Oct.
    weeks = {"instrument": "cut-rush", "interval": "1w", "held": "2024-10-07"}
    beside = ask(server, "/charts/beside", {**weeks, "beside": "1month"})
    days = ask(server, "/charts/figure", {"instrument": "cut-rush", "held": "2024-10-11", "first": 0,
                                          "last": 100000})
    if beside["bars"][-1][CLOSE] != days["bars"][-1][CLOSE]:
        failures.append(f"weeks held: {beside['bars'][-1]}, not {days['bars'][-1]}")


def check_last_hour(server, folder, book):
    """A case on the newest of the hours, where the book has later days."""
    lines = ["time,open,high,low,close"]
    lines += [f"2021-03-{date:02},20,{22 + date},19,21" for date in range(1, 20)]
    bring(folder, book, "late-days", lines)
    lines = ["time,open,high,low,close"]
    lines += [f"2021-03-{date:02}T{hour:02}:00:00Z,20,22,19,21" for date in (8, 9, 10) for hour in range(9, 14)]
    bring(folder, book, "late-days", lines, "--interval=1h")
    beside = ask(server, "/charts/beside", {"instrument": "late-days", "interval": "1h", "beside": "1w",
                                            "setup": "confirmed-later", "case": "2021-03-10T13:00:00Z"})
    if beside and beside["bars"][-1][HIGH] != 31:
        failures.append(f"the newest hour: {beside['bars'][-1]}, not the high of 9 Mar, 31")


def bring(folder, book, name, lines, *options):
    path = os.path.join(folder, name + ".csv")
    with open(path, "w", encoding="utf-8") as file:
        file.write("\n".join(lines) + "\n")
    run("import", path, "--tick=0.25", "--quiet", "--book", book, *options)


def stroked(figure):
    """The dates of the candles with a stroke, 2 wide and 8 high, at the foot of the pane."""
    facts, bars = figure["facts"], figure["bars"]
    step = (facts["right"] - facts["left"]) / (facts["last"] - facts["first"])
    foot = facts["panes"][0]["bottom"]
    strokes = re.findall(rf"M([\d.]+) {foot}V{foot - 8}H[\d.]+V{foot}z", figure["moving"])
    at = [int(facts["first"] + (float(x) + 1 - facts["left"]) / step) - figure["from"] for x in strokes]
    return {str(day(bars[index])) for index in at if 0 <= index < len(bars)}


def check_strokes(server, book):
    scan = run("scan", "cut-rush", "--setup", "confirmed-later", "--all", "--quiet", "--format", "csv",
               "--book", book)
    cases = list(csv.DictReader(io.StringIO(scan)))
    if ("2013-04-16", "2013-04-18") not in {(case["candle_time"], case["signal_time"]) for case in cases}:
        failures.append("the demo market has other cases now: none of 16 Apr 2013 is confirmed on the 18th")
    fields = {"instrument": "cut-rush", "setup": "confirmed-later", "first": 550, "last": 900}
    for what in ({"held": "2013-04-16"}, {"held": "2013-04-17"}, {"held": "2013-04-18"},
                 {"case": "2013-04-16"}, {"case": "2013-04-18"}):
        last, = what.values()
        figure = ask(server, "/charts/figure", {**fields, **what})
        first = str(day(figure["bars"][0]))
        expected = {case["candle_time"] for case in cases
                    if case["candle_time"] >= first and case["signal_time"] <= last}
        if not expected or stroked(figure) != expected:
            failures.append(f"strokes, {what}: found {sorted(stroked(figure))}, expected {sorted(expected)}")


def main():
    with scratch() as folder:
        book = demo_book(PROGRAM, folder)
        setup = os.path.join(folder, "confirmed-later.yaml")
        with open(setup, "w", encoding="utf-8") as file:
            file.write(LATER)
        run("setup", "keep", setup, "--book", book)
        with serving(PROGRAM, book) as server:
            server.enter()
            check_cases(server)
            check_held(server)
            check_strokes(server, book)
            check_last_hour(server, folder, book)
            # A split came on 9 Mar 2020: the prices before it are in new units on both.
            check(server, "before a split", {"instrument": "mothwing-textiles", "held": "2020-02-12"},
                  "2020-02-12", "1w", "1month")
    for failure in failures:
        print(failure)
    sys.exit(1 if failures else 0)


main()
