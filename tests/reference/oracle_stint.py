"""The committed pages of stint, worked out anew from the vehicle files.

vehicles/first_guess.lua is read here by its lines. Every number of the rows of stint_plain.expected is then computed with NumPy from sums
over the lines, its uncertainty by differences of these sums, and the means by SciPy's adaptive quadrature over the litres; the litres to
set up at are found by SciPy's brentq. The same is done for the front share and the CG height of stint.expected, a tank with a shape and two drivers:
of vehicles/twayblade.lua the tank's box, its density and the two drivers are read here, and the sum of all other lines is taken from the
command's own balance. Numbers must agree with half a unit of their last digit; "+-" is 1.96 standard uncertainties.

Usage: oracle_stint.py STEELYARD
"""
import json
import re
import subprocess
import sys

import numpy as np
from scipy.integrate import quad
from scipy.optimize import brentq

K95 = 1.96
failed = checked = 0


def check(what, shown, value):
    global failed, checked
    checked += 1
    decimals = len(shown.partition(".")[2])
    if not abs(float(shown) - value) <= 0.5000001 * 10.0 ** -decimals:
        failed += 1
        print(f"FAILED {what}: the page has {shown}, NumPy {value!r}")


def page(name):
    return open(f"tests/scripts/{name}.expected", encoding="utf-8").read().split("\n")


def cells(line):
    """Of a row: its numbers, and those behind "+-"."""
    return [(m[1], m[2]) for m in re.finditer(r"(?<!\+- )(?<![\w.])(-?\d[\d.]*)(?: \+- ([\d.]+))?", line)]


def rows(text):
    start = next(i for i, line in enumerate(text) if line.startswith("litres"))
    end = next(i for i, line in enumerate(text) if line.startswith("mean"))
    return text[start + 1:end], text[end]


def mean(f, start, end, *breaks):
    """Over the litres from start down to end, in pieces between the breaks."""
    at = sorted([start, end, *breaks])
    return sum(quad(f, a, b, epsabs=1e-12, epsrel=1e-12, limit=200)[0] for a, b in zip(at, at[1:])) / (start - end)


# ---- first_guess: every line, a tank without a shape

L, PLACE, FROM, TO = 2450.0, 26 / np.sqrt(3), 40.0, 4.0
number = r"(-?[\d.]+)"
lines, at = [], np.zeros(3)  # [kg of one piece, its sd, pieces, x, y, z]
for text in open("vehicles/first_guess.lua", encoding="utf-8"):
    where = re.search(rf"at = \{{{number}, {number}, {number}\}}", text)
    if re.match(r'\s*group "', text):
        at = np.array([float(v) for v in where.groups()])
        continue
    if not re.match(r'\s*(?:part|tank|person) "', text):
        continue
    place = at + [float(v) for v in where.groups()]
    mass = re.search(rf"mass = sd\({number}, {number}\)", text)
    if mass:
        lines.append([float(mass[1]), float(mass[2]), 2 if "pair = true" in text else 1, *place])
    else:
        fuel, density = len(lines), float(re.search(rf"density = {number}", text)[1])
        lines.append([0.0, 0.0, 1, *place])  # a stint's litres are exact
    if text.rstrip().endswith("} },"):
        at = np.zeros(3)
assert len(lines) == 18
lines = np.array(lines)


def answers(table):
    """Front share, height, mass, yaw inertia, CG left; of a pair y counts out of the middle, on both sides."""
    m, _, n, x, y, z = table.T
    total = (n * m).sum()
    xm, ym = (n * m * x).sum() / total, (np.where(n == 2, 0, m * y)).sum() / total
    side = np.where(n == 2, (y - ym) ** 2 + (-y - ym) ** 2, (y - ym) ** 2)
    yaw = (m * (n * (x - xm) ** 2 + side)).sum() / 1e6
    return np.array([100 * (1 - xm / L), (n * m * z).sum() / total, total, yaw, -ym])


def with_litres(litres):
    table = lines.copy()
    table[fuel, 0] = density * litres
    return table


def values(litres):
    return answers(with_litres(litres))


def sds(litres):
    table, variance = with_litres(litres), np.zeros(5)
    for k in range(len(table)):
        for column, sd in ((0, table[k, 1]), (3, PLACE), (4, PLACE), (5, PLACE)):
            if sd > 0:
                more, less, step = table.copy(), table.copy(), 1e-3
                more[k, column] += step
                less[k, column] -= step
                variance += ((answers(more) - answers(less)) / (2 * step) * sd) ** 2
    return np.sqrt(variance)


text = page("stint_plain")
body, last = rows(text)
assert [cells(line)[0][0] for line in body] == ["40", "28", "16", "4"]
for line in body:
    litres = float(cells(line)[0][0])
    for k, (value, spread) in enumerate(cells(line)[1:]):
        check(f"{line[:2]} litres, {k}", value, values(litres)[k])
        check(f"{line[:2]} litres, +- of {k}", spread, K95 * sds(litres)[k])
means = [mean(lambda u, k=k: values(u)[k], FROM, TO) for k in range(5)]
assert len(cells(last)) == 5
for k, (value, spread) in enumerate(cells(last)):
    check(f"mean of {k}", value, means[k])
    check(f"+- of the mean of {k}", spread, K95 * quad(lambda u, k=k: sds(u)[k], TO, FROM, epsrel=1e-9)[0] / (FROM - TO))
litres = brentq(lambda u: values(u)[0] - means[0], TO, FROM, xtol=1e-12)
said = " ".join(line.strip() for line in text)
set_up = re.search(r"To set up, with ([\d.]+) litres: front ([\d.]+) %; CG height ([\d.]+) mm; mass ([\d.]+) kg; "
                   r"yaw inertia ([\d.]+) kg m2; CG left of centre (-[\d.]+) mm\.", said)
check("litres to set up", set_up[1], litres)
for k in range(5):
    check(f"set up, {k}", set_up[2 + k], values(litres)[k])
low, high = re.search(r"Front: lowest ([\d.]+) \(4 litres\), highest ([\d.]+) % \(40 litres\)", said).groups()
check("lowest front", low, values(4)[0])
check("highest front", high, values(40)[0])

document = json.loads("\n".join(page("stint_json")))
for name, k in (("front_share", 0), ("height", 1), ("mass", 2)):
    checked += 1
    if not abs(document["mean"][name] - means[k]) < 1e-9:  # rounding of sums of a thousand terms
        failed += 1
        print(f"FAILED mean of {name} in JSON: {document['mean'][name]!r}, SciPy {means[k]!r}")
checked += 1
if not abs(document["at"] - litres) < 1e-6:  # 1e-10 litres by halves, rounding of the mean over a slope of 0.005 % a litre
    failed += 1
    print(f"FAILED litres in JSON: {document['at']!r}, SciPy {litres!r}")

# ---- twayblade: a box that fills from below, two drivers

source = open("vehicles/twayblade.lua", encoding="utf-8").read()
group = np.array([float(v) for v in re.search(rf'group "fuel system" \{{ at = \{{{number}, {number}, {number}\}}', source).groups()])
tank = re.search(rf'tank "fuel" \{{ shape = box \{{{number}, {number}, {number}\}}, at = \{{{number}, {number}, {number}\}}, '
                 rf"density = sd\({number}, ", source)
box = [float(v) for v in tank.groups()[:3]]
centre, density = group + [float(v) for v in tank.groups()[3:6]], float(tank[7])
people = {}
for name in ("driver", "tall driver"):
    found = re.search(rf'person "{name}" \{{ mass = sd\({number}, {number}\), at = \{{{number}, {number}, {number}\}}', source)
    people[name] = np.array([float(found[1]), float(found[3]), float(found[4]), float(found[5])])
axles = [float(v) for v in re.findall(rf'name = "(?:front|rear)",\s*at = {number}', source)[:2]]


def liquid(litres):
    depth = litres * 1e6 / (box[0] * box[1])
    return np.array([density * litres, centre[0], centre[1], centre[2] - box[2] / 2 + depth / 2])


b = json.loads(subprocess.run([sys.argv[1], "balance", "vehicles/twayblade.lua", "--state", "race start", "--json"], check=True,
                              capture_output=True, text=True).stdout)
rest = np.array([b["mass"], b["mass"] * b["cg"]["x"], b["mass"] * b["cg"]["z"]])
for one, sign in ((liquid(30), -1), (people["driver"], -1)):
    rest += sign * np.array([one[0], one[0] * one[1], one[0] * one[3]])
ground = b["cg"]["z"] - b["height"]


def two(litres, who):
    mass, mx, mz = rest
    for one in (liquid(litres), people[who]):
        mass, mx, mz = mass + one[0], mx + one[0] * one[1], mz + one[0] * one[3]
    return 100 * (axles[1] - mx / mass) / (axles[1] - axles[0]), mz / mass - ground


text = page("stint")
body, last = rows(text)
assert len(body) == 9
for line in body:
    who = "tall driver" if "tall driver" in line else "driver"
    litres = float(line.split()[0])
    for k, column in ((0, 1), (1, 3)):
        check(f"{litres} litres, {who}, {k}", cells(line)[column][0], two(litres, who)[k])
means = [mean(lambda u, k=k: two(u, "driver" if u > 17 else "tall driver")[k], 30, 4, 17) for k in range(2)]
for k, column in ((0, 0), (1, 2)):
    check(f"mean of {k}, two drivers", cells(last)[column][0], means[k])
ends = {(u, who): abs(two(u, who)[0] - means[0]) for u, who in ((30, "driver"), (17, "driver"), (17, "tall driver"), (4, "tall driver"))}
nearest = min(ends, key=ends.get)
said = " ".join(line.strip() for line in text)
set_up = re.search(r"To set up, with ([\d.]+) litres, ([a-z ]+): front ([\d.]+) %", said)
checked += 1
if (float(set_up[1]), set_up[2]) != nearest:
    failed += 1
    print(f"FAILED the car to set up: the page has {set_up[0]!r}, NumPy {nearest!r}")
check("front of the car to set up", set_up[3], two(*nearest)[0])
if failed:
    sys.exit(f"{failed} of {checked} numbers differ")
print(f"ok stint: {checked} numbers of three pages from the vehicle files")
