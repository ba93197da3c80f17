"""The committed pages of tornado and weigh_next, worked out anew from the vehicle file.

vehicles/first_guess.lua is read here by its lines. Each number of tornado.expected and weigh_next_scenario.expected is then computed with NumPy
from two formulas, front share = 100 (1 - sum m x / (M L)) and height = sum m z / M, and their derivatives: less and more with one error in
the car, shares of the variance, the order in which lines are weighed and measured, and what is left. Numbers must agree with half a unit
of their last digit; "+-" is 1.96 standard uncertainties.

Usage: oracle_tornado.py STEELYARD (which is not run)
"""
import re
import sys

import numpy as np

L, K95, PLACE = 2450.0, 1.96, 26 / np.sqrt(3)
SCALE, TAPE = 0.1, 2.0
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


# ---- the file

number = r"(-?[\d.]+)"
lines = []  # name, kg of one piece, sd, pieces, x, z, field
at = np.zeros(3)
for text in open("vehicles/first_guess.lua", encoding="utf-8"):
    where = re.search(rf"at = \{{{number}, {number}, {number}\}}", text)
    group = re.match(r'\s*group "', text)
    if group:
        at = np.array([float(v) for v in where.groups()])
        continue
    part = re.match(r'\s*(?:part|tank|person) "([^"]+)"', text)
    if not part:
        continue
    place = at + [float(v) for v in where.groups()]
    mass = re.search(rf"mass = sd\({number}, {number}\)", text)
    fill = re.search(rf"density = {number}, fill = sd\({number}, {number} / {number}\)", text)
    if fill:
        density, litres, kg, _ = (float(v) for v in fill.groups())
        lines.append((part[1], density * litres, kg, 1, place[0], place[2], "fill"))
    else:
        lines.append((part[1], float(mass[1]), float(mass[2]), 2 if "pair = true" in text else 1, place[0], place[2], "mass"))
    if text.rstrip().endswith("} },"):
        at = np.zeros(3)
assert len(lines) == 18
name = [line[0] for line in lines]
m, m_sd, n, x, z = (np.array([line[k] for line in lines], float) for k in range(1, 6))
field = [line[6] for line in lines]


def answers(m, x, z):
    total = (n * m).sum()
    return 100 * (1 - (n * m * x).sum() / total / L), (n * m * z).sum() / total


# ---- every error: effects of one sigma, less and more, as the page calls it

M = (n * m).sum()
share, height = answers(m, x, z)
effect = {  # (line, what): change of the two answers by one sigma
    **{(i, field[i]): (-100 * n[i] * (x[i] - (n * m * x).sum() / M) / (M * L) * m_sd[i], n[i] * (z[i] - height) / M * m_sd[i]) for i in range(18)},
    **{(i, "place forward"): (100 * n[i] * m[i] / (M * L) * PLACE, 0.0) for i in range(18)},
    **{(i, "place up"): (0.0, n[i] * m[i] / M * PLACE) for i in range(18)}}


def moved(i, what, sign):
    a, b, c = m.copy(), x.copy(), z.copy()
    if what == "place forward":
        b[i] -= sign * PLACE
    elif what == "place up":
        c[i] += sign * PLACE
    else:
        a[i] += sign * m_sd[i]
    return answers(a, b, c)


variance = np.array([sum(e[k] ** 2 for e in effect.values()) for k in range(2)])
sd = np.sqrt(variance)


def sigma(i, what):
    if what == "fill":
        return f"{float(f'{m_sd[i] / 0.745:.3g}'):g} litre"
    return f"{m_sd[i]:g} kg" if what == "mass" else "15 mm"


# ---- what to weigh next


def weigh(which):
    """Steps [(name, "mass" or "place", sds after)], and the sds when nothing helps any more."""
    left, now = {}, variance.copy()
    for i in range(18):
        if field[i] == "mass" and m_sd[i] > SCALE:
            left[name[i], "mass"] = np.array(effect[i, "mass"]) ** 2 * (1 - (SCALE / m_sd[i]) ** 2)
        places = np.array(effect[i, "place forward"]) ** 2 + np.array(effect[i, "place up"]) ** 2
        left[name[i], "place"] = places * (1 - (TAPE / PLACE) ** 2)
    steps = []
    while left:
        best = max(left, key=lambda key: np.mean([left[key][k] / variance[k] for k in which]))
        if np.mean([left[best][k] / variance[k] for k in which]) < 1e-9:
            break
        now = now - left.pop(best)
        steps.append((*best, np.sqrt(now)))
    return steps, np.sqrt(now)


def page(which):
    return open(f"tests/scripts/{which}.expected", encoding="utf-8").read().split("\n")


def half(what, shown, value):
    check(what, re.search(r"\+- ([\d.]+)", shown)[1], K95 * value)


# ---- tornado

text = page("tornado")
for k, (label, value) in enumerate((("front ", share), ("CG height ", height))):
    start = next(i for i, line in enumerate(text) if re.match(label + r"[\d.]+ \+-", line))
    head = re.match(label + r"([\d.]+) (\+- [\d.]+)", text[start])
    check(label, head[1], value)
    half(label, head[2], sd[k])
    order = sorted(effect, key=lambda key: (-round(abs(effect[key][k]), 12), key[0]))
    shown = 0.0
    for row, key in zip(text[start + 1:start + 13], order[:12]):
        cells = re.match(r"(.+?)  +(\S+ \S+)  +([\d.]+)  +([\d.]+)  +([\d.]+) ", row)
        low, high = moved(*key, -1)[k], moved(*key, 1)[k]
        same(label + "row", cells[1], f"{name[key[0]]}, {key[1]}")
        same(cells[1] + " sigma", cells[2], sigma(*key))
        check(label + cells[1] + " less", cells[3], low)
        check(label + cells[1] + " more", cells[4], high)
        check(label + cells[1] + " share", cells[5], 100 * effect[key][k] ** 2 / variance[k])
        shown += 100 * effect[key][k] ** 2 / variance[k]
        bar = row.split()[-1]
        same(cells[1] + " bar", bar.index("|") > 0 and bar[0], "-" if low < value else "+")
    check(label + "all others", text[start + 13].split()[-1], 100 - shown)

steps, left = weigh([0, 1])
said = " ".join(line.strip() for line in text)
for i, step in enumerate(re.findall(r'(?:Weigh next: |then )"?([^";(]+?)"?( \(place\))? to ([\d.]+) (kg|mm) \(front (\+- [\d.]+) %, CG height (\+- [\d.]+) mm\)',
                                     said)):
    same(f"step {i + 1}", (step[0], "place" if step[1] else "mass"), steps[i][:2])
    half("front then", step[4], steps[i][2][0])
    half("height then", step[5], steps[i][2][1])
same("steps said", i, 2)
same("more steps", int(re.search(r"(\d+) more help", said)[1]), len(steps) - 3)
end = re.search(r"where that is better: front ([\d.]+) (\+- [\d.]+) %, CG height ([\d.]+) (\+- [\d.]+) mm", said)
check("front at the end", end[1], share)
half("front at the end", end[2], left[0])
half("height at the end", end[4], left[1])

# ---- weigh_next

text = page("weigh_next_scenario")
steps, left = weigh([0])
carried = 0.0
for i in range(4):
    row = re.match(r"(\d)  (.+?)  +([\d.]+) (\+- [\d.]+) kg  +0.1 kg  (\+- [\d.]+)  +([\d.]+)  estimate; ([\d.]+) m (ahead|behind)", text[3 + i])
    line = name.index(row[2])
    same(f"step {row[1]}", (row[2], "mass"), steps[i][:2])
    check(row[2], row[3], m[line])
    half(row[2], row[4], m_sd[line])
    half(row[2] + " then", row[5], steps[i][2][0])
    part = 100 * effect[line, "mass"][0] ** 2 / variance[0]
    check(row[2] + " share", row[6], part)
    off = (x[line] - (n * m * x).sum() / M) / 1000
    check(row[2] + " from the CG", row[7], abs(off))
    same(row[2] + " from the CG", row[8], "behind" if off > 0 else "ahead")
    carried += part
said = " ".join(line.strip() for line in text)
check("carried", re.search(r"Four of 18 lines carry (\d+) % of the variance", said)[1], carried)
half("all four", re.search(r"all of them done: front [\d.]+ (\+- [\d.]+) %", said)[1], steps[3][2][0])
half("all", re.search(r"where that is better: front [\d.]+ (\+- [\d.]+) %", said)[1], left[0])
if failed:
    sys.exit(f"{failed} of {checked} numbers differ")
print(f"ok tornado: {checked} numbers of two pages from the vehicle file")
