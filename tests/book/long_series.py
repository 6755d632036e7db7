#!/usr/bin/python3
"""A series too long to be held is walked along in the book: long_series.py
RUSHLIGHT SETUPS. `scan --all` says of it, byte for byte, what it says of a file
of the same bars, which is held whole, for every shipped setup; and needs less
memory than that. The file is the reference: nothing of it is walked."""
import glob
import os
import random
import subprocess
import sys
import tempfile
import time

PROGRAM, SETUPS = sys.argv[1:]
BARS = 100_000
FIRST = 1_420_070_400  # 2015-01-01T00:00:00Z, a Thursday


def stamp(second, form="%Y-%m-%dT%H:%M:%SZ"):
    return time.strftime(form, time.gmtime(second))


def write_prices(path):
    """Invented minutes, in cents."""
    draw = random.Random(20261128)
    close = 100_000
    with open(path, "w", encoding="ascii") as out:
        out.write("time,open,high,low,close,volume\n")
        for bar in range(BARS):
            start = close + draw.randint(-5, 5)
            steps = [draw.randint(-60, 60) for _ in range(4)]
            walk = [start + sum(steps[: i + 1]) for i in range(4)]
            close = walk[-1]
            prices = (start, max(start, *walk), min(start, *walk), close)
            out.write(stamp(FIRST + 60 * bar) + ",")
            out.write(",".join(f"{price / 100:.2f}" for price in prices))
            out.write(f",{draw.randint(100, 999)}\n")


def run(folder, *words):
    """Status, what was printed, and the most memory of that process in KB."""
    with tempfile.TemporaryFile(dir=folder) as out:
        process = subprocess.Popen([PROGRAM, *words], cwd=folder, stdout=out,
                                   stderr=subprocess.PIPE)
        said = process.stderr.read()
        _, status, usage = os.wait4(process.pid, 0)
        out.seek(0)
        return os.waitstatus_to_exitcode(status), out.read(), said, usage.ru_maxrss


def compare(folder, setup, *options):
    """Returns how many lines were the same."""
    command = ("scan", "--setup", setup, "--all", "--tick", "0.01", *options)
    held = run(folder, *command, "minutes.csv")
    walked = run(folder, *command, "minutes", "--book", "book.sqlite")
    # The message of an error names the word.
    assert held[0] == walked[0], (setup, options, held[2], walked[2])
    if held[1] != walked[1]:
        pairs = zip(held[1].splitlines(), walked[1].splitlines())
        first = next((pair for pair in pairs if pair[0] != pair[1]), "one is longer")
        raise AssertionError(f"{setup} {options}: {first}")
    return len(held[1].splitlines()), held[3], walked[3]


def main():
    lines = 0
    with tempfile.TemporaryDirectory() as folder:
        write_prices(os.path.join(folder, "minutes.csv"))
        status, _, said, _ = run(folder, "import", "minutes.csv", "--book", "book.sqlite",
                                 "--tick", "0.01", "--zone", "UTC")
        assert status == 0, said
        middle = stamp(FIRST + 60 * (BARS // 2), "%Y-%m-%d")
        later = stamp(FIRST + 60 * (3 * BARS // 4), "%Y-%m-%d")
        for setup in sorted(glob.glob(os.path.join(SETUPS, "*.yaml"))):
            lines += compare(folder, setup, "--format", "csv")[0]
        setup = os.path.join(SETUPS, "low-inverted-hammer.yaml")
        mirror = os.path.join(SETUPS, "high-hanging-man.yaml")
        for options in (("--format", "text"), ("--format", "json"), ("--from", middle),
                        ("--to", later), ("--from", middle, "--to", later, "--format", "csv"),
                        ("--interval", "1m"), ("--provisional",)):
            lines += compare(folder, setup, *options)[0]
            lines += compare(folder, mirror, *options)[0]
        _, held, walked = compare(folder, setup, "--format", "csv")
    print(f"{lines} lines the same; {held // 1024} MB held, {walked // 1024} MB walked")
    assert lines > 10_000
    assert walked < held


if __name__ == "__main__":
    main()
