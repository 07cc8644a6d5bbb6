"""Writes ross.csv: the shafts of shafts.csv, and two of the literature, by ROSS. See SOURCE.md.

Every element is cut finer than the kernel's mesh, except for the two tables of the literature,
which state their elements.
"""

import csv
import math
import pathlib

import numpy as np
import ross
import scipy.linalg

import shafts

LONGEST = 0.006  # m


def material(young, poisson, density, shear=None):
    shear = young / (2 * (1 + poisson)) if shear is None else shear
    return ross.Material(name="shaft", rho=density, E=young, G_s=shear)


def build(parts):
    """Rotor and its nodes' places."""
    spots = {0.0}
    for kind in ("disc", "unbalance", "support", "station"):
        spots |= {row[0] for row in parts[kind]}
    elements, nodes, start = [], [0.0], 0.0
    for length, outer, inner, young, poisson, density in parts["stretch"]:
        end = start + length
        inside = sorted(p for p in spots if start + 1e-9 < p < end - 1e-9)
        steel = material(young, poisson, density)
        for a, b in zip([start] + inside, inside + [end]):
            count = math.ceil((b - a) / LONGEST)
            for k in range(count):
                elements.append(
                    ross.ShaftElement(
                        L=(b - a) / count, idl=inner, odl=outer, material=steel,
                        shear_effects=True, rotary_inertia=True, gyroscopic=True,
                        shear_method_calc="cowper",
                    )
                )
                nodes.append(a + (b - a) * (k + 1) / count)
        start = end

    nodes = np.array(nodes)
    at = lambda place: int(np.argmin(abs(nodes - place)))
    discs = [ross.DiskElement(at(p), m=m, Id=i_d, Ip=i_p) for p, m, i_p, i_d in parts["disc"]]
    bearings = []
    for support in parts["support"]:
        k, c, km, _ = shafts.matrices(support)
        assert not km.any()  # ROSS has no moment stiffness in a bearing
        bearings.append(
            ross.BearingElement(
                at(support[0]), kxx=k[0, 0], kxy=k[0, 1], kyx=k[1, 0], kyy=k[1, 1],
                cxx=c[0, 0], cxy=c[0, 1], cyx=c[1, 0], cyy=c[1, 1],
            )
        )
    return ross.Rotor(elements, discs, bearings), at


def whirls(rotor, omega=None):
    """Undamped whirls (rad/s, forward?) from ROSS's matrices: at a speed, or synchronous.

    M q" + w G q' + K q = 0; of six unknowns at a node x, y and the two tilts are kept.
    """
    lateral = [i for i in range(rotor.M().shape[0]) if i % 6 in (0, 1, 3, 4)]
    pick = np.ix_(lateral, lateral)
    m, g, k = rotor.M()[pick], rotor.G()[pick], rotor.K(0)[pick]
    x, y = slice(0, None, 4), slice(1, None, 4)
    found = []
    if omega is None:
        values, vectors = scipy.linalg.eig(k, m - 1j * g)
        whirl = [(math.sqrt(v.real), vectors[:, i]) for i, v in enumerate(values) if v.real > 0]
    else:
        n = len(k)
        zero, one = np.zeros((n, n)), np.eye(n)
        a = np.block([[zero, one], [-np.linalg.solve(m, k), -np.linalg.solve(m, omega * g)]])
        values, vectors = np.linalg.eig(a)
        whirl = [(v.imag, vectors[:n, i]) for i, v in enumerate(values) if v.imag > 1.0]
    for frequency, shape in whirl:
        # x + iy turns forward if its positive part is the greater one.
        forward = np.linalg.norm(shape[x] + 1j * shape[y])
        backward = np.linalg.norm(shape[x] - 1j * shape[y])
        found.append((frequency, forward > backward))
    return sorted(found)


def nelson_mcvaugh():
    stations = [0, 1.27, 5.08, 7.62, 8.89, 10.16, 10.67, 11.43, 12.70, 13.46, 16.51, 19.05, 22.86,
                26.67, 28.70, 30.48, 31.50, 34.54, 35.5]
    outer = [0.51, 1.02, 0.76, 2.03, 2.03, 3.30, 3.30, 2.54, 2.54, 1.27, 1.27, 1.52, 1.52, 1.27,
             1.27, 3.81, 2.03, 2.03]
    inner = [0.0] * 18
    inner[6], inner[7], inner[17] = 1.52, 1.78, 1.52
    return stations, outer, inner


def literature(name):
    if name.startswith("nelson"):
        shear = name == "nelson_timoshenko"
        stations, outer, inner = nelson_mcvaugh()
        steel = material(207.8e9, 0.3, 7806)
        elements = [
            ross.ShaftElement(
                L=(b - a) / 100, idl=2 * i / 100, odl=2 * o / 100, material=steel,
                shear_effects=shear, rotary_inertia=True, gyroscopic=True,
            )
            for a, b, o, i in zip(stations, stations[1:], outer, inner)
        ]
        disc = [ross.DiskElement(4, m=1.401, Id=0.00136, Ip=0.00203)]
        bearings = [ross.BearingElement(n, kxx=4.378e7, cxx=0) for n in (10, 14)]
        return ross.Rotor(elements, disc, bearings)
    steel = material(211e9, None, 7810, 81.2e9)
    elements = [
        ross.ShaftElement(L=0.25, idl=0, odl=0.05, material=steel, shear_effects=True,
                          rotary_inertia=True, gyroscopic=True)
        for _ in range(6)
    ]
    discs = [
        ross.DiskElement.from_geometry(n, steel, width=0.07, i_d=0.05, o_d=o)
        for n, o in ((2, 0.28), (4, 0.35))
    ]
    return ross.Rotor(elements, discs, [ross.BearingElement(n, kxx=1e6, cxx=0) for n in (0, 6)])


def main():
    rows = []

    def put(shaft, omega, quantity, at, n, value):
        value = complex(value)
        rows.append([shaft, f"{omega:.10g}", quantity, f"{at:g}", n,
                     f"{value.real:.9e}", f"{value.imag:.9e}"])

    all_shafts = shafts.read()
    for name in ("nelson_rayleigh", "nelson_timoshenko", "friswell"):
        rotor = literature(name)
        for order, (omega, forward) in enumerate(whirls(rotor)[:6], 1):
            put(name, 0.0, f"critical_{'forward' if forward else 'backward'}", 0, order, omega)
        if name == "friswell":
            for rpm in (0.0, 4000.0):
                omega = rpm * math.pi / 30
                for order, (wn, forward) in enumerate(whirls(rotor, omega)[:6], 1):
                    sense = "either" if rpm == 0 else "forward" if forward else "backward"
                    put(name, omega, f"natural_{sense}", 0, order, wn)
                # The library's own solver says the same.
                # Among the library's own solver's are axial and torsional ones too.
                own = rotor.run_modal(omega, num_modes=16).wn
                for wn, _ in whirls(rotor, omega)[:6]:
                    assert min(abs(own / wn - 1)) < 1e-6

    for name in ("two", "film", "uneven"):
        parts = all_shafts[name]
        rotor, at = build(parts)
        if name != "film":
            for order, (omega, forward) in enumerate(whirls(rotor)[:8], 1):
                put(name, 0.0, f"critical_{'forward' if forward else 'backward'}", 0, order, omega)
            for omega in (400.0, 1047.0):
                for order, (wn, forward) in enumerate(whirls(rotor, omega)[:8], 1):
                    sense = "forward" if forward else "backward"
                    put(name, omega, f"natural_{sense}", 0, order, wn)
        spots = sorted({row[0] for row in parts["station"] + parts["support"] + parts["disc"]})
        for omega in (250.0, 700.0, 1047.0, 1500.0, 3290.0):
            # Unbalance alone, by the library's own method. Its phase is that of cos(wt + phase)
            # along x; the throw of rotor 1 points to 90 degrees + wt.
            nodes = [at(row[0]) for row in parts["unbalance"]]
            result = rotor.run_unbalance_response(
                nodes, [row[1] for row in parts["unbalance"]],
                [row[2] + math.pi / 2 for row in parts["unbalance"]], frequency=[omega],
            )
            whole = np.asarray(result.forced_resp)[:, 0]
            write(put, name, omega, "unbalance", at, spots, 1, whole)
        for omega in (400.0, 1047.0):
            for n in range(9):
                force = np.zeros(rotor.M().shape[0], complex)
                for station, harmonic, fre, fim, mre, mim in parts.get("load", []):
                    if abs(harmonic) != n:
                        continue
                    k = 6 * at(parts["station"][int(station)][0])
                    f, m = fre + 1j * fim, mre + 1j * mim
                    # Real parts of force e^{inwt} along x and y; a constant counts once.
                    f, sign = (np.conj(f), 1) if harmonic < 0 else (f, -1)
                    if n == 0:
                        force[k], force[k + 1] = force[k] + fre, force[k + 1] + fim
                    else:
                        force[k] += f
                        force[k + 1] += sign * 1j * f
                    assert m == 0
                if force.any():
                    q = rotor.transfer_matrix(speed=omega, frequency=n * omega) @ force
                    write(put, name, omega, "harmonic", at, spots, n, q)

    path = pathlib.Path(__file__).with_name("ross.csv")
    with path.open("w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["shaft", "omega_rad_s", "quantity", "at", "harmonic", "real", "imag"])
        out.writerows(rows)


def write(put, name, omega, kind, at, spots, n, q):
    """Splits amplitudes along x and y into circles forward and backward."""
    for spot in spots:
        k = 6 * at(spot)
        for what, x, y in (("um", q[k], q[k + 1]), ("urad", q[k + 4], -q[k + 3])):
            if n == 0:
                put(name, omega, f"{kind}_{what}", spot, 0, 1e6 * (x.real + 1j * y.real))
            else:
                put(name, omega, f"{kind}_{what}", spot, n, 1e6 * (x + 1j * y) / 2)
                put(name, omega, f"{kind}_{what}", spot, -n, 1e6 * np.conj(x - 1j * y) / 2)


if __name__ == "__main__":
    main()
