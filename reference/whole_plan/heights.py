"""Heights of lands and tips from the readings of a rotor, and readings that do not fit.

Observation equations are whitened with the Cholesky factor of the full covariance and solved by
an orthogonal method. The datum (the sum of the gear land is that of the plain land) is the one
direction that no reading sees: the least-norm solution is moved along it.
"""

import numpy as np

CRITICAL = 3.29  # data snooping [BAARDA]
GL, PL, GT, PT = (slice(i, i + 3) for i in (0, 3, 6, 9))
UNKNOWNS = 14  # 12 heights, the dial's zero of each face
TIP_AZIMUTH = -np.deg2rad([0.0, 120.0, 240.0])

# What a reading is made of: coefficients of the unknowns and the gauge that read it.
KINDS = {
    "land_width": ("width", ((GL, 1), (PL, 1))),
    "gear_step": ("step", ((GL, 1), (GT, -1))),
    "plain_step": ("step", ((PL, 1), (PT, -1))),
    "tip_width": ("width", ((GT, 1), (PT, 1))),
    "gear_runout": ("runout", ((GL, 1), (slice(12, 13), -1))),
    "plain_runout": ("runout", ((PL, 1), (slice(13, 14), -1))),
}


def _rows(terms):
    a = np.zeros((3, UNKNOWNS))
    for where, factor in terms:
        a[:, where] = factor * (np.eye(3) if where.stop - where.start == 3 else np.ones((3, 1)))
    return a


ROWS = {kind: _rows(terms) for kind, (_, terms) in KINDS.items()}
# The two tilts of the lands against the bore, as heights at the land's edge:
# (G_k - P_k)/2 = a cos(az_k) + b sin(az_k).
TILTS = np.zeros((2, UNKNOWNS))
TILTS[:, GL] = np.array([np.cos(TIP_AZIMUTH), np.sin(TIP_AZIMUTH)]) / 3
TILTS[:, PL] = -TILTS[:, GL]
UNSEEN = np.zeros(UNKNOWNS)
UNSEEN[[0, 1, 2, 6, 7, 8, 12]] = 1
UNSEEN[[3, 4, 5, 9, 10, 11, 13]] = -1
TOLD_APART = 2 * np.log(20)  # of w^2: odds of twenty to one


def adjust(rotor):
    """Heights (4 x 3: gear land, plain land, gear tip, plain tip), chi2, dof, groups in doubt."""
    kinds = [kind for kind in KINDS if kind in rotor.readings]
    a = np.vstack([ROWS[kind] for kind in kinds])
    y = np.concatenate([rotor.readings[kind] for kind in kinds])
    gauges = np.repeat([KINDS[kind][0] for kind in kinds], 3)
    names = [f"{kind} {k}" for kind in kinds for k in (1, 2, 3)]
    fresh = np.array([rotor.gauges[g][1] for g in gauges])
    v = np.diag(fresh**2)
    by_gauge = np.array([rotor.gauges[g][0] for g in gauges])
    for name, _, zero in set(rotor.gauges.values()):
        shared = by_gauge == name
        v[np.ix_(shared, shared)] += zero**2
    # One error of its temperature moves all readings of the part.
    v += rotor.heat_u**2 * np.outer(y, y)
    readings = len(y)
    if not any(kind.endswith("runout") for kind in kinds):
        a = np.vstack([a, TILTS])
        y = np.append(y, [0.0, 0.0])
        v = np.block([[v, np.zeros((readings, 2))],
                      [np.zeros((2, readings)), rotor.squareness**2 * np.eye(2)]])
    solved = np.linalg.solve(np.linalg.cholesky(v), np.column_stack([a, y, np.eye(len(y))]))
    white, inverse = solved[:, : UNKNOWNS + 1], solved[:, UNKNOWNS + 1 :][:, :readings]
    u, s, vt = np.linalg.svd(white[:, :-1], full_matrices=False)
    rank = int((s > s[0] * 1e-10).sum())
    u = u[:, :rank]
    x = vt[:rank].T @ ((u.T @ white[:, -1]) / s[:rank])
    x -= UNSEEN * (x[GL].sum() - x[PL].sum()) / 6
    left = white[:, -1] - u @ (u.T @ white[:, -1])
    signature = inverse - u @ (u.T @ inverse)
    return (x[:12].reshape(4, 3), float(left @ left), len(y) - rank,
            in_doubt(left, signature, names))


def in_doubt(left, signature, names):
    """Groups of readings that cannot be told apart, the worst first, each taken out in turn.

    Not told apart: tied exactly, or w^2 within what odds of twenty to one ask for.
    """
    groups = []
    scale = np.linalg.norm(signature, axis=0)
    alive = scale > 1e-6 * scale.max(initial=1e-300)
    for _ in names:
        norm = np.linalg.norm(signature, axis=0)
        alive &= norm > 1e-6 * scale
        if not alive.any():
            break
        direction = signature / np.where(alive, norm, np.inf)
        w = np.abs(left @ direction)
        worst = int(np.argmax(w))
        if w[worst] <= CRITICAL:
            break
        axis = direction[:, worst]
        tie = alive & (w[worst] ** 2 - w**2 < TOLD_APART)
        groups.append([name for name, same in zip(names, tie) if same])
        left = left - axis * (axis @ left)
        signature = signature - np.outer(axis, axis @ signature)
    return groups
