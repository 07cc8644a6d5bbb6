"""Room of a rotor by scipy.optimize.linprog (HiGHS), from the definitions alone.

Writes values.csv: the inputs of each case and what the linear programs give. Lengths in mm,
depths of wear and expansions as named in the header, angles in degrees, slopes in rad. Run it
in this folder: `python make.py`. The same versions give the same bytes.
"""

import csv
import math
import pathlib

import numpy as np
import scipy
from scipy.optimize import brentq, linprog

NM = 1e6  # nanometres per millimetre: programs are posed in nm, so that solver tolerances vanish
OPTIONS = {"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10}
INPUTS = (
    "case looks land_radius tip_radius reading_radius taper_start taper_root generating_radius "
    "eccentricity parallel_shift width_least width_greatest "
    "gear_land1 gear_land2 gear_land3 gear_tip1 gear_tip2 gear_tip3 "
    "plain_land1 plain_land2 plain_land3 plain_tip1 plain_tip2 plain_tip3 "
    "front_land_wear front_tip_wear front_bore rear_land_wear rear_tip_wear rear_bore "
    "opening_from opening_to opening_start_deg opening_end_deg "
    "rotor_expansion housing_expansion housing_k hot_arc_k land_k tip_k "
    "places ring_points outline place directions direction tilt_rad"
).split()
OUTPUTS = (
    "jammed least greatest float worst_float centred jam_rad worst_rad centred_rad "
    "float_tilted worst_tilted centred_tilted"
).split()


def plane(values, azimuths, radius):
    """Coefficients (h, gx, gy) of the plane through three heights at a radius."""
    rows = [[1.0, radius * math.cos(a), radius * math.sin(a)] for a in azimuths]
    return np.linalg.solve(np.array(rows), np.array(values))


class Case:
    def __init__(self, given):
        self.__dict__.update(given)
        sense = 1.0 if self.looks == "rear" else -1.0
        self.tip_azimuths = [sense * math.radians(-120.0 * k) for k in range(3)]
        taper = self.taper_start is not None
        self.contact = self.taper_start if taper else self.land_radius
        read = self.reading_radius if self.reading_radius is not None else self.tip_radius
        points = []  # azimuth about the engine's z from tip 1, radius, is it a tip
        for item in self.outline.split(";"):
            azimuth, radius = item.split(":")
            radius = self.tip_radius if radius == "tip" else float(radius)
            points.append((sense * math.radians(float(azimuth)), radius, item.endswith("tip")))
        if taper:
            for a in self.tip_azimuths:
                for i in range(4):
                    r = self.contact + i / 4 * (self.tip_radius - self.contact)
                    points.append((a, r, False))
        self.points = points
        faces = {"gear": self.gear, "plain": self.plain}
        order = ("gear", "plain") if self.looks == "rear" else ("plain", "gear")
        grow = lambda k: 1.0 + self.rotor_expansion * k
        self.land, self.height = [], []
        for name in order:  # the face that looks to the rear first
            lands, tips = faces[name]
            land = plane(lands, self.tip_azimuths, self.land_radius)
            tip = plane(tips, self.tip_azimuths, read)
            self.land.append(land * grow(self.land_k))
            heights = []
            for a, r, _ in points:
                u = np.array([1.0, r * math.cos(a), r * math.sin(a)])
                if taper:
                    v = np.array([1.0, read * math.cos(a), read * math.sin(a)])
                    whole = (land - tip) @ v
                    out = r - self.taper_start
                    depth = self.taper_root + (whole - self.taper_root) * out / (
                        read - self.taper_start
                    )
                    part = out / (self.tip_radius - self.taper_start)
                    k = self.land_k + part * (self.tip_k - self.land_k)
                    heights.append((land @ u - depth) * grow(k))
                else:
                    heights.append((tip @ u) * grow(self.tip_k))
            self.height.append(heights)

    def wear(self, wall, distance):
        land, tip = wall
        inner = self.contact + self.eccentricity
        outer = self.tip_radius - self.eccentricity
        if inner > outer:
            inner = outer = (self.contact + self.tip_radius) / 2
        if distance <= inner:
            return land
        if distance >= outer:
            return tip
        return land + (tip - land) * (distance - inner) / (outer - inner)

    def wall(self, side, x, y, width):
        """Distance of a wall from the middle at a place in the engine, None without metal."""
        distance = math.hypot(x, y)
        bore = self.rear_bore if side == 0 else self.front_bore
        if bore is not None and distance < bore:
            return None
        if side == 1 and self.opening is not None:
            r0, r1, a0, a1 = self.opening
            turned = (math.degrees(math.atan2(y, x)) - a0) % 360.0
            if r0 < distance < r1 and turned < (a1 - a0) % 360.0:
                return None
        waist = self.generating_radius - self.eccentricity + self.parallel_shift
        hot = width * (1.0 + self.housing_expansion * self.housing_k)
        wedge = self.housing_expansion * width * self.hot_arc_k * 0.5 * (1.0 + y / waist)
        worn = self.rear_wear if side == 0 else self.front_wear
        return 0.5 * (hot + wedge) + self.wear(worn, distance)

    def place_rows(self, place, width):
        """Rows of the lands (A v <= b, v = z, p, q in engine axes) and the points outside."""
        theta = 6 * math.pi * place / self.places
        centre = self.eccentricity * np.exp(1j * (math.pi / 2 + theta))
        # Flank 1, half way from tip 1 to tip 2, is over +y at theta = 0.
        half = self.tip_azimuths[1] / 2 if self.looks == "rear" else math.radians(60.0)
        tip1 = math.pi / 2 - half + theta / 3
        # A tip must follow the bore e exp(3it) + R exp(it).
        for k in range(3):
            t = tip1 + self.tip_azimuths[k]
            assert abs(self.eccentricity * np.exp(3j * t) - centre) < 1e-9
        rows, right = [], []
        for j in range(self.ring_points):
            a = 2 * math.pi * j / self.ring_points
            local = self.contact * np.exp(1j * a)
            offset = local * np.exp(1j * tip1)
            at = centre + offset
            for side in (0, 1):
                wall = self.wall(side, at.real, at.imag, width)
                if wall is None:
                    continue
                height = self.land[side] @ [1.0, local.real, local.imag]
                sign = 1.0 if side == 0 else -1.0
                rows.append([sign, sign * offset.real, sign * offset.imag])
                right.append(wall - height)
        outside = []
        for i, (a, r, is_tip) in enumerate(self.points):
            offset = r * np.exp(1j * (a + tip1))
            at = centre + offset
            gaps = []
            for side in (0, 1):
                wall = self.wall(side, at.real, at.imag, width)
                gaps.append(None if wall is None else wall - self.height[side][i])
            outside.append((offset, gaps, is_tip))
        return np.array(rows), np.array(right) * NM, outside


def program(cost, rows, right, bounds):
    """Minimum of cost · v, or None if there is no v."""
    found = linprog(cost, A_ub=rows, b_ub=right, bounds=bounds, method="highs", options=OPTIONS)
    if found.status == 2:
        return None
    assert found.status == 0, found.message
    return found.fun


def solve(case):
    free = [(None, None)] * 3
    jammed, least, greatest = False, math.inf, -math.inf
    for place in range(case.places):
        rows, right, _ = case.place_rows(place, case.width_least)
        if program([0, 0, 0], rows, right, free) is None:
            jammed = True
        rows, right, outside = case.place_rows(place, case.width_greatest)
        for offset, gaps, is_tip in outside:
            towards = np.array([1.0, offset.real, offset.imag])
            for side, sign in ((0, 1.0), (1, -1.0)):
                if gaps[side] is None:
                    continue
                low = program(-sign * towards, rows, right, free)
                if low is None:
                    continue
                least = min(least, gaps[side] + low / NM)
                if is_tip:
                    high = -program(sign * towards, rows, right, free)
                    greatest = max(greatest, gaps[side] + high / NM)
    out = {
        "jammed": int(jammed),
        "least": None if least == math.inf else least,
        "greatest": None if greatest == -math.inf else greatest,
    }
    rows, right, outside = case.place_rows(case.place, case.width_greatest)
    angle = 2 * math.pi * case.direction / case.directions
    u = np.exp(1j * angle)
    flat = np.column_stack([rows[:, 0], rows[:, 1] * u.real + rows[:, 2] * u.imag])

    def limits(t):
        """Lowest and highest z at slope t (nm per mm)."""
        room = right - flat[:, 1] * t
        return np.max(-room[flat[:, 0] < 0]), np.min(room[flat[:, 0] > 0])

    lines = []  # gap = at + slope t − sign z
    for offset, gaps, _ in outside:
        along = (offset * np.conj(u)).real
        for side, sign in ((0, 1.0), (1, -1.0)):
            if gaps[side] is not None:
                lines.append((gaps[side] * NM, -sign * along, sign))

    def level(t):
        low, high = limits(t)
        worst = min(a + b * t - s * (high if s > 0 else low) for a, b, s in lines)
        mid = 0.5 * (low + high)
        centred = min(a + b * t - s * mid for a, b, s in lines)
        return (high - low) / NM, worst / NM, centred / NM

    for name, t in (("", 0.0), ("_tilted", case.tilt_rad * NM)):
        room, worst, centred = level(t)
        out["float" + name] = room
        prefix = "worst_float" if name == "" else "worst" + name
        out[prefix] = worst if room >= 0 else None
        out["centred" + name] = centred if room >= 0 else None
    jam = 0.0
    if level(0.0)[0] >= 0:
        jam = -program([0.0, -1.0], flat, right, [(None, None), (0, None)])
    out["jam_rad"] = jam / NM
    first = None
    above = flat[:, 0] > 0
    for a, b, s in lines if jam > 0 else []:
        own = above if s > 0 else ~above
        # Not clear of the wall at worst float: a + b t − (room_j − flat_j t) <= 0 for every
        # row j of the land on that side; the least such t.
        coefficients = b + flat[own, 1]
        t = program([1.0], coefficients[:, None], right[own] - a, [(0.0, jam)])
        if t is not None and t < jam * (1 - 1e-12) and (first is None or t < first):
            first = t
    out["worst_rad"] = None if first is None else first / NM
    first = None
    if jam > 0:
        grid = np.linspace(0.0, jam, 4001)[:-1]
        gaps = [level(t)[2] for t in grid]
        if gaps[0] <= 0:
            first = 0.0
        for t0, t1, g0, g1 in zip(grid, grid[1:], gaps, gaps[1:]):
            if first is None and g0 > 0 >= g1:
                first = brentq(lambda t: level(t)[2], t0, t1, xtol=1e-12, rtol=1e-14)
    out["centred_rad"] = None if first is None else first / NM
    return out


def cases():
    rng = np.random.default_rng(20240611)
    tips = "0:tip;-120:tip;-240:tip"
    flanks = tips + ";-25:84.5;-60:76.5;-95:85;-145:84.5;-180:76.5;-265:84.5;-300:76.5"
    base = dict(
        looks="rear", land_radius=61.0, tip_radius=99.0, reading_radius=None, taper_start=None,
        taper_root=None, generating_radius=101.5, eccentricity=14.5, parallel_shift=2.5,
        width_least=80.006, width_greatest=80.014, gear=([39.894] * 3, [39.794] * 3),
        plain=([39.894] * 3, [39.794] * 3), front_wear=(0.0, 0.0), rear_wear=(0.0, 0.0),
        front_bore=None, rear_bore=None, opening=None, rotor_expansion=11.0e-6,
        housing_expansion=21.5e-6, housing_k=0.0, hot_arc_k=0.0, land_k=0.0, tip_k=0.0, places=4,
        ring_points=72, outline=tips, place=0, directions=12, direction=5, tilt_rad=0.0005,
    )
    warming = dict(housing_k=20.0, hot_arc_k=10.0, land_k=80.0, tip_k=110.0)
    steady = dict(housing_k=70.0, hot_arc_k=20.0, land_k=90.0, tip_k=140.0)
    soak = dict(housing_k=85.0, hot_arc_k=5.0, land_k=90.0, tip_k=95.0)
    heat = [{}, warming, steady, soak]

    def face(spread_land, spread_tip, land=39.894, tip=39.794):
        lands = [round(land + x, 4) for x in rng.uniform(-spread_land, spread_land, 3)]
        tip_heights = [round(tip + x, 4) for x in rng.uniform(-spread_tip, spread_tip, 3)]
        return lands, tip_heights

    def turned():
        return dict(
            looks=str(rng.choice(["rear", "front"])), place=int(rng.integers(0, 4)),
            directions=23, direction=int(rng.integers(0, 23)),
            tilt_rad=round(float(rng.uniform(0.0001, 0.0012)), 6),
        )

    def worn():
        return dict(
            front_wear=tuple(round(float(x), 4) for x in rng.uniform(0, 0.03, 2)),
            rear_wear=tuple(round(float(x), 4) for x in rng.uniform(0, 0.03, 2)),
        )

    yield "square", base
    yield "square, too little step", dict(base, gear=([39.894] * 3, [39.844] * 3))
    for i in range(8):
        yield f"uneven {i}", dict(base, gear=face(0.008, 0.02), plain=face(0.008, 0.02), **turned())
    for i, state in enumerate(heat):
        yield f"hot {i}", dict(base, gear=face(0.004, 0.01), plain=face(0.004, 0.01),
                               **turned(), **state)
    for i in range(6):
        yield f"worn {i}", dict(base, gear=face(0.006, 0.02), plain=face(0.006, 0.02),
                                outline=flanks, **turned(), **worn(), **heat[i % 4])
    for i in range(4):
        yield f"worn, tracks overlap {i}", dict(
            base, gear=face(0.006, 0.02), plain=face(0.006, 0.02), land_radius=71.3,
            outline=flanks, **turned(), **worn(), **heat[i % 4])
    for i in range(4):
        yield f"central bore {i}", dict(
            base, gear=face(0.006, 0.02), plain=face(0.006, 0.02), front_bore=52.0 + i,
            rear_bore=50.0, **turned(), **worn(), **heat[i % 4])
    for i in range(4):
        yield f"opening {i}", dict(
            base, gear=face(0.006, 0.02), plain=face(0.006, 0.02), outline=flanks,
            opening=(55.0, 90.0, 150.0 + 40 * i, 195.0 + 40 * i), **turned(), **worn(), **heat[i])
    for i in range(4):
        yield f"taper {i}", dict(
            base, gear=face(0.004, 0.01), plain=face(0.004, 0.01),
            taper_start=61.0 + 4 * i, taper_root=0.01 * (i + 1),
            reading_radius=None if i % 2 else 92.0,
            outline=tips + ";-30:88;-90:88", **turned(), **worn(), **heat[i])
    yield "read inside", dict(base, gear=face(0.006, 0.02), plain=face(0.006, 0.02),
                              reading_radius=94.0, **turned())
    yield "jammed", dict(base, gear=([40.005] * 3, [39.9] * 3), plain=([40.012] * 3, [39.9] * 3),
                         tilt_rad=0.0)
    yield "jammed in the least width only", dict(
        base, gear=([40.005] * 3, [39.9] * 3), plain=([40.002] * 3, [39.9] * 3), tilt_rad=0.00001)
    yield "jammed while warming up", dict(
        base, gear=face(0.002, 0.01, 39.99, 39.87), plain=face(0.002, 0.01, 39.99, 39.87),
        tilt_rad=0.0, **warming)
    for i in range(2):
        tight = dict(base, gear=face(0.02, 0.01, 39.99, 39.87), plain=face(0.02, 0.01, 39.99, 39.87))
        yield f"lands far from parallel {i}", dict(tight, places=1, tilt_rad=0.0)
    lean = np.array([0.02, -0.01, -0.01])
    yield "out of square, passes tilted", dict(
        base, gear=([round(40.0 + x, 4) for x in lean], [39.9] * 3),
        plain=([round(40.0 - x, 4) for x in lean], [39.9] * 3), tilt_rad=0.0)
    yield "fine ring", dict(base, gear=face(0.008, 0.02), plain=face(0.008, 0.02), ring_points=360,
                            outline=flanks, places=6, **worn(), **steady)


def main():
    path = pathlib.Path(__file__).with_name("values.csv")
    with path.open("w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(INPUTS + OUTPUTS)
        for name, given in cases():
            case = Case(given)
            found = solve(case)
            row = {"case": name.replace(",", "")}
            for key in INPUTS:
                if key in given:
                    row[key] = given[key]
            for face in ("gear", "plain"):
                for k in range(3):
                    row[f"{face}_land{k + 1}"] = given[face][0][k]
                    row[f"{face}_tip{k + 1}"] = given[face][1][k]
            for wall in ("front", "rear"):
                row[f"{wall}_land_wear"], row[f"{wall}_tip_wear"] = given[wall + "_wear"]
            if given["opening"] is not None:
                names = ("opening_from", "opening_to", "opening_start_deg", "opening_end_deg")
                row.update(zip(names, given["opening"]))
            for key in OUTPUTS:
                value = found[key]
                if value is None or key == "jammed":
                    row[key] = value
                elif key.endswith("_rad"):
                    row[key] = f"{value:.15f}"
                else:
                    row[key] = f"{value:.12f}"
            out.writerow("" if row.get(k) is None else row[k] for k in INPUTS + OUTPUTS)


if __name__ == "__main__":
    main()
