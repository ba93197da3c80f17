"""Scripts: a part moved and the car balanced, trials, comparisons, and a million parts through sy.car, as a script writes them.

NumPy stands beside each with the same numbers worked out from columns: the change of one x, then all answers anew; with their standard
uncertainties by the law of propagation where ours gives them. Asked: move and balance of 300 parts within 20 us, a trial within 1 us,
400 bytes a part in the ledger (bench_ledger prints what a part takes there).
"""
import sys

import numpy as np

from rounds import Program, head, medians, python_job, readable, row

build = sys.argv[1]
N, BUSY = 300, 76  # parts; the one that is moved, counted from 0
WHEELBASE, TRACK = 2.4, 1.45
GOLDEN, PLASTIC = 0.6180339887498949, 0.7548776662466927


class Car:
    """The car of bench_lua.lua as columns, in kg, m and the vehicle's frame."""

    def __init__(self):
        i = np.arange(1, N + 1)

        def spread(k, low, high):
            return low + (high - low) * ((i * GOLDEN + k * PLASTIC) % 1)
        self.m, self.m_sd = spread(1, 0.05, 8), spread(2, 0.001, 0.4)
        self.r = np.array([-(spread(3, -300, 2500) // 1), -(spread(4, -700, 700) // 1), spread(5, 100, 900) // 1]) / 1e3
        self.r_sd = np.full((3, N), 5e-3 / np.sqrt(3))
        aboard = i != 1  # the state of the script leaves out part 1
        self.m, self.m_sd = self.m * aboard, self.m_sd * aboard
        box = np.where(i % 3 == 0, (0.3 ** 2 + 0.2 ** 2) / 12, 0)  # of yaw, a kilogram
        self.own = box
        # loads lf rf lr rr = B (m, m x, m y): tracks 1450 and 1460 taken as their mean, cross weight one half
        self.b = np.array([[0.5, 0.5 / WHEELBASE, 0.5 / TRACK], [0.5, 0.5 / WHEELBASE, -0.5 / TRACK],
                           [0, -0.5 / WHEELBASE, 0.5 / TRACK], [0, -0.5 / WHEELBASE, -0.5 / TRACK]])
        self.distance = 0

    def answers(self, x):
        y, z = self.r[1], self.r[2]
        mass = self.m.sum()
        first = np.array([self.m @ x, self.m @ y, self.m @ z])
        cg = first / mass
        yaw = self.m @ (x * x + y * y + self.own) - (first[0] ** 2 + first[1] ** 2) / mass
        return mass, cg, yaw, self.b @ (mass, first[0], first[1])

    def uncertainties(self, x, mass, cg):
        """Standard uncertainties of mass, CG and loads: JCGM 100:2008, 5.1.2, written out for sums."""
        r = np.array([x, self.r[1], self.r[2]])
        of_cg = np.sqrt((((r - cg[:, None]) * self.m_sd) ** 2).sum(axis=1) + ((self.m * self.r_sd) ** 2).sum(axis=1)) / mass
        by_mass = self.b @ np.array([np.ones(N), r[0], r[1]]) * self.m_sd
        by_place = self.b[:, 1:, None] * (self.m * self.r_sd[:2])
        return np.sqrt(self.m_sd @ self.m_sd), of_cg, np.sqrt((by_mass ** 2).sum(axis=1) + (by_place ** 2).sum(axis=(1, 2)))

    def move_balance(self):
        self.distance = self.distance % 90 + 1
        x = self.r[0].copy()
        x[BUSY] -= self.distance / 1e3
        mass, cg, yaw, loads = self.answers(x)
        return mass, cg, yaw, loads, self.uncertainties(x, mass, cg)

    def trial(self):
        self.distance = self.distance % 90 + 1
        x = self.r[0].copy()
        x[90:105] -= self.distance / 1e3
        return self.answers(x)


def check(script, car):
    """The same car on both sides? Places are whole millimetres, masses the same doubles: rounding of sums alone."""
    ours = [float(v) for v in script.ask("answers").split()]
    mass, cg, yaw, _ = car.answers(car.r[0])
    sd = car.uncertainties(car.r[0], mass, cg)
    want = [mass, -1e3 * cg[0], -1e3 * cg[1], 1e3 * cg[2], yaw, sd[0], 1e3 * sd[1][0]]
    for got, value in zip(ours, want, strict=True):
        if not abs(got - value) <= 1e-9 * max(abs(value), 1):
            print(f"disagreement: {got!r}, NumPy {value!r}")
            return False
    return True


script, car = Program(build, "steelyard", "tests/bench/bench_lua.lua", folder=""), Car()
fine = check(script, car)
jobs = {name: script.job(name) for name in ("move_balance", "move_balance_weighed", "move_group_balance", "balance", "balance_all", "trial",
                                            "compare", "compare_moves", "compare_weighed", "plan_lift")}
jobs["NumPy move_balance"] = python_job(car.move_balance)
jobs["NumPy trial"] = python_job(car.trial)
t = medians(jobs)
head()
row("car:move(part):balance(), uncertainties included", N, t["move_balance"], t["NumPy move_balance"], "NumPy, all anew; asked: 20 us")
row("the same, half weighed on three scales", N, t["move_balance_weighed"], t["NumPy move_balance"], "NumPy without scales; asked: 20 us")
row("car:move(group):balance()", N, t["move_group_balance"], t["NumPy move_balance"], "NumPy, all anew")
row("car:balance() alone", N, t["balance"], t["NumPy move_balance"], "NumPy, all anew")
row("the same, all looked at, growth of each part too", N, t["balance_all"], t["NumPy move_balance"], "NumPy, all anew")
row("one trial of a group", N, t["trial"], t["NumPy trial"], "NumPy, all anew; asked: 1 us")
row("sy.compare{car, moved car}", N, t["compare"])
row("sy.compare{car, car:move(part)}", N, t["compare_moves"])
row("the same, half weighed on three scales", N, t["compare_weighed"])
row("car:plan_lift, every uncertainty stated", N, t["plan_lift"], whose="asked: 50 ms")
million = float(script.ask("million"))
peak = int(script.line())
row("a million parts: sy.car, move, balance, release", 1000000, million)
print(f"{'':44} at most {peak} MB, the script's own tables included; {readable(million / 1e6)} a part")
script.close()
sys.exit(not fine)
