"""Crowds and losses: many clients at once, many requests, slow ones, a book that
goes away, a disk that is full, and a server that is killed while it saves.

What is held against: nothing that was answered may be lost and nothing may be
there by half, read by SQLite's own library; the memory that the kernel counts.

    load.py PROGRAM
"""

import concurrent.futures
import os
import random
import resource
import shutil
import signal
import socket
import sqlite3
import sys
import threading
import time

from serving import demo_book, scratch, serving, Server

PROGRAM = sys.argv[1]
failures = []


def expect(what, found, *allowed):
    if found not in allowed:
        failures.append(f"{what}: {found}, expected {' or '.join(map(str, allowed))}")


def read(book, sql):
    connection = sqlite3.connect(book)
    try:
        return connection.execute(sql).fetchall()
    finally:
        connection.close()


def prices(bars, close=1):
    lines = "".join(f"{2000 + i // 336}-{i // 28 % 12 + 1:02}-{i % 28 + 1:02},1,2,1,{close}\n"
                    for i in range(bars))
    return ("time,open,high,low,close\n" + lines).encode()


def resident(server):
    with open(f"/proc/{server.process.pid}/status", encoding="ascii") as status:
        return int(next(line for line in status if line.startswith("VmRSS")).split()[1])


def together(clients, job):
    """`job(i)` for each client, all of them let go at one moment."""
    gate = threading.Barrier(clients)

    def one(i):
        gate.wait()
        return job(i)

    with concurrent.futures.ThreadPoolExecutor(clients) as pool:
        return list(pool.map(one, range(clients)))


def crowd(server, book):
    """200 clients at one moment: each gets what one alone gets, and each change is made once."""
    addresses = ("/data", "/keys", "/own/sheet.css", "/charts/names?name=bog")
    alone = [server.ask("GET", address)[2] for address in addresses]
    for i, (status, _, body) in enumerate(
            together(200, lambda i: server.ask("GET", addresses[i % len(addresses)]))):
        expect(f"client {i} of 200", status, 200)
        if body != alone[i % len(addresses)]:
            failures.append(f"client {i} of 200 got another answer than one alone")
    names = [row[0] for row in read(book, "SELECT name FROM instrument ORDER BY name")]
    # A mark put on twice is off again: five times is on.
    marks = together(200, lambda i: server.change("/charts/mark",
                                                  {"instrument": names[i % 40], "mark": "watch"}))
    expect("200 changes", {answer[0] for answer in marks}, {303})
    marked = read(book, "SELECT count(*) FROM watchlist_member m JOIN watchlist w ON w.id = "
                        "m.watchlist WHERE w.name = 'watch'")[0][0]
    expect("marks of 200 clients", marked, 40)


def growth(server, requests):
    """A mixture as a person makes it, changes and refusals among it."""
    mixture = ["/keys"] * 11 + ["/data", "/charts?instrument=cut-rush", "/setups",
               "/charts/names?name=bog", "/own/sheet.css", "/nowhere", "/data?name=%ff",
               "/charts/bar?instrument=cut-rush&bar=2024-11-01"]

    def ask(count):
        for i in range(count):
            if i % 20 == 19:
                server.change("/charts/mark", {"instrument": "cut-rush", "mark": "later"})
            else:
                server.ask("GET", mixture[i % 20])

    ask(1000)
    before = resident(server)
    ask(requests)
    grown = resident(server) - before
    print(f"{requests} requests: {grown} kB more than after the first 1000")
    if grown > 4096:
        failures.append(f"{requests} requests grew the server by {grown} kB")


def dribble(server, data, seconds):
    """A byte now and then; the seconds until the server has had enough."""
    began = time.monotonic()
    with socket.create_connection(("127.0.0.1", server.port), timeout=1) as link:
        for byte in data:
            if time.monotonic() - began > seconds:
                break
            try:
                link.sendall(bytes([byte]))
                if link.recv(1) == b"":
                    break
            except TimeoutError:
                continue
            except OSError:
                break
    return time.monotonic() - began


def slow(server):
    """A request that takes longer than a minute to arrive is shut out, in its head or body."""
    head = (f"GET /data HTTP/1.1\r\nHost: {server.host}\r\nCookie: {server.cookie}\r\n"
            "X: ").encode() + b"a" * 200
    body = (f"POST /charts/mark HTTP/1.1\r\nHost: {server.host}\r\nCookie: {server.cookie}\r\n"
            f"Origin: {server.origin}\r\nContent-Type: application/x-www-form-urlencoded\r\n"
            "Content-Length: 500\r\n\r\n").encode()

    def slow_body():
        with socket.create_connection(("127.0.0.1", server.port), timeout=1) as link:
            link.sendall(body)
            began = time.monotonic()
            while time.monotonic() - began < 90:
                try:
                    link.sendall(b"a")
                    if link.recv(1) == b"":
                        break
                except TimeoutError:
                    continue
                except OSError:
                    break
            return time.monotonic() - began

    with concurrent.futures.ThreadPoolExecutor(2) as pool:
        waits = [pool.submit(dribble, server, head, 90), pool.submit(slow_body)]
        for what, wait in zip(("head", "body"), waits):
            if not 30 < wait.result() < 75:
                failures.append(f"a slow {what} was shut after {wait.result():.0f} s")


SHEETS = ("/today", "/charts?instrument=cut-rush", "/setups", "/data", "/charts/names?name=bog")


def all_stop(server, what, words):
    """Every sheet says what has happened, and no change is made."""
    for address in SHEETS:
        status, _, body = server.ask("GET", address)
        expect(f"{what}: {address}", status, 422)
        if words not in body:
            failures.append(f"{what}: {address} says {body[-300:]!r}")
    expect(f"{what}: a mark", server.change("/charts/mark",
                                            {"instrument": "cut-rush", "mark": "no"})[0], 422)
    expect(f"{what}: a file", server.hand_over("/data/import", "new.csv", prices(50))[0], 422)


def taken_away(book, folder):
    """Moved, replaced by another, put back, and of a newer program."""
    other = os.path.join(folder, "other.sqlite")
    away = os.path.join(folder, "away.sqlite")
    shutil.copy(book, other)
    with serving(PROGRAM, book) as server:
        server.enter()
        expect("before", server.ask("GET", "/charts?instrument=cut-rush")[0], 200)
        os.rename(book, away)
        all_stop(server, "moved", b"the book is no longer there")
        if os.path.exists(book):
            failures.append("a book that was moved was made anew")
        os.rename(other, book)
        before = open(book, "rb").read()
        all_stop(server, "replaced", b"another file has taken the place")
        if open(book, "rb").read() != before:
            failures.append("the book in its place was written to")
        os.rename(book, other)
        os.rename(away, book)
        for address in SHEETS[1:]:
            expect(f"put back: {address}", server.ask("GET", address)[0], 200)
        expect("put back: a mark", server.change("/charts/mark",
                                                 {"instrument": "cut-rush", "mark": "no"})[0], 303)
        connection = sqlite3.connect(book)
        version = connection.execute("PRAGMA user_version").fetchone()[0]
        connection.execute(f"PRAGMA user_version = {version + 1}")
        connection.close()
        all_stop(server, "of a newer program", b"newer")
        connection = sqlite3.connect(book)
        connection.execute(f"PRAGMA user_version = {version}")
        connection.close()
        expect("as before: a mark", server.change("/charts/mark",
                                                  {"instrument": "cut-rush", "mark": "no"})[0], 303)
        expect("clean end", server.stop(), 0)


def full_disk(folder):
    """A file that cannot grow: the save fails whole and says so; with room again it goes."""
    book = os.path.join(folder, "full.sqlite")
    with serving(PROGRAM, book, preexec_fn=lambda: signal.signal(signal.SIGXFSZ, signal.SIG_IGN)) as server:
        server.enter()
        expect("with room", server.hand_over("/data/import", "pine.csv", prices(50))[0], 303)
        before = read(book, "SELECT count(*), sum(count) FROM chunk")
        for size in (100000, 60000, 40000):
            resource.prlimit(server.process.pid, resource.RLIMIT_FSIZE, (size, resource.RLIM_INFINITY))
            status, _, body = server.hand_over("/data/import", "fir.csv", prices(6000))
            expect(f"files of {size} bytes", status, 500)
            if b"nothing of it was kept" not in body and b"cannot be taken in" not in body:
                failures.append(f"files of {size} bytes: {body[-300:]!r}")
            expect("reading goes on", server.ask("GET", "/data")[0], 200)
            expect("all as before", read(book, "SELECT count(*), sum(count) FROM chunk"), before)
        resource.prlimit(server.process.pid, resource.RLIMIT_FSIZE,
                         (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
        expect("with room again", server.hand_over("/data/import", "fir.csv", prices(6000))[0], 303)
        expect("all there", read(book, "SELECT sum(count) FROM chunk"), [(6050,)])
        expect("sound", read(book, "PRAGMA integrity_check"), [("ok",)])


def save_until_killed(server, names, bars):
    """The names whose import was answered before the end came."""
    saved = []
    for name in names:
        try:
            status = server.hand_over("/data/import", f"{name}.csv", bars)[0]
        except OSError:
            return saved, name
        except Exception as error:  # http.client's own, for half an answer
            if type(error).__module__ != "http.client":
                raise
            return saved, name
        expect(f"saving {name}", status, 303)
        saved.append(name)
    return saved, None


def killed(folder, times):
    """Ended by a signal that nothing can catch, at chance moments of one save after another."""
    book = os.path.join(folder, "killed.sqlite")
    bars = prices(400)
    chance = random.Random(12)
    saved = {"first"}
    half = 0
    with serving(PROGRAM, book) as server:
        server.enter()
        expect("the first save", server.hand_over("/data/import", "first.csv", bars)[0], 303)
    for turn in range(times):
        server = Server(PROGRAM, book)
        server.enter()
        timer = threading.Timer(chance.uniform(0.001, 0.08), server.process.kill)
        timer.start()
        done, cut = save_until_killed(server, (f"t{turn}-{i}" for i in range(10000)), bars)
        timer.join()
        server.process.communicate()
        saved.update(done)
        there = dict(read(book, "SELECT i.name, sum(c.count) FROM instrument i LEFT JOIN series s "
                                "ON s.instrument = i.id LEFT JOIN chunk c ON c.series = s.id GROUP BY i.id"))
        lost = saved - there.keys()
        if lost:
            failures.append(f"killed the {turn + 1}. time: {sorted(lost)} had been answered")
        if any(count != 400 for count in there.values()):
            failures.append(f"killed the {turn + 1}. time: {there} where each has 400 bars")
        # What was cut off may have been kept or not, but whole.
        half += cut in there
        expect("nothing else", there.keys() - saved - {cut}, set())
        saved.update(there.keys())
        if turn % 10 == 9:
            expect("sound", read(book, "PRAGMA integrity_check"), [("ok",)])
            expect("no loose ends", read(book, "PRAGMA foreign_key_check"), [])
    print(f"killed {times} times: {len(saved)} saves kept, {half} of them not yet answered")


with scratch() as folder:
    demo = demo_book(PROGRAM, folder)
    with serving(PROGRAM, demo) as running:
        running.enter()
        patience = threading.Thread(target=slow, args=(running,))
        patience.start()
        crowd(running, demo)
        growth(running, 10000)
        killed(folder, 100)
        full_disk(folder)
        patience.join()
        expect("clean end", running.stop(), 0)
    taken_away(demo, folder)

print("\n".join(failures) if failures else "nothing was lost")
sys.exit(1 if failures else 0)
