"""Compares two tables of reference values.

    python compare.py COMMITTED NEW

Text must be equal; a number may differ by two units of its last printed digit, since the last
digit of a long computation depends on the machine's own library of linear algebra.
"""

import csv
import sys


def decimals(text):
    mantissa, _, exponent = text.lower().partition("e")
    return len(mantissa.partition(".")[2]) - int(exponent or 0)


def same(old, new):
    if old == new:
        return True
    try:
        a, b = float(old), float(new)
    except ValueError:
        return False
    return abs(a - b) <= 2.000001 * 10.0 ** -decimals(old)


def main(committed, made):
    with open(committed, newline="") as a, open(made, newline="") as b:
        old, new = list(csv.reader(a)), list(csv.reader(b))
    if len(old) != len(new) or len(old) < 2:
        sys.exit(f"{committed}: {len(old)} rows, made again {len(new)}")
    wrong = [
        f"{committed}: row {r}, column {old[0][c]}: {x} made again as {y}"
        for r, (row, other) in enumerate(zip(old, new), 1)
        for c, (x, y) in enumerate(zip(row, other))
        if not same(x, y)
    ]
    wrong += [f"{committed}: row {r} has another length" for r, (row, other) in
              enumerate(zip(old, new), 1) if len(row) != len(other)]
    if wrong:
        sys.exit("\n".join(wrong[:20]))


if __name__ == "__main__":
    main(*sys.argv[1:])
