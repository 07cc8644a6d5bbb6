"""Writes values.csv: shafts by the differential equations of the beam. See SOURCE.md.

No elements: Timoshenko's beam is a linear system of ordinary differential equations along each
stretch, harmonic by harmonic, solved with the matrix exponential. Forces and moments of discs,
supports and loads are jumps. The free front end leaves deflection and slope open, the free rear
end closes them.
"""

import cmath
import csv
import functools
import math
import pathlib

import numpy as np
from scipy.linalg import expm
from scipy.optimize import brentq

import shafts

LENGTH = 0.1  # m, and
RIGID = 1e5  # N m2: scales that bring deflection, slope, moment and shear to one size

DECIMALS = {
    "deflection_um": 7,
    "slope_urad": 6,
    "shaft_slope_urad": 6,
    "reaction_n": 4,
    "reaction_n_m": 6,
    "moment_before_n_m": 6,
    "moment_behind_n_m": 6,
    "shear_before_n": 4,
    "shear_behind_n": 4,
    "nm_per_force": 8,
    "nrad_per_force": 7,
    "nm_per_moment": 7,
    "nrad_per_moment": 6,
    "critical_forward_rad_s": 5,
    "critical_backward_rad_s": 5,
}


def section(stretch):
    _, outer, inner, young, poisson, density = stretch
    area = math.pi / 4 * (outer**2 - inner**2)
    second = math.pi / 64 * (outer**4 - inner**4)
    m2 = (inner / outer) ** 2
    shear = 6 * (1 + poisson) * (1 + m2) ** 2
    shear /= (7 + 6 * poisson) * (1 + m2) ** 2 + (20 + 12 * poisson) * m2
    gka = young / (2 * (1 + poisson)) * shear * area
    return young * second, gka, density * area, density * second


@functools.cache
def along(stretch, length, n, omega):
    """Carries (u, s L, M L^2/B, Q L^3/B) over a length: u' = s + Q/(kGA), s' = M/(EI),
    M' = -Q + (2n - n^2) w^2 rI s (turning inertia and gyroscopic moment), Q' = -n^2 w^2 rA u."""
    ei, gka, ra, ri = section(stretch)
    w2 = omega**2
    a = np.zeros((4, 4))
    a[0, 1] = 1.0
    a[0, 3] = RIGID / LENGTH**2 / gka
    a[1, 2] = RIGID / ei
    a[2, 3] = -1.0
    a[2, 1] = (2 * n - n * n) * w2 * ri * LENGTH**2 / RIGID
    a[3, 0] = -n * n * w2 * ra * LENGTH**4 / RIGID
    return expm(a * (length / LENGTH))


def places(parts):
    """Everything that sits at a place, and where sections change."""
    total = sum(s[0] for s in parts["stretch"])
    found = {0.0, total}
    for kind in ("disc", "unbalance", "support", "station"):
        found |= {row[0] for row in parts.get(kind, [])}
    edges = np.cumsum([0.0] + [s[0] for s in parts["stretch"]])
    for edge in edges:
        if not any(abs(edge - p) < 1e-9 for p in found):
            found.add(edge)
    return sorted(found), edges


def solve(parts, omega, n, loads):
    """Solution of the pair (u_n, conj(u_-n)) with loads {place: (F_n, F_-n, m_n, m_-n)}.

    Returns (at, states): per place the scaled state in front of and behind it, 8 numbers: the four
    of u_n, the four of conj(u_-n).
    """
    spots, edges = places(parts)
    # Columns: the four open values at the front end, and the particular solution.
    state = np.zeros((8, 5), complex)
    state[0, 0] = state[1, 1] = state[4, 2] = state[5, 3] = 1.0
    kept = []
    w2 = omega**2
    here = 0.0
    for spot in spots:
        if spot > here:
            middle = 0.5 * (spot + here)
            stretch = parts["stretch"][int(np.searchsorted(edges, middle)) - 1]
            state = np.vstack([
                along(tuple(stretch), spot - here, n, omega) @ state[:4],
                along(tuple(stretch), spot - here, -n, omega) @ state[4:],
            ])
        before = state.copy()
        force = np.zeros((2, 5), complex)  # on the shaft, for u_n and for the conjugate of u_-n
        moment = np.zeros((2, 5), complex)
        u = state[[0, 4]]
        s = state[[1, 5]] / LENGTH
        for at, mass, polar, diametral in parts.get("disc", []):
            if abs(at - spot) < 1e-9:
                force += n * n * w2 * mass * u
                moment[0] += (n * n * diametral - n * polar) * w2 * s[0]
                moment[1] += (n * n * diametral + n * polar) * w2 * s[1]
        for support in parts["support"]:
            if abs(support[0] - spot) < 1e-9:
                k, c, km, cm = shafts.matrices(support)
                force -= turned(k + 1j * n * omega * c) @ u
                moment -= turned(km + 1j * n * omega * cm) @ s
        for at, (fp, fm, mp, mm) in loads:
            if abs(at - spot) < 1e-9:
                force[:, 4] += [fp, np.conj(fm)]
                moment[:, 4] += [mp, np.conj(mm)]
        state[[3, 7]] -= force * LENGTH**3 / RIGID
        state[[2, 6]] -= moment * LENGTH**2 / RIGID
        kept.append((spot, before, state.copy()))
        here = spot
    free = state[[2, 3, 6, 7]]
    open_values = np.append(np.linalg.solve(free[:, :4], -free[:, 4]), 1.0)
    return [(spot, before @ open_values, after @ open_values) for spot, before, after in kept]


def turned(k):
    """A matrix on real amplitudes (x, y) of e^{iwt}, as it acts on (u_n, conj(u_-n)):
    x = u_n + conj(u_-n), y = -i (u_n - conj(u_-n)) up to the same factor on both sides."""
    to_xy = np.array([[1, 1], [-1j, 1j]])
    return np.linalg.inv(to_xy) @ k @ to_xy


def loads_of(parts, n, omega):
    found = []
    for station, harmonic, fre, fim, mre, mim in parts.get("load", []):
        at = parts["station"][int(station)][0]
        for sign, slot in ((1, 0), (-1, 1)):
            # The constant part is in both lines, as itself and as its conjugate.
            if harmonic == sign * n:
                row = [0j, 0j, 0j, 0j]
                row[slot] = fre + 1j * fim
                row[2 + slot] = mre + 1j * mim
                found.append((at, row))
    if n == 1:
        for at, amount, angle in parts.get("unbalance", []):
            found.append((at, [amount * omega**2 * cmath.exp(1j * (angle + math.pi / 2)), 0, 0, 0]))
    return found


def response(parts, omega):
    """Per place: harmonics of u, s, and of moment and shear before and behind it."""
    top = max([1] + [int(abs(row[1])) for row in parts.get("load", [])])
    motion = {}
    for n in range(top + 1):
        scale = np.array([1.0, LENGTH, LENGTH**2 / RIGID, LENGTH**3 / RIGID])
        for spot, before, after in solve(parts, omega, n, loads_of(parts, n, omega)):
            store = motion.setdefault(spot, {})
            store[n] = (before[:4] / scale, after[:4] / scale)
            if n:
                store[-n] = (np.conj(before[4:]) / scale, np.conj(after[4:]) / scale)
    return motion


def criticals(parts, top, sign):
    """Synchronous whirls without damping, supports isotropic: where the free rear end closes."""

    def gap(omega):
        state = np.eye(4)[:, :2]
        spots, edges = places(parts)
        here = 0.0
        for spot in spots:
            if spot > here:
                middle = 0.5 * (spot + here)
                stretch = parts["stretch"][int(np.searchsorted(edges, middle)) - 1]
                state = along(tuple(stretch), spot - here, sign, omega) @ state
            u, s = state[0].copy(), state[1] / LENGTH
            for at, mass, polar, diametral in parts.get("disc", []):
                if abs(at - spot) < 1e-9:
                    state[3] -= omega**2 * mass * u * LENGTH**3 / RIGID
                    state[2] -= (diametral - sign * polar) * omega**2 * s * LENGTH**2 / RIGID
            for support in parts["support"]:
                if abs(support[0] - spot) < 1e-9:
                    k, _, km, _ = shafts.matrices(support)
                    state[3] += k[0, 0] * u * LENGTH**3 / RIGID
                    state[2] += km[0, 0] * s * LENGTH**2 / RIGID
            here = spot
        return state[2, 0] * state[3, 1] - state[2, 1] * state[3, 0]

    grid = np.linspace(1.0, top, 150)
    values = [gap(w) for w in grid]
    return [
        brentq(gap, a, b, xtol=1e-10, rtol=1e-14)
        for a, b, fa, fb in zip(grid, grid[1:], values, values[1:])
        if fa * fb < 0
    ]


def main():
    rows = []

    def put(shaft, omega, quantity, at, n, value):
        # Fixed decimals, so that what is nothing but rounding prints as nothing everywhere.
        decimals = DECIMALS[quantity]
        value = complex(value)
        parts = [f"{round(v, decimals) + 0.0:.{decimals}f}" for v in (value.real, value.imag)]
        rows.append([shaft, f"{omega:g}", quantity, f"{at:g}", f"{n:g}", *parts])

    for name, parts in shafts.read().items():
        for omega in (0.0, 400.0, 1047.0):
            motion = response(parts, omega)
            for station in (row[0] for row in parts["station"]):
                for n, (before, _) in sorted(motion[station].items()):
                    if omega or n == 0:
                        put(name, omega, "deflection_um", station, n, before[0] * 1e6)
                        put(name, omega, "slope_urad", station, n, before[1] * 1e6)
            for support in parts["support"]:
                at = support[0]
                k, c, km, cm = shafts.matrices(support)
                for n in sorted(motion[at]):
                    pair = [motion[at][n][0], np.conj(motion[at][-n][0])]
                    force = -turned(k + 1j * n * omega * c) @ [pair[0][0], pair[1][0]]
                    moment = -turned(km + 1j * n * omega * cm) @ [pair[0][1], pair[1][1]]
                    if omega or n == 0:
                        put(name, omega, "reaction_n", at, n, force[0])
                        put(name, omega, "reaction_n_m", at, n, moment[0])
            if omega:
                for theta in (0.0, 77.0, 200.0):
                    turn = math.radians(theta)
                    for at in [row[0] for row in parts["station"]] + [
                        row[0] for row in parts["support"]
                    ]:
                        sums = [
                            sum(v[side] * cmath.exp(1j * n * turn) for n, v in motion[at].items())
                            for side in (0, 1)
                        ]
                        put(name, omega, "moment_before_n_m", at, theta, sums[0][2])
                        put(name, omega, "moment_behind_n_m", at, theta, sums[1][2])
                        put(name, omega, "shear_before_n", at, theta, sums[0][3])
                        put(name, omega, "shear_behind_n", at, theta, sums[1][3])
                        into = cmath.exp(-1j * (turn + math.pi / 2))
                        put(name, omega, "shaft_slope_urad", at, theta, sums[0][1] * into * 1e6)
        # Flexibility: at = cause's station + axis/10, n = answer's station.
        for cause, spot in enumerate(row[0] for row in parts["station"]):
            for axis, unit in enumerate((1.0, 1j)):
                for kind in ("force", "moment"):
                    row = [unit, unit, 0, 0] if kind == "force" else [0, 0, unit, unit]
                    states = {at: v for at, v, _ in solve(parts, 0.0, 0, [(spot, row)])}
                    for answer, place in enumerate(r[0] for r in parts["station"]):
                        v = states[place]
                        where = cause + axis / 10
                        put(name, 0.0, f"nm_per_{kind}", where, answer, v[0] * 1e9)
                        put(name, 0.0, f"nrad_per_{kind}", where, answer, v[1] / LENGTH * 1e9)
    parts = shafts.read()["two"]
    for sign, sense in ((1, "forward"), (-1, "backward")):
        for order, omega in enumerate(criticals(parts, 12000.0, sign), 1):
            put("two", 0.0, f"critical_{sense}_rad_s", 0.0, order, omega)

    path = pathlib.Path(__file__).with_name("values.csv")
    with path.open("w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["shaft", "omega_rad_s", "quantity", "at", "harmonic_or_deg", "real", "imag"])
        out.writerows(rows)


if __name__ == "__main__":
    main()
