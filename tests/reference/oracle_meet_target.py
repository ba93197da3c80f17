"""The committed pages of meet_target, worked out anew from the vehicle file.

vehicles/twayblade.lua is read here as a table. In each of two states front share = 100 (1 - x / L) and left share = 50 + 200 y / (tf + tr), x and
y of the CG behind the front axle and left of the centre plane: with a cross weight of 50 % both axles lean on their left wheels by the same
kilograms. What the pages say is as booked and as found must agree with that to half a unit of the last digit; what was found must keep
both targets in both states; and of the question that has no answer all places of a fine grid must miss, the nearest by as much as the page's.

Usage: oracle_meet_target.py STEELYARD (which is not run)
"""
import re
import sys

import numpy as np

from support.vehicle_file import Vehicle

failed = checked = 0


def check(what, fine):
    global failed, checked
    checked += 1
    if not fine:
        failed += 1
        print(f"FAILED {what}")


car = Vehicle("vehicles/twayblade.lua")
STATES = ("race start", "two up")


def shares(back, left):
    """Front and left share by state."""
    moved = {"powertrain": (-back, 0.0), "driver": (0.0, left)}
    return np.array([car.answers(car.lines(state, moved))[1:3] for state in STATES])


# ---- the pages

TARGET = np.array([42.5, 49.7])


def page(name, within):
    """Which place a page found, and that what it prints is so."""
    text = open(f"tests/scripts/{name}.expected", encoding="utf-8").read()
    row = re.search(r"powertrain ([\d.]+) (forward|back); driver ([\d.]+) (left|right)\.", text)
    place = float(row[1]) * (-1 if row[2] == "forward" else 1), float(row[3]) * (1 if row[4] == "left" else -1)
    booked, found = shares(0, 0), shares(*place)
    for k, label in enumerate(("front", "left")):
        shown = re.search(rf"^{label}, % .*within [\d.]+ +([\d.]+) \S+ [\d.]+ +([\d.]+) \S+ [\d.]+  (.+)$", text, re.M)
        for answers, number in ((booked, shown[1]), (found, shown[2])):
            worst = np.abs(answers[:, k] - TARGET[k])
            check(f"{name}, {label}: the page has {number}, NumPy {answers[:, k]}",
                  any(abs(a - float(number)) <= 0.0050001 for a, w in zip(answers[:, k], worst) if w > worst.max() - 0.01))
    misses = np.abs(found - TARGET).max(axis=0)
    return place, misses, "Impossible" not in text, (misses <= np.array(within) + 1e-4).all()  # places are rounded to 0.01 mm


shown = re.search(r"mass as it stands ([\d.]+)", open("tests/scripts/meet_target.expected", encoding="utf-8").read())[1]
mass = car.lines(STATES[1])[:, 0].sum()  # the heavier state, by which the page judges the limit
check(f"mass two up: the page has {shown}, NumPy {mass}", abs(mass - float(shown)) <= 0.050001)
_, _, possible, kept = page("meet_target", (0.25, 0.9))
check("meet_target: possible, and both targets kept in both states", possible and kept)
_, misses, possible, kept = page("meet_target_impossible", (0.25, 0.6))
check("meet_target_impossible: said so, and not kept", not possible and not kept)

# Shares follow from masses and moments, which are linear in both moves: each is measured once, and the grid needs no file.
base, by_back, by_left = shares(0, 0), shares(1, 0) - shares(0, 0), shares(0, 1) - shares(0, 0)
back, left = np.meshgrid(np.linspace(-80, 80, 641), np.linspace(-40, 40, 641), indexing="ij")
grid = base[:, :, None, None] + by_back[:, :, None, None] * back + by_left[:, :, None, None] * left
miss = np.abs(grid - TARGET[None, :, None, None]).max(axis=0)
check("no place of the grid keeps both when left is to be within 0.6", not ((miss[0] <= 0.25) & (miss[1] <= 0.6)).any())
least = miss[1].min()
check(f"the nearest left of all places misses by {least}, the page's by {misses[1]}", abs(least - misses[1]) < 0.005)

if failed:
    sys.exit(f"{failed} of {checked} checks differ")
print(f"ok meet_target: {checked} checks of two pages from the vehicle file")
