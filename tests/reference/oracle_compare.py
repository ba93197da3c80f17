"""sy.compare of random vehicle files and of changes made to them, against the uncertainties package.

oracle_uncertainty.py holds the ledger's propagation against the package, oracle_weighing.py that of scales. Here the whole way is checked, from
the words of a vehicle file to the rows of a comparison: axes of the file, nested and turned groups, pairs, counts, shapes, uncertainties stated
as sd, within and within_mm or assumed, tanks, load states, and changes: groups and parts moved and turned, parts set, swapped, left out,
tanks filled. In Python every stated mass and every stated coordinate is one variable, met again wherever it is stated again; the
answers are computed with those variables and the package differentiates and combines them (first order).
"""
import copy
import json
import math
import os
import random
import subprocess
import sys
import tempfile

import numpy as np
from uncertainties import ufloat

from support.library import Checks

STEELYARD = sys.argv[1]
checks = Checks()
rng = random.Random(1008)
SHOWN = ["mass", "front", "rear", "left", "right", "front_share", "left_share", "cross_share", "lf", "rf", "lr", "rr", "cg_behind",
         "cg_left", "height", "yaw_inertia", "yaw_index"]
WAYS = {"forward": (1, 0, 0), "back": (-1, 0, 0), "left": (0, 1, 0), "right": (0, -1, 0), "up": (0, 0, 1), "down": (0, 0, -1)}
MIRROR = np.diag([1.0, -1.0, 1.0])
# left-handed ones too; the rear axle lies behind the front one in all
AXES = [("back", "right", "up"), ("forward", "left", "up"), ("back", "left", "up"), ("left", "forward", "up"), ("forward", "right", "down")]


def rotation(words):
    """Rz(yaw) Ry(pitch) Rx(roll): left_up rolls, nose_up pitches backward, nose_left yaws (ISO 8855:2011 axes)."""
    sign = {"nose_up": (1, -1), "nose_down": (1, 1), "left_up": (0, 1), "right_up": (0, -1), "nose_left": (2, 1), "nose_right": (2, -1)}
    angles = [0.0, 0.0, 0.0]
    for word, degrees in words.items():
        axis, way = sign[word]
        angles[axis] += way * math.radians(degrees)
    (cr, sr), (cp, sp), (cy, sy) = [(math.cos(a), math.sin(a)) for a in angles]
    return (np.array([[cy, -sy, 0], [sy, cy, 0], [0, 0, 1]]) @ np.array([[cp, 0, sp], [0, 1, 0], [-sp, 0, cp]])
            @ np.array([[1, 0, 0], [0, cr, -sr], [0, sr, cr]]))


# ---- a random file, and what it means -----------------------------------------------------------------------------------------


class Piece:
    """What lies at one place: where its stated point is (mm, vehicle's frame), along what its errors point, how its body is turned."""

    def __init__(self, part, at, errors, body):
        self.part, self.at, self.errors, self.body = part, at, errors, body


class Part:
    """One line of the file. pieces: one, or the two of a pair; path: the groups around it."""


class Car:
    def __init__(self):
        self.axes = rng.choice(AXES)
        self.in_frame = np.array([WAYS[w] for w in self.axes], float).T  # columns: the file's x, y, z
        self.zero = [0.0, 0.0, 0.0]  # of the vehicle, in the file
        for i, way in enumerate(self.axes):
            self.zero[i] = rng.choice([0, rng.randint(-300, 900)])
        self.wheelbase, self.tracks = rng.randint(2100, 2800), (rng.randint(1200, 1600), rng.randint(1200, 1600))
        self.cross = rng.choice([50, rng.randint(46, 54)])
        self.assume = {b: rng.choice([2, 5, 15]) for b in ("estimate", "calculated", "weighed") if rng.random() < 0.5}
        self.assume_mm = rng.choice([None, rng.randint(2, 20)])
        self.parts, self.groups, self.count = [], {}, 0
        self.tree = self.children(0, (), np.eye(3), None)
        self.spare = self.new_part((), np.eye(3), None, tank=False)
        self.spare.aboard = False

    def new_name(self, word):
        self.count += 1
        return f"{word} {self.count}"

    def children(self, depth, path, turn, origin):
        list_ = []
        for _ in range(rng.randint(3, 6) if depth == 0 else rng.randint(1, 4)):
            if depth < 2 and rng.random() < 0.4:
                list_.append(self.new_group(depth, path, turn, origin))
            else:
                list_.append(self.new_part(path, turn, origin, tank=rng.random() < 0.15))
        return list_

    def place(self, turn, origin, at):
        """A point of the file (origin None) or of a group, in the vehicle's frame."""
        if origin is None:
            return self.in_frame @ (np.array(at, float) - self.zero)
        return origin + turn @ self.in_frame @ np.array(at, float)

    def new_group(self, depth, path, turn, origin):
        name, at = self.new_name("group"), self.new_place(origin)
        turned = {rng.choice(["nose_up", "left_up", "nose_left", "nose_right"]): rng.randint(1, 30)} if rng.random() < 0.5 else {}
        inside = self.place(turn, origin, at), turn @ rotation(turned)
        self.groups[name] = list(inside)
        path = path + (name,)
        return name, at, turned, self.children(depth + 1, path, inside[1], inside[0])

    def new_place(self, origin):
        if origin is not None:
            return [rng.randint(-400, 400) for _ in range(3)]
        middle = {"forward": -1100, "back": 1100, "left": 0, "right": 0, "up": 400, "down": -400}
        return [rng.randint(-700, 700) // 2 + middle[w] + z for w, z in zip(self.axes, self.zero)]

    def new_part(self, path, turn, origin, tank):
        p = Part()
        p.kind, p.path, p.aboard = "tank" if tank else "part", path, True
        p.name, p.at = self.new_name(p.kind), self.new_place(origin)
        p.basis = rng.choice([None, "estimate", "calculated", "weighed"])
        p.form = None if tank else rng.choice([None, None, None, "pair", "count"])
        p.count = rng.randint(2, 9) if p.form == "count" else 1
        p.box = [rng.randint(50, 700) for _ in range(3)] if not tank and rng.random() < 0.4 else None
        p.turned = {"nose_left": rng.randint(5, 60)} if p.box and rng.random() < 0.5 else {}
        p.at_sd = [rng.choice([None, rng.randint(1, 20)]) for _ in range(3)] if rng.random() < 0.4 else [None] * 3
        p.within_mm = rng.choice([None, None, rng.randint(1, 30)])
        if tank:
            p.density, p.density_sd = 0.745, rng.choice([None, 0.02])
            p.dry, p.fill, p.fill_sd = rng.randint(1, 9), rng.randint(5, 50), rng.choice([None, 1.5])
            self.fill(p, p.fill, p.fill_sd)
        else:
            p.mass = round(rng.uniform(0.3, 60), 2)
            p.stated = rng.choice(["plain", "sd", "within"])
            p.uncertainty = round(rng.uniform(0.01, 0.1) * p.mass, 3)
            self.weigh(p, p.mass, {"plain": None, "sd": p.uncertainty, "within": p.uncertainty / math.sqrt(3)}[p.stated])
        self.put(p, turn, origin)
        self.parts.append(p)
        return p

    # what stands in the file or is set, as numbers
    def weigh(self, p, mass, sd):
        share = self.assume.get(p.basis or "estimate")
        p.mass, p.mass_sd = mass, sd if sd is not None else share / 100 * mass if share else 0.0

    def fill(self, p, litres, sd):
        """Density and litres err apart; what states neither has one assumed relative error of all of it."""
        p.litres, p.litres_sd, p.mass, p.mass_sd = litres, sd or 0, p.dry + p.density * litres, 0.0
        stated = p.density_sd is not None or sd is not None
        p.share_sd = 0 if stated else self.assume.get(p.basis or "estimate", 0) / 100

    def put(self, p, turn, origin):
        limit = p.within_mm if p.within_mm is not None else self.assume_mm or 0
        p.place_sd = [sd if sd is not None else limit / math.sqrt(3) for sd in p.at_sd]
        p.statement = (tuple(p.at), tuple(p.place_sd))
        at, along = self.place(turn, origin, p.at), turn @ self.in_frame
        p.pieces = [Piece(p, at, along, turn @ rotation(p.turned))]
        if p.form == "pair":
            p.pieces.append(Piece(p, MIRROR @ at, MIRROR @ along, MIRROR @ p.pieces[0].body))

    # ---- the same as text

    def part_text(self, p):
        def coordinate(x, sd):
            return f"{x}" if sd is None else f"sd({x}, {sd})"
        said = [f"at = {{{', '.join(map(coordinate, p.at, p.at_sd))}}}"]
        if p.kind == "tank":
            uncertainty = f"sd(0.745, {p.density_sd})" if p.density_sd else "0.745"
            fill = f"sd({p.fill}, {p.fill_sd})" if p.fill_sd else p.fill
            said += [f"density = {uncertainty}", f"fill = {fill}", f"dry_mass = {p.dry}", "capacity = 80"]
        else:
            said.append(f"mass = {p.mass}" if p.stated == "plain" else f"mass = {p.stated}({p.mass}, {p.uncertainty})")
        said += [f'basis = "{p.basis}"'] if p.basis else []
        said += {"pair": ["pair = true"], "count": [f"count = {p.count}"]}.get(p.form, [])
        said += [f"within_mm = {p.within_mm}"] if p.within_mm is not None else []
        said += [f"shape = box {{{', '.join(map(str, p.box))}}}"] if p.box else []
        said += [f"turned = {words_text(p.turned)}"] if p.turned else []
        return f'{p.kind} "{p.name}" {{ {", ".join(said)} }},\n'

    def list_text(self, children):
        text = ""
        for child in children:
            if isinstance(child, Part):
                text += self.part_text(child)
            else:
                name, at, turned, inside = child
                text += f'group "{name}" {{ at = {{{", ".join(map(str, at))}}},' + (f" turned = {words_text(turned)}," if turned else "")
                text += "\n" + self.list_text(inside) + "},\n"
        return text

    def text(self, states):
        ahead = next(i for i, way in enumerate(self.axes) if way in ("forward", "back"))
        back = self.wheelbase * (1 if self.axes[ahead] == "back" else -1)
        axle = ('{{ name = "{}", at = {}, track = {}, loaded_radius = 300 }}'.format)
        zero = {"left": "centre", "right": "centre", "up": "ground", "down": "ground"}
        fields = [f"{zero[w]} = {z}" for w, z in zip(self.axes, self.zero) if w in zero]
        assumed = [f'{b} = "{p} %"' for b, p in self.assume.items()] + ([f"within_mm = {self.assume_mm}"] if self.assume_mm else [])
        fields += [f"assume = {{ {', '.join(assumed)} }}"] if assumed else []
        return (f'vehicle {{ title = "Random", axes = {{ x = "{self.axes[0]}", y = "{self.axes[1]}", z = "{self.axes[2]}" }},\n'
                f"axles = {{ {axle('front', self.zero[ahead], self.tracks[0])}, {axle('rear', self.zero[ahead] + back, self.tracks[1])} }},\n"
                f"cross_share = {self.cross}, {', '.join(fields)},\nparts = {{\n{self.list_text(self.tree)}}},\n"
                f"spares = {{ {self.part_text(self.spare)} }},\nstates = {{ {states} }} }}\n")

    # ---- changes: each returns the Lua that makes the same

    def named(self, name):
        return next(p for p in self.parts if p.name == name)

    def inside(self, group):
        return [p for p in self.parts if group in p.path]

    def shift(self, parts, by):
        for p in parts:
            for piece in p.pieces:
                piece.at = piece.at + by

    def turn(self, parts, r, point, with_errors):
        for p in parts:
            for piece in p.pieces:
                piece.at, piece.body = point + r @ (piece.at - point), r @ piece.body
                if with_errors:
                    piece.errors = r @ piece.errors

    def move_group(self):
        name = rng.choice(list(self.groups))
        words = {rng.choice(["back", "forward", "left", "down"]): rng.randint(1, 120)}
        if rng.random() < 0.5:
            words[rng.choice(["nose_up", "right_up", "nose_left"])] = rng.randint(1, 25)
        turning = rotation({w: a for w, a in words.items() if w not in WAYS})
        by = sum(a * np.array(WAYS[w], float) for w, a in words.items() if w in WAYS)
        point = self.groups[name][0].copy()
        parts = self.inside(name)
        self.turn(parts, turning, point, True)
        self.shift(parts, by)
        within = {p.path[i] for p in parts for i in range(len(p.path)) if name in p.path[:i + 1]} | {name}
        for other in within | {g for g in self.groups if self.lies_in(g, name)}:
            at, turn = self.groups[other]
            self.groups[other] = [point + turning @ (at - point) + by, turning @ turn]
        return f':move("{name}", {words_text(words)})'

    def lies_in(self, inner, outer, children=None, under=False):
        for child in self.tree if children is None else children:
            if not isinstance(child, Part):
                if child[0] == inner:
                    return under or inner == outer
                if self.lies_in(inner, outer, child[3], under or child[0] == outer):
                    return True
        return False

    def move_part(self):
        p = rng.choice([p for p in self.parts if p.aboard])
        words = {rng.choice(["back", "right", "up"]): rng.randint(1, 90)}
        if p.form != "pair" and rng.random() < 0.4:
            words["nose_left"] = rng.randint(1, 50)
            self.turn([p], rotation({"nose_left": words["nose_left"]}), p.pieces[0].at, False)
        self.shift([p], sum(a * np.array(WAYS[w], float) for w, a in words.items() if w in WAYS))
        return f':move("{p.name}", {words_text(words)})'

    def turn_list(self):
        """A list turns about its joint CG, each part by itself."""
        aboard = [p for p in self.parts if p.aboard]
        if len(aboard) < 2:
            return self.move_part()
        parts = rng.sample(aboard, 2)
        weights = [(p.count * p.mass, piece.at) for p in parts for piece in p.pieces]
        point = sum(m * at for m, at in weights) / sum(m for m, _ in weights)
        words = {rng.choice(["nose_up", "left_up", "nose_right"]): rng.randint(1, 40)}
        self.turn(parts, rotation(words), point, False)
        return f':move({{"{parts[0].name}", "{parts[1].name}"}}, {words_text(words)})'

    def set_mass(self):
        p = rng.choice([p for p in self.parts if p.kind == "part"])
        mass = round(p.mass * rng.uniform(0.8, 1.3), 3)
        if rng.random() < 0.5:
            p.mass = mass  # a plain number keeps the uncertainty
            return f':set("{p.name}", {{ mass = {mass} }})'
        p.mass, p.mass_sd = mass, 0.123
        return f':set("{p.name}", {{ mass = sy.sd({mass}, 0.123) }})'

    def set_place(self):
        p = rng.choice([p for p in self.parts if p.kind == "part" and p.form != "pair"])
        group = p.path[-1] if p.path else None
        origin, turn = self.groups[group] if group else (None, np.eye(3))
        p.at = self.new_place(origin)
        p.statement = (tuple(p.at), tuple(p.place_sd))
        piece = p.pieces[0]
        piece.at, piece.errors = self.place(turn, origin, p.at), turn @ self.in_frame
        return f':set("{p.name}", {{ at = {{{", ".join(map(str, p.at))}}} }})'

    def swap(self):
        p = rng.choice([p for p in self.parts if p.aboard])
        if not self.spare.aboard:
            p.aboard, self.spare.aboard = False, True
            return f':swap("{p.name}", "{self.spare.name}")'
        return self.move_part()

    def without(self):
        aboard = [p for p in self.parts if p.aboard]
        if len(aboard) < 3:
            return self.move_part()
        p = rng.choice(aboard)
        p.aboard = False
        return f':without("{p.name}")'

    def fill_tank(self):
        tanks = [p for p in self.parts if p.kind == "tank"]
        if not tanks:
            return self.move_group() if self.groups else self.move_part()
        p = rng.choice(tanks)
        litres = rng.randint(1, 79)
        self.fill(p, litres, None)  # a plain number states no uncertainty of its own
        return f':fill{{ ["{p.name}"] = {litres} }}'

    def change(self):
        ways = [self.move_part, self.turn_list, self.set_mass, self.set_place, self.swap, self.without] + [self.move_group] * 3 * bool(self.groups)
        text = "".join(rng.choice(ways)() for _ in range(rng.randint(1, 5)))
        return text + (self.fill_tank() if rng.random() < 0.3 else "")  # last: other changes of a tank's state come before


def words_text(words):
    return "{ " + ", ".join(f"{word} = {value}" for word, value in words.items()) + " }"


# ---- answers by the package -----------------------------------------------------------------------------------------------------


class Statements:
    """One variable for each statement; what is stated again is met again."""

    def __init__(self):
        self.known = {}

    def variable(self, key, value, sd):
        if key not in self.known:
            self.known[key] = ufloat(value, sd)
        return self.known[key]


def add_piece(sums, piece, statements):
    p = piece.part
    if p.kind == "tank":
        density = statements.variable((p.name, "density"), p.density, p.density_sd or 0)
        litres = statements.variable((p.name, "litres", p.litres, p.litres_sd), p.litres, p.litres_sd)
        mass = (p.dry + density * litres) * (1 + statements.variable((p.name, "share", p.share_sd), 0.0, p.share_sd))
    else:
        mass = statements.variable((p.name, "mass", p.mass, p.mass_sd), p.mass, p.mass_sd)
    error = [statements.variable((p.name, "place", p.statement, k), 0.0, p.place_sd[k]) for k in range(3)]
    x, y, z = [(piece.at[i] + sum(piece.errors[i, k] * error[k] for k in range(3))) / 1e3 for i in range(3)]
    own = 0.0
    if p.box:
        a, b, c = [(size / 1e3) ** 2 / 12 for size in p.box]  # of a kilogram: J = m (b^2 + c^2) / 12 and so on
        own = (piece.body @ np.diag([b + c, a + c, a + b]) @ piece.body.T)[2, 2]
    for i, term in enumerate((mass, mass * x, mass * y, mass * z, mass * (x * x + y * y + own))):
        sums[i] = sums[i] + p.count * term


def answers_of(car, statements):
    sums = [0.0] * 5
    for p in car.parts:
        for piece in p.pieces if p.aboard else ():
            add_piece(sums, piece, statements)
    m, mx, my, mz, q = sums
    base, (front_track, rear_track) = car.wheelbase / 1e3, [t / 1e3 for t in car.tracks]
    front = m + mx / base
    rear = m - front
    # lf - rf = d and lr - rr = e: the tracks share the moment, (rf + lr) / m is the cross weight
    twist = (2 * car.cross / 100 - 1) * m  # e - d
    d = (2 * my - rear_track * twist) / (front_track + rear_track)
    e = d + twist
    lf, rf, lr, rr = (front + d) / 2, (front - d) / 2, (rear + e) / 2, (rear - e) / 2
    yaw = q - (mx * mx + my * my) / m
    behind = -mx / m
    return {"mass": m, "front": front, "rear": rear, "left": lf + lr, "right": rf + rr, "front_share": 100 * front / m,
            "left_share": 100 * (lf + lr) / m, "cross_share": 100 * (rf + lr) / m, "lf": lf, "rf": rf, "lr": lr, "rr": rr,
            "cg_behind": 1e3 * behind, "cg_left": 1e3 * my / m, "height": 1e3 * mz / m, "yaw_inertia": yaw,
            "yaw_index": yaw / (m * behind * (base - behind))}


# ---- ours -------------------------------------------------------------------------------------------------------------------------

SCRIPT = """local sy = require "steelyard"
local first = sy.load(arg[1])%s
for _, change in ipairs {
%s} do
  local c = sy.compare{first, change(first), show = {%s}}
  for _, row in ipairs(c.rows) do
    print(("[%%q, %%.17g, %%.17g, %%.17g, %%.17g]"):format(row.name, row.values[1], row.values[2], row.sd[1], row.sd[2]))
  end
  print "end"
end
"""


def run(folder, car, states, state, changes):
    file, script = os.path.join(folder, "car.lua"), os.path.join(folder, "compare.lua")
    with open(file, "w", encoding="utf-8") as out:
        out.write(car.text(states))
    with open(script, "w", encoding="utf-8") as out:
        functions = "".join(f"  function(car) return car{text} end,\n" for text in changes)
        out.write(SCRIPT % (state, functions, ", ".join(f'"{name}"' for name in SHOWN)))
    done = subprocess.run([STEELYARD, script, file], capture_output=True, text=True, check=False)
    if done.returncode:
        with open(script, encoding="utf-8") as lines:
            raise SystemExit(f"FAILED to run: {done.stderr}\n{lines.read()}")
    blocks = done.stdout.split("end\n")[:-1]
    return [[json.loads(line) for line in block.splitlines()] for block in blocks]


# Values: a few dozen roundings of numbers of the size of the car (places to a picometre, of a metre), 1e-9 is far above them and a
# millionth of the last printed digit. Uncertainties: 1e-9 of themselves; of a change that cancels, 1e-9 of a hundredth of the whole
# uncertainty: turned places are kept to 1e-12 m, so what cancels leaves some 1e-12 of the whole.
TOLERANCE, FLOOR = 1e-9, 1e-2


def hold(kind, row, before, after):
    name, value_before, value_after, sd_before, sd_change = row
    sizes = {"yaw_index": 1.0, "yaw_inertia": max(1.0, before["yaw_inertia"].nominal_value)}
    size = sizes.get(name, 1e3)  # kg, mm and %
    for value, want in ((value_before, before[name]), (value_after, after[name])):
        checks.near(f"{kind}: values", abs(value - want.nominal_value) / size, TOLERANCE, (name, value, want))
    checks.near("uncertainties of one car", miss(sd_before, before[name].std_dev, size * 1e-5), TOLERANCE, (name, sd_before, before[name]))
    whole = max(before[name].std_dev, after[name].std_dev, size * 1e-5)
    wanted = (after[name] - before[name]).std_dev
    checks.near(f"{kind}: uncertainties of changes", miss(sd_change, wanted, FLOOR * whole), TOLERANCE, (name, sd_change, wanted))


def miss(got, wanted, floor):
    """Relative; below the floor relative to that. Answers that are fixed, such as the cross weight, have no uncertainty but rounding."""
    return abs(got - wanted) / max(wanted, floor)


def compare(car, others, kind, blocks):
    for other, rows in zip(others, blocks, strict=True):
        statements = Statements()
        before, after = [{n: v + ufloat(0, 0) for n, v in answers_of(c, statements).items()} for c in (car, other)]
        assert [row[0] for row in rows] == SHOWN
        for row in rows:
            hold(kind, row, before, after)


def changed(folder):
    car = Car()
    others, texts = [], []
    for _ in range(6):
        other = copy.deepcopy(car)
        texts.append(other.change())
        others.append(other)
    compare(car, others, "changes", run(folder, car, "", "", texts))


def in_states(folder):
    """One state against another, the second with a change as well."""
    car = Car()
    low, other = copy.deepcopy(car), copy.deepcopy(car)
    left_out = rng.choice([p for p in car.parts if p.aboard]).name
    low.named(left_out).aboard = False
    fill = ""
    for p in low.parts:
        if p.kind == "tank":
            low.fill(p, 0.25 * 80, None)
            fill = f', fill = {{ ["{p.name}"] = "25 %" }}'
            break
    change = other.move_part()
    states = f'state "low" {{ without = {{"{left_out}"}}{fill} }}, state "full" {{}}'
    compare(low, [other], "states", run(folder, car, states, ':state "low"', [f':state "full"{change}']))


with tempfile.TemporaryDirectory() as scratch:
    for _ in range(25):
        changed(scratch)
        in_states(scratch)
checks.finish()
