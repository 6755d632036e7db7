#!/usr/bin/python3
"""One book and several processes: in_use.py RUSHLIGHT. A writer waits for
another and gives up after 10 s with status 4 and nothing changed; readers are
not held up; a backup made while others write is sound and of one moment."""
import os
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time

from books import expect, run, state, write_prices

PROGRAM = sys.argv[1]


def is_locked(book):
    connection = sqlite3.connect(book, timeout=0)
    try:
        connection.execute("BEGIN IMMEDIATE")
        return False
    except sqlite3.OperationalError as error:
        assert "locked" in str(error), error
        return True
    finally:
        connection.close()


def start_and_stop(command, book):
    """An import that is stopped in the middle of its transaction."""
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    while not is_locked(book):
        if process.poll() is not None:
            raise AssertionError("the import was done before it could be stopped")
    process.send_signal(signal.SIGSTOP)
    assert is_locked(book)
    return process


def a_writer_waits_and_others_read(folder):
    book = os.path.join(folder, "book.sqlite")
    pine, more, fir = (os.path.join(folder, name) for name in ("pine.csv", "more.csv", "fir.csv"))
    write_prices(pine, 0, 5000)
    write_prices(more, 5000, 400000)
    write_prices(fir, 0, 300)
    expect(run(PROGRAM, "import", pine, "--book", book), 0)
    before = state(book)
    import_more = [PROGRAM, "import", more, "--instrument", "pine", "--quiet", "--book", book]
    import_fir = [PROGRAM, "import", fir, "--book", book]

    process = start_and_stop(import_more, book)
    try:
        # Who reads is not held up, and sees what was there before.
        for words in (["query", "select count(*) as n from bars"], ["check", "pine"],
                      ["bars", "pine"], ["watchlists"], ["backup", os.path.join(folder, "copy")]):
            began = time.monotonic()
            expect(run(PROGRAM, *words, "--book", book, "--quiet"), 0)
            assert time.monotonic() - began < 5, words
        expect(run(PROGRAM, "query", "select count(*) as n from bars", "--book", book, "--format",
                   "csv"), 0, "\n5000\n", "stdout")
        assert state(os.path.join(folder, "copy")) == before
        # Who writes waits, and then says why not.
        began = time.monotonic()
        refused = run(*import_fir)
        waited = time.monotonic() - began
        expect(refused, 4, f"{book}: import: the book is in use by another process; try again "
               "when that is done")
        assert "\nfir" not in refused.stdout and 9.5 < waited < 20, (refused.stdout, waited)
    finally:
        process.send_signal(signal.SIGCONT)
        errors = process.communicate()[1]
    assert process.returncode == 0, errors
    assert state(book) == (2, 405000, 405000), state(book)
    expect(run(*import_fir), 0)
    assert state(book) == (3, 405300, 405300)

    # One that is let in while it waits goes on as if nothing had been.
    lock = sqlite3.connect(book, isolation_level=None)
    lock.execute("BEGIN IMMEDIATE")
    write_prices(fir, 300, 300)
    with subprocess.Popen(import_fir, stdout=subprocess.DEVNULL) as process:
        time.sleep(1)
        assert process.poll() is None
        lock.execute("ROLLBACK")
        assert process.wait() == 0
    lock.close()
    assert state(book) == (4, 405600, 405600)


def a_backup_meanwhile_is_of_one_moment(folder):
    book = os.path.join(folder, "second.sqlite")
    prices = os.path.join(folder, "prices")
    files, bars = 60, 4000
    os.mkdir(prices)
    for i in range(files):
        write_prices(os.path.join(prices, f"amber-{i:02}.csv"), i * bars, bars)
    expect(run(PROGRAM, "import", os.path.join(prices, "amber-00.csv"), "--instrument", "amber",
               "--book", book), 0)
    between = 0
    with subprocess.Popen([PROGRAM, "import", prices, "--instrument", "amber", "--quiet", "--book",
                           book], stdout=subprocess.DEVNULL) as process:
        for n in range(1000):
            running = process.poll() is None
            copy = os.path.join(folder, f"copy-{n}.sqlite")
            expect(run(PROGRAM, "backup", copy, "--book", book), 0, "read again and found whole",
                   "stdout")
            sources, added, there = state(copy)
            assert added == there == sources * bars, (sources, added, there)
            assert not os.path.exists(copy + "-wal")
            between += 1 < sources < files
            os.remove(copy)
            if not running:
                break
        assert process.wait() == 0
    assert state(book) == (files, files * bars, files * bars)
    print(f"{between} backups fell between the first file and the last of {files}")
    assert between > 0


with tempfile.TemporaryDirectory() as own:
    a_writer_waits_and_others_read(own)
    a_backup_meanwhile_is_of_one_moment(own)
