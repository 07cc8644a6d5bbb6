"""The whole plan of a build file, by other means than the kernel. See SOURCE.md.

    python plan_numpy.py FILE [--no-room]

prints the plan as JSON. Lengths are millimetres inside and out.
"""

import itertools
import json
import sys

import numpy as np
from scipy.optimize import linprog

import build_file
import heights
import removed
import room

GUARD = 1.65  # one-sided, 95 % [ISO-14253-1]
EPS = 1e-9  # mm, rounding
UM = 1000.0  # linear programs are in micrometres


class Part:
    """A rotor in its housing: limits that do not depend on the plan."""

    def __init__(self, build, rotor):
        self.rotor, self.build = rotor, build
        self.heights, self.chi2, self.dof, self.misreading = heights.adjust(rotor)
        self.gear, self.plain, self.gear_tip, self.plain_tip = self.heights
        housing, arc, land, tip = build.rises.T
        a_h, a_r = build.housing_expansion, build.rotor_expansion
        lever = build.tip_radius / build.land_radius - 1
        wear = rotor.land_wear.sum()
        worn = (rotor.land_wear - rotor.tip_wear).max()
        # step needed = at_zero + per_width * B, a line for each state.
        self.at_zero = lever / 2 * (rotor.greatest * (1 + a_h * (housing + arc)) + wear) + worn
        self.per_width = -lever / 2 * (1 + a_r * land) + a_r / 2 * (tip - land)
        self.cold = (lever / 2 * (rotor.greatest + wear) + worn, -lever / 2)
        self.jam = (rotor.least * (1 + a_h * housing) / (1 + a_r * land)).min()
        self.stock = self.gear.min() + self.plain.min()
        # Guards.
        _, width_repeat, width_zero = rotor.gauges["width"]
        _, step_repeat, step_zero = rotor.gauges["step"]
        u2 = build.capability**2 + width_repeat**2
        self.match_guard = GUARD * np.sqrt(2 * u2)
        if rotor.housing_gauge[0] != rotor.gauges["width"][0]:
            u2 += width_zero**2 + rotor.housing_gauge[2] ** 2
        self.clearance_guard = GUARD * np.sqrt(u2)
        self.step_guard = GUARD * np.sqrt(2 * build.capability**2 + step_repeat**2 + step_zero**2)

    def needed_hot(self, width):
        return float((self.at_zero + self.per_width * width).max())

    def needed(self, width):
        return float(self.cold[0] + self.cold[1] * width)

    def mid_plane(self, width):
        return float(np.clip(width / 2, width - self.plain.min(), self.gear.min()))

    def size_limits(self):
        """Aim, tolerance and guard of three clearances and six steps."""
        (c, tc), (a, ta) = self.build.clearance, self.build.step
        aim = np.repeat([c, a], [3, 6])
        tolerance = np.repeat([tc, ta], [3, 6])
        guard = np.repeat([self.clearance_guard, self.step_guard], [3, 6])
        return aim, tolerance, guard


class Finish:
    """A part as planned: the flat level of each area (gear land, plain land, gear tips, plain
    tips), nan where the area is left as it is."""

    def __init__(self, part, levels):
        self.part = part
        self.levels = np.asarray(levels, float)
        stock = part.heights - self.levels[:, None]
        self.stock = np.where(stock.max(axis=1, keepdims=True) > EPS, stock, np.nan)
        self.cuts = np.nan_to_num(np.maximum(self.stock, 0.0))
        self.heights = part.heights - self.cuts
        self.widths = self.heights[0] + self.heights[1]
        self.steps = self.heights[:2] - self.heights[2:]
        self.clearances = part.rotor.least - self.widths
        self.sizes = np.concatenate([self.clearances, self.steps.ravel()])
        self.tightest, self.loosest = self.clearances.min(), self.clearances.max()

    def land_level(self, face):
        level = self.levels[face]
        return float(self.part.heights[face].max()) if np.isnan(level) else float(level)

    def tied_sizes_hold(self):
        """Limits without a tolerance: the hot step, jamming, stock of a face."""
        part, build = self.part, self.part.build
        return (
            self.steps.min() >= part.needed_hot(self.widths.min()) - EPS
            and self.widths.max() < part.jam + EPS
            and self.cuts[:2].max() <= build.land_limit + EPS
            and self.cuts[2:].max() <= build.tip_limit + EPS
            and all(np.isnan(lv) or lv <= h.min() + EPS
                    for lv, h in zip(self.levels[:2], part.heights[:2]))
        )

    def inside(self, guards):
        """Whether each size lies inside its tolerance less a share of its guard."""
        aim, tolerance, guard = self.part.size_limits()
        return np.abs(self.sizes - aim) <= tolerance - guards * guard + EPS


UNCUT = [np.nan] * 4


def match_excess(finishes, i):
    """How much the loosest clearance of the others exceeds the tightest of this one."""
    others = [f.loosest for j, f in enumerate(finishes) if j != i]
    return max(others, default=-np.inf) - finishes[i].tightest


def flat(part, width, step, middle=None):
    m = part.mid_plane(width) if middle is None else middle
    return Finish(part, [m, width - m, m - step, width - m - step])


def holds(finishes, match):
    """Every rotor inside plain tolerances, match included."""
    return all(
        f.inside(0).all() and f.tied_sizes_hold() and match_excess(finishes, i) <= match + EPS
        for i, f in enumerate(finishes))


# --- Rule 1: what stays, and the aim -------------------------------------------------------

def kept(parts, match):
    """Which rotors stay as they are, and the aimed clearances of the others."""
    untouched = [Finish(p, UNCUT) for p in parts]
    stay = [bool(f.inside(1).all() and f.tied_sizes_hold()) for f in untouched]
    aimed = [p.rotor.least - min(p.rotor.least - p.build.clearance[0], p.stock) for p in parts]
    for _ in range(len(parts) + 1):
        tight = [f.tightest if s else c for f, s, c in zip(untouched, stay, aimed)]
        loose = [f.loosest if s else c for f, s, c in zip(untouched, stay, aimed)]
        out = [
            s and max((c for j, c in enumerate(loose) if j != i), default=-np.inf) - tight[i]
            > max(0.0, match - p.match_guard) + EPS
            for i, (s, p) in enumerate(zip(stay, parts))]
        if not any(out):
            break
        stay = [s and not o for s, o in zip(stay, out)]
    most = max(loose)
    return stay, [max(c, most - match) for c in aimed], untouched


def aim(parts, match):
    stay, clearances, untouched = kept(parts, match)
    finishes = [
        f if s else flat(p, p.rotor.least - c, p.build.step[0])
        for p, s, c, f in zip(parts, stay, clearances, untouched)]
    return thin(finishes, stay, match), stay


# --- Rule 7: thin passes -------------------------------------------------------------------

def thin(finishes, stay, match):
    """Thin passes left or deepened: gear land, plain land, gear tips, plain tips."""
    finishes = list(finishes)
    for i, finish in enumerate(finishes):
        if stay[i]:
            continue
        step = finish.land_level(0) - finish.levels[2]
        width = finish.land_level(0) + finish.land_level(1)
        fixed = [False, False]  # lands already decided
        for area in range(4):
            now = finishes[i]
            deepest = now.cuts[area].max()
            if not 0 < deepest < finish.part.build.least_cut - EPS:
                continue
            if area < 2:
                left, deepened = thin_land(now, area, width, step)
                fixed[area] = True
            else:
                left, deepened = (with_level(now, area, level) for level in (
                    np.nan, now.part.heights[area].max() - now.part.build.least_cut))
            finishes[i] = left if may_leave(finishes, i, left, match) else deepened
    return finishes


def with_level(finish, area, level):
    levels = finish.levels.copy()
    levels[area] = level
    return Finish(finish.part, levels)


def thin_land(now, area, width, step):
    """The finish with this land left, and with it deepened to the least cut."""
    part, other = now.part, 1 - area
    highest = part.heights[area].max()
    uncut_other = now.cuts[other].max() <= 0
    result = []
    for mine, height in ((np.nan, highest), (highest - part.build.least_cut,) * 2):
        if uncut_other:
            theirs, their_height = np.nan, part.heights[other].max()
        else:
            theirs = their_height = min(width - height, part.heights[other].min())
            # The other land was decided before: it is not made thin again.
            if other < area and part.heights[other].max() - theirs < part.build.least_cut - EPS:
                theirs = their_height = now.levels[other]
        levels = now.levels.copy()
        levels[area], levels[other] = mine, theirs
        levels[2 + area], levels[2 + other] = height - step, their_height - step
        result.append(Finish(part, levels))
    return result


def may_leave(finishes, i, left, match):
    """Whether all tolerances hold with the pass left: guarded where the size was guarded."""
    before = finishes[i]
    after = finishes[:i] + [left] + finishes[i + 1 :]
    guarded = max(0.0, match - left.part.match_guard)
    for k in range(len(after)):
        was = match_excess(finishes, k) <= guarded + EPS
        if match_excess(after, k) > (guarded if was else match) + EPS:
            return False
    return bool(left.inside(before.inside(1)).all() and left.tied_sizes_hold())


# --- Rule 6: the search --------------------------------------------------------------------

# Unknowns of a rotor: width B, step A, deviation t (a share of the tolerance), all over the set.
B, A, T = range(3)


def pieces(part):
    """Rule 2 in straight pieces: (M at zero, M per width, least B, greatest B); each once with
    the aimed step above what is needed hot, once with every tip lower than that anyway."""
    gear, plain = part.gear.min(), part.plain.min()
    middle = (0.0, 0.5, -np.inf, 2 * min(gear, plain))
    edge = ((gear, 0.0, 2 * gear, np.inf) if gear <= plain
            else (-plain, 1.0, 2 * plain, np.inf))
    return [(piece, low) for piece in (middle, edge) for low in (False, True)]


def rotor_rows(part, piece, low_tips):
    """Rows (coefficients of B, A, t) <= limit for one rotor."""
    (m0, m1, b_low, b_high), build, w = piece, part.build, part.rotor.least
    (c, tc), (a, ta) = build.clearance, build.step
    n0, n1 = -m0, 1 - m1  # height of the plain land
    rows = [
        ((-1, 0, 0), c + tc - part.clearance_guard - w), ((1, 0, 0), w - c + tc - part.clearance_guard),
        ((0, 1, 0), a + ta - part.step_guard), ((0, -1, 0), -a + ta - part.step_guard),
        ((-1, 0, -tc), c - w), ((1, 0, -tc), w - c),
        ((0, 1, -ta), a), ((0, -1, -ta), -a),
        ((1, 0, 0), min(part.stock, part.jam, b_high)), ((-1, 0, 0), -b_low),
        ((-m1, 0, 0), build.land_limit + m0 - part.gear.max()),
        ((-n1, 0, 0), build.land_limit + n0 - part.plain.max()),
        ((-m1, 1, 0), build.tip_limit + m0 - part.gear_tip.max()),
        ((-n1, 1, 0), build.tip_limit + n0 - part.plain_tip.max()),
        ((m1, 0, 0), a + ta - m0 + part.gear_tip.min()),
        ((n1, 0, 0), a + ta - n0 + part.plain_tip.min()),
    ]
    for zero, per in zip(part.at_zero, part.per_width):
        if low_tips:
            rows += [((per - m1, 0, 0), m0 - part.gear_tip.max() - zero),
                     ((per - n1, 0, 0), n0 - part.plain_tip.max() - zero)]
        else:
            rows.append(((per, -1, 0), -zero))
    matrix, limit = np.array([r[0] for r in rows], float), np.array([r[1] for r in rows])
    finite = np.isfinite(limit)
    return matrix[finite], limit[finite]


def set_rows(rows, cut, stay, finishes, match):
    """All rotors' rows side by side, and the match between clearances (not guarded)."""
    n = 3 * len(cut)
    blocks = [np.pad(m, ((0, 0), (3 * k, n - 3 * k - 3))) for k, (m, _) in enumerate(rows)]
    limits = [limit for _, limit in rows]
    if np.isfinite(match):
        for (k, p), (l, q) in itertools.permutations(enumerate(cut), 2):
            row = np.zeros((1, n))
            row[0, 3 * k + B], row[0, 3 * l + B] = -1, 1
            blocks.append(row)
            limits.append([match - p.rotor.least + q.rotor.least])
        for f in (f for f, s in zip(finishes, stay) if s):
            for k, p in enumerate(cut):
                row = np.zeros((2, n))
                row[:, 3 * k + B] = 1, -1
                blocks.append(row)
                limits.append([p.rotor.least - f.loosest + match,
                               f.tightest + match - p.rotor.least])
    return np.vstack(blocks), np.concatenate(limits)


def solve(cost, matrix, limit, lowest):
    """A program with lengths in micrometres about `lowest`; deviations are bare shares."""
    found = linprog(cost, A_ub=matrix, b_ub=UM * (limit - matrix @ lowest),
                    bounds=(None, None), method="highs-ds")
    if found.status in (2, 3):
        return None
    if found.status != 0:
        raise RuntimeError(found.message)
    return lowest + found.x / UM


def leximin(matrix, limit, start, count):
    """Deviations one after the other: the largest as small as can be, then the next."""
    free = list(range(count))
    n = matrix.shape[1]
    fixed_rows, fixed_limits = np.zeros((0, n)), np.zeros(0)
    sizes = np.zeros(count)
    slack = 1e-10
    while free:
        wide = np.hstack([np.vstack([matrix, fixed_rows]),
                          np.zeros((len(matrix) + len(fixed_rows), 1))])
        below = np.zeros((len(free), n + 1))
        below[np.arange(len(free)), [3 * k + T for k in free]] = 1
        below[:, n] = -1
        all_limits = np.concatenate([limit, fixed_limits])
        x = solve(np.eye(n + 1)[n], np.vstack([wide, below]),
                  np.concatenate([all_limits, np.zeros(len(free))]), np.append(start, 0.0))
        if x is None:
            return None
        top = x[n]
        capped = np.vstack([np.vstack([matrix, fixed_rows]), below[:, :n]])
        caps = np.concatenate([all_limits, np.full(len(free), top + slack)])
        tight = []
        for k in free:
            alone = solve(np.eye(n)[3 * k + T], capped, caps, start)
            if alone is None or alone[3 * k + T] >= top - 1e-8:
                tight.append(k)
        tight = tight or list(free)
        for k in tight:
            fixed_rows = np.vstack([fixed_rows, np.eye(n)[3 * k + T]])
            fixed_limits = np.append(fixed_limits, top + slack)
            sizes[k] = top
            free.remove(k)
    return sizes, np.vstack([matrix, fixed_rows]), np.concatenate([limit, fixed_limits])


def depths_cost(cut, chosen):
    """Rows and cost of the sum of depths: lands -3 B each rotor, tips by variables >= 0."""
    n = 3 * len(cut)
    rows, limits = [], []
    for k, (p, (piece, _)) in enumerate(zip(cut, chosen)):
        m0, m1 = piece[:2]
        for tips, zero, per in ((p.gear_tip, m0, m1), (p.plain_tip, -m0, 1 - m1)):
            for tip in tips:
                row = np.zeros(n)
                row[3 * k + B], row[3 * k + A] = -per, 1
                rows.append(row)
                limits.append(zero - tip)
    count = len(rows)
    matrix = np.block([[np.array(rows), -np.eye(count)],
                       [np.zeros((count, n)), -np.eye(count)]])
    cost = np.concatenate([np.tile([-3.0, 0.0, 0.0], len(cut)), np.ones(count)])
    return matrix, np.concatenate([limits, np.zeros(count)]), cost


def search(parts, stay, match):
    """Levels of the rotors that are cut, or None."""
    untouched = [Finish(p, UNCUT) for p in parts]
    cut = [p for p, s in zip(parts, stay) if not s]
    start = np.concatenate([[p.rotor.least - p.build.clearance[0], p.build.step[0], 0.0]
                            for p in cut])
    # Pieces that a rotor has no room in even alone are dropped first.
    options = []
    for p in cut:
        own = []
        for piece, low in pieces(p):
            rows = rotor_rows(p, piece, low)
            begin = np.array([p.rotor.least - p.build.clearance[0], p.build.step[0], 0.0])
            if solve(np.array([0.0, 0, 1]), *rows, begin) is not None:
                own.append(((piece, low), rows))
        options.append(own)
    best = None
    for combination in itertools.product(*options):
        chosen = [c for c, _ in combination]
        matrix, limit = set_rows([r for _, r in combination], cut, stay, untouched, match)
        found = leximin(matrix, limit, start, len(cut))
        if found is None:
            continue
        sizes, matrix, limit = found
        more, more_limit, cost = depths_cost(cut, chosen)
        tips = more.shape[1] - matrix.shape[1]
        x = solve(cost, np.vstack([np.pad(matrix, ((0, 0), (0, tips))), more]),
                  np.concatenate([limit, more_limit]), np.append(start, np.zeros(tips)))
        if x is None:
            continue
        key = (*np.round(np.sort(sizes)[::-1], 8), cost @ x)
        if best is None or key < best[0]:
            best = (key, x[: 3 * len(cut)].reshape(-1, 3), chosen)
    if best is None:
        return None
    flats = iter([
        flat(p, width, step, piece[0] + piece[1] * width)
        for p, (width, step, _), (piece, _) in zip(cut, best[1], best[2])])
    return [f if s else next(flats) for f, s in zip(untouched, stay)]


# --- The set -------------------------------------------------------------------------------

def plan_set(parts, match):
    """(method, finishes) or (None, what the aim would give)."""
    aimed, stay = aim(parts, match)
    if holds(aimed, match):
        return "aimed", aimed
    for held in dict.fromkeys((tuple(stay), (False,) * len(parts))):
        found = None if all(held) else search(parts, held, match)
        if found is not None:
            found = thin(found, held, match)
            if holds(found, match):
                return "searched", found
    return None, aimed


def limiting(finishes, match):
    """What the aimed plan breaks, in words."""
    broken = []
    for i, f in enumerate(finishes):
        part, build = f.part, f.part.build
        inside = f.inside(0)
        for name, bad in (
            ("side clearance", not inside[:3].all()), ("step", not inside[3:].all()),
            ("step needed hot", f.steps.min() < part.needed_hot(f.widths.min()) - EPS),
            ("jamming", f.widths.max() >= part.jam),
            ("land cut", f.cuts[:2].max() > build.land_limit + EPS),
            ("tip cut", f.cuts[2:].max() > build.tip_limit + EPS),
            ("match", match_excess(finishes, i) > match + EPS),
        ):
            if bad:
                broken.append(f"{part.rotor.serial}: {name}")
    return broken


def verdict(finishes, i, match):
    f = finishes[i]
    excess, guard = match_excess(finishes, i), f.part.match_guard
    if (not f.inside(-1).all() or excess > match + guard + EPS
            or f.steps.min() < f.part.needed_hot(f.widths.min()) - EPS):
        return "does not conform"
    if f.inside(1).all() and excess <= max(0.0, match - guard) + EPS:
        return "conforms"
    return "not proven"


def plan(build, with_room=True):
    """The plan of a build in plain numbers, as the JSON object that the product prints."""
    parts = [Part(build, rotor) for rotor in build.rotors]
    method, finishes = plan_set(parts, build.match)
    feasible = method is not None
    broken = [] if method == "aimed" else limiting(finishes, build.match) if not feasible else (
        limiting(aim(parts, build.match)[0], build.match))
    planned = list(finishes)
    if not feasible:
        planned = []
        for part in parts:
            own, alone = plan_set([part], np.inf)
            planned.append(alone[0] if own else None)
    return {
        "format": 1, "feasible": feasible, "method": method or "none", "limiting": broken,
        "rotors": report(build, parts, planned, finishes if feasible else None, with_room),
    }


def report(build, parts, planned, whole, with_room):
    done = [f for f in planned if f is not None]
    volumes = iter(removed.removed_mm3(
        build, np.vstack([f.stock[:2] for f in done]), np.vstack([f.stock[2:] for f in done]),
        removed.outline(build)).reshape(-1, 2).sum(axis=1)) if done else iter(())
    rows = []
    for i, (part, f) in enumerate(zip(parts, planned)):
        rotor = part.rotor
        row = {
            "serial": rotor.serial, "housing": rotor.housing,
            "heights_mm": part.heights.tolist(), "chi2": part.chi2, "dof": part.dof,
            "misreading": part.misreading, "verdict_of": None if rotor.after else "planned",
        }
        rows.append(row)
        if f is None:
            row["verdict"] = None
            continue
        row["verdict"] = None if rotor.after else (
            verdict(whole, i, build.match) if whole else verdict([f], 0, np.inf))
        width, narrowest = float(f.widths.max()), float(f.widths.min())
        needed = part.needed(narrowest)
        grams = next(volumes) * build.density_g_mm3
        row |= {
            "land_width_mm": width, "side_clearance_mm": float(f.tightest),
            "step_needed_mm": needed, "step_needed_hot_mm": part.needed_hot(narrowest),
            "land_touches_first": bool(f.steps.min() > needed),
            **{face: {"land_cut_mm": f.cuts[k].tolist(), "tip_cut_mm": f.cuts[2 + k].tolist(),
                      "step_mm": f.steps[k].tolist()}
               for k, face in enumerate(("gear", "plain"))},
            "removed_g": float(grams),
            "mass_g": None if rotor.mass_g is None else float(rotor.mass_g - grams),
        }
        if with_room:
            gaps = room.least_gaps(build, rotor, f.heights)
            row["least_gap_mm"] = {
                s: float(g) if np.isfinite(g) else None
                for s, g in zip(build_file.STATES, gaps)}
    return rows


def main(arguments):
    with_room = "--no-room" not in arguments
    path, = (a for a in arguments if not a.startswith("--"))
    print(json.dumps(plan(build_file.build(build_file.parse(path)), with_room), indent=1))


if __name__ == "__main__":
    main(sys.argv[1:])
