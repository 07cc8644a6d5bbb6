"""Random assemblies of rotors and counterweights, made of points and turned. See SOURCE.md."""

import numpy as np

ASSEMBLIES = 200
POINTS = 200
# Instants in three turns of the shaft, after which everything stands as before.
INSTANTS = 36
# A balancing weight is a point this far off the axis, metres.
BALANCE_RADIUS = 0.06


def spread(rng, mass, points):
    """Masses of points that make up a mass, and the points moved so that their centre is at 0."""
    share = rng.uniform(0.2, 1.0, len(points))
    share *= mass / share.sum()
    return share, points - share @ points / mass


def rotor_points(rng, mass, offset):
    """About the rotor's own axis and mid-plane: mass centre behind the mid-plane, a little off the
    axis, and lopsided along it."""
    angle, radius = rng.uniform(0, 2 * np.pi, POINTS), 0.1 * np.sqrt(rng.uniform(0.1, 1, POINTS))
    points = np.stack([radius * np.cos(angle), radius * np.sin(angle), rng.uniform(-0.04, 0.04, POINTS)], 1)
    share, points = spread(rng, mass, points)
    own = rng.uniform(-2e-4, 2e-4, 2)
    return share, points + np.array([own[0], own[1], offset])


def weight_points(rng, mass, radius, angle, place):
    """A counterweight in the shaft, the same on both sides of its mid-plane."""
    sector, out = rng.uniform(-1.2, 1.2, POINTS), rng.uniform(0.03, 0.09, POINTS)
    flat = np.stack([out * np.cos(sector), out * np.sin(sector)], 1)
    share, flat = spread(rng, mass, flat)
    # What the thickness has in common with the place off the axis would be a couple of its own.
    along = rng.uniform(-0.01, 0.01, POINTS)
    with_one = np.column_stack([np.ones(POINTS), flat])
    root = np.sqrt(share)
    along = along - with_one @ np.linalg.lstsq(root[:, None] * with_one, root * along, rcond=None)[0]
    turn = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
    flat = (flat + np.array([radius, 0.0])) @ turn
    return share, np.column_stack([flat, place + along])


def turned(points, angle):
    c, s = np.cos(angle), np.sin(angle)
    x, y = points[:, 0], points[:, 1]
    return np.column_stack([c * x - s * y, s * x + c * y, points[:, 2]])


def reactions(omega, rotors, fixed, bearings):
    """What the shaft presses on both bearings with, the part that turns with it, as arrows from
    the throw of rotor 1: forces and moments of all points at instants of three turns."""
    front = np.array([0.0, 0.0, bearings[0]])
    pressed = np.zeros(2, complex)
    slow = np.zeros(2, complex)
    for instant in range(INSTANTS):
        theta = 6 * np.pi * instant / INSTANTS
        force, moment = np.zeros(3), np.zeros(3)
        for mass, points in fixed:
            at = turned(points, theta)
            push = mass[:, None] * omega**2 * at * [1, 1, 0]
            force += push.sum(0)
            moment += np.cross(at - front, push).sum(0)
        for mass, points, eccentricity, throw, place, start in rotors:
            journal = eccentricity * np.array([np.cos(theta + throw), np.sin(theta + throw), 0.0])
            about = turned(points, start + theta / 3)
            at = journal + about + [0, 0, place]
            acceleration = -(omega**2) * journal - (omega / 3) ** 2 * about * [1, 1, 0]
            push = -mass[:, None] * acceleration
            force += push.sum(0)
            moment += np.cross(at - front, push).sum(0)
        rear = np.array([moment[1], -moment[0]]) / (bearings[1] - bearings[0])
        both = np.array([complex(*(force[:2] - rear)), complex(*rear)])
        pressed += both * np.exp(-1j * theta) / INSTANTS
        slow += both * np.exp(-1j * theta / 3) / INSTANTS
    # The rotors' own unbalance is there; it turns at a third and is no part of the answer.
    assert np.abs(slow).min() > 1.0
    return pressed


def rows():
    rng = np.random.default_rng(20)

    def some(low, high, digits):
        return round(float(rng.uniform(low, high)), digits)

    for number in range(ASSEMBLIES):
        omega = some(200, 1000, 1)
        count = 1 + number % 6
        yield number, "speed", 0, omega
        place, rotors = some(0.1, 0.2, 4), []
        for j in range(count):
            mass, eccentricity = some(2, 6, 4), some(0.01, 0.02, 5)
            throw = some(0, 360, 3) if j else 0.0
            offset = some(-0.004, 0.004, 5)
            yield number, "rotor", j, mass, eccentricity, throw, place, offset
            share, points = rotor_points(rng, mass, offset)
            start = rng.uniform(0, 2 * np.pi)
            rotors.append((share, points, eccentricity, np.radians(throw), place, start))
            place = round(place + some(0.09, 0.14, 4), 4)
        fixed = []
        for j, at in enumerate((some(0.01, 0.08, 4), round(place + some(0.0, 0.1, 4), 4))):
            mass, radius, angle = some(0.5, 3, 4), some(0.02, 0.06, 5), some(0, 360, 3)
            yield number, "counterweight", j, mass, radius, angle, at
            fixed.append(weight_points(rng, mass, radius, np.radians(angle), at))
        bearings = some(0.05, 0.1, 4), round(place + some(-0.03, 0.03, 4), 4)
        planes = some(0.0, 0.09, 4), round(place + some(-0.05, 0.12, 4), 4)
        pressed = reactions(omega, rotors, fixed, bearings)
        # Weights whose force and moment about the front bearing take these away.
        levers = np.array([[1, 1], [planes[0] - bearings[0], planes[1] - bearings[0]]])
        wanted = -np.array([pressed.sum(), pressed[1] * (bearings[1] - bearings[0])])
        balance = np.linalg.solve(levers.astype(complex), wanted) / omega**2
        weights = [
            (np.array([abs(u) / BALANCE_RADIUS]),
             np.array([[BALANCE_RADIUS * np.cos(np.angle(u)), BALANCE_RADIUS * np.sin(np.angle(u)), z]]))
            for u, z in zip(balance, planes)
        ]
        left = reactions(omega, rotors, fixed + weights, bearings)
        assert np.abs(left).max() < 1e-9 * np.abs(pressed).max()
        for j in range(2):
            yield number, "bearing", j, bearings[j], f"{pressed[j].real:.6f}", f"{pressed[j].imag:.6f}"
        for j in range(2):
            yield number, "plane", j, planes[j], f"{balance[j].real:.12f}", f"{balance[j].imag:.12f}"
