"""Checks the plan computed here against numbers had without it: worked by hand, or by grids.

    python check.py

Lengths in mm. Each case changes the example and says what must come out, and why.
"""

import copy
import pathlib

import numpy as np

import build_file
import plan_numpy
import removed

EXAMPLE = build_file.parse(pathlib.Path(__file__).with_name("example.toml"))
LEVER = 99 / 61 - 1
A_H, A_R = 21.5e-6, 11.0e-6
GUARD_C = 1.65 * np.hypot(2.5, 2.0) * 1e-3
GUARD_S = 1.65 * np.sqrt(2 * 2.5**2 + 3.0**2) * 1e-3


def near(found, wanted, within=1e-9):
    found, wanted = np.asarray(found, float), np.asarray(wanted, float)
    assert np.shape(found) == np.shape(wanted), (found, wanted)
    assert np.all(np.abs(found - wanted) <= within), (found, wanted)


def planned(change=None, room=False):
    file = copy.deepcopy(EXAMPLE)
    if change:
        change(file)
    return plan_numpy.plan(build_file.build(file), room)


def mm(values):
    return [f"{v:.9f} mm" for v in values]


def alone(file, **changes):
    """Only the first rotor, without what makes misreadings findable."""
    for key in ("rotor", "housing"):
        del file[key][1:]
    for key in ("tip_width", "gear_runout", "plain_runout"):
        file["rotor"][0].pop(key, None)
    file["rotor"][0] |= changes


def one_rotor(width, gear_step, plain_step, then=None):
    def change(file):
        alone(file, land_width=mm(width), gear_step=mm(gear_step), plain_step=mm(plain_step))
        if then:
            then(file)
    return change


def sizes(row):
    return row["gear"], row["plain"]


def worked_example():
    """The figures at the end of the build file's description."""
    result = planned()
    assert result["feasible"] and result["method"] == "aimed"
    r = result["rotors"][0]
    near(r["heights_mm"][:2], [[39.9565, 39.9625, 39.9585], [39.9585, 39.9595, 39.9595]])
    gear, plain = sizes(r)
    near(r["land_width_mm"], 79.788)
    near(gear["land_cut_mm"], [0.0625, 0.0685, 0.0645])
    near(plain["land_cut_mm"], [0.0645, 0.0655, 0.0655])
    near(gear["tip_cut_mm"], [0.0945, 0.1075, 0.0895])
    near(plain["tip_cut_mm"], [0.0865, 0.0935, 0.0995])
    near(r["step_needed_mm"], 0.0704, 5e-5)
    steady = LEVER / 2 * (80.014 * (1 + A_H * 90) - 79.788 * (1 + A_R * 90)) + 79.788 * A_R * 25
    near(r["step_needed_hot_mm"], steady)
    near(r["chi2"], 0.0)
    assert r["dof"] == 5 and r["misreading"] == [] and r["verdict"] == "conforms"


def worn_rotor():
    """Less stock than the aim: as wide as a square rotor still can be, thin passes left out."""
    r = planned(one_rotor([79.779, 79.785, 79.775], [0.09] * 3, [0.09] * 3,
                          lambda f: f["machine"].update(least_cut="1 um")))["rotors"][0]
    near(r["land_width_mm"], 79.775)
    near(r["gear"]["land_cut_mm"], [0.002, 0.005, 0.0])
    near(r["side_clearance_mm"], 0.233)
    near(r["gear"]["step_mm"], [0.127] * 3)
    # 0.233 < 0.24 - 0.00528, but the step is only 0.00687 above what the steady heat needs.
    assert r["verdict"] == "not proven" and 0.127 - r["step_needed_hot_mm"] < 0.00765


def low_tip():
    """A tip lower than its aim is left; its step is larger, here past what the guard proves."""
    r = planned(one_rotor([79.915, 79.922, 79.918], [0.095, 0.2025, 0.102], [0.1] * 3))
    r = r["rotors"][0]
    # 39.961 - 0.2025 = 39.7585, below 39.894 - 0.127 = 39.767.
    near(r["gear"]["tip_cut_mm"][1], 0.0)
    near(r["gear"]["step_mm"][1], 39.894 - 39.7585)
    assert 0.127 + 0.0127 - GUARD_S < 0.1355 < 0.127 + 0.0127
    assert r["verdict"] == "not proven"


def no_runouts():
    """Gear land and plain land are taken as alike; two conditions fewer."""
    def change(file):
        for key in ("gear_runout", "plain_runout"):
            del file["rotor"][0][key]
    r = planned(change)["rotors"][0]
    near(r["heights_mm"][0], np.array([79.915, 79.922, 79.918]) / 2)
    near(r["heights_mm"][1], r["heights_mm"][0])
    assert r["dof"] == 3


def misread():
    """A whole turn of the thimble on one land width: named alone, in a tie, not at all."""
    def wrong(*without):
        def change(file):
            file["rotor"][0]["land_width"][1] = "80.422 mm"
            for key in without:
                del file["rotor"][0][key]
        return planned(change)["rotors"][0]
    assert wrong()["misreading"] == [["land_width 2"]]
    tied = wrong("gear_runout", "plain_runout")
    assert tied["misreading"] == [["land_width 2", "gear_step 2", "plain_step 2", "tip_width 2"]]
    # One condition of four readings: (0.5 mm)^2 over its variance; the micrometer's zero cancels.
    near(tied["chi2"], 0.5**2 / (2 * 0.002**2 + 2 * 0.003**2), 1e-6)
    blind = wrong("gear_runout", "plain_runout", "tip_width")
    assert blind["misreading"] == [] and blind["dof"] == 0


def thin_pass():
    """79.800 for 79.788: 6 um a face. The gear land is left, the plain one makes up."""
    r = planned(one_rotor([79.8] * 3, [0.1] * 3, [0.1] * 3))["rotors"][0]
    near(r["gear"]["land_cut_mm"], [0.0] * 3)
    near(r["plain"]["land_cut_mm"], [0.012] * 3)
    near(r["gear"]["tip_cut_mm"], [0.027] * 3)  # 39.9 - 0.127 from 39.8
    near(r["plain"]["tip_cut_mm"], [0.8 + 39 - (39.888 - 0.127)] * 3)
    # 79.796: both lands left where 8 um less clearance is still proven ...
    r = planned(one_rotor([79.796] * 3, [0.1] * 3, [0.1] * 3))["rotors"][0]
    near(r["gear"]["land_cut_mm"] + r["plain"]["land_cut_mm"], [0.0] * 6)
    near(r["side_clearance_mm"], 0.212)
    # ... and the second one deepened where it is not.
    tight = lambda f: f["spec"]["side_clearance"].update(tolerance="8 um")
    r = planned(one_rotor([79.796] * 3, [0.1] * 3, [0.1] * 3, tight))["rotors"][0]
    near(r["gear"]["land_cut_mm"], [0.0] * 3)
    near(r["plain"]["land_cut_mm"], [0.010] * 3)
    near(r["side_clearance_mm"], 0.222)
    # Tips: 4 um short of the aimed step, but 123 um is proven within 127 +- 12.7: left.
    r = planned(one_rotor([79.908] * 3, [0.123] * 3, [0.1] * 3))["rotors"][0]
    near(r["gear"]["tip_cut_mm"], [0.064] * 3)
    r = planned(one_rotor([79.788] * 3, [0.123] * 3, [0.11] * 3))["rotors"][0]
    near(r["gear"]["tip_cut_mm"], [0.0] * 3)
    near(r["plain"]["tip_cut_mm"], [0.017] * 3)
    # 7 um short is not proven (12.7 - 7.65 = 5.05): 10 um are taken.
    r = planned(one_rotor([79.788] * 3, [0.120] * 3, [0.11] * 3))["rotors"][0]
    near(r["gear"]["tip_cut_mm"], [0.010] * 3)
    near(r["gear"]["step_mm"], [0.130] * 3)


def kept_rotor():
    """Inside every guarded tolerance: not cut, though off the aim."""
    r = planned(one_rotor([79.790, 79.792, 79.791], [0.125] * 3, [0.13] * 3))["rotors"][0]
    assert r["verdict"] == "conforms" and r["removed_g"] == 0.0
    near(r["gear"]["land_cut_mm"] + r["plain"]["tip_cut_mm"], [0.0] * 6)
    near(r["side_clearance_mm"], 0.216)


def three_rotors():
    """The third has no stock for 0.22: the others come down to 0.231 - 0.008."""
    def change(file):
        file["engine"]["rotors"] = 3
        file["housing"].append(dict(file["housing"][0], serial="H-33"))
        file["rotor"].append(dict(
            file["rotor"][1], serial="R-3", land_width=mm([79.777] * 3), gear_face="front"))
    result = planned(change)
    assert result["method"] == "aimed"
    near([r["side_clearance_mm"] for r in result["rotors"]], [0.223, 0.223, 0.231])
    near([r["land_width_mm"] for r in result["rotors"]], [79.785, 79.783, 79.777])
    for r in result["rotors"]:
        above = min(min(r[face]["step_mm"]) for face in ("gear", "plain")) - r["step_needed_hot_mm"]
        assert r["verdict"] == ("conforms" if above >= 0.0076507 else "not proven"), r


def searched():
    """Hotter tips ask for more than the aimed step; beside a grid over width and step."""
    tip = 169.0
    def hot(file):
        alone(file)
        file["build"]["duty"]["heat"]["steady"]["tip"] = f"{tip} K"
    result = planned(hot)
    assert result["feasible"] and result["method"] == "searched"
    r = result["rotors"][0]
    b, a = np.meshgrid(80.008 - 0.22 + np.linspace(-0.0148, 0.0148, 2001),
                       0.127 + np.linspace(-0.0051, 0.0051, 2001), indexing="ij")
    need = (LEVER / 2 * (80.014 * (1 + A_H * 90) - b * (1 + A_R * 90))
            + b * A_R / 2 * (tip - 90))
    good = ((np.abs(80.008 - b - 0.22) <= 0.02 - GUARD_C) & (np.abs(a - 0.127) <= 0.0127 - GUARD_S)
            & (a >= need))
    deviation = np.maximum(np.abs(80.008 - b - 0.22) / 0.02, np.abs(a - 0.127) / 0.0127)
    at = np.unravel_index(np.where(good, deviation, np.inf).argmin(), b.shape)
    near(r["land_width_mm"], b[at], 3e-5)
    near(r["gear"]["step_mm"], [a[at]] * 3, 1e-5)
    got = max(abs(r["side_clearance_mm"] - 0.22) / 0.02, abs(r["gear"]["step_mm"][0] - 0.127) / 0.0127)
    assert got <= deviation[at] + 1e-6 and deviation[at] - got < 2e-3, (got, deviation[at])
    assert abs(min(r["gear"]["step_mm"]) - r["step_needed_hot_mm"]) < 1e-7


def no_plan():
    """Far hotter: no plan, nothing is cut; one rotor without a plan leaves the other its own."""
    def hot(file):
        file["build"]["duty"]["heat"]["steady"]["tip"] = "250 K"
    result = planned(hot)
    assert not result["feasible"]
    for r in result["rotors"]:
        assert not r["planned"] and r["removed_g"] == 0.0 and r["verdict"] == "does not conform"
    # A rotor without tips to speak of spoils the set, the other one is planned all the same.
    def low(file):
        file["rotor"][1]["gear_step"] = ["0.3 mm"] * 3
    result = planned(low)
    assert not result["feasible"]
    assert result["rotors"][0]["planned"] and result["rotors"][0]["verdict"] == "conforms"
    assert not result["rotors"][1]["planned"]


def wear_and_room():
    """Worn tracks add to the step needed; cold, the least gap is what the step has over it."""
    def worn(file):
        alone(file, gear_face="front", land_width=mm([79.915, 79.922, 79.918]))
        file["spec"]["step"]["target"] = "0.14 mm"
        file["side_housing"] = [
            {"serial": "S-1", "land_wear": "12 um", "tip_wear": "4 um"},
            {"serial": "S-2", "land_wear": {"front": "6 um", "rear": "50 um"}, "tip_wear": "5 um"}]
    r = planned(worn, room=True)["rotors"][0]
    need = LEVER * (80.014 - 79.788 + 0.012 + 0.006) / 2 + 0.008
    near(r["step_needed_mm"], need)
    near(r["least_gap_mm"]["cold"], 0.14 - need, 1e-7)
    # The hot rule takes the whole arc's width all round and bounds the room's gap from below.
    assert 0 <= r["least_gap_mm"]["steady"] - (0.14 - r["step_needed_hot_mm"]) < 0.01
    # Without a hot arc the two are the same, but for the step's own growth by 140 K.
    def even(file):
        worn(file)
        for state in file["build"]["duty"]["heat"].values():
            state["hot_arc"] = "0 K"
    r = planned(even, room=True)["rotors"][0]
    near(r["least_gap_mm"]["steady"], 0.14 * (1 + 140 * A_R) - r["step_needed_hot_mm"], 1e-7)
    # Jammed: the lands are wider than the room.
    file = copy.deepcopy(EXAMPLE)
    build = build_file.build(file)
    heights = np.full((4, 3), 40.05)
    assert plan_numpy.room.least_gaps(build, build.rotors[0], heights)[0] == -np.inf


def outline_and_mass():
    """Points and area of the flank for R 105, e 15; a face of even depth."""
    at = np.abs(removed.flank(105.0, 15.0, 2.0, 11))
    near(at, [106.810455, 98.405474, 90.498700, 83.636057, 78.780406, 77.0, 78.780406, 83.636057,
              90.498700, 98.405474, 106.810455], 1e-6)
    build = build_file.build(EXAMPLE)
    build.radius, build.eccentricity, build.shift, build.tip_radius = 105.0, 15.0, 0.0, 105.0
    face = removed.outline(build)
    even = np.full((1, 3), 0.1)
    near(removed.removed_mm3(build, even, even * np.nan, face),
         [0.1 * np.pi * (61**2 - 45.75**2)], 1e-6)
    near(removed.removed_mm3(build, even * np.nan, even, face),
         [0.1 * (23060.37002 - np.pi * 61**2)], 0.03)  # cusps of this outline: 2e-5 of it
    # A plane that only two tips stand above: half of a ring, mean 0, slope s: s (r_o^3 - r_i^3) 2/3.
    tilt = np.array([[2.0, -1.0, -1.0]]) * 0.01
    near(removed.removed_mm3(build, tilt, even * np.nan, face),
         [0.02 / 61 * 2 / 3 * (61**3 - 45.75**3)], 1e-3)
    # Grooves: the oil seal's ring comes off the land exactly.
    build.oil_groove = (56.0, 3.0)
    near(removed.removed_mm3(build, even, even * np.nan, face),
         [0.1 * np.pi * (61**2 - 45.75**2 - 57.5**2 + 54.5**2)], 1e-6)


CASES = [worked_example, worn_rotor, low_tip, no_runouts, misread, thin_pass, kept_rotor,
         three_rotors, searched, no_plan, wear_and_room, outline_and_mass]

if __name__ == "__main__":
    for case in CASES:
        case()
        print(f"{case.__name__}: {case.__doc__.splitlines()[0] if case.__doc__ else 'good'}")
    print(f"{len(CASES)} cases hold")
