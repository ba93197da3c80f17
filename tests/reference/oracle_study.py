"""The outputs of window, engine_driver_map and pareto, recomputed from the vehicle file.

The file vehicles/first_guess.lua is read here by its lines, and every number of the committed pages (tests/scripts/*.expected) is worked out anew
in plain arithmetic: moments about the rear axle, parallel axes, the angle between a shaft and the axes of its joints, first-order
uncertainties from the stated ones (JCGM 100:2008, 5.1.2), limits and the Pareto front by comparing each layout with each. Printed numbers are
held to half their last digit, and a little more for a number that lies between two.
"""
import itertools
import math
import re
import sys

from support.library import Checks

checks = Checks()
WITHIN = 26 / math.sqrt(3)  # assume.within_mm of the file: limits of a rectangular distribution
BASE, K95 = 2450.0, 1.96
HALF = 0.5 + 1e-6


def read_file():
    """[name, mass, sd, x, y, z, count]: lines of parts, two for a pair; x of a group is added."""
    parts, group = [], (0.0, 0.0, 0.0)
    for line in open("vehicles/first_guess.lua", encoding="utf-8"):
        found = re.search(r'group "([^"]+)" \{ at = \{([^}]*)\}', line)
        if found:
            group = tuple(float(v) for v in found.group(2).split(","))
        found = re.search(r'(part|person|tank) "([^"]+)" \{(.*)', line)
        if not found:
            continue
        kind, name, words = found.groups()
        at = [float(v) for v in re.search(r"at = \{([^}]*)\}", words).group(1).split(",")]
        at = [a + b for a, b in zip(at, group)] if line.startswith("      ") else at
        if "} }," in words:
            group = (0.0, 0.0, 0.0)
        if kind == "tank":
            density = float(re.search(r"density = ([\d.]+)", words).group(1))
            litres = float(re.search(r"fill = sd\(([\d.]+)", words).group(1))
            mass, sd = density * litres, 0.4  # the file: 0.4 kg, written as litres
        else:
            mass, sd = [float(v) for v in re.search(r"mass = sd\(([^)]*)\)", words).group(1).split(",")]
        parts.append({"name": name, "mass": mass, "sd": sd, "at": at, "pair": "pair = true" in words})
    return parts


PARTS = read_file()
DENSITY = 0.745


def car(moves=(), masses=(), litres=None):
    """The parts with x shifted (mm back) and masses changed; a fill without an uncertainty of its own has none."""
    moves, masses, made = dict(moves), dict(masses), []
    for part in PARTS:
        part = dict(part, at=list(part["at"]))
        for name in (part["name"], "powertrain" if part["name"] in ("engine", "transaxle") else None):
            part["at"][0] += moves.get(name, 0.0)
        part["mass"] = masses.get(part["name"], part["mass"])
        if part["name"] == "fuel" and litres is not None:
            part["mass"], part["sd"] = DENSITY * litres, 0.0
        made.append(part)
    return made


def pieces(part):
    return 2 if part["pair"] else 1


def total(parts):
    return sum(p["mass"] * pieces(p) for p in parts)


def mean(parts, i):
    return sum(p["mass"] * pieces(p) * p["at"][i] for p in parts if not (i == 1 and p["pair"])) / total(parts)


def front_share(parts):
    return 100 * (BASE - mean(parts, 0)) / BASE


def height(parts):
    return mean(parts, 2)


def yaw_inertia(parts):
    x, y = mean(parts, 0), mean(parts, 1)
    inertia = 0.0
    for p in parts:
        for side in ((1, -1) if p["pair"] else (1,)):
            inertia += p["mass"] * ((p["at"][0] - x) ** 2 + (side * p["at"][1] - y) ** 2) * 1e-6
    return inertia


def sd_of(answer, parts):
    """First order: one common error of mass and one of each coordinate for both pieces of a pair."""
    variance, eps = 0.0, 1e-3
    for k, part in enumerate(parts):
        steps = [("mass", None, part["sd"])] + [("at", i, WITHIN) for i in range(3)]
        for field, i, sd in steps:
            values = []
            for sign in (1, -1):
                changed = [dict(p, at=list(p["at"])) for p in parts]
                if i is None:
                    changed[k]["mass"] += sign * eps
                else:
                    changed[k]["at"][i] += sign * eps
                values.append(answer(changed))
            variance += ((values[0] - values[1]) / (2 * eps) * sd) ** 2
    return math.sqrt(variance)


def verdict(parts):
    """The file's limits: 41 to 43 % on the front, the CG at most 360 mm up. Near: inside by less than 1.96 standard uncertainties."""
    worst = "pass"
    for answer, low, high in ((front_share, 41, 43), (height, -math.inf, 360)):
        value = answer(parts)
        inside = min(value - low, high - value)
        if inside < 0:
            return "FAIL"
        if inside < K95 * sd_of(answer, parts):
            worst = "near"
    return worst


def lines_of(name):
    return open(f"tests/scripts/{name}.expected", encoding="utf-8").read().split("\n")


def printed(name, text, value):
    """text as printed against the value: half its last digit."""
    decimals = len(text.split(".")[1]) if "." in text else 0
    checks.near(name, abs(float(text) - value), HALF * 10.0 ** -decimals, f"{text} for {value!r}")


def same(name, got, want):
    checks.near(name, 0.0 if got == want else 1.0, 0.5, f"{got!r} for {want!r}")


def moved(words):
    """"50 forward" -> mm back."""
    if words == "as booked":
        return 0.0
    number, way = words.split()
    return float(number) * (1 if way == "back" else -1)


def window():
    lines = lines_of("window")
    drivers, fills = (60, 80, 100), (5, 40)
    number = r"([\d.]+)"
    row = re.compile(r"^(as booked|\d+ \w+) +(FAIL|near|pass) +" + number + r" (over|under|inside) +" + number + " +" + number
                     + r"  (\d+) kg, (\d+) L +" + number + r"  (\d+) kg, (\d+) L +" + number + " - " + number + "$")
    yaw = re.compile(r"^(as booked|\d+ \w+) +" + number + " - " + number + "$")
    seen = []
    for line in lines:
        found = row.match(line)
        if found:
            words, word, by, side, front, low, low_m, low_f, high, high_m, high_f, z_low, z_high = found.groups()
            back = moved(words)
            seen.append(back)
            cars = {(m, f): car({"powertrain": back}, {"driver": m}, f) for m in drivers for f in fills}
            shares = {key: front_share(c) for key, c in cars.items()}
            printed("window_front", front, front_share(car({"powertrain": back})))
            at_low, at_high = min(shares, key=shares.get), max(shares, key=shares.get)
            printed("window_lowest", low, shares[at_low])
            printed("window_highest", high, shares[at_high])
            same("window_where", ((int(low_m), int(low_f)), (int(high_m), int(high_f))), (at_low, at_high))
            rank = ["pass", "near", "FAIL"]
            same("window_verdict", word, max((verdict(c) for c in cars.values()), key=rank.index))
            over, under = shares[at_high] - 43, 41 - shares[at_low]
            printed("window_margin", by, abs(max(over, under)))
            same("window_side", side, "inside" if max(over, under) < 0 else "over" if over > under else "under")
            printed("window_height", z_low, min(height(c) for c in cars.values()))
            printed("window_height", z_high, max(height(c) for c in cars.values()))
            continue
        found = yaw.match(line)
        if found:
            cars = [car({"powertrain": moved(found.group(1))}, {"driver": m}, f) for m in drivers for f in fills]
            printed("window_yaw_inertia", found.group(2), min(yaw_inertia(c) for c in cars))
            printed("window_yaw_inertia", found.group(3), max(yaw_inertia(c) for c in cars))
    same("window_rows", seen, [-50, -25, 0, 25, 50, 75])
    found = re.search(r"front ([\d.]+) \+- ([\d.]+) %, CG height (\d+) \+- (\d+) mm", lines[0])
    for answer, value, sd in ((front_share, 1, 2), (height, 3, 4)):
        printed("heading", found.group(value), answer(car()))
        printed("heading_uncertainty", found.group(sd), K95 * sd_of(answer, car()))


def engine_driver_map():
    letters, count, counts = {"F": "FAIL", "n": "near", "": "pass"}, 0, {"FAIL": 0, "near": 0, "pass": 0}
    lines = lines_of("engine_driver_map")
    masses = [float(v) for v in next(line for line in lines if line.startswith("engine, mm")).split()[2:]]
    for line in lines:
        found = re.match(r"^(as booked|\d+ \w+)  +([\d. Fnu]+)$", line)
        cells = found and re.findall(r"([\d.]+) ?([Fn]?)(?= |$)", found.group(2))
        if not cells or len(cells) != len(masses):
            continue
        for (text, letter), mass in zip(cells, masses):
            parts = car({"engine": moved(found.group(1))}, {"driver": mass})
            printed("map_front", text, front_share(parts))
            same("map_verdict", letters[letter], verdict(parts))
            counts[letters[letter]] += 1
            count += 1
    same("map_size", (count, len(masses)), (21 * 11, 11))
    same("map_counts", f"231 variants: {counts['pass']} pass, {counts['near']} near, {counts['FAIL']} FAIL." in lines, True)


def shaft_angle(back):
    """The largest angle between the shaft and the joints' axes, which lie across the car, over 60 mm of travel either way."""
    inner, outer = (2430 + back, 165, 300), (2450, 640, 305)
    worst = 0.0
    for travel in (-60, 0, 60):  # droop, ride, bump: the angle has no inner maximum between the ends
        dx, dy, dz = outer[0] - inner[0], outer[1] - inner[1], outer[2] + travel - inner[2]
        worst = max(worst, math.degrees(math.atan2(math.hypot(dx, dz), dy)))
    return worst


def pareto():
    backs, places = [-60 + 10 * k for k in range(15)], [-300 + 100 * k for k in range(13)]
    layouts, feasible = [], []
    for number, (back, place) in enumerate(itertools.product(backs, places), 1):
        parts = car({"powertrain": back, "battery": place})
        layouts.append((yaw_inertia(parts), shaft_angle(back)))
        if verdict(parts) != "FAIL":
            feasible.append(number)

    def beaten(i):
        a = layouts[i - 1]
        return any(b != a and b[0] <= a[0] and b[1] <= a[1] for b in (layouts[k - 1] for k in feasible))

    front = sorted((i for i in feasible if not beaten(i)), key=lambda i: layouts[i - 1][0])
    seen = []
    for line in lines_of("pareto"):
        found = re.match(r"^ *(\d+)  (as booked|\d+ \w+) +(as booked|\d+ \w+) +([\d.]+) +([\d.]+)  (near|pass)", line)
        if found:
            i, (back, place) = int(found.group(1)), (moved(found.group(2)), moved(found.group(3)))
            seen.append(i)
            same("pareto_inputs", (back, place), list(itertools.product(backs, places))[i - 1])
            printed("pareto_yaw_inertia", found.group(4), layouts[i - 1][0])
            printed("pareto_angle", found.group(5), layouts[i - 1][1])
            same("pareto_verdict", found.group(6), verdict(car({"powertrain": back, "battery": place})))
    same("pareto_front", seen, front)


window()
engine_driver_map()
pareto()
checks.finish()
