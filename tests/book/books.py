"""What the tests of a book on a real disk share."""
import sqlite3
import subprocess
import time


def write_prices(path, first, count, close=1):
    """Bars of a minute."""
    with open(path, "w", encoding="ascii") as file:
        file.write("time,open,high,low,close,volume\n")
        for i in range(first, first + count):
            stamp = time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime(1000000020 + i * 60))
            file.write(f"{stamp},1,2.5,0,{close},{i % 90}\n")


def run(*command, **options):
    return subprocess.run(command, capture_output=True, text=True, check=False, **options)


def expect(result, status, words="", stream="stderr"):
    """The exit status, and words in what was said."""
    said = getattr(result, stream)
    if result.returncode != status or words not in said:
        raise AssertionError(f"{' '.join(map(str, result.args))}: {result.returncode} instead of "
                             f"{status}, or not '{words}' in '{said}'; {result.stderr}")
    return result


def state(book):
    """Files imported, bars counted by them, bars there; the book must be sound."""
    connection = sqlite3.connect(book)
    try:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
        return connection.execute(
            "SELECT (SELECT count(*) FROM source), (SELECT coalesce(sum(added), 0) FROM source), "
            "(SELECT coalesce(sum(count), 0) FROM chunk)").fetchone()
    finally:
        connection.close()
