"""What Today found last is on the sheet at once, with its moment, and is found anew
when the book has moved on; a small book is looked at while one waits.

What is held against: the answers of a server that looks at one setup at a time, of
which no one is large enough to be kept for; and the command line, which writes to the
book underneath.

    today_kept.py PROGRAM
"""

import concurrent.futures
import json
import os
import re
import subprocess
import sys
import time

from serving import demo_book, scratch, serving

PROGRAM = sys.argv[1]
failures = []


def expect(what, found, wanted):
    if found != wanted:
        failures.append(f"{what}: {found!r}, expected {wanted!r}")


def sheet(server, address, status=200):
    found, _, body = server.ask("GET", address)
    expect(address, found, status)
    return body.decode()


def state(text):
    found = re.search(r'id="finding" role="status" data-state="(\w+)"', text)
    return found and found.group(1)


def numbers(text):
    """New signals, waiting ones, instruments, of the sentence of the sheet."""
    found = re.search(r"(\d+) new signals?; (\d+) still .*?, (\d+) instruments?\.", text)
    return [int(number) for number in found.groups()] if found else None


def wait(server, query=""):
    """Asks as the module does, until it is found."""
    for _ in range(1200):
        answer = json.loads(sheet(server, "/today/found" + query))
        if answer["state"] != "finding":
            return answer["state"]
        time.sleep(0.1)
    return "late"


def add(book, folder, names):
    """Instruments by the command line: a quiet quarter of each."""
    place = os.path.join(folder, names[0])
    os.mkdir(place)
    for name in names:
        with open(os.path.join(place, name + ".csv"), "w", encoding="ascii") as file:
            file.write("time,open,high,low,close\n")
            for i in range(60):
                price = 50 + i * 7 % 11
                file.write(f"2023-{i // 28 + 1:02}-{i % 28 + 1:02},{price},{price + 2},{price - 2},{price + 1}\n")
    subprocess.run([PROGRAM, "import", place, "--book", book, "--quiet"], check=True,
                   stdout=subprocess.DEVNULL)


def large(book, folder):
    with serving(PROGRAM, book) as server:
        server.enter()
        text = sheet(server, "/today")
        expect("nothing is there yet", (state(text), numbers(text)), ("finding", None))
        if 'class="again" href="/today"' not in text:
            failures.append("no way on without a module")
        with concurrent.futures.ThreadPoolExecutor(8) as pool:
            for other in pool.map(lambda _: sheet(server, "/today"), range(8)):
                if state(other) != "finding" and numbers(other) is None:
                    failures.append("a tab among many has neither an answer nor a promise")
        expect("it is found", wait(server), "found")
        text = sheet(server, "/today")
        expect("it is there", (state(text), numbers(text)[2]), (None, 102))
        expect("the same again", sheet(server, "/today"), text)

        chosen = re.findall(r'name="setup" value="([^"]+)" checked', text)
        alone = [numbers(sheet(server, "/today?setup=" + name)) for name in chosen]
        expect("one setup at a time", [sum(one[i] for one in alone) for i in (0, 1)],
               numbers(text)[:2])

        add(book, folder, ["a-new-one"])
        text = sheet(server, "/today")
        expect("the old answer", (state(text), numbers(text)[2]), ("finding", 102))
        if not re.search(r"This is as of the bars known at \d+ \w+ \d{4},? \d\d:\d\d UTC", text):
            failures.append("an old answer without its moment")
        expect("found anew", wait(server), "found")
        expect("the new answer", numbers(sheet(server, "/today"))[2], 103)

        past = sheet(server, "/today?as-of=2012-03-13")
        expect("another date has nothing yet", (state(past), numbers(past)), ("finding", None))
        expect("it is found, too", wait(server, "?as-of=2012-03-13"), "found")
        if sheet(server, "/today?as-of=2012-03-13") == sheet(server, "/today"):
            failures.append("the past is the present")
        expect("the present stays", state(sheet(server, "/today")), None)
        sheet(server, "/today?as-of=tomorrow", 400)
        sheet(server, "/today/found?as-of=tomorrow", 400)

        sheet(server, "/today?as-of=2014-03-13")
        began = time.monotonic()
        expect("it ends in the middle", server.stop(), 0)
        if time.monotonic() - began > 20:
            failures.append("a look that nobody waits for holds the end up")


def small(book):
    """Never an old answer, whatever is written underneath."""
    with serving(PROGRAM, book) as server:
        server.enter()
        for number in range(3):
            before = numbers(sheet(server, "/today?list=reedlands&setup=low-inverted-hammer"))
            subprocess.run([PROGRAM, "watchlists", "remove" if number % 2 == 0 else "add", "reedlands",
                            "cut-rush", "--book", book], check=True, stdout=subprocess.DEVNULL)
            text = sheet(server, "/today?list=reedlands&setup=low-inverted-hammer")
            expect("found while one waits", state(text), None)
            expect("of the list as it is", numbers(text)[2] - before[2], -1 if number % 2 == 0 else 1)


with scratch() as folder:
    book = demo_book(PROGRAM, folder)
    small(book)
    instruments = int(subprocess.run([PROGRAM, "query", "select count(distinct instrument) from bars", "--book", book,
                                      "--format", "csv"], check=True, capture_output=True,
                                     text=True).stdout.split()[-1])
    add(book, folder, [f"more-{i:02}" for i in range(102 - instruments)])
    large(book, folder)
for failure in failures:
    print(failure)
sys.exit(bool(failures))
