#!/usr/bin/python3
"""kill -9 at random moments of imports into a book with content:
kill_import.py RUSHLIGHT [ROUNDS]. Each file is in the book wholly or not at
all: its bars, its lines set aside, its revisions and its record; and the book
is sound. The seed is printed where something fails."""
import os
import random
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time

SEED = 20260302


def write(path, first, count, close):
    """Bars of a minute; every thousandth line breaks a rule."""
    with open(path, "w", encoding="ascii") as file:
        file.write("time,open,high,low,close,volume\n")
        for i in range(first, first + count):
            stamp = time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime(i * 60))
            low = 3 if i % 1000 == 7 else 0
            file.write(f"{stamp},1,2.5,{low},{close},{i % 90}\n")


def state(book):
    """What the book holds, with a checksum of its packed bars."""
    connection = sqlite3.connect(book)
    try:
        if connection.execute("PRAGMA integrity_check").fetchall() != [("ok",)]:
            return "damaged"
        if connection.execute("PRAGMA foreign_key_check").fetchall():
            return "dangling"
        return tuple(connection.execute(sql).fetchone() for sql in (
            "SELECT count(*), coalesce(sum(lines), 0), coalesce(sum(added), 0) FROM source",
            "SELECT count(*), coalesce(sum(line), 0) FROM set_aside",
            "SELECT count(*), coalesce(sum(time), 0) FROM revision",
            "SELECT sum(count), sum(length(data)), min(first), max(last) FROM chunk"))
    finally:
        connection.close()


def main():
    rushlight = sys.argv[1]
    rounds = int(sys.argv[2]) if len(sys.argv) > 2 else 200
    chance = random.Random(SEED)
    with tempfile.TemporaryDirectory() as folder:
        before, after, content, more = (os.path.join(folder, name) for name in (
            "before.sqlite", "after.sqlite", "pine.csv", "more.csv"))
        write(content, 20000000, 20000, 1)
        write(more, 20010000, 60000, 2)

        def command(book):
            return [rushlight, "import", more, "--instrument", "pine", "--replace", "--quiet",
                    "--book", book]

        subprocess.run([rushlight, "import", content, "--quiet", "--book", before],
                       stdout=subprocess.DEVNULL, check=False)
        shutil.copy(before, after)
        began = time.monotonic()
        subprocess.run(command(after), stdout=subprocess.DEVNULL, check=False)
        whole = time.monotonic() - began
        allowed = {state(before): 0, state(after): 0}
        if len(allowed) != 2:
            sys.exit("the import under test changes nothing")
        for at in range(rounds):
            book = os.path.join(folder, "book.sqlite")
            for ending in ("", "-wal", "-shm", "-journal"):
                if os.path.exists(book + ending):
                    os.remove(book + ending)
            shutil.copy(before, book)
            with subprocess.Popen(command(book), stdout=subprocess.DEVNULL) as process:
                time.sleep(chance.random() * whole * 1.1)
                process.send_signal(signal.SIGKILL)
                process.wait()
            found = state(book)
            if found not in allowed:
                sys.exit(f"seed {SEED}, round {at}: {found} is neither {list(allowed)}")
            allowed[found] += 1
        print(f"{rounds} kills: {allowed[state(before)]} left the book as it was, "
              f"{allowed[state(after)]} came after the commit")
        if allowed[state(before)] < rounds // 10:
            sys.exit("too few kills came in the middle of an import")


main()
