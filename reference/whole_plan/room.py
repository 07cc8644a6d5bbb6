"""The least gap at the tips over every pose that the lands allow, by linear programs (HiGHS).

A pose is a float and two slopes. In axes that turn with the rotor the constraints of the land
ring and the directions of the tips are the same at every place of the orbit; only the walls
change. One program per state holds a pose of its own for each place, tip and wall: they do not
touch each other, so the least of their sum is the least of each.
"""

import numpy as np
import scipy.sparse
from scipy.optimize import linprog

PLACES = 24
RING = np.deg2rad(np.arange(360.0))
UM = 1000.0  # programs are in micrometres: HiGHS's tolerances are absolute


def widths(build, rotor, rise, y):
    """Half the hot room between the walls at a distance y towards the hot waist."""
    housing, arc, _, _ = rise
    waist = build.radius - build.eccentricity + build.shift
    alpha = build.housing_expansion
    w = rotor.greatest
    return (w * (1 + alpha * housing) + alpha * w * arc * 0.5 * (1 + y / waist)) / 2


def least_gaps(build, rotor, heights):
    """Least gap in mm for each state; -inf where the lands find no room at all."""
    sense = 1.0 if rotor.gear_to_rear else -1.0
    tips = -np.deg2rad([0.0, 120.0, 240.0])
    # In rotor axes about z_r; a plane through three heights at the tips' azimuths.
    fit = np.array([np.ones(360) / 3, 2 / 3 * np.cos(RING), 2 / 3 * np.sin(RING)])
    ring = np.array([np.ones(3), np.cos(tips), np.sin(tips)]).T @ fit  # tip values -> ring
    land = heights[:2] @ ring  # gear, plain
    tip = heights[2:]
    (rear_land, front_land), (rear_tip, front_tip) = (
        (land, tip) if rotor.gear_to_rear else (land[::-1], tip[::-1]))
    reach = build.tip_radius / build.land_radius
    ring_row = np.column_stack([np.ones(360), np.cos(RING), sense * np.sin(RING)])
    tip_row = np.column_stack([np.ones(3), reach * np.cos(tips), sense * reach * np.sin(tips)])
    walls = np.vstack([ring_row, -ring_row])
    seek = np.vstack([tip_row, -tip_row])
    program = scipy.sparse.csr_array(scipy.sparse.kron(scipy.sparse.eye(6 * PLACES), walls))
    cost = -np.tile(seek.ravel(), PLACES)
    bounds = np.full((18 * PLACES, 2), [-np.inf, np.inf])
    # Orbit: throw at 90 deg + shaft angle; middle of flank 1 towards +y at 0.
    shaft = np.arange(PLACES) * (2 * np.pi * 3 / PLACES)
    first = np.deg2rad(150.0 if rotor.gear_to_rear else 30.0) + shaft / 3
    centre = build.eccentricity * np.sin(np.pi / 2 + shaft)
    y_ring = centre[:, None] + build.land_radius * np.sin(first[:, None] + sense * RING)
    y_tip = centre[:, None] + build.tip_radius * np.sin(first[:, None] + sense * tips)
    result = []
    for rise in build.rises:
        grow_land = 1 + build.rotor_expansion * rise[2]
        grow_tip = 1 + build.rotor_expansion * rise[3]
        half_ring, half_tip = (widths(build, rotor, rise, y) for y in (y_ring, y_tip))
        limit = UM * np.hstack([
            half_ring + rotor.land_wear[1] - rear_land * grow_land,
            half_ring + rotor.land_wear[0] - front_land * grow_land])
        bare = UM * np.hstack([
            half_tip + rotor.tip_wear[1] - rear_tip * grow_tip,
            half_tip + rotor.tip_wear[0] - front_tip * grow_tip])
        # Rows go place by place, each six times over.
        found = linprog(cost, A_ub=program, b_ub=np.repeat(limit, 6, axis=0).ravel(),
                        bounds=bounds, method="highs-ds", options={"presolve": False})
        if found.status == 2:
            result.append(-np.inf)
            continue
        if found.status != 0:
            raise RuntimeError(found.message)
        gaps = bare - (seek * found.x.reshape(PLACES, 6, 3)).sum(axis=2)
        result.append(gaps.min() / UM)
    return result
