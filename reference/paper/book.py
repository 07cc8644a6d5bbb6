"""Readings in build books: every length that was read on a rotor is in the book of its build.

    python book.py BINARY SHOP BUILD...

`tables` gives the readings as they were written; each is turned into millimetres in exact fractions,
printed here as papers print it, and must stand in the text of the book with the other system's
figure right behind it.
"""

import csv
import subprocess
import sys
import tempfile
from pathlib import Path

from pdf import text_of
from tables import plain
from units import amount, length_mm, size


def check(binary, shop, builds):
    figures = 0
    missing = []
    with tempfile.TemporaryDirectory() as work:
        for build in builds:
            out = Path(work) / str(build)
            for command in ("tables", "book"):
                subprocess.run([binary, command, str(shop), "--build", str(build), "--out", str(out)],
                               check=True, capture_output=True)
            text = text_of(out / "build-book.pdf")
            with open(out / "readings.csv", newline="", encoding="utf-8") as file:
                for row in csv.DictReader(file):
                    mm = length_mm(plain(row["value"]))
                    if row["part"] != "rotor" or mm is None:
                        continue
                    figures += 1
                    shown = size if row["station"].split(".")[0].endswith("width") else amount
                    if shown(mm, "metric") not in text and shown(mm, "inch") not in text:
                        missing.append(f"build {build}: {row['serial']} {row['stage']} {row['station']} {row['value']}")
    if missing:
        sys.exit("\n".join(missing[:20]))
    return figures


if __name__ == "__main__":
    print(f"{check(sys.argv[1], sys.argv[2], sys.argv[3:])} readings stand in their books")
