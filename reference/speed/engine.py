"""An invented engine scaled from its own sizes, in SI: what the kernel's sample is, written again.

Proportions are the project's own (common practice, no source). Places along the shaft are
distances from its front end; angles are degrees of the shaft.
"""

import numpy as np

R, ECC, WIDTH = 0.105, 0.015, 0.080
MASS, POLAR, DIAMETRAL = 4.3, 0.0165, 0.0105
YOUNG, POISSON, DENSITY = 205e9, 0.29, 7850.0
SHEAR = YOUNG / (2 * (1 + POISSON))
SEAT, SEAT_MOMENT = 1e9, 1e5
VISCOSITY = 0.009
LAND, TIP = 0.061, 0.099
RING = 720
GEAR_OFFSET, PRESSURE_ANGLE = 0.3 * WIDTH, np.radians(20.0)
TWIST_DAMPING = 0.01

ROTOR_BEARING = (0.70 * R, 0.75 * WIDTH)
MAIN_BEARING = (min(0.43 * R, 2 * (0.345 * R - ECC)), 0.38 * R)


def throws(count):
    return [0, 180, 90, 270] if count == 4 else [360 * k // count for k in range(count)]


class Shaft:
    """Pieces (length, diameter), discs (z, mass, polar, diametral), unbalances (z, complex),
    mains and stations of the rotors (z)."""

    def __init__(self, count):
        pitch = WIDTH + 0.5 * R
        front = 0.75 * R
        first = front + 0.12 * R + WIDTH / 2
        self.stations = first + pitch * np.arange(count)
        rear = self.stations[-1] + WIDTH / 2 + 0.12 * R
        weights = np.array([0.35 * R, rear + 0.40 * R])
        flywheel = weights[1] + 0.15 * R
        end = flywheel + 0.35 * R
        self.mains = [front, rear]
        if count >= 3:
            self.mains.insert(1, self.stations[count // 2] - pitch / 2)
        thick, length = ROTOR_BEARING
        edges, diameters = [0.0], []
        for k, z in enumerate(self.stations):
            diameters += [MAIN_BEARING[0] if k == 0 else 0.53 * R, thick]
            edges += [z - length / 2, z + length / 2]
        self.diameters = np.array(diameters + [MAIN_BEARING[0]])
        self.edges = np.array(edges + [end])
        self.throws = throws(count)
        pulls = MASS * ECC * np.exp(1j * np.radians(self.throws))
        # Two planes against the rotors: no force, no moment.
        planes = np.linalg.solve(np.vstack([np.ones(2), weights]).astype(complex),
                                 -np.array([pulls.sum(), (pulls * self.stations).sum()]))
        self.unbalances = list(zip(weights, planes)) + list(zip(self.stations, pulls))
        self.discs = []
        for z, pull in zip(weights, planes):
            mass = abs(pull) / (R / 2)
            polar = 1.2 * mass * (R / 2) ** 2
            self.discs.append((z, mass, polar, 0.55 * polar))
        mass = 1.2 * MASS
        self.discs.append((flywheel, mass, mass * R**2, 0.52 * mass * R**2))
