"""Studies and Monte Carlo of a car of 300 parts, as a script calls them, beside NumPy in its best form on one thread.

Grid: two parts moved, 1000 x 1000 variants, ten outputs. NumPy knows what is constant and what is a sum of two terms, and writes into
memory that is there; ours finds that out from the car. Reduced: lowest and highest of each output, nothing stored.
Monte Carlo: 300 parts with four normal errors each, 1,000,000 draws; NumPy draws 20,000 with PCG64 in blocks that stay in the cache,
scaled. Asked: ten times NumPy in full, three times more where inertia is not shown.
Decisions: the same problem as bare numbers, with all that ours has to find out of the car left out: what to weigh next by NumPy, ballast by
SciPy's milp, the nearest of what is out of reach by all combinations in NumPy, a search by SciPy's SLSQP. What they find must be what ours
finds.
"""
import sys

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp, minimize

from many_parts import N, Car
from rounds import Program, head, medians, readable, row

import time

build = sys.argv[1]
GRID, ONE, OTHER = 1000, 76, 149  # the parts that move, counted from 0
DRAWS, OURS = 20000, 1000000


def steps(limit):
    """Moves back, in the vehicle's frame (x forward), m."""
    return -np.linspace(-limit, limit, GRID) / 1e3


class Grid:
    """Ten outputs of every variant from the sums of the car: m x, m x^2 and what the two parts add."""

    def __init__(self, car):
        self.car, self.out = car, np.empty((10, GRID, GRID))
        self.out.fill(0)
        self.row = np.empty((8, GRID))
        m, x = car.m, car.r[0]
        self.mass, self.first = m.sum(), car.r @ m
        y, z = car.r[1], car.r[2]
        self.second = m @ (x * x + y * y + car.own)
        self.one, self.other = steps(100), steps(150)
        # change of m x and of m x^2 by each part alone
        self.d_one, self.d_other = m[ONE] * self.one, m[OTHER] * self.other
        self.q_one = m[ONE] * ((x[ONE] + self.one) ** 2 - x[ONE] ** 2)
        self.q_other = m[OTHER] * ((x[OTHER] + self.other) ** 2 - x[OTHER] ** 2)

    def terms(self):
        """Each output: a constant, or a term a row and a term a column (yaw inertia: and a product)."""
        w, (mx, my, mz) = self.mass, self.first
        b = self.car.b
        linear = [(-1e3 / w, -1e3 * mx / w, 0), None, None, (100 / w / 2.4, 100 * (1 + mx / w / 2.4), 3), None]
        linear += [(b[k, 1], b[k] @ (w, mx, my), 5 + k) for k in range(4)]
        constant = [(1, -1e3 * my / w), (2, 1e3 * mz / w), (4, 50 + 100 * my / w / 1.455)]
        return [t for t in linear if t], constant

    def yaw_terms(self):
        w, (mx, my, _) = self.mass, self.first
        by_row = self.second - (mx * mx + my * my) / w + self.q_one - (2 * mx * self.d_one + self.d_one ** 2) / w
        by_column = self.q_other - (2 * mx * self.d_other + self.d_other ** 2) / w
        return by_row, by_column, -2 / w * self.d_one

    def stored(self):
        linear, constant = self.terms()
        for factor, value, k in linear:
            np.add.outer(factor * self.d_one + value, factor * self.d_other, out=self.out[k])
        for k, value in constant:
            self.out[k].fill(value)
        by_row, by_column, cross = self.yaw_terms()
        yaw = self.out[9]
        np.multiply.outer(cross, self.d_other, out=yaw)
        yaw += by_row[:, None]
        yaw += by_column

    def reduced(self):
        linear, constant = self.terms()
        rows, low, high = 8, np.full(10, np.inf), np.full(10, -np.inf)
        by_row, by_column, cross = self.yaw_terms()
        block = self.row
        for i in range(0, GRID, rows):
            part = slice(i, i + rows)
            for factor, value, k in linear:
                np.add.outer(factor * self.d_one[part] + value, factor * self.d_other, out=block)
                low[k], high[k] = min(low[k], block.min()), max(high[k], block.max())
            np.multiply.outer(cross[part], self.d_other, out=block)
            block += by_row[part, None]
            block += by_column
            low[9], high[9] = min(low[9], block.min()), max(high[9], block.max())
        for k, value in constant:
            low[k] = high[k] = value
        return low, high


def monte_carlo(car, draws, block=250):
    """Seconds for so many draws, seven outputs and their mean, sd and percentiles."""
    begin = time.perf_counter()
    rng = np.random.Generator(np.random.PCG64(1))
    z, results = np.empty((block, N)), np.empty((7, draws))
    square = np.empty((block, N))
    for i in range(0, draws, block):
        part = slice(i, i + block)
        rng.standard_normal(out=z)
        mass = z * car.m_sd
        mass += car.m
        total = mass.sum(axis=1)
        second = mass @ car.own
        firsts = []
        for k in range(3):
            rng.standard_normal(out=z)
            np.multiply(z, car.r_sd[k], out=z)
            np.add(z, car.r[k], out=z)
            firsts.append(np.einsum("ij,ij->i", mass, z))
            if k < 2:
                np.multiply(z, z, out=square)
                second += np.einsum("ij,ij->i", mass, square)
        results[0, part] = total
        for k in range(3):
            results[1 + k, part] = firsts[k] / total
        results[4, part] = 100 * (1 + firsts[0] / total / 2.4)
        results[5, part] = 50 + 100 * firsts[1] / total / 1.455
        results[6, part] = second - (firsts[0] ** 2 + firsts[1] ** 2) / total
    shown = results.mean(axis=1), results.std(axis=1), np.percentile(results, (2.5, 50, 97.5), axis=1)
    return time.perf_counter() - begin, shown


class Weighing:
    """What to weigh next of that car, to three outputs: effects of all errors in closed form, then step by step, all candidates at once."""

    def __init__(self, car, kept=slice(None)):
        m, (x, y, z) = car.m[kept], car.r[:, kept]
        w, mx, my, mz = m.sum(), (m * x).sum(), (m * y).sum(), (m * z).sum()
        self.mass = np.stack([100 / 2.4 * (x - mx / w) / w, 1e3 * (z - mz / w) / w,
                              x * x + y * y + car.own[kept] - 2 * (x * mx + y * my) / w + (mx * mx + my * my) / w ** 2]) * car.m_sd[kept]
        zero = np.zeros_like(m)
        self.place = np.stack([[100 / 2.4 * m / w, zero, zero], [zero, zero, 1e3 * m / w],
                               [2 * m * (x - mx / w), 2 * m * (y - my / w), zero]])
        self.m_sd, self.r_sd = car.m_sd[kept], car.r_sd[:, kept]

    def steps(self):
        place = self.place * self.r_sd
        total = (self.mass ** 2).sum(axis=1) + (place ** 2).sum(axis=(1, 2))
        weigh = self.mass ** 2 * np.maximum(1 - (0.1 / np.maximum(self.m_sd, 1e-9)) ** 2, 0)
        tape = (place ** 2 * np.maximum(1 - (0.002 / self.r_sd) ** 2, 0)).sum(axis=1)
        drop, left, after = np.concatenate([weigh, tape], axis=1), total.copy(), []
        gain = (drop / total[:, None]).mean(axis=0)
        while True:
            best = int(gain.argmax())
            if gain[best] < 1e-9:
                return np.sqrt(after)
            left = left - drop[:, best]
            after.append(left)
            gain[best] = 0


TARGETS, FAR, SOUGHT = (42.5, 49.0), (43.5, 49.5), (42.2, 48.8)  # front and left share, %, as in bench_study.lua
MOST, STEP = np.array([15, 10, 10]), 0.5  # kg in the three slots


class Problem:
    """Mass, front and left, and what each of three inputs has of the last two."""

    def __init__(self, script, name):
        numbers = np.array(script.ask(name).split(), float)
        self.mass, self.loads, self.by, self.more = numbers[0], numbers[1:3], numbers[3:9].reshape(3, 2).T, numbers[9:]


class Ballast(Problem):
    """Three slots in whole steps, front and left share."""

    def __init__(self, script):
        super().__init__(script, "ballast_problem")
        self.within, self.added, self.far = self.more[:2], self.more[2], self.more[3:]

    def lightest(self):
        """loads + by m is within (target +- within) (mass + sum of m), twice two rows of a linear programme in whole steps."""
        rows, low, high = [], [], []
        for load, by, share, within in zip(self.loads, self.by, TARGETS, self.within):
            for edge, side in ((share - within, 1), (share + within, -1)):
                rows.append(side * STEP * (by - edge / 100))
                low.append(side * (edge / 100 * self.mass - load))
                high.append(np.inf)
        found = milp(np.ones(3), integrality=np.ones(3), bounds=Bounds(0, MOST / STEP), constraints=LinearConstraint(np.array(rows), low, high))
        return STEP * np.round(found.x)

    def nearest(self):
        """Of all combinations of steps the one with the least misses, each counted by what is near enough."""
        masses = np.stack([a.ravel() for a in np.meshgrid(*(STEP * np.arange(m / STEP + 1) for m in MOST), indexing="ij")])
        total = self.mass + masses.sum(axis=0)
        miss = sum(((100 * (load + by @ masses) / total - share) / within) ** 2
                   for load, by, share, within in zip(self.loads, self.by, FAR, self.within))
        return masses[:, miss.argmin()]


class Search(Problem):
    """Three moves between bounds, front and left share to 0.0001 %, with the least change by the ranges: SLSQP from eight places."""

    NEAR, STARTS = 1e-4, 8  # a fiftieth of half a unit of the last place printed, as sy.seek goes for

    def __init__(self, script):
        super().__init__(script, "seek_problem")
        low, high, self.found = self.more[0:6:2], self.more[1:6:2], self.more[6:]
        self.range = high - low
        self.bounds = list(zip(low / self.range, high / self.range))
        self.starts = [np.zeros(3), *np.random.default_rng(1).uniform(low, high, (self.STARTS - 1, 3)) / self.range]
        self.slope = 100 * self.by * self.range / self.mass  # of the shares, by inputs as parts of their ranges
        self.gap = 100 * self.loads / self.mass - SOUGHT
        both = np.concatenate([-self.slope, self.slope])
        self.held = {"type": "ineq", "fun": lambda u: self.NEAR - np.concatenate([self.gap, -self.gap]) + both @ u, "jac": lambda u: both}

    def best(self):
        ends = [minimize(lambda u: u @ u, start, jac=lambda u: 2 * u, bounds=self.bounds, method="SLSQP", constraints=[self.held],
                         options={"ftol": 1e-12}) for start in self.starts]
        return min((end for end in ends if end.success), key=lambda end: end.fun).x * self.range


def timed(function):
    def ask():
        begin = time.perf_counter()
        function()
        return time.perf_counter() - begin
    return ask


def check(script, grid, sds):
    ours = [float(v) for v in script.ask("checks").split()]
    places = [(0, 0), (0, 1), (1, 0), (GRID - 1, GRID - 1)]
    want = [grid.out[0][p] for p in places] + [grid.out[9][p] for p in places]
    fine = True
    for got, value in zip(ours, want, strict=False):
        if not abs(got - value) <= 1e-9 * max(abs(value), 1):
            print(f"disagreement: {got!r}, NumPy {value!r}")
            fine = False
    for got, value in zip(ours[len(want):], (sds[0], sds[4]), strict=True):
        if not abs(got / value - 1) <= 4 / np.sqrt(2 * DRAWS):  # four errors of a standard deviation of so many draws
            print(f"disagreement of sd: {got!r}, NumPy {value!r}")
            fine = False
    return fine


def check_decisions(ballast, search):
    fine = True
    for name, got, want, by in (("added", ballast.added, ballast.lightest().sum(), 1e-9), ("nearest", ballast.far, ballast.nearest(), 1e-9),
                                # rounded to 0.01 mm, and of a band ten times as wide ours takes the end nearer to where the car is
                                ("sought", search.found, search.best(), 0.5)):
        if not np.all(np.abs(np.subtract(got, want)) <= by):
            print(f"disagreement, {name}: {got!r}, SciPy or NumPy {want!r}")
            fine = False
    return fine


script, car = Program(build, "steelyard", "tests/bench/bench_study.lua", folder=""), Car()
grid = Grid(car)
grid.stored()
seconds, shown = monte_carlo(car, DRAWS)
fine = check(script, grid, shown[1])
jobs = {name: script.job(name) for name in ("grid_stored", "grid_reduced", "grid_printed", "grid_for_front", "front", "spread_without_inertia")}
jobs["NumPy stored"], jobs["NumPy reduced"] = timed(grid.stored), timed(grid.reduced)
jobs["NumPy draws"] = lambda: monte_carlo(car, DRAWS // 10)[0] * 10 * OURS / DRAWS
t = medians(jobs, 5)
weighing, half = Weighing(car), Weighing(car, slice(0, None, 2))
ballast, search = Ballast(script), Search(script)
fine = check_decisions(ballast, search) and fine


def ten(function):
    return timed(lambda: [function() for _ in range(10)])


t |= medians({"weigh_next": script.job("weigh_next"), "NumPy weighing": ten(weighing.steps),
              "weigh_next_of_half": script.job("weigh_next_of_half"), "NumPy half": ten(half.steps),
              "weigh_next_as_built": script.job("weigh_next_as_built")}, 5)
t |= medians({"ballast": script.job("ballast"), "SciPy milp": ten(ballast.lightest), "ballast_impossible": script.job("ballast_impossible"),
              "NumPy all": ten(ballast.nearest), "seek": script.job("seek"), "SciPy SLSQP": ten(search.best)}, 5)
t |= medians({name: script.job(name) for name in ("ballast_by_yaw_index", "ballast_by_side_g", "ballast_on_springs")}, 5)
t |= medians({name: script.job(name) for name in ("spread", "grid_of_corners", "corners", "transfer", "transfer_of_liquid", "shafts", "clearances",
                                                  "change")}, 3)
TWO = ("grid_stored", "grid_reduced", "corners", "transfer", "shafts", "clearances", "spread", "spread_without_inertia")
two = medians({name: script.job(name + " 2") for name in TWO}, 3)
million = 1000000
head()
row("grid of ten outputs, stored", million, t["grid_stored"], t["NumPy stored"], "NumPy in place; asked: 2.3 x")
row("the same, lowest and highest alone", million, t["grid_reduced"], t["NumPy reduced"], "NumPy by blocks; asked: half of stored")
row("grid of three outputs, until it is printed", million, t["grid_printed"], whose="asked: 100 ms")
row("grid of two wheel loads on springs", million, t["grid_of_corners"], whose="asked: 5 s")
row("wheel loads on springs", 100000, t["corners"], whose="asked: 1 s")
row("load transfer, no liquid that runs", 100000, t["transfer"], whose="asked: 1 s")
row("the same, liquid runs: each solved singly", 100000, t["transfer_of_liquid"])
row("shaft angles, one variant", 10000, t["shafts"] / 1e4, whose="asked: 20 us")
row("clearances, one variant", 10000, t["clearances"] / 1e4, whose="asked: 100 us")
row("a change in Lua, one variant", 10000, t["change"] / 1e4, whose="asked: 10 us")
row("Pareto front of three outputs, beside the grid", million, max(t["front"] - t["grid_for_front"], 1e-9), whose="asked: 1 s")
row("what to weigh next, 300 lines, three outputs", 300, t["weigh_next"] / 10, t["NumPy weighing"] / 10, "NumPy, drops alone")
row("what to weigh next, 150 lines", 150, t["weigh_next_of_half"] / 10, t["NumPy half"] / 10, "NumPy, drops alone; asked: 20 ms")
row("what to weigh next, 16 lines, four records", 16, t["weigh_next_as_built"] / 10)
row("ballast in three slots", 3, t["ballast"] / 10, t["SciPy milp"] / 10, "SciPy milp, the search alone; asked: 50 ms")
row("the same out of reach, and why", 3, t["ballast_impossible"] / 10, t["NumPy all"] / 10, "NumPy, all steps, the nearest alone; asked: 50 ms")
row("ballast to the gram, by yaw index", 3, t["ballast_by_yaw_index"] / 10, whose="asked: 50 ms")
row("the same, by what tips it sideways", 3, t["ballast_by_side_g"] / 10, whose="asked: 50 ms")
row("on springs, out of reach, and why", 3, t["ballast_on_springs"] / 10, whose="asked: 50 ms")
row("three parts sought for two shares", 3, t["seek"] / 10, t["SciPy SLSQP"] / 10, "SciPy SLSQP, eight starts; asked: 100 ms")
row("Monte Carlo, four normals a part", million, t["spread"], t["NumPy draws"], "NumPy, PCG64; asked: 10 x")
row("the same without inertia", million, t["spread_without_inertia"], t["NumPy draws"], "NumPy, PCG64; asked: 30 x")
print(f"{'':44} {readable(t['spread'] / million)} a draw")
for name, label, n in (("grid_stored", "grid of ten outputs, stored", million), ("grid_reduced", "grid, lowest and highest alone", million),
                       ("corners", "wheel loads on springs", 100000), ("transfer", "load transfer", 100000),
                       ("shafts", "shaft angles", 10000), ("clearances", "clearances", 10000),
                       ("spread", "Monte Carlo, four normals a part", million),
                       ("spread_without_inertia", "the same without inertia", million)):
    row(f"{label}, two threads", n, two[name], t[name], "one thread of ours")
script.close()
sys.exit(not fine)
