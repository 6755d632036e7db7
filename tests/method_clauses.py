#!/usr/bin/env python3
"""Every clause of docs/method.md has its number in order and names, in brackets
at its end, a test that exists or "not built". Called with the root of the tree
and the file that ctest lists its tests from; plants a breach of each kind first,
which it must see."""
import pathlib
import re
import sys


def faults(text, tests):
    found = []
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
        elif held[1] != "not built" and held[1] not in tests:
            found.append(f"{name}: there is no test {held[1]}")
        if any(len(line) > 104 for line in block.split("\n")):
            found.append(f"{name}: a line is too long to read")
    return found


def main():
    root = pathlib.Path(sys.argv[1])
    tests = {path.stem.removesuffix("_test") for path in (root / "tests/unit").glob("*_test.c")}
    listed = (root / "tests/CMakeLists.txt").read_text()
    tests |= set(re.findall(r"add_test\(NAME (\w+)", listed))
    good = "## 1. A\n\n**1.1** One. [held]\n\n**1.2** Two. [not built]"
    bad = [good.replace("[held]", "[gone]"), good.replace(" [held]", ""),
           good.replace("1.2", "1.3"), good + "\n\nNo number.", good.replace("Two", "Two" * 60)]
    if faults(good, {"held"}) or not all(faults(text, {"held"}) for text in bad):
        sys.exit("the check itself is blind")
    text = (root / "docs/method.md").read_text()
    found = faults(text, tests)
    for fault in found:
        print(f"docs/method.md: {fault}")
    count = len(re.findall(r"^\*\*\d+\.\d+\*\* ", text, re.M))
    print(f"{count} clauses, {len(found)} faults")
    sys.exit(1 if found or count < 100 else 0)


main()
