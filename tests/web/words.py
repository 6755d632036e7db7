"""Each word that a sheet explains is there to be explained, by itself and on the sheet
of words; and so is each shape, measure and condition of the catalogue.

    words.py PROGRAM
"""

import json
import re
import subprocess
import sys
from html import unescape
from urllib.parse import quote

from serving import demo_book, scratch, serving

PROGRAM = sys.argv[1]
SHEETS = ("/today?as-of=2024-11-01", "/charts", "/setups", "/evidence", "/evidence/ledger", "/data",
          "/setups?setup=low-inverted-hammer&list=reedlands",
          "/charts?instrument=cut-rush&setup=low-inverted-hammer&case=2024-11-01")
WORD = re.compile(r'<a class="word" href="([^"]*)#([^"]*)" data-word="([^"]*)"')
failures = []


def rows(table):
    out = subprocess.run([PROGRAM, "catalogue", table, "--format", "json"], check=True,
                         capture_output=True, text=True).stdout
    return {row["name"]: row for row in json.loads(out)["rows"] if not row["number"]}


def explained(server, term):
    status, _, body = server.ask("GET", "/words/one?term=" + quote(term))
    if status != 200:
        failures.append(f"'{term}' is not explained: {status}")
    return unescape(re.sub("<[^>]*>", "", body.decode()))


def main():
    with scratch() as folder:
        book = demo_book(PROGRAM, folder)
        with serving(PROGRAM, book) as server:
            server.enter()
            all_words = server.ask("GET", "/words")[2].decode()
            anchors = re.findall(r' id="(w-[^"]*|[a-z]+-w-[^"]*)"', all_words)
            if len(anchors) != len(set(anchors)):
                failures.append("an anchor is there twice")
            used = set()
            for sheet in SHEETS:
                text = server.ask("GET", sheet)[2].decode()
                words = WORD.findall(text)
                if len(words) < 3:
                    failures.append(f"{sheet}: only {len(words)} words are explained")
                for _, anchor, term in words:
                    used.add(unescape(term))
                    if anchor not in anchors:
                        failures.append(f"{sheet}: '{term}' leads nowhere")
            for term in used:
                explained(server, term)
            if server.ask("GET", "/words/one?term=no-such-word")[0] != 404:
                failures.append("a word that is not there is explained")
            for table in ("shapes", "conditions", "measures", "words"):
                for name, row in rows(table).items():
                    anchor = ("" if table == "words" else table + "-") + "w-" + \
                        re.sub("[^a-z0-9]", "-", name.lower())
                    if anchor not in anchors:
                        failures.append(f"{table}: {name} is not on the sheet of words")
                    says = explained(server, name)
                    if not row["source"]:
                        failures.append(f"{table}: {name} has no source")
                    if table in ("shapes", "words") and row["source"] not in says:
                        failures.append(f"{table}: {name} is explained without its source")
    for failure in failures:
        print(failure)
    sys.exit(1 if failures else 0)


main()
