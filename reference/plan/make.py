"""Writes values.csv: plans of single rotors by linear programs. See SOURCE.md."""

import csv
import pathlib

import numpy as np
from scipy.optimize import linprog

LAND_RADIUS, TIP_RADIUS = 61.0, 99.0
ROTOR, HOUSING = 11.0e-6, 21.5e-6
# Rises above 20 degC: housing, hot arc, land, tip.
STATES = {
    "cold": (0, 0, 0, 0),
    "warming": (20, 10, 80, 110),
    "steady": (70, 20, 90, 140),
    "soak": (85, 5, 90, 95),
}
ROUNDING = 1e-9  # mm


def need_lines(w_plus):
    """step needed = at_zero + per_width * B in each state."""
    lever = TIP_RADIUS / LAND_RADIUS - 1
    lines = []
    for housing, arc, land, tip in STATES.values():
        at_zero = lever * 0.5 * w_plus * (1 + HOUSING * (housing + arc))
        per_width = -lever * 0.5 * (1 + ROTOR * land) + 0.5 * ROTOR * (tip - land)
        lines.append((at_zero, per_width))
    return lines


def jam_width(w):
    """Widest land that both walls do not touch, on the cold side of the housing, in any state."""
    return min(w * (1 + HOUSING * s[0]) / (1 + ROTOR * s[2]) for s in STATES.values())


def need(case, b):
    return max(0.0, *(z + p * b for z, p in need_lines(case["w_plus"])))


def right(case, widths, steps, guarded, cut=None):
    gc, gs = (case["guard_c"], case["guard_s"]) if guarded else (0, 0)
    clearance = case["w"] - widths
    ok = np.all(np.abs(clearance - case["c"]) <= case["tc"] - gc + ROUNDING)
    ok &= np.all(np.abs(steps - case["a"]) <= case["ta"] - gs + ROUNDING)
    ok &= np.min(steps) >= need(case, np.min(widths)) - ROUNDING
    ok &= np.max(widths) < jam_width(case["w"])
    if cut is not None:
        ok &= np.max(cut["land"]) <= case["land_limit"] + ROUNDING
        ok &= np.max(cut["tip"]) <= case["tip_limit"] + ROUNDING
    return bool(ok)


def finish(case, b, m, a):
    heights = case["G"], case["P"], case["g"], case["p"]
    targets = m, b - m, m - a, b - m - a
    after = [np.minimum(h, t) for h, t in zip(heights, targets)]
    cut = {
        "land": np.concatenate([heights[0] - after[0], heights[1] - after[1]]),
        "tip": np.concatenate([heights[2] - after[2], heights[3] - after[3]]),
    }
    return after[0] + after[1], np.concatenate([after[0] - after[2], after[1] - after[3]]), cut


def midplane(case, b):
    low, high = b - case["P"].min(), case["G"].min()
    return min(max(b / 2, low), high)


def plan(case):
    G, P, g, p = case["G"], case["P"], case["g"], case["p"]
    if right(case, G + P, np.concatenate([G - g, P - p]), True):
        return {"method": "kept"}
    b = min(case["w"] - case["c"], G.min() + P.min())
    m = midplane(case, b)
    widths, steps, cut = finish(case, b, m, case["a"])
    if right(case, widths, steps, False, cut):
        depths = cut["land"].sum() + cut["tip"].sum()
        return {"method": "aimed", "b": b, "m": m, "a": case["a"], "d": 0.0, "depths": depths}
    found = search(case)
    return found or {"method": "none"}


def search(case):
    """Linear programs in (B, A, D, t_1..t_6); t are the depths of the tip cuts."""
    G, P, g, p = case["G"], case["P"], case["g"], case["p"]
    gmin, pmin = G.min(), P.min()
    # Pieces of the rule for the mid-plane: M = m0 + m1 B on a range of B.
    pieces = [(0.0, 0.5, None, 2 * min(gmin, pmin))]
    if gmin < pmin:
        pieces.append((gmin, 0.0, 2 * gmin, None))
    else:
        pieces.append((-pmin, 1.0, 2 * pmin, None))
    best = None
    for m0, m1, low, high in pieces:
        n0, n1 = -m0, 1 - m1  # B - M
        rows, rhs = [], []

        def at_most(b, a, d, bound):
            rows.append([b, a, d] + [0] * 6)
            rhs.append(bound)

        c, tc, a0, ta = case["c"], case["tc"], case["a"], case["ta"]
        gc, gs = case["guard_c"], case["guard_s"]
        if low is not None:
            at_most(-1, 0, 0, -low)
        if high is not None:
            at_most(1, 0, 0, high)
        at_most(1, 0, 0, gmin + pmin)
        at_most(1, 0, 0, jam_width(case["w"]) - 1e-9)
        at_most(-1, 0, 0, c + tc - gc - case["w"])
        at_most(1, 0, 0, case["w"] - c + tc - gc)
        at_most(-1, 0, -tc, c - case["w"])
        at_most(1, 0, -tc, case["w"] - c)
        at_most(0, 1, -ta, a0)
        at_most(0, -1, -ta, -a0)
        at_most(0, 1, 0, a0 + ta - gs)
        at_most(0, -1, 0, -(a0 - ta + gs))
        for z, slope in need_lines(case["w_plus"]):
            at_most(slope, -1, 0, -z)
        for height0, height1, lands, tips in ((m0, m1, G, g), (n0, n1, P, p)):
            for k in range(3):
                # The land at most the highest step above a tip that is left.
                at_most(height1, 0, 0, tips[k] + a0 + ta - gs - height0)
                at_most(-height1, 0, 0, case["land_limit"] - lands[k] + height0)
                at_most(-height1, 1, 0, case["tip_limit"] - tips[k] + height0)
        tip_rows = []
        for index, (height0, height1, tip) in enumerate(
            [(m0, m1, g[k]) for k in range(3)] + [(n0, n1, p[k]) for k in range(3)]
        ):
            line = [-height1, 1, 0] + [0] * 6
            line[3 + index] = -1
            tip_rows.append((line, height0 - tip))
        a_ub = np.array(rows + [line for line, _ in tip_rows])
        b_ub = np.array(rhs + [bound for _, bound in tip_rows])
        bounds = [(None, None), (None, None), (0, 1)] + [(0, None)] * 6
        # Depths in units of their own, so that the solver's tolerances mean picometres.
        options = {"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10}
        first = linprog([0, 0, 1] + [0] * 6, a_ub, b_ub, bounds=bounds, method="highs", options=options)
        if first.status != 0:
            continue
        level = first.x[2]
        held = [(None, None), (None, None), (0, level + 1e-10)] + [(0, None)] * 6
        second = linprog([-3, 0, 0] + [1] * 6, a_ub, b_ub, bounds=held, method="highs", options=options)
        if second.status != 0:
            raise RuntimeError(second.message)
        b, a = second.x[:2]
        depths = G.sum() + P.sum() + second.fun
        found = {"method": "searched", "b": b, "m": m0 + m1 * b, "a": a, "d": level, "depths": depths}
        key = (round(level, 7), depths)
        if best is None or key < best[0]:
            best = (key, found)
    return best and best[1]


def cases():
    random = np.random.default_rng(7)
    for number in range(200):
        w = 80.0 + random.uniform(0, 0.02)
        worn = random.choice([0.0, 0.03, 0.06, 0.08, 0.1])
        half = 39.95 - worn * random.uniform(0.6, 1.0) + random.uniform(-0.02, 0.02, 2)
        lands = half[:, None] + random.normal(0, 0.004, (2, 3))
        tips = lands - random.choice([0.07, 0.1, 0.115, 0.122]) + random.normal(0, 0.006, (2, 3))
        # A mid-plane by definition: both lands have one sum.
        shift = (lands[0].sum() - lands[1].sum()) / 6
        lands[0] -= shift
        tips[0] -= shift
        lands[1] += shift
        tips[1] += shift
        c, a = round(random.uniform(0.19, 0.25), 3), random.choice([0.11, 0.12, 0.127])
        if number % 10 == 0:
            # Finished already, or nearly.
            lands = (w - c) / 2 + random.normal(0, 0.001, (2, 3))
            tips = lands - a + random.normal(0, 0.002, (2, 3))
        lands, tips = np.round(lands, 6), np.round(tips, 6)
        yield {
            "name": f"rotor {number + 1}",
            "G": lands[0], "P": lands[1], "g": tips[0], "p": tips[1],
            "w": round(w, 4), "w_plus": round(w + random.uniform(0, 0.008), 4),
            "c": c, "tc": random.choice([0.015, 0.02, 0.03]),
            "a": a, "ta": random.choice([0.0127, 0.016, 0.02]),
            "land_limit": random.choice([0.08, 0.11, 0.15]),
            "tip_limit": random.choice([0.12, 0.15, 0.25]),
            "guard_c": 0.00528, "guard_s": 0.00765,
        }


def main():
    header = ["name"] + [f"{h}{k}" for h in "GPgp" for k in (1, 2, 3)]
    scalars = ["w", "w_plus", "c", "tc", "a", "ta", "land_limit", "tip_limit", "guard_c", "guard_s"]
    results = ["method", "b", "m", "step", "deviation", "depths"]
    path = pathlib.Path(__file__).with_name("values.csv")
    with path.open("w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(header + scalars + results)
        for case in cases():
            result = plan(case)
            row = [case["name"]] + [f"{v:.6f}" for h in "GPgp" for v in case[h]]
            row += [f"{case[s]:.6f}" for s in scalars] + [result["method"]]
            keys = ("b", "m", "a", "d", "depths")
            row += [f"{result[k] + 0.0:.7f}" if k in result else "" for k in keys]
            out.writerow(row)


if __name__ == "__main__":
    main()
