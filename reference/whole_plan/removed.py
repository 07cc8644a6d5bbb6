"""Mass that the planned cuts take away: planes over the flat level, integrated over true areas.

Each integral along a radius is exact; around the axis the trapezoidal rule is used.
"""

import numpy as np

TIP_AZIMUTH = -np.deg2rad([0.0, 120.0, 240.0])
PLACES = 720  # around the rotor, a multiple of three
AZIMUTH = np.arange(PLACES) * (2 * np.pi / PLACES)
# A side seal's groove runs inside the flank's edge, along all but its outermost 10 degrees.
GROOVE_INSIDE = 0.95
GROOVE = np.abs(np.rad2deg(AZIMUTH) % 120 - 60) < 50
TURN = 2 * np.pi / PLACES
DIRECTION = np.array([np.cos(AZIMUTH), np.sin(AZIMUTH)])
# Mean and first harmonic of three values at the tips.
PLANE = np.array([np.full(3, 1 / 3), 2 / 3 * np.cos(TIP_AZIMUTH), 2 / 3 * np.sin(TIP_AZIMUTH)])


def flank(radius, eccentricity, moved, count=1001):
    """One flank from tip to tip as complex numbers, the first tip at azimuth 0.

    Inner envelope of the bore seen from the rotor [YAMAMOTO], moved outwards.
    """
    v = np.linspace(0.0, np.pi / 3, count)
    k = 3 * eccentricity / radius
    lean = np.sqrt(1 - (k * np.cos(3 * v)) ** 2)
    curve = np.exp(2j * v) * (radius - 2 * eccentricity * np.sin(3 * v) * lean
                              - 1j * (3 * eccentricity**2 / radius) * np.sin(6 * v))
    g = -k * np.cos(3 * v) + 1j * lean
    normal = np.exp(2j * v) * (radius + 3 * eccentricity * g * np.exp(3j * v))
    return curve + moved * normal / np.abs(normal)


def outline(build):
    """Radius of the side face at AZIMUTH, clipped at the tip radius."""
    curve = flank(build.radius, build.eccentricity, build.shift - build.running_gap)
    third = np.interp(AZIMUTH[: PLACES // 3], np.angle(curve), np.abs(curve),
                      left=np.inf, right=np.inf)
    return np.minimum(np.tile(third, 3), build.tip_radius)


def volume(planes, inner, outer):
    """Volumes under planes (n x 3: mean, x, y per mm), never negative, between two radii."""
    mean = planes[:, :1]
    slope = planes[:, 1:] @ DIRECTION
    with np.errstate(divide="ignore", invalid="ignore"):
        nothing = np.where(slope == 0, np.where(mean > 0, -np.inf, np.inf), -mean / slope)
    nothing = np.clip(nothing, inner, outer)  # where the plane meets the flat level
    low = np.where(slope >= 0, nothing, inner)
    high = np.where(slope < 0, nothing, outer)
    high2, low2 = high * high, low * low  # a power of 3 would be ten times slower
    under = mean / 2 * (high2 - low2) + slope / 3 * (high2 * high - low2 * low)
    return TURN * np.maximum(under, 0.0).sum(axis=1)


def removed_mm3(build, land_stock, tip_stock, radius_of_face):
    """Volumes off faces; stock is height above the flat level at the tips (n x 3), nan if left."""
    land = np.nan_to_num(land_stock) @ PLANE.T / [1, build.land_radius, build.land_radius]
    tip = np.nan_to_num(tip_stock) @ PLANE.T / [1, build.reading_radius, build.reading_radius]
    on_land = volume(land, build.land_inner, build.land_radius)
    on_face = volume(tip, build.land_radius, radius_of_face)
    voids = np.zeros(len(land))
    radius, width = build.oil_groove
    if radius and width:
        inner = np.clip(radius - width / 2, build.land_inner, build.land_radius)
        outer = np.clip(radius + width / 2, build.land_inner, build.land_radius)
        voids += volume(land, inner, outer)
    if build.corner_bore:
        at = build.corner_radius or build.tip_radius - build.corner_bore / 2
        spots = at * np.array([np.cos(TIP_AZIMUTH), np.sin(TIP_AZIMUTH)])
        depth = np.maximum(tip[:, :1] + tip[:, 1:] @ spots, 0.0)
        voids += np.pi / 4 * build.corner_bore**2 * depth.sum(axis=1)
    width, along = build.side_groove
    if width and along:
        depth = tip[:, :1] + tip[:, 1:] @ (GROOVE_INSIDE * radius_of_face[GROOVE]
                                           * DIRECTION[:, GROOVE])
        voids += 3 * width * along * np.maximum(depth, 0.0).mean(axis=1)
    return on_land + on_face - voids
