"""Oil films by finite differences in the stationary frame: orbits, stiffness and damping.

From Reynolds' equation as it is usually written, with both surfaces turning and the film getting
thicker or thinner in place:

    1/R^2 d/da (h^3 dp/da) + d/dz (h^3 dp/dz) = 6 mu (w_j + w_b) dh/da + 12 mu dh/dt,   p >= 0

on even lines round the bearing (a) that stand still, with the film's slope taken by differences.
Nothing is taken over from the kernel: no squeeze velocity, no mobility, no table, no axes that
turn with the journal.

- Orbits: at every instant the velocity of the journal's centre is found for which the pressures
  carry the load; classical Runge-Kutta of fourth order with even steps follows it for three
  turns, of which the last is printed.
- Stiffness and damping: the whole film, both halves, is solved again with the journal shifted,
  tilted, moved and tilting a little either way, and forces and moments are subtracted.

Run `python make.py` here; it writes values.csv. SI; angles in degrees.
"""

import csv
import pathlib

import numpy as np
from scipy.linalg import solveh_banded

ROUNDS = 100


class Film:
    """Lines round and along; `whole` has both halves of the bearing, else from the mid-plane."""

    def __init__(self, bearing, lines, strips, whole):
        self.R = bearing["D"] / 2
        self.L, self.c, self.mu = bearing["L"], bearing["c"], bearing["mu"]
        self.whole = whole
        self.a = 2 * np.pi * np.arange(lines) / lines
        self.da = 2 * np.pi / lines
        ends = np.linspace(-1 if whole else 0, 1, strips + 1)
        self.dz = ends[1] - ends[0]
        self.z = ends[1:-1] if whole else ends[:-1]
        self.z_half = 0.5 * (ends[1:] + ends[:-1])
        simpson = np.ones(strips + 1)
        simpson[1:-1:2], simpson[2:-1:2] = 4, 2
        simpson *= self.dz / 3
        self.simpson = simpson[1:-1] if whole else 2 * simpson[:-1]
        self.wet = None

    def thickness(self, e, r, a, z):
        """Film at angles and places along; the slope is that of the axis, the edge at L/2."""
        x = e[0] + r[0] * z * self.L / 2
        y = e[1] + r[1] * z * self.L / 2
        return self.c - x * np.cos(a) - y * np.sin(a)

    def flow(self, e, r):
        """Conductances to the next line and along, the latter from edge to edge."""
        between = self.thickness(e, r, (self.a + self.da / 2)[:, None], self.z[None, :])
        along = self.thickness(e, r, self.a[:, None], self.z_half[None, :])
        g_round = between**3 / (self.R * self.da) ** 2
        g_along = along**3 / (self.L / 2 * self.dz) ** 2
        if not self.whole:
            # The place at the mid-plane stands for half a strip.
            g_round[:, 0] *= 0.5
        return g_round, g_along

    def pressed(self, g, p):
        """-div(h^3 grad p)."""
        g_round, g_along = g
        ahead = g_round * (p - np.roll(p, -1, 0))
        out = ahead - np.roll(ahead, 1, 0)
        edge = np.zeros((len(self.a), 1))
        if self.whole:
            steps = np.diff(np.hstack([edge, p, edge]), axis=1) * g_along
            return out - (steps[:, 1:] - steps[:, :-1])
        steps = np.diff(np.hstack([p, edge]), axis=1) * g_along
        out -= steps
        out[:, 1:] += steps[:, :-1]
        return out

    def sources(self, e, r, carried):
        """-12 mu of: carriage with the mean speed, and unit velocities along x and y."""
        upper = self.thickness(e, r, (self.a + self.da / 2)[:, None], self.z[None, :])
        wedge = carried * (upper - np.roll(upper, 1, 0)) / self.da
        one = np.ones_like(self.z)[None, :]
        parts = [wedge, -np.cos(self.a)[:, None] * one, -np.sin(self.a)[:, None] * one]
        parts = [-12 * self.mu * part for part in parts]
        if not self.whole:
            for part in parts:
                part[:, 0] *= 0.5
        return parts

    def solve(self, g, sources, wet, cut):
        """Pressures of several sources where the film is; `cut` is a line without film."""
        g_round, g_along = (np.roll(x, -cut, 0) for x in g)
        wet = np.roll(wet, -cut, 0)
        n, m = wet.shape
        diagonal = g_round + np.roll(g_round, 1, 0)
        if self.whole:
            diagonal = diagonal + g_along[:, 1:] + g_along[:, :-1]
            inner = g_along[:, 1:-1]
        else:
            diagonal = diagonal + g_along
            diagonal[:, 1:] += g_along[:, :-1]
            inner = g_along[:, :-1]
        band = np.zeros((m + 1, n * m))
        band[0] = np.where(wet, diagonal, 1.0).ravel()
        beside = np.zeros((n, m))
        beside[:, :-1] = np.where(wet[:, :-1] & wet[:, 1:], -inner, 0.0)
        band[1] = beside.ravel()
        after = np.zeros((n, m))
        after[:-1] = np.where(wet[:-1] & wet[1:], -g_round[:-1], 0.0)
        band[m] += after.ravel()
        right = np.array([np.where(wet, np.roll(s, -cut, 0), 0.0).ravel() for s in sources]).T
        found = solveh_banded(band, right, lower=True, check_finite=False)
        return [np.roll(column.reshape(n, m), cut, 0) for column in found.T]

    def force(self, p):
        """On the journal."""
        strip = p @ self.simpson * (self.L / 2) * self.R * self.da
        return -np.array([strip @ np.cos(self.a), strip @ np.sin(self.a)])

    def moment(self, p):
        """About the mid-plane, conjugate to the slope of the axis."""
        strip = p @ (self.simpson * self.z) * (self.L / 2) ** 2 * self.R * self.da
        return -np.array([strip @ np.cos(self.a), strip @ np.sin(self.a)])

    def pressure(self, e, r, carried, e_rate, r_rate):
        """Pressure for a given state and motion: a pressed place joins, a pulled one leaves."""
        g = self.flow(e, r)
        wedge = self.sources(e, r, carried)[0]
        x = e_rate[0] + r_rate[0] * self.z[None, :] * self.L / 2
        y = e_rate[1] + r_rate[1] * self.z[None, :] * self.L / 2
        rate = -(x * np.cos(self.a)[:, None] + y * np.sin(self.a)[:, None])
        rate = rate * (-12 * self.mu)
        if not self.whole:
            rate[:, 0] *= 0.5
        source = wedge + rate
        cut = int(np.argmin(source.sum(1)))
        wet = source > 0
        for _ in range(ROUNDS):
            (p,) = self.solve(g, [source], wet, cut)
            new = np.where(wet, p > 0, source - self.pressed(g, p) > 1e-12 * abs(source).max())
            new[cut] = False
            if (new == wet).all():
                return p
            wet = new
        raise RuntimeError("extent of the film")

    def velocity(self, e, carried, load):
        """Velocity of the centre under a load: extent and velocity together."""
        none = (0.0, 0.0)
        g = self.flow(e, none)
        sources = self.sources(e, none, carried)
        if self.wet is None:
            self.wet = sources[0] > 0
            self.cut = int(np.argmin(sources[0].sum(1)))
        wet, cut = self.wet, self.cut
        for turn in range(ROUNDS):
            pressures = self.solve(g, sources, wet, cut)
            forces = [self.force(p) for p in pressures]
            u = np.linalg.solve(np.array(forces[1:]).T, -load - forces[0])
            p = pressures[0] + u[0] * pressures[1] + u[1] * pressures[2]
            source = sources[0] + u[0] * sources[1] + u[1] * sources[2]
            new = np.where(wet, p > 0, source - self.pressed(g, p) > 1e-12 * abs(source).max())
            cut = int(np.argmin(source.sum(1)))
            new[cut] = False
            if (new == wet).all():
                self.wet, self.cut = wet, cut
                return u
            wet = new
        raise RuntimeError("velocity under the load")


def turning_load(case, theta):
    """A part that stays, one that turns with the throw, and a pulse that circles backwards."""
    pulse = case["base"] + case["pulse"] * np.exp(case["sharp"] * (np.cos(theta - case["at"]) - 1))
    w = (
        case["still"] * 1j
        + case["thrown"] * np.exp(1j * (theta + np.pi / 2))
        + pulse * np.exp(1j * (-np.pi / 2 - theta))
    )
    return np.array([w.real, w.imag])


def orbit(case, lines=240, strips=8, per_turn=180, turns=3):
    film = Film(case, lines, strips, whole=False)
    w = case["omega"]
    carried = (w + case["omega_b"]) / 2
    step = 2 * np.pi / per_turn
    e = 0.5 * film.c * turning_load(case, 0.0) / np.linalg.norm(turning_load(case, 0.0))

    def rate(theta, e):
        return film.velocity(e, carried, turning_load(case, theta)) / w

    places = []
    for k in range(turns * per_turn):
        theta = k * step
        if k >= (turns - 1) * per_turn and (k % per_turn) % 5 == 0:
            places.append((round(np.degrees(theta) % 360, 9), e.copy()))
        k1 = rate(theta, e)
        k2 = rate(theta + step / 2, e + step / 2 * k1)
        k3 = rate(theta + step / 2, e + step / 2 * k2)
        k4 = rate(theta + step, e + step * k3)
        e = e + step / 6 * (k1 + 2 * k2 + 2 * k3 + k4)
    gap = np.linalg.norm(e - places[0][1]) / film.c
    assert gap < 2e-4, gap
    return places


def linear(case, lines=300, strips=20):
    """Load and both two by two pairs at a state, rows x, y."""
    film = Film(case, lines, strips, whole=True)
    carried = (case["omega"] + case["omega_b"]) / 2
    turn = np.radians(case["direction"])
    e = film.c * case["ratio"] * np.array([np.cos(turn), np.sin(turn)])
    e_rate = case["squeeze"] * film.c * np.array([np.cos(turn), np.sin(turn)])
    still = np.zeros(2)

    def answer(de, dr, de_rate, dr_rate):
        p = film.pressure(e + de, dr, carried, e_rate + de_rate, dr_rate)
        return film.force(p), film.moment(p)

    load = -answer(still, still, still, still)[0]
    left = film.c * (1 - case["ratio"])
    speed = abs(carried) * film.c
    small = [0.03 * left, 0.03 * left * 2 / film.L, 0.05 * speed, 0.05 * speed * 2 / film.L]
    found = []
    for which in range(4):
        part = 1 if which in (1, 3) else 0
        matrix = np.zeros((2, 2))
        for axis in range(2):
            sides = []
            for sign in (1, -1):
                change = [still, still, still, still]
                change[which] = sign * small[which] * np.eye(2)[axis]
                sides.append(answer(*change)[part])
            matrix[:, axis] = -(sides[0] - sides[1]) / (2 * small[which])
        found.append(matrix)
    return load, found


ROTOR = {"D": 0.073, "L": 0.060, "c": 45e-6, "mu": 0.008, "omega": 1000.0, "omega_b": 1000.0 / 3}
MAIN = {"D": 0.043, "L": 0.0215, "c": 25e-6, "mu": 0.009, "omega": 900.0, "omega_b": 0.0}

ORBITS = [
    dict(ROTOR, case="rotor", still=0.0, thrown=30e3, base=12e3, pulse=110e3, sharp=12.0, at=0.5),
    dict(
        ROTOR, case="rotor hot", c=60e-6, mu=0.005, omega=1100.0, omega_b=1100.0 / 3,
        still=0.0, thrown=20e3, base=10e3, pulse=150e3, sharp=20.0, at=0.5,
    ),
    dict(MAIN, case="main", still=-4e3, thrown=6e3, base=2e3, pulse=18e3, sharp=8.0, at=0.4),
    dict(MAIN, case="main slack", c=40e-6, mu=0.006, still=0.0, thrown=9e3, base=1e3,
         pulse=14e3, sharp=10.0, at=-1.0),
]

LINEAR = [
    dict(shape, ratio=ratio, squeeze=squeeze, direction=direction)
    for shape in (ROTOR, MAIN)
    for ratio, squeeze, direction in [
        (0.3, 0.0, 25.0),
        (0.6, 0.0, 140.0),
        (0.8, 0.0, -70.0),
        (0.9, 0.0, 200.0),
        (0.5, 300.0, 60.0),
        (0.8, 60.0, -20.0),
    ]
]

FIELDS = ["kind", "case", "D", "L", "c", "mu", "omega", "omega_b", "still", "thrown", "base",
          "pulse", "sharp", "at", "ratio", "squeeze", "direction", "what", "x", "y", "tolerance"]


def row(case, kind, what, x, y, digits, tolerance):
    given = {k: repr(float(case[k])) for k in FIELDS[2:17] if k in case}
    return dict(
        given, kind=kind, case=case.get("case", ""), what=what,
        x=f"{x:.{digits}e}", y=f"{y:.{digits}e}", tolerance=tolerance,
    )


def main():
    rows = []
    for case in ORBITS:
        for degrees, e in orbit(case):
            over = e / case["c"]
            rows.append(row(case, "orbit", f"{degrees:g}", over[0], over[1], 4, 0.008))
    names = ["stiffness", "tilt_stiffness", "damping", "tilt_damping"]
    tolerances = [0.005, 0.025, 0.01, 0.03]
    for case in LINEAR:
        load, matrices = linear(case)
        rows.append(row(case, "linear", "load", load[0], load[1], 4, 0.008))
        for name, matrix, tolerance in zip(names, matrices, tolerances):
            for k, line in enumerate(matrix):
                rows.append(row(case, "linear", f"{name} {'xy'[k]}", *line, 4, tolerance))
    path = pathlib.Path(__file__).with_name("values.csv")
    with open(path, "w", newline="") as file:
        out = csv.DictWriter(file, FIELDS, restval="", lineterminator="\n")
        out.writeheader()
        out.writerows(rows)


if __name__ == "__main__":
    main()
