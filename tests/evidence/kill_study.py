#!/usr/bin/python3
"""Studies that are killed or interrupted (Ctrl-C) at random moments: the book
stays sound, the ledger forgets no trial, nothing is shown that is not in it, and
the report is whole or not there.

    kill_study.py PROGRAM [RUNS]
"""
import os
import random
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time

SEED = 20261125


def ledger(book):
    with sqlite3.connect(book) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        rows = connection.execute("SELECT id, finished FROM trial ORDER BY id").fetchall()
        orphans = connection.execute(
            "SELECT count(*) FROM trial_date JOIN trial ON trial.id = trial_date.trial"
            " WHERE finished = 0").fetchone()
    assert orphans == (0,), "a trial without a result has sums of dates"
    return rows


def main():
    program = os.path.abspath(sys.argv[1])
    runs = int(sys.argv[2]) if len(sys.argv) > 2 else 60
    print("seed", SEED)
    random.seed(SEED)
    with tempfile.TemporaryDirectory() as folder:
        os.chdir(folder)
        environment = dict(os.environ, HOME=folder, XDG_DATA_HOME=folder)
        subprocess.run([program, "demo", "--quiet"], check=True, env=environment,
                       stdout=subprocess.DEVNULL)
        book = "rushlight-demo/book.sqlite"
        command = [program, "study", "--watchlist", "reedlands", "--setup", "low-inverted-hammer",
                   "--book", book, "--quiet", "-o", "study.html"]
        began = time.monotonic()
        subprocess.run(command, check=True, env=environment, stdout=subprocess.DEVNULL)
        whole = time.monotonic() - began
        report = os.path.getsize("study.html")
        before = ledger(book)
        counts = {"entered": 0, "finished": 0, "shown": 0}
        for run in range(runs):
            if os.path.exists("study.html"):
                os.remove("study.html")
            child = subprocess.Popen(command, env=environment, stdout=subprocess.PIPE,
                                     stderr=subprocess.PIPE)
            time.sleep(random.uniform(0, 1.1 * whole))
            child.send_signal(signal.SIGINT if run % 2 else signal.SIGKILL)
            shown, said = child.communicate()
            after = ledger(book)
            assert after[:len(before)] == before, "the ledger has changed what it had"
            assert len(after) <= len(before) + 1
            new = after[len(before):]
            if shown:
                assert new and new[0][1] == 1, "an outcome was shown that is not in the ledger"
            if os.path.exists("study.html"):
                assert new and new[0][1] == 1, "a report was written that is not in the ledger"
                # The number of trials in its words grows, by a digit or two.
                assert abs(os.path.getsize("study.html") - report) < 200, "half a report"
            left = [name for name in os.listdir(".") if name not in
                    ("rushlight-demo", "study.html")]
            # What a killed process leaves beside it is not taken for a report.
            assert all(not name.endswith(".html") for name in left), left
            counts["entered"] += len(new)
            counts["finished"] += bool(new and new[0][1])
            counts["shown"] += bool(shown)
            before = after
        print(f"{runs} runs of {whole:.2f} s: {counts}")
        assert counts["entered"] > counts["finished"] > 0, "no kill came in the middle of a study"


main()
