"""Measures, in one run and by turns, one operating point and one draw of the motion in NumPy and
SciPy and in the product, and prints how many times faster the product is.

    python ratio.py

One thread each. What is made once for an engine (tables of films) is not counted on either side.
Needs cargo; takes a few minutes for the release build of the bench.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before NumPy is loaded; small matrices

import pathlib
import re
import statistics
import subprocess
import time

import numpy as np

import engine
import model

ROOT = pathlib.Path(__file__).resolve().parents[2]
ROUNDS = 3
DRAWS = 256
UNITS = {"ns": 1e-9, "µs": 1e-6, "ms": 1e-3, "s": 1.0}
# As in benches/speed.rs: 400 µm keep clear of the walls, 110 µm touch.
CLEARANCES = (400e-6, 110e-6)


def product():
    """Medians by name of bench and argument."""
    run = subprocess.run(["cargo", "bench", "--quiet", "-p", "kernel", "--bench", "speed", "--",
                          "point_two_rotors", "part_"],
                         cwd=ROOT, capture_output=True, text=True, check=True)
    found, group = {}, ""
    row = re.compile(r"^[│├╰─ ]*([\w.]+) +[\d.]+ \w+ +│[^│]*│ +([\d.]+) (ns|µs|ms|s) ")
    for line in run.stdout.splitlines():
        name = re.match(r"^[│├╰─ ]*([a-z]\w*) ", line)
        group = name[1] if name else group
        measured = row.match(line)
        if measured:
            argument = None if name else round(float(measured[1]))
            found[group, argument] = float(measured[2]) * UNITS[measured[3]]
    return found


def timed(work):
    start = time.perf_counter()
    value = work()
    return time.perf_counter() - start, value


def point(clearance):
    model.hard_cycle.cache_clear()
    return model.points([("", 2, 1000.0, 90e3, clearance, 127e-6, 1.0)])


class Draws:
    """Free motions of many draws side by side: film stiffness, slopes and moments scaled."""

    def __init__(self, shaken, films):
        one, (places, k, c) = shaken, films
        random = np.random.default_rng(1)
        scale = np.exp(0.3 * random.standard_normal((DRAWS, 3)))
        moving = model.motion(one, films, 1.0, 400e-6, 127e-6)
        n = moving.n
        self.n, self.step = n, moving
        rate = one.omega / np.radians(1)
        self.lag = scale[:, 0, None, None, None] * moving.lag
        self.skew = scale[:, 0, None, None, None] * moving.skew
        h = np.linalg.inv(moving.inverse)[None, :, : 4 * n, : 4 * n].repeat(DRAWS, 0)
        fixed = np.zeros((4 * n, 4 * n))
        fixed[: 2 * n, : 2 * n] = moving.inertia * np.eye(2 * n)
        fixed[2 * n :, 2 * n :] = np.linalg.inv(one.flexibility)
        self.h = (h - fixed) * scale[:, 0, None, None, None] + fixed
        self.free = scale[:, 1, None, None] * moving.free
        self.moment = scale[:, 2, None, None] * moving.moment
        self.start = scale[:, 1, None] * moving.start[0]

    def run(self):
        """All draws through two cycles and the turn before them, and their gaps."""
        n, moving = self.n, self.step
        inverse = np.linalg.inv(self.h)
        lean = [self.start, self.start]
        relative = [np.zeros_like(self.start)] * 2
        found = np.empty((1080, DRAWS, 2 * n))
        for degree in range(-360, 2 * 1080):
            d = degree % 360
            drawn = relative[0] - relative[1]
            h = (np.einsum("kij,kj->ki", self.lag[:, d], relative[0])
                 - np.einsum("kij,kj->ki", self.skew[:, d], drawn))
            right = np.concatenate([
                h + self.moment[:, d] + moving.inertia * (2 * lean[0] - lean[1])
                + (lean[0] - lean[1]) @ moving.gyro.T,
                self.free[:, d] - h], 1)
            x = np.einsum("kij,kj->ki", inverse[:, d], right)
            lean = [x[:, : 2 * n], lean[0]]
            relative = [x[:, : 2 * n] - x[:, 2 * n :], relative[0]]
            found[degree % 1080] = x[:, : 2 * n]
        gaps = np.empty((DRAWS, n))
        degree = np.arange(1080)
        for i in range(n):
            t = found[:, :, 2 * i] + 1j * found[:, :, 2 * i + 1]
            turn = np.exp(1j * np.radians(150 + (degree + moving.throws[i]) / 3))[:, None]
            # On even walls the ring's farthest point is the one nearest to the lean.
            step = 2 * np.pi / engine.RING
            off = np.angle(t * np.conj(turn)) / step
            reach = engine.LAND * abs(t) * np.cos((off - np.round(off)) * step)
            tips = [-(t * np.conj(moving.tips[k] * turn)).real for k in range(3)]
            # Both sides: the land takes up `reach`, the tip rises or falls.
            worst = np.min([moving.step - abs(rise) + reach for rise in tips], 0)
            gaps[:, i] = worst.min(0)
        return gaps


def held_motion(one, films):
    """Free, seen to touch, then held: as the product does it."""
    moving = model.motion(one, films, 1.0, 110e-6, 127e-6)
    leans, journals, _ = moving.run(False)
    assert not moving.passes(leans, journals)
    leans, _, pushes = moving.run(True)
    return moving.answers(leans, pushes)


def main():
    made = {c: point(c) for c in CLEARANCES}  # tables and imports
    one, films = made[400e-6][0][:2]
    draws = Draws(one, films)
    draws.run()
    ours, theirs = {}, {}
    for _ in range(ROUNDS):
        for key, seconds in product().items():
            ours.setdefault(key, []).append(seconds)
        for c in CLEARANCES:
            theirs.setdefault(("point", c), []).append(timed(lambda: point(c))[0])
        theirs.setdefault(("draws", None), []).append(timed(draws.run)[0] / DRAWS)
        theirs.setdefault(("held", None), []).append(timed(lambda: held_motion(one, films))[0])
    ours = {key: statistics.median(values) for key, values in ours.items()}
    theirs = {key: statistics.median(values) for key, values in theirs.items()}

    def put(what, numpy, rust):
        print(f"{what}: {numpy * 1e3:.2f} ms against {rust * 1e3:.3f} ms, {numpy / rust:.0f} times")

    for c in CLEARANCES:
        put(f"operating point, two rotors, {c * 1e6:.0f} µm", theirs["point", c],
            ours["point_two_rotors", round(c * 1e6)])
    put(f"motion of one draw of {DRAWS} side by side, nothing touching", theirs["draws", None],
        ours["part_poses", 400])
    put("motion with contact, free and held", theirs["held", None], ours["part_poses", 110])


if __name__ == "__main__":
    main()
