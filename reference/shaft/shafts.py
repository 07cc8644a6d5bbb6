"""Reads shafts.csv: the invented shafts that the references are computed for. See SOURCE.md."""

import csv
import pathlib

import numpy as np


def read():
    """Name -> dict of part -> list of arrays of numbers, in the order of the file."""
    shafts = {}
    with pathlib.Path(__file__).with_name("shafts.csv").open(newline="") as file:
        for row in csv.DictReader(file):
            parts = shafts.setdefault(row["shaft"], {})
            numbers = np.array([float(word) for word in row["values"].split()])
            parts.setdefault(row["part"], []).append(numbers)
    return shafts


def matrices(support):
    """Stiffness, damping, moment stiffness, moment damping of a support's row."""
    return [support[1 + 4 * k : 5 + 4 * k].reshape(2, 2) for k in range(4)]
