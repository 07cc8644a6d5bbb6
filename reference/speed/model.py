"""One operating point, from speed and boost to gaps. See SOURCE.md.

A case is (name, rotors, omega rad/s, boost Pa, clearance m, step m, gas 0 or 1): `gas` 0 takes
the gas off films, journals and sides, and leaves the mesh as it is.
"""

import functools

import numpy as np

import beam
import chamber
import engine
import film
import pose

ROUNDS = 2
FIRST = 2 / 3
DAMPING = 3e-4


@functools.cache
def table(sizes):
    return film.Table(sizes[1] / sizes[0])


@functools.cache
def hard_cycle(omega, boost):
    return chamber.hard_cycle(omega, boost)


def in_series(k, c, seat, omega):
    """The same in every direction: the mean over both, what pushes to the side left out."""
    z = max(np.trace(k) / 2, 0.0) + 1j * omega * max(np.trace(c) / 2, 0.0)
    both = 1 / (1 / z + 1 / seat)
    return np.eye(2) * both.real, np.eye(2) * both.imag / omega


class Shaken:
    """What pushes on shaft and rotors of one engine at one speed and boost."""

    def __init__(self, rotors, omega, boost):
        self.omega = omega
        self.shaft = engine.Shaft(rotors)
        self.beam = beam.Beam(self.shaft)
        gas = chamber.RotorGas(hard_cycle(omega, boost))
        self.gas = np.array([np.roll(gas.force, -t)[:360] for t in self.shaft.throws])
        self.mesh = chamber.mesh(self.shaft, gas, omega)
        self.side = np.array([np.roll(gas.side_moment(), -t)[:360] for t in self.shaft.throws])
        first = np.eye(2) * FIRST
        self.rates = [(first * engine.SEAT, first * engine.SEAT * DAMPING,
                       first * engine.SEAT_MOMENT, first * engine.SEAT_MOMENT * DAMPING)
                      for _ in self.shaft.mains]

    def pressed(self):
        """Loads on the journals of the mains."""
        return -self.beam.respond(self.omega, self.rates,
                                  [None, self.gas, self.mesh])[1].sum(0)

    def finish(self):
        """Slopes of the journals from what turns, gas and mesh, (3, rotors, 360)."""
        self.slopes, _ = self.beam.respond(self.omega, self.rates, [None, self.gas, self.mesh])
        self.flexibility = self.beam.flexibility(self.rates)


def bearings(sizes):
    return film.Bearing(*sizes, engine.VISCOSITY)


def settle_mains(shaken):
    """Mains of all engines side by side: loads and films by turns."""
    bearing = bearings(engine.MAIN_BEARING)
    lookup = table(engine.MAIN_BEARING)
    for _ in range(ROUNDS):
        loads = [one.pressed() for one in shaken]
        omegas = np.concatenate([np.full(len(l), s.omega) for l, s in zip(loads, shaken)])
        every = np.concatenate(loads)
        carried = omegas / 2
        places = film.paths(lookup, bearing, omegas, carried, every)
        k, c, k_t, c_t = (m.mean(1) for m in film.coefficients(
            lookup, bearing, np.repeat(carried[:, None], 360, 1), places, every))
        at = 0
        for one in shaken:
            one.rates = []
            for _ in one.shaft.mains:
                one.rates.append((*in_series(k[at], c[at], engine.SEAT, one.omega),
                                  *in_series(k_t[at], c_t[at], engine.SEAT_MOMENT, one.omega)))
                at += 1
    for one in shaken:
        one.finish()


def rotor_films(shaken, scales):
    """Places over the clearance and K_t, C_t of the rotors' bearings, engine by engine."""
    bearing = bearings(engine.ROTOR_BEARING)
    lookup = table(engine.ROTOR_BEARING)
    loads, omegas = [], []
    for one, gas in zip(shaken, scales):
        out = engine.MASS * engine.ECC * one.omega**2
        for i, throw in enumerate(one.shaft.throws):
            turning = np.exp(1j * np.radians(90 + np.arange(360) + throw))
            loads.append(gas * one.gas[i] + one.mesh[i] + out * turning)
            omegas.append(one.omega)
    loads, omegas = np.array(loads), np.array(omegas)
    carried = omegas * 2 / 3
    places = film.paths(lookup, bearing, omegas, carried, loads)
    _, _, k, c = film.coefficients(lookup, bearing, np.repeat(carried[:, None], 360, 1), places,
                                   loads)
    found, at = [], 0
    for one in shaken:
        n = len(one.shaft.throws)
        found.append((places[at : at + n], k[at : at + n], c[at : at + n]))
        at += n
    return found


def motion(one, films, gas, clearance, step):
    places, k, c = films
    bearing = bearings(engine.ROTOR_BEARING)
    per = 2 * bearing.clearance / bearing.length
    slope = one.slopes[0] + gas * one.slopes[1] + one.slopes[2]
    moment = engine.GEAR_OFFSET * one.mesh + gas * one.side
    return pose.Motion(one.omega, one.shaft.throws, (k, c), per * places, per, slope, moment,
                       one.flexibility, clearance, step)


def points(cases):
    """Of every case: the engine shaken, its rotor films, the free leans, the answers of the free
    and of the true motion and whether walls held it."""
    engines = {}
    for _, rotors, omega, boost, *_ in cases:
        key = (rotors, omega, boost)
        if key not in engines:
            engines[key] = Shaken(*key)
    settle_mains(list(engines.values()))
    shaken = [engines[case[1:4]] for case in cases]
    films = rotor_films(shaken, [case[6] for case in cases])
    found = []
    for case, one, own in zip(cases, shaken, films):
        moving = motion(one, own, case[6], case[4], case[5])
        leans, journals, _ = moving.run(False)
        free = moving.answers(leans, {})
        touches = not moving.passes(leans, journals)
        true = free
        if touches:
            held, _, pushes = moving.run(True)
            true = moving.answers(held, pushes)
        found.append((one, own, leans, free, true, touches))
    return found
