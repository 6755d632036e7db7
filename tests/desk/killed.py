"""A plan followed day by day while the program is killed: each command of a script (bars of the
day, what is done on it) is begun and ended by SIGKILL after some of its time, by chance, before
it may run to its end. What was said once is not said twice, and the end is that of a script that
nobody killed.

usage: killed.py PROGRAM [SEED]
"""

import json
import os
import random
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time

PROGRAM = os.path.abspath(sys.argv[1])
SEED = int(sys.argv[2]) if len(sys.argv) > 2 else 20261128
KILLS = 2  # of each command
DAYS = ["100,101,99,100", "100,101,99,100", "101,103,100.5,102.5", "102.5,104,102,103.5", "103.5,105,103,104"]
# After the import of which day.
SAID = {
    2: [["take", "reed", "--account", "own", "--entry", "102", "--stop", "99", "--target", "120",
         "--risk", "100", "--reason", "a test"], ["placed", "1"]],
    3: [["filled", "1", "--price", "102.5", "--date", "2021-03-03"], ["moved", "1", "--stop", "100"]],
    4: [["moved", "1", "--stop", "102"], ["moved", "1", "--target", "110"]],
    5: [["closed", "1", "--price", "104.5", "--date", "2021-03-05"]],
}


def run(folder, words, seconds=None):
    """The exit status; None where it was killed first."""
    process = subprocess.Popen([PROGRAM, *words, "--book", "b.sqlite", "--quiet"], cwd=folder,
                               stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    if seconds is not None:
        time.sleep(seconds)
        process.send_signal(signal.SIGKILL)
    error = process.communicate()[1].decode()
    if process.returncode == -signal.SIGKILL:
        return None
    if process.returncode != 0:
        raise SystemExit(f"{words}: {error}")
    return process.returncode


def answer(folder, *words):
    out = subprocess.run([PROGRAM, "plan", *words, "--book", "b.sqlite", "--quiet", "--format", "json"],
                         cwd=folder, check=True, capture_output=True, text=True).stdout
    return json.loads(out)


def script():
    yield ["account", "make", "own", "EUR"], None
    yield ["account", "in", "own", "10000", "--date", "2021-01-01"], None
    for day in range(1, len(DAYS) + 1):
        yield ["import", "reed.csv", "--whole"], day
        for words in SAID.get(day, []):
            yield ["plan", *words], None


def write_day(folder, day):
    with open(os.path.join(folder, "reed.csv"), "w", encoding="utf-8") as file:
        file.write("date,open,high,low,close\n")
        for n in range(1, day + 1):
            file.write(f"2021-03-0{n},{DAYS[n - 1]}\n")


def asked(folder, sql):
    connection = sqlite3.connect(os.path.join(folder, "b.sqlite"))
    try:
        return connection.execute(sql).fetchall()
    except sqlite3.OperationalError:  # no table yet
        return []
    finally:
        connection.close()


def state(folder):
    """What the book holds: what was said, without its moments."""
    if not os.path.exists(os.path.join(folder, "b.sqlite")):
        return []
    return asked(folder, "SELECT 'plan', id, entry, '', '' FROM plan UNION ALL SELECT 'step', id, kind, "
                 "price, at FROM plan_step UNION ALL SELECT 'entry', id, kind, units, '' FROM "
                 "account_entry UNION ALL SELECT 'account', id, name, '', '' FROM account")


def live(killing, chance):
    kills = 0
    with tempfile.TemporaryDirectory() as folder:
        for words, day in script():
            if day is not None:
                write_day(folder, day)
            began = time.monotonic()
            done = False
            before = state(folder)
            for _ in range(KILLS if killing else 0):
                status = run(folder, words, chance.random() * 0.1)
                kills += status is None
                done = status == 0 or (day is None and state(folder) != before)
                if done:
                    break
            if not done:
                run(folder, words)
            assert time.monotonic() - began < 60
        found = answer(folder, "follow", "1"), state(folder)
        assert asked(folder, "PRAGMA integrity_check") == [("ok",)]
    return found, kills


whole, _ = live(False, None)
killed, kills = live(True, random.Random(SEED))
assert whole[0]["state"] == "done", whole
assert abs(whole[0]["trade"]["r"] - 2 / 3.5) < 1e-12, whole
assert killed == whole, f"\n{killed}\n{whole}"
assert kills > 5, kills
print(f"the same after {kills} kills")
