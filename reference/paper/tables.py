"""Tables read by other programs: workbook, CSV and build file say the same.

    python tables.py BINARY

Every example's `tables`: the workbook as openpyxl reads it is the CSV as Python's own reader has it,
cell by cell and type by type; the readings are those of the build file, read here with another
TOML reader and turned into millimetres in exact fractions; the plan is that of `plan --json`. Then
a build of a shop's file whose names begin like formulas, with a reading that was corrected.
"""

import csv
import datetime
import json
import subprocess
import sys
import tempfile
import tomllib
import zipfile
from collections import Counter
from fractions import Fraction
from pathlib import Path

import openpyxl

from units import MM, force_n, length_mm, mass_g

ROOT = Path(__file__).resolve().parents[2]
FORMULA = ("=", "+", "-", "@", "\t", "\r")
# The table keeps nanometres, JSON picometres.
KEPT_MM = Fraction(1, 2_000_000) + Fraction(1, 10**9)
NUMBERS = ("_mm", "_in", "_g", "_n", "_deg_c")
WHOLE = ("tip", "reading", "build", "revision", "supersedes", "superseded_by")
EVIL = {"R-114": '=HYPERLINK("x")', "R-97": "+97", "H-31": "-31", "H-32": "'@32", "Merganser, boat 7": "=1+1"}


def run(binary, *words, status=(0,), cwd=None):
    done = subprocess.run([binary, *map(str, words)], capture_output=True, text=True, cwd=cwd)
    assert done.returncode in status, f"{words}: {done.returncode} {done.stderr}"
    return done.stdout


def plain(cell):
    """A cell of CSV without the apostrophe that guards it, as docs/CONVENTIONS.md says."""
    return cell[1:] if cell.startswith("'") and cell.lstrip("'").startswith(FORMULA) else cell


def read_csv(path):
    with open(path, newline="", encoding="utf-8") as file:
        return list(csv.reader(file))


def same_as_workbook(folder):
    """Holds each CSV of a folder against its sheet; gives how many cells were held."""
    path = folder / "tables.xlsx"
    book = openpyxl.load_workbook(path)
    names = {file.stem for file in folder.glob("*.csv")}
    assert set(book.sheetnames) == names, f"{path}: {book.sheetnames}, {names}"
    assert book.properties.created == datetime.datetime(2000, 1, 1), book.properties.created
    with zipfile.ZipFile(path) as packed:
        assert packed.testzip() is None
        assert not any("macro" in n.lower() or "vba" in n.lower() for n in packed.namelist())
        assert not any(b"<f>" in packed.read(n) for n in packed.namelist()), "a formula"
    held = 0
    for sheet in book.worksheets:
        rows = read_csv(folder / f"{sheet.title}.csv")
        assert sheet.freeze_panes == "A2", f"{sheet.title}: frozen at {sheet.freeze_panes}"
        assert sheet.max_row == len(rows) and sheet.max_column == len(rows[0]), sheet.dimensions
        for row, cells in zip(rows, sheet.iter_rows()):
            for head, text, cell in zip(rows[0], row, cells):
                held += 1
                where = f"{sheet.title}!{cell.coordinate}"
                if cell.row == 1:
                    assert cell.value == text and cell.font.b, where
                elif text == "":
                    assert cell.value is None, where
                elif head.endswith(NUMBERS) or head in WHOLE:
                    assert cell.data_type == "n" and float(text) == cell.value, f"{where}: {text}, {cell.value}"
                    # Numbers are numbers in CSV too: none is guarded or in quotes.
                    assert text.lstrip("-").replace(".", "", 1).isdigit(), f"{where}: {text}"
                elif head.endswith("_utc"):
                    moment = datetime.datetime.strptime(text, "%Y-%m-%dT%H:%M:%SZ")
                    assert cell.is_date and cell.value == moment, f"{where}: {text}, {cell.value}"
                else:
                    assert cell.data_type == "s" and cell.value == plain(text), f"{where}: {text!r}, {cell.value!r}"
                    assert not text.startswith(FORMULA), f"{where}: {text!r}"
                    if plain(text).startswith(FORMULA):
                        assert cell.quotePrefix, f"{where}: a formula when it is edited"
    return held


# Kinds of parts that have cards, as the build file and as the tables call them.
CARDS = {"rotor_housing": "rotor housing", "side_housing": "side housing", "rotor": "rotor", "shaft": "shaft",
         "stationary_gear": "stationary gear", "bearing": "bearing", "seals": "seals set"}


def readings_of(build):
    """Every reading of a build file: part, serial, stage, station, as written."""
    lists = ["land_width", "gear_step", "plain_step", "tip_width", "gear_runout", "plain_runout"]

    def of(kind, serial, stage, table, keys):
        for key in keys:
            for number, value in enumerate(table.get(key, []), 1):
                yield kind, serial, stage, f"{key}.{number}", value

    for rotor in build.get("rotor", []):
        for stage, table in [("before", rotor), ("after", rotor.get("after", {}))]:
            yield from of("rotor", rotor["serial"], stage, table, lists)
            if "mass" in table:
                yield "rotor", rotor["serial"], stage, "mass", table["mass"]
    for housing in build.get("housing", []):
        yield from of("rotor housing", housing["serial"], "before", housing, ["width"])
    for side in build.get("side_housing", []):
        for key in ["land_wear", "tip_wear"]:
            wear = side.get(key, {})
            for end, value in ([("", wear)] if isinstance(wear, str) else wear.items()):
                yield "side housing", side["serial"], "before", f"{key}.{end}".rstrip("."), value
    for key, kind in CARDS.items():
        for card in build.get("inspected", {}).get(key, []):
            for station, found in card.get("read", {}).items():
                yield kind, card["serial"], "before", station, found["value"]
    together = build.get("assembled", {})
    for shaft in together.get("shaft", []):
        for key in ("shaft_runout", "end_play", "spacer"):
            if key in shaft:
                yield "shaft", shaft["serial"], "after", key, shaft[key]
        for table, fit in (("main", "main_bearing_clearance"), ("rotor", "rotor_bearing_clearance")):
            for number, journal in shaft.get(table, {}).items():
                yield "shaft", shaft["serial"], "after", f"{fit}.{number}", journal["clearance"]
    for seals in together.get("seals", []):
        for number, rotor in seals.get("rotor", {}).items():
            for key, value in rotor.items():
                yield "seals set", seals["serial"], "after", f"{key}.{number}", value


def held_against_file(folder, build):
    rows = read_csv(folder / "readings.csv")
    heads = rows[0]
    found = Counter()
    for row in rows[1:]:
        cell = dict(zip(heads, map(plain, row)))
        value = cell["value"]
        found[cell["part"], cell["serial"], cell["stage"], cell["station"], value] += 1
        exact = length_mm(value)
        if value.replace(" ", "").isalpha():
            # What was seen is a word, and no number.
            assert all(cell[column] == "" for column in ("value_mm", "value_in", "value_g", "value_n")), value
        elif exact is None:
            column, number = ("value_n", force_n(value)) if mass_g(value) is None else ("value_g", mass_g(value))
            assert cell["value_mm"] == "" and abs(Fraction(cell[column]) - number) <= Fraction(1, 20000), value
        else:
            assert abs(Fraction(cell["value_mm"]) - exact) <= KEPT_MM, f"{value}: {cell['value_mm']}"
            assert abs(Fraction(cell["value_in"]) * MM["in"] - exact) <= Fraction(1, 5 * 10**6), value
    wanted = Counter(readings_of(build))
    assert found == wanted, f"{folder.name}: {found - wanted}, {wanted - found}"
    return sum(wanted.values())


def held_against_plan(folder, plan):
    rows = read_csv(folder / "plan.csv")
    table = {}
    for row in rows[1:]:
        cell = dict(zip(rows[0], map(plain, row)))
        table[cell["rotor"], cell["what"], cell["face"], cell["tip"]] = cell
    held = 0

    def same(rotor, what, face, tip, value, column="value_mm"):
        nonlocal held
        cell = table.get((rotor, what, face, str(tip) if tip else ""))
        assert cell is not None, f"{rotor}: no {what} {face} {tip}"
        assert abs(Fraction(cell[column]) - Fraction(str(value))) <= KEPT_MM, f"{rotor} {what} {face} {tip}: {cell[column]}, {value}"
        held += 1

    for rotor in plan["rotors"]:
        if rotor["readings"]["misreadings"]:
            assert (rotor["serial"], "readings", "", "") in table
            continue
        cut = rotor["planned"] and any(c > 0 for f in ("gear", "plain") for k in ("land_cut_mm", "tip_cut_mm") for c in rotor[f][k])
        again = "second " if rotor["measured"] else ""
        for face in ("gear", "plain"):
            for tip in (1, 2, 3):
                same(rotor["serial"], "step", face, tip, rotor[face]["step_mm"][tip - 1])
                if cut:
                    same(rotor["serial"], f"{again}land cut", face, tip, rotor[face]["land_cut_mm"][tip - 1])
                    same(rotor["serial"], f"{again}cut outside the land", face, tip, rotor[face]["tip_cut_mm"][tip - 1])
                    low, high = rotor["hold"]["step_mm"]
                    if low < high:
                        same(rotor["serial"], "step", face, tip, low, "hold_least_mm")
                        same(rotor["serial"], "step", face, tip, high, "hold_most_mm")
        for tip in (1, 2, 3):
            width = rotor["gear"]["land_height_mm"][tip - 1] + rotor["plain"]["land_height_mm"][tip - 1]
            cell = table[rotor["serial"], "land width", "", str(tip)]
            assert abs(float(cell["value_mm"]) - width) < 1e-6, f"{rotor['serial']}: land width {cell}, {width}"
            if cut:
                low, high = rotor["hold"]["land_width_mm"]
                same(rotor["serial"], "land width", "", tip, low, "hold_least_mm")
                same(rotor["serial"], "land width", "", tip, high, "hold_most_mm")
        same(rotor["serial"], "step needed, cold", "", 0, rotor["step_needed_mm"])
        same(rotor["serial"], "step needed, hot", "", 0, rotor["step_needed_hot_mm"])
    return held


def shop(binary, work):
    """A build of a shop's file whose names begin like formulas."""
    text = (ROOT / "examples" / "sprint-boat.toml").read_text()
    for name, evil in EVIL.items():
        text = text.replace(f'"{name}"', json.dumps(evil))
    text = text.replace('["0 um", "6 um", "2 um"]', '["-4 um", "2 um", "-2 um"]')
    (work / "evil.toml").write_text(text)
    run(binary, "import", "shop.db", "evil.toml", "--by", "=cmd", cwd=work)
    out = work / "evil"
    run(binary, "tables", "shop.db", "--build", 1, "--out", out, cwd=work)
    cells = same_as_workbook(out)
    readings = held_against_file(out, tomllib.loads(text))
    # Back in: nothing is new. With one reading changed: one is.
    said = run(binary, "import", "shop.db", out / "readings.csv", "--by", "=cmd", "--over", 1, cwd=work)
    assert "0 readings taken" in said, said
    changed = (out / "readings.csv").read_text().replace("'-4 um", "'-5 um", 1)
    (work / "changed.csv").write_text(changed)
    said = run(binary, "import", "shop.db", "changed.csv", "--by", "=cmd", "--over", 1, cwd=work)
    assert "1 reading taken" in said, said
    run(binary, "tables", "shop.db", "--build", 1, "--out", out, cwd=work)
    cells += same_as_workbook(out)
    rows = read_csv(out / "history.csv")
    history = [dict(zip(rows[0], map(plain, row))) for row in rows[1:]]
    assert len(history) == readings + 1
    gone = [row for row in history if row["superseded_by"]]
    assert len(gone) == 1 and gone[0]["value"] == "-4 um" and gone[0]["person"] == "=cmd", gone
    new = [row for row in history if row["supersedes"] == gone[0]["reading"]]
    assert len(new) == 1 and new[0]["value"] == "-5 um" and new[0]["reading"] == gone[0]["superseded_by"], new
    assert {row["build_name"] for row in history} == {"=1+1"}
    return cells, readings


def check(binary):
    cells = readings = figures = 0
    with tempfile.TemporaryDirectory() as work:
        work = Path(work)
        for file in sorted((ROOT / "examples").glob("*.toml")):
            out = work / file.stem
            run(binary, "tables", file, "--out", out, status=(0, 1))
            cells += same_as_workbook(out)
            readings += held_against_file(out, tomllib.loads(file.read_text()))
            plan = json.loads(run(binary, "plan", file, "--json", status=(0, 1)))
            figures += held_against_plan(out, plan)
        more_cells, more_readings = shop(binary, work)
    return cells + more_cells, readings + more_readings, figures


if __name__ == "__main__":
    cells, readings, figures = check(sys.argv[1])
    print(f"{cells} cells alike in workbook and CSV, {readings} readings those of their files, {figures} figures those of the plans")
