"""The house rules that no compiler knows (docs/architecture.md):
- an include points to the same layer or to one below it in cmake/layers.cmake;
- files of one layer do not include each other in a circle;
- SQL text and calls of SQLite stand only in src/store and in *_store.c;
- only doors print, exit, and read the environment and the clock;
- only doors name options and commands: what lies below says why, a door what to do.
Says each breach with its file and fails if there is one. First it plants a
breach of every kind in a copy of the sources held in memory: one that it does
not see fails, too. Run from anywhere; without arguments.
"""

import os
import re
import sys

ROOT = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..")

SQL = re.compile(
    r'"(SELECT|INSERT|UPDATE|DELETE|CREATE|DROP|ALTER|PRAGMA|BEGIN|COMMIT|ROLLBACK) |'
    r"[^a-z_]sqlite3_[a-z]"
)
DOOR_CALLS = (
    "printf vprintf fprintf vfprintf puts fputs putc fputc putchar perror exit _exit quick_exit "
    "abort getenv secure_getenv time clock clock_gettime gettimeofday"
).split()
DOOR_ONLY = re.compile(
    r"(?<![a-zA-Z0-9_.>])(" + "|".join(DOOR_CALLS) + r")\(|(?<![a-z_])(stdout|stderr|stdin)(?![a-z_])"
)
STRING = re.compile(r'"((?:\\.|[^"\\])*)"')
# An option, or the program called by its name, in words for people.
ADVICE = re.compile(r"(?:^|[ ('\[])--[a-z]|['`]rushlight ")
INCLUDE = re.compile(r'^[ \t]*#[ \t]*include "(([a-z_]+)/[a-z0-9_]+)\.[ch]"', re.M)
# A comment, or a string or character, which may hold what looks like one.
COMMENT = re.compile(r'/\*.*?\*/|//[^\n]*|("(?:\\.|[^"\\])*"|\'(?:\\.|[^\'\\])*\')', re.S)


def read_layers(text):
    """The layers below each, those by way of others included; and the doors."""
    below, doors = {}, set()
    for words in re.findall(r"^layer\(([^)]*)\)", text, re.M):
        name, *rest = words.split()
        below[name] = {name}
        heading = None
        for word in rest:
            if word == "DOOR":
                doors.add(name)
            elif word in ("BELOW", "LIBRARIES"):
                heading = word
            elif heading == "BELOW":
                below[name] |= below[word]
    return below, doors


def code(text):
    """The source without its comments."""
    return COMMENT.sub(lambda match: match.group(1) or " ", text)


def unit_of(stem, stems):
    """The module of a file: its own stem, or what it is the private parts of."""
    whole = stem.removesuffix("_parts")
    return whole if whole in stems else stem


def circles(edges):
    """The sets of nodes from which each reaches all others of the set."""
    reach = {}
    for start in edges:
        seen, waiting = set(), list(edges[start])
        while waiting:
            node = waiting.pop()
            if node not in seen:
                seen.add(node)
                waiting.extend(edges.get(node, ()))
        reach[start] = seen
    found = set()
    for node in edges:
        if node in reach[node]:
            found.add(tuple(sorted(n for n in reach[node] if node in reach.get(n, ()))))
    return found


def of_file(path, text, below, doors):
    layer = path.split("/")[1]
    if layer not in below:
        yield path, f"{layer} is no layer of cmake/layers.cmake"
        return
    for _, target in INCLUDE.findall(text):
        if target not in below[layer]:
            yield path, f"includes {target}, which is not below {layer}"
    if layer != "store" and not re.search(r"_store\.[ch]$", path) and SQL.search(text):
        yield path, "SQL outside the store: " + SQL.search(text).group(0).strip()
    if layer not in doors and DOOR_ONLY.search(text):
        yield path, "only a door may do this: " + DOOR_ONLY.search(text).group(0)
    if layer not in doors:
        for words in re.findall(r'"(?:\\.|[^"\\])*"(?:\s*"(?:\\.|[^"\\])*")*', text):
            whole = "".join(STRING.findall(words))
            if ADVICE.search(whole):
                yield path, "only a door names options and commands: " + whole[:60]


def check(layers, files):
    """Each breach as (file, what)."""
    below, doors = read_layers(layers)
    if not below or not doors or not files:
        return [("cmake/layers.cmake", "no layers, no doors or no sources")]
    breaches, edges = [], {}
    stems = {path[len("src/"):].rsplit(".", 1)[0] for path in files}
    for path, text in files.items():
        text = code(text)
        breaches += of_file(path, text, below, doors)
        unit = unit_of(path[len("src/"):].rsplit(".", 1)[0], stems)
        folder = unit.split("/")[0]
        same = {unit_of(to, stems) for to, layer in INCLUDE.findall(text) if layer == folder}
        edges.setdefault(unit, set()).update(same - {unit})
    found = circles(edges)
    for circle in sorted(found):
        breaches.append(("src/" + circle[0], "a circle of includes: " + ", ".join(circle)))
    return breaches


def plants():
    """Files to add, and what has to be said of them: the beginning of it."""
    yield "src/base/planted.c", '#include "market/bars.h"\n', "includes market"
    yield "src/draw/planted.h", '#include "setup/setup.h"\n', "includes setup"
    yield "src/trade/planted.c", '# include "cli/command.h"\n', "includes cli"
    yield "src/nowhere/planted.c", "int planted;\n", "nowhere is no layer"
    yield "src/cli/planted.c", 'const char *a = "SELECT * FROM bars";\n', "SQL outside"
    yield "src/market/planted.c", "void a(void) { sqlite3_open(0, 0); }\n", "SQL outside"
    for word in DOOR_CALLS:
        yield "src/setup/planted.c", f"void a(void)\n{{\n    {word}(0);\n}}\n", "only a door"
    for word in ("stdout", "stderr", "stdin"):
        yield "src/base/planted.c", f"void *a = {word};\n", "only a door"
    for words in ("leave --zone out", "--to: found", "'rushlight import' makes one", "say it with \"\n\"--tick"):
        yield "src/prices/planted.c", f'const char *a = "{words}";\n', "only a door names"
    yield "src/cli/planted.c", 'const char *a = "leave --zone out";\n', None
    yield "src/prices/planted.c", 'const char *a = "a -- b"; /* --zone, \'rushlight\' */\n', None
    after_string = 'const char *a = "/*";\nvoid b(void) { exit(1); }\nconst char *c = "*/";\n'
    yield "src/base/planted.c", after_string, "only a door"
    yield "src/base/planted.c", "/* exit(1), \"SELECT x\" */ // getenv(\nint snprintf(int);\n", None


def planted(layers, files):
    """Plants that were not seen, or that were seen where nothing is wrong."""
    count = 0
    before = set(check(layers, files))
    for path, text, expected in plants():
        count += 1
        said = [what for _, what in set(check_only(layers, path, text))]
        if expected is None and said or expected and not any(w.startswith(expected) for w in said):
            yield f"planted {text!r} in {path}, was told {said}"
    circle = {"src/base/planted.h": '#include "base/planted_too.h"\n',
              "src/base/planted_too.c": '#include "base/planted.h"\n'}
    said = set(check(layers, {**files, **circle})) - before
    if not any(what.startswith("a circle of includes: base/planted, ") for _, what in said):
        yield f"planted a circle, was told {said}"
    for empty in (("", files), (layers, {}), (layers.replace(" DOOR", ""), files)):
        if not check(*empty):
            yield "nothing to check, and no complaint"
    print(f"{count + 4} planted breaches")


def check_only(layers, path, text):
    below, doors = read_layers(layers)
    return list(of_file(path, code(text), below, doors))


def read_all():
    files = {}
    for folder, _, names in os.walk(os.path.join(ROOT, "src")):
        for name in sorted(names):
            if name.endswith((".c", ".h")):
                path = os.path.join(folder, name)
                with open(path, encoding="utf-8") as file:
                    files[os.path.relpath(path, ROOT).replace(os.sep, "/")] = file.read()
    with open(os.path.join(ROOT, "cmake", "layers.cmake"), encoding="utf-8") as file:
        return file.read(), files


def main():
    layers, files = read_all()
    unseen = list(planted(layers, files))
    breaches = check(layers, files)
    for path, what in breaches:
        print(f"{path}: {what}")
    for what in unseen:
        print(f"blind: {what}")
    print(f"{len(files)} files, {len(breaches)} breaches")
    return 1 if breaches or unseen else 0


if __name__ == "__main__":
    sys.exit(main())
