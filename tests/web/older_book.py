"""A book of an older program: served for changes it is brought up to date first, and
read; served for reading only it is left as it is, with a sentence.

    older_book.py PROGRAM FOLDER     FOLDER: books as version-N.sql
"""

import os
import sqlite3
import subprocess
import sys
from glob import glob

from serving import scratch, serving

PROGRAM, FOLDER = sys.argv[1:]
failures = []


def expect(what, seen, wanted):
    if seen != wanted:
        failures.append(f"{what}: {seen!r}, expected {wanted!r}")


def door(server):
    _, headers, _ = server.ask("GET", f"/enter?secret={server.secret}")
    server.cookie = headers["Set-Cookie"].split(";")[0]


def version(book):
    with sqlite3.connect(book) as read:
        return read.execute("PRAGMA user_version").fetchone()[0]


def newest(folder):
    prices, book = os.path.join(folder, "a.csv"), os.path.join(folder, "new.sqlite")
    with open(prices, "w", encoding="ascii") as file:
        file.write("time,open,high,low,close\n2020-01-01,1,2,1,2\n2020-01-02,1,2,1,2\n")
    subprocess.run([PROGRAM, "import", prices, "--book", book], check=True, capture_output=True)
    return version(book)


with scratch() as folder:
    now = newest(folder)
    for number, script in enumerate(sorted(glob(os.path.join(FOLDER, "version-*.sql")))):
        book = os.path.join(folder, f"{number}.sqlite")
        with open(script, encoding="utf-8") as text:
            sqlite3.connect(book).executescript(text.read())
        if version(book) == now:
            continue
        with sqlite3.connect(book) as read:
            names = [name for (name,) in read.execute("SELECT name FROM instrument")]
        with open(book, "rb") as file:
            before = file.read()
        with serving(PROGRAM, book, "--read-only") as server:
            door(server)
            said = server.ask("GET", "/data")[2]
            expect(f"{script}, for reading only", b"is of an older rushlight" in said, True)
        with open(book, "rb") as file:
            expect(f"{script}, left as it is", file.read() == before, True)
        with serving(PROGRAM, book) as server:
            door(server)
            status, _, sheet = server.ask("GET", "/data")
            expect(script, status, 200)
            for name in names:
                expect(f"{script}: {name}", name.encode() in sheet, True)

for failure in failures:
    print(failure)
sys.exit(1 if failures else 0)
