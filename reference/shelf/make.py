"""Best sets out of invented stock by mixed-integer programs, solved by SciPy's `milp` (HiGHS).

    python make.py [--larger]

Writes values.csv, or larger.csv. The stock is drawn by the same generator as in the test that reads them
(`crates/kernel/tests/val_shelf_reference.rs`). Lengths in micrometres, masses in grams.
"""

import csv
import itertools
import sys
import time
from pathlib import Path

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

MASK = (1 << 64) - 1
TARGET_UM, TOLERANCE_UM, MATCH_UM, G_PER_UM = 160.0, 30.0, 8.0, 0.075
# Masses count from here: a program's own tolerances are of the size of its numbers.
ABOUT_G = 4300.0
# Name, seed, builds, places of each, rotors, housings.
CASES = [
    ("two of 12", 1, 1, 2, 12, 12),
    ("two of 16", 2, 1, 2, 16, 16),
    ("three of 10", 4, 1, 3, 10, 10),
    ("two builds of two", 6, 2, 2, 6, 6),
    ("two builds of one", 8, 2, 1, 10, 10),
]
# Some ten seconds to minutes each: made only with --larger, into larger.csv.
LARGER = [
    ("two of 40", 2, 1, 2, 40, 40),
    ("two of 40 again", 3, 1, 2, 40, 40),
    ("three of 40", 5, 1, 3, 40, 40),
    ("two builds of two of 8", 6, 2, 2, 8, 8),
]


class Numbers:
    """SplitMix64."""

    def __init__(self, seed):
        self.state = seed

    def between(self, low, high):
        self.state = (self.state + 0x9E3779B97F4A7C15) & MASK
        z = self.state
        z = ((z ^ (z >> 30)) * 0xBF58476D1CE4E5B9) & MASK
        z = ((z ^ (z >> 27)) * 0x94D049BB133111EB) & MASK
        z ^= z >> 31
        return low + (high - low) * (z >> 11) / (1 << 53)


def stock(seed, rotors, housings):
    n = Numbers(seed)
    parts = [(n.between(79.80, 79.95), n.between(4250.0, 4350.0), n.between(0.0, 6.0))
             for _ in range(rotors)]
    return parts, [n.between(79.99, 80.02) for _ in range(housings)]


def pairings(parts, widths):
    """Of each pairing that can be planned: rotor, housing, clearance and grams alone."""
    found = []
    for r, (width, _, tips) in enumerate(parts):
        for h, housing in enumerate(widths):
            now = 1e3 * (housing - width)
            clearance = max(now, TARGET_UM)
            if clearance <= TARGET_UM + TOLERANCE_UM:
                found.append((r, h, clearance, tips + G_PER_UM * (clearance - now)))
    return found


class Program:
    """Rows of a mixed-integer program over columns by number."""

    def __init__(self, columns):
        self.columns, self.rows, self.low, self.high = columns, [], [], []

    def row(self, terms, low, high):
        self.rows.append(terms)
        self.low.append(low)
        self.high.append(high)

    def matrix(self):
        places = [(i, j, v) for i, row in enumerate(self.rows) for j, v in row]
        i, j, v = zip(*places)
        return coo_array((v, (i, j)), shape=(len(self.rows), self.columns)).tocsr()


def solve(builds, places, parts, widths):
    """Columns: a yes or no for each build and pairing, then for each build the come-down of each
    rotor, the loosest clearance, the heaviest and the lightest after the cut."""
    ways = pairings(parts, widths)
    rotors = len(parts)
    each = len(ways) + rotors + 3
    program = Program(builds * each)
    cost = np.zeros(builds * each)
    upper = np.full(builds * each, np.inf)
    lower = np.zeros(builds * each)
    whole = np.zeros(builds * each)
    by_rotor = [[(k, w) for k, w in enumerate(ways) if w[0] == r] for r in range(rotors)]
    far_um = TOLERANCE_UM
    far_g = 400.0
    for b in range(builds):
        x, y, f = b * each, b * each + len(ways), b * each + len(ways) + rotors
        high, low = f + 1, f + 2
        whole[x:y] = 1
        upper[x:y] = 1
        upper[y:f] = far_um
        lower[f], upper[f] = TARGET_UM, TARGET_UM + TOLERANCE_UM
        lower[high:low + 1], upper[high:low + 1] = -far_g, far_g
        cost[x:y] = [w[3] for w in ways]
        cost[y:f] = G_PER_UM
        cost[high], cost[low] = 1, -1
        program.row([(x + k, 1) for k in range(len(ways))], places, places)
        for r, of in enumerate(by_rotor):
            if not of:
                continue
            # The loosest is no tighter; the tighter come down to it less the match.
            program.row([(f, 1)] + [(x + k, -w[2] + TARGET_UM) for k, w in of], TARGET_UM, np.inf)
            program.row(
                [(y + r, 1), (f, -1)] + [(x + k, w[2] - TARGET_UM - far_um) for k, w in of],
                -MATCH_UM - TARGET_UM - far_um, np.inf)
            mass = parts[r][1] - ABOUT_G
            after = [(x + k, mass - w[3]) for k, w in of] + [(y + r, -G_PER_UM)]
            chosen = [(x + k, 1) for k, _ in of]
            # Where it is not chosen, nothing: the heaviest and the lightest are far off.
            program.row(
                [(high, 1)] + [(j, -v) for j, v in after] + [(j, -far_g) for j, _ in chosen],
                -far_g, np.inf)
            program.row(
                [(low, -1)] + after + [(j, -far_g) for j, _ in chosen], -far_g, np.inf)
    for of in by_rotor:
        program.row([(b * each + k, 1) for b in range(builds) for k, _ in of], 0, 1)
    for h in range(len(widths)):
        of = [k for k, w in enumerate(ways) if w[1] == h]
        program.row([(b * each + k, 1) for b in range(builds) for k in of], 0, 1)
    begun = time.perf_counter()
    result = milp(
        cost, integrality=whole, bounds=Bounds(lower, upper),
        constraints=LinearConstraint(program.matrix(), program.low, program.high),
        options={"mip_rel_gap": 0.0})
    seconds = time.perf_counter() - begun
    if not result.success:
        sys.exit(f"HiGHS: {result.message}")
    sets = [[ways[k] for k in range(len(ways)) if result.x[b * each + k] > 0.5]
            for b in range(builds)]
    return sum(price(chosen, parts) for chosen in sets), seconds


def price(chosen, parts):
    """Cost of a set by the rule, to the last digit, whatever the solver's tolerances."""
    loosest = max(clearance for _, _, clearance, _ in chosen)
    grams = [g + G_PER_UM * max(0.0, loosest - MATCH_UM - c) for _, _, c, g in chosen]
    after = [parts[r][1] - g for (r, _, _, _), g in zip(chosen, grams)]
    return sum(grams) + max(after) - min(after)


def every(places, parts, widths):
    """The least cost of one build by a look at all sets."""
    ways = pairings(parts, widths)
    return min(price(chosen, parts) for chosen in itertools.combinations(ways, places)
               if len({w[0] for w in chosen}) == len({w[1] for w in chosen}) == places)


def main(name, cases):
    with open(Path(__file__).with_name(name), "w", newline="") as file:
        table = csv.writer(file, lineterminator="\n")
        table.writerow(["name", "seed", "builds", "places", "rotors", "housings", "cost_g"])
        for name, seed, builds, places, rotors, housings in cases:
            parts, widths = stock(seed, rotors, housings)
            cost, seconds = solve(builds, places, parts, widths)
            if builds == 1 and rotors <= 12 and places == 2:
                assert abs(cost - every(places, parts, widths)) < 1e-9, name
            print(f"shelf: {name}: {cost:.6f} g, HiGHS {seconds:.3f} s", file=sys.stderr)
            table.writerow([name, seed, builds, places, rotors, housings, f"{cost:.9f}"])


if __name__ == "__main__":
    if sys.argv[1:] == ["--larger"]:
        main("larger.csv", LARGER)
    else:
        main("values.csv", CASES)
