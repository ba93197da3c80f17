"""What answers rest on and what to weigh next, on random cars: the uncertainties package and NumPy.

Random vehicle files with pairs, counts, a turned group and parts weighed on scales whose zero and gain err in all of them. Mass, front share,
CG height and yaw inertia are written down here as functions of all stated errors. The package differentiates them: effects and shares of the
variance (error_components) must be those of sy.sensitivity, a scale's two errors taken as one. Low and high are the functions
themselves with one error in them.

Of every other car a record of wheel loads is taken, which reads what is booked, so nothing moves and only uncertainties change. It is
turned into sum and moments here, which rids it of the diagonal, and the textbook's posterior, C - C H^T (H C H^T + R)^-1 H C, is formed
in full by NumPy; effects given the record are g - w H, one error with the record is e - C H^T S^-1 H e.

What to weigh next is tried out: each mass known to 0.1 kg and no longer by its scale, each place to 2 mm, everything worked out anew, and the
best taken, step by step until nothing helps. Every step must be the best there is (to 1e-9 of the mean variance) and leave the same
uncertainties.

Usage: oracle_sensitivity.py STEELYARD [CARS [SEED]]
"""
import json
import os
import random
import subprocess
import sys
import tempfile

import numpy as np
from uncertainties import ufloat

STEELYARD = sys.argv[1]
CARS = int(sys.argv[2]) if len(sys.argv) > 2 else 40
SEED = int(sys.argv[3]) if len(sys.argv) > 3 else 315
rng = random.Random(SEED)
NAMES = ["mass", "front_share", "height", "yaw_inertia"]
SCALE, TAPE, TIE = 0.1, 0.002, 1e-9
TOLERANCE = 1e-8  # places are kept to a picometre and yaw inertia is a difference of large sums
READ = 0.3  # kg, of each wheel
FLIP = np.diag([-1.0, -1.0, 1.0])  # file axes (back, right, up) to vehicle axes (forward, left, up)
failed = checked = 0
worst = 0.0


def check(name, got, want, size):
    global failed, checked, worst
    checked += 1
    off = abs(got - want) / size
    worst = max(worst, off)
    if not off <= TOLERANCE:
        failed += 1
        print(f"FAILED {name}: {got!r}, NumPy has {want!r}, off by {off:.2e} of {size:.3g}")


class Car:
    def __init__(self):
        self.wheelbase, self.tracks = rng.uniform(1.8, 2.7), (rng.uniform(1.2, 1.5), rng.uniform(1.2, 1.5))
        self.sd, self.name, self.lines = [], [], []
        self.scales = [(self.error(rng.uniform(0.02, 0.4), ("scale " + str(i), "bias and gain")),
                        self.error(rng.uniform(0.001, 0.01), ("scale " + str(i), "bias and gain"))) for i in range(2)]
        self.text, inside = [], []
        turn = rng.uniform(-40, 40)
        self.outer, self.turn = np.array([rng.uniform(0, 2500), rng.uniform(-300, 300), rng.uniform(0, 400)]), turn
        for i in range(rng.randint(4, 14)):
            grouped = rng.random() < 0.3
            (inside if grouped else self.text).append(self.part(f"part {i}", grouped))
        if inside:
            self.text.append(f'group "group" {{ at = {{{self.outer[0]!r}, {self.outer[1]!r}, {self.outer[2]!r}}}, turned = {{nose_up = '
                             f"{turn!r}}},\n" + "\n".join(inside) + "},")

    def error(self, sd, name):
        self.sd.append(sd)
        self.name.append(name)
        return len(self.sd) - 1

    def part(self, name, grouped):
        pair, count = not grouped and rng.random() < 0.2, rng.choice([1, 1, 1, 3])
        mass, mass_sd = rng.uniform(1, 90), rng.choice([rng.uniform(0.01, 0.3), rng.uniform(0.3, 9)])
        at = np.array([rng.uniform(-500, 2800), rng.uniform(100, 700) if pair else rng.uniform(-700, 700), rng.uniform(100, 800)])
        at_sd = [rng.choice([0, rng.uniform(0.5, 30)]) for _ in range(3)]
        scale = rng.randrange(2) if rng.random() < 0.4 else None
        a = np.radians(self.turn)
        r = np.array([[np.cos(a), 0, -np.sin(a)], [0, 1, 0], [np.sin(a), 0, np.cos(a)]]) if grouped else np.eye(3)
        place = ((FLIP @ self.outer if grouped else 0) + r @ (FLIP @ at)) / 1000
        path = "group/" + name if grouped else name
        line = dict(path=path, mass=mass, own=self.error(mass_sd, (name, "mass")), scale=scale, weighed=mass,
                    places=[self.error(sd / 1000, (name, ("forward", "out" if pair else "left", "up")[k])) if sd else None
                            for k, sd in enumerate(at_sd)],
                    pieces=[(1 if pair else count, place, r @ FLIP)])
        if pair:
            mirror = np.diag([1.0, -1.0, 1.0])
            line["pieces"].append((1, mirror @ place, mirror @ FLIP))
        self.lines.append(line)
        where = ", ".join(f"sd({v!r}, {s!r})" if s else repr(v) for v, s in zip(at.tolist(), at_sd))
        more = (", pair = true" if pair else f", count = {count}" if count > 1 else "") + (f', instrument = "scale {scale}"' if scale is not None else "")
        return f'    part "{name}" {{ mass = sd({mass!r}, {mass_sd!r}), at = {{{where}}}{more} }},'

    def write(self, record):
        scales = "".join(f'    {{ name = "scale {i}", bias = sd(0, {self.sd[b]!r}), gain = sd(1, {self.sd[g]!r}) }},\n'
                         for i, (b, g) in enumerate(self.scales))
        loads = ", ".join(f"{k} = sd({v!r}, {READ!r})" for k, v in zip(["lf", "rf", "lr", "rr"], self.loads()))
        records = f'\n  records = {{ record "pads" {{ kind = "corners", corners = {{{loads}}} }} }},' if record else ""
        tracks = [t * 1000 for t in self.tracks]
        return (f'vehicle {{ title = "Random", axes = {{ x = "back", y = "right", z = "up" }},\n  axles = {{\n'
                f'    {{ name = "front", at = 0, track = {tracks[0]!r}, loaded_radius = 290 }},\n'
                f'    {{ name = "rear", at = {self.wheelbase * 1000!r}, track = {tracks[1]!r}, loaded_radius = 290 }} }},\n'
                f"  instruments = {{\n{scales}  }},{records}\n  parts = {{\n" + "\n".join(self.text) + "  } }\n")

    def sums(self, e):
        """m, m x, m y, m z, m (x^2 + y^2) with the errors e."""
        q = [0.0] * 5
        for line in self.lines:
            m = line["mass"] + e[line["own"]]
            if line["scale"] is not None:
                bias, gain = self.scales[line["scale"]]
                m = m + e[bias] + line["weighed"] * e[gain]
            for count, place, way in line["pieces"]:
                p = list(place)
                for k, j in enumerate(line["places"]):
                    if j is not None:
                        p = [p[i] + way[i, k] * e[j] for i in range(3)]
                for i, value in enumerate([1.0, p[0], p[1], p[2], p[0] * p[0] + p[1] * p[1]]):
                    q[i] = q[i] + count * m * value
        return q

    def answers(self, e):
        m, x, y, z, r2 = self.sums(e)
        return [m, 100 * (1 + x / (m * self.wheelbase)), 1000 * z / m, r2 - (x * x + y * y) / m]

    def loads(self):
        """As set to a cross weight of 50 %."""
        m, x, y = self.sums([0.0] * len(self.sd))[:3]
        wheels = self.wheels()
        return np.linalg.solve(np.vstack([np.ones(4), wheels.T, [0, 1, 1, 0]]), [m, x, y, m / 2]).tolist()

    def wheels(self):
        f, r = (t / 2 for t in self.tracks)
        return np.array([[0, f], [0, -f], [-self.wheelbase, r], [-self.wheelbase, -r]])


class Known:
    """Effects of all errors on answers (g) and on what was read (h), given who still speaks of which line."""

    def __init__(self, car, record):
        self.car = car
        e = [ufloat(0, sd) for sd in car.sd]
        self.value = car.answers(e)
        both = self.value + car.sums(e)[:3]
        g = np.array([[v.derivatives.get(x, 0.0) for x in e] for v in both])
        self.g, self.h = g[:4], g[4:] if record else np.zeros((0, len(e)))
        t = np.vstack([np.ones(4), car.wheels().T])
        self.r = READ * READ * t @ t.T if record else np.zeros((0, 0))
        self.v = np.array(car.sd) ** 2

    def gain(self):
        s = self.h @ np.diag(self.v) @ self.h.T + self.r
        return np.linalg.solve(s, self.h * self.v) if len(s) else np.zeros((0, len(self.v)))

    def variances(self):
        """The textbook's posterior."""
        c = np.diag(self.v)
        c = c - (self.h * self.v).T @ self.gain()
        return np.array([g @ c @ g for g in self.g])

    def effects(self):
        """Given the record: what each error does, and the variance that the readings leave."""
        w = self.gain() @ self.g.T
        return self.g - w.T @ self.h, np.array([a @ self.r @ a for a in w.T])

    def with_step(self, line, field):
        other = object.__new__(Known)
        other.car, other.g, other.h, other.r, other.v = self.car, self.g.copy(), self.h.copy(), self.r, self.v.copy()
        if field == "place":
            for j in line["places"]:
                if j is not None:
                    other.v[j] = min(other.v[j], TAPE * TAPE)
            return other
        j = line["own"]
        other.v[j] = SCALE * SCALE
        if line["scale"] is not None:
            for j_common, per in zip(self.car.scales[line["scale"]], (1.0, line["weighed"])):
                other.g[:, j_common] -= per * other.g[:, j]
                other.h[:, j_common] -= per * other.h[:, j]
        return other


def check_rows(what, car, known, found, record):
    effect, readings = known.effects()
    total = (effect ** 2 * known.v).sum(axis=1) + readings
    components = None if record else [v.error_components() for v in known.value]
    order = [n for n in range(len(car.sd))]
    for a, name in enumerate(NAMES):
        q, rows = found["quantities"][name], {}
        for j in order:
            share, _ = rows.get(car.name[j], (0.0, []))
            rows[car.name[j]] = (share + effect[a, j] ** 2 * known.v[j], rows.get(car.name[j], (0, []))[1] + [j])
        if components is not None:  # the package's own, by size
            mine = sorted((c * c for c in components[a].values()), reverse=True)
            own = sorted((effect[a] ** 2 * known.v).tolist(), reverse=True)
            for x, y in zip(mine, own):
                check(f"{what} {name} component", x, y, total[a])
        seen, sum_of = set(), q.get("rest_share", 0)
        for row in q["list"]:
            label = f"{what} {name}, {row['what']} {row['field']}"
            sum_of += row["variance_share"]
            if row["field"] == "readings":
                check(label + " share", row["variance_share"] / 100, readings[a] / total[a], 1)
                continue
            key = (row["what"], row["field"].replace("bias", "bias and gain") if row["field"] == "bias" else row["field"])
            share, errors = rows[key]
            assert key not in seen, label
            seen.add(key)
            check(label + " share", row["variance_share"] / 100, share / total[a], 1)
            size = np.sqrt(total[a])
            sign = np.sign(row["change"]) if len(errors) == 1 else 1
            check(label + " change", row["change"], sign * np.sqrt(share), size)
            way = -1 if key[1] in ("forward", "left") else 1  # the file measures back and right
            if len(errors) == 1:
                check(label + " sign", row["change"], way * effect[a, errors[0]] * car.sd[errors[0]], size)
            for which, side in (("low", -way), ("high", way)):
                e = np.zeros(len(car.sd))
                if len(errors) == 1:
                    e[errors[0]] = side * car.sd[errors[0]]
                else:
                    for j in errors:
                        e[j] = side * effect[a, j] * known.v[j] / np.sqrt(share)
                e = e - known.v * (known.h.T @ np.linalg.solve(known.h @ np.diag(known.v) @ known.h.T + known.r, known.h @ e)) if record else e
                check(f"{label} {which}", row[which], car.answers(e)[a], size)
        check(f"{what} {name} shares", sum_of, 100, 1)
        check(f"{what} {name} sd", q["sd"], np.sqrt(total[a]), np.sqrt(total[a]))
        check(f"{what} {name} posterior", total[a], known.variances()[a], total[a] * (1 if not record else 1e4))  # by a difference
    return total


def mean(known, first):
    effect, readings = known.effects()
    return float(np.mean(((effect ** 2 * known.v).sum(axis=1) + readings) / first))


def follow(what, car, known, first, steps, left):
    lines = {(line["path"], field): line for line in car.lines for field in ("mass", "place")}
    for i, step in enumerate(steps):
        now = mean(known, first)
        drops = {key: now - mean(known.with_step(line, key[1]), first) for key, line in lines.items()}
        key = (step["path"], step["field"])
        global failed, checked
        checked += 1
        if key not in drops or drops[key] < max(drops.values()) - TIE:
            failed += 1
            print(f"FAILED {what} step {i}: {key}, NumPy would take {max(drops, key=drops.get)}")
            return
        check(f"{what} step {i} drop", step["drop"] / 100, drops[key], 1)
        known = known.with_step(lines.pop(key), key[1])
        effect, readings = known.effects()
        for a, name in enumerate(NAMES):
            sd = np.sqrt(effect[a] ** 2 @ known.v + readings[a])
            check(f"{what} step {i} {name}", step["after"][name], sd, np.sqrt(first[a]))
    now = mean(known, first)
    for key, line in lines.items():
        checked += 1
        if now - mean(known.with_step(line, key[1]), first) > 2 * TIE:
            failed += 1
            print(f"FAILED {what}: {key} is left and would help")
    effect, readings = known.effects()
    for a, name in enumerate(NAMES):
        check(f"{what} left {name}", left[name], np.sqrt(effect[a] ** 2 @ known.v + readings[a]), np.sqrt(first[a]))


SCRIPT = """
local sy = require "steelyard"
local car = sy.load(arg[1])
if arg[2] == "built" then car = car:as_built() end
local r = sy.sensitivity{car, show = {"mass", "front_share", "height", "yaw_inertia"}, top = 1000}
print(require("steelyard.print.json").encode(require("steelyard.reference.document").of(r)))
"""


def ask(text, record):
    with tempfile.TemporaryDirectory() as folder:
        path, code = os.path.join(folder, "car.lua"), os.path.join(folder, "ask.lua")
        for name, content in ((path, text), (code, SCRIPT)):
            with open(name, "w") as file:
                file.write(content)
        done = subprocess.run([STEELYARD, code, path, "built" if record else "booked"], capture_output=True, text=True)
        if done.returncode:
            sys.exit(done.stderr + text)
        return json.loads(done.stdout)


steps = 0
for n in range(CARS):
    car, record = Car(), n % 2 == 1
    while record and min(car.loads()) < 5:  # pads do not read less than nothing
        car = Car()
    found = ask(car.write(record), record)
    known = Known(car, record)
    first = check_rows(f"car {n}", car, known, found, record)
    steps += len(found["weigh_next"])
    follow(f"car {n}", car, known, first, found["weigh_next"], found["left"])
if failed:
    sys.exit(f"{failed} of {checked} figures differ")
print(f"ok sensitivity {CARS} cars, half of them as built, {steps} steps of weighing, {checked} figures, worst {worst:.1e}")
