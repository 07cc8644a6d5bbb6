"""Rotors and journals in motion under walls: a quadratic program at every degree.

Unknown are leans t of the rotors, slopes s of the journals, floats z. With C the shaft's
flexibility against moments and s0 where journals go without any, each degree minimises

    1/2 r'(K + D/h) r - r'(D/h) r_ + 1/2 (s - s0)' C^-1 (s - s0) - m't + I_d/(2 h^2) |t - 2t_ + t__|^2
    + 1/2 k z^2,   r = t - s,

with what has no energy (skew parts of the film, gyroscopic moment) from the degree before, under
walls and edges of bearings as rows. Solved as the least distance to a polyhedron, by non-negative
least squares on its dual [LAWSON-HANSON], rows that are broken being added until
none is.
"""

import numpy as np
from scipy.optimize import nnls

import engine

CENTRING = 1e4
BROKEN = 1e-12
DIRECTIONS = 360


class Motion:
    """`film` has K and D of tilt (rotors, 360, 2, 2); `offset` 2e/L, complex (rotors, 360);
    `slope` and `moment` complex (rotors, 360); `reach` 2c/L; gaps in m."""

    def __init__(self, omega, throws, film, offset, reach, slope, moment, flexibility,
                 clearance, step):
        n = self.n = len(throws)
        self.throws, self.offset, self.reach = throws, offset, reach
        self.clearance, self.step = clearance, step
        rate = 1 / (np.radians(1) / omega)
        k, d = film
        flat = np.zeros((360, 2 * n, 2 * n))
        self.lag, self.skew = np.zeros_like(flat), np.zeros_like(flat)
        for i in range(n):
            at = slice(2 * i, 2 * i + 2)
            even, odd = ((k[i] + np.swapaxes(k[i], 1, 2)) / 2, (k[i] - np.swapaxes(k[i], 1, 2)) / 2)
            d_even = rate * (d[i] + np.swapaxes(d[i], 1, 2)) / 2
            d_odd = rate * (d[i] - np.swapaxes(d[i], 1, 2)) / 2
            flat[:, at, at] = even + d_even
            self.lag[:, at, at] = d_even - odd
            self.skew[:, at, at] = d_odd
        self.inertia = engine.DIAMETRAL * rate**2
        turned = engine.POLAR * omega / 3 * rate * np.array([[0, -1], [1, 0]])
        self.gyro = np.kron(np.eye(n), turned)
        shaft = np.linalg.inv(flexibility)
        h = np.zeros((360, 5 * n, 5 * n))
        t, s = slice(0, 2 * n), slice(2 * n, 4 * n)
        h[:, t, t] = flat + self.inertia * np.eye(2 * n)
        h[:, s, s] = flat + shaft
        h[:, t, s] = h[:, s, t] = -flat
        h[:, np.arange(4 * n, 5 * n), np.arange(4 * n, 5 * n)] = CENTRING
        self.inverse = np.linalg.inv(h)
        # H^-1 = B B', so x = x0 + B y has the energy |y|^2 / 2.
        self.root = np.linalg.inv(np.swapaxes(np.linalg.cholesky(h), 1, 2))

        def pairs(values):
            return np.stack([values.real, values.imag], -1).transpose(1, 0, 2).reshape(360, 2 * n)

        self.moment = pairs(moment)
        self.free = pairs(slope) @ shaft.T
        self.start = pairs(slope)
        azimuth = 2 * np.pi * np.arange(engine.RING) / engine.RING
        self.ring = engine.LAND * np.exp(1j * azimuth)
        self.tips = engine.TIP * np.exp(-2j * np.pi * np.arange(3) / 3)
        self.points = np.concatenate([self.ring, self.tips])
        self.room = np.concatenate([np.full(engine.RING, clearance),
                                    np.full(3, clearance + step)])
        self.rays = np.exp(2j * np.pi * np.arange(DIRECTIONS) / DIRECTIONS)

    def turned(self, degree, rotor):
        """Tip 1's direction."""
        return np.exp(1j * np.radians(150 + (degree + self.throws[rotor]) / 3))

    def gaps(self, degree, rotor, lean):
        """What a lean takes: along the shaft at every point, with z = 0."""
        x = self.points * self.turned(degree, rotor)
        return x, -(lean.real * x.real + lean.imag * x.imag)

    def broken(self, degree, x):
        """The row of each kind of each rotor that is broken most: (key, row, right side)."""
        n = self.n
        rows = []
        for i in range(n):
            lean = complex(*x[2 * i : 2 * i + 2])
            journal = complex(*x[2 * (n + i) : 2 * (n + i) + 2])
            places, rise = self.gaps(degree, i, lean)
            z = x[4 * n + i]
            for side, sign in enumerate((1, -1)):
                over = sign * (z + rise) - self.room
                # Land and tips apart: two rows at once.
                for part in (slice(0, engine.RING), slice(engine.RING, None)):
                    p = part.start + int(np.argmax(over[part]))
                    if over[p] > BROKEN:
                        row = np.zeros(5 * n)
                        row[2 * i], row[2 * i + 1] = -sign * places[p].real, -sign * places[p].imag
                        row[4 * n + i] = sign
                        rows.append(((i, side, p), row, self.room[p]))
            for end in (1, -1):
                off = end * self.offset[i, degree % 360]
                seen = off + lean - journal
                over = (seen * np.conj(self.rays)).real - self.reach
                p = int(np.argmax(over))
                if over[p] > BROKEN:
                    ray = self.rays[p]
                    row = np.zeros(5 * n)
                    row[2 * i : 2 * i + 2] = ray.real, ray.imag
                    row[2 * (n + i) : 2 * (n + i) + 2] = -ray.real, -ray.imag
                    rows.append(((i, 3 + end, p), row, self.reach - (off * np.conj(ray)).real))
        return rows

    def hold(self, degree, x):
        """Nearest pose that passes, and the forces by which it is held there."""
        root = self.root[degree % 360]
        active = {}
        free = x
        for _ in range(200):
            new = [r for r in self.broken(degree, x) if r[0] not in active]
            if not new:
                break
            for key, row, right in new:
                active[key] = (row, right)
            rows = np.array([row for row, _ in active.values()])
            right = np.array([right for _, right in active.values()])
            # Least |y| with A y <= b: scaled so that rows are units and b of order one.
            a, b = rows @ root, right - rows @ free
            length = np.linalg.norm(a, axis=1)
            a, b = a / length[:, None], b / length
            unit = max(np.max(-b), 1e-30)
            e = np.vstack([-a.T, -b / unit])
            f = np.zeros(len(e))
            f[-1] = 1
            u, _ = nnls(e, f, maxiter=1000)
            rest = e @ u - f
            y = -rest[:-1] / rest[-1] * unit
            push = u / -rest[-1] * unit / length
            x = free + root @ y
            forces = {key: p for key, p in zip(active, push) if p > 0}
        else:
            raise SystemExit(f"no pose at {degree}")
        return x, forces

    def clear(self, degree, x):
        """Whether a pose passes wherever it floats."""
        n = self.n
        for i in range(n):
            lean = complex(*x[2 * i : 2 * i + 2])
            journal = complex(*x[2 * (n + i) : 2 * (n + i) + 2])
            _, rise = self.gaps(degree, i, lean)
            if np.min(self.room - rise) + np.min(self.room + rise) < 0:
                return False
            for end in (1, -1):
                if abs(end * self.offset[i, degree % 360] + lean - journal) > self.reach:
                    return False
        return True

    def run(self, walls, settled=5e-8, most=30):
        """One settled cycle: leans complex (1080, rotors), journals likewise, forces by degree."""
        n = self.n
        first = self.start[0]
        lean = [first.copy(), first.copy()]
        relative = [np.zeros(2 * n), np.zeros(2 * n)]
        found = None
        for turn in range(most):
            before, found, pushes = found, np.zeros((1080, 4 * n)), {}
            for degree in range(1080):
                d = degree % 360
                h = self.lag[d] @ relative[0] - self.skew[d] @ (relative[0] - relative[1])
                right = np.zeros(5 * n)
                right[: 2 * n] = (h + self.moment[d] + self.inertia * (2 * lean[0] - lean[1])
                                  + self.gyro @ (lean[0] - lean[1]))
                right[2 * n : 4 * n] = self.free[d] - h
                x = self.inverse[d] @ right
                x[4 * n :] = 0
                if walls and not self.clear(degree, x):
                    x, pushes[degree] = self.hold(degree, x)
                found[degree] = x[: 4 * n]
                lean = [x[: 2 * n], lean[0]]
                relative = [x[: 2 * n] - x[2 * n : 4 * n], relative[0]]
            if before is not None and np.max(abs(found - before)[-1, : 2 * n]) < settled:
                break
        else:
            raise SystemExit("the motion does not settle")
        leans = found[:, 0 : 2 * n : 2] + 1j * found[:, 1 : 2 * n : 2]
        journals = found[:, 2 * n :: 2] + 1j * found[:, 2 * n + 1 :: 2]
        return leans, journals, pushes

    def passes(self, leans, journals):
        return all(self.clear(d, np.concatenate([
            np.stack([leans[d].real, leans[d].imag], -1).ravel(),
            np.stack([journals[d].real, journals[d].imag], -1).ravel(),
            np.zeros(self.n)])) for d in range(1080))

    def answers(self, leans, pushes):
        """Per rotor: greatest lean, least gap at worst float and centred, least float, greatest
        force on a land and on tips."""
        found = []
        degree = np.arange(1080)
        for i in range(self.n):
            turn = np.exp(1j * np.radians(150 + (degree + self.throws[i]) / 3))[:, None]
            x = self.points[None, :] * turn
            rise = -(leans[:, i, None].real * x.real + leans[:, i, None].imag * x.imag)
            land, tip = rise[:, : engine.RING], rise[:, engine.RING :]
            most = self.clearance - land.max(1)
            least = -self.clearance - land.min(1)
            upright = self.clearance + self.step
            behind, front = upright - tip - most[:, None], upright + tip + least[:, None]
            middle = (most + least)[:, None] / 2
            centred = min((upright - tip - middle).min(), (upright + tip + middle).min())
            force = [0.0, 0.0]
            for held in pushes.values():
                sums = [0.0, 0.0]
                for (rotor, side, p), newtons in held.items():
                    if rotor == i and side in (0, 1):
                        sums[int(p >= engine.RING)] += newtons
                force = [max(a, b) for a, b in zip(force, sums)]
            found.append((abs(leans[:, i]).max(), min(behind.min(), front.min()), centred,
                          (most - least).min(), *force))
        return found
