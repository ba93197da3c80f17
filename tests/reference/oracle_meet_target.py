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

failed = checked = 0


def check(what, fine):
    global failed, checked
    checked += 1
    if not fine:
        failed += 1
        print(f"FAILED {what}")


# ---- the file as a table: items are (kind, name, fields)

tokens = re.findall(r'"[^"]*"|[\d.]+|\w+|\S', re.sub(r"--.*", "", open("vehicles/twayblade.lua", encoding="utf-8").read())) + ["end"]
place = 0


def take(want=None):
    global place
    place += 1
    assert want is None or tokens[place - 1] == want, (want, tokens[place - 5:place + 2])
    return tokens[place - 1]


def term():
    token = take()
    if token == "-":
        return -term()
    if token[0] == '"':
        return token[1:-1]
    if token[0].isdigit():
        return float(token)
    if token == "{":
        return table()
    if tokens[place] == "(":  # sd(12, 1), within(12, 1)
        take()
        first = value()
        while take() != ")":
            value()
        return first
    if tokens[place][0] == '"':
        return (token, take()[1:-1], value() if tokens[place] == "{" else {})
    if tokens[place] == "{":
        return (token, None, value())
    return {"true": True, "false": False, "unknown": 0.0}[token]


def value():
    result = term()
    while tokens[place] in ("*", "/"):
        result = result * term() if take() == "*" else result / term()
    return result


def table():
    fields, count = {}, 0
    while tokens[place] != "}":
        if tokens[place] == "[":
            take()
            key = term()
            take("]")
            take("=")
        elif tokens[place + 1] == "=":
            key = take()
            take("=")
        else:
            count += 1
            key = count
        fields[key] = value()
        if tokens[place] in (",", ";"):
            take()
    take("}")
    return fields


file = value()[2]
front, rear = file["axles"][1], file["axles"][2]
L, TRACKS = rear["at"] - front["at"], front["track"] + rear["track"]

# ---- masses and places


def rotation(words):
    """Forward, left, up: nose up, then left up first, as Rz Ry Rx (ISO 8855:2011 axes); the nose goes up for a negative pitch."""
    angle = [np.radians(words.get(a, 0.0) - words.get(b, 0.0))
             for a, b in (("left_up", "right_up"), ("nose_down", "nose_up"), ("nose_left", "nose_right"))]
    (a, b, c), (d, e, f) = np.cos(angle), np.sin(angle)
    return (np.array([[c, -f, 0], [f, c, 0], [0, 0, 1]]) @ np.array([[b, 0, e], [0, 1, 0], [-e, 0, b]])
            @ np.array([[1, 0, 0], [0, a, -d], [0, d, a]]))


def entries(fields):
    return [fields[i] for i in sorted(k for k in fields if isinstance(k, int))]


def litres(fields, fill):
    if isinstance(fill, float):
        return fill
    holds = fields.get("capacity")
    if holds is None:
        size = fields["shape"][2]
        assert fields["shape"][0] == "box"
        holds = size[1] * size[2] * size[3] / 1e6
    return float(fill.rstrip(" %")) / 100 * holds


def lines(state, moved):
    """kg, forward and left of every piece aboard; moved: name -> (forward, left)."""
    found = []

    def walk(items, at, turn):
        for kind, name, fields in items:
            if name in out:
                continue
            own = fields.get("at", {1: 0.0, 2: 0.0, 3: 0.0})
            place = at + turn @ np.array([-own[1], -own[2], own[3]]) + np.array([*moved.get(name, (0.0, 0.0)), 0.0])
            if kind == "group":
                walk(entries(fields), place, turn @ rotation(fields.get("turned", {})))
                continue
            if kind == "tank":
                mass = fields.get("dry_mass", 0.0) + fields["density"] * litres(fields, state.get("fill", {}).get(name, fields["fill"]))
            else:
                mass = fields["mass"] * fields.get("count", 1.0)
            found.append((mass, place[0], place[1]))
            if fields.get("pair"):
                found.append((mass, place[0], -place[1]))

    out = list(state.get("without", {}).values())
    extra = list(state.get("with", {}).values())
    spares = [item for item in entries(file["spares"]) if item[1] in extra]
    assert len(spares) == len(extra)
    walk(entries(file["parts"]) + spares, np.zeros(3), np.eye(3))
    return np.array(found)


STATES = [next(s[2] for s in entries(file["states"]) if s[1] == name) for name in ("race start", "two up")]


def shares(back, left):
    """Front and left share by state."""
    result = []
    for state in STATES:
        m, x, y = lines(state, {"powertrain": (-back, 0.0), "driver": (0.0, left)}).T
        result.append((100 * (1 + (m * x).sum() / m.sum() / L), 50 + 200 * (m * y).sum() / m.sum() / TRACKS))
    return np.array(result)


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
mass = lines(STATES[1], {})[:, 0].sum()  # the heavier state, by which the page judges the limit
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
