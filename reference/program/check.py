"""Reads the golden machining programs by pygcode and holds them against expected.csv. See SOURCE.md.

pygcode drops words that it does not know without a word of its own, so words are counted before
and after it.
"""

import csv
import math
import pathlib
import re
import sys

import pygcode

GOLDEN = pathlib.Path(__file__).parents[2] / "crates" / "program" / "tests" / "golden"

# What ISO 6983-1 and RS274/NGC have in common, as far as these programs may use it; the units word
# is the machine's own.
COMMON = {"G00", "G01", "G17", "G18", "G40", "G54", "G80", "G90", "G94",
          "M00", "M03", "M05", "M09", "M30"}
UNITS = {"G20", "G21", "G70", "G71"}
LETTERS = set("GMXYZFS")
WORD = re.compile(r"([A-Z])(-?\d+(?:\.\d+)?)")
# Half of the last decimal, twice where X is a diameter, and the chords of a turn.
CLOSE = 0.0006
CHORD = 0.035


def expected():
    found = {}
    with open(GOLDEN / "expected.csv", newline="") as table:
        for row in csv.DictReader(table):
            found.setdefault(row["program"], {})[row["quantity"]] = float(row["value"])
    return found


def own_words(line):
    """Words of a line without its comment; nothing of it may be left."""
    code = re.sub(r"\([^()]*\)", "", line).strip()
    if code in ("", "%"):
        return []
    left = WORD.sub("", code)
    assert not left.strip(), f"{line!r}: {left.strip()!r} is no word"
    return [(letter, number) for letter, number in WORD.findall(code)]


def nearest_to_axis(a, b):
    dx, dy = b[0] - a[0], b[1] - a[1]
    square = dx * dx + dy * dy
    along = -(a[0] * dx + a[1] * dy) / square if square else 0.0
    along = min(1.0, max(0.0, along))
    return math.hypot(a[0] + along * dx, a[1] + along * dy)


def follow(name, wanted):
    text = (GOLDEN / f"{name}.nc").read_text()
    machine = pygcode.Machine()
    turning = wanted["turning"] == 1
    seen_units, first, spindle, starts, stops, dry, words = [], True, False, 0, 0, math.inf, 0
    passes = {}
    modal = {"G17", "G18"} | UNITS | {"G40", "G54", "G80", "G90", "G94"}
    for number, line in enumerate(text.splitlines(), 1):
        mine = own_words(line)
        words += len(mine)
        block = pygcode.Line(line).block
        theirs = [str(word) for word in block.words]
        assert len(theirs) == len(mine) and not block.modal_params, f"{name} {number}: {line}"
        for letter, value in mine:
            assert letter in LETTERS, f"{name} {number}: {letter}"
            word = f"{letter}{int(float(value)):02d}"
            if letter in "GM":
                assert word in COMMON | UNITS, f"{name} {number}: {word}"
                assert first == (word in modal), f"{name} {number}: {word}"
                seen_units += [word] if word in UNITS else []
            assert ("." in value) == (letter not in "GMS"), f"{name} {number}: {letter}{value}"
        before = machine.pos
        machine.process_block(block)
        after = machine.pos
        first = first and not mine
        starts += "M03" in theirs
        spindle = (spindle or "M03" in theirs) and "M05" not in theirs
        stops += "M00" in theirs
        if "M00" in theirs or "M30" in theirs:
            assert not spindle, f"{name} {number}"
        if "G01" not in theirs:
            continue
        if not spindle:
            dry = min(dry, after.Z)
            continue
        here = passes.setdefault(starts, {"lowest": math.inf, "feeds": set(), "rpm": set(),
                                          "moves": []})
        here["lowest"] = min(here["lowest"], after.Z)
        here["feeds"].add(machine.mode.feed_rate.word.value)
        here["rpm"].add(machine.mode.spindle_speed.word.value)
        place = lambda p: (p.X / wanted["x_per_radius"] + wanted["outer_radius"] * turning,
                           0.0 if turning else p.Y)
        here["moves"].append((place(before), place(after), min(before.Z, after.Z), after.Z))
    close = lambda a, b, by=CLOSE: abs(a - b) <= by or sys.exit(f"{name}: {a} is not {b}")
    assert len(seen_units) == 1 and seen_units[0] == "G21", seen_units
    assert starts == 2 and stops == wanted["stops"], (starts, stops)
    assert dry >= 5.0, dry
    for which, start in (("rough", 1), ("finish", 2)):
        here = passes[start]
        close(here["lowest"], wanted[f"{which}_lowest_z"])
        assert here["feeds"] == {wanted[f"{which}_feed"]}, here["feeds"]
        assert here["rpm"] == {wanted[f"{which}_rpm"]}, here["rpm"]
        level = wanted["rough_lowest_z"] - wanted["finish_lowest_z"] if which == "rough" else 0.0
        flat = [m for m in here["moves"] if abs(m[2] - level) < CLOSE and abs(m[3] - level) < CLOSE]
        outside = [m for m in here["moves"] if m[2] < level - CLOSE]
        # The flat reaches over the land's inner edge, and the cutter stays off the clamp.
        inner = min(nearest_to_axis(a, b) for a, b, *_ in flat)
        assert inner - wanted["flat_radius"] < wanted["land_inner_radius"] - CHORD, inner
        near = min(nearest_to_axis(a, b) for a, b, *_ in here["moves"])
        assert near - wanted["outer_radius"] > wanted["clamp_radius"], near
        # Outside, what is below the land stays outside the shoulder, and leaves no more than the
        # ring it may.
        edge = min(nearest_to_axis(a, b) for a, b, *_ in outside) - wanted["flat_radius"]
        shoulder, ring = wanted["shoulder_radius"], wanted["shoulder_width"]
        assert shoulder < edge < shoulder + ring, edge
        reach = max(math.hypot(*p) for a, b, *_ in outside for p in (a, b)) + wanted["flat_radius"]
        assert reach > wanted["farthest_radius"], reach
    return words


def main():
    wanted = expected()
    assert len(wanted) == 2, sorted(wanted)
    for name in wanted:
        words = follow(name, wanted[name])
        assert words > 50, words


if __name__ == "__main__":
    main()
