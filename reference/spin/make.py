"""Writes values.csv: a shaft in torsion followed in time with SciPy. See SOURCE.md.

The product answers order by order and mode by mode. Here the equations of motion are followed in
time through a whole period of three turns, from a start that is found so that the motion repeats.
"""

import csv
import math
import pathlib

import numpy as np
from scipy.integrate import solve_ivp
from scipy.linalg import eigh, expm

CASES = {
    # inertias kg m2, stiffnesses N m/rad, speed rad/s, damping ratio, stations of rotors, load
    "two_rotor": ([0.004, 0.0031, 0.0031, 0.09], [9e4, 1.6e5, 1.1e5], 1026.0, 0.02, (1, 2), 3),
    "three_rotor": ([0.002, 0.003, 0.0035, 0.003, 0.05], [6e4, 9e4, 9e4, 1.4e5], 880.0, 0.05,
                    (1, 2, 3), 4),
    "near_resonance": ([0.0031, 0.0031, 0.08], [2.6e4, 1.8e4], 800.0, 0.03, (0, 1), 2),
}
ANGLES = [0, 40, 95, 180, 211, 300, 377, 460, 540, 633, 720, 811, 900, 1000]
ECCENTRICITY, POLAR, DRAG = 0.015, 0.019, 7.0


def torque(theta):
    """Torque of rotor 1 at shaft angle theta, radians."""
    return (190 + 400 * math.sin(theta) + 150 * math.cos(2 * theta) + 60 * math.cos(theta / 3)
            + 20 * math.sin(7 * theta))


def main():
    rows = []
    for name, (inertia, stiffness, omega, zeta, rotors, load) in CASES.items():
        n = len(inertia)
        m = np.diag(inertia)
        k = np.zeros((n, n))
        for i, s in enumerate(stiffness):
            k[i : i + 2, i : i + 2] += s * np.array([[1, -1], [-1, 1]])
        squares, shapes = eigh(k, m)
        natural = np.sqrt(np.maximum(squares, 0))
        natural[0] = 0
        damping = m @ shapes @ np.diag(2 * zeta * natural) @ shapes.T @ m
        for i in range(1, n):
            rows.append((name, "frequency_hz", i, 0, natural[i] / (2 * math.pi)))
        lags = [2 * math.pi * j / len(rotors) for j in range(len(rotors))]
        mean = 190.0 * len(rotors)
        difference = np.zeros((n - 1, n))
        for i in range(n - 1):
            difference[i, i : i + 2] = [1, -1]
        inverse = np.linalg.inv(m)

        def push(theta):
            f = np.zeros(n)
            for station, lag in zip(rotors, lags):
                f[station] += torque(theta - lag)
            f[load] -= mean
            return f

        # Unknowns: twist between stations, and speed above the mean.
        def accelerate(twist, speed, theta):
            spring = -difference.T @ (np.array(stiffness) * twist)
            return inverse @ (push(theta) + spring - damping @ speed)

        def motion(t, y):
            twist, speed = y[: n - 1], y[n - 1 :]
            return np.concatenate([difference @ speed, accelerate(twist, speed, omega * t)])

        period = 6 * math.pi / omega

        def run(start, times=None):
            return solve_ivp(motion, (0, period), start, method="DOP853", rtol=1e-12, atol=1e-12,
                             t_eval=times)

        size = 2 * n - 1
        rest = run(np.zeros(size)).y[:, -1]
        # What a start adds to the motion from rest goes through the period by itself.
        matrix = np.zeros((size, size))
        matrix[: n - 1, n - 1 :] = difference
        matrix[n - 1 :, : n - 1] = -inverse @ difference.T @ np.diag(stiffness)
        matrix[n - 1 :, n - 1 :] = -inverse @ damping
        map_ = expm(matrix * period)
        start = np.linalg.lstsq(np.eye(size) - map_, rest, rcond=1e-9)[0]
        # The shaft's own mean speed is free: taken out by the mean of the first station.
        fine = run(start, np.linspace(0, period, 10801))
        start[n - 1 :] -= np.mean(fine.y[n - 1, :-1])
        assert np.max(np.abs(fine.y[:, -1] - fine.y[:, 0])) < 1e-7
        speeds = fine.y[n - 1 :] - np.mean(fine.y[n - 1, :-1])
        every = run(start, [math.radians(a) / omega for a in ANGLES])
        for station in range(n):
            ripple = speeds[station, ::10]
            rows.append((name, "fluctuation", station, 0, (ripple.max() - ripple.min()) / omega))
        for i, angle in enumerate(ANGLES):
            y = every.y[:, i]
            twist, speed = y[: n - 1], y[n - 1 :]
            alpha = accelerate(twist, speed, math.radians(angle))
            for station in range(n):
                rows.append((name, "speed_rad_s", station, angle, speed[station]))
                rows.append((name, "acceleration_rad_s2", station, angle, alpha[station]))
            for section in range(n - 1):
                rows.append((name, "section_n_m", section, angle, stiffness[section] * twist[section]))
            # The gear: a rotor taken as a body, its mesh pulled at a point found by turning.
            for station, lag in zip(rotors, lags):
                phi = math.pi / 2 + math.radians(angle) - lag
                centre = ECCENTRICITY * np.array([math.cos(phi), math.sin(phi)])
                contact = centre * -2
                arm = contact - centre
                pull = POLAR * alpha[station] / 3 + DRAG
                # Least force across the arm that makes this moment, and the teeth's own push away
                # from the stationary gear's centre.
                across = pull / (arm @ arm) * np.array([-arm[1], arm[0]])
                away = contact / np.linalg.norm(contact)
                whole = across + np.linalg.norm(across) * math.tan(math.radians(20)) * away
                rows.append((name, "mesh_x_n", station, angle, whole[0]))
                rows.append((name, "mesh_y_n", station, angle, whole[1]))
    path = pathlib.Path(__file__).with_name("values.csv")
    with path.open("w", newline="") as out:
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(["case", "quantity", "station", "angle_deg", "value"])
        for case, quantity, station, angle, value in rows:
            digits = {"fluctuation": 8, "frequency_hz": 6, "speed_rad_s": 5,
                      "acceleration_rad_s2": 1}.get(quantity, 2)
            writer.writerow([case, quantity, station, angle, f"{value:.{digits}f}"])


if __name__ == "__main__":
    main()
