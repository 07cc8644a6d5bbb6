"""Journal bearings: a table of films by finite volumes, paths under periodic loads, coefficients.

Without units, axes along the eccentricity (r) and a quarter turn ahead (t): H = 1 - eps cos(phi),

    d/dphi (H^3 dp/dphi) + (D/L)^2 d/dz (H^3 dp/dz) = -(v_r cos(phi) + v_t sin(phi)),  p >= 0,

z from mid-plane to edge; a film that moves with the squeeze velocity v carries the load v makes.
One fixed grid for all states, denser by the thinnest place; the film's extent by taking places
out and in. Changes of stiffness and tilt are first-order answers with the extent held, damping
follows from how the velocity turns with the load. Splines over -ln(1 - eps) and the mean of the
load's angle and that angle in a thin film.
"""

import numpy as np
from scipy.interpolate import RectBivariateSpline
from scipy.linalg import solveh_banded

LINES, STRIPS = 144, 8
CROWD = 0.82
# Rows beyond 1 - eps = 0.004 are not needed: the sample's thinnest films are several times that.
ROWS = np.linspace(0.0, 5.5, 23)
COLUMNS = 25
ROUNDS = 60


class Grid:
    def __init__(self, length_over_diameter):
        self.slender = length_over_diameter**-2
        x = 2 * np.pi * np.arange(LINES) / LINES
        self.phi = x - CROWD * np.sin(x)
        after = np.append(self.phi[1:], self.phi[0] + 2 * np.pi)
        self.half = (self.phi + after) / 2
        self.gap = after - self.phi
        self.breadth = (self.gap + np.roll(self.gap, 1)) / 2
        s = np.linspace(0, 1, STRIPS + 1)
        z = 1.25 * s - 0.25 * s**3
        self.z, self.dz = z[:-1], np.diff(z)
        self.zh = (z[1:] + z[:-1]) / 2
        # Area along of each place, and with it integration: what flows balances exactly there.
        self.depth = np.append(self.dz[0] / 2, (self.dz[1:] + self.dz[:-1]) / 2)
        self.weight = np.empty(STRIPS)
        full = np.zeros(STRIPS + 1)
        for k in range(0, STRIPS, 2):  # parabolas through pairs of strips
            a, b = self.dz[k], self.dz[k + 1]
            full[k : k + 3] += (a + b) / 6 * np.array([2 - b / a, (a + b) ** 2 / (a * b), 2 - a / b])
        self.weight = full[:-1]

    def conductance(self, power, ratio, change=None):
        """H^3 (or its change 3 H^2 dH with dH = -change) round and along."""
        def value(phi):
            h = 1 - ratio * np.cos(phi)
            return h**3 if change is None else -3 * h**2 * change(phi)

        round_ = value(self.half)[:, None] * self.depth[None, :] / self.gap[:, None]
        along = value(self.phi)[:, None] * self.slender * self.breadth[:, None] / self.dz[None, :]
        if power:
            # Change proportional to z: taken between the places.
            round_, along = round_ * self.z[None, :], along * self.zh[None, :]
        return round_, along

    @staticmethod
    def pressed(conductances, p):
        round_, along = conductances
        ahead = round_ * (p - np.roll(p, -1, 0))
        out = ahead - np.roll(ahead, 1, 0)
        steps = along * (p - np.hstack([p[:, 1:], np.zeros((LINES, 1))]))
        out += steps
        out[:, 1:] -= steps[:, :-1]
        return out

    @staticmethod
    def solve(conductances, sources, wet, cut):
        """Pressures of sources where the film is; the line `cut` is dry."""
        round_, along = (np.roll(g, -cut, 0) for g in conductances)
        wet = np.roll(wet, -cut, 0)
        n, m = wet.shape
        diagonal = round_ + np.roll(round_, 1, 0) + along
        diagonal[:, 1:] += along[:, :-1]
        band = np.zeros((m + 1, n * m))
        band[0] = np.where(wet, diagonal, 1.0).ravel()
        beside = np.zeros((n, m))
        beside[:, :-1] = np.where(wet[:, :-1] & wet[:, 1:], -along[:, :-1], 0.0)
        band[1] = beside.ravel()
        after = np.zeros((n, m))
        after[:-1] = np.where(wet[:-1] & wet[1:], -round_[:-1], 0.0)
        band[m] += after.ravel()
        right = np.array([np.where(wet, np.roll(s, -cut, 0), 0.0).ravel() for s in sources]).T
        found = solveh_banded(band, right, lower=True, check_finite=False)
        return [np.roll(column.reshape(n, m), cut, 0) for column in found.T]

    def force(self, p, lever=False):
        strip = p @ (self.weight * self.z if lever else self.weight) * self.breadth
        return np.array([strip @ np.cos(self.phi), strip @ np.sin(self.phi)])

    def carry(self, ratio, load, wet):
        """Velocity and linear answers under a load, from a guessed extent."""
        g = self.conductance(0, ratio)
        sources = [n(self.phi)[:, None] * self.breadth[:, None] * self.depth[None, :]
                   for n in (np.cos, np.sin)]
        seen = []
        for turn in range(ROUNDS):
            if wet is None:
                guess = load[0] * sources[0] + load[1] * sources[1]
                wet = guess > 0
            cut = int(np.argmin(wet.sum(1)))
            wet = wet.copy()
            wet[cut] = False
            a, b = self.solve(g, sources, wet, cut)
            damping = np.array([self.force(a), self.force(b)]).T
            v = np.linalg.solve(damping, load)
            p = v[0] * a + v[1] * b
            source = v[0] * sources[0] + v[1] * sources[1]
            surplus = source - self.pressed(g, p)
            new = np.where(wet, p > 0, surplus > 1e-12 * abs(source).max())
            changed = int((new != wet).sum())
            seen.append(changed)
            if changed == 0:
                break
            wet = new
        else:
            # Places at the very end may go to and fro: one in a thousand moves nothing.
            if min(seen[-8:]) > 2:
                raise RuntimeError(f"extent of the film at {ratio}, {load}: {seen[-5:]}")
        stiffness = np.zeros((2, 2))
        tilt_stiffness = np.zeros((2, 2))
        tilt_damping = np.zeros((2, 2))
        # Odd pressures: the mid-plane is dry.
        odd = wet.copy()
        odd[:, 0] = False
        for k, n in enumerate((np.cos, np.sin)):
            (change,) = self.solve(g, [-self.pressed(self.conductance(0, ratio, n), p)], wet, cut)
            stiffness[:, k] = self.force(change)
            tilted = -self.pressed(self.conductance(1, ratio, n), p)
            squeezed = sources[k] * self.z[None, :]
            one, two = self.solve(g, [tilted, squeezed], odd, cut)
            tilt_stiffness[:, k], tilt_damping[:, k] = self.force(one, True), self.force(two, True)
        return v, wet, stiffness, tilt_damping, tilt_stiffness


def thin_angle(gamma, thin):
    """Column of a load's angle: even round where half of all happens within sqrt(thin)."""
    return (gamma + 2 * np.arctan2(np.sin(gamma / 2), np.sqrt(thin) * np.cos(gamma / 2))) / 2


def gamma_of(column, thin):
    low, high = 0.0, np.pi
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if thin_angle(middle, thin) < column else (low, middle)
    return (low + high) / 2


MIRRORED = np.array([1, -1, 1, -1, -1, 1, 1, 1, -1, 1, -1, -1, 1])
GHOSTS = 3


class Table:
    def __init__(self, length_over_diameter):
        grid = Grid(length_over_diameter)
        columns = np.linspace(0, np.pi, COLUMNS)
        kept = np.zeros((len(MIRRORED), len(ROWS), COLUMNS))
        for i, x in enumerate(ROWS):
            thin = np.exp(-x)
            wet = None
            for j, column in enumerate(columns):
                end = j in (0, COLUMNS - 1)
                gamma = column if end else gamma_of(column, thin)
                load = np.array([np.cos(gamma), 0.0 if end else np.sin(gamma)])
                v, wet, k, c_t, k_t = grid.carry(1 - thin, load, wet)
                # Scaled so that it turns evenly in thin films.
                w = np.array([v[0], np.sqrt(thin) * v[1]])
                angle = 0.0 if end else np.arctan2(w[1], w[0]) - column
                aside = c_t[0, 1] / np.sqrt(c_t[0, 0] * c_t[1, 1])
                kept[:, i, j] = [np.log(np.hypot(*w)), angle, *(thin * k).ravel(),
                                 np.log(c_t[0, 0]), np.log(c_t[1, 1]), aside,
                                 *(thin * k_t).ravel()]
        # Mirrored columns at both ends, so that splines know the symmetry.
        sign = MIRRORED[:, None, None]
        wide = np.concatenate([sign * kept[:, :, GHOSTS:0:-1], kept,
                               sign * kept[:, :, -2 : -2 - GHOSTS : -1]], axis=2)
        step = columns[1]
        y = step * np.arange(-GHOSTS, COLUMNS + GHOSTS)
        self.splines = [RectBivariateSpline(ROWS, y, values) for values in wide]

    def read(self, which, x, column):
        return self.splines[which].ev(x, column)

    def velocity(self, ratio, load):
        """Complex velocities at arrays of ratios, under complex loads in axes r, t."""
        gamma = np.angle(load)
        thin = 1 - ratio
        column = thin_angle(abs(gamma), thin)
        x = -np.log(thin)
        size = abs(load) * np.exp(self.read(0, x, column))
        angle = self.read(1, x, column) + column
        side = np.where(gamma < 0, -1.0, 1.0)
        return size * (np.cos(angle) + 1j * side * np.sin(angle) / np.sqrt(thin))

    def damping(self, ratio, gamma):
        """How the load changes with the velocity, symmetric, (.., 2, 2)."""
        h = 0.02 * np.sqrt(1 - ratio)
        unit = [self.velocity(ratio, np.exp(1j * (gamma + d))) for d in (-h, 0.0, h)]
        aside = (unit[2] - unit[0]) / (2 * h)
        c, s = np.cos(gamma), np.sin(gamma)
        by_load = np.array([[unit[1] * c - aside * s, unit[1] * s + aside * c]])[0]
        m = np.moveaxis(np.array([by_load.real, by_load.imag]), (0, 1), (-2, -1))
        m = (m + np.swapaxes(m, -1, -2)) / 2
        return np.linalg.inv(m)

    def linear(self, ratio, gamma):
        """Damping, stiffness per unit load, and both of tilt, in axes r, t: (.., 2, 2) each."""
        thin = 1 - ratio
        x, column = -np.log(thin), thin_angle(abs(gamma), thin)
        side = np.where(gamma < 0, -1.0, 1.0)
        read = [self.read(k, x, column) * np.where(MIRRORED[k] < 0, side, 1.0)
                for k in range(2, len(MIRRORED))]

        def square(a, b, c, d):
            return np.moveaxis(np.array([[a, b], [c, d]]), (0, 1), (-2, -1))

        rr, tt = np.exp(read[4]), np.exp(read[5])
        aside = read[6] * np.sqrt(rr * tt)
        per_film = (1 / thin)[..., None, None]
        return (self.damping(ratio, gamma), square(*read[:4]) * per_film,
                square(rr, aside, aside, tt), square(*read[7:]) * per_film)


class Bearing:
    def __init__(self, diameter, length, viscosity):
        self.radius, self.length = diameter / 2, length
        self.clearance = 0.5 * 1.2e-3 * diameter
        self.scale = 12 * viscosity * length * (self.radius / self.clearance) ** 3


STEPS = 4  # a degree
MOST_TURNS = 30
CLOSED = 1e-4


def paths(table, bearing, omegas, carried, loads):
    """Places over the clearance of many journals of one kind, (journals, 360), complex, under
    loads (journals, 360). Classical Runge-Kutta, all side by side, until every one closes."""
    per = 1 / (bearing.scale * bearing.clearance)
    per_degree = np.radians(1) / omegas
    ahead = np.roll(loads, -1, 1)

    def rate(e, load):
        ratio = abs(e)
        along = e / ratio
        squeeze = table.velocity(ratio, load * np.conj(along)) * along * per
        return (squeeze + 1j * carried * e) * per_degree

    e = 0.5 * loads[:, 0] / abs(loads[:, 0])
    h = 1 / STEPS
    found = None
    for _ in range(MOST_TURNS):
        before, found = found, np.empty_like(loads)
        for degree in range(360):
            found[:, degree] = e
            a, b = loads[:, degree], ahead[:, degree]
            for k in range(STEPS):
                at = [a + (b - a) * x * h for x in (k, k + 0.5, k + 1)]
                k1 = rate(e, at[0])
                k2 = rate(e + h / 2 * k1, at[1])
                k3 = rate(e + h / 2 * k2, at[1])
                k4 = rate(e + h * k3, at[2])
                e = e + h / 6 * (k1 + 2 * k2 + 2 * k3 + k4)
        if before is not None and np.max(abs(found - before) / (1 - abs(found))) < CLOSED:
            return found
    raise SystemExit("a journal's path does not close")


def coefficients(table, bearing, carried, places, loads):
    """K, C, K_t, C_t in the stationary frame, each (.., 2, 2); `carried` like the first axes."""
    ratio = abs(places)
    along = places / ratio
    damping, stiffness, tilt_damping, tilt_stiffness = table.linear(
        ratio, np.angle(loads * np.conj(along)))
    behind = np.array([[0.0, 1.0], [-1.0, 0.0]])
    turn = np.moveaxis(np.array([[along.real, -along.imag], [along.imag, along.real]]),
                       (0, 1), (-2, -1))

    def whole(k, c, lever):
        load = abs(loads)[..., None, None] / bearing.clearance
        c = c * bearing.scale
        k = load * k + carried[..., None, None] * c @ behind
        return [lever * turn @ m @ np.swapaxes(turn, -1, -2) for m in (k, c)]

    return (*whole(stiffness, damping, 1.0),
            *whole(tilt_stiffness, tilt_damping, bearing.length**2 / 4))
