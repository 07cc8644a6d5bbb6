"""Writes values.csv: engines at speed, the whole way in NumPy and SciPy. See SOURCE.md."""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before NumPy is loaded; small matrices

import csv
import pathlib
import sys

import numpy as np

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))

import engine
import model

CASES = [
    # name, rotors, rad/s, Pa, m, m, gas
    ("two boosted", 2, 1000.0, 90e3, 110e-6, 127e-6, 1.0),
    ("two without gas", 2, 1000.0, 90e3, 110e-6, 127e-6, 0.0),
    ("two tight", 2, 1000.0, 90e3, 60e-6, 127e-6, 1.0),
    ("two flat", 2, 1000.0, 90e3, 110e-6, 0.0, 1.0),
    ("two slow", 2, 600.0, 0.0, 110e-6, 127e-6, 1.0),
    ("one", 1, 850.0, 50e3, 80e-6, 76e-6, 1.0),
    ("one tight", 1, 1050.0, 120e3, 35e-6, 76e-6, 1.0),
    ("three", 3, 950.0, 60e3, 110e-6, 127e-6, 1.0),
    ("three tight", 3, 950.0, 60e3, 45e-6, 0.0, 1.0),
]
ANGLES = range(0, 360, 40)


def main():
    rows = []
    for case, (one, films, leans, free, true, touches) in zip(CASES, model.points(CASES)):
        given = [case[0], case[1], *(f"{value:g}" for value in case[2:])]

        def put(quantity, rotor, angle, value, decimals):
            rows.append([*given, quantity, rotor, angle, f"{value:.{decimals}f}"])

        put("touches", "", "", touches, 0)
        for rotor in range(case[1]):
            for angle in ANGLES:
                for kind, name in enumerate(("inertia", "gas", "mesh")):
                    slope = one.slopes[kind, rotor, angle] * 1e6
                    put(f"slope_{name}_x_urad", rotor, angle, slope.real, 2)
                    put(f"slope_{name}_y_urad", rotor, angle, slope.imag, 2)
                put("free_lean_x_urad", rotor, angle, leans[angle, rotor].real * 1e6, 2)
                put("free_lean_y_urad", rotor, angle, leans[angle, rotor].imag * 1e6, 2)
                put("film_over_clearance", rotor, angle, 1 - abs(films[0][rotor, angle]), 4)
            for when, answers in (("free", free[rotor]), ("true", true[rotor])):
                lean, worst, centred, play, land, tip = answers
                put(f"{when}_lean_urad", rotor, "", lean * 1e6, 2)
                put(f"{when}_worst_float_um", rotor, "", worst * 1e6, 3)
                put(f"{when}_centred_um", rotor, "", centred * 1e6, 3)
                put(f"{when}_least_float_um", rotor, "", play * 1e6, 3)
                put(f"{when}_land_n", rotor, "", land, 1)
                put(f"{when}_tip_n", rotor, "", tip, 1)
        for main, rates in enumerate(one.rates):
            for name, matrix in zip(("stiffness_mn_m", "damping_kn_s_m"), rates):
                for axis in range(2):
                    value = matrix[axis, axis] / (1e6 if name[0] == "s" else 1e3)
                    put(f"main_{name}_{'xy'[axis]}", main, "", value, 3)
    path = pathlib.Path(__file__).with_name("values.csv")
    with path.open("w", newline="") as out:
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(["case", "rotors", "omega_rad_s", "boost_pa", "clearance_m", "step_m", "gas",
                         "quantity", "rotor", "angle_deg", "value"])
        writer.writerows(rows)


if __name__ == "__main__":
    main()
