"""sy.seek against SciPy's SLSQP (its own implementation, not NLopt's) and against brute force over all rounded values, on random cars.

The answers are worked out here from masses at points: shares and heights by moments, the yaw inertia by squares. SciPy starts from six places
of each problem; brute force goes over every value that may be found. Tolerances are what rounding to 0.01 mm and 1 g can do, worked out from the
derivatives of each answer, and what a tenth of a target's `within` leaves free.
"""
import subprocess
import sys
import tempfile

import numpy as np
from scipy.optimize import minimize

from support.ask import rows
from support.library import Checks

checks = Checks()
random = np.random.default_rng(881)

with tempfile.NamedTemporaryFile("w", suffix=".lua") as script:
    script.write('os.exit(pcall(require, "steelyard.seek_nlopt") and 0 or 7)')
    script.flush()
    if subprocess.run([sys.argv[1], script.name], check=False).returncode == 7:
        print("ok sy.seek is not built in: nothing to compare")
        sys.exit(0)

L, TRACK = 2400.0, 1450.0
WAYS = {"back": 0, "left": 1, "up": 2, "mass": 3}
STEP = {"back": 0.01, "left": 0.01, "up": 0.01, "mass": 0.001}


class Car:
    """Points x back, y left, z up (mm) with masses; the last is the driver."""

    def __init__(self):
        n = int(random.integers(4, 7))
        self.m = np.round(np.concatenate([[random.uniform(200, 400)], random.uniform(8, 150, n - 2), [random.uniform(60, 95)]]), 1)
        self.p = np.round(np.stack([random.uniform(-300, 2600, n), random.uniform(-500, 500, n), random.uniform(150, 600, n)], 1))
        self.p[0] = np.round([random.uniform(1000, 1300), random.uniform(-20, 20), 350])
        self.inputs = []

    def vary(self, count):
        chosen = random.choice(len(self.m) - 1, min(count, len(self.m) - 1), replace=False)
        for part in chosen:
            way = ["back", "left", "up", "mass"][int(random.integers(0, 4))]
            if way == "mass":
                low, high = np.round(self.m[part] * 0.8, 1), np.round(self.m[part] * 1.3, 1)
            else:
                low, high = -float(random.integers(20, 200)), float(random.integers(20, 200))
            self.inputs.append((int(part), way, float(low), float(high)))

    def now(self):
        return np.array([self.m[p] if way == "mass" else 0.0 for p, way, _, _ in self.inputs])

    def bounds(self):
        return [(low, high) for _, _, low, high in self.inputs]

    def ranges(self):
        return np.array([high - low for _, _, low, high in self.inputs])

    def steps(self):
        return np.array([STEP[way] for _, way, _, _ in self.inputs])

    def at(self, x, empty=False):
        m, p = self.m.copy(), self.p.copy()
        for value, (part, way, _, _) in zip(x, self.inputs):
            if way == "mass":
                m[part] = value
            else:
                p[part, WAYS[way]] += value
        if empty:
            m, p = m[:-1], p[:-1]
        total = m.sum()
        cg = m @ p / total
        off = p - cg
        return {"mass": total, "front_share": 100 * (1 - cg[0] / L), "left_share": 100 * (0.5 + cg[1] / TRACK), "height": cg[2],
                "yaw_inertia": float(m @ (off[:, 0] ** 2 + off[:, 1] ** 2)) / 1e6}

    def lua(self):
        parts = [f'sy.part "p{i}" {{mass = {m!r}, at = {{{x!r}, {y!r}, {z!r}}}}}' for i, (m, (x, y, z)) in enumerate(zip(self.m[:-1].tolist(), self.p[:-1].tolist()))]
        x, y, z = self.p[-1].tolist()
        parts.append(f'sy.person "driver" {{mass = {float(self.m[-1])!r}, at = {{{x!r}, {y!r}, {z!r}}}}}')
        axles = ", ".join(f'{{name = "{n}", at = {at!r}, track = {TRACK!r}, loaded_radius = 300}}' for n, at in (("front", 0.0), ("rear", L)))
        return (f'sy.car{{title = "x", axes = {{x = "back", y = "left", z = "up"}}, axles = {{{axles}}}, parts = {{{", ".join(parts)}}}, '
                'states = {sy.state "full" {}, sy.state "empty" {without = {"driver"}}}}')

    def ask(self, wish):
        vary = ", ".join(f'sy.vary("p{p}", "{way}", {low!r}, {high!r})' for p, way, low, high in self.inputs)
        n = len(self.inputs)
        return [f"do local r = sy.seek{{{self.lua()}, vary = {{{vary}}}, {wish}}}",
                "local place = r.possible and r or r.nearest", "local t = {r.possible and 1 or 0}",
                f"for i = 1, {n} do t[#t + 1] = place.moves[i].value end",
                "local b = r.possible and r.binding or place.hinders", "t[#t + 1] = #b",
                "for _, e in ipairs(b) do t[#t + 1] = ({bound = 1, limit = 2, target = 3})[e.kind] t[#t + 1] = e.value t[#t + 1] = e.gain or -1 end",
                "say(table.unpack(t)) end"]


def slsqp(f, car, constraints, starts=6):
    """The best end of SciPy's, by scaled inputs; None without one that keeps the constraints."""
    low, span = np.array([b[0] for b in car.bounds()]), car.ranges()
    best = None
    for k in range(starts):
        u = (car.now() - low) / span if k == 0 else random.uniform(0, 1, len(span))
        done = minimize(lambda u: f(low + u * span), np.clip(u, 0, 1), bounds=[(0, 1)] * len(span), method="SLSQP",
                        constraints=[{"type": "ineq", "fun": lambda u, g=g: g(low + u * span)} for g in constraints],
                        options={"maxiter": 400, "ftol": 1e-13})
        x = low + np.clip(done.x, 0, 1) * span
        if min([g(x) for g in constraints], default=0) >= -1e-7 and (best is None or f(x) < f(best)):
            best = x
    return best


def rounding(f, car, x):
    """What one step of every input changes, at most."""
    h = 1e-3 * car.ranges()
    return sum(abs(f(x + h[i] * e) - f(x - h[i] * e)) / (2 * h[i]) * car.steps()[i] for i, e in enumerate(np.eye(len(x))))


def asked(problems):
    answers = rows([line for car, wish in problems for line in car.ask(wish)])
    assert len(answers) == len(problems)
    return [(row[0] == 1, np.array(row[1:1 + len(car.inputs)]), row[1 + len(car.inputs):]) for (car, _), row in zip(problems, answers)]


# ---- something least under limits ----------------------------------------------------------------------------------------------------

cases = []
while len(cases) < 30:
    car = Car()
    car.vary(int(random.integers(1, 4)))
    if {way for _, way, _, _ in car.inputs} == {"up"}:
        continue  # nothing moves what is asked for
    here = car.at(car.now())
    low, high = np.round(here["front_share"] - random.uniform(0.1, 0.8), 2), np.round(here["front_share"] + random.uniform(0.1, 0.8), 2)
    top = np.round(here["height"] + random.uniform(-2, 4), 1)
    cases.append((car, low, high, top))
found = asked([(car, f'least = "yaw_inertia", limits = {{front_share = {{{low}, {high}}}, height = {{max = {top}}}}}') for car, low, high, top in cases])
reached = 0
for n, ((car, low, high, top), (possible, x, _)) in enumerate(zip(cases, found)):
    def yaw(x): return car.at(x)["yaw_inertia"]
    limits = [lambda x: car.at(x)["front_share"] - low, lambda x: high - car.at(x)["front_share"], lambda x: top - car.at(x)["height"]]
    best = slsqp(yaw, car, limits)
    checks.near("possible as SciPy has it", abs((best is not None) - possible), 0.5, f"car {n}")
    if best is None or not possible:
        continue
    reached += 1
    # rounding inward of binding limits costs what a step costs, times how much of it the inputs share
    tolerance = 4 * rounding(yaw, car, best) + 1e-9 * yaw(best)
    checks.near("least yaw inertia", max(0, yaw(x) - yaw(best)), tolerance, f"car {n}: {yaw(x)} and {yaw(best)}")
    checks.near("and not below it", max(0, yaw(best) - yaw(x)), 1e-6 * yaw(best) + rounding(yaw, car, best), f"car {n}")
    checks.near("limits kept", max(0, -min(g(x) for g in limits)), 1e-9, f"car {n}")
checks.near("enough of them could be reached", max(0, 15 - reached), 0.5)

# ---- targets with the least change ------------------------------------------------------------------------------------------------------

cases = []
while len(cases) < 30:
    car = Car()
    car.vary(3)
    ways = {way for _, way, _, _ in car.inputs}
    if "back" not in ways or not ways & {"up", "mass"}:
        continue
    x = car.now() + random.uniform(-0.25, 0.25, 3) * car.ranges()
    x = np.clip(x, *np.array(car.bounds()).T)
    goal = car.at(x)
    cases.append((car, np.round(goal["front_share"], 3), np.round(goal["height"], 2)))
found = asked([(car, f"target = {{front_share = {{{share}, 0.01}}, height = {{{height}, 0.5}}}}") for car, share, height in cases])
for n, ((car, share, height), (possible, x, _)) in enumerate(zip(cases, found)):
    def change(x): return float((((x - car.now()) / car.ranges()) ** 2).sum())

    def bands(a, b): return [lambda x: a - abs(car.at(x)["front_share"] - share), lambda x: b - abs(car.at(x)["height"] - height)]
    # sy.seek goes for half a unit of the last place, 0.005 % and 0.5 mm: a fiftieth of it, and counts a tenth as there
    narrow = slsqp(change, car, bands(0.005 / 50, 0.5 / 50), 2)
    wide = slsqp(change, car, bands(0.005 / 10 + rounding(lambda x: car.at(x)["front_share"], car, x), 0.05 + rounding(lambda x: car.at(x)["height"], car, x)), 2)
    checks.near("targets are reached where SciPy reaches them", max(0, (narrow is not None) - possible), 0.5, f"car {n}")
    if not possible:
        continue
    checks.near("front share reached", abs(car.at(x)["front_share"] - share), 0.01, f"car {n}")
    checks.near("height reached", abs(car.at(x)["height"] - height), 0.5, f"car {n}")
    if narrow is not None:
        checks.near("the least change", max(0, change(x) - change(narrow)), 4 * rounding(change, car, narrow) + 1e-6, f"car {n}: {change(x)} {change(narrow)}")
    if wide is not None:
        checks.near("and no less than a wider band needs", max(0, change(wide) - change(x)), 1e-6, f"car {n}")

# ---- what cannot be reached -----------------------------------------------------------------------------------------------------------------

cases = []
while len(cases) < 20:
    car = Car()
    car.vary(2)
    if {way for _, way, _, _ in car.inputs} & {"up"}:
        continue
    corners = [car.at(np.array([car.bounds()[i][k] for i, k in enumerate(pick)]))["front_share"] for pick in np.ndindex(2, 2)]
    if np.ptp(corners) < 0.05:
        continue
    cases.append((car, float(np.round(max(corners) + 1.5, 2))))
found = asked([(car, f"target = {{front_share = {share}}}") for car, share in cases])
for n, ((car, share), (possible, x, binding)) in enumerate(zip(cases, found)):
    best = slsqp(lambda x: -car.at(x)["front_share"], car, [])
    checks.near("out of reach", int(possible), 0.5, f"car {n}")
    checks.near("the nearest", car.at(best)["front_share"] - car.at(x)["front_share"], 1e-9 * 50, f"car {n}")
    for kind, value, gain in zip(binding[1::3], binding[2::3], binding[3::3]):
        # the bound with one unit more room, differently: to first order by a tenth of a unit
        index = [i for i, b in enumerate(car.bounds()) if value in b and abs(x[i] - value) < 0.03]
        moved = [car.at(x + (0.1 if value == car.bounds()[i][1] else -0.1) * np.eye(2)[i])["front_share"] - car.at(x)["front_share"] for i in index]
        checks.near("what one unit more room gives", min(abs(10 * m - gain) for m in moved), 2e-3 * gain, f"car {n}, kind {kind}")

# ---- the worst of two states --------------------------------------------------------------------------------------------------------------

cases = []
while len(cases) < 15:
    car = Car()
    car.vary(2)
    if not {way for _, way, _, _ in car.inputs} & {"up", "mass"}:
        continue
    cases.append(car)
found = asked([(car, 'least = "height", worst_over = {"full", "empty"}') for car in cases])
for n, (car, (possible, x, _)) in enumerate(zip(cases, found)):
    def worst(x): return max(car.at(x)["height"], car.at(x, True)["height"])
    grid = [np.linspace(low, high, 101) for low, high in car.bounds()]
    best = min(worst(np.array([a, b])) for a in grid[0] for b in grid[1])
    checks.near("possible over two states", int(not possible), 0.5, f"car {n}")
    checks.near("the least worst height", max(0, worst(x) - best), rounding(worst, car, x) + 1e-9, f"car {n}: {worst(x)} {best}")

# ---- brute force over every value that may be found --------------------------------------------------------------------------------------------

cases = []
while len(cases) < 15:
    car = Car()
    car.vary(1)
    part, way, _, _ = car.inputs[0]
    if way in ("up", "left"):
        continue
    car.inputs = [(part, way, float(np.round(car.m[part] - 1, 1)), float(np.round(car.m[part] + 1, 1))) if way == "mass" else (part, way, -6.0, 6.0)]
    goal = car.at(np.array([random.uniform(*car.bounds()[0])]))["front_share"]
    cases.append((car, float(np.round(goal, 4))))
found = asked([(car, f"target = {{front_share = {{{share}, 0.0005}}}}") for car, share in cases])
for n, ((car, share), (possible, x, _)) in enumerate(zip(cases, found)):
    low, high = car.bounds()[0]
    step = car.steps()[0]
    values = np.round(np.arange(round(low / step), round(high / step) + 1) * step, 3)
    def key(v):
        miss = abs(car.at(np.array([v]))["front_share"] - share)
        return (round(max(miss - 0.00005, 0), 12), abs(v - car.now()[0]))
    best = min(values, key=key)
    checks.near("one input: the best of all its values", abs(x[0] - best), 1e-9, f"car {n}: {x[0]} {best}")

cases = []
while len(cases) < 6:
    car = Car()
    car.vary(2)
    car.inputs = [(p, way, -0.4, 0.4) if way != "mass" else (p, way, float(car.m[p]) - 0.04, float(car.m[p]) + 0.04) for p, way, _, _ in car.inputs]
    if {way for _, way, _, _ in car.inputs} & {"up"} or len({p for p, _, _, _ in car.inputs}) < 2:
        continue
    here = car.at(car.now())["front_share"]
    cases.append((car, here + 0.0003))
found = asked([(car, f'most = "front_share", limits = {{yaw_inertia = {{max = {car.at(car.now())["yaw_inertia"] + 0.004!r}}}}}') for car, _ in cases])
for n, ((car, _), (possible, x, _)) in enumerate(zip(cases, found)):
    top = car.at(car.now())["yaw_inertia"] + 0.004
    axes = [np.round(np.arange(round(low / s), round(high / s) + 1) * s, 3) for (low, high), s in zip(car.bounds(), car.steps())]
    best = max((car.at(np.array([a, b]))["front_share"] for a in axes[0] for b in axes[1] if car.at(np.array([a, b]))["yaw_inertia"] <= top), default=None)
    checks.near("two inputs: possible", abs((best is not None) - possible), 0.5, f"car {n}")
    if best is not None:
        checks.near("two inputs: the best of all their values", abs(car.at(x)["front_share"] - best), 1e-9, f"car {n}: {car.at(x)['front_share']} {best}")
checks.finish()
