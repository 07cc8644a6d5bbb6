"""Writes values.csv: heights of rotors adjusted with SciPy. See SOURCE.md."""

import csv
import pathlib

import numpy as np
from scipy.linalg import cholesky, null_space, solve_triangular
from scipy.optimize import lsq_linear

HEIGHTS = 12  # gear land, plain land, gear tip, plain tip; tips 1, 2, 3 each
GL, PL, GT, PT = 0, 3, 6, 9


def equations(case):
    """Observation rows: (coefficients of heights and dial zeros, reading, fresh, zero source)."""
    rows = []

    def row(terms, reading, fresh, source):
        a = np.zeros(HEIGHTS + 2)
        for index, factor in terms:
            a[index] += factor
        rows.append((a, reading, fresh, source))

    for k in range(3):
        row([(GL + k, 1), (PL + k, 1)], case["land_width"][k], case["width_repeat"], "width")
    for k in range(3):
        row([(GL + k, 1), (GT + k, -1)], case["gear_step"][k], case["step_repeat"], "step")
    for k in range(3):
        row([(PL + k, 1), (PT + k, -1)], case["plain_step"][k], case["step_repeat"], "step")
    if case["tip_width"] is not None:
        for k in range(3):
            row([(GT + k, 1), (PT + k, 1)], case["tip_width"][k], case["width_repeat"], "width")
    for dial, name, land in ((0, "gear_runout", GL), (1, "plain_runout", PL)):
        if case[name] is not None:
            for k in range(3):
                row([(land + k, 1), (HEIGHTS + dial, -1)], case[name][k], case["runout_repeat"], None)
    if case["gear_runout"] is None and case["plain_runout"] is None:
        # Squareness assumed: the two tilts of the lands against the bore are zero, each with the
        # stated uncertainty of the height at the land's edge. Written with the tilts themselves:
        # s_k = (G_k - P_k)/2 = a cos(phi_k) + b sin(phi_k), a and b by projection.
        phi = -np.deg2rad([0.0, 120.0, 240.0])
        for base in (np.cos(phi), np.sin(phi)):
            terms = [(GL + k, base[k] / 3) for k in range(3)]
            terms += [(PL + k, -base[k] / 3) for k in range(3)]
            row(terms, 0.0, case["squareness"], None)
    return rows


def adjust(case):
    rows = equations(case)
    a = np.array([r[0] for r in rows])
    y = np.array([r[1] for r in rows])
    v = np.diag([r[2] ** 2 for r in rows])
    for source in ("width", "step"):
        column = np.array([case[source + "_zero"] if r[3] == source else 0.0 for r in rows])
        v += np.outer(column, column)
    used = [i for i in range(HEIGHTS + 2) if np.any(a[:, i] != 0)]
    a = a[:, used]
    datum = np.zeros((1, len(used)))
    datum[0, GL : GL + 3] = 1
    datum[0, PL : PL + 3] = -1
    space = null_space(datum)
    whiten = cholesky(v, lower=True)
    design = solve_triangular(whiten, a @ space, lower=True)
    # About a common height, so that nothing is lost to the 80 mm.
    base = np.zeros(len(used))
    base[:HEIGHTS] = 40.0
    target = solve_triangular(whiten, y - a @ base, lower=True)
    fit = lsq_linear(design, target, method="bvls", tol=1e-15)
    x = base + space @ fit.x
    residual = target - design @ fit.x
    spread = space @ np.linalg.inv(design.T @ design) @ space.T
    return {
        "heights": x[:HEIGHTS],
        "chi_square": float(residual @ residual),
        "freedom": len(rows) - space.shape[1],
        "u": np.sqrt(np.diag(spread)[:HEIGHTS]),
    }


def cases():
    random = np.random.default_rng(20)
    for number in range(60):
        with_tip, with_gear, with_plain = number & 1, number & 2, number & 4
        land = 39.96 + random.normal(0, 0.003, (2, 3))
        tip = land - 0.1 + random.normal(0, 0.005, (2, 3))
        width_repeat, step_repeat, runout_repeat = random.choice([0.001, 0.002, 0.003], 3)
        width_zero, step_zero = random.choice([0.0, 0.001, 0.002], 2)
        noise = lambda scale: random.normal(0, scale, 3)
        rounded = lambda values: np.round(values, 4)
        case = {
            "name": f"rotor {number + 1}",
            "land_width": rounded(land[0] + land[1] + noise(width_repeat)),
            "gear_step": rounded(land[0] - tip[0] + noise(step_repeat)),
            "plain_step": rounded(land[1] - tip[1] + noise(step_repeat)),
            "tip_width": rounded(tip[0] + tip[1] + noise(width_repeat)) if with_tip else None,
            "gear_runout": rounded(land[0] - land[0, 0] + noise(runout_repeat)) if with_gear else None,
            "plain_runout": rounded(land[1] - land[1, 0] + noise(runout_repeat)) if with_plain else None,
            "width_repeat": width_repeat,
            "width_zero": width_zero,
            "step_repeat": step_repeat,
            "step_zero": step_zero,
            "runout_repeat": runout_repeat,
            "squareness": 0.005,
        }
        yield case


def main():
    readings = ["land_width", "gear_step", "plain_step", "tip_width", "gear_runout", "plain_runout"]
    gauges = ["width_repeat", "width_zero", "step_repeat", "step_zero", "runout_repeat", "squareness"]
    header = ["name"] + [f"{r}_{k}" for r in readings for k in (1, 2, 3)] + gauges
    header += [f"height_{i}" for i in range(HEIGHTS)] + [f"u_um_{i}" for i in range(HEIGHTS)]
    header += ["chi_square", "freedom"]
    path = pathlib.Path(__file__).with_name("values.csv")
    with path.open("w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(header)
        for case in cases():
            result = adjust(case)
            row = [case["name"]]
            for r in readings:
                row += [""] * 3 if case[r] is None else [f"{value:.4f}" for value in case[r]]
            row += [f"{case[g]:.4f}" for g in gauges]
            row += [f"{value:.10f}" for value in result["heights"]]
            row += [f"{value * 1e3:.7f}" for value in result["u"]]
            row += [f"{result['chi_square']:.7f}", result["freedom"]]
            out.writerow(row)


if __name__ == "__main__":
    main()
