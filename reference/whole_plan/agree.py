"""Whether the product and the plan computed here agree, on builds drawn from a fixed seed.

    python agree.py BINARY [SEED COUNT]

Draws the builds into a folder that is removed again, compares as compare.py does (the least gaps
for a few of them) and ends with status 1 on any difference, or where too few of the cases that
matter came up.
"""

import sys
import tempfile

import compare
import random_builds

SEED, COUNT = 20, 200
ROOMS = 6
# At least so many of each for the usual seed and count: a check of nothing is no check.
LEAST = {"sets aimed": 50, "sets searched": 15, "sets no plan": 40, "rotors kept": 20,
         "rotors misread": 5, "rotors with a pass left": 20, "rotors with a pass deepened": 20}


def main(binary, seed=SEED, count=COUNT):
    with tempfile.TemporaryDirectory() as folder:
        random_builds.write(int(seed), int(count), folder)
        bad, tally = compare.compare_folder(binary, folder, ROOMS)
    few = [f"{what}: {tally.cases[what]}, not {least}" for what, least in LEAST.items()
           if tally.cases[what] < least] if (seed, count) == (SEED, COUNT) else []
    for line in few:
        print(f"too few {line}")
    return compare.report(bad, tally) or bool(few)


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
