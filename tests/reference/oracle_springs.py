"""The vehicle on its springs against the minimum of its energy, for random vehicles.

Without stops: SciPy minimises the potential energy of springs, tyres that only push, bars, chassis and weights over all heights
at once (trust-region Newton, then Newton steps of NumPy until the gradient is rounding), also with motion ratios that change (their
integral by SciPy's splines) and bump stops. With stops: every combination of touching
or lifted and free, at bump or at droop is solved as one dense system by NumPy, and the one that breaks none of its own
conditions is the answer. Neither eliminates anything by hand, as the library does.
"""
import itertools
from ctypes import POINTER, Structure, c_bool, c_double, c_int, c_int8, c_uint

import numpy as np
from scipy.interpolate import make_interp_spline
from scipy.optimize import minimize

from support.library import Checks, Contact, Error, Vehicle, load, succeed

W, A = 16, 8


class Load(Structure):
    _fields_ = [("body", c_double * 4), ("wheel", c_double * W), ("couple", c_double * A)]


class Setting(Structure):
    _fields_ = [("pad", c_double * W), ("perch", c_double * W), ("preload", c_double * A), ("downforce", c_double * A),
                ("bars", c_bool)]


class Case(Structure):
    _fields_ = [("touches", c_bool), ("stop", c_int8)]


class Model(Structure):
    _fields_ = [("vehicle", Vehicle), ("wheel_count", c_int), ("wheel", Contact * W), ("arm", (c_double * 4) * W),
                ("wheel_rate", c_double * W), ("tyre_rate", c_double * W), ("motion_ratio", c_double * W), ("drawn", c_double * W),
                ("drawn_load", Load), ("drawn_torque", c_double), ("rigid", c_bool), ("bent", c_uint)]


class Result(Structure):
    _fields_ = [("load", c_double * W), ("height", c_double * W), ("travel", c_double * W), ("bar", c_double * A),
                ("pose", c_double * 4), ("fits", Case * W)]


Square = (c_double * W) * W


class Slopes(Structure):
    _fields_ = [("load_pad", Square), ("load_perch", Square), ("load_body", (c_double * 4) * W), ("load_drawn", Square),
                ("load_torque", c_double * W), ("pose_pad", (c_double * W) * 4), ("pose_perch", (c_double * W) * 4),
                ("pose_body", (c_double * 4) * 4), ("pose_drawn", (c_double * W) * 4), ("pose_torque", c_double * 4),
                ("height_pad", Square), ("height_perch", Square)]


lib = load()
lib.sy_corner_make.restype = c_int
lib.sy_corner_make.argtypes = [POINTER(Vehicle), POINTER(Load), c_double * W, POINTER(Model), POINTER(Error)]
lib.sy_corner_solve.restype = c_int
lib.sy_corner_solve.argtypes = [POINTER(Model), POINTER(Load), POINTER(Setting), POINTER(Result), POINTER(Error)]
lib.sy_corner_sensitivity.restype = c_int
lib.sy_corner_sensitivity.argtypes = [POINTER(Model), POINTER(Setting), POINTER(Result), POINTER(Slopes), POINTER(Error)]
checks = Checks()
random = np.random.default_rng(16121)
G = 9.80665


def least(energy, slope, curvature, size, total, name):
    """The minimum, from zeros; its gradient is checked by the weight."""
    x = minimize(energy, np.zeros(size), jac=slope, hess=curvature, method="trust-exact", options={"gtol": 1e-5, "maxiter": 5000}).x
    for _ in range(8):
        x = x - np.linalg.lstsq(curvature(x), slope(x), rcond=None)[0]
    checks.near(name, np.abs(slope(x)).max() / total, 1e-10)
    return x


class Car:
    """A random vehicle: wheels, rates, masses as drawn and now, pads, perches, bars. Two of three have sides unlike in place and rates."""

    def __init__(self, layout, stops, bent=False):
        length = random.uniform(2.0, 3.2)
        places = -np.linspace(0, length, len(layout))
        unlike = random.random() < 2 / 3
        off = lambda most: random.uniform(0, most) if unlike else 0.0
        self.axle, self.x, self.y, self.side = [], [], [], []
        for i, wheels in enumerate(layout):
            track = random.uniform(1.1, 1.7)
            for side in (1, -1) if wheels == 2 else (0,):
                self.axle.append(i)
                self.side.append(side)
                self.x.append(places[i] + side * off(0.06))  # the left wheel ahead of the axle line
                self.y.append(side * track / 2 + off(0.1) - off(0.1))
        self.x, self.y, self.side, self.axle = map(np.array, (self.x, self.y, self.side, self.axle))
        self.layout, self.n, self.length = layout, len(self.x), length
        per_axle = lambda low, high: random.uniform(low, high, len(layout))
        per_wheel = lambda low, high: random.uniform(low, high, self.n) if unlike else per_axle(low, high)[self.axle]
        self.places = places
        self.spring, self.ratio, self.tyre = per_wheel(2e4, 9e4), per_wheel(0.5, 1.2), per_wheel(1.5e5, 3e5)
        self.bar, self.preload = per_axle(0, 3e4), per_axle(-0.004, 0.004)
        self.bar[[w == 1 for w in layout]] = 0
        self.bars = random.random() < 0.5
        self.torsion = None if random.random() < 0.3 else 10 ** random.uniform(4, 6.5)  # N m/rad
        self.bump = per_wheel(0.004, 0.05) if stops else np.full(self.n, np.inf)
        self.droop = per_wheel(0.004, 0.05) if stops else np.full(self.n, np.inf)
        self.curve = [self.draw_curve() if bent and random.random() < 0.7 else None for _ in range(self.n)]
        has_stop = random.random(self.n) < (0.6 if bent else -1)
        self.gap = np.where(has_stop, random.uniform(-0.005, 0.03, self.n), np.inf)  # one below 0 is touched as drawn
        self.stop_rate = random.uniform(2e4, 4e5, self.n)
        self.unsprung = random.uniform(15, 45, self.n)
        self.place = np.column_stack([random.uniform(0.1, 0.9, 5) * -length, random.uniform(-0.35, 0.35, 5)])
        self.mass_drawn = random.uniform(20, 200, 5)
        self.mass_now = self.mass_drawn * random.uniform(0.7, 1.3, 5)
        self.unsprung_now = self.unsprung * random.uniform(0.9, 1.1, self.n)
        wild = random.choice([0.002, 0.03, 0.2])
        self.pad, self.perch = random.uniform(-wild, wild, self.n), random.uniform(-wild, wild, self.n) * 0.5
        self.c = (self.x + length) / length  # nearness to the first axle
        self.rows = np.column_stack([np.ones(self.n), -self.x, self.y * self.c, self.y * (1 - self.c)])
        moments = np.column_stack([np.ones(self.n), self.x, self.y])
        weight = self.weights(self.mass_drawn, self.unsprung)
        want = np.array([weight[0], -weight[1], weight[2] + weight[3]])
        self.drawn = np.linalg.lstsq(moments.T, want, rcond=None)[0]
        if self.n > 3:
            null = np.linalg.svd(moments.T)[2][-1]
            self.drawn = self.drawn + null * random.uniform(-0.3, 0.3) * want[0] / self.n
        self.torque = self.rows[:, 2] @ self.drawn - weight[2]

    @staticmethod
    def draw_curve():
        """Travels, ratios and their integral; beyond the points the ratio stays."""
        count = random.integers(2, 9)
        travel = np.sort(random.uniform(-0.08, 0.08, count))
        if random.random() < 0.5:
            travel[np.argmin(np.abs(travel))] = 0.0  # a corner where the car is drawn, as files have it
        ratio = random.uniform(0.6, 1.0) + np.cumsum(random.uniform(-0.04, 0.02, count))
        spline = make_interp_spline(np.concatenate([[-10], travel, [10]]), np.concatenate([ratio[:1], ratio, ratio[-1:]]), k=1)
        return travel, ratio, spline, spline.antiderivative(), spline.derivative()

    def body_rows(self):
        c = (self.place[:, 0] + self.length) / self.length
        return np.column_stack([np.ones(5), -self.place[:, 0], self.place[:, 1] * c, self.place[:, 1] * (1 - c)])

    def weights(self, mass, unsprung):
        return G * (mass @ self.body_rows() + unsprung @ self.rows)

    def usable(self):
        def inside(weight):
            x, y = -weight[1] / weight[0], (weight[2] + weight[3]) / weight[0]
            hull = np.column_stack([self.x, self.y])
            order = np.argsort(np.arctan2(hull[:, 1] - hull[:, 1].mean(), hull[:, 0] - hull[:, 0].mean()))
            ring = hull[order]
            sides = [np.cross(ring[(i + 1) % len(ring)] - ring[i], np.array([x, y]) - ring[i]) for i in range(len(ring))]
            return min(sides) > 0.02
        return self.drawn.min() > 100 and inside(self.weights(self.mass_drawn, self.unsprung)) and inside(
            self.weights(self.mass_now, self.unsprung_now))

    # ---- the library -------------------------------------------------------------------------------------------------------

    def by_library(self):
        v = lib.sy_vehicle_default()
        v.axle_count = len(self.layout)
        for i, wheels in enumerate(self.layout):
            a = v.axle[i]
            a.x, a.wheels, a.bar_rate = self.places[i], wheels, self.bar[i]
        for k in range(self.n):
            w = v.wheel[k]
            w.x, w.y, w.loaded_radius = self.x[k], self.y[k], 0.3
            w.spring_rate, w.motion_ratio, w.tyre_rate = self.spring[k], self.ratio[k], self.tyre[k]
            if self.curve[k]:
                w.curve.count = len(self.curve[k][0])
                w.curve.travel[: w.curve.count], w.curve.ratio[: w.curve.count] = self.curve[k][:2]
            if np.isfinite(self.gap[k]):
                w.stop_gap, w.stop_rate = self.gap[k], self.stop_rate[k]
            if np.isfinite(self.bump[k]):
                w.bump, w.droop = self.bump[k], self.droop[k]
        if self.torsion:
            v.torsion = self.torsion
        error = Error()

        def load_of(mass, unsprung):
            out = Load()
            out.body[:] = self.weights(mass, unsprung)
            out.wheel[: self.n] = G * unsprung
            return out

        model, result, setting = Model(), Result(), Setting()
        drawn = (c_double * W)(*self.drawn)
        succeed(lib.sy_corner_make(v, load_of(self.mass_drawn, self.unsprung), drawn, model, error), error)
        setting.pad[: self.n], setting.perch[: self.n] = self.pad, self.perch
        setting.preload[: len(self.layout)], setting.bars = self.preload, self.bars
        now = load_of(self.mass_now, self.unsprung_now)
        succeed(lib.sy_corner_solve(model, now, setting, result, error), error)
        self.model, self.setting, self.now, self.result = model, setting, now, result
        return np.array(result.load[: self.n]), np.array(result.height[: self.n]), np.array(result.travel[: self.n])

    # ---- the energy ------------------------------------------------------------------------------------------------------------

    def elements(self):
        """Rows over (pose, wheel heights), stiffness and stretch at zero of every spring that pulls both ways; and the weights."""
        nq = 3 if self.torsion is None else 4
        rows_of = lambda r: np.column_stack([r[:, 0], r[:, 1], r[:, 2] + r[:, 3]]) if nq == 3 else r
        size, rows, rate, at = nq + self.n, [], [], []
        travel = np.column_stack([-rows_of(self.rows), np.eye(self.n)])
        for i in range(self.n):
            k = self.spring[i] * self.ratio[i] ** 2
            rows.append(travel[i])
            rate.append(k)
            at.append((self.drawn[i] - G * self.unsprung[i]) / k + self.perch[i] / self.ratio[i])
        for a, wheels in enumerate(self.layout):
            if wheels == 2 and self.bars:
                first = int(np.argmax(self.axle == a))
                rows.append(travel[first] - travel[first + 1])
                rate.append(self.bar[a])
                at.append(self.preload[a])
        if nq == 4:
            rows.append(np.concatenate([[0, 0, 1, -1], np.zeros(self.n)]))
            rate.append(self.torsion)
            at.append(self.torque / self.torsion)
        weight = np.concatenate([G * self.mass_now @ rows_of(self.body_rows()), G * self.unsprung_now])
        # a wheel's weight acts at the wheel: the sums over the body take it out of the body again
        return np.array(rows), np.array(rate), np.array(at), weight, travel, nq, size

    def by_energy(self):
        rows, rate, at, weight, _, nq, size = self.elements()
        tyre = self.tyre

        def parts(x):
            stretch = rows @ x + at
            squeeze = np.maximum(0, self.drawn / tyre + self.pad - x[nq:])
            return stretch, squeeze

        def energy(x):
            stretch, squeeze = parts(x)
            return 0.5 * rate @ stretch**2 + 0.5 * tyre @ squeeze**2 + weight @ x

        def slope(x):
            stretch, squeeze = parts(x)
            g = rows.T @ (rate * stretch) + weight
            g[nq:] -= tyre * squeeze
            return g

        def curvature(x):
            h = rows.T @ (rate[:, None] * rows)
            touching = parts(x)[1] > 0
            h[range(nq, size), range(nq, size)] += tyre * touching
            return h

        x = least(energy, slope, curvature, size, weight[0] + weight[nq:].sum(), "gradient of the energy at SciPy's minimum")
        return tyre * parts(x)[1], x, nq

    # ---- the energy of bent springs ------------------------------------------------------------------------------------------

    def suspension(self, i, u):
        """Energy, force and rate of a suspension at a wheel travel."""
        stop = lambda u: self.stop_rate[i] * max(0.0, u - self.gap[i])
        scale, k = self.ratio[i], self.spring[i]
        if self.curve[i]:
            ratio, integral, slope = self.curve[i][2:]
        else:
            ratio, integral, slope = (lambda u: 1.0), (lambda u: u), (lambda u: 0.0)
        force = (self.drawn[i] - G * self.unsprung[i] - stop(0.0)) / (scale * ratio(0.0))
        spring = force + k * (scale * (integral(u) - integral(0.0)) + self.perch[i])
        touched = self.stop_rate[i] if u > self.gap[i] else 0.0
        stop_energy = 0.5 * stop(u) ** 2 / self.stop_rate[i]
        return (0.5 * spring**2 / k + stop_energy, scale * ratio(u) * spring + stop(u),
                k * (scale * ratio(u)) ** 2 + spring * scale * slope(u) + touched)

    def stop_forces(self):
        """What the ends of the travels must push with where the library says it stands, and what is not in balance: the energy is convex
        inside the ends, so forces of the right sign at the ends and balance elsewhere are the whole proof."""
        rows, rate, at, weight, travel, nq, size = self.elements()
        rows, rate, at = rows[self.n:], rate[self.n:], at[self.n:]
        pose = np.array(self.result.pose[:nq])
        u = np.array(self.result.travel[: self.n])
        x = np.concatenate([pose, np.array(self.result.height[: self.n]) + u])
        g = rows.T @ (rate * (rows @ x + at)) + weight
        g += travel.T @ np.array([self.suspension(i, u[i])[1] for i in range(self.n)])
        g[nq:] -= self.tyre * np.maximum(0, self.drawn / self.tyre + self.pad - x[nq:])
        push = -g[nq:].copy()  # an end acts as the spring does: + at bump
        return push, np.abs(g + travel.T @ push).max(), u

    def by_bent_energy(self):
        rows, rate, at, weight, travel, nq, size = self.elements()
        rows, rate, at = rows[self.n:], rate[self.n:], at[self.n:]  # bars and chassis; springs follow
        squeeze = lambda x: np.maximum(0, self.drawn / self.tyre + self.pad - x[nq:])
        springs = lambda x: np.array([self.suspension(i, travel[i] @ x) for i in range(self.n)])

        def energy(x):
            return 0.5 * rate @ (rows @ x + at) ** 2 + 0.5 * self.tyre @ squeeze(x) ** 2 + weight @ x + springs(x)[:, 0].sum()

        def slope(x):
            g = rows.T @ (rate * (rows @ x + at)) + weight + travel.T @ springs(x)[:, 1]
            g[nq:] -= self.tyre * squeeze(x)
            return g

        def curvature(x):
            h = rows.T @ (rate[:, None] * rows) + travel.T @ (springs(x)[:, 2, None] * travel)
            h[range(nq, size), range(nq, size)] += self.tyre * (squeeze(x) > 0)
            return h

        total = weight[0] + weight[nq:].sum()
        x = least(energy, slope, curvature, size, total, "gradient of the bent energy at SciPy's minimum")
        return self.tyre * squeeze(x), x, nq

    # ---- all cases -----------------------------------------------------------------------------------------------------------------

    def by_cases(self):
        """Unknowns: pose, wheel heights, tyre forces, stop forces."""
        rows, rate, at, weight, travel, nq, size = self.elements()
        tyre, bump, droop = self.tyre, self.bump, self.droop
        n, big = self.n, size + 2 * self.n
        base, right = np.zeros((big, big)), np.zeros(big)
        base[:size, :size] = rows.T @ (rate[:, None] * rows)
        right[:size] = -weight - rows.T @ (rate * at)
        for i in range(n):
            base[nq + i, size + i] = -1            # the tyre pushes the wheel up
            base[:size, size + n + i] = travel[i]  # a stop acts as the spring does: + at bump
        kinds = list(itertools.product((True, False), (0, 1, -1)))
        cases = list(itertools.product(kinds, repeat=n))
        matrices, rights = np.repeat(base[None], len(cases), 0), np.repeat(right[None], len(cases), 0)
        for c, case in enumerate(cases):
            for i, (touches, stop) in enumerate(case):
                matrices[c, size + i, size + i] = 1
                if touches:  # force = drawn + rate (pad - height)
                    matrices[c, size + i, nq + i] = tyre[i]
                    rights[c, size + i] = self.drawn[i] + tyre[i] * self.pad[i]
                if stop:
                    matrices[c, size + n + i, :size] = travel[i]
                    rights[c, size + n + i] = bump[i] if stop > 0 else -droop[i]
                else:
                    matrices[c, size + n + i, size + n + i] = 1
        solvable = np.linalg.cond(matrices) < 1e14
        x = np.linalg.solve(matrices[solvable], rights[solvable][..., None])[..., 0]
        cases = [case for case, good in zip(cases, solvable) if good]
        worst = np.zeros(len(x))
        for c, case in enumerate(cases):
            for i, (touches, stop) in enumerate(case):
                would_be = self.drawn[i] + tyre[i] * (self.pad[i] - x[c, nq + i])
                u = travel[i] @ x[c, :size]
                broken = [-would_be if touches else would_be]
                broken += [-stop * x[c, size + n + i]] if stop else [tyre[i] * (u - bump[i]), tyre[i] * (-droop[i] - u)]
                worst[c] = max(worst[c], *broken)
        best = int(np.argmin(worst))
        checks.near("conditions of the case chosen, N", max(0.0, worst[best]), 1e-6)
        return x[best, size:size + n], x[best, :size], nq


def heights(car, x, nq):
    rows = car.rows if nq == 4 else np.column_stack([car.rows[:, 0], car.rows[:, 1], car.rows[:, 2] + car.rows[:, 3]])
    return rows @ x[:nq]


def slopes_by_difference(car):
    """The library's slopes against solving again with a little more pad or perch; exact while no case changes."""
    slopes, error = Slopes(), Error()
    succeed(lib.sy_corner_sensitivity(car.model, car.setting, car.result, slopes, error), error)
    loads = np.array(slopes.load_pad)[: car.n, : car.n], np.array(slopes.load_perch)[: car.n, : car.n]
    for what, table in zip(("pad", "perch"), loads):
        lifted = sum(not car.result.fits[i].touches for i in range(car.n))
        size = np.abs(table).max()
        if car.n == 4 and size > 1:
            singular = np.linalg.svd(table, compute_uv=False)
            checks.near("rank one of the loads' slopes", singular[1] / singular[0], 1e-9)
            checks.near("columns of the loads' slopes sum to zero", np.abs(table.sum(0)).max() / size, 1e-10)
        if car.n - lifted == 3:  # three wheels: balance alone
            checks.near("no slope on three wheels", size / car.tyre.max(), 1e-10)
        for j in range(car.n):
            step, values = 1e-6, []
            for sign in (1, -1):
                moved = Setting.from_buffer_copy(car.setting)
                getattr(moved, what)[j] += sign * step
                result = Result()
                succeed(lib.sy_corner_solve(car.model, car.now, moved, result, error), error)
                if any(result.fits[i].touches != car.result.fits[i].touches or result.fits[i].stop != car.result.fits[i].stop
                       for i in range(car.n)):
                    break
                values.append(np.array(result.load[: car.n]))
            else:
                # a load is good to 1e-12 of the total, which the step divides
                miss = np.abs((values[0] - values[1]) / (2 * step) - table[:, j]).max()
                checks.near("slopes against differences, N/mm", miss / 1000, 1e-11 * car.drawn.sum() / step / 1000)


done, lifted_cars = 0, 0
layouts = ([2, 2], [2, 2], [2, 2], [2, 1], [1, 2], [2, 2, 2])
while done < 1000:
    car = Car(layouts[done % len(layouts)], False)
    if not car.usable():
        continue
    done += 1
    load_lib, height_lib, _ = car.by_library()
    load_scipy, x, nq = car.by_energy()
    total = load_scipy.sum()
    lifted_cars += int((load_scipy == 0).any())
    checks.near("loads against the least energy, part of the total", np.abs(load_lib - load_scipy).max() / total, 1e-8,
                (done, load_lib, load_scipy))
    checks.near("heights against the least energy, m", np.abs(height_lib - heights(car, x, nq)).max(), 1e-9, done)
    checks.near("all wheels carry the weight", abs(load_lib.sum() - car.now.body[0]) / total, 1e-11)
    if done % 5 == 0:
        slopes_by_difference(car)
checks.near("vehicles with a lifted wheel, wanted 100 or more", 100 / max(lifted_cars, 1), 1)

done, refused, lifted_cars, touched_cars, lifted = 0, 0, 0, 0, 0
while done < 300:
    car = Car(layouts[done % len(layouts)], False, True)
    if not car.usable():
        continue
    try:
        load_lib, height_lib, travel_lib = car.by_library()
    except RuntimeError as error:
        if "falls so fast" not in str(error):
            raise
        refused += 1
        continue
    done += 1
    load_scipy, x, nq = car.by_bent_energy()
    total = load_scipy.sum()
    lifted += int((load_scipy == 0).any())
    touched_cars += int((travel_lib > car.gap).any())
    checks.near("bent: loads against the least energy, part of the total", np.abs(load_lib - load_scipy).max() / total, 1e-8,
                (done, load_lib, load_scipy))
    checks.near("bent: heights against the least energy, m", np.abs(height_lib - heights(car, x, nq)).max(), 1e-9, done)
    checks.near("bent: all wheels carry the weight", abs(load_lib.sum() - car.now.body[0]) / total, 1e-11)
    if done % 3 == 0:
        slopes_by_difference(car)
done, at_ends = 0, 0
while done < 150:
    car = Car(layouts[done % len(layouts)], True, True)
    car.gap = np.where(np.isfinite(car.gap), np.minimum(car.gap, 0.6 * car.bump), np.inf)
    if not car.usable():
        continue
    try:
        car.by_library()
    except RuntimeError as error:
        if "falls so fast" not in str(error):
            raise
        continue
    done += 1
    push, left, u = car.stop_forces()
    total, fits = car.now.body[0], car.result.fits
    end = np.array([fits[i].stop for i in range(car.n)])
    at_ends += int((end != 0).any())
    where = np.where(end > 0, car.bump, -car.droop)
    checks.near("bent and ending: balance of the body, part of the weight", left / total, 1e-11, done)
    checks.near("bent and ending: nothing but a spring pushes between the ends", np.abs(push[end == 0]).max(initial=0) / total, 1e-11)
    checks.near("bent and ending: no end pulls", max(0.0, -(end * push).min()) / total, 1e-11)
    checks.near("bent and ending: travel beyond an end, m", max(0.0, np.maximum(u - car.bump, -car.droop - u).max()), 1e-12)
    checks.near("bent and ending: at its end, m", np.abs(u - where)[end != 0].max(initial=0), 1e-12)
checks.near("bent vehicles at an end of their travel, wanted 50 or more", 50 / max(at_ends, 1), 1)

checks.near("bent vehicles with a lifted wheel, wanted 30 or more", 30 / max(lifted, 1), 1)
checks.near("bent vehicles on a bump stop, wanted 100 or more", 100 / max(touched_cars, 1), 1)
checks.near("vehicles refused for a falling rate, wanted 1 or more, at most 300", max(1 / max(refused, 1), refused / 300), 1)

done, stopped = 0, 0
while done < 150:
    car = Car([2, 2] if done % 3 else [2, 1], True)
    if not car.usable():
        continue
    done += 1
    load_lib, height_lib, travel_lib = car.by_library()
    load_all, x, nq = car.by_cases()
    total = load_all.sum()
    stopped += int(any(car.result.fits[i].stop != 0 for i in range(car.n)))
    checks.near("loads with stops against all cases, part of the total", np.abs(load_lib - load_all).max() / total, 1e-8, done)
    checks.near("heights with stops against all cases, m", np.abs(height_lib - heights(car, x, nq)).max(), 1e-9, done)
    limit = np.maximum(travel_lib - car.bump, -car.droop - travel_lib)
    checks.near("travel beyond a stop, m", max(0.0, limit.max()), 1e-12)
checks.near("vehicles at a stop, wanted 50 or more", 50 / max(stopped, 1), 1)
checks.finish()
