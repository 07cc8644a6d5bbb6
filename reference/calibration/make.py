"""A shop's calibration by two other ways: a dense sum with SciPy, and a Markov chain with emcee.

Writes `case.csv` and `test.csv`, an invented shop, and `values.csv`, its posterior by the dense sum.
The chain must agree with that sum within its own error; it is not written, since it is drawn.
"""

import csv
import pathlib
import random
import sys

import emcee
import numpy as np
from scipy.interpolate import CubicSpline
from scipy.special import ndtr

HERE = pathlib.Path(__file__).parent
UM = 1e-6

# What is assumed: crates/kernel/src/calibration/priors.rs.
TILT_SD, HEAT_SD, MARGIN_SD = 0.3, 0.25, 10 * UM
HEAVY, HEAVY_SD = 25 * UM, np.log(2)
OTHER, AT_REST_SD = 0.02, 0.25

# Scales at which gaps are tabulated: crates/kernel/src/speed/engine/tip_gaps.rs.
TILTS = np.array([0.0, 0.4, 0.7, 1.0, 1.3, 1.7, 2.3, 3.2])
HEATS = np.array([0.0, 0.6, 1.0, 1.4, 2.0])

# Builds with how many rotors each.
BUILDS = [2, 1, 2, 1]
CONTACTS = ["none", "light", "heavy"]

WALKERS, STEPS, BURN = 48, 8_000, 1_500
SEED = 20


def invented():
    """Tips of an invented shop: three bounds each, and what was seen."""
    draw = random.Random(SEED)
    truth = dict(tilt=1.25, heat=0.9, margin=4 * UM, heavy=20 * UM)
    rows = []
    for build, rotors in enumerate(BUILDS, 1):
        hard = draw.uniform(0.8, 1.3)
        for rotor in range(1, rotors + 1):
            shared, step = draw.uniform(4, 9) * UM, draw.uniform(80, 115)
            offset = draw.gauss(0, shared)
            for face in ("gear", "plain"):
                for tip in (1, 2, 3):
                    own = draw.uniform(6, 12) * UM
                    height = draw.uniform(-8, 8)
                    bounds = [
                        ((step + height + 7 * k) * UM, hard * draw.uniform(35, 65) * UM,
                         hard * draw.uniform(15, 40) * UM)
                        for k in range(3)
                    ]
                    gap = min(a - truth["tilt"] * t - truth["heat"] * h for a, t, h in bounds)
                    gap += offset + draw.gauss(0, own)
                    seen = int(gap < truth["margin"]) + int(gap < truth["margin"] - truth["heavy"])
                    flat = [value for bound in bounds for value in bound]
                    figures = [f"{value / UM:.3f}" for value in (shared, own, *flat)]
                    rows.append([str(build), str(rotor), face, str(tip), CONTACTS[seen], *figures])
    return rows


class Shop:
    def __init__(self, rows, test, without=None):
        rows = [row for row in rows if row[0] != without]
        rotors = sorted({(row[0], row[1]) for row in rows})
        self.rotor = np.array([rotors.index((row[0], row[1])) for row in rows])
        figures = np.array([[float(x) for x in row[5:]] for row in rows]) * UM
        self.shared = np.array([figures[self.rotor == r, 0][0] for r in range(len(rotors))])
        self.own = figures[:, 1]
        bounds = figures[:, 2:].reshape(len(rows), 3, 3)
        self.table = np.min(
            bounds[:, :, 0, None, None]
            - TILTS[:, None] * bounds[:, :, 1, None, None]
            - HEATS[None, :] * bounds[:, :, 2, None, None],
            axis=1,
        )
        self.seen = np.array([CONTACTS.index(row[4]) for row in rows])
        self.test = test

    def gaps(self, tilt, heat):
        """Places by tips, straight between the tabulated scales."""

        def part(places, value):
            after = np.clip(np.searchsorted(places, value, side="right"), 1, len(places) - 1)
            low, high = places[after - 1], places[after]
            return after - 1, (value - low) / (high - low)

        (i, s), (j, h) = part(TILTS, tilt), part(HEATS, heat)
        s, h = s[:, None], h[:, None]
        t = np.moveaxis(self.table, 0, -1)
        low = t[i, j] + h * (t[i, j + 1] - t[i, j])
        high = t[i + 1, j] + h * (t[i + 1, j + 1] - t[i + 1, j])
        return low + s * (high - low)

    def chances(self, gaps, margin, heavy):
        any_mark = ndtr((margin - gaps) / self.own)
        hard = ndtr((margin - heavy - gaps) / self.own)
        own = np.where(self.seen == 0, 1 - any_mark, np.where(self.seen == 1, any_mark - hard, hard))
        return (1 - OTHER) * own + OTHER / 3

    def values(self, z):
        return (np.exp(TILT_SD * z[:, 0]), np.exp(HEAT_SD * z[:, 1]), MARGIN_SD * z[:, 2],
                HEAVY * np.exp(HEAVY_SD * z[:, 3]))

    def test_log(self, log_tilt, delta):
        predicted, moved, u = self.test
        return -0.5 * ((np.exp(log_tilt + delta) * predicted - moved) / u) ** 2

    def dense(self, z):
        """Logarithm of the posterior, what rotors share and the test's difference summed out."""
        tilt, heat, margin, heavy = self.values(z)
        gaps = self.gaps(tilt, heat)
        x = np.linspace(-6.5, 6.5, 53)
        weight = np.exp(-0.5 * x * x)
        weight /= weight.sum()
        log = -0.5 * np.sum(z * z, axis=1)
        for rotor, shared in enumerate(self.shared):
            tips = np.flatnonzero(self.rotor == rotor)
            part = object.__new__(Shop)
            part.own, part.seen = self.own[tips], self.seen[tips]
            sums = np.zeros(len(z))
            for offset, w in zip(x * shared, weight):
                chance = part.chances(gaps[:, tips] + offset, margin[:, None], heavy[:, None])
                sums += w * np.prod(chance, axis=1)
            log += np.log(sums)
        delta = np.linspace(-8, 8, 801) * AT_REST_SD
        all_tilts, back = np.unique(TILT_SD * z[:, 0], return_inverse=True)
        logs = self.test_log(all_tilts[:, None], delta) - 0.5 * (delta / AT_REST_SD) ** 2
        most = logs.max(axis=1)
        return log + (most + np.log(np.exp(logs - most[:, None]).sum(axis=1)))[back]

    def drawn(self, place):
        """The same with all that is shared as unknowns of its own, for the chain."""
        z, offset, delta = place[:, :4], place[:, 4:-1], place[:, -1]
        tilt, heat, margin, heavy = self.values(z)
        gaps = self.gaps(tilt, heat) + (offset * self.shared)[:, self.rotor]
        log = np.sum(np.log(self.chances(gaps, margin[:, None], heavy[:, None])), axis=1)
        return (log + self.test_log(TILT_SD * z[:, 0], AT_REST_SD * delta)
                - 0.5 * np.sum(place * place, axis=1))


def summed(shop, *counts):
    """Grid over six standard deviations either side of the one before."""
    mean, sd = np.zeros(4), np.full(4, 0.9)
    for count in counts:
        axes = [np.linspace(max(m - 6 * s, -7), min(m + 6 * s, 7), count) for m, s in zip(mean, sd)]
        grid = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 4)
        # In pieces, for the memory.
        log = np.concatenate([shop.dense(part) for part in np.array_split(grid, 40)])
        weight = np.exp(log - log.max())
        weight /= weight.sum()
        mean = weight @ grid
        sd = np.sqrt(weight @ (grid - mean) ** 2)
    return axes, grid, weight, mean, sd


def quantiles(axis, weight, shares):
    logs = CubicSpline(axis, np.log(weight + 1e-300))
    fine = np.linspace(axis[0], axis[-1], 40_001)
    below = np.cumsum(np.exp(logs(fine)))
    return np.interp(shares, below / below[-1], fine)


def expected(rows, build, grid, weight):
    """Marks on a build by weighed places."""
    own = Shop([row for row in rows if row[0] == build], None)
    keep = weight > 1e-9
    z, w = grid[keep], weight[keep]
    tilt, heat, margin, _ = own.values(z)
    u = np.hypot(own.own, own.shared[own.rotor])
    chance = ndtr((margin[:, None] - own.gaps(tilt, heat)) / u)
    return float((w @ ((1 - OTHER) * chance + OTHER * 2 / 3)).sum())


def chain(shop, mean, sd):
    unknowns = 4 + len(shop.shared) + 1
    start = np.random.default_rng(SEED).normal(size=(WALKERS, unknowns)) * 0.3
    start[:, :4] += mean
    sampler = emcee.EnsembleSampler(WALKERS, unknowns, shop.drawn, vectorize=True,
                                    moves=emcee.moves.DEMove())
    np.random.seed(SEED)
    sampler.random_state = np.random.get_state()
    sampler.run_mcmc(start, STEPS)
    tau = sampler.get_autocorr_time(discard=BURN)[:4]
    drawn = sampler.get_chain(discard=BURN)[:, :, :4]
    if STEPS - BURN < 50 * tau.max():
        sys.exit(f"the chain is too short: {tau}")
    flat = drawn.reshape(-1, 4)
    independent = len(flat) / tau
    off_mean = (flat.mean(axis=0) - mean) / (sd / np.sqrt(independent))
    off_sd = (flat.std(axis=0) / sd - 1) * np.sqrt(2 * independent)
    print(f"chain: {independent.round()} independent draws, means off by {off_mean.round(1)}, "
          f"standard deviations by {off_sd.round(1)} of their errors")
    if max(np.abs(off_mean).max(), np.abs(off_sd).max()) > 4:
        sys.exit("the chain and the dense sum disagree")


def write(name, head, rows):
    with open(HERE / name, "w", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(head)
        writer.writerows(rows)


def main():
    rows = invented()
    bounds = [f"{what} {k}" for k in (1, 2, 3) for what in ("none", "tilt", "heat")]
    head = ["build", "rotor", "face", "tip", "contact", "shared", "own", *bounds]
    write("case.csv", head, rows)
    test = (48 * UM, 55 * UM, 2 * UM)
    write("test.csv", ["predicted", "moved", "u"], [[f"{value / UM:.3f}" for value in test]])
    shop = Shop(rows, test)
    axes, grid, weight, mean, sd = summed(shop, 11, 15, 22)
    spread = [TILT_SD, HEAT_SD, MARGIN_SD / UM]
    values = []
    cube = weight.reshape([len(axis) for axis in axes])
    for i, name in enumerate(["tilt", "heat", "margin"]):
        alone = cube.sum(axis=tuple(j for j in range(4) if j != i))
        ends = quantiles(axes[i], alone, [0.05, 0.5, 0.95]) * spread[i]
        figures = [mean[i] * spread[i], sd[i] * spread[i], *ends]
        values.append([name, *(f"{value:.4f}" for value in figures)])
    off = (grid - mean) / sd
    for i, j in ((0, 1), (0, 2), (1, 2)):
        name = f"correlation {i} {j}"
        values.append([name, f"{weight @ (off[:, i] * off[:, j]):.4f}", "", "", "", ""])
    for build in (1, 3):
        left = Shop(rows, test, without=str(build))
        _, others, weights, _, _ = summed(left, 9, 13, 15)
        marks = expected(rows, str(build), others, weights)
        values.append([f"marks without build {build}", f"{marks:.3f}", "", "", "", ""])
    write("values.csv", ["what", "mean", "sd", "low", "median", "high"], values)
    chain(shop, mean, sd)


if __name__ == "__main__":
    main()
