"""Compares the product's plan of every build file in a folder with the one computed here.

    python compare.py BINARY FOLDER [--room N]

Runs `BINARY plan FOLDER --json` once, which plans every `*.toml` in it, prints each difference and
ends with status 1 if there was any. The least gaps at the tips are slow here: they are compared for
the first N files only (all, if --room is left out). Keys that one side does not give count as
differences; nothing compared at all is a failure too.
"""

import collections
import json
import os
import subprocess
import sys

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before NumPy is loaded: small matrices

import build_file
import plan_numpy

SIZE = ("size", 5e-8)  # mm
# The land is a ring of 360 points here: beside a circle the gap is off by up to
# (r_T/r_L) c (1/cos 0.5 deg - 1), some 1e-5 mm.
GAP = ("size", 2e-5)
EQUAL = ("equal", None)
MASS = ("mass", 1e-3)  # g, or the same share of what is removed
CHI2 = ("share", 1e-6)

# Every key that is looked up: path below the plan or below a rotor, and how it is compared.
SET_KEYS = {"feasible": EQUAL, "method": EQUAL}
ROTOR_KEYS = {
    "housing": EQUAL, "planned": EQUAL, "verdict": EQUAL, "verdict_of": EQUAL,
    "land_width_mm": SIZE, "side_clearance_mm": SIZE, "step_needed_mm": SIZE,
    "step_needed_hot_mm": SIZE,
    "gear.land_cut_mm": SIZE, "gear.tip_cut_mm": SIZE, "gear.step_mm": SIZE,
    "plain.land_cut_mm": SIZE, "plain.tip_cut_mm": SIZE, "plain.step_mm": SIZE,
    "removed_g": MASS, "mass_g": MASS,
    "heights_mm": SIZE, "chi2": CHI2, "dof": EQUAL, "misreading": EQUAL,
}
GAP_KEYS = {f"least_gap_mm.{state}": GAP for state in build_file.STATES}
HEIGHTS = ("gear_land", "plain_land", "gear_tip", "plain_tip")
READING = {
    "land width": "land_width", "gear-face step": "gear_step", "plain-face step": "plain_step",
    "tip width": "tip_width", "gear-face run-out": "gear_runout",
    "plain-face run-out": "plain_runout",
}
NOT_GIVEN = object()


def look_up(value, path):
    for key in path.split("."):
        if not isinstance(value, dict) or key not in value:
            return NOT_GIVEN
        value = value[key]
    return value


def in_these_words(rotor):
    """A rotor of the product's plan under the keys that are used here."""
    readings = rotor["readings"]
    return rotor | {
        "heights_mm": [readings["heights_mm"][area] for area in HEIGHTS],
        "chi2": readings["chi_square"], "dof": readings["degrees_of_freedom"],
        "misreading": [sorted(f"{READING[s['reading']]} {s['tip']}" for s in group["suspects"])
                       for group in readings["misreadings"]],
        # Where the lands jam anywhere on the orbit nothing is said here.
        "least_gap_mm": {s["state"]: None if s["jams"] else s["least_tip_gap_mm"]
                         for s in rotor["room"]["states"]},
    }


class Tally:
    """What was compared, and how far it was apart at most."""

    def __init__(self):
        self.values = 0
        self.apart = collections.Counter()  # by kind: the largest
        self.cases = collections.Counter()

    def differ(self, ours, theirs, how, removed_g):
        """What is not as it should be, in words, or None."""
        kind, allowed = how
        if isinstance(ours, list) and kind != "equal":
            if not isinstance(theirs, list) or len(ours) != len(theirs):
                return "another shape"
            found = [self.differ(a, b, how, removed_g) for a, b in zip(ours, theirs)]
            return next((f for f in found if f), None)
        self.values += 1
        if kind == "equal" or ours is None or theirs is None:
            return None if ours == theirs else "not equal"
        off = abs(ours - theirs)
        if kind in ("mass", "share"):
            off /= max(1.0, abs(removed_g or 0.0) if kind == "mass" else abs(ours))
        self.apart[how] = max(self.apart[how], off)
        return None if off <= allowed else f"{abs(ours - theirs):.3g} apart"

    def compare(self, ours, theirs, with_room):
        differences = []

        def one(place, a, b, keys):
            for path, how in keys.items():
                x, y = look_up(a, path), look_up(b, path)
                if x is NOT_GIVEN or y is NOT_GIVEN:
                    differences.append(
                        f"{place}{path}: not given {'here' if x is NOT_GIVEN else 'there'}")
                elif off := self.differ(x, y, how, a.get("removed_g")):
                    differences.append(f"{place}{path}: here {x}, there {y} ({off})")

        one("", ours, theirs, SET_KEYS)
        here, there = ([r["serial"] for r in plan["rotors"]] for plan in (ours, theirs))
        if here != there:
            return [f"rotors {here} here, {there} there"]
        for a, b in zip(ours["rotors"], theirs["rotors"]):
            a["misreading"] = [sorted(group) for group in a["misreading"]]
            if with_room:
                differences += self.flank_gaps(a, b)
            one(f"{a['serial']}: ", a, in_these_words(b),
                ROTOR_KEYS | (GAP_KEYS if with_room else {}))
        self.count(ours)
        return differences

    @staticmethod
    def flank_gaps(ours, theirs):
        """A place between two tips may be nearest to a wall where a face leans much, as after a
        misreading. It is looked at there only: it must be nearer than the nearest tip here, and
        is then put in its place."""
        nearer = []
        for state in theirs["room"]["states"]:
            at, gaps, name = state["at"], ours["least_gap_mm"], state["state"]
            if at and at["tip"] is None and not state["jams"] and gaps[name] is not None:
                if state["least_tip_gap_mm"] > gaps[name] + GAP[1]:
                    nearer.append(f"{ours['serial']}: a tip is nearer in {name} than its flank")
                gaps[name] = state["least_tip_gap_mm"]
        return nearer

    def count(self, plan):
        outcome = plan["method"] if plan["feasible"] else "no plan"
        self.cases[f"sets {outcome}"] += 1
        for row in plan["rotors"]:
            cuts = [row[f][k] for f in ("gear", "plain") for k in ("land_cut_mm", "tip_cut_mm")]
            self.cases["rotors misread" if row["misreading"] else "rotors without a plan"
                       if not row["planned"] else "rotors kept" if not any(map(any, cuts))
                       else "rotors cut"] += 1
            for way in set(row["thin"]):
                self.cases[f"rotors with a pass {way}"] += 1

    def lines(self):
        units = {SIZE: "sizes, mm", GAP: "least gaps, mm", MASS: "mass, g or share",
                 CHI2: "chi-square, share"}
        return [", ".join(f"{n} {what}" for what, n in sorted(self.cases.items())),
                f"{self.values} values compared; largest difference: "
                + ", ".join(f"{units[h]} {off:.2g}" for h, off in self.apart.items())]


def compare_folder(binary, folder, rooms):
    """Prints what differs; the number of differences and what was compared."""
    run = subprocess.run([binary, "plan", str(folder), "--json"], capture_output=True, text=True,
                         check=False)
    if run.returncode not in (0, 1):
        sys.exit(f"{binary} ended with status {run.returncode}: {run.stderr.strip()}\n"
                 f"{run.stdout[:2000]}")
    bad, tally = 0, Tally()
    for number, entry in enumerate(json.loads(run.stdout)):
        with_room = number < rooms
        ours = plan_numpy.plan(build_file.build(build_file.parse(entry["file"])), with_room)
        differences = tally.compare(ours, entry["plan"], with_room)
        if differences:
            print(f"{entry['file']}: {len(differences)} differ")
        for line in differences:
            print(f"    {line}")
        bad += len(differences)
    return bad, tally


def report(bad, tally):
    for line in tally.lines():
        print(line)
    print(f"{bad} differences")
    return 1 if bad or not tally.values else 0


def main(arguments):
    rooms = sys.maxsize
    if "--room" in arguments:
        at = arguments.index("--room")
        rooms = int(arguments[at + 1])
        arguments = arguments[:at] + arguments[at + 2 :]
    return report(*compare_folder(*arguments, rooms))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
