"""The shaft as a dense beam after Timoshenko, x and y planes as real unknowns.

Each harmonic n of the shaft's speed w is X e^{inwt} with

    (K + K_s - n^2 w^2 M + i n w (C_s + w G)) X = F,

unknowns per node: x, y, slope of x, slope of y. G couples the planes: the gyroscopic moment of a
slope rate is +w I_p s_y' on x and -w I_p s_x' on y, on the side of inertia.
"""

import numpy as np

import engine

HIGHEST = 18
GAUSS = np.polynomial.legendre.leggauss(6)


def element(length, diameter):
    """Stiffness, mass and polar matrices of a piece in one plane."""
    area, second = np.pi / 4 * diameter**2, np.pi / 64 * diameter**4
    shear = 6 * (1 + engine.POISSON) / (7 + 6 * engine.POISSON)
    ei = engine.YOUNG * second
    phi = 12 * ei / (shear * engine.SHEAR * area * length**2)
    f = ei / (length**3 * (1 + phi))
    a, b = (4 + phi) * length**2, (2 - phi) * length**2
    stiffness = f * np.array([
        [12, 6 * length, -12, 6 * length],
        [6 * length, a, -6 * length, b],
        [-12, -6 * length, 12, -6 * length],
        [6 * length, b, -6 * length, a],
    ])
    x = (GAUSS[0][:, None] + 1) / 2
    weight = GAUSS[1] * length / 2
    bend = np.hstack([
        1 - 3 * x**2 + 2 * x**3 + phi * (1 - x),
        length * (x - 2 * x**2 + x**3 + phi * (x - x**2) / 2),
        3 * x**2 - 2 * x**3 + phi * x,
        length * (-(x**2) + x**3 - phi * (x - x**2) / 2),
    ]) / (1 + phi)
    turn = np.hstack([
        6 * (x**2 - x) / length,
        1 - 4 * x + 3 * x**2 + phi * (1 - x),
        6 * (x - x**2) / length,
        -2 * x + 3 * x**2 + phi * x,
    ]) / (1 + phi)
    rotary = engine.DENSITY * second * (turn * weight[:, None]).T @ turn
    mass = engine.DENSITY * area * (bend * weight[:, None]).T @ bend + rotary
    return stiffness, mass, 2 * rotary


class Beam:
    def __init__(self, shaft, finest=0.2):
        self.shaft = shaft
        places = {*np.round(shaft.edges, 12), *np.round(shaft.stations, 12)}
        places |= {round(z, 12) for z in shaft.mains}
        places |= {round(d[0], 12) for d in shaft.discs}
        marks = np.array(sorted(places))
        nodes = [0.0]
        for a, b in zip(marks, marks[1:]):
            diameter = self.diameter((a + b) / 2)
            pieces = int(np.ceil((b - a) / (finest * diameter)))
            nodes += list(a + (b - a) * np.arange(1, pieces + 1) / pieces)
        self.nodes = np.array(nodes)
        size = 4 * len(nodes)
        self.k, self.m, self.g = (np.zeros((size, size)) for _ in range(3))
        for i, (a, b) in enumerate(zip(nodes, nodes[1:])):
            stiffness, mass, polar = element(b - a, self.diameter((a + b) / 2))
            x = np.array([4 * i, 4 * i + 2, 4 * i + 4, 4 * i + 6])
            for plane in (x, x + 1):
                self.k[np.ix_(plane, plane)] += stiffness
                self.m[np.ix_(plane, plane)] += mass
            self.g[np.ix_(x, x + 1)] += polar
            self.g[np.ix_(x + 1, x)] -= polar
        rotors = [(z, engine.MASS, 0.0, 0.0) for z in shaft.stations]
        for z, mass, polar, diametral in shaft.discs + rotors:
            i = 4 * self.node(z)
            self.m[i, i] += mass
            self.m[i + 1, i + 1] += mass
            self.m[i + 2, i + 2] += diametral
            self.m[i + 3, i + 3] += diametral
            self.g[i + 2, i + 3] += polar
            self.g[i + 3, i + 2] -= polar

    def diameter(self, z):
        return self.shaft.diameters[np.searchsorted(self.shaft.edges, z) - 1]

    def node(self, z):
        return int(np.argmin(abs(self.nodes - z)))

    def held(self, rates):
        """Stiffness and damping of the mains: rates are per main (K, C, K_m, C_m)."""
        k, c = np.zeros_like(self.k), np.zeros_like(self.k)
        for z, (across, braked, moment, moment_braked) in zip(self.shaft.mains, rates):
            i = 4 * self.node(z)
            k[i : i + 2, i : i + 2] += across
            c[i : i + 2, i : i + 2] += braked
            k[i + 2 : i + 4, i + 2 : i + 4] += moment
            c[i + 2 : i + 4, i + 2 : i + 4] += moment_braked
        return k, c

    def pull(self, omega):
        """First harmonic of what turns with the shaft."""
        f = np.zeros(len(self.k), complex)
        for z, amount in self.shaft.unbalances:
            turning = 1j * amount * omega**2
            i = 4 * self.node(z)
            # Re(f e^{iwt}) and Im(f e^{iwt}) = Re(-i f e^{iwt}).
            f[i] += turning
            f[i + 1] += -1j * turning
        return f

    def respond(self, omega, rates, forces):
        """Answers to several sets of forces on the stations, each (rotors, 360) complex or
        None, with what turns with the shaft where the set is None: slopes of the stations
        (sets, rotors, 360) and reactions of the mains on the shaft (sets, mains, 360)."""
        k, c = self.held(rates)
        n = np.arange(HIGHEST + 1)
        dynamic = (self.k + k - (n * omega)[:, None, None] ** 2 * self.m
                   + 1j * (n * omega)[:, None, None] * (c + omega * self.g))
        right = np.zeros((HIGHEST + 1, len(self.k), len(forces)), complex)
        stations = [4 * self.node(z) for z in self.shaft.stations]
        for column, force in enumerate(forces):
            if force is None:
                right[1, :, column] = self.pull(omega)
                continue
            for i, signal in zip(stations, force):
                for axis, part in enumerate((signal.real, signal.imag)):
                    found = np.fft.rfft(part)[: HIGHEST + 1] / 360
                    found[1:] *= 2
                    right[:, i + axis, column] += found
        x = np.linalg.solve(dynamic, right)
        turn = np.exp(1j * np.outer(n, np.radians(np.arange(360))))

        def follow(amplitudes):
            return np.einsum("nc,nt->ct", amplitudes, turn).real

        slopes = np.array([follow(x[:, i + 2]) + 1j * follow(x[:, i + 3]) for i in stations])
        reactions = []
        for z, (across, braked, _, _) in zip(self.shaft.mains, rates):
            i = 4 * self.node(z)
            z_n = across + 1j * (n * omega)[:, None, None] * braked
            f = -np.einsum("nij,njc->nic", z_n, x[:, i : i + 2])
            reactions.append(follow(f[:, 0]) + 1j * follow(f[:, 1]))
        return slopes.transpose(1, 0, 2), np.array(reactions).transpose(1, 0, 2)

    def flexibility(self, rates):
        """Slope of the stations per moment on them at rest, its symmetric part."""
        k, _ = self.held(rates)
        rows = np.concatenate([[4 * self.node(z) + 2, 4 * self.node(z) + 3]
                               for z in self.shaft.stations])
        unit = np.zeros((len(self.k), len(rows)))
        unit[rows, np.arange(len(rows))] = 1
        found = np.linalg.solve(self.k + k, unit)[rows]
        return (found + found.T) / 2
