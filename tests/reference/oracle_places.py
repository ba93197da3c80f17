"""Cars as built whose axles stand where a tape put them: NumPy's dense posterior, with every error as an unknown, and simulation.

Random cars measure along other axes and from another zero than the front axle; some of their wheels stand by themselves. Places of axles
and wheels, tracks, masses and places of parts, zero and gain of the pads are uncertain, the readings have noise of their own, and each record
of wheels has a warp that nobody knows. One to three records (wheels or axles, some without the driver) are taken at these places.

The unknowns are fitted by Gauss-Newton to all readings, loads worked out wheel by wheel from the places as they truly are; answers are
functions of the unknowns, their covariance J Q J^T by central differences; and each is worked out in full for unknowns drawn from the posterior,
every draw fitted to readings and statements that are off by as much as they may be.
The derivation is ours, from equilibrium and least squares with a priori covariances (E. Mikhail & F. Ackermann, Observations and Least Squares,
1976, ch. 11, from memory), and shares nothing with the library's form of it. The library takes what a place does to a moment by the load as
read, which is some 0.3 % off the load as adjusted, and a cross weight as it was read, which a common zero moves by that much of what it is off
from a half: uncertainties agree to a thousandth, values to some hundredths of them. Were records and car not to stand on the same places a share
would be about four times as uncertain.

The car is then given a part and stands on its springs: one plane of the body over four wheels, each with its ride rate (rigid chassis, no
bars), on the places as they truly are.

Usage: oracle_places.py STEELYARD [CARS]
"""
import sys

import numpy as np

from support.ask import rows
from support.library import Checks

CARS = int(sys.argv[2]) if len(sys.argv) > 2 and sys.argv[2].isdigit() else 30
random = np.random.default_rng(2203)
checks = Checks()
WHEELS = ("lf", "rf", "lr", "rr")
ANSWERS = ["mass", "front_share", "left_share", "front", "rear", *WHEELS, "cg_x", "cg_left", "cg_behind", "height", *("on springs " + w for w in WHEELS)]


class Unknowns:
    """Errors by number, with what each was stated to be uncertain by."""

    def __init__(self):
        self.sd = []

    def new(self, sd):
        self.sd.append(sd)
        return len(self.sd) - 1


class Car:
    def __init__(self):
        self.u = Unknowns()
        self.plain = random.random() < 0.25  # the axles are where they are said to be
        self.axes = [("back", "right", "up"), ("forward", "left", "up"), ("back", "left", "down"), ("left", "forward", "up")][random.integers(4)]
        self.datum = random.uniform(-900, 900)
        base = random.uniform(2200, 2600)
        self.rates = random.uniform(25, 45, 4), random.uniform(180, 220, 4)  # wheel and tyre, N/mm
        self.x, self.y = np.array([0, 0, -base, -base]), np.array([725, -725, 715, -715.0])
        self.at, self.track, self.own = [None, None], [None, None], random.random() < 0.4
        self.own_at, self.own_y = [None] * 4, [None] * 4
        sd = (lambda low, high: 0.0) if self.plain else random.uniform
        for a in range(2):
            self.at[a] = self.u.new(sd(1, 4)) if a == 1 or random.random() < 0.5 else None
            self.track[a] = self.u.new(sd(1, 4)) if random.random() < 0.7 else None
        if self.own:  # rear wheels stand by themselves
            self.at[1] = self.track[1] = None
            for i in (2, 3):
                self.x[i] += random.uniform(5, 15) * (1 if i == 2 else -1)
                self.y[i] += random.uniform(-8, 8)
                self.own_at[i], self.own_y[i] = self.u.new(sd(1, 4)), self.u.new(sd(1, 3))
            self.line = -base
        self.parts = []  # mass, place (vehicle, mm), errors
        for name, mass, back, left, up in (("tub", 330, 0.50, 10, 340), ("engine", 120, 0.75, -20, 330), ("driver", 80, 0.55, 250, 400),
                                           ("box", 35, 0.1, 60, 300)):
            place = np.array([-back * base + random.uniform(-60, 60), left, up], dtype=float)
            self.parts.append((name, mass * random.uniform(0.9, 1.1), place, self.u.new(mass * random.uniform(0.01, 0.05)),
                               [self.u.new(random.uniform(4, 25)) for _ in range(3)]))
        self.bias, self.gain, self.pads = self.u.new(random.uniform(0.02, 0.2)), self.u.new(random.uniform(2e-4, 2e-3)), random.uniform(0.05, 0.3)
        self.records = []

    # ---- as it truly is, errors u in their own units

    def places(self, u):
        x, y = self.x.copy(), self.y.copy()
        for i in range(4):
            a = i // 2
            for error, what, way in ((self.at[a], x, 1), (self.own_at[i], x, 1), (self.own_y[i], y, 1),
                                     (self.track[a], y, 0.5 if i % 2 == 0 else -0.5)):
                if error is not None:
                    what[i] += way * u[error]
        return x, y

    def sums(self, u, without=()):
        q = np.zeros(4)
        for name, mass, place, own, at in self.parts:
            if name not in without:
                m = mass + u[own]
                q += m * np.array([1, *(place + [u[k] for k in at])])
        return q

    def loads(self, q, places, cross):
        x, y = places
        return np.linalg.solve(np.array([np.ones(4), x, y, [0, 1, 1, 0]]), [q[0], q[1], q[2], cross * q[0]])

    def read(self, record, u, warp):
        """What pads without noise of their own say; warp: the cross weight."""
        loads = self.loads(self.sums(u, record["without"]), self.places(u), warp)
        if record["kind"] == "axles":
            loads = np.array([loads[0] + loads[1], loads[2] + loads[3]])
        return loads + u[self.bias] + loads * u[self.gain]

    def take(self):
        kind = "corners" if not self.records else random.choice(["corners", "axles"]) if not self.own else "corners"
        record = {"kind": str(kind), "without": ("driver",) if random.random() < 0.4 else (), "cross": 0.5 + random.uniform(-0.02, 0.02)}
        clean = self.read(record, self.truth, record["cross"])
        record["loads"] = clean + random.normal(0, self.pads, len(clean))
        self.records.append(record)

    # ---- the fit: all errors in units of their uncertainty, then one cross weight a record

    def observe(self, z):
        u, n = z[:len(self.u.sd)] * self.u.sd, len(self.u.sd)
        return np.concatenate([self.read(r, u, z[n + i]) for i, r in enumerate(self.records)])

    def jacobian(self, f, z):
        columns = []
        for k in range(len(z)):
            step = np.zeros(len(z))
            step[k] = 1e-4
            columns.append((f(z + step) - f(z - step)) / 2e-4)
        return np.array(columns).T

    def fit(self, loads, start=None):
        n, count = len(self.u.sd), len(self.records)
        z = np.concatenate([np.zeros(n), [r["cross"] for r in self.records]]) if start is None else start.copy()
        prior = np.hstack([np.eye(n), np.zeros((n, count))])
        for _ in range(30):
            h = self.jacobian(self.observe, z) / self.pads
            h[:, n:] += 1e-12  # a record of axles says nothing of it
            rest = np.concatenate([(loads - self.observe(z)) / self.pads, -z[:n]])
            j = np.vstack([h, prior])
            step = np.linalg.lstsq(j, rest, rcond=1e-11)[0]
            z += step
            if np.abs(step).max() < 1e-10:
                break
        return z, np.linalg.pinv(j, rcond=1e-11)

    def draw(self, loads, z, inverse):
        """Errors of the posterior: those that fit readings and statements best which are each off by as much as they may be. Steps with the
        inverse of the fit itself come to their end."""
        n, z = len(self.u.sd), z.copy()
        loads, stated = loads + random.normal(0, self.pads, len(loads)), random.normal(0, 1, n)
        for _ in range(8):
            z += inverse @ np.concatenate([(loads - self.observe(z)) / self.pads, stated - z[:n]])
        return z

    # ---- answers

    def answers(self, z):
        n = len(self.u.sd)
        u = z[:n] * self.u.sd
        last = max(i for i, r in enumerate(self.records) if r["kind"] == "corners")
        # springs are set so that the car reads what was read, in the state in which it was read
        q, (x, y) = self.sums(u), self.places(u)
        tilt = np.column_stack([np.ones(4), -x, y])
        wheel, tyre = self.rates
        ride = wheel * tyre / (wheel + tyre)

        def plane(more, px, py):
            return -ride * (tilt @ np.linalg.solve(tilt.T @ (ride[:, None] * tilt), -more * np.array([1, -px, py])))

        stood = self.sums(u, self.records[last]["without"])
        less = stood - q
        there = self.loads(stood, (x, y), z[n + last])
        change = plane(less[0], less[1] / less[0], less[2] / less[0]) if less[0] else np.zeros(4)
        drawn = there - change
        sprung = drawn + plane(40.0, -0.4 * 2400, 150.0)
        loads = self.loads(q, (x, y), z[n + last])
        front = x[:2].mean()
        cg = q[1:] / q[0]
        values = [q[0], 100 * loads[:2].sum() / q[0], 100 * loads[::2].sum() / q[0], loads[:2].sum(), loads[2:].sum(), *loads, cg[0], cg[1],
                  front - cg[0], cg[2], *sprung]
        return np.array(values)

    # ---- as a file

    def coordinate(self, forward, left, up):
        """The vehicle's mm in the file's axes."""
        by = {"forward": forward, "back": -forward, "left": left, "right": -left, "up": up, "down": -up}
        return [by[w] + (self.datum if w in ("forward", "back") else 0) for w in self.axes]

    def fore(self, forward):
        return self.coordinate(forward, 0, 0)[[i for i, w in enumerate(self.axes) if w in ("forward", "back")][0]]

    def lua(self):
        def stated(value, error):
            return f"sy.sd({value!r}, {self.u.sd[error]!r})" if error is not None and self.u.sd[error] > 0 else repr(float(value))

        wheel, tyre = self.rates
        axles = []
        for a, name in enumerate(("front", "rear")):
            sides = ""
            if self.own and a == 1:
                for i, side in ((2, "left"), (3, "right")):
                    sides += (f", {side} = {{at = {stated(self.fore(self.x[i]), self.own_at[i])}, half_track = "
                              f"{stated(abs(float(self.y[i])), self.own_y[i])}, spring_rate = {wheel[i]!r}, tyre_rate = {tyre[i]!r}}}")
                line = f"at = {self.fore(self.line)!r}"
            else:
                for i, side in ((2 * a, "left"), (2 * a + 1, "right")):
                    sides += f", {side} = {{spring_rate = {wheel[i]!r}, tyre_rate = {tyre[i]!r}}}"
                line = f"at = {stated(self.fore(self.x[2 * a]), self.at[a])}, track = {stated(float(self.y[2 * a] - self.y[2 * a + 1]), self.track[a])}"
            axles.append(f'{{name = "{name}", {line}, loaded_radius = 290, motion_ratio = 1{sides}}}')
        parts = []
        for name, mass, place, own, at in self.parts:
            way = {"forward": 0, "back": 0, "left": 1, "right": 1, "up": 2, "down": 2}
            here = ", ".join(f"sy.sd({v!r}, {self.u.sd[at[way[w]]]!r})" for v, w in zip(map(float, self.coordinate(*place)), self.axes))
            parts.append(f'sy.part "{name}" {{mass = sy.sd({mass!r}, {self.u.sd[own]!r}), at = {{{here}}}}}')
        records = []
        for i, r in enumerate(self.records):
            keys = ("front", "rear") if r["kind"] == "axles" else WHEELS
            said = ", ".join(f"{k} = {float(v)!r}" for k, v in zip(keys, r["loads"]))
            state = ', state = "alone"' if r["without"] else ""
            records.append(f'sy.record "number {i}" {{kind = "{r["kind"]}", instrument = "pads"{state}, {r["kind"]} = {{{said}}}}}')
        axes = ", ".join(f'{k} = "{w}"' for k, w in zip("xyz", self.axes))
        return (f'sy.car{{title = "Tape (invented)", axes = {{{axes}}}, axles = {{{", ".join(axles)}}}, parts = {{{", ".join(parts)}}}, '
                f'instruments = {{{{name = "pads", bias = sy.sd(0, {self.u.sd[self.bias]!r}), gain = sy.sd(1, {self.u.sd[self.gain]!r}), '
                f'sd = {self.pads!r}}}}}, states = {{sy.state "alone" {{without = {{"driver"}}}}}}, records = {{{", ".join(records)}}}}}')

    def script(self):
        x, y, z = self.coordinate(-0.4 * 2400, 150.0, 300.0)
        letter = "xyz"[[i for i, w in enumerate(self.axes) if w in ("forward", "back")][0]]
        sign = 1 if "forward" in self.axes else -1
        sprung = f'sy.part "more" {{mass = 40, at = {{{x!r}, {y!r}, {z!r}}}}}'
        loads = ", ".join(f"b.{w}" for w in WHEELS)
        b = f"b.mass, b.front_share, b.left_share, b.front, b.rear, {loads}, {sign} * (b.cg.{letter} - {self.datum!r}), b.cg_left, b.cg_behind, b.height"
        sd = b.replace("b.", "b.sd.").replace(f"{sign} * (b.sd.cg.{letter} - {self.datum!r})", f"b.sd.cg.{letter}")
        return (f"do local c = {self.lua()} local made = c:as_built() local b, l = made:balance(), made:add({sprung}):corners{{}} "
                f"say({b}, l.lf, l.rf, l.lr, l.rr) say({sd}, l.sd.lf, l.sd.rf, l.sd.lr, l.sd.rr) end")


cars = []
while len(cars) < CARS:
    car = Car()
    car.truth = random.normal(0, 1, len(car.u.sd)) * car.u.sd
    for _ in range(random.integers(1, 4)):
        car.take()
    cars.append(car)
said = rows([car.script() for car in cars])
DRAWN, DRAWS = 5, 1000  # draws take a hundred times as long
drawn_of = 0
for car, values, sds in zip(cars, said[::2], said[1::2]):
    read = np.concatenate([r["loads"] for r in car.records])
    z, inverse = car.fit(read)
    j = car.jacobian(car.answers, z)
    sd = np.linalg.norm(j @ inverse, axis=1)
    off = np.abs(np.array(values) - car.answers(z)) / sd
    ratio = np.abs(np.array(sds) / sd - 1)
    for name, o, r in zip(ANSWERS, off, ratio):
        checks.near(f"value of {name}, sigmas", o, 0.05)
        checks.near(f"uncertainty of {name}", r, 2e-3)
    if drawn_of == DRAWN:
        continue
    drawn_of += 1
    drawn = [car.answers(car.draw(read, z, inverse)) for _ in range(DRAWS)]
    spread = np.std(np.array(drawn), axis=0)
    checks.near("drawn, of the uncertainty", np.abs(spread / np.array(sds) - 1).max(), 5 / np.sqrt(2 * DRAWS) + 0.01)
checks.finish()
