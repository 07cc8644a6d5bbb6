"""Writes values.csv: pressures of a chamber's gas followed with SciPy. See SOURCE.md.

Written from the equations, in another form than the product's: the unknowns here are temperature
and two masses, the temperature's equation is worked out by hand, ports and burn are functions of
time on their own, walls come from elliptic integrals, the flow from the textbook's powers.
"""

import csv
import math
import pathlib

import numpy as np
from scipy.integrate import solve_ivp
from scipy.special import ellipeinc

R_GAS = 287.055

CASES = {
    # name: everything that differs from BASE
    "plain_closed": dict(closed=True, factor=0.0, gamma0=1.35, slope=0.0),
    "walls_closed": dict(closed=True),
    "boost_9800": dict(rpm=9800.0, p_in=191325.0, t_in=320.0, p_ex=170000.0),
    "boost_7000": dict(rpm=7000.0, p_in=171325.0, t_in=315.0, p_ex=140000.0, spark=22.0),
    "open_6000": dict(rpm=6000.0),
    "throttled_3000": dict(rpm=3000.0, p_in=60000.0, spark=32.0, burn=120.0),
}
BASE = dict(
    closed=False, radius=0.105, ecc=0.015, width=0.08, ratio=9.0, rpm=8000.0,
    p_in=101325.0, t_in=305.0, p_ex=109325.0,
    io=40.0, ic=70.0, eo=75.0, ec=50.0, ramp=60.0, a_in=1000e-6, a_ex=900e-6,
    spark=25.0, burn=95.0, wa=5.0, wm=1.8, heat=43e6 * 0.82 / 13.5,
    wall=480.0, factor=1.0, gamma0=1.392, slope=8.13e-5,
    fresh=1.2e-3, burnt=5e-5, t0=340.0,
)
ANGLES_CLOSED = [-180, -90, -45, -20, 0, 10, 20, 30, 45, 60, 90, 120, 180]
ANGLES_CYCLE = [0, 15, 30, 45, 60, 90, 150, 200, 230, 270, 330, 420, 480, 510, 540, 570, 600,
                660, 740, 810, 860, 900, 960, 1020, 1050, 1070]


class Chamber:
    def __init__(self, c):
        self.c = c
        r, e, b = c["radius"], c["ecc"], c["width"]
        self.swept = 3 * math.sqrt(3) * e * r * b
        self.vmin = self.swept / (c["ratio"] - 1)
        m = 12 * e * r / (r + 3 * e) ** 2

        def arc(lo, hi):
            return (r + 3 * e) * (ellipeinc(math.radians(hi), m) - ellipeinc(math.radians(lo), m))

        self.long, self.short = arc(-60, 60), arc(30, 150)
        # The flank by summing chords of its textbook form.
        k = 3 * e / r
        s = np.linspace(math.pi / 6, math.pi / 2, 200001)
        root = np.sqrt(1 - k**2 * np.sin(3 * s) ** 2)
        x = (r * np.cos(2 * s) + 1.5 * e**2 / r * (np.cos(8 * s) - np.cos(4 * s))
             + e * root * (np.cos(5 * s) + np.cos(s)))
        y = (r * np.sin(2 * s) + 1.5 * e**2 / r * (np.sin(8 * s) + np.sin(4 * s))
             + e * root * (np.sin(5 * s) - np.sin(s)))
        self.flank = float(np.sum(np.hypot(np.diff(x), np.diff(y))))

    def volume(self, theta):
        return self.vmin + self.swept * math.sin(math.radians(theta) / 3) ** 2

    def slope(self, theta):  # per degree
        return self.swept * math.sin(2 * math.radians(theta) / 3) / 3 * math.pi / 180

    def walls(self, theta):
        full = math.sin(math.radians(theta) / 3) ** 2
        arc = self.short + (self.long - self.short) * full
        return self.c["width"] * (arc + self.flank) + 2 * self.volume(theta) / self.c["width"]


def opening(theta, start, stop, ramp):
    x = min((theta - start) / ramp, (stop - theta) / ramp, 1.0)
    return 0.0 if x <= 0 else 3 * x**2 - 2 * x**3


class Gas:
    def __init__(self, c):
        self.g0, self.s = c["gamma0"], c["slope"]

    def gamma(self, t):
        return self.g0 - self.s * t

    def cv(self, t):
        return R_GAS / (self.gamma(t) - 1)

    def u(self, t):
        a = self.g0 - 1
        if self.s == 0:
            return R_GAS / a * t
        return R_GAS / self.s * math.log(a / (a - self.s * t))

    def h(self, t):
        return self.u(t) + R_GAS * t


def flow(gas, area, p1, t1, p2):
    """Mass flow per second from p1 down to p2 < p1."""
    g = gas.gamma(t1)

    def psi(pi):
        return math.sqrt(2 * g / (g - 1) * (pi ** (2 / g) - pi ** ((g + 1) / g)))

    pi = p2 / p1
    critical = (2 / (g + 1)) ** (g / (g - 1))
    if pi > 0.998:
        value = psi(0.998) * (1 - pi) / 0.002
    else:
        value = psi(max(pi, critical))
    return area * p1 / math.sqrt(R_GAS * t1) * value


def follow(c, chamber, fresh0, burnt0, t0, t_exhaust, angles, closed):
    gas = Gas(c)
    omega = c["rpm"] * math.pi / 30
    dt = math.pi / 180 / omega  # seconds a degree
    close_in, open_in = 810 + c["ic"] - 1080, 540 - c["io"]
    open_ex, close_ex = 270 - c["eo"], 540 + c["ec"]
    spark = -c["spark"]
    end = open_ex if closed else 810 + c["ic"]
    v0 = chamber.volume(close_in)
    p0 = (fresh0 + burnt0) * R_GAS * t0 / v0
    g0 = gas.gamma(t0)
    along = omega * c["radius"] / 3

    def make(lo, hi):
        middle = (lo + hi) / 2
        ports = middle > open_ex
        burning = spark < middle < spark + c["burn"]
        after_spark = middle > spark
        intake = middle > open_in
        exhaust = open_ex < middle < close_ex

        def f(theta, y):
            t, fresh, burnt = y[0], y[1], y[2]
            m = fresh + burnt
            v, dv = chamber.volume(theta), chamber.slope(theta)
            p = m * R_GAS * t / v
            w = along * (6.18 if ports else 2.28)
            if after_spark and not ports:
                w += max(0.0, 3.24e-3 * chamber.swept * t0 / (p0 * v0) * (p - p0 * (v0 / v) ** g0))
            alpha = 130 * c["width"] ** -0.2 * (p / 1e5) ** 0.8 * t**-0.53 * w**0.8
            q = -c["factor"] * alpha * chamber.walls(theta) * (t - c["wall"]) * dt
            dfresh = dburnt = 0.0
            enthalpy = 0.0  # net, in
            out_kg = out_kg_k = 0.0
            if burning:
                z = (theta - spark) / c["burn"]
                rate = (c["wa"] * (c["wm"] + 1) / c["burn"] * z ** c["wm"]
                        * math.exp(-c["wa"] * z ** (c["wm"] + 1)))
                q += fresh0 * rate * c["heat"]
                dfresh -= fresh0 * rate
                dburnt += fresh0 * rate
            if intake:
                area = c["a_in"] * opening(theta, open_in, 810 + c["ic"], c["ramp"])
                if c["p_in"] >= p:
                    d = flow(gas, area, c["p_in"], c["t_in"], p) * dt
                    dfresh += d
                    enthalpy += d * gas.h(c["t_in"])
                else:
                    d = flow(gas, area, p, t, c["p_in"]) * dt
                    dfresh -= d * fresh / m
                    dburnt -= d * burnt / m
                    enthalpy -= d * gas.h(t)
            if exhaust:
                area = c["a_ex"] * opening(theta, open_ex, close_ex, c["ramp"])
                if p >= c["p_ex"]:
                    d = flow(gas, area, p, t, c["p_ex"]) * dt
                    dfresh -= d * fresh / m
                    dburnt -= d * burnt / m
                    enthalpy -= d * gas.h(t)
                    out_kg, out_kg_k = d, d * t
                else:
                    d = flow(gas, area, c["p_ex"], t_exhaust, p) * dt
                    dburnt += d
                    enthalpy += d * gas.h(t_exhaust)
            dm = dfresh + dburnt
            dtemp = (q - p * dv + enthalpy - gas.u(t) * dm) / (m * gas.cv(t))
            return [dtemp, dfresh, dburnt, out_kg, out_kg_k, p * dv]


        return f

    marks = [spark, spark + c["burn"], open_ex, open_ex + c["ramp"], close_ex - c["ramp"], close_ex,
             open_in, open_in + c["ramp"], 810 + c["ic"] - c["ramp"], end]
    marks = sorted({x for x in marks if close_in < x <= end})
    y = [t0, fresh0, burnt0, 0.0, 0.0, 0.0]
    lo = close_in
    found = {}
    for hi in marks:
        wanted = [a for a in angles if lo <= a < hi]
        got = solve_ivp(make(lo, hi), (lo, hi), y, method="LSODA", t_eval=wanted + [hi],
                        rtol=1e-9, atol=[1e-7, 1e-14, 1e-14, 1e-14, 1e-11, 1e-8])
        assert got.success, got.message
        for a, state in zip(wanted, got.y.T):
            found[a] = (state[1] + state[2]) * R_GAS * state[0] / chamber.volume(a)
        y = list(got.y[:, -1])
        lo = hi
    return y, found


def main():
    rows = []
    for name, changes in CASES.items():
        c = {**BASE, **changes}
        chamber = Chamber(c)
        if c["closed"]:
            y, found = follow(c, chamber, c["fresh"], c["burnt"], c["t0"], 1000.0,
                              ANGLES_CLOSED, True)
            rows += [(name, "work_j", 0, y[5])]
        else:
            fresh, burnt, t, t_ex = c["p_in"] * chamber.volume(-200) / (R_GAS * c["t_in"]), 0.0, \
                c["t_in"], 1000.0
            angles = sorted(a if a < 810 + c["ic"] else a - 1080 for a in ANGLES_CYCLE)
            for _ in range(40):
                y, found = follow(c, chamber, fresh, burnt, t, t_ex, angles, False)
                new = (y[1], y[2], y[0], y[4] / y[3])
                change = max(abs(a - b) / (abs(a) + 1e-5 * fresh)
                             for a, b in zip(new, (fresh, burnt, t, t_ex)))
                fresh, burnt, t, t_ex = new
                if change < 1e-7:
                    break
            else:
                raise SystemExit(f"{name} does not repeat")
            found = {a % 1080: p for a, p in found.items()}
            rows += [(name, "work_j", 0, y[5]), (name, "fresh_kg", 0, fresh),
                     (name, "residual_share", 0, burnt / (fresh + burnt)),
                     (name, "exhaust_k", 0, t_ex)]
        rows += [(name, "pressure_bar", a, p / 1e5) for a, p in sorted(found.items())]
    path = pathlib.Path(__file__).with_name("values.csv")
    with path.open("w", newline="") as out:
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(["case", "quantity", "angle_deg", "value"])
        for case, quantity, angle, value in rows:
            writer.writerow([case, quantity, angle, f"{value:.6g}"])


if __name__ == "__main__":
    main()
