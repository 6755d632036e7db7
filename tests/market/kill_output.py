#!/usr/bin/python3
"""kill -9 at random moments of a sheet and of a backup being written:
kill_output.py RUSHLIGHT DATA [ROUNDS]. What is there afterwards is the old file
or the new one, whole, and nothing else is in the folder. The seed is printed
where something fails."""
import os
import random
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time

SEED = 20260711


def killed(command, seconds):
    """Whether it was killed before it ended."""
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        process.wait(seconds)
    except subprocess.TimeoutExpired:
        process.send_signal(signal.SIGKILL)
        process.wait()
        return True
    if process.returncode not in (0, 1):
        sys.exit(f"{command}: status {process.returncode}")
    return False


def took(command):
    start = time.monotonic()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    return time.monotonic() - start


def whole(path):
    connection = sqlite3.connect(path)
    try:
        return connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)] and \
            connection.execute("SELECT count(*) FROM instrument").fetchone() == (1,)
    finally:
        connection.close()


def main():
    rushlight, data = sys.argv[1], sys.argv[2]
    rounds = int(sys.argv[3]) if len(sys.argv) > 3 else 60
    chance = random.Random(SEED)
    ended = 0
    with tempfile.TemporaryDirectory() as folder:
        os.environ["HOME"] = folder
        book = os.path.join(folder, "book.sqlite")
        out = os.path.join(folder, "out")
        os.mkdir(out)
        sheet, copy = os.path.join(out, "sheet.svg"), os.path.join(out, "copy.sqlite")
        prices = os.path.join(data, "figures", "mothwing-textiles.csv")
        subprocess.run([rushlight, "import", prices, "--tick", "0.01", "--quiet", "--book", book],
                       check=True, stdout=subprocess.DEVNULL)
        draw = [rushlight, "case", prices, "2012-03-13", "--setup", "low-inverted-hammer",
                "--tick", "0.01", "--no-outcome", "-o", sheet]
        back_up = [rushlight, "backup", copy, "--book", book]
        usual = {"sheet": took(draw), "copy": took(back_up)}
        os.remove(copy)
        with open(sheet, "rb") as file:
            new = file.read()
        for i in range(rounds):
            old = b"old" if i % 2 else None
            if old is None:
                os.remove(sheet)
            else:
                with open(sheet, "wb") as file:
                    file.write(old)
            ended += not killed(draw, chance.uniform(0, 1.3 * usual["sheet"]))
            found = None
            if os.path.exists(sheet):
                with open(sheet, "rb") as file:
                    found = file.read()
            if found not in (old, new):
                sys.exit(f"round {i} of seed {SEED}: half a sheet")
            with open(sheet, "wb") as file:
                file.write(new)
            killed(back_up, chance.uniform(0, 1.3 * usual["copy"]))
            if os.path.exists(copy):
                if not whole(copy):
                    sys.exit(f"round {i} of seed {SEED}: half a copy")
                os.remove(copy)
            if os.listdir(out) != ["sheet.svg"]:
                sys.exit(f"round {i} of seed {SEED}: left behind: {os.listdir(out)}")
    if ended in (0, rounds):
        sys.exit(f"{ended} of {rounds} sheets ended: nothing was killed in the middle")
    print(f"{rounds} rounds, {ended} sheets not killed")


main()
