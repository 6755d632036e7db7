"""Every source that the catalogue names is known as docs/check-values.md says it is,
and so it is said wherever the source is named: in the catalogue, the setups, the
method page, and the sources of program and tests. A breach of each kind is planted
first, so that the test is known to see it."""

import json
import pathlib
import re
import subprocess
import sys

ROW = re.compile(r"^\| ([A-Z][^|]*? \d{4}) \| (from memory|read) \|$", re.M)
NAMED = re.compile(r"\b([A-Z][a-zäöüé]+ (?:18|19|20)\d\d)\b")
PLAIN = {"ours", "by definition", "common practice, no source"}
# How far behind a name the words may stand: those of several in one bracket.
REACH = 90


def faults_of_text(place, text, known):
    """Names from the table without the words that the table asks for."""
    plain = re.sub(r'"\s*\n\s*"|\s*\n\s*(\*|#|//)?\s*', " ", text)
    found = []
    for match in NAMED.finditer(plain):
        how = known.get(match[1])
        behind = re.split(r"\.\s|\|", plain[match.end(): match.end() + REACH])[0]
        if how == "from memory" and "from memory" not in behind:
            found.append(f"{place}: {match[1]} is not said to be from memory")
        if how == "read" and behind.startswith(" (from memory)"):
            found.append(f"{place}: {match[1]} has been read")
    return found


def faults_of_catalogue(rows, known):
    found = []
    for row in rows:
        place, source = f"catalogue: {row['name']}", row["source"]
        names = NAMED.findall(source)
        found += [f"{place}: {name} is not in the table" for name in names if name not in known]
        found += faults_of_text(place, source, known)
        for match in NAMED.finditer(source):
            if known.get(match[1]) == "from memory" and \
                    not source[match.end():].startswith(" (from memory)"):
                found.append(f"{place}: {match[1]} wants '(from memory)' behind it")
        if not names and re.split("[:;]", source)[0] not in PLAIN:
            found.append(f"{place}: '{source}' is no source")
    return found


def catalogue(program):
    rows = []
    for table in ("shapes", "conditions", "entries", "stops", "exits", "measures"):
        out = subprocess.run([program, "catalogue", table, "--format", "json"], check=True,
                             capture_output=True, text=True).stdout
        lists = [part for part in json.loads(out).values() if isinstance(part, list)]
        assert lists and lists[0], f"catalogue {table} lists nothing"
        sources = {}
        for row in lists[0]:  # one for the row and one for each of its numbers
            sources[row["name"]] = sources.get(row["name"]) or row["source"] or ""
        rows += [{"name": name, "source": source} for name, source in sources.items()]
    return rows


def files(root):
    for pattern in ("src/**/*.[ch]", "setups/*.yaml", "docs/method.md", "docs/setup-file.md",
                    "tests/unit/*.c", "tests/naive/*.[ch]", "tests/reference/*.py"):
        yield from sorted(root.glob(pattern))


def main():
    program, root = sys.argv[1], pathlib.Path(sys.argv[2])
    known = dict(ROW.findall((root / "docs/check-values.md").read_text()))
    assert len(known) >= 6, "docs/check-values.md has no table of sources"
    planted = faults_of_catalogue([{"name": "a", "source": "Wilder 1978"},
                                   {"name": "b", "source": "textbook"},
                                   {"name": "c", "source": "Nobody 1999"}], known)
    assert {fault.split(":")[1].strip() for fault in planted} == {"a", "b", "c"}, planted
    assert faults_of_text("planted", "/* As Nison 1991\n * has it. */", known)
    rows = catalogue(program)
    faults = faults_of_catalogue(rows, known)
    used = {name for row in rows for name in NAMED.findall(row["source"])}
    faults += [f"check-values: the catalogue names no {name}" for name in known.keys() - used]
    for path in files(root):
        faults += faults_of_text(path.relative_to(root), path.read_text(), known)
    print("\n".join(faults) or f"{len(rows)} rows, {len(known)} sources")
    sys.exit(bool(faults))


if __name__ == "__main__":
    main()
