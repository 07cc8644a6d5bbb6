"""Reads a build file into plain numbers: millimetres, kelvin, grams.

The text is read with tomllib. What the planning needs and the file leaves out gets the default
that is written here, once.
"""

import re
import tomllib
from fractions import Fraction
from types import SimpleNamespace

import numpy as np

LENGTH_MM = {
    "mm": Fraction(1), "um": Fraction(1, 1000), "\u00b5m": Fraction(1, 1000),
    "\u03bcm": Fraction(1, 1000), "cm": Fraction(10), "m": Fraction(1000),
    "in": Fraction("25.4"), '"': Fraction("25.4"), "\u2033": Fraction("25.4"),
    "inch": Fraction("25.4"), "thou": Fraction("0.0254"),
}
MASS_G = {"g": Fraction(1), "kg": Fraction(1000), "lb": Fraction("453.59237")}
RISE_K = {"K": Fraction(1)}
EXPANSION = {"/K": Fraction(1), "1/K": Fraction(1), "ppm/K": Fraction(1, 10**6),
             "um/m/K": Fraction(1, 10**6)}
DENSITY_KG_M3 = {"kg/m3": Fraction(1), "kg/m\u00b3": Fraction(1), "g/cm3": Fraction(1000),
                 "g/cm\u00b3": Fraction(1000)}
NUMBER = re.compile(r"^\s*([+-]?(?:\d+\s+\d+/\d+|\d+/\d+|\d*\.?\d+(?:[eE][+-]?\d+)?|\d+\.))\s*(\S.*?)\s*$")

# Expansion per K, density in kg/m3.
MATERIALS = {
    "nodular iron": (11.0e-6, 7100.0),
    "grey iron": (10.6e-6, 7150.0),
    "cast aluminium": (21.5e-6, 2680.0),
    "steel": (12.3e-6, 7850.0),
}
# Rises above 20 degC: housing, hot arc, land, tip.
STATES = ("cold", "warming", "steady", "soak")
HEAT = {
    "cold": (0.0, 0.0, 0.0, 0.0),
    "warming": (20.0, 10.0, 80.0, 110.0),
    "steady": (70.0, 20.0, 90.0, 140.0),
    "soak": (85.0, 5.0, 90.0, 95.0),
}
# Repeat and zero in mm.
GAUGES = {"micrometer": (0.002, 0.001), "indicator": (0.003, 0.0)}
CAPABILITY_MM = 0.0025
LEAST_CUT_MM = 0.010
SQUARENESS_MM = 0.005
TEMPERATURE_U_K = 0.5
LAND_INNER_SHARE = 0.75


def quantity(text, units):
    """A quantity with its unit as a number in the first unit of the table."""
    if not isinstance(text, str):
        raise ValueError(f"{text!r} lacks its unit and quotes")
    match = NUMBER.match(text)
    if not match or match[2] not in units:
        raise ValueError(f"{text!r} is not one of {', '.join(units)}")
    number = sum(Fraction(part) for part in match[1].split())
    return float(number * units[match[2]])


def length(text):
    return quantity(text, LENGTH_MM)


def lengths(texts):
    return np.array([length(text) for text in texts])


def celsius(text):
    match = NUMBER.match(text)
    number = float(sum(Fraction(part) for part in match[1].split()))
    if match[2] in ("degC", "\u00b0C", "C"):
        return number
    if match[2] in ("degF", "\u00b0F", "F"):
        return (number - 32.0) / 1.8
    raise ValueError(f"{text!r} is no temperature")


def to_20(table, expansion):
    """What a length read on this part is at 20 degC, as a factor."""
    return 1.0 - expansion * (celsius(table.get("temperature", "20 degC")) - 20.0)


def temperature_u(table):
    """Standard uncertainty in K; a part without a temperature was read at 20 degC."""
    if "temperature_u" in table:
        return quantity(table["temperature_u"], RISE_K)
    return TEMPERATURE_U_K if "temperature" in table else 0.0


def material(file, name):
    own = file.get("material", {}).get(name)
    if own is None:
        return MATERIALS[name]
    return quantity(own["expansion"], EXPANSION), quantity(own["density"], DENSITY_KG_M3)


def gauge(file, name):
    own = file.get("gauge", {}).get(name)
    if own is None:
        return GAUGES[name]
    return length(own["repeat"]), length(own["zero"]) if "zero" in own else 0.0


def wear(table, key):
    """Wear of a side housing: of its face to the front, of its face to the rear."""
    value = table.get(key, "0 mm")
    if isinstance(value, dict):
        return length(value["front"]), length(value["rear"])
    return length(value), length(value)


READINGS = ("land_width", "gear_step", "plain_step", "tip_width", "gear_runout", "plain_runout")


def rotor(file, table, housing, walls, expansion):
    names = [table.get(key, default) for key, default in (
        ("width_gauge", "micrometer"), ("step_gauge", "indicator"), ("runout_gauge", "indicator"))]
    share = to_20(table, expansion)
    clamp_up = length(housing["clamp_up"]) if housing["state"] == "free" else 0.0
    width = lengths(housing["width"]) * housing["share"] - clamp_up
    front, rear = walls
    return SimpleNamespace(
        serial=table["serial"],
        housing=housing["serial"],
        gear_to_rear=table["gear_face"] == "rear",
        mass_g=quantity(table["mass"], MASS_G) if "mass" in table else None,
        readings={key: lengths(table[key]) * share for key in READINGS if key in table},
        gauges=dict(zip(("width", "step", "runout"), ((n, *gauge(file, n)) for n in names))),
        heat_u=expansion * temperature_u(table),
        squareness=length(table.get("squareness_u", f"{SQUARENESS_MM} mm")),
        housing_gauge=(housing.get("gauge", "micrometer"),
                       *gauge(file, housing.get("gauge", "micrometer"))),
        clamp_up_u=length(housing["clamp_up_u"]) if housing["state"] == "free" else 0.0,
        housing_heat_u=housing["expansion"] * temperature_u(housing),
        least=width.min(), greatest=width.max(),
        land_wear=np.array([wear(front, "land_wear")[1], wear(rear, "land_wear")[0]]),
        tip_wear=np.array([wear(front, "tip_wear")[1], wear(rear, "tip_wear")[0]]),
        after="after" in table,
    )


def build(file):
    """The numbers of a parsed file."""
    engine, spec = file["engine"], file["spec"]
    if spec.get("outside", "step") != "step":
        raise NotImplementedError("a taper outside the land is not covered here")
    rotor_expansion, rotor_density = material(file, engine["rotor_material"])
    housing_expansion, _ = material(file, engine["housing_material"])
    heat = file.get("build", {}).get("duty", {}).get("heat", {})
    rises = np.array([
        [quantity(heat[s][k], RISE_K) for k in ("housing", "hot_arc", "land", "tip")]
        if s in heat else HEAT[s] for s in STATES])
    housings = [dict(h, share=to_20(h, housing_expansion), expansion=housing_expansion) for h in file["housing"]]
    count = len(file["rotor"])
    sides = file.get("side_housing") or [{}] * (count + 1)
    machine = file.get("machine", {})
    seals = file.get("seals", {})
    of_seal = lambda seal, key: (
        length(seals[seal][key]) if key in seals.get(seal, {}) else None)
    land_radius, tip_radius = length(engine["land_radius"]), length(engine["rotor_tip_radius"])
    aim = lambda key: (length(spec[key]["target"]), length(spec[key]["tolerance"]))
    return SimpleNamespace(
        radius=length(engine["generating_radius"]),
        eccentricity=length(engine["eccentricity"]),
        shift=length(engine["parallel_shift"]),
        land_radius=land_radius,
        land_inner=length(engine["land_inner_radius"]) if "land_inner_radius" in engine
        else LAND_INNER_SHARE * land_radius,
        tip_radius=tip_radius,
        reading_radius=length(engine["reading_radius"]) if "reading_radius" in engine
        else tip_radius,
        rotor_expansion=rotor_expansion, housing_expansion=housing_expansion,
        density_g_mm3=rotor_density * 1e-6,
        rises=rises,
        capability=length(machine["capability"]) if "capability" in machine else CAPABILITY_MM,
        least_cut=length(machine["least_cut"]) if "least_cut" in machine else LEAST_CUT_MM,
        clearance=aim("side_clearance"), step=aim("step"),
        match=length(spec["match"]) if "match" in spec else np.inf,
        land_limit=length(spec["land_cut_limit"]), tip_limit=length(spec["tip_cut_limit"]),
        running_gap=of_seal("apex", "running_gap") or 0.0,
        corner_bore=of_seal("corner", "bore_diameter"),
        corner_radius=of_seal("corner", "radius"),
        side_groove=(of_seal("side", "groove_width"), of_seal("side", "groove_length")),
        oil_groove=(of_seal("oil", "radius"), of_seal("oil", "groove_width")),
        rotors=[rotor(file, t, h, sides[i : i + 2], rotor_expansion)
                for i, (t, h) in enumerate(zip(file["rotor"], housings, strict=True))],
    )


def parse(path):
    with open(path, "rb") as file:
        return tomllib.load(file)
