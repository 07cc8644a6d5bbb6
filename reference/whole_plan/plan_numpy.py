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
        # What clamp-up and temperatures leave in every clearance of the pair.
        u2 += (rotor.clamp_up_u**2 + (rotor.least * rotor.housing_heat_u) ** 2
               + ((self.gear[0] + self.plain[0]) * rotor.heat_u) ** 2)
        self.match_guard = GUARD * np.sqrt(2 * u2)
        if rotor.housing_gauge[0] != rotor.gauges["width"][0]:
            u2 += width_zero**2 + rotor.housing_gauge[2] ** 2
        self.clearance_guard = GUARD * np.sqrt(u2)
        self.step_guard = GUARD * np.sqrt(2 * build.capability**2 + step_repeat**2 + step_zero**2)

    def needed_hot(self, width):
        return max(0.0, float((self.at_zero + self.per_width * width).max()))

    def needed(self, width):
        return max(0.0, float(self.cold[0] + self.cold[1] * width))

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
        self.thin = []  # what became of thin passes
        self.levels = np.asarray(levels, float)
        stock = part.heights - self.levels[:, None]
        self.stock = np.where(stock.max(axis=1, keepdims=True) > EPS, stock, np.nan)
        self.cuts = np.nan_to_num(np.maximum(self.stock, 0.0))
        self.heights = part.heights - self.cuts
        self.widths = self.heights[0] + self.heights[1]
        self.steps = self.heights[:2] - self.heights[2:]
        self.clearances = part.rotor.least - self.widths
        self.sizes = np.concatenate([self.clearances, self.steps.ravel()])
        self.clearance = self.clearances.min()  # the rotor's own, at its widest land
        # For the step: the land under a tip and the opposite land across the axis.
        lands = self.heights[:2]
        across = 2 * lands[::-1].mean(axis=1, keepdims=True) - lands[::-1]
        self.narrowest = (lands + across).min()
        # For jamming: the planes of the lands, wherever round the ring they are furthest apart.
        middle = self.widths.mean()
        self.widest = middle + np.sqrt(((self.widths - middle) ** 2).sum() / 1.5)

    def tied_sizes_hold(self):
        """Limits without a tolerance: the hot step and the others."""
        return (self.steps.min() >= self.part.needed_hot(self.narrowest) - EPS
                and self.other_limits_hold())

    def other_limits_hold(self):
        """Jamming, stock of a face."""
        part, build = self.part, self.part.build
        return (
            self.widest < part.jam + EPS
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


def off_match(clearance, others):
    """The largest difference of a side clearance from those of other rotors."""
    return max((abs(clearance - c) for c in others), default=0.0)


def flat(part, width, step, middle=None):
    m = part.mid_plane(width) if middle is None else middle
    return Finish(part, [m, width - m, m - step, width - m - step])


def keeps(finish, guards=0):
    """Every limit of the rotor by itself, sizes inside their tolerances less a share of guard."""
    return bool(finish.inside(guards).all() and finish.tied_sizes_hold())


# --- Rule 1: what stays, and the aim -------------------------------------------------------

def uncut(parts):
    """Every rotor as it is, and which of them are right so: inside all guarded tolerances."""
    untouched = [Finish(p, UNCUT) for p in parts]
    return untouched, [keeps(f, 1) for f in untouched]


def aim(parts, match):
    """(finishes, which stay); rotors that stay also match the loosest, with the guard."""
    untouched, stay = uncut(parts)
    aimed = [p.rotor.least - min(p.rotor.least - p.build.clearance[0], p.stock) for p in parts]
    for _ in range(len(parts) + 1):
        clearances = [f.clearance if s else c for f, s, c in zip(untouched, stay, aimed)]
        loosest = max(clearances, default=0.0)
        close = [loosest - c <= max(0.0, match - p.match_guard) + EPS
                 for c, p in zip(clearances, parts)]
        if all(c or not s for c, s in zip(close, stay)):
            break
        stay = [s and c for s, c in zip(stay, close)]
    finishes = [
        f if s else flat(p, p.rotor.least - max(c, loosest - match), p.build.step[0])
        for p, s, c, f in zip(parts, stay, aimed, untouched)]
    return finishes, stay


# --- Rule 7: thin passes -------------------------------------------------------------------

FREE = object()  # an area that is not decided
RAISES = 8


def settle(finishes, stay, match):
    """The finishes without thin passes, rotor after rotor; None if one of them finds none."""
    finishes = list(finishes)
    for i, finish in enumerate(finishes):
        if stay[i]:
            continue
        others = [f.clearance for j, f in enumerate(finishes) if j != i]
        finishes[i] = without_thin(finish, others, match)
        if finishes[i] is None:
            return None
    return finishes


def without_thin(finish, others, match):
    """What was proven stays proven; where that cannot be, tolerances are enough."""
    guarded = max(0.0, match - finish.part.match_guard)
    close = guarded if off_match(finish.clearance, others) <= guarded + EPS else match
    return (holding(finish, others, finish.inside(1), close)
            or holding(finish, others, np.zeros(9), match))


def holding(finish, others, proven, close):
    part, least_cut = finish.part, finish.part.build.least_cut
    highest = part.heights.max(axis=1)
    lowest = part.heights.min(axis=1)
    width, step = finish.levels[:2].sum(), finish.levels[0] - finish.levels[2]

    def made(decided):
        """The finish with these areas left (nan), deepened (a level) or free."""
        tops = [None if d is FREE else highest[k] if np.isnan(d) else d
                for k, d in enumerate(decided[:2])]
        levels = list(decided)
        for k in (0, 1):
            if tops[k] is None:
                # It makes up the width, and cleans up all over.
                tops[k] = levels[k] = (
                    finish.levels[k] if tops[1 - k] is None
                    else min(width - tops[1 - k], lowest[k]))
            if levels[2 + k] is FREE:
                levels[2 + k] = tops[k] - step
        return Finish(part, levels)

    def lacking(f):
        """What more step would cure: 0 if nothing is amiss, inf if more step is no cure."""
        if off_match(f.clearance, others) > close + EPS or not f.other_limits_hold():
            return np.inf
        aimed, tolerance, guard = part.size_limits()
        room = tolerance - proven * guard + EPS
        over, under = f.sizes - aimed - room, aimed - room - f.sizes
        if over.max() > 0 or under[:3].max() > 0:
            return np.inf
        short = max(under[3:].max() + EPS, part.needed_hot(f.narrowest) - f.steps.min())
        return short if short > EPS else 0.0

    def first(decided):
        """(the first way that holds, least that more step would cure)."""
        f = made(decided)
        f.thin = ["left" if np.isnan(d) else "deepened" for d in decided if d is not FREE]
        deepest = f.cuts.max(axis=1)
        thin = [k for k in range(4)
                if decided[k] is FREE and EPS < deepest[k] < least_cut - EPS]
        if not thin:
            short = lacking(f)
            return (f if short == 0 else None), short
        lack = np.inf
        for way in (np.nan, highest[thin[0]] - least_cut):
            found, short = first([*decided[: thin[0]], way, *decided[thin[0] + 1 :]])
            if found is not None:
                return found, 0.0
            lack = min(lack, short)
        return None, lack

    for _ in range(RAISES):
        found, short = first([FREE] * 4)
        if found is not None or not np.isfinite(short):
            return found
        step += short + EPS
    return None


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
        ((m1, 0, 0), a + ta - part.step_guard - m0 + part.gear_tip.min()),
        ((n1, 0, 0), a + ta - part.step_guard - n0 + part.plain_tip.min()),
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
                limits.append([p.rotor.least - f.clearance + match,
                               f.clearance + match - p.rotor.least])
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
    """Finishes, or None."""
    untouched = [Finish(p, UNCUT) for p in parts]
    still = [f.clearance for f, s in zip(untouched, stay) if s]
    if still and max(still) - min(still) > match + EPS:
        return None
    if all(stay):
        return untouched
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
    """(method, finishes) or (None, None)."""
    aimed, stay = aim(parts, match)
    if all(s or keeps(f) for s, f in zip(stay, aimed)):
        settled = settle(aimed, stay, match)
        if settled is not None:
            return "aimed", settled
    _, right = uncut(parts)
    for held in dict.fromkeys((tuple(right), (False,) * len(parts))):
        found = search(parts, held, match)
        if found is not None:
            found = settle(found, held, match)
            return (None, None) if found is None else ("searched", found)
    return None, None


def verdict(finish):
    """Of the rotor's own sizes; the match is the set's."""
    part, needed = finish.part, finish.part.needed_hot(finish.narrowest)
    if not finish.inside(-1).all() or finish.steps.min() < needed - EPS:
        return "does not conform"
    above = finish.steps.min() >= needed + part.step_guard - EPS
    return "conforms" if above and finish.inside(1).all() else "not proven"


def plan_what_can_be(parts, match):
    """(whether all have a plan, method, a finish or None for each)."""
    method, finishes = plan_set(parts, match)
    if method:
        return True, method, finishes
    alone = [plan_set([part], np.inf)[1] for part in parts]
    method, together = plan_set([p for p, a in zip(parts, alone) if a], match)
    if method is None:
        return False, "searched" if any(alone) else None, [a[0] if a else None for a in alone]
    rest = iter(together)
    return False, method, [next(rest) if a else None for a in alone]


def plan(build, with_room=True):
    """The plan of a build in plain numbers, as the JSON object that the product prints."""
    parts = [Part(build, rotor) for rotor in build.rotors]
    readable = [p for p in parts if not p.misreading]
    feasible, method, found = plan_what_can_be(readable, build.match)
    if not any(found):
        method = None
    found = dict(zip(map(id, readable), found))
    return {
        "format": 1, "feasible": feasible and len(readable) == len(parts), "method": method,
        "rotors": report(build, parts, [found.get(id(p)) for p in parts], with_room),
    }


def report(build, parts, planned, with_room):
    shown = [f or Finish(p, UNCUT) for p, f in zip(parts, planned)]
    volumes = removed.removed_mm3(
        build, np.vstack([f.stock[:2] for f in shown]), np.vstack([f.stock[2:] for f in shown]),
        removed.outline(build)).reshape(-1, 2).sum(axis=1)
    rows = []
    for part, f, is_planned, volume in zip(parts, shown, planned, volumes):
        rotor = part.rotor
        row = {
            "serial": rotor.serial, "housing": rotor.housing, "planned": is_planned is not None,
            "heights_mm": part.heights.tolist(), "chi2": part.chi2, "dof": part.dof,
            "misreading": part.misreading, "thin": f.thin, "verdict_of": None if rotor.after else "planned",
        }
        rows.append(row)
        row["verdict"] = None if rotor.after else (
            "not proven" if part.misreading else verdict(f))
        width, narrowest = float(f.widths.max()), float(f.narrowest)
        needed = part.needed(narrowest)
        grams = volume * build.density_g_mm3
        row |= {
            "land_width_mm": width, "side_clearance_mm": float(f.clearance),
            "step_needed_mm": needed, "step_needed_hot_mm": part.needed_hot(narrowest),
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
