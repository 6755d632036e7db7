"""Each link and each form of the sheet Charts, walked: what the address says of the
chart stays, but what the one thing that is changed leaves behind.

No source outside the project: the table of what is left behind is written here anew.

    address.py PROGRAM
"""

import subprocess
import sys
from html.parser import HTMLParser
from urllib.parse import parse_qsl, urlencode, urlsplit

from serving import demo_book, scratch, serving

PROGRAM = sys.argv[1]
failures = []

ORDERS = {"entry", "stop", "target"}
FOLLOWING = {"entry-on", "stop-on", "target-on"}  # a line, on bars of any length
# What goes when one field is changed; of all else nothing may.
LEFT_BEHIND = {"instrument": {"case", "bar", "undo"} | ORDERS | FOLLOWING,
               "case": {"bar", "held"} | ORDERS | FOLLOWING, "setup": {"way"} | ORDERS | FOLLOWING,
               "interval": ORDERS, "way": {"entry", "entry-on"}, "held": {"bar"}}
# Of a form, of a walk that came to its end, of a line that is about to be drawn.
BESIDES = {"was", "was-setup", "none", "draw"}

WHOLE = {"instrument": "cut-rush", "list": "reedlands", "interval": "1d",
         "setup": "low-inverted-hammer", "case": "2024-11-01", "bar": "2024-10-30", "span": "90",
         "scale": "log", "panes": "", "averages": "50,bands", "beside": "1w", "way": "break",
         "entry": "561", "stop": "547.5", "target": "590"}
HELD = {**WHOLE, "held": "2024-11-01"}
PAST = {**WHOLE, "as-of": "2024-12-02"}
BETWEEN = {name: value for name, value in HELD.items() if name not in {"setup", "way", *ORDERS}}
BOUND = {name: value for name, value in WHOLE.items() if name not in ORDERS} | dict.fromkeys(FOLLOWING, "1")


class Sheet(HTMLParser):
    """Its links, and its forms with the fields that a browser would send."""

    def __init__(self, text):
        super().__init__()
        self.links, self.forms = [], []
        self.form = self.select = None
        self.feed(text)

    def handle_starttag(self, tag, pairs):
        of = dict(pairs)
        if tag == "a" and of.get("href", "").startswith("/charts"):
            self.links.append(of["href"])
        if tag == "form":
            self.form = {"id": of.get("id", ""), "class": of.get("class", ""), "method": of["method"],
                         "action": of.get("action", "/charts"), "fields": [], "buttons": []}
            self.forms.append(self.form)
        if self.form is None or "name" not in of and tag != "option":
            return
        if tag == "input" and (of.get("type") != "checkbox" or "checked" in of):
            self.form["fields"].append((of["name"], of.get("value") or ""))
        if tag == "button":
            self.form["buttons"].append((of["name"], of.get("value") or ""))
        if tag == "select":
            self.select = of["name"]
            self.form["fields"].append((self.select, ""))
        if tag == "option" and "selected" in of:
            self.form["fields"][-1] = (self.select, of["value"])

    def handle_endtag(self, tag):
        if tag == "form":
            self.form = None


def query_of(address):
    return dict(parse_qsl(urlsplit(address).query, keep_blank_values=True))


def settled(server, address):
    """Where one stands in the end."""
    while True:
        status, headers, _ = server.ask("GET", address)
        if status != 303:
            if status != 200:
                failures.append(f"{address}: {status}")
            return query_of(address)
        address = headers["Location"]


def is_same(name, one, other):
    """A field has a price as the tick writes it; an empty date, setup or line is none."""
    if name in ORDERS and one and other:
        return float(one) == float(other)
    return one == other or name in {"as-of", "setup"} | FOLLOWING and not one and not other


def compare(what, before, after, may_change):
    """All of `before` is in `after`, but what is changed and what that leaves behind."""
    changed = {name for name in may_change if before.get(name) != after.get(name)}
    # A step that comes to its end is one all the same; all shown again, the bar stays.
    steps = may_change == {"held"}
    lost = set().union(*(LEFT_BEHIND.get(name, set()) for name in (may_change if steps else changed)))
    if steps and "held" not in after:
        lost = set()
    for name in before.keys() | after.keys():
        if name in changed or name in BESIDES or is_same(name, before.get(name), after.get(name)):
            continue
        if name in lost and name not in after:
            continue
        failures.append(f"{what}: {name} was {before.get(name)!r}, is {after.get(name)!r}")
    for name in lost:
        if name in after and name not in changed:
            failures.append(f"{what}: {name} should have been left behind")


def walk_links(server, here, sheet):
    seen = set()
    for link in sheet.links:
        to = query_of(link)
        path = urlsplit(link).path
        after = settled(server, link)
        if path == "/charts/case":
            may = {"instrument", "case"}
        elif path == "/charts/step":
            may = {"held"}
        elif not to or to.keys() <= {"as-of"}:
            continue  # the top line: another visit, not this chart
        else:
            may = {name for name in here.keys() | to.keys() if here.get(name) != to.get(name)}
            may = may & {"as-of"} or next(({name} for name in LEFT_BEHIND if name in may and name in to), may)
        seen |= may
        compare(f"{path} to {sorted(may)}", here, after, may)
    return seen


def send(server, form, fields):
    if form["method"] == "get":
        return settled(server, form["action"].split("#")[0] + "?" + urlencode(fields))
    status, headers, _ = server.ask("POST", form["action"], urlencode(fields),
                                    {"Origin": server.origin,
                                     "Content-Type": "application/x-www-form-urlencoded"})
    if status != 303:
        failures.append(f"{form['action']}: {status}")
        return {}
    return settled(server, headers["Location"])


def walk_forms(server, here, sheet):
    kinds = []
    for form in sheet.forms:
        if form["id"].startswith("line-"):
            continue  # its fields stand in a row outside it: lines_steps.mjs
        kind = form["class"] or form["action"]
        kinds.append(kind)
        kept = form["action"] == "/charts/keep"
        for button in form["buttons"] or [None]:
            after = send(server, form, form["fields"] + ([button] if button else []))
            # What the book has kept need not be said by the address.
            before = {name: value for name, value in here.items()
                      if not (kept and name in ("panes", "averages", "scale"))}
            # That of the orders sends their prices, wherever those come from.
            may = ({"undo"} if kind == "undo" else
                   ORDERS - here.keys() if ("target-on", "1") in form["fields"] else set())
            compare(f"form {kind}, {button}", before, after, may)
        if "choices" in kind:
            for name, value in (("instrument", "bog-oak"), ("setup", "high-hanging-man"),
                                ("list", "share"), ("bar", "2024-10-29")):
                fields = [(key, value if key == name else old) for key, old in form["fields"]]
                compare(f"form {kind} with another {name}", here, send(server, form, fields), {name})
    return kinds


def drawn(book):
    """One more line in the book; its number."""
    def run(*words):
        return subprocess.run([PROGRAM, "levels", *words, "--book", book], check=True,
                              capture_output=True, text=True).stdout
    run("add", "cut-rush", "level", "2024-10-01", "545", "--quiet")
    return run("cut-rush", "--format", "csv").strip().splitlines()[-1].split(",")[1]


def main():
    with scratch() as folder:
        book = demo_book(PROGRAM, folder)
        with serving(PROGRAM, book) as server:
            server.enter()
            changes, forms = set(), set()
            if drawn(book) != "1":
                failures.append("the first line has another number than 1")
            for here in (WHOLE, HELD, PAST, BETWEEN, BOUND):
                here = {**here, "undo": f"0-{drawn(book)}"}  # as if it had been drawn here
                status, _, body = server.ask("GET", "/charts?" + urlencode(here))
                if status != 200:
                    failures.append(f"{here}: {status}")
                    continue
                sheet = Sheet(body.decode())
                changes |= walk_links(server, here, sheet)
                forms |= set(walk_forms(server, here, sheet))
            missing = {"instrument", "case", "interval", "beside", "held", "way", "as-of"} - changes
            if missing:
                failures.append(f"no link changes {sorted(missing)}")
            if len(forms) < 5:
                failures.append(f"only these forms: {sorted(forms)}")
    for failure in failures:
        print(failure)
    sys.exit(1 if failures else 0)


main()
