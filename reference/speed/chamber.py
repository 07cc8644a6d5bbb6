"""Gas of one chamber by reference/gas, and what it does to rotor, gear and seals.

Arrays run over the degrees of rotor 1's shaft angle, 1080 of them unless said.
"""

import importlib.util
import pathlib

import numpy as np

import engine

ATMOSPHERE = 101325.0
ORDERS = 30
THETA = np.arange(1080)


def _gas():
    path = pathlib.Path(__file__).resolve().parent.parent / "gas" / "make.py"
    spec = importlib.util.spec_from_file_location("gas_make", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def hard_cycle(omega, boost):
    """Pressure at each degree of a hard cycle on the gas of the mean one."""
    gas = _gas()
    c = {**gas.BASE, "rpm": omega * 30 / np.pi, "p_in": ATMOSPHERE + boost,
         "p_ex": ATMOSPHERE + 8e3 + 0.9 * max(boost, 0.0)}
    chamber = gas.Chamber(c)
    fresh, burnt = c["p_in"] * chamber.volume(-200) / (gas.R_GAS * c["t_in"]), 0.0
    t, t_exhaust = c["t_in"], 1000.0
    for _ in range(40):
        y, _ = gas.follow(c, chamber, fresh, burnt, t, t_exhaust, [], False)
        new = (y[1], y[2], y[0], y[4] / y[3])
        change = max(abs(a - b) / (abs(a) + 1e-5 * fresh)
                     for a, b in zip(new, (fresh, burnt, t, t_exhaust)))
        fresh, burnt, t, t_exhaust = new
        if change < 1e-6:
            break
    else:
        raise SystemExit("the mean cycle does not repeat")
    hard = {**c, "spark": c["spark"] + 6, "burn": c["burn"] * 0.82, "heat": c["heat"] * 1.03}
    _, found = gas.follow(hard, chamber, fresh, burnt, t, t_exhaust, list(range(-200, 880)), False)
    pressure = np.empty(1080)
    for angle, p in found.items():
        pressure[angle % 1080] = p
    return pressure


class RotorGas:
    """Three chambers alike, over the crankcase's pressure."""

    def __init__(self, pressure):
        over = pressure - ATMOSPHERE
        self.over = np.array([np.roll(over, 360 * k) for k in range(3)])
        own = (THETA - 360 * np.arange(3)[:, None]) % 1080
        self.outwards = np.exp(1j * np.radians(90 + own / 3))
        area = np.sqrt(3) * engine.R * engine.WIDTH
        self.force = -(self.over * area * self.outwards).sum(0)
        # Moment of that force on the throw.
        throw = engine.ECC * np.exp(1j * np.radians(90 + THETA))
        self.torque = (np.conj(throw) * self.force).imag

    def drag(self):
        r = engine.R
        springs = 3 * 45.0 * r + 6 * 25.0 * 0.78 * r + 200.0 * 0.62 * r
        apex = 0.5 * 0.003 * engine.WIDTH * abs(self.over - np.roll(self.over, -1, 0)).sum(0)
        side = 0.001 * 1.4 * r * abs(self.over).sum(0)
        return 0.06 * (springs + apex * r + side * 0.78 * r)

    def side_moment(self):
        area = 0.006 * np.sqrt(3) * engine.R
        radius = engine.R / 6 + (engine.R - 2 * engine.ECC) / 1.5
        return -(0.1 * area * radius * self.over * self.outwards).sum(0)


def accelerations(shaft, gas, omega):
    """Angular acceleration of each journal, by a dense solution order by order."""
    ze = [(z, engine.MASS * engine.ECC**2 + engine.POLAR / 9) for z in shaft.stations]
    bodies = sorted(ze + [(d[0], d[2]) for d in shaft.discs if d[2] > 0])
    z = np.array([body[0] for body in bodies])
    inertia = np.array([body[1] for body in bodies])

    def twisted(place):
        reach = np.clip(place - shaft.edges[:-1], 0, np.diff(shaft.edges))
        return (reach / (engine.SHEAR * np.pi / 32 * shaft.diameters**4)).sum()

    between = 1 / np.diff([twisted(place) for place in z])
    n = len(z)
    k = np.zeros((n, n))
    for i, spring in enumerate(between):
        k[i : i + 2, i : i + 2] += spring * np.array([[1, -1], [-1, 1]])
    root = np.sqrt(inertia)
    squares, shapes = np.linalg.eigh(k / np.outer(root, root))
    # Damping matrix with the wanted share in each mode.
    own = 2 * engine.TWIST_DAMPING * np.sqrt(np.maximum(squares, 0))
    c = np.outer(root, root) * (shapes * own) @ shapes.T
    where = [int(np.argmin(abs(z - station))) for station in shaft.stations]
    torque = np.zeros((n, 1080))
    for i, throw in zip(where, shaft.throws):
        torque[i] += np.roll(gas.torque, -throw)
    spectrum = np.fft.rfft(torque, axis=1)
    kept = np.zeros_like(spectrum)
    order = np.arange(1, 3 * ORDERS + 1)
    nu = (order * omega / 3)[:, None, None]
    dynamic = k - nu**2 * np.diag(inertia) + 1j * nu * c
    twist = np.linalg.solve(dynamic, spectrum[:, order].T[:, :, None])[:, :, 0]
    kept[:, order] = (-(nu[:, :, 0] ** 2) * twist).T
    return np.fft.irfft(kept, 1080, axis=1)[where]


def mesh(shaft, gas, omega):
    """Force of the mesh on each rotor over a turn."""
    found = []
    for alpha, throw in zip(accelerations(shaft, gas, omega), shaft.throws):
        torque = engine.POLAR * alpha / 3 + np.roll(gas.drag(), -throw)
        tangential = torque / (3 * engine.ECC)
        u = np.exp(1j * np.radians(90 + THETA + throw))
        spread = np.tan(engine.PRESSURE_ANGLE)
        found.append((-1j * tangential * u - abs(tangential) * spread * u)[:360])
    return np.array(found)
