"""Reference values of the rotary engine's geometry, by means other than the kernel's formulas.

The only formula taken over is the definition of the bore: the path of a point of the rotor at
the generating radius, moved outward by the parallel shift along its normal. Everything else is
found numerically:

- the rotor's outline by turning the rotor through every pose, meeting the bore along a ray from
  the rotor's axis, and keeping the least distance (envelope by minimisation);
- a flank with a running gap by stepping inwards until the least distance to every bore of the
  family is the gap;
- areas by integrating that outline, or by a dense polygon (shoelace) with Richardson's
  extrapolation;
- lengths by adaptive quadrature and by the elliptic integrals of scipy and mpmath.

Run `python make.py` here; it writes values.csv. Millimetres and degrees.
"""

import csv
import functools
import pathlib

import mpmath
import numpy as np
from scipy.integrate import quad
from scipy.optimize import brentq, minimize, minimize_scalar
from scipy.special import ellipe, ellipeinc

SETS = [
    # R, e, a
    (105.0, 15.0, 0.0),
    (105.0, 15.0, 2.0),
    (101.5, 14.5, 2.5),
    (80.0, 9.0, 1.5),
    (60.0, 12.0, 1.0),
]


def z(R, e, t):
    return e * np.exp(3j * t) + R * np.exp(1j * t)


def dz(R, e, t):
    return 3j * e * np.exp(3j * t) + 1j * R * np.exp(1j * t)


def bore(R, e, a, t):
    tangent = dz(R, e, t)
    return z(R, e, t) - 1j * a * tangent / abs(tangent)


def seen(R, e, a, beta, t):
    """The bore seen from a rotor that points to beta."""
    return np.exp(-1j * beta) * (bore(R, e, a, t) - e * np.exp(3j * beta))


def ray(R, e, a, beta, alpha):
    """Distance from the rotor's axis to the bore along the ray at alpha from the tip."""
    back = np.exp(-1j * alpha)

    def aside(t):
        return np.angle(seen(R, e, a, beta, t) * back)

    t = brentq(aside, beta + alpha - 1.2, beta + alpha + 1.2, xtol=1e-15, rtol=1e-15)
    return abs(seen(R, e, a, beta, t))


@functools.cache
def outline(R, e, a, alpha):
    """Least distance over all poses (half a turn: the bore is its own image after it)."""
    poses = np.linspace(0.0, np.pi, 61)
    found = [ray(R, e, a, b, alpha) for b in poses]
    i = int(np.argmin(found))
    step = poses[1]
    best = minimize_scalar(
        lambda b: ray(R, e, a, b, alpha),
        bounds=(poses[i] - step, poses[i] + step),
        method="bounded",
        options={"xatol": 1e-10},
    )
    return float(best.fun)


def nose_azimuth(R, e, a):
    """Where the crown of the seal ends and the flank begins: the crown's centre is fixed in the
    rotor, and the bore's normal there leans most at that end."""
    lean = minimize_scalar(
        lambda t: -np.angle(-1j * dz(R, e, t) * np.exp(-1j * t)),
        bounds=(0.0, np.pi / 2),
        method="bounded",
        options={"xatol": 1e-12},
    )
    return float(np.angle(R + a * np.exp(1j * (-lean.fun))))


def gapped(R, e, a, gap, alpha):
    """Radius at which the least distance to all bores of the family is the gap."""
    poses = np.linspace(0.0, np.pi, 91)
    params = np.linspace(0.0, 2.0 * np.pi, 361)
    grid_b, grid_t = np.meshgrid(poses, params, indexing="ij")
    family = seen(R, e, a, grid_b, grid_t)

    def least(radius):
        p = radius * np.exp(1j * alpha)
        i, j = np.unravel_index(np.argmin(abs(family - p)), family.shape)

        def square(x):
            return abs(seen(R, e, a, x[0], x[1]) - p) ** 2

        best = minimize(square, [poses[i], params[j]], method="BFGS", options={"gtol": 1e-12})
        best = minimize(
            square, best.x, method="Nelder-Mead", options={"xatol": 1e-11, "fatol": 1e-18}
        )
        return np.sqrt(best.fun)

    whole = outline(R, e, a, alpha)
    return brentq(lambda r: least(r) - gap, whole - 3.0 * gap, whole - 0.3 * gap, xtol=1e-10)


def polar_area(R, e, a, low, high):
    """Area of the rotor with its seals' crowns between two azimuths from a tip, 0..120 degrees
    wide in all, by Gauss-Legendre over the minimised outline, split where the crown ends."""
    crown = nose_azimuth(R, e, a)
    third = 2.0 * np.pi / 3.0
    knots = [low]
    for k in range(-2, 5):
        for edge in (k * third - crown, k * third + crown, k * third + np.pi / 3.0):
            if low + 1e-12 < edge < high - 1e-12:
                knots.append(edge)
    knots = sorted(knots) + [high]
    nodes, weights = np.polynomial.legendre.leggauss(20)
    total = 0.0
    for start, end in zip(knots, knots[1:]):
        if end - start < 1e-14:
            continue
        for x, w in zip(nodes, weights):
            alpha = 0.5 * (start + end) + 0.5 * (end - start) * x
            within = alpha % third
            radius = outline(R, e, a, round(min(within, third - within), 15))
            total += 0.25 * (end - start) * w * radius**2
    return total


def chamber(R, e, a, beta):
    """Area between bore and rotor, seals' crowns part of the rotor, when the tip that the chamber
    starts from points to beta: as swept by rays from the rotor's axis."""
    third = 2.0 * np.pi / 3.0

    def swept(t):
        w = seen(R, e, a, beta, t)
        h = 1e-5
        slope = (seen(R, e, a, beta, t + h) - seen(R, e, a, beta, t - h)) / (2.0 * h)
        # Richardson: the central difference's h^2 is taken out.
        wide = (seen(R, e, a, beta, t + 2 * h) - seen(R, e, a, beta, t - 2 * h)) / (4.0 * h)
        slope = (4.0 * slope - wide) / 3.0
        return 0.5 * (np.conj(w) * slope).imag

    start, end = seen(R, e, a, beta, beta), seen(R, e, a, beta, beta + third)
    outer = quad(swept, beta, beta + third, epsabs=1e-10, epsrel=1e-12, limit=200)[0]
    low, high = np.angle(start), np.angle(end * np.exp(-1j * third)) + third
    return outer - polar_area(R, e, a, low, high)


def shoelace(points):
    return 0.5 * float(np.sum((np.conj(points) * np.roll(points, -1)).imag))


def polygon_area(R, e, a):
    """Area of the bore by polygons of n and 2n corners, extrapolated."""
    rough, fine = (
        shoelace(bore(R, e, a, 2.0 * np.pi * np.arange(n) / n)) for n in (20_000, 40_000)
    )
    return (4.0 * fine - rough) / 3.0


def polygon_length(R, e, a):
    rough, fine = (
        float(np.sum(abs(np.diff(bore(R, e, a, 2.0 * np.pi * np.arange(n + 1) / n)))))
        for n in (20_000, 40_000)
    )
    return (4.0 * fine - rough) / 3.0


def face(R, e, a, land, tip, level, slope, heading):
    """Area of the side face outside the land, and volume under a plane clipped at nothing over
    it, by a dense grid over the minimised outline (no running gap)."""
    third = 2.0 * np.pi / 3.0
    corner = brentq(lambda x: outline(R, e, a, x) - tip, 1e-3, np.pi / 3.0, xtol=1e-13)
    panels = [(0.0, corner, 1)]
    edges = np.linspace(corner, np.pi / 3.0, 5)
    panels += [(s, t, 0) for s, t in zip(edges, edges[1:])]
    nodes, weights = np.polynomial.legendre.leggauss(24)
    radial, radial_w = np.polynomial.legendre.leggauss(200)
    area = volume = 0.0
    for start, end, clipped in panels:
        for x, w in zip(nodes, weights):
            alpha = 0.5 * (start + end) + 0.5 * (end - start) * x
            outer = tip if clipped else outline(R, e, a, alpha)
            width = 0.5 * (end - start) * w
            area += 6.0 * width * 0.5 * (outer**2 - land**2)
            r = 0.5 * (outer + land) + 0.5 * (outer - land) * radial
            ring = 0.5 * (outer - land) * radial_w * r * width
            for k in range(3):
                for side in (1.0, -1.0):
                    at = k * third + side * alpha
                    depth = level + slope * r * np.cos(at - heading)
                    volume += float(np.sum(ring * np.maximum(0.0, depth)))
    return area, volume


def rows():
    for R, e, a in SETS:
        yield "bore_area", R, e, a, 0, "", "", polygon_area(R, e, a), 1e-5, "polygon, extrapolated"
        yield "bore_length", R, e, a, 0, "", "", polygon_length(R, e, a), 1e-6, "polygon, extrapolated"
        crown = np.degrees(nose_azimuth(R, e, a))
        for azimuth in (6.0, 15.0, 30.0, 45.0, 60.0):
            assert azimuth > crown
            radius = outline(R, e, a, float(np.radians(azimuth)))
            yield "outline_radius", R, e, a, 0, azimuth, "", radius, 1e-8, "envelope by minimisation"
        for theta in (0.0, 90.0, 200.0, 270.0):
            area = chamber(R, e, a, np.radians(30.0 + theta / 3.0))
            yield "chamber_area", R, e, a, 0, theta, "", area, 1e-4, "rays over minimised outline"

    for R, e, a, gap, azimuth in (
        (101.5, 14.5, 2.5, 0.5, 12.0),
        (101.5, 14.5, 2.5, 0.5, 40.0),
        (80.0, 9.0, 1.5, 0.3, 25.0),
        (60.0, 12.0, 1.0, 0.6, 50.0),
    ):
        radius = gapped(R, e, a, gap, float(np.radians(azimuth)))
        yield "outline_radius", R, e, a, gap, azimuth, "", radius, 1e-6, "least distance to all bores"

    for R, e, a in SETS[::2]:
        if a == 0.0:
            area = 3.0 * polar_area(R, e, a, 0.0, 2.0 * np.pi / 3.0)
            yield "outline_area", R, e, a, 0, "", "", area, 1e-5, "minimised outline, Gauss"
        m = 12.0 * e * R / (R + 3.0 * e) ** 2
        length = 4.0 * (R + 3.0 * e) * float(ellipe(m)) + 2.0 * np.pi * a
        yield "bore_length", R, e, a, 0, "", "", length, 1e-9, "scipy ellipe"
        mp = 4 * (R + 3 * e) * mpmath.ellipe(mpmath.mpf(m)) + 2 * mpmath.pi * a
        yield "bore_length", R, e, a, 0, "", "", float(mp), 1e-9, "mpmath ellipe"
    for R, e, t in ((105.0, 15.0, 200.0), (80.0, 9.0, 77.0), (60.0, 12.0, -130.0)):
        m = 12.0 * e * R / (R + 3.0 * e) ** 2
        arc = (R + 3.0 * e) * float(ellipeinc(np.radians(t), m))
        yield "bore_arc", R, e, 0.0, 0, 0.0, t, arc, 1e-9, "scipy ellipeinc"
        arc = quad(lambda x: abs(dz(R, e, x)), 0.0, np.radians(t), epsabs=1e-12, epsrel=1e-13)[0]
        yield "bore_arc", R, e, 0.0, 0, 0.0, t, arc, 1e-9, "adaptive quadrature"

    for R, e, a, land, tip in ((101.5, 14.5, 2.5, 61.0, 99.0), (80.0, 9.0, 1.5, 50.0, 77.5)):
        area, wedge = face(R, e, a, land, tip, 0.1, 0.001, np.radians(25.0))
        _, clipped = face(R, e, a, land, tip, 0.0, 0.002, np.radians(70.0))
        yield "face_area", R, e, a, 0, land, tip, area, 1e-5, "minimised outline, Gauss"
        # Depth 0.1 mm and 1 mm per metre towards 25 degrees; then 2 mm per metre, clipped.
        yield "face_wedge", R, e, a, 0, land, tip, wedge, 1e-2, "minimised outline, dense grid"
        yield "face_clipped", R, e, a, 0, land, tip, clipped, 0.02, "minimised outline, dense grid"


def main():
    target = pathlib.Path(__file__).with_name("values.csv")
    with target.open("w", newline="") as out:
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(
            ["quantity", "R", "e", "a", "gap", "at", "to", "value", "tolerance", "how"]
        )
        for quantity, R, e, a, gap, at, to, value, tolerance, how in rows():
            # One digit below the tolerance: what was computed beyond it is noise.
            digits = max(0, int(np.ceil(-np.log10(tolerance))) + 1)
            writer.writerow(
                [quantity, R, e, a, gap, at, to, f"{value:.{digits}f}", f"{tolerance:g}", how]
            )


if __name__ == "__main__":
    main()
