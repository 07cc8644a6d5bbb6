"""Compares two tables of reference values.

    python compare.py COMMITTED NEW

Text must be equal; a number may differ by two units of its last printed digit, or by what any
test would overlook where more digits are printed than a solver promises: they depend on the
machine's own library of linear algebra.
"""

import csv
import sys


# A tenth of the closest tolerance of any test that reads these tables (1e-9 mm).
OVERLOOKED = 1e-10


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
    return abs(a - b) <= max(OVERLOOKED, 2.000001 * 10.0 ** -decimals(old))


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
