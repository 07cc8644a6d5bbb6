"""Compares the product's plan of every example with the one computed here.

    python compare.py BINARY EXAMPLES_DIR [--no-room]

Runs `BINARY plan FILE --json` on each `*.toml` below EXAMPLES_DIR, prints each difference and
ends with status 1 if there was any. Keys that one side does not give are named, never passed
over; nothing compared at all is a failure too.
"""

import json
import pathlib
import subprocess
import sys

import build_file
import plan_numpy

SIZE = ("size", 1e-6)  # mm
# The land is a ring of 360 points here: beside a circle the gap is off by up to
# (r_T/r_L) c (1/cos 0.5 deg - 1), some 1e-5 mm.
GAP = ("size", 2e-5)
EQUAL = ("equal", None)
MASS = ("mass", 1e-3)  # g, or the same share of what is removed
CHI2 = ("share", 1e-6)

# Every key that is looked up: path below the plan or below a rotor, and how it is compared.
SET_KEYS = {"feasible": EQUAL, "method": EQUAL}
ROTOR_KEYS = {
    "serial": EQUAL, "housing": EQUAL, "verdict": EQUAL, "verdict_of": EQUAL,
    "land_width_mm": SIZE, "side_clearance_mm": SIZE, "step_needed_mm": SIZE,
    "step_needed_hot_mm": SIZE, "land_touches_first": EQUAL,
    "gear.land_cut_mm": SIZE, "gear.tip_cut_mm": SIZE, "gear.step_mm": SIZE,
    "plain.land_cut_mm": SIZE, "plain.tip_cut_mm": SIZE, "plain.step_mm": SIZE,
    "removed_g": MASS, "mass_g": MASS,
    "heights_mm": SIZE, "chi2": CHI2, "dof": EQUAL, "misreading": EQUAL,
    "least_gap_mm.cold": GAP, "least_gap_mm.warming": GAP, "least_gap_mm.steady": GAP,
    "least_gap_mm.soak": GAP,
}
NOT_GIVEN = object()


def look_up(value, path):
    for key in path.split("."):
        if not isinstance(value, dict) or key not in value:
            return NOT_GIVEN
        value = value[key]
    return value


def differ(ours, theirs, how, removed_g):
    """The largest difference where it is more than is allowed, else None."""
    kind, allowed = how
    if isinstance(ours, list) and kind != "equal":
        if not isinstance(theirs, list) or len(ours) != len(theirs):
            return "another shape"
        found = [d for a, b in zip(ours, theirs) if (d := differ(a, b, how, removed_g)) is not None]
        return max(found, key=str) if found else None
    if kind == "equal" or ours is None or theirs is None:
        return None if ours == theirs else "not equal"
    if not isinstance(theirs, (int, float)):
        return "not a number"
    if kind == "mass":
        allowed *= max(1.0, abs(removed_g or 0.0))
    if kind == "share":
        allowed *= max(1.0, abs(ours))
    return None if abs(ours - theirs) <= allowed else abs(ours - theirs)


def compare(ours, theirs):
    """(differences, keys missing, values compared)."""
    differences, missing, compared = [], [], 0

    def one(place, a, b, keys, removed_g):
        nonlocal compared
        for path, how in keys.items():
            x, y = look_up(a, path), look_up(b, path)
            if x is NOT_GIVEN and y is NOT_GIVEN:
                continue
            if x is NOT_GIVEN or y is NOT_GIVEN:
                missing.append(f"{place}{path}: only given {'there' if x is NOT_GIVEN else 'here'}")
                continue
            compared += 1
            off = differ(x, y, how, removed_g)
            if off is not None:
                differences.append(f"{place}{path}: here {x}, there {y} ({off})")

    one("", ours, theirs, SET_KEYS, None)
    there = {row.get("serial"): row for row in theirs.get("rotors", [])}
    for row in ours["rotors"]:
        serial = row["serial"]
        if serial not in there:
            differences.append(f"{serial}: not in the product's plan")
            continue
        one(f"{serial}: ", row, there[serial], ROTOR_KEYS, row.get("removed_g"))
    return differences, missing, compared


def main(arguments):
    with_room = "--no-room" not in arguments
    binary, directory = (a for a in arguments if not a.startswith("--"))
    files = sorted(pathlib.Path(directory).rglob("*.toml"))
    bad = total = 0
    for path in files:
        run = subprocess.run([binary, "plan", str(path), "--json"], capture_output=True, text=True,
                             check=False)
        if run.returncode not in (0, 1):
            print(f"{path}: status {run.returncode}: {run.stderr.strip()}")
            bad += 1
            continue
        theirs = json.loads(run.stdout)
        try:
            ours = plan_numpy.plan(build_file.build(build_file.parse(path)), with_room)
        except NotImplementedError as reason:
            print(f"{path}: not compared: {reason}")
            bad += 1
            continue
        differences, missing, compared = compare(ours, theirs)
        if theirs.get("feasible") is not (run.returncode == 0):
            differences.append(f"feasible {theirs.get('feasible')} with status {run.returncode}")
        print(f"{path}: {compared} values compared, {len(differences)} differ, "
              f"{len(missing)} given by one side only")
        for line in differences + missing:
            print(f"    {line}")
        bad += len(differences)
        total += compared
    print(f"{len(files)} files, {total} values compared, {bad} differences")
    return 1 if bad or not total else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
