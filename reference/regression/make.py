"""Certified values of linear regressions against exact arithmetic.

Every fit of `data.csv` is made by normal equations in fractions, which rounds nothing. The values
of `certified.csv` must be its results to the last digit printed.
"""

import csv
import pathlib
import sys
from decimal import Decimal, getcontext
from fractions import Fraction

HERE = pathlib.Path(__file__).parent
SETS = 11
getcontext().prec = 60


def rows(name):
    with open(HERE / name, newline="") as file:
        return list(csv.DictReader(file))


def design(model, row):
    x = [Fraction(row[f"x{i}"]) for i in range(1, 7) if row[f"x{i}"]]
    if model == "through the origin":
        return x
    if model == "columns" or model == "line":
        return [Fraction(1), *x]
    return [x[0] ** power for power in range(int(model.rsplit(" ", 1)[1]) + 1)]


def solved(matrix, right):
    """Gauss and Jordan, exactly: the matrix's inverse times `right`."""
    n = len(matrix)
    work = [list(a) + list(b) for a, b in zip(matrix, right)]
    for i in range(n):
        pivot = next(r for r in range(i, n) if work[r][i] != 0)
        work[i], work[pivot] = work[pivot], work[i]
        work[i] = [value / work[i][i] for value in work[i]]
        for r in range(n):
            if r != i and work[r][i] != 0:
                factor = work[r][i]
                work[r] = [a - factor * b for a, b in zip(work[r], work[i])]
    return [line[n:] for line in work]


def root(value):
    return (Decimal(value.numerator) / Decimal(value.denominator)).sqrt()


def decimal(value):
    return Decimal(value.numerator) / Decimal(value.denominator)


def agrees(text, value):
    """To one unit of the last of the fifteen digits printed."""
    printed = Decimal(text)
    unit = Decimal(1).scaleb(printed.adjusted() - 14) if printed else Decimal("1e-15")
    return abs(printed - value) <= unit


def main():
    data, certified = rows("data.csv"), rows("certified.csv")
    names = list(dict.fromkeys(row["set"] for row in certified))
    wrong = [] if len(names) == SETS else [f"{len(names)} sets, not {SETS}"]
    for name in names:
        values = [row for row in certified if row["set"] == name]
        seen = [row for row in data if row["set"] == name]
        x = [design(values[0]["model"], row) for row in seen]
        y = [Fraction(row["y"]) for row in seen]
        p = len(x[0])
        normal = [[sum(a[i] * a[j] for a in x) for j in range(p)] for i in range(p)]
        right = [sum(a[i] * b for a, b in zip(x, y)) for i in range(p)]
        unit = [[Fraction(int(i == j)) for j in range(p)] for i in range(p)]
        inverse = solved(normal, unit)
        b = [sum(c * d for c, d in zip(line, right)) for line in inverse]
        left = sum((yi - sum(c * d for c, d in zip(a, b))) ** 2 for a, yi in zip(x, y))
        variance = left / (len(y) - p)
        for i, row in enumerate(values[:-1]):
            if not agrees(row["value"], decimal(b[i])):
                wrong.append(f"{name} {row['quantity']}: {row['value']} is {decimal(b[i]):.16g}")
            sd = root(variance * inverse[i][i])
            if not agrees(row["standard deviation"], sd):
                wrong.append(f"{name} sd of {row['quantity']}: {row['standard deviation']} is {sd:.16g}")
        if len(values) != p + 1 or not agrees(values[-1]["value"], root(variance)):
            wrong.append(f"{name} residual: {values[-1]['value']} is {root(variance):.16g}")
    if wrong:
        sys.exit("\n".join(wrong))


if __name__ == "__main__":
    main()
