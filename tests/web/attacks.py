"""Strangers at the door of the page: each is turned away with the right status,
and nothing has changed afterwards.

What is held against: RFC 9110 (statuses, Host), RFC 9112 section 11.2 (requests
hidden behind others), RFC 6454 (origin), RFC 6265 (cookies), the W3C's Content
Security Policy Level 3.

    attacks.py PROGRAM
"""

import os
import re
import socket
import sqlite3
import sys
import time
from urllib.parse import urlencode

from serving import demo_book, scratch, serving

PROGRAM = sys.argv[1]
# Under the address sanitizer what is freed is held back a while, 256 MB of it unless said
# otherwise: growth would be that, and not ours.
os.environ["ASAN_OPTIONS"] = os.environ.get("ASAN_OPTIONS", "") + ":quarantine_size_mb=8"
SETUP = os.path.join(os.path.dirname(__file__), "..", "..", "setups", "low-inverted-hammer.yaml")
failures = []


def expect(what, found, *allowed):
    if found not in allowed:
        failures.append(f"{what}: {found}, expected {' or '.join(map(str, allowed))}")


def fingerprint(server):
    """All that can be read of the instruments, through the page itself."""
    return server.ask("GET", "/data")[2]


def strangers(server):
    expect("no cookie", server.ask("GET", "/data")[0], 403)
    expect("no cookie, own file", server.ask("GET", "/own/sheet.css")[0], 403)
    expect("wrong secret", server.ask("GET", "/enter?secret=" + "0" * 64)[0], 403)
    expect("no secret", server.ask("GET", "/enter")[0], 403)
    server.enter()
    expect("the secret again", server.ask("GET", f"/enter?secret={server.secret}")[0], 403)
    expect("with the cookie", server.ask("GET", "/data")[0], 200)
    forged = server.cookie[:-1] + ("0" if server.cookie[-1] != "0" else "1")
    expect("forged cookie", server.ask("GET", "/data", headers={"Cookie": forged})[0], 403)
    expect("longer cookie", server.ask("GET", "/data", headers={"Cookie": server.cookie + "0"})[0],
           403)


def names(server):
    for host in ("evil.example", f"evil.example:{server.port}", "127.0.0.1", "",
                 f"127.0.0.1.evil.example:{server.port}", f"127.0.0.1:{server.port + 1}"):
        expect(f"Host {host!r}", server.ask("GET", "/data", headers={"Host": host})[0], 400, 403)
    expect("localhost", server.ask("GET", "/data", headers={"Host": f"localhost:{server.port}"})[0],
           200)


def changes(server):
    prices = b"time,open,high,low,close\n2020-01-01,1,2,1,2\n2020-01-02,1,2,1,2\n"
    before = fingerprint(server)
    for what, headers in {
            "foreign origin": {"Origin": "http://evil.example"},
            "no origin": {"Origin": "null"},
            "origin of another port": {"Origin": f"http://127.0.0.1:{server.port + 1}"},
            "origin over TLS": {"Origin": f"https://127.0.0.1:{server.port}"},
            "no origin of another site": {"Origin": "null", "Sec-Fetch-Site": "cross-site"},
            "another site": {"Sec-Fetch-Site": "cross-site"},
            "another page of this machine": {"Sec-Fetch-Site": "same-site"}}.items():
        expect(what, server.hand_over("/data/import", "a.csv", prices, headers=headers)[0], 403)
    for change, fields in {"/charts/mark": {"instrument": "cut-rush", "mark": "watch"},
                           "/charts/keep": {"instrument": "cut-rush", "of": "1d", "pane": "rsi"}}.items():
        expect(change + " by GET", server.ask("GET", change + "?instrument=cut-rush")[0], 405)
        for what, wrong in {"token": {**fields, "token": "0" * 64}, "no token": {**fields, "token": ""}}.items():
            expect(f"{change}, wrong {what}", server.change(change, wrong)[0], 403)
        expect(change + " of another page",
               server.change(change, fields, headers={"Origin": "http://evil.example"})[0], 403)
    expect("the market by GET", server.ask("GET", "/data/market")[0], 405)
    expect("the market of another page",
           server.change("/data/market", {}, headers={"Origin": "http://evil.example"})[0], 403)
    expect("the market with a wrong token", server.change("/data/market", {"token": "0" * 64})[0], 403)
    expect("the market beside prices", server.change("/data/market", {})[0], 422, 303)
    study = {"setup": "low-inverted-hammer", "list": "reedlands"}
    for change, fields in {"/evidence/run": study, "/evidence/stop": {"job": "1"},
                           "/evidence/seal": {"from": "2020-01-01"},
                           "/evidence/freeze": {"setup": "low-inverted-hammer"}}.items():
        expect(change + " by GET", server.ask("GET", change + "?setup=low-inverted-hammer&from=2020-01-01")[0], 405)
        for what, wrong in {"token": {**fields, "token": "0" * 64}, "no token": {**fields, "token": ""}}.items():
            expect(f"{change}, wrong {what}", server.change(change, wrong)[0], 403)
        expect(change + " of another page",
               server.change(change, fields, headers={"Origin": "http://evil.example"})[0], 403)
    for what, fields in {"a setup that is a path": {"setup": "../setups/low-inverted-hammer.yaml"},
                         "a setup that is a file": {"setup": "/etc/passwd"},
                         "a second that is a path": {**study, "against": "/etc/passwd"},
                         "a frozen one that is none": {"frozen": "../x"},
                         "no setup": {"list": "reedlands"},
                         "two questions": {**study, "against": "low-inverted-hammer", "numbers": "all"},
                         "a list that is none": {**study, "list": "../../etc"},
                         "a number that is none": {**study, "numbers": "<script>"},
                         "too many resamples": {**study, "resamples": "50001"},
                         "too few resamples": {**study, "resamples": "199"},
                         "resamples of words": {**study, "resamples": "1e9"},
                         "too many markets": {**study, "markets": "2001"},
                         "less than no market": {**study, "markets": "-1"},
                         "too many paths": {**study, "next": "1001"}}.items():
        expect(what, server.change("/evidence/run", fields)[0], 400, 422)
    for what, change, fields in (("a study that is none", "/evidence/stop", {"job": "99"}),
                                 ("no date", "/evidence/seal", {"from": "soon"}),
                                 ("nothing to freeze", "/evidence/freeze", {"setup": "/etc/passwd"})):
        expect(what, server.change(change, fields)[0], 400, 404, 422)
    if b"job=" in server.ask("GET", "/evidence")[2]:
        failures.append("a refused study is under way")
    for what, fields in {"an instrument that is a path": {"instrument": "/etc/passwd", "mark": "watch"},
                         "a mark that is none": {"instrument": "cut-rush", "mark": "../watch"},
                         "no instrument": {"mark": "watch"}}.items():
        expect(what, server.change("/charts/mark", fields)[0], 400, 422)
    for what, fields in {"a pane that is none": {"of": "1d", "pane": "<script>"},
                         "an average that is none": {"of": "1d", "average": "1e9"},
                         "too much of it": {"of": "1d", "average": "200," * 400},
                         "no length": {"of": "soon", "pane": "rsi"}}.items():
        expect(what, server.change("/charts/keep", fields)[0], 400, 422)
    token, server.token = server.token, "0" * 64
    expect("stale token", server.hand_over("/data/import", "a.csv", prices)[0], 403)
    server.token = ""
    expect("no token", server.hand_over("/data/import", "a.csv", prices)[0], 403)
    server.token = token
    expect("a change by GET", server.ask("GET", "/data/import?file=x")[0], 405)
    for method in ("PUT", "DELETE", "OPTIONS", "TRACE", "PATCH"):
        expect(method, server.ask(method, "/data")[0], 405, 501)
    expect("JSON", server.ask("POST", "/data/import", b"{}",
                              {"Origin": server.origin, "Content-Type": "application/json"})[0], 400)
    if fingerprint(server) != before:
        failures.append("a refused change has changed the book")


def paths(server):
    for path in ("/../../etc/passwd", "/own/../../etc/passwd", "/own/%2e%2e/%2e%2e/etc/passwd",
                 "/own//etc/passwd", "/own/sheet.css%00.png", "/data%00", "//data", "/own/",
                 "/data/../data", "/%c0%ae%c0%ae/", "/own/sheet.css/..", "/" + "a" * 4000):
        expect(path[:40], server.ask("GET", path)[0], 400, 404)
    expect("a very long address", server.ask("GET", "/" + "a" * 100000)[0], 414, 431, 400)
    long_drafts(server)
    expect("too many fields", server.ask("GET", "/data?" + "&".join(f"f{i}=1" for i in range(400)))[0],
           400)
    expect("a field of broken UTF-8", server.ask("GET", "/data?name=%ff%fe")[0], 400)
    expect("a NUL in a field", server.ask("GET", "/data?name=a%00b")[0], 400)


def long_drafts(server):
    """A draft is in the address, every byte of it perhaps as three: it is read, or refused with a sentence;
    never an empty answer."""
    with open(SETUP, encoding="utf-8") as file:
        text = file.read()
    for size in (8000, 10900, 16000, 24000, 32000, 33000, 60000, 84000, 100000, 200000):
        draft = text + "# " + "\u00e9" * (size // 2 - len(text) // 2)
        query = urlencode({"setup": "low-inverted-hammer", "list": "reedlands", "text": draft})
        for path in ("/setups", "/setups/cases"):
            status, _, body = server.ask("GET", f"{path}?{query}")
            fits = len(path) + 1 + len(query) <= 98304
            expect(f"{path} with a draft of {size} bytes", status, 200 if fits else 414)
            if not body or (not fits and len(query) < 200000 and b"at most 98304 bytes" not in body):
                failures.append(f"{path} with a draft of {size} bytes: {body[-300:]!r}")


def names_that_are_paths(server):
    prices = b"time,open,high,low,close\n2020-01-01,1,2,1,2\n2020-01-02,1,2,1,2\n"
    for name in ("../../../etc/cron.d/x", "/etc/passwd", "..", ".", "a\x1b[2Jb", "x@1d", ""):
        status = server.hand_over("/data/import", "a.csv", prices, {"instrument": name})[0]
        # A name that is a path is a name like any other, or refused; never a file.
        expect(f"instrument {name!r}", status, 303, 400, 422)
    status, _, body = server.hand_over("/data/import", "a.csv", prices, {"instrument": "x@1d"})
    # What to do is said in the words of the page, not of the command line.
    if b"fill in another as the instrument" not in body or b"--instrument" in body:
        failures.append(f"a name refused with {status}: {body[-400:]!r}")
    if os.path.exists("/etc/cron.d/x"):
        failures.append("a name became a file")


def scripts(server):
    """What a person has typed or a file says is text, in every sheet."""
    evil = "<script>alert(1)</script>"
    prices = b"time,open,high,low,close\n2020-01-01,1,2,1,2\n2020-01-02,1,2,1,2\n"
    status, headers, _ = server.hand_over("/data/import", "evil.csv", prices,
                                          {"instrument": evil[:60]})
    expect("a name of markup", status, 303, 422)
    for path in ("/data", "/charts", "/charts?instrument=%3Cscript%3E", "/charts?list=%3Cscript%3E",
                 "/charts?instrument=cut-rush&beside=%22%3E%3Cscript%3E&setup=%3Cscript%3E",
                 "/data?name=%3Cscript%3Ealert(1)%3C/script%3E",
                 "/data?done=%3Cscript%3Ealert(1)%3C/script%3E", "/%3Cscript%3E",
                 "/data?name=%22%20onmouseover=%22alert(1)", "/keys?as-of=%22%3E%3Cscript%3E"):
        body = server.ask("GET", path)[2]
        if re.search(rb"<script(?! type=\"module\" src=\"/own/)", body) or b'" onmouseover' in body:
            failures.append(f"{path}: markup of a stranger came through")


def headers_of_answers(server):
    for path in ("/data", "/own/sheet.css", "/nowhere"):
        headers = server.ask("GET", path)[1]
        policy = headers.get("Content-Security-Policy", "")
        if "default-src 'none'" not in policy or "unsafe" not in policy + "unsafe" or \
                "'unsafe-inline'" in policy or "frame-ancestors 'none'" not in policy:
            failures.append(f"{path}: policy {policy!r}")
        expect(f"{path}: nosniff", headers.get("X-Content-Type-Options"), "nosniff")
        expect(f"{path}: referrer", headers.get("Referrer-Policy"), "no-referrer")
    body = server.ask("GET", "/data")[2]
    # A browser keeps what has a mark in its address, and nothing else.
    marked = set(re.findall(r"/own/[0-9a-f]{16}/[a-z.]+", body.decode()))
    if len(marked) < 5:
        failures.append(f"own files of the sheet: {marked}")
    for path, kept in {**dict.fromkeys(marked, True), "/data": False, "/own/sheet.css": False}.items():
        said = server.ask("GET", path)[1].get("Cache-Control")
        expect(f"{path}: kept", said, "private, max-age=31536000, immutable" if kept else "no-store")
    expect("another mark", server.ask("GET", "/own/0000000000000000/sheet.css")[0], 404)
    if re.search(rb"\sstyle=|<style|\son[a-z]+=", body):
        failures.append("the sheet has a style or a handler in its markup")


def broken_http(server):
    host = server.host.encode()
    cookie = server.cookie.encode()
    head = b"POST /data/import HTTP/1.1\r\nHost: " + host + b"\r\nCookie: " + cookie + b"\r\n"
    form = b"Content-Type: application/x-www-form-urlencoded\r\n"
    for what, data in {
            "two lengths": head + form + b"Content-Length: 3\r\nContent-Length: 50\r\n\r\na=b",
            "length and coding": head + form + b"Content-Length: 3\r\nTransfer-Encoding: chunked\r\n"
                                 b"\r\n0\r\n\r\nGET /data HTTP/1.1\r\nHost: " + host + b"\r\n\r\n",
            "negative length": head + form + b"Content-Length: -1\r\n\r\n",
            "two hosts": b"GET /data HTTP/1.1\r\nHost: " + host + b"\r\nHost: evil\r\n\r\n",
            "no host": b"GET /data HTTP/1.1\r\nCookie: " + cookie + b"\r\n\r\n",
            "no version": b"GET /data\r\n\r\n",
            "blank before the colon": b"GET /data HTTP/1.1\r\nHost : " + host + b"\r\n\r\n",
            "nonsense": bytes(range(256)) * 8,
            "a huge head": b"GET /data HTTP/1.1\r\nHost: " + host + b"\r\nX: " + b"a" * 200000}.items():
        back = server.raw(data, seconds=5)
        first = back.split(b"\r\n")[0]
        if re.match(rb"HTTP/1\.[01] 2\d\d", first) or back.count(b"HTTP/1.1 200") > 0:
            failures.append(f"{what}: {first!r}")
    expect("the server goes on", server.ask("GET", "/data")[0], 200)
    status = server.ask("POST", "/data/import", b"a=" + b"b" * 2000000,
                        {"Origin": server.origin,
                         "Content-Type": "application/x-www-form-urlencoded"})[0]
    expect("a body of 2 MB", status, 403, 413, 422)


def many(server):
    """Connections that say nothing keep nobody else out."""
    idle = []
    for _ in range(200):
        idle.append(socket.create_connection(("127.0.0.1", server.port), timeout=5))
        idle[-1].sendall(b"GET /da")
    began = time.monotonic()
    expect("beside 200 idle ones", server.ask("GET", "/data")[0], 200)
    if time.monotonic() - began > 5:
        failures.append("200 idle connections hold the others up")
    for link in idle:
        link.close()


def hidden(server):
    """A second request that one reader of HTTP sees and another does not (RFC 9112,
    sections 2.2, 5.1, 6.1 to 6.3, 7.1 and 11.2): none is answered but by a refusal."""
    host = f"Host: {server.host}\r\nCookie: {server.cookie}\r\n"
    inner = f"GET /keys HTTP/1.1\r\n{host}\r\n"
    post = (f"POST /charts/mark HTTP/1.1\r\n{host}Origin: {server.origin}\r\n"
            "Content-Type: application/x-www-form-urlencoded\r\n")
    chunk = f"0\r\n\r\n{inner}"
    codings = ("Transfer-Encoding: chunked", "Transfer-Encoding : chunked", "Transfer-Encoding: xchunked",
               "Transfer-Encoding:\tchunked", "Transfer-Encoding: identity, chunked",
               "Transfer-Encoding: chunked, identity", "Transfer-Encoding:\r\n chunked",
               "X: a\nTransfer-Encoding: chunked", "transfer-encoding: \x0bchunked",
               "Transfer-Encoding: chunked\r\nTransfer-Encoding: identity")
    attempts = {f"{coding!r} beside a length":
                f"{post}Content-Length: {len(chunk)}\r\n{coding}\r\n\r\n{chunk}" for coding in codings}
    for length in ("+5", "-5", "0x5", "5, 5", "5 5", "5;", "", "18446744073709551621", "5\r\n 5",
                   "1e1", "\u0665"):
        attempts[f"a length of {length!r}"] = f"{post}Content-Length: {length}\r\n\r\na=bcd{inner}"
    for size in ("-1", "0x5", "5 5", "10000000000000005", "g", ""):
        attempts[f"a piece of {size!r}"] = (f"{post}Transfer-Encoding: chunked\r\n\r\n{size}\r\na=bcd\r\n"
                                           f"0\r\n\r\n{inner}")
    attempts["a name folded over lines"] = f"GET /data HTTP/1.1\r\n{host}Content-Length\r\n : 9\r\n\r\n{inner}"
    attempts["a bare CR"] = f"{post}X: a\rContent-Length: 0\r\nContent-Length: {len(inner)}\r\n\r\n{inner}"
    before = fingerprint(server)
    for what, data in attempts.items():
        back = server.raw(data.encode("latin-1", "replace"), seconds=1.5)
        answers = re.findall(rb"HTTP/1\.[01] (\d+)", back)
        if not answers or any(answer[:1] != b"4" for answer in answers):
            failures.append(f"{what}: answered {answers}")
    if fingerprint(server) != before:
        failures.append("a hidden request has changed the book")
    # RFC 9110, section 5.5, lets a NUL be read as a blank: then it ends no line before its end.
    nul = f"GET /data HTTP/1.1\r\n{host}X: a\0b\r\nContent-Length: {len(inner)}\r\n\r\n{inner}".encode()
    if len(re.findall(rb"HTTP/1\.1 200", server.raw(nul, seconds=1.5))) > 1:
        failures.append("a NUL in a head: the body was read as a request")


def many_studies(server):
    """No more than are allowed at a time, and each can be stopped; the others are answered meanwhile."""
    jobs, statuses = [], []
    for _ in range(24):
        status, headers, _ = server.change("/evidence/run", {"setup": "any-bar-at-a-low", "resamples": "50000",
                                                             "markets": "2000"})
        statuses.append(status)
        if status == 303:
            jobs.append(re.search(r"job=(\d+)", headers["Location"]).group(1))
    expect("a twenty-first study", statuses[20] in (400, 422), True)
    began = time.monotonic()
    expect("beside twenty studies", server.ask("GET", "/data")[0], 200)
    if time.monotonic() - began > 3:
        failures.append("studies hold the other sheets up")
    for job in jobs:
        expect("stopping one", server.change("/evidence/stop", {"job": job})[0], 303)
    deadline = time.monotonic() + 20
    while b'"running"' in server.ask("GET", "/evidence/jobs")[2] and time.monotonic() < deadline:
        time.sleep(0.1)
    expect("none is left", b'"running"' in server.ask("GET", "/evidence/jobs")[2], False)


def answers_of_strangers(server, book):
    """A book that somebody else has written in: nothing of it runs."""
    evil = '<p>x</p><img src="/data" onerror="alert(1)"><script>alert(1)</script>'
    with sqlite3.connect(book) as handle:
        row = handle.execute(
            "INSERT INTO answer(made, kind, setup, against, list, setup_hash, against_hash, data_hash, until, seed, "
            "resamples, trades, mean_r, low, high, opening, body) VALUES(1, 'study', ?, '', ?, '', '', '', NULL, 1, "
            "1, 1, 1, 1, 1, ?, ?)", (evil, evil, evil, evil)).lastrowid
    handle.close()
    for path in (f"/evidence?answer={row}", "/evidence"):
        status, _, body = server.ask("GET", path)
        expect(path, status, 200)
        if b"<img" in body or re.search(rb"<script(?! type=\"module\" src=\"/own/)", body):
            failures.append(f"{path}: markup of a stranger's book came through")


def resident(server):
    with open(f"/proc/{server.process.pid}/status", encoding="ascii") as status:
        return int(re.search(r"VmRSS:\s+(\d+) kB", status.read()).group(1))


def growth(server, requests):
    for _ in range(300):
        server.ask("GET", "/data")
    before = resident(server)
    for _ in range(requests):
        server.ask("GET", "/data")
    grown = resident(server) - before
    if grown > 4096:
        failures.append(f"{requests} requests grew the server by {grown} kB")


def reading_only(book):
    with serving(PROGRAM, book, "--read-only") as server:
        server.enter()
        prices = b"time,open,high,low,close\n2020-01-01,1,2,1,2\n"
        expect("--read-only", server.hand_over("/data/import", "a.csv", prices)[0], 403)
        expect("--read-only, a mark",
               server.change("/charts/mark", {"instrument": "cut-rush", "mark": "watch"})[0], 403)
        expect("--read-only, a study",
               server.change("/evidence/run", {"setup": "low-inverted-hammer"})[0], 403)
        expect("--read-only, answers", server.ask("GET", "/evidence")[0], 200)
        expect("--read-only, reading", server.ask("GET", "/data")[0], 200)


def listening(server):
    """On the loopback address and no other."""
    with open("/proc/net/tcp", encoding="ascii") as table:
        mine = [line.split()[1] for line in table
                if line.split()[1].endswith(f":{server.port:04X}") and line.split()[3] == "0A"]
    expect("listening addresses", mine, [f"0100007F:{server.port:04X}"])


with scratch() as folder:
    book = demo_book(PROGRAM, folder)
    with serving(PROGRAM, book) as running:
        listening(running)
        strangers(running)
        for attack in (names, changes, paths, names_that_are_paths, scripts, headers_of_answers,
                       broken_http, hidden, many, many_studies):
            attack(running)
        answers_of_strangers(running, book)
        growth(running, 2000)
        expect("clean end", running.stop(), 0)
    reading_only(book)

print("\n".join(failures) if failures else "every stranger was turned away")
sys.exit(1 if failures else 0)
