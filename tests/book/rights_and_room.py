#!/usr/bin/python3
"""A book that may not be written, and a disk without room for it:
rights_and_room.py RUSHLIGHT. Root may write everything, so the program runs as
nobody (setpriv) where the test runs as root. The full disk is one of 1 MB where
such a one can be mounted, and a limit on the size of files everywhere."""
import os
import resource
import shutil
import signal
import sqlite3
import sys
import tempfile

from books import expect, run, state, write_prices

NOBODY = ["setpriv", "--reuid=65534", "--regid=65534", "--clear-groups"]


def run_as_other(*command):
    """Without the rights of root, and without a home."""
    return run(*(NOBODY if os.geteuid() == 0 else []), *command, cwd="/")


def rights(program, folder):
    os.chmod(folder, 0o755)
    program = shutil.copy(program, folder)
    # A name that is odd in an address of a file.
    shelf = os.path.join(folder, "shelf ?100%25#1")
    os.mkdir(shelf)
    book = os.path.join(shelf, "book.sqlite")
    pine = os.path.join(folder, "pine.csv")
    more = os.path.join(folder, "more.csv")
    write_prices(pine, 0, 300)
    write_prices(more, 300, 200)
    expect(run(program, "import", pine, "--book", book), 0)
    before = state(book)
    os.chmod(book, 0o444)
    os.chmod(shelf, 0o555)
    count = ["query", "select count(*) as n from bars", "--format", "csv", "--book", book]

    # Neither the folder nor the book: reading works, and nothing is left behind.
    expect(run_as_other(program, *count), 0, "\n300\n", "stdout")
    expect(run_as_other(program, "bars", "pine", "--book", book), 0)
    expect(run_as_other(program, "check", "pine", "--book", book), 0)
    expect(run_as_other(program, "import", more, "--instrument", "pine", "--book", book), 4,
           f"{book}: opening: the book or its folder cannot be written; check its permissions")
    expect(run_as_other(program, "watchlists", "make", "evening", "pine", "--book", book), 4,
           "cannot be written; check its permissions")
    expect(run_as_other(program, "import", pine, "--book", os.path.join(shelf, "new.sqlite")), 4,
           "new.sqlite: opening: the book cannot be opened; check the folder and its permissions")
    assert os.listdir(shelf) == ["book.sqlite"], os.listdir(shelf)
    assert state(book) == before
    expect(run_as_other(program, "backup", os.path.join(shelf, "copy"), "--book", book), 4,
           "copy: cannot be written: Permission denied")

    # The book may be written, its folder not.
    os.chmod(book, 0o666)
    expect(run_as_other(program, "import", more, "--instrument", "pine", "--book", book), 4,
           f"{book}: opening: the book or its folder cannot be written; check its permissions")
    expect(run_as_other(program, *count), 0, "\n300\n", "stdout")
    assert state(book) == before

    # What its owner has just written is seen, though it is not yet in the file.
    os.chmod(shelf, 0o755)
    owner = sqlite3.connect(book)
    owner.execute("SELECT count(*) FROM source").fetchall()
    expect(run(program, "import", more, "--instrument", "pine", "--book", book), 0)
    os.chmod(shelf, 0o555)
    assert os.path.getsize(book + "-wal") > 0
    expect(run_as_other(program, *count), 0, "\n500\n", "stdout")
    os.chmod(shelf, 0o755)
    owner.close()

    # Empty files that a reader left, one of them not for everybody.
    open(book + "-wal", "wb").close()
    open(book + "-shm", "wb").close()
    os.chmod(book + "-shm", 0o600)
    os.chmod(shelf, 0o555)
    expect(run_as_other(program, *count), 0, "\n500\n", "stdout")
    os.chmod(shelf, 0o755)

    # Nothing at all.
    os.chmod(book, 0o200)
    expect(run_as_other(program, *count), 4, f"{book}: the book cannot be read: Permission denied")
    os.chmod(book, 0o644)


def limited(size):
    """Files of at most `size` bytes; writing more fails instead of killing."""
    def limit():
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))
    return limit


def a_file_that_cannot_grow(program, folder):
    book = os.path.join(folder, "limited.sqlite")
    pine = os.path.join(folder, "pine.csv")
    more = os.path.join(folder, "more.csv")
    write_prices(pine, 0, 3000)
    write_prices(more, 3000, 300000)
    expect(run(program, "import", pine, "--book", book), 0)
    before = state(book)
    command = [program, "import", more, "--instrument", "pine", "--quiet", "--book", book]
    # A small file is written at the commit alone, a large one before it, too.
    for size in (40000, 80000, 1000000):
        expect(run(*command, preexec_fn=limited(size)), 4,
               f"{book}: import: the disk failed while reading or writing; nothing of it was kept")
        assert state(book) == before
    expect(run(*command), 0)
    assert state(book) == (2, 303000, 303000)


SMALL_DISK = """
mount -t tmpfs -o size=1m none "$1" || exit 1
"$2" import "$3/pine.csv" --book "$1/book.sqlite" || exit 1
"$2" import "$3/more.csv" --instrument pine --quiet --book "$1/book.sqlite"
status=$?
cp "$1/book.sqlite" "$3/after.sqlite"
"$2" query "select count(*) as n from bars" --format csv --book "$1/book.sqlite" || exit 1
"$2" watchlists make evening pine --book "$1/book.sqlite" || exit 1
exit $status
"""


def a_disk_of_a_megabyte(program, folder):
    disk = os.path.join(folder, "disk")
    os.mkdir(disk)
    own = ["unshare", "--map-root-user", "--mount"]
    probe = run(*own, "mount", "-t", "tmpfs", "none", disk)
    if probe.returncode != 0:
        print(f"no disk can be mounted here: {probe.stderr.strip()}")
        return
    result = run(*own, "sh", "-c", SMALL_DISK, "sh", disk, program, folder)
    expect(result, 4, "import: the disk is full; nothing of it was kept, and the book is as it was")
    expect(result, 4, "\n3000\n", "stdout")
    expect(result, 4, "\n1  pine\n", "stdout")
    assert state(os.path.join(folder, "after.sqlite")) == (1, 3000, 3000)


def main():
    program = os.path.abspath(sys.argv[1])
    with tempfile.TemporaryDirectory() as folder:
        rights(program, folder)
        a_file_that_cannot_grow(program, folder)
        a_disk_of_a_megabyte(program, folder)


main()
