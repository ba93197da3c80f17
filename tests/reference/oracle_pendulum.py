"""Inertia from swings: uncertainties against the uncertainties package, amplitude against an integration of the motion by SciPy.

The formulae are written here once more, from the mechanics: the package differentiates and combines them.
"""
import math

import numpy as np
from scipy.integrate import solve_ivp
from uncertainties import ufloat

from support.ask import ask
from support.library import Checks

checks = Checks()
random = np.random.default_rng(2010)
FOUR_PI2 = 4 * math.pi**2


def stated(low, high, share):
    value = random.uniform(low, high)
    return value, value * share * random.uniform(0.2, 1)


# ---- uncertainties

cases, wanted = [], []
for n in range(60):
    kind = ["compound", "bifilar", "trifilar", "torsion"][n % 4]
    t = {"kind": kind, "mass": stated(2, 150, 1e-3), "g": stated(9.78, 9.83, 1e-4)}
    v = {k: ufloat(*x) for k, x in t.items() if isinstance(x, tuple)}
    if kind == "compound":
        t["arm"] = stated(100, 400, 2e-3)
        arm = ufloat(*t["arm"]) / 1000
        gyration = random.uniform(0.1, 0.5)
        period = 2 * math.pi * math.sqrt((gyration**2 + arm.nominal_value**2) / (9.8 * arm.nominal_value))
        t["period"] = period, 1e-4 * period
        T = ufloat(*t["period"])
        inertia = v["mass"] * v["g"] * arm * T * T / FOUR_PI2 - v["mass"] * arm * arm
    elif kind == "torsion":
        del t["mass"], t["g"]
        t["rod"] = {"mass": stated(2, 9, 1e-3), "length": stated(800, 1500, 5e-4), "diameter": stated(20, 60, 2e-2),
                    "period": stated(2, 3, 1e-3), "on_platform": bool(n % 8 < 4)}
        t["platform"] = {"period": stated(0.8, 1.2, 1e-3)}
        t["period"] = stated(2, 3, 1e-3)
        rod = {k: ufloat(*x) for k, x in t["rod"].items() if isinstance(x, tuple)}
        empty, T = ufloat(*t["platform"]["period"]), ufloat(*t["period"])
        rod_inertia = rod["mass"] * (3 * (rod["diameter"] / 2000)**2 + (rod["length"] / 1000)**2) / 12
        k = FOUR_PI2 * rod_inertia / (rod["period"]**2 - (empty**2 if t["rod"]["on_platform"] else 0))
        inertia = k * (T * T - empty * empty) / FOUR_PI2
    else:
        t["wire"] = stated(1000, 3000, 1e-3)
        t["platform"] = {"mass": stated(1, 2, 1e-3), "period": stated(0.8, 1.2, 1e-3)}
        t["period"] = stated(2, 3, 1e-3)
        wire, T = ufloat(*t["wire"]) / 1000, ufloat(*t["period"])
        if kind == "bifilar":
            t["arms"] = [stated(200, 400, 2e-3), stated(200, 400, 2e-3)]
            r2 = ufloat(*t["arms"][0]) * ufloat(*t["arms"][1]) / 1e6
        else:
            t["radius"] = stated(200, 400, 2e-3)
            r2 = (ufloat(*t["radius"]) / 1000)**2
        mp, empty = ufloat(*t["platform"]["mass"]), ufloat(*t["platform"]["period"])
        inertia = v["g"] * r2 / (FOUR_PI2 * wire) * ((v["mass"] + mp) * T**2 - mp * empty**2)
    cases.append(t)
    wanted.append(inertia)

for t, r, w in zip(cases, ask("sy.pendulum", cases), wanted):
    # closed forms in doubles: 2e-16 each, times what a difference costs
    checks.near(t["kind"] + " inertia", abs(r["inertia"] / w.nominal_value - 1), 1e-12, t)
    checks.near(t["kind"] + " uncertainty", abs(r["sd"]["inertia"] / w.std_dev - 1), 1e-12, t)

# ---- amplitude: the body is let go at rest and meets the lowest point after a quarter of its period

cases, periods = [], []


def quarter(acceleration, swing):
    def lowest(_, y):
        return y[0]

    lowest.terminal, lowest.direction = True, -1
    done = solve_ivp(lambda _, y: (y[1], acceleration(y[0], y[1])), (0, 60), (swing, 0.0), events=lowest, rtol=1e-11, atol=1e-13)
    return done.t_events[0][0]


G = 9.80665
for n in range(24):
    swing = random.uniform(2, 35)
    a = math.radians(swing)
    mass, inertia = random.uniform(3, 90), random.uniform(0.2, 9)
    if n % 2 == 0:
        arm = random.uniform(0.1, 0.4)
        about = inertia + mass * arm * arm
        T = 4 * quarter(lambda q, _: -mass * G * arm * math.sin(q) / about, a)
        cases.append({"kind": "compound", "mass": mass, "arm": 1000 * arm, "period": T, "swing": swing, "g": G})
    else:
        r, wire = random.uniform(0.2, 0.6), random.uniform(1, 3)

        def wires(q, w):  # d/dt of (I + m h'^2) q' less its derivative by q: Lagrange's equation
            root = math.sqrt(wire**2 - 4 * r * r * math.sin(q / 2)**2)
            first = r * r * math.sin(q) / root
            second = r * r * math.cos(q) / root + (r * r * math.sin(q))**2 / root**3
            return -(mass * first * second * w * w + mass * G * first) / (inertia + mass * first * first)

        T = 4 * quarter(wires, a)
        cases.append({"kind": "trifilar", "mass": mass, "radius": 1000 * r, "wire": 1000 * wire, "period": T, "swing": swing, "g": G})
    periods.append(inertia)

for t, r, inertia in zip(cases, ask("sy.pendulum", cases), periods):
    # the integration is good to some 1e-11 of the period, and a compound pendulum's own inertia may be a tenth of the whole
    checks.near(t["kind"] + " amplitude", abs(r["inertia"] / inertia - 1), 1e-9, t)

checks.finish()
