"""Writes values.csv, from trial_runs.py, and assemblies.csv, from assemblies.py. See SOURCE.md."""

import csv
import pathlib

import assemblies
import trial_runs


def write(name, header, rows):
    with pathlib.Path(__file__).with_name(name).open("w", newline="") as out:
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(header)
        for row in rows:
            writer.writerow(list(row) + [""] * (len(header) - len(row)))


if __name__ == "__main__":
    write("values.csv", ["set", "quantity", "number", "re", "im"], trial_runs.rows())
    write("assemblies.csv", ["assembly", "part", "number", "a", "b", "c", "d", "e"], assemblies.rows())
