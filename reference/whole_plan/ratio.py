"""Measures, in one run and by turns, one full plan of the two-rotor example in NumPy and SciPy and
in the product, and prints how many times faster the product is.

    python ratio.py

Needs cargo; takes a few minutes for the release build of the bench.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before NumPy is loaded; small matrices

import pathlib
import re
import statistics
import subprocess
import time

import build_file
import plan_numpy

ROOT = pathlib.Path(__file__).resolve().parents[2]
EXAMPLE = ROOT / "examples" / "sprint-boat.toml"
ROUNDS = 3
UNITS = {"ns": 1e-9, "µs": 1e-6, "ms": 1e-3, "s": 1.0}


def product():
    """Median time of one plan, by the public bench."""
    run = subprocess.run(
        ["cargo", "bench", "--quiet", "-p", "lobewright", "--bench", "plan", "--", "plan_two_rotors"],
        cwd=ROOT, capture_output=True, text=True, check=True)
    line = next(line for line in run.stdout.splitlines() if "plan_two_rotors" in line)
    median = line.split("│")[2]
    value, unit = re.search(r"([\d.]+) (\S+)", median).groups()
    return float(value) * UNITS[unit]


def numpy(build, with_room):
    start = time.perf_counter()
    plan_numpy.plan(build, with_room)
    return time.perf_counter() - start


def main():
    build = build_file.build(build_file.parse(EXAMPLE))
    numpy(build, False)
    whole, plan, ours = [], [], []
    for _ in range(ROUNDS):
        ours.append(product())
        plan.append(numpy(build, False))
        whole.append(numpy(build, True))
    ours, plan, whole = (statistics.median(times) for times in (ours, plan, whole))
    print(f"product, whole plan with room, seals, window: {ours * 1e3:.3f} ms")
    print(f"NumPy/SciPy, whole plan with room:            {whole * 1e3:.1f} ms, {whole / ours:.0f} times")
    print(f"NumPy/SciPy, without the room:                {plan * 1e3:.2f} ms, {plan / ours:.1f} times")


if __name__ == "__main__":
    main()
