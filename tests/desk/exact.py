#!/usr/bin/python3
"""Exact fractions against Python's fractions, and sums of a million amounts of
money to the last unit against its decimal: exact.py PROGRAM. No output and
status 0 if every result is the same."""
import decimal
import fractions
import random
import subprocess
import sys

LARGEST = 10**36
ROUNDS = 4000
AMOUNTS = 1000000


def number(rng):
    """A decimal as a person writes one, now and then a very long one."""
    digits = rng.choice((1, 3, 6, 9, 15, 18, 30))
    places = rng.randint(0, rng.choice((0, 2, 8, 20)))
    return str(decimal.Decimal((rng.randint(0, 1), tuple(
        int(d) for d in str(rng.randrange(10**digits))), -places)))


def shown(value):
    if abs(value.numerator) > LARGEST or value.denominator > LARGEST:
        return "failed"
    return f"{value.numerator}/{value.denominator}"


def places(value):
    """Two to six places, half away from zero."""
    with decimal.localcontext() as context:
        context.prec = 120
        exact = decimal.Decimal(value.numerator) / decimal.Decimal(value.denominator)
        text = f"{exact.quantize(decimal.Decimal('0.000001'), decimal.ROUND_HALF_UP):f}"
    while text.endswith("0") and len(text.split(".")[1]) > 2:
        text = text[:-1]
    return text[1:] if text.strip("-0.") == "" and text[0] == "-" else text


def expected(operation, a, b):
    if operation == "compare":
        return str((a > b) - (a < b))
    if operation == "add":
        return shown(a + b)
    if operation == "subtract":
        return shown(a - b)
    if operation == "multiply":
        return shown(a * b)
    if b == 0:
        return {"whole": "no", "places": ""}.get(operation, "failed")
    quotient = a / b
    if operation == "divide":
        return shown(quotient)
    if shown(quotient) == "failed":
        return {"whole": "no", "places": ""}[operation]
    if operation == "places":
        return places(quotient)
    floor, ceiling = quotient.__floor__(), quotient.__ceil__()
    fits = -2**63 <= floor and ceiling < 2**63
    return f"{floor} {ceiling}" if fits else "no"


def ask(program, lines):
    run = subprocess.run([program], input="\n".join(lines) + "\n", text=True,
                         capture_output=True, check=True)
    return run.stdout.splitlines()


def check_fractions(program, rng):
    operations = ("add", "subtract", "multiply", "divide", "compare", "whole", "places")
    asked = [(op, number(rng), number(rng)) for _ in range(ROUNDS) for op in operations]
    found = ask(program, [" ".join(one) for one in asked])
    refused = 0
    assert len(found) == len(asked), (len(found), len(asked))
    for (operation, a, b), answer in zip(asked, found):
        wanted = expected(operation, fractions.Fraction(a), fractions.Fraction(b))
        if answer != wanted:
            # What is too large on the way is refused, though the end were small.
            long_way = operation in ("add", "subtract") and answer == "failed"
            top = abs(fractions.Fraction(a).numerator * fractions.Fraction(b).denominator)
            assert long_way and top * 1000 > LARGEST, (operation, a, b, answer, wanted)
            refused += 1
    assert refused < len(asked) / 100, refused


def check_sums(program, rng):
    for code, digits, count in (("EUR", 2, AMOUNTS), ("JPY", 0, 1000), ("KWD", 3, 1000)):
        unit = decimal.Decimal(1).scaleb(-digits)
        amounts = [rng.randrange(-10**12, 10**12) * unit for _ in range(count)]
        found = ask(program, [f"sum {code}"] + [f"{a:f}" for a in amounts] + ["end"])
        assert found == [f"{sum(amounts):f}"], (code, found, sum(amounts))


def main():
    rng = random.Random(20261128)
    decimal.getcontext().prec = 60
    check_fractions(sys.argv[1], rng)
    check_sums(sys.argv[1], rng)


main()
