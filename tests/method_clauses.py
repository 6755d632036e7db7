#!/usr/bin/env python3
"""Every clause of docs/method.md has its number in order and names, in brackets
at its end, a test or "not built". The test is one that ctest runs, and its source
speaks of the clause: it has the clause's number, or two of the words that the clause
shares with few others (of a clause with fewer, all). That proves no rule, but a test
of something else is found out. Plants a breach of each kind first, which it must see.

    method_clauses.py ROOT BUILD
"""
import collections
import pathlib
import re
import subprocess
import sys

FEW = 8  # clauses that may share a word
# Where a test reads what it holds from elsewhere than its own source.
BESIDE = {"engine_against_naive": "tests/naive/*.c", "trade_cases": "tests/data/cases/*.txt",
          "evidence_against_numpy": "bench/study_peer.py", "threads_same_bytes": "tests/threads_test.sh"}


def words_of(text):
    """The first six letters of each longer word: one word in most of its forms."""
    return {word[:6] for word in re.findall(r"[a-z]{5,}", text.lower())}


def speaks_of(name, block, sources, rarely):
    """Whether the test's source is about the clause."""
    if re.search(rf"(?<![\d.]){re.escape(name)}(?![\d])", sources):
        return True
    rare = words_of(block) & rarely
    return len(rare & words_of(sources)) >= min(2, len(rare))


def clauses_of(text):
    return [block for block in re.split(r"\n\s*\n(?=\*\*|## )", text) if block.startswith("**")]


def faults(text, tests):
    """`tests`: the sources of each, as text."""
    found = []
    whole = {re.match(r"\*\*([\d.]+)", block)[1]: block for block in clauses_of(text)}
    shared = collections.Counter(word for block in whole.values() for word in words_of(block))
    rarely = {word for word, count in shared.items() if count <= FEW}
    section, number = 0, 0
    for block in re.split(r"\n\s*\n", text):
        heading = re.match(r"## (\d+)\. ", block)
        if heading:
            section, number = int(heading[1]), 0
            continue
        clause = re.match(r"\*\*(\d+)\.(\d+)\*\* ", block)
        if not clause:
            if section > 0 and not block.startswith(("|", "Not built")):
                found.append(f"section {section}: a text without a number: {block[:50]}")
            continue
        number += 1
        name = f"{clause[1]}.{clause[2]}"
        if (int(clause[1]), int(clause[2])) != (section, number):
            found.append(f"{name}: stands where {section}.{number} should")
        held = re.search(r"\[([a-z_ -]+)\]$", " ".join(block.split()))
        if not held:
            found.append(f"{name}: names no test")
        for test in re.findall(r"\[([a-z_ -]+)\](?=(?: \[[a-z_ -]+\])*$)", " ".join(block.split())):
            if test == "not built":
                continue
            if test not in tests:
                found.append(f"{name}: ctest runs no test {test}")
            elif not speaks_of(name, whole[name], tests[test], rarely):
                found.append(f"{name}: the source of {test} has neither its number nor its words")
        if any(len(line) > 104 for line in block.split("\n")):
            found.append(f"{name}: a line is too long to read")
    return found


def tests_of(root, build):
    """The tests that ctest runs, without `_test` at the end, and their sources."""
    listed = subprocess.run(["ctest", "--test-dir", build, "-N"], check=True, capture_output=True, text=True)
    run = {name.removesuffix("_test") for name in re.findall(r"^ *Test +#\d+: (\w+)", listed.stdout, re.M)}
    files = collections.defaultdict(list)
    for path in [*root.glob("tests/unit/*_test.c"), *root.glob("tests/**/*.py")]:
        files[path.stem.removesuffix("_test")].append(path)
    for path in root.glob("tests/cli/*/*/*"):
        files["cli_" + path.parent.parent.name].append(path)
    for name, beside in BESIDE.items():
        files[name] += root.glob(beside)
    return {name: "".join(path.read_text() for path in files[name]) for name in run if files[name]}


def main():
    root = pathlib.Path(sys.argv[1])
    tests = tests_of(root, sys.argv[2])
    about = {"held": "one thing of a larger kind", "other": "of nothing else"}
    good = "## 1. A\n\n**1.1** One larger thing. [held]\n\n**1.2** Second clause. [not built]"
    bad = [good.replace("[held]", "[gone]"), good.replace(" [held]", ""), good.replace("[held]", "[other]"),
           good.replace("1.2", "1.3"), good + "\n\nNo number.", good.replace("Second", "Second" * 60)]
    if faults(good, about) or not all(faults(text, about) for text in bad):
        sys.exit("the check itself is blind")
    text = (root / "docs/method.md").read_text()
    found = faults(text, tests)
    for fault in found:
        print(f"docs/method.md: {fault}")
    count = len(re.findall(r"^\*\*\d+\.\d+\*\* ", text, re.M))
    print(f"{count} clauses, {len(found)} faults")
    sys.exit(1 if found or count < 100 else 0)


main()
