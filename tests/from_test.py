"""`--from` chooses what is shown and counted and changes nothing else: every row
of `scan --all`, `trades --all`, `measure` and `bars` with it is the row without
it, for all shipped setups, and so is the table of a `case`. No value is expected
here; the two answers are held to each other.

    from_test.py RUSHLIGHT SETUPS
"""
import csv
import io
import os
import pathlib
import re
import subprocess
import sys
import tempfile

RUSHLIGHT = sys.argv[1]
SETUPS = sorted(pathlib.Path(sys.argv[2]).glob("*.yaml"))
DAILY = ("rushlight-demo/prices/cut-rush.csv", ("2010-02-01", "2014-07-01", "2024-11-04"))
HOURLY = ("rushlight-demo/prices-hourly/rdm-fnl.csv", ("2022-03-01", "2023-06-15T14:00:00Z"))
failures = []
compared = 0


def run(*words):
    done = subprocess.run([RUSHLIGHT, *words], capture_output=True, text=True)
    if done.returncode > 1:
        sys.exit(f"rushlight {' '.join(words)}: {done.stderr}")
    return done.stdout


def rows(*words):
    return list(csv.DictReader(io.StringIO(run(*words, "--format", "csv", "--quiet"))))


def hold(words, column, whole, begin):
    """The rows of the whole answer from a time on are those of --from."""
    global compared
    # Dates and times are written so that they sort as text.
    expected = [row for row in whole if row[column] >= begin]
    found = rows(*words, "--from", begin)
    compared += len(found)
    if found != expected:
        odd = [row for row in found if row not in expected] + [row for row in expected
                                                               if row not in found]
        failures.append(f"{' '.join(words)} --from {begin}: {len(found)} rows, not "
                        f"{len(expected)}; such as {odd[:1]}")


def tables(path):
    """The cells of the tables of an HTML file."""
    return re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", pathlib.Path(path).read_text())


def hold_case(file, more, candle, begin):
    words = ("case", file, candle, *more, "--no-outcome", "--quiet", "-o")
    run(*words, "whole.html")
    run(*words, "part.html", "--from", begin)
    cells = tables("whole.html")
    if not cells or cells != tables("part.html"):
        failures.append(f"case {file} {candle} {' '.join(more)} --from {begin} is another")


def hold_setup(path):
    setup = str(path)
    hourly = re.search(r"^interval: 1h$", path.read_text(), re.M)
    file, begins = HOURLY if hourly else DAILY
    more = ("--events", "events.csv", "--levels", "marks.csv", "--setup", setup)
    for command in ("scan", "trades"):
        words = (command, file, *more, "--all")
        whole = rows(*words)
        for begin in begins:
            hold(words, "candle_time", whole, begin)
            if command == "scan" and begin == begins[1]:
                for row in [row for row in whole if row["candle_time"] >= begin][:2]:
                    hold_case(file, more, row["candle_time"], begin)


def main():
    run("demo", "--quiet")
    pathlib.Path("events.csv").write_text(
        "kind,time\n" + "".join(f"rate-decision,{year}-{month:02}-03T12:00:00Z\n"
                                for year in range(2010, 2025) for month in range(1, 13)))
    pathlib.Path("marks.csv").write_text("price,from\n300,2011-02-01\n400,2013-05-01\n")
    for path in SETUPS:
        hold_setup(path)
    for words in (("measure", DAILY[0], "--of", "rsi atr rsi,length=100 adx"),
                  ("bars", DAILY[0])):
        whole = rows(*words)
        for begin in DAILY[1]:
            hold(words, "time", whole, begin)
    for failure in failures:
        print(failure)
    print(f"{compared} rows compared, {len(failures)} answers differ")
    sys.exit(1 if failures or compared < 1000 else 0)


with tempfile.TemporaryDirectory() as folder:
    os.chdir(folder)
    os.environ["XDG_DATA_HOME"] = folder
    main()
