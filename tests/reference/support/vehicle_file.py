"""A vehicle file as oracles read it: without the library, by a reader of the few words that the demo files use.

Vehicle(path).lines(state) gives kg, mm forward, left and up of every piece aboard, for files with x back, y right and z up from the ground.
"""
import re

import numpy as np


class Reader:
    """The file as a table: items are (kind, name, fields)."""

    def __init__(self, text):
        self.tokens = re.findall(r'"[^"]*"|[\d.]+|\w+|\S', re.sub(r"--.*", "", text)) + ["end"]
        self.place = 0

    def take(self, want=None):
        self.place += 1
        assert want is None or self.tokens[self.place - 1] == want, (want, self.tokens[self.place - 5:self.place + 2])
        return self.tokens[self.place - 1]

    def term(self):
        token = self.take()
        if token == "-":
            return -self.term()
        if token[0] == '"':
            return token[1:-1]
        if token[0].isdigit():
            return float(token)
        if token == "{":
            return self.table()
        following = self.tokens[self.place]
        if following == "(":  # sd(12, 1), within(12, 1)
            self.take()
            first = self.value()
            while self.take() != ")":
                self.value()
            return first
        if following[0] == '"':
            return (token, self.take()[1:-1], self.value() if self.tokens[self.place] == "{" else {})
        if following == "{":
            return (token, None, self.value())
        return {"true": True, "false": False, "unknown": 0.0}[token]

    def value(self):
        result = self.term()
        while self.tokens[self.place] in ("*", "/"):
            result = result * self.term() if self.take() == "*" else result / self.term()
        return result

    def table(self):
        fields, count = {}, 0
        while self.tokens[self.place] != "}":
            if self.tokens[self.place] == "[":
                self.take()
                key = self.term()
                self.take("]")
                self.take("=")
            elif self.tokens[self.place + 1] == "=":
                key = self.take()
                self.take("=")
            else:
                count += 1
                key = count
            fields[key] = self.value()
            if self.tokens[self.place] in (",", ";"):
                self.take()
        self.take("}")
        return fields


def rotation(words):
    """Forward, left, up: nose up, then left up first, as Rz Ry Rx (ISO 8855:2011 axes); the nose goes up for a negative pitch."""
    angle = [np.radians(words.get(a, 0.0) - words.get(b, 0.0))
             for a, b in (("left_up", "right_up"), ("nose_down", "nose_up"), ("nose_left", "nose_right"))]
    (a, b, c), (d, e, f) = np.cos(angle), np.sin(angle)
    return (np.array([[c, -f, 0], [f, c, 0], [0, 0, 1]]) @ np.array([[b, 0, e], [0, 1, 0], [-e, 0, b]])
            @ np.array([[1, 0, 0], [0, a, -d], [0, d, a]]))


def entries(fields):
    return [fields[i] for i in sorted(k for k in fields if isinstance(k, int))]


def box_of(fields):
    if "shape" not in fields:
        return None
    assert fields["shape"][0] == "box"
    size = fields["shape"][2]
    return np.array([size[1], size[2], size[3]])


def litres(fields, fill):
    if isinstance(fill, float):
        return fill
    holds = fields["capacity"] if "capacity" in fields else box_of(fields).prod() / 1e6
    return float(fill.rstrip(" %")) / 100 * holds


class Vehicle:
    def __init__(self, path):
        with open(path, encoding="utf-8") as file:
            self.file = Reader(file.read()).value()[2]
        self.front, self.rear = self.file["axles"][1], self.file["axles"][2]
        self.wheelbase, self.tracks = self.rear["at"] - self.front["at"], self.front["track"] + self.rear["track"]
        self.states = {name: fields for _, name, fields in entries(self.file["states"])}

    def lines(self, state, moved=None, fill=None):
        """Of a state by name; moved: name -> (forward, left); fill: name -> litres, above the state's own."""
        moved, says = moved or {}, self.states[state]
        fills = {**says.get("fill", {}), **(fill or {})}
        out, extra = list(says.get("without", {}).values()), list(says.get("with", {}).values())
        found = []

        def add_tank(fields, place, turn, name):
            amount = litres(fields, fills.get(name, fields["fill"]))
            dry, size = fields.get("dry_mass", 0.0), box_of(fields)
            found.append((dry, *place))
            if size is not None:  # level liquid on the floor of a box that stands upright
                assert np.allclose(turn, np.eye(3))
                depth = size[2] * amount * 1e6 / size.prod()
                place = place + np.array([0, 0, (depth - size[2]) / 2])
            found.append((fields["density"] * amount, *place))

        def walk(items, at, turn):
            for kind, name, fields in items:
                if name in out:
                    continue
                own = fields.get("at", {1: 0.0, 2: 0.0, 3: 0.0})
                place = at + turn @ np.array([-own[1], -own[2], own[3]]) + np.array([*moved.get(name, (0.0, 0.0)), 0.0])
                if kind == "group":
                    walk(entries(fields), place, turn @ rotation(fields.get("turned", {})))
                elif kind == "tank":
                    add_tank(fields, place, turn, name)
                else:
                    found.append((fields["mass"] * fields.get("count", 1.0), *place))
                    if fields.get("pair"):
                        found.append((fields["mass"], place[0], -place[1], place[2]))

        spares = [item for item in entries(self.file["spares"]) if item[1] in extra]
        assert len(spares) == len(extra)
        walk(entries(self.file["parts"]) + spares, np.zeros(3), np.eye(3))
        return np.array(found)

    def answers(self, lines):
        """Mass, front share, left share (with a cross weight of 50 %), CG height; then mm forward and left of the CG."""
        m, x, y, z = lines.T
        total = m.sum()
        cg = (m * x).sum() / total, (m * y).sum() / total, (m * z).sum() / total
        return total, 100 * (1 + cg[0] / self.wheelbase), 50 + 200 * cg[1] / self.tracks, cg[2], cg[0], cg[1]
