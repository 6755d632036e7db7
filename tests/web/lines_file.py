"""Own lines as a file, from the page and into it: what goes out of one book comes into
another as the same lines; a file that is no such table changes nothing.

Beside the check: RFC 4180 as Python's csv module reads it, and the command `levels`.

    lines_file.py PROGRAM
"""

import csv
import io
import os
import shutil
import subprocess
import sys

from serving import demo_book, scratch, serving

PROGRAM = sys.argv[1]
failures = []
# What a line says; its number, the moment of its entry are the book's own.
SAID = ("instrument", "kind", "time", "price", "other_time", "other_price", "width", "note")


def expect(what, seen, wanted):
    if seen != wanted:
        failures.append(f"{what}: {seen!r}, expected {wanted!r}")


def levels(book, *words):
    done = subprocess.run([PROGRAM, "levels", *words, "--book", book, "--format", "csv"],
                          capture_output=True, text=True, check=True)
    return list(csv.DictReader(io.StringIO(done.stdout)))


def said(rows):
    return sorted(tuple(row[name] for name in SAID) for row in rows)


def out_of(server, address):
    status, headers, body = server.ask("GET", address)
    expect(address, (status, headers["Content-Type"]), (200, "text/csv; charset=utf-8"))
    return list(csv.DictReader(io.StringIO(body.decode())))


with scratch() as folder:
    book, other = demo_book(PROGRAM, folder), os.path.join(folder, "other.sqlite")
    shutil.copy(book, other)
    levels(book, "add", "mothwing-textiles", "level", "12.5", "--note", 'a "word", and more')
    levels(book, "add", "mothwing-textiles", "trend", "2024-01-02", "10.5", "2024-03-04", "11.25")
    levels(book, "add", "cut-rush", "level", "560")
    gone = levels(book, "add", "cut-rush", "level", "570")[0]["number"]
    subprocess.run([PROGRAM, "levels", "remove", "cut-rush", gone, "--book", book], check=True,
                   capture_output=True)
    with serving(PROGRAM, book) as server:
        server.enter()
        whole = out_of(server, "/charts/lines.csv")
        expect("the lines of the page", said(whole), said(levels(book)))
        one = out_of(server, "/charts/lines.csv?instrument=cut-rush")
        expect("those of one", [row["price"] for row in one], ["560"])
        expect("none stood then", out_of(server, "/charts/lines.csv?as-of=2024-11-01"), [])
        sent = server.ask("GET", "/charts/lines.csv")[2]
    with serving(PROGRAM, other) as server:
        server.enter()
        status, headers, _ = server.hand_over("/data/lines", "mine.csv", sent)
        expect("brought in", status, 303)
        expect("said", b"mine.csv: 3 own lines added, 0 known before." in
               server.ask("GET", headers["Location"])[2], True)
        expect("the same lines", said(levels(other)), said(whole))
        status, headers, _ = server.hand_over("/data/lines", "mine.csv", sent)
        expect("known before", b"0 own lines added, 3 known before." in
               server.ask("GET", headers["Location"])[2], True)
        before = levels(other)
        for what, file in {"a price that is none": b"instrument,price\ncut-rush,high\n",
                           "no such instrument": b"instrument,price\nnowhere,5\n",
                           "the second of two rows": b"instrument,price\ncut-rush,5\ncut-rush,x\n",
                           "a picture": b"\x89PNG\r\n\x1a\n\0\0", "nothing": b""}.items():
            status, _, body = server.hand_over("/data/lines", "bad.csv", file)
            expect(what, status in (400, 422) and b"bad.csv" in body and b"handed-over" not in body,
                   True)
        expect("a past date", server.hand_over("/data/lines", "mine.csv",
                                               b"instrument,price\ncut-rush,1\n",
                                               {"as-of": "2024-11-01"})[0], 400)
        token, server.token = server.token, "0" * 64
        expect("a stale token", server.hand_over("/data/lines", "mine.csv", sent)[0], 403)
        server.token = token
        expect("nothing changed", levels(other), before)

for failure in failures:
    print(failure)
sys.exit(1 if failures else 0)
