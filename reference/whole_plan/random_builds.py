"""Random plausible build files from a seed.

    python random_builds.py SEED COUNT DIR

writes COUNT files into DIR. Each rotor is made from true heights, which depend on what has become
of it, and read with gauges whose noise is what the file states; now and then one reading is wrong.
The shop's wishes are drawn near what the parts can just give, so that kept, aimed, searched and
impossible sets and passes thinner than the machine takes are all frequent.
"""

import pathlib
import sys

import numpy as np

HEAT = {  # rises above 20 degC: housing, hot arc, land, tip
    "warming": (20.0, 10.0, 80.0, 110.0),
    "steady": (70.0, 20.0, 90.0, 140.0),
    "soak": (85.0, 5.0, 90.0, 95.0),
}
# What has become of a rotor, and how often.
KINDS = {"fresh": 0.38, "thin": 0.25, "right": 0.27, "worn": 0.08, "spent": 0.02}
A_HOUSING, A_ROTOR = 21.5e-6, 11.0e-6


def mm(value, decimals=3):
    return f'"{value:.{decimals}f} mm"'


def um(value, decimals=0):
    return f'"{value * 1e3:.{decimals}f} um"'


def listed(values, form):
    return "[" + ", ".join(form(v) for v in values) + "]"


class Draw:
    """One build, drawn."""

    def __init__(self, seed):
        self.rng = np.random.default_rng(seed)
        self.lines = ["format = 1", ""]

    def chance(self, share):
        return self.rng.random() < share

    def between(self, low, high):
        return self.rng.uniform(low, high)

    def write(self, *lines):
        self.lines += lines

    def build(self):
        self.engine()
        self.gauges()
        self.duty()
        self.housings()
        self.wishes()
        for i in range(self.count):
            self.rotor(i)
        self.spec()
        return "\n".join(self.lines) + "\n"

    def engine(self):
        self.count = int(self.rng.choice([1, 2, 3, 4], p=[0.3, 0.35, 0.2, 0.15]))
        radius = round(self.between(78, 122), 1)
        shift = round(self.between(1, 3), 1)
        self.tip = round(radius * self.between(0.95, 0.985), 1)
        self.land = round(self.tip * self.between(0.58, 0.66), 1)
        self.nominal = round(self.between(55, 90))
        self.write("[engine]", f"rotors = {self.count}", f"generating_radius = {mm(radius, 1)}",
                   f"eccentricity = {mm(radius / self.between(6.3, 7.8), 2)}",
                   f"parallel_shift = {mm(shift, 1)}", f"land_radius = {mm(self.land, 1)}",
                   f"rotor_tip_radius = {mm(self.tip, 1)}")
        if self.chance(0.4):
            self.write(f"land_inner_radius = {mm(self.land * self.between(0.7, 0.85), 1)}")
        self.write(f'rotor_material = "{self.rng.choice(["nodular iron", "grey iron"])}"',
                   'housing_material = "cast aluminium"', "")
        if self.chance(0.4):
            sizes = 'height = "5 mm"', 'groove_depth = "6 mm"'
            self.write("[seals.corner]", *sizes, 'bore_diameter = "11 mm"',
                       f"radius = {mm(self.tip - self.between(6, 9), 1)}",
                       "[seals.side]", *sizes, 'groove_width = "1.1 mm"',
                       'groove_length = "120 mm"', "[seals.oil]", *sizes,
                       f"radius = {mm(self.land - self.between(2, 4), 1)}",
                       'groove_width = "3 mm"', "")

    def gauges(self):
        self.width = (round(self.between(1, 3)) / 1e3, round(self.between(0, 2)) / 1e3)
        self.dial = (round(self.between(2, 4)) / 1e3, float(self.chance(0.3)) / 1e3)
        self.write("[gauge.micrometer]", f"repeat = {um(self.width[0])}",
                   f"zero = {um(self.width[1])}", "[gauge.indicator]",
                   f"repeat = {um(self.dial[0])}", f"zero = {um(self.dial[1])}")
        self.bore_gauge = self.chance(0.3)
        if self.bore_gauge:
            self.write("[gauge.bore]", 'repeat = "3 um"', 'zero = "1.5 um"')
        self.capability = self.between(1.0, 3.5) / 1e3
        self.least_cut = float(self.rng.choice([0.005, 0.010, 0.015, 0.020]))
        self.write("[machine]", f"capability = {um(self.capability, 2)}",
                   f"least_cut = {um(self.least_cut)}", "")

    def duty(self):
        self.heat = {s: np.array(r) for s, r in HEAT.items()}
        self.write("[build]", 'name = "drawn"', "[build.duty]", 'speed = "9000 rpm"')
        if not self.chance(0.4):
            return
        self.write("[build.duty.heat]")
        for state, rises in self.heat.items():
            rises = np.round(rises * self.between(0.7, 1.1))
            self.heat[state] = rises
            named = ", ".join(f'{k} = "{v:.0f} K"' for k, v in zip(
                ("housing", "hot_arc", "land", "tip"), rises))
            self.write(f"{state} = {{ {named} }}")
        self.write("")

    def housings(self):
        self.least, self.greatest = [], []
        free = self.chance(0.35)
        for i in range(self.count):
            true = self.nominal + self.between(-0.02, 0.02)
            at = true + self.rng.normal(0, 0.004, int(self.rng.integers(3, 6)))
            clamp_up = round(self.between(0.02, 0.045), 3) if free else 0.0
            self.least.append(at.min())
            self.greatest.append(at.max())
            self.write("[[housing]]", f'serial = "H-{i + 1}"')
            if free:
                self.write('state = "free"', f"clamp_up = {um(clamp_up)}",
                           f"clamp_up_u = {um(self.between(0.001, 0.006), 1)}")
            else:
                self.write('state = "clamped"')
            if self.bore_gauge:
                self.write('gauge = "bore"')
            degrees = 0.0
            if self.chance(0.1):
                degrees = round(self.between(-2, 5), 1)
                self.write(f'temperature = "{20 + degrees:.1f} degC"')
            read = (at + clamp_up) * (1 + A_HOUSING * degrees)
            self.write(f"width = {listed(read + self.rng.normal(0, self.width[0], len(at)), mm)}")
        self.wear = 0.0
        if self.chance(0.35):
            for i in range(self.count + 1):
                wear = self.between(0, 0.02)
                self.wear = max(self.wear, wear)
                self.write("[[side_housing]]", f'serial = "S-{i + 1}"')
                land = (f"{{ front = {um(wear)}, rear = {um(wear * self.between(0, 1))} }}"
                        if self.chance(0.5) else um(wear))
                self.write(f"land_wear = {land}", f"tip_wear = {um(wear * self.between(0, 1.3))}")

    def wishes(self):
        """Clearance and step wanted: the step near what the heat needs."""
        self.clearance = round(self.between(0.15, 0.3), 2)
        lever = self.tip / self.land - 1
        needed = []
        for housing, arc, land, tip in [np.zeros(4), *self.heat.values()]:
            width = self.nominal - self.clearance
            grown = (max(self.greatest) * (1 + A_HOUSING * (housing + arc)) + self.wear
                     - width * (1 + A_ROTOR * land))
            needed.append(lever * grown / 2 + width * A_ROTOR * (tip - land) / 2)
        over = self.between(-0.006, 0.004) if self.chance(0.3) else self.between(0.004, 0.02)
        self.step = round(max(needed) + over, 3)
        self.tight = self.chance(0.2)
        self.clearance_tolerance = self.between(0.006, 0.010) if self.tight else (
            self.between(0.014, 0.03))
        self.step_tolerance = self.between(0.007, 0.011) if self.tight else self.between(0.010, 0.02)
        self.match = self.between(0.004, 0.016)
        self.deepest = [0.0, 0.0]

    def rotor(self, i):
        kind = self.rng.choice(list(KINDS), p=list(KINDS.values()))
        aim = self.least[i] - self.clearance
        rough = self.between(0.0, 0.006)
        lean = self.rng.normal(0, 0.003)
        small = lambda size: self.rng.normal(0, size, 3)
        if kind == "fresh":
            spare = self.between(0.03, 0.16)
        elif kind == "thin":
            spare = self.between(0.0, 2.2 * self.least_cut)
        elif kind == "right":
            spare, rough, lean = self.rng.normal(0, 0.003), self.between(0, 0.002), 0.0
        elif kind == "worn":
            spare, rough = -self.between(0.0, 0.012), self.between(0, 0.01)
        else:
            spare = -self.between(0.01, 0.06)
        land = np.array([(aim + spare) / 2 + s * lean + small(rough) for s in (1, -1)])
        if kind == "right":
            step = self.step + np.array([small(0.002), small(0.002)])
        elif self.chance(0.15):  # every tip as low as the aim, or lower
            step = (land - (aim / 2 - self.step) + self.between(0, 0.7 * self.step_tolerance)
                    + np.abs([small(0.001), small(0.001)]))
        elif self.chance(0.3):  # passes off the tips near the least cut
            step = self.step - np.array([[self.between(0, 1.5 * self.least_cut)] * 3
                                         for _ in range(2)])
            step += spare / 2 * (kind == "fresh") + np.array([small(0.002), small(0.002)])
        else:
            step = self.step - self.between(0.005, 0.05) + np.array([small(0.005), small(0.005)])
        if self.chance(0.1):  # a low tip
            deep = self.between(-0.004, 1.3 * self.step_tolerance)
            face, tip = self.rng.integers(2), self.rng.integers(3)
            step[face, tip] = land[face, tip] - (aim / 2 - self.step) + deep
        tips = land - step
        self.deepest[0] = max(self.deepest[0], (land.max(axis=1) - aim / 2).max())
        self.deepest[1] = max(self.deepest[1], (tips.max(axis=1) - aim / 2 + self.step).max())
        self.read(i, land, tips, step)

    def read(self, i, land, tips, step):
        degrees = round(self.between(-2, 5), 1) if self.chance(0.1) else 0.0
        zero, dial_zero = self.rng.normal(0, (self.width[1], self.dial[1]))
        noise = lambda size: self.rng.normal(0, size, 3)
        growth = 1 + A_ROTOR * degrees
        readings = {
            "land_width": land.sum(axis=0) * growth + zero + noise(self.width[0]),
            "gear_step": step[0] + dial_zero + noise(self.dial[0]),
            "plain_step": step[1] + dial_zero + noise(self.dial[0]),
        }
        if self.chance(0.5):
            readings["tip_width"] = tips.sum(axis=0) * growth + zero + noise(self.width[0])
        for face, key in enumerate(("gear_runout", "plain_runout")):
            if self.chance(0.4):
                readings[key] = land[face] - land[face].min() + noise(self.dial[0])
        if self.chance(0.1):
            key = self.rng.choice(list(readings))
            wrong = self.rng.choice([0.5, -0.5, 0.04, -0.025]) if key.endswith("width") else (
                self.rng.choice([0.06, -0.03, 0.02]))
            readings[key][self.rng.integers(3)] += wrong
        self.write("", "[[rotor]]", f'serial = "R-{i + 1}"',
                   f'gear_face = "{self.rng.choice(["front", "rear"])}"')
        if self.chance(0.8):
            self.write(f'mass = "{round(self.between(3500, 5000))} g"')
        if degrees:
            self.write(f'temperature = "{20 + degrees:.1f} degC"')
        if self.chance(0.2):
            self.write('squareness_u = "8 um"')
        for key, values in readings.items():
            self.write(f"{key} = {listed(values, mm)}")

    def spec(self):
        limit = lambda deepest, usual: (
            max(deepest + self.between(-0.012, 0.01), 0.004) if self.chance(0.15) else usual)
        self.write("", "[spec]", 'name = "drawn"',
                   f"side_clearance = {{ target = {mm(self.clearance)}, "
                   f"tolerance = {um(self.clearance_tolerance, 1)} }}",
                   f"step = {{ target = {mm(self.step)}, tolerance = {um(self.step_tolerance, 1)} }}")
        if self.count > 1:
            self.write(f"match = {um(self.match, 1)}")
        self.write(f"land_cut_limit = {mm(limit(self.deepest[0], 0.2))}",
                   f"tip_cut_limit = {mm(limit(self.deepest[1], 0.3))}")


def write(seed, count, folder):
    folder = pathlib.Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    for k in range(count):
        (folder / f"drawn-{seed}-{k:04}.toml").write_text(Draw((seed, k)).build(), encoding="utf-8")


if __name__ == "__main__":
    write(int(sys.argv[1]), int(sys.argv[2]), sys.argv[3])
