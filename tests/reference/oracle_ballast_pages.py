"""The committed pages of ballast, worked out anew from the vehicle file.

vehicles/twayblade.lua is read here as a table (support/vehicle_file.py). All combinations of steps are worked out by sums over its lines, and
of these the one is taken that the page must name: the lightest that keeps what is asked, or the nearest; slots without a step in grams. Then
every number of the table must agree with half a unit of its last digit: mass, shares and CG height now and with ballast, their
changes, and that of the yaw inertia by the parallel-axis theorem, which needs no shape (its value and all "+-" are checked in oracle_ledger.py
and oracle_uncertainty.py).

Usage: oracle_ballast_pages.py STEELYARD (which is not run)
"""
import re
import sys

import numpy as np

from support.vehicle_file import Vehicle

failed = checked = 0


def check(what, shown, value):
    global failed, checked
    checked += 1
    decimals = len(shown.partition(".")[2])
    if not abs(float(shown) - value) <= 0.5000001 * 10.0 ** -decimals:
        failed += 1
        print(f"FAILED {what}: the page has {shown}, NumPy {value!r}")


def same(what, shown, value):
    global failed, checked
    checked += 1
    if shown != value:
        failed += 1
        print(f"FAILED {what}: the page has {shown!r}, NumPy {value!r}")


car = Vehicle("vehicles/twayblade.lua")
NAMES = ("mass", "front", "left", "height")


class Loaded:
    """The car in a fill, with rows of masses in slots (name, x back, y right, z up)."""

    def __init__(self, slots, fill=None):
        lines = car.lines("race start", fill=fill)
        self.total, self.moment = lines[:, 0].sum(), lines[:, :1].T @ lines[:, 1:]
        self.at = np.array([(-x, -y, z) for _, x, y, z, *_ in slots])

    def answers(self, masses):
        masses = np.atleast_2d(masses)
        total = self.total + masses.sum(axis=1)
        x, y, z = ((self.moment + masses @ self.at) / total[:, None]).T
        return np.stack([total, 100 * (1 + x / car.wheelbase), 50 + 200 * y / car.tracks, z])

    def yaw_change(self, masses):
        total, moment, change = self.total, self.moment[0], 0.0
        for mass, at in zip(masses, self.at):
            away = at[:2] - moment[:2] / total
            change += mass * total / (mass + total) * (away @ away) / 1e6
            total, moment = total + mass, moment + mass * at
        return change


GRAM = 0.001


def combinations(slots, most=None, grain=None):
    axes = [step * np.arange(round(np.floor((most or holds) / step + 1e-9)) + 1) for *_, holds, step in
            [(*s[:5], s[5] or grain or GRAM) for s in slots]]
    return np.stack([a.ravel() for a in np.meshgrid(*axes, indexing="ij")], axis=1)


def half_steps(car_now, slots):
    """Half of what one step of the most effective slot changes, by answer."""
    steps = np.diag([s[5] or GRAM for s in slots])
    return 0.5 * np.abs(car_now.answers(steps) - car_now.answers(np.zeros(len(slots)))).max(axis=1)


def page(name, slots, target, within=None, minimum=None, finish=None):
    """The masses that the page names, after all it says of them."""
    text = open(f"tests/scripts/{name}.expected", encoding="utf-8").read()
    now, then = Loaded(slots), Loaded(slots, finish) if finish else None
    grid, units = combinations(slots), half_steps(now, slots)
    answers = now.answers(grid)
    near = {k: (within or {}).get(k, units[k]) for k in target}
    misses = sum(((answers[k] - value) / near[k]) ** 2 for k, value in target.items())
    held = np.all([np.abs(answers[k] - value) <= near[k] * (1 + 1e-9) for k, value in target.items()], axis=0)
    if minimum:
        held &= then.answers(grid)[0] >= minimum
    added = grid.sum(axis=1)
    same(f"{name}: possible", "\nPossible: " in text, bool(held.any()))
    if held.any():
        best = np.flatnonzero(held & (added <= added[held].min() + 1e-9))
        best = best[misses[best] <= misses[best].min() + 1e-9]
    else:
        best = np.flatnonzero(misses <= misses.min() + 1e-9)
    best = max(best, key=lambda i: tuple(grid[i]))
    for slot, mass in zip(slots, grid[best]):
        row = re.search(rf"^{slot[0]} +([\d.]+)  ", text, re.M)
        check(f"{name}, {slot[0]}", row[1], mass)
    table(name, text, now, grid[best], near)
    if finish:
        end = then.answers(grid[best])[:, 0]
        row = re.search(r"At the finish: ([\d.]+) \+- [\d.]+ kg, front ([\d.]+) %, left ([\d.]+) %", text)
        for label, shown, value in zip(NAMES, row.groups(), end):
            check(f"{name}, {label} at the finish", shown, value)
    return text, now, then, grid[best]


def table(name, text, now, masses, near):
    zero, there = now.answers(np.zeros(len(masses)))[:, 0], now.answers(masses)[:, 0]
    for k, label in enumerate(("mass, kg", "front, %", "left, %", "CG height, mm")):
        row = re.search(rf"^{label} +([\d.]+) +([\d.]+) +([+-]?[\d.]+) \+- [\d.]+(?: +[\d.]+ within ([\d.]+))?$", text, re.M)
        check(f"{name}, {label} now", row[1], zero[k])
        check(f"{name}, {label} with ballast", row[2], there[k])
        check(f"{name}, {label} change", row[3], there[k] - zero[k])
        same(f"{name}, {label} asked", row[4] is not None, k in near)
        if row[4]:
            # shown with two digits that count
            check(f"{name}, {label} within", row[4], near[k])
    check(f"{name}, yaw inertia", re.search(r"yaw inertia \+([\d.]+) kg m2", text)[1], now.yaw_change(masses))
    check(f"{name}, CG lower", re.search(r"Cost: CG ([\d.]+) mm lower", text)[1], zero[3] - there[3])


page("ballast", [("nose", -500, 0, 200, 15, 0.1)], {1: 43})

slots = [("nose floor", 300, -300, 20, 15, 0.5), ("rear tray", 2900, -300, 60, 10, None)]
text, now, _, _ = page("ballast_impossible", slots, {1: 43.5, 2: 49.5}, finish={"fuel": 4.0})
said = " ".join(text.split())
row = re.search(r"however large, bring it about: nose floor ([\d.]+) kg and rear tray ([\d.]+) kg would come nearest, with front ([\d.]+) % "
                r"and left ([\d.]+) %", said)
there = now.answers([float(row[1]), float(row[2])])[:, 0]
check("ballast_impossible, front with more", row[3], there[1])
check("ballast_impossible, left with more", row[4], there[2])
units = half_steps(now, slots)


def missed(a):
    return ((a[1] - 43.5) / units[1]) ** 2 + ((a[2] - 49.5) / units[2]) ** 2


large = combinations(slots, 300, 0.05)  # as much again as the car weighs would not do either; near here is the nearest
every = missed(now.answers(large))
same("ballast_impossible, none of larger slots does", bool((every <= 2).any()), False)
same("ballast_impossible, the nearest of larger slots", [float(row[1]), float(row[2])], large[every.argmin()].round(9).tolist())

slots = [("nose floor", 300, -300, 20, 15, 0.5), ("rear tray", 2300, -300, 60, 20, 0.5)]
text, now, then, masses = page("ballast_minimum", slots, {1: 42.5}, {1: 0.2}, 740, {"fuel": 4.0})
end = then.answers(masses)[0, 0]
row = re.search(r"Minimum 740 kg at the finish: ([\d.]+) \+- [\d.]+ kg, ([\d.]+) kg over", text)
check("ballast_minimum, mass at the finish", row[1], end)
check("ballast_minimum, over", row[2], end - 740)
grid = combinations(slots)
held = np.abs(now.answers(grid)[1] - 42.5) <= 0.2
check("ballast_minimum, less without it", re.search(r"the minimum mass \(without it ([\d.]+) kg less\)", text)[1],
      masses.sum() - grid.sum(axis=1)[held].min())

if failed:
    sys.exit(f"{failed} of {checked} numbers differ")
print(f"ok ballast pages: {checked} numbers of three pages from the vehicle file")
