"""Ledgers against scales: NumPy's dense least squares with every error and every load's warp as an unknown.

Random ledgers are written as vehicle files with pairs, counts, turned groups, exact lines and parts weighed on scales with a zero
and a gain of their own. Here the whole vector of unknowns (every error of mass and place, every zero and gain, and the warp) is fitted
by Gauss-Newton on the full Jacobian, taken by complex steps, and the posterior covariance is the inverse of the full normal matrix.
The command solves the same in the space of the readings. They must agree to 1e-9 of each figure's own uncertainty; places to a picometre,
to which the ledger keeps them.
"""
import json
import os
import random
import subprocess
import sys
import tempfile

import numpy as np
from scipy.stats import chi2

STEELYARD = sys.argv[1]
rng = random.Random(4711)
TOLERANCE = 1e-9
failed = 0
worst = 0.0


def check(name, got, want, scale):
    global failed, worst
    off = abs(got - want) / scale
    worst = max(worst, off)
    if not off <= TOLERANCE:
        failed += 1
        print(f"FAILED {name}: {got!r}, NumPy has {want!r}, off by {off:.2e} of {scale:.3g}")


def rotation(nose_up):
    """Nose up by degrees: about y, forward towards up (x forward, y left, z up)."""
    a = np.radians(nose_up)
    return np.array([[np.cos(a), 0, -np.sin(a)], [0, 1, 0], [np.sin(a), 0, np.cos(a)]])


class Car:
    """Lines of a random ledger: text of the file, and the same as arrays. Vehicle axes in m; the file's x is back, y right."""

    def __init__(self):
        self.wheelbase, self.tracks = rng.uniform(1800, 2700), (rng.uniform(1200, 1500), rng.uniform(1200, 1500))
        half, back = [t / 2 for t in self.tracks for _ in range(2)], [0, 0, self.wheelbase, self.wheelbase]
        self.unlike = rng.random() < 0.5
        if self.unlike:  # each wheel at its own place, the axle line between its wheels
            half = [h + rng.uniform(-60, 60) for h in half]
            off = [rng.uniform(0, 50) * rng.choice([1, -1]) for _ in range(2)]
            back = [b + (1 if i % 2 else -1) * off[i // 2] * rng.random() for i, b in enumerate(back)]
        self.half, self.back = half, back
        self.scales = [(rng.uniform(0.01, 0.2), rng.uniform(0.0005, 0.004)) for _ in range(rng.choice([0, 1, 2]))]
        self.sds, self.lines, self.text = [], [], []
        self.common = [(self.unknown(b), self.unknown(g)) for b, g in self.scales]
        for i in range(rng.randint(4, 40)):
            if rng.random() < 0.15:
                self.group(f"group {i}")
            else:
                self.text.append("    " + self.part(f"part {i}", np.zeros(3), np.eye(3)))

    def unknown(self, sd):
        """Index of one more error, None when it is exact."""
        if not sd:
            return None
        self.sds.append(sd)
        return len(self.sds) - 1

    def group(self, name):
        at = np.array([rng.uniform(0, 2500), rng.uniform(-300, 300), rng.uniform(0, 400)])
        angle = rng.uniform(-40, 40)
        self.text.append(f'    group "{name}" {{ at = {{{at[0]!r}, {at[1]!r}, {at[2]!r}}}, turned = {{nose_up = {angle!r}}},\n')
        for k in range(rng.randint(1, 4)):
            self.text.append("      " + self.part(f"piece {k}", at, rotation(angle), alone=True))
        self.text.append("    },\n")

    def part(self, name, outer, turn, alone=False):
        mass, count = rng.uniform(0.5, 90), rng.choice([1, 1, 1, 4])
        pair = not alone and rng.random() < 0.2
        at = np.array([rng.uniform(-500, 2800), rng.uniform(100, 700) if pair else rng.uniform(-700, 700), rng.uniform(100, 800)])
        mass_sd = rng.choice([0, rng.uniform(0.01, 0.15) * mass])
        place_sd = [rng.choice([0, rng.uniform(1, 30)]) for _ in range(3)]
        scale = rng.randrange(len(self.scales)) if self.scales and mass_sd and rng.random() < 0.5 else None
        flip = np.diag([-1.0, -1.0, 1.0])  # file axes to vehicle axes
        place = (flip @ outer + turn @ (flip @ at)) / 1000
        directions = turn @ flip
        own = self.unknown(mass_sd)
        places = [self.unknown(sd / 1000) for sd in place_sd]
        line = dict(name=name, mass=mass, own=own, scale=scale, places=places, pieces=[], at=at, group=alone)
        if pair:
            mirror = np.diag([1.0, -1.0, 1.0])
            line["pieces"] = [(1, place, directions), (1, mirror @ place, mirror @ directions)]
        else:
            line["pieces"] = [(count, place, directions)]
        self.lines.append(line)
        coordinates = ", ".join(f"sd({a!r}, {s!r})" if s else repr(a) for a, s in zip(at.tolist(), place_sd))
        said = f"sd({mass!r}, {mass_sd!r})" if mass_sd else repr(mass)
        extra = ", pair = true" if pair else f", count = {count}" if count > 1 else ""
        extra += f', scale = "scale {scale}"' if scale is not None else ""
        return f'part "{name}" {{ mass = {said}, at = {{{coordinates}}}{extra} }},\n'

    def axle(self, i):
        name, at = (("front", 0), ("rear", self.wheelbase))[i]
        if not self.unlike:
            return f'    {{ name = "{name}", at = {at!r}, track = {self.tracks[i]!r}, loaded_radius = 290 }},\n'
        left, right = (f"{{ at = {self.back[w]!r}, half_track = {self.half[w]!r} }}" for w in (2 * i, 2 * i + 1))
        return f'    {{ name = "{name}", at = {at!r}, loaded_radius = 290, left = {left}, right = {right} }},\n'

    def write(self):
        scales = "".join(f'    {{ name = "scale {i}", bias = sd(0, {b!r}), gain = sd(1, {g!r}) }},\n'
                         for i, (b, g) in enumerate(self.scales))
        return (f'vehicle {{ title = "Random", axes = {{ x = "back", y = "right", z = "up" }},\n  axles = {{\n'
                + self.axle(0) + self.axle(1) + "  },\n"
                + (f"  instruments = {{\n{scales}  }},\n" if scales else "") + "  parts = {\n" + "".join(self.text) + "  } }\n")

    def value(self, u, index):
        return 0 if index is None else u[index]

    def mass(self, u, line):
        mass = line["mass"] + self.value(u, line["own"])
        if line["scale"] is not None:
            bias, gain = self.common[line["scale"]]
            mass = mass + self.mass_shares(line)[0] * u[bias] + self.mass_shares(line)[1] * u[gain]
        return mass

    def mass_shares(self, line):
        """What a mass that is stated with its scale owes to one kilogram of bias and to a unit of gain: (reading - bias) / gain."""
        return -1.0, -line["mass"]

    def sums(self, u):
        q = np.zeros(4, dtype=u.dtype)
        for line in self.lines:
            mass = self.mass(u, line)
            e = np.array([self.value(u, k) for k in line["places"]])
            for count, place, directions in line["pieces"]:
                q[0] = q[0] + count * mass
                q[1:] = q[1:] + count * mass * (place + directions @ e)
        return q


def jacobian(function, u):
    """Exact to rounding: functions here are analytic."""
    h, columns = 1e-30, []
    for k in range(len(u)):
        step = u.astype(complex)
        step[k] += 1j * h
        columns.append(function(step).imag / h)
    return np.array(columns).T


def fitted(car, support, v, loads, load_sd, height, height_sd):
    """u with the warp as its last entry, its covariance, chi2, by the full normal matrix."""
    n = len(car.sds)
    a = np.vstack([np.ones(4), support.T])
    least_norm = a.T @ np.linalg.inv(a @ a.T)
    observed = np.concatenate([np.zeros(n), loads, [height] if height else []])
    sd = np.concatenate([car.sds, load_sd, [height_sd] if height else []])

    def model(x):
        q = car.sums(x[:n])
        parts = [x[:n], least_norm @ q[:3] + v * x[n]]
        return np.concatenate(parts + ([np.array([q[3] / q[0]])] if height else []))

    x = np.zeros(n + 1)
    for _ in range(60):
        j = jacobian(model, x) / sd[:, None]
        r = (observed - model(x)) / sd
        step = np.linalg.lstsq(j, r, rcond=None)[0]
        x = x + step
        if np.all(np.abs(step[:n]) < 1e-13 * np.array(car.sds)):
            break
    j = jacobian(model, x) / sd[:, None]
    r = (observed - model(x)) / sd
    _, triangle = np.linalg.qr(j)
    inverse = np.linalg.inv(triangle)
    return x, inverse @ inverse.T, float(r @ r), model(x)


def case(number):
    car = Car()
    support = np.array([[-b, h * (1 if i % 2 == 0 else -1)] for i, (b, h) in enumerate(zip(car.back, car.half))]) / 1000
    a = np.vstack([np.ones(4), support.T])
    v = np.linalg.svd(a)[2][-1]  # the one vector that changes neither sum nor moment
    v = v / v[0]
    n = len(car.sds)
    if n == 0:
        return
    sds = np.array(car.sds)
    truth = car.sums(sds * np.array([rng.gauss(0, 1.5) for _ in range(n)]))
    loads = a.T @ np.linalg.inv(a @ a.T) @ truth[:3] + v * rng.uniform(-5, 5)
    loads = np.round(loads + [rng.gauss(0, 0.5) for _ in range(4)], 2)
    if min(loads) < 1:
        return
    sd = round(rng.uniform(0.2, 1.5), 2)
    height = round(1000 * truth[3] / truth[0] + rng.gauss(0, 5), 1) if rng.random() < 0.5 else None
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "car.lua")
        with open(path, "w") as file:
            file.write(car.write())
        words = [STEELYARD, "reconcile", path, "--corners", ",".join(repr(float(w)) for w in loads), "--sd", repr(sd), "--json"]
        words += ["--height", repr(height), "--height-sd", "4"] if height else []
        r = json.loads(subprocess.run(words, check=True, capture_output=True, text=True).stdout)
    u, cov, want_chi2, model = fitted(car, support, v, loads, np.full(4, sd), height and height / 1000, 0.004)
    name = f"car {number}"
    dof = 4 if height else 3
    check(name + " chi2", r["chi2"], want_chi2, max(1, want_chi2))
    check(name + " p", r["p"], chi2.sf(want_chi2, dof), 1)
    assert r["dof"] == dof
    for k, key in enumerate(("lf", "rf", "lr", "rr")):
        check(f"{name} {key}", r[key], model[n + k], sd)
    warp = u[n] * v
    for k, key in enumerate(("lf", "rf", "lr", "rr")):
        check(f"{name} warp {key}", r["warp"][key], warp[k], sd)
    check(name + " sd of warp", r["sd"]["warp"], np.sqrt(cov[n, n]) * abs(v[0]), sd)
    q = car.sums(u[:n])
    check(name + " mass", r["mass"], q[0], sd)
    slope = jacobian(lambda z: car.sums(z)[:1], u[:n])[0]
    check(name + " sd of mass", r["sd"]["mass"], np.sqrt(slope @ cov[:n, :n] @ slope), sd)
    check_rows(name, car, r, u, cov)


def check_rows(name, car, r, u, cov):
    by = {(row["name"], row["field"]): row for row in r["rows"]}
    seen = 0
    names = names_of(car)
    for line, full in zip(car.lines, names):
        directions = line["pieces"][0][2]
        if (full, "mass") in by:
            row = by[full, "mass"]
            slope = np.zeros(len(u))
            if line["own"] is not None:
                slope[line["own"]] = 1
            if line["scale"] is not None:
                bias, gain = car.common[line["scale"]]
                slope[bias], slope[gain] = car.mass_shares(line)
            prior = np.concatenate([np.array(car.sds), [0]]) * slope
            before = np.sqrt(prior @ prior)
            check(f"{name} {full} mass", row["after"], line["mass"] + slope @ u, before)
            check(f"{name} {full} sd of mass", row["sd"], np.sqrt(slope @ cov @ slope), before)
            check(f"{name} {full} sd of mass as booked", row["sd_before"], before, before)
            if line["own"] is not None:
                k = line["own"]
                spread = car.sds[k] ** 2 - cov[k, k]
                if spread > 1e-3 * car.sds[k] ** 2:  # a difference of variances: three digits less, and less than that tests nothing
                    w = u[k] / np.sqrt(spread)
                    check(f"{name} {full} sigmas", row["sigmas"], w, 1000 * max(1, abs(w)))
            seen += 1
        for axis, field in enumerate(("at.x", "at.y", "at.z")):
            if (full, field) not in by:
                continue
            row, sign = by[full, field], (-1, -1, 1)[axis]
            slope = np.zeros(len(u))
            for k, index in enumerate(line["places"]):
                if index is not None:
                    slope[index] = directions[axis, k]
            prior = np.concatenate([np.array(car.sds), [0]]) * slope
            before = max(1, 1000 * np.sqrt(prior @ prior))  # of 1 mm 1e-9 is the picometre
            place = line["pieces"][0][1][axis]
            check(f"{name} {full} {field}", row["after"], sign * 1000 * (place + slope @ u), before)
            check(f"{name} {full} sd of {field}", row["sd"], 1000 * np.sqrt(slope @ cov @ slope), before)
            seen += 1
    if seen != len(r["rows"]):
        global failed
        failed += 1
        print(f"FAILED {name}: {len(r['rows'])} rows, {seen} of them known here")


def names_of(car):
    """Paths in file order."""
    names, group = [], ""
    for text in car.text:
        said = text.split('"')[1] if '"' in text else ""
        if text.startswith("    group"):
            group = said + "/"
        elif text.startswith("    }"):
            group = ""
        else:
            names.append(group + said)
    return names


CASES = 60
for k in range(CASES):
    case(k)
if failed:
    sys.exit(f"{failed} figures differ")
print(f"ok reconcile {CASES} cars against the dense fit, worst {worst:.1e}")
