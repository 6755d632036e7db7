"""What is told as of a past date is what a book that holds nothing later tells: at
20 dates, of every command that takes --as-of and of every sheet of the page. The
other book is made by this program's import from files cut here, by the rules of
docs/method.md 1 and the time zones of Python's zoneinfo; no answer is expected, the
two are held to each other. Two refusals alike are no answer: there is one wherever the
files cut here hold a bar to answer from.

    as_of_test.py RUSHLIGHT SETUPS [EVERY]

EVERY 5 takes each fifth of the dates.
"""
import csv
import datetime
import html
import io
import pathlib
import random
import re
import sqlite3
import subprocess
import sys
import tempfile
import zoneinfo

sys.path.insert(0, str(pathlib.Path(__file__).parent / "web"))
from serving import serving  # noqa: E402

RUSHLIGHT = str(pathlib.Path(sys.argv[1]).resolve())
SETUPS = pathlib.Path(sys.argv[2])
NAMES = ("cut-rush", "saltpan-trust", "gorsewick-candles", "marrowick-bank",
         "reedlands-broad-future", "rdm-fnl", "tallowmere-lamps", "brindlequay-ferries")
# Zones in which a session is over at other hours than in the files'.
ZONES = {"rdm-fnl": ("America/New_York", "17:00-", -420),
         "tallowmere-lamps": ("Australia/Sydney", "00:00", 0),
         "marrowick-bank": ("Asia/Tokyo", "00:00", 0)}
TICKS = {"marrowick-bank": ("0.001", "0.01@2013-03-04", "0.05@2019-06-03")}
SETUP = ("low-inverted-hammer", "high-hanging-man", "weekly-filter", "retest-of-382")
HOURLY_SETUP = "quiet-hours"
# Sundays, turns of the year and days on which a clock is changed are among them.
FIXED = ("2011-11-04", "2014-12-31", "2016-11-17", "2018-03-04", "2020-05-21", "2022-01-03",
         "2023-03-26", "2024-10-30")
# Who was on a list, from when to when; a moment is noon of UTC, which lies within that
# date's session in every zone here.
EVENING = (("cut-rush", "2010-01-04", None), ("saltpan-trust", "2014-12-31", "2020-05-21"),
           ("rdm-fnl", "2012-06-01", "2018-03-04"), ("tallowmere-lamps", "2016-11-17", None),
           ("marrowick-bank", "2009-01-01", "2010-12-01"),
           ("gorsewick-candles", "2023-03-26", None))
QUIET = """setup: quiet
side: long
candle: {shape: any}
place: [no_event: {kind: report, before: 5, after: 5}, lowest_low: {bars: 10}]
entry: {on: next_open}
stop: {at: atr, times: 2}
exit: {time_stop: 5}
"""
failures = []
compared = 0


def run(*words, allowed=1):
    done = subprocess.run([RUSHLIGHT, *words], capture_output=True, text=True)
    if done.returncode > allowed:
        sys.exit(f"rushlight {' '.join(words)}: {done.stderr}")
    return done


def day_of(text):
    return datetime.date.fromisoformat(text[:10])


def over_by(name, stamp, step, day):
    """Whether a bar is over at the end of the instrument's session of that day."""
    if step is not None and step >= 24:
        return day_of(stamp) + datetime.timedelta(hours=step - 24) <= day
    zone, _, start = ZONES.get(name, ("UTC", "", 0))
    end = datetime.datetime.combine(day + datetime.timedelta(1), datetime.time())
    end = (end + datetime.timedelta(minutes=start)).replace(tzinfo=zoneinfo.ZoneInfo(zone))
    begun = datetime.datetime.fromisoformat(stamp.replace("Z", "+00:00"))
    return begun + datetime.timedelta(hours=step) <= end


def events():
    """A calendar, a third of it known always, by its date, by its time."""
    drawn = random.Random(13)
    begin = datetime.date(2010, 1, 4)
    rows = []
    for i in range(240):
        day = begin + datetime.timedelta(drawn.randrange(5500))
        known = day - datetime.timedelta(drawn.randrange(-30, 400))
        rows.append({"kind": "report", "time": day.isoformat(), "note": str(i),
                     "instrument": drawn.choice((*NAMES, "all")),
                     "known": ("", known.isoformat(), f"{known}T12:00:00Z")[i % 3]})
    return rows


def list_members(path, day):
    """Lists as of a day, with the moments at which they were changed."""
    noon = "unixepoch(?, '+12 hours')"
    with sqlite3.connect(path) as book:
        book.execute("UPDATE watchlist_member SET added = NULL")
        for name, added, removed in EVENING if day.year == 9999 else ():
            where = ("WHERE watchlist = (SELECT id FROM watchlist WHERE name = 'evening') AND "
                     "instrument = (SELECT id FROM instrument WHERE name = ?)")
            book.execute(f"UPDATE watchlist_member SET added = {noon} {where}", (added, name))
            if removed:
                book.execute("INSERT INTO watchlist_past(watchlist, instrument, position, added, "
                             f"removed) SELECT 'evening', instrument, position, added, {noon} "
                             f"FROM watchlist_member {where}", (removed, name))
                book.execute(f"DELETE FROM watchlist_member {where}", (name,))
    book.close()


class Market:
    """The files of some of the invented market, whole."""

    def __init__(self, folder):
        run("demo", "--dir", str(folder), "--quiet")
        book = ("--book", str(folder / "book.sqlite"))
        self.prices = []
        for name in NAMES:
            for part, step in (("prices", 24), ("prices-hourly", 1)):
                path = folder / part / f"{name}.csv"
                if path.exists():
                    lines = path.read_text().splitlines()
                    self.prices.append((name, step, lines[0], [
                        line for line in lines[1:] if re.match(r"\d{4}-\d\d-\d\d", line)]))
        head, *rows = run("bars", "cut-rush@1w", "--format", "csv", *book).stdout.splitlines()
        # The last of them is partial.
        self.prices.append(("weekly-rush", 7 * 24, head, rows[:-1]))
        head, *rows = run("bars", "cut-rush", "--from", "2018-01-08", "--format", "csv",
                          *book).stdout.splitlines()
        self.prices.append(("late-rush", 24, head, rows))
        listed = run("instrument", "--format", "csv", *book).stdout
        self.records = [row for row in csv.DictReader(io.StringIO(listed))
                        if row["instrument"] in NAMES]
        for row in self.records:
            zone, start, _ = ZONES.get(row["instrument"], (row["zone"], row["session_start"], 0))
            row["zone"], row["session_start"] = zone, start
        self.there = {}  # (instrument, hours of a bar) with a bar by a day: its last one
        self.actions = [row for row in csv.DictReader(io.StringIO(
            run("actions", "--format", "csv", *book).stdout)) if row["instrument"] in NAMES]

    def build(self, folder, day):
        """A book of what is over on that day."""
        folder.mkdir()
        book = ("--book", str(folder / "book.sqlite"), "--quiet")
        records = [dict(row) for row in self.records]
        for row in records:
            if row["last_date"] and day_of(row["last_date"]) > day:
                row["last_date"] = row["ended_why"] = ""
            if row["instrument"] in TICKS:
                row["tick"] = " ".join(tick for tick in TICKS[row["instrument"]]
                                       if "@" not in tick or day_of(tick.split("@")[1]) <= day)
        write(folder / "records.csv", records)
        run("instrument", "--import", str(folder / "records.csv"), *book)
        for name in ("weekly-rush", "late-rush"):
            run("instrument", name, "--new", "--tick", "0.25", *book)
        for i, (name, step, head, lines) in enumerate(self.prices):
            kept = [line for line in lines if over_by(name, line.split(",")[0], step, day)]
            path = folder / f"{i}.csv"
            path.write_text("\n".join([head, *kept, ""]))
            if kept:
                self.there[day, name, step] = kept[-1].split(",")[0]
                run("import", str(path), "--instrument", name, "--interval",
                    {1: "1h", 24: "1d", 168: "1w"}[step], *book)
        write(folder / "actions.csv", [row for row in self.actions if day_of(row["date"]) <= day])
        run("actions", "import", str(folder / "actions.csv"), *book)
        names = [*NAMES, "weekly-rush", "late-rush"]
        run("watchlists", "make", "all", *names, *book)
        stood = [name for name, added, removed in EVENING if day.year == 9999 or
                 day_of(added) <= day and (removed is None or day < day_of(removed))]
        if stood:
            run("watchlists", "make", "evening", *stood, *book)
        list_members(folder / "book.sqlite", day)
        write(folder / "events.csv", [row for row in events()
                                      if not row["known"] or day_of(row["known"]) <= day])
        run("events", "import", str(folder / "events.csv"), *book)
        (folder / "quiet.yaml").write_text(QUIET)
        return str(folder / "book.sqlite")


def write(path, rows):
    with open(path, "w", newline="") as file:
        writer = csv.DictWriter(file, rows[0].keys() if rows else ("instrument", "date", "kind",
                                                                   "value"))
        writer.writeheader()
        writer.writerows(rows)


def hold(what, one, other):
    global compared
    compared += 1
    if one == other:
        return
    first = next((pair for pair in zip(one.splitlines(), other.splitlines())
                  if pair[0] != pair[1]), (one[-120:], other[-120:]))
    failures.append(f"{what}: '{first[0][:160]}', not '{first[1][:160]}'")


def hold_commands(market, whole, cut, day, folder):
    date = day.isoformat()
    setups = ",".join(SETUP)

    def both(*words, file=None, told=True):
        """`told`: whether there is anything to tell, else it has to be refused."""
        answers = []
        # On the other book nothing is cut off, and the clock is not asked either.
        for book, more in ((whole, ("--as-of", date)), (cut, ("--to", "2999-12-31"))):
            output = ("-o", str(folder / file)) if file else ()
            done = run(*words, *output, *more, "--book", book, allowed=3)
            if told != (done.returncode < 2):
                failures.append(f"as of {date}: {' '.join(words)}: status {done.returncode}: "
                                f"{done.stderr[:120]}")
            answer = without_date(done.stdout + done.stderr) + str(done.returncode)
            if file and (folder / file).exists():
                answer += (folder / file).read_text()
                (folder / file).unlink()
            answers.append(answer)
        hold(f"as of {date}: {' '.join(words)}", *answers)
        return answers[1]

    def there(name, *steps):
        return any((day, name, step) in market.there for step in steps)

    for name in (*NAMES, "weekly-rush", "late-rush"):
        both("bars", name, told=there(name, 1, 24, 168))
        # Weeks make no months.
        both("bars", f"{name}@1month", "--adjust", "all", told=there(name, 1, 24))
    both("bars", "rdm-fnl@1h", told=there("rdm-fnl", 1))
    both("bars", "tallowmere-lamps@4h", told=there("tallowmere-lamps", 1))
    both("check", "--watchlist", "all")
    found = both("scan", "--watchlist", "all", "--setup", setups, "--all", "--format", "csv")
    both("scan", "--watchlist", "all", "--setup", setups, "--format", "json")
    both("scan", "--watchlist", "all", "--setup", setups, "--nearly", "5")
    both("scan", "--watchlist", "all", "--setup", setups, "--waiting")
    both("scan", "rdm-fnl@1h", "--setup", HOURLY_SETUP, "--all", told=there("rdm-fnl", 1))
    both("cases", "--watchlist", "all", "--setup", SETUP[0], file="cases.svg")
    both("check", "--watchlist", "evening")
    both("scan", "--watchlist", "evening", "--setup", setups, "--all")
    both("cases", "--watchlist", "evening", "--setup", SETUP[0], file="cases.svg")
    quiet = str(folder / "whole" / "quiet.yaml")
    both("scan", "--watchlist", "all", "--setup", quiet, "--all", "--format", "csv")
    # The newest bar, and the day itself, which may be none.
    for name, setup in (("rdm-fnl", quiet), ("cut-rush", SETUP[1])):
        newest = market.there[day, name, 24]
        both("explain", name, newest, "--setup", setup)
        both("explain", name, date, "--setup", setup, told=date == newest)
    signals = [line.split(",") for line in found.splitlines()
               if re.search(r",\d{4}-\d\d-\d\d,", line)]
    if signals:
        rows = list(csv.DictReader(io.StringIO(found)))
        last = [row for row in rows if re.match(r"\d{4}", row.get("candle_time") or "")][-1]
        both("case", last["instrument"], last["candle_time"][:10], "--setup", last["setup"],
             file="case.svg")


def without_date(answer):
    """The other book is not asked by a date."""
    return answer.replace(" by that date; a later one may have some", "; import some").replace(
        " by that date", ""
    )


def text_of(sheet):
    """What a sheet says to who reads it, without the lines that the date is past, or why
    nothing can be drawn."""
    sheet = re.sub(r"(?s)<head>.*?</head>|<p class=\"past\">.*?</p>", "", sheet)
    sheet = re.sub(r"(?:A past date is shown: the lines that stood then are here, and|"
                   r"The book is open for reading only:) nothing can be drawn\. ?", "", sheet)
    sheet = without_date(sheet)
    return re.sub(r"\s*\n\s*", "\n", html.unescape(re.sub(r"<[^>]*>", "\n", sheet))).strip()


def hold_sheets(market, server, cut, day):
    date = day.isoformat()
    charts = [f"/charts?instrument={name}&setup={SETUP[0]}&beside=1w" for name in NAMES[:4]]
    sheets = ["/today", "/today?list=all", "/data", "/setups", "/keys", "/evidence",
              f"/setups?setup={SETUP[0]}&list=all", f"/setups/cases?setup={SETUP[2]}&list=all",
              "/charts?list=all", "/charts?list=evening", "/today?list=evening",
              f"/setups?setup={SETUP[0]}&list=evening",
              "/charts?instrument=gorsewick-candles&list=evening",
              "/charts?instrument=rdm-fnl&interval=4h", *charts,
              *(path.replace("/charts?", "/charts/figure?") for path in charts[:2]),
              *(path.replace("/charts?", "/charts/beside?") for path in charts[:2]),
              *(path.replace("/charts?", "/charts/bar?") for path in charts)]
    with serving(RUSHLIGHT, cut, "--read-only") as other:
        other.enter()
        for path in sheets:
            dated = path + ("&" if "?" in path else "?") + "as-of=" + date
            # Of a date that is not past Today says how old the bars are by the clock.
            paths = (dated, dated if path.startswith("/today") else path)
            answers = [(status, text_of(body.decode())) for status, _, body in
                       (server.ask("GET", paths[0]), other.ask("GET", paths[1]))]
            hold(f"as of {date}: {path}", *(f"{status}\n{text}" for status, text in answers))
            named = re.search(r"instrument=([^&]*)", path)
            step = 1 if "interval=4h" in path else 24
            if (not named or (day, named[1], step) in market.there) and answers[0][0] != 200:
                failures.append(f"as of {date}: {path}: {answers[0]}")


def hold_frame(server):
    """The date goes along, the way back is offered and changes are not, nor taken."""
    _, _, body = server.ask("GET", "/charts?instrument=cut-rush&as-of=2020-03-02")
    sheet = body.decode()
    links = re.findall(r'href="(/(?:today|charts|setups|data)[^"]*)"', sheet)
    back = [link for link in links if "as-of" not in link]
    if len(links) < 6 or back != ["/charts?instrument=cut-rush"]:
        failures.append(f"the date is lost in {back}")
    if "As it was known at the end of" not in sheet:
        failures.append("no line says that a past date is shown")
    for path in ("/charts?instrument=cut-rush&as-of=2020-03-02", "/data?as-of=2020-03-02"):
        if re.search(rb'method="post"', server.ask("GET", path)[2]):
            failures.append(f"{path} offers a change")
    if not re.search(rb'method="post"', server.ask("GET", "/charts?instrument=cut-rush")[2]):
        failures.append("no change is offered now either")
    status, _, _ = server.change("/charts/mark", {"instrument": "cut-rush", "mark": "watch",
                                                  "as-of": "2020-03-02"})
    if status != 400:
        failures.append(f"a change as of a past date is answered with {status}")
    lists = re.sub(rb"<[^>]*>", b" ", server.ask("GET", "/data")[2]).split(b"Lists")[-1]
    if re.search(rb"\bwatch\b", lists):
        failures.append("a change as of a past date was made")
    status, _, _ = server.ask("GET", "/today?as-of=yesterday")
    if status != 400:
        failures.append(f"a date that is none is answered with {status}")


def dates():
    drawn = random.Random(20260708)
    begin, end = datetime.date(2010, 6, 1), datetime.date(2024, 12, 27)
    more = [begin + datetime.timedelta(drawn.randrange((end - begin).days)) for _ in range(12)]
    return sorted([day_of(text) for text in FIXED] + more)


def main():
    chosen = dates()
    if len(sys.argv) > 3:
        chosen = chosen[::int(sys.argv[3])]
    with tempfile.TemporaryDirectory(prefix="rushlight-test-") as scratch:
        folder = pathlib.Path(scratch)
        market = Market(folder / "demo")
        whole = market.build(folder / "whole", datetime.date(9999, 1, 1))
        with serving(RUSHLIGHT, whole) as server:
            server.enter()
            hold_frame(server)
        with serving(RUSHLIGHT, whole, "--read-only") as server:
            server.enter()
            for day in chosen:
                cut = market.build(folder / day.isoformat(), day)
                hold_commands(market, whole, cut, day, folder)
                hold_sheets(market, server, cut, day)
    for failure in failures[:40]:
        print(failure)
    print(f"{compared} answers of {len(chosen)} dates held to each other, "
          f"{len(failures)} failures")
    sys.exit(1 if failures or compared < 40 * len(chosen) else 0)


main()
