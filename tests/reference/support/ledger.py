"""Ledgers for the oracles: random trees of parts as plain Python values, and the same in the C library.

A tree is a Group of Parts and Groups. A pair is a Group with `normal` set and two Parts. Everything is SI, as in mass/ledger.h.
"""
import copy
import itertools
from ctypes import (POINTER, Structure, byref, c_bool, c_char_p, c_double, c_int, c_size_t, c_uint, c_uint8, c_uint32, c_uint64,
                    c_void_p)

import numpy as np

from support.library import Error, Frame, Mat3, Sym3, Vec3, succeed

NOT_ABOARD, POINT, SOLID, MIRRORED = 1, 8, 16, 32
BODY, AXLE, WHEEL, CARRIERS = 0, 1, 9, 25
ALL_CARRIERS = (1 << CARRIERS) - 1


class CAlloc(Structure):
    _fields_ = [("resize", c_void_p), ("user", c_void_p)]


class CUnsprung(Structure):
    _fields_ = [("fraction", c_double * 4), ("carrier", c_uint8 * 4), ("count", c_uint8)]


class CPart(Structure):
    _fields_ = [("id", c_uint64), ("mass", c_double), ("mass_sd", c_double), ("cg", Vec3), ("cg_sd", Vec3), ("inertia", Sym3),
                ("growth", c_double), ("cg_stated", Vec3), ("count", c_uint32), ("number", c_uint32), ("flags", c_uint32),
                ("unsprung", CUnsprung), ("instrument", c_uint32), ("bias_share", c_double), ("gain_mass", c_double),
                ("fill", c_void_p), ("mass_stated", c_double), ("whole", c_void_p)]


class CGroup(Structure):
    _fields_ = [("id", c_uint64), ("frame", Frame), ("number", c_uint32), ("not_aboard", c_bool), ("twin", c_bool),
                ("twin_normal", Vec3)]


class CRoute(Structure):
    _fields_ = [("depth", c_uint32), ("child", c_uint32 * 32)]


class CSums(Structure):
    _fields_ = [("m", c_double), ("first", Vec3), ("second", Sym3)]


class CSensitivity(Structure):
    _fields_ = [("m", c_double), ("first", Vec3), ("second", Sym3), ("carriers", c_uint), ("flat", c_bool)]


class CTerm(Structure):
    _fields_ = [("ledger", c_void_p), ("sign", c_double), ("by", POINTER(CSensitivity)), ("error", c_uint32),
                ("by_error", POINTER(c_double))]


class CTotals(Structure):
    _fields_ = [("all", CSums), ("carried", CSums * CARRIERS), ("carriers", c_uint), ("cov", c_double * 10),
                ("growth_mass", c_double), ("unstated_mass", c_double)] + [
                    (n, c_size_t) for n in ("parts", "points", "usual", "unstated", "unknown")]


def declare(lib):
    edit = [c_void_p, POINTER(CRoute)]
    result = [POINTER(c_void_p), POINTER(Error)]
    signatures = {
        "sy_alloc_default": (CAlloc, []),
        "sy_ledger_builder_new": (c_void_p, [POINTER(CAlloc), c_void_p]),
        "sy_ledger_builder_free": (None, [c_void_p]),
        "sy_ledger_add_part": (c_int, [c_void_p, c_char_p, c_char_p, POINTER(CPart), POINTER(Error)]),
        "sy_ledger_open_group": (c_int, [c_void_p, c_char_p, c_char_p, POINTER(CGroup), POINTER(Error)]),
        "sy_ledger_close_group": (c_int, [c_void_p, POINTER(Error)]),
        "sy_ledger_finish": (c_int, [c_void_p] + result),
        "sy_ledger_release": (None, [c_void_p]),
        "sy_ledger_put": (c_int, edit + [POINTER(CPart)] + result),
        "sy_ledger_shift": (c_int, edit + [Vec3] + result),
        "sy_ledger_turn": (c_int, edit + [Mat3, Vec3] + result),
        "sy_ledger_set_aboard": (c_int, edit + [c_bool] + result),
        "sy_ledger_append": (c_int, edit + [c_void_p] + result),
        "sy_ledger_totals": (None, [c_void_p, POINTER(CTotals)]),
        "sy_propagate_variance": (c_int, [POINTER(CTerm), c_size_t, c_size_t, c_void_p, POINTER(c_double), POINTER(Error)]),
    }
    for name, (restype, argtypes) in signatures.items():
        function = getattr(lib, name)
        function.restype, function.argtypes = restype, argtypes
    return lib


# ---- the tree in Python

identities = itertools.count(1)


class Part:
    def __init__(self, **fields):
        self.id = next(identities)
        self.stated = np.full(3, float(self.id))  # each part states its own place
        self.not_aboard = self.mirrored = False
        self.__dict__.update(fields)


class Group:
    def __init__(self, turn, at, children, normal=None, not_aboard=False):
        self.id = next(identities)
        self.turn, self.at, self.children, self.normal, self.not_aboard = turn, at, children, normal, not_aboard


def random_rotation(random):
    q = random.normal(size=4)
    w, x, y, z = q / np.linalg.norm(q)
    return np.array([[1 - 2 * (y * y + z * z), 2 * (x * y - w * z), 2 * (x * z + w * y)],
                     [2 * (x * y + w * z), 1 - 2 * (x * x + z * z), 2 * (y * z - w * x)],
                     [2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)]])


def random_place(random):
    """Whole micrometres: the library keeps lengths to a picometre, so these stay what they are."""
    return np.round(random.uniform([-2.5, -0.8, 0.0], [0.5, 0.8, 1.0]), 6)


def random_unsprung(random):
    kind = random.integers(6)
    axle = AXLE + int(random.integers(2))
    return {0: [(axle, 1.0)], 1: [(axle, 0.5)], 2: [(WHEEL, 0.25), (WHEEL + 3, 0.125)]}.get(int(kind), [])


def random_part(random):
    mass = random.uniform(0.05, 90)
    solid = bool(random.integers(2))
    a, b, c = random.uniform(0.02, 0.6, 3) ** 2
    turn = random_rotation(random)
    return Part(mass=mass, mass_sd=mass * random.uniform(0.001, 0.2) * random.integers(2), cg=random_place(random),
                cg_sd=random.uniform(0, 0.02, 3) * random.integers(2), solid=solid,
                inertia=turn @ np.diag([b + c, a + c, a + b]) @ turn.T * mass / 12,
                count=int(random.choice([1, 1, 1, 2, 7])), unsprung=random_unsprung(random), not_aboard=random.random() < 0.1)


def reflection(normal):
    return np.eye(3) - 2 * np.outer(normal, normal)


def random_pair(random, turn, at):
    left = random_part(random)
    left.not_aboard = False
    normal = turn.T @ np.array([0.0, 1.0, 0.0])
    mirror = reflection(normal)
    right = copy.deepcopy(left)
    right.id = next(identities)
    right.cg, right.inertia = np.round(mirror @ left.cg, 12), mirror @ left.inertia @ mirror.T
    (left if left.id % 2 else right).mirrored = True  # the other one was stated
    if random.random() < 0.3:
        right.mass_sd *= 1.5  # set apart: no longer the same statement
    if random.random() < 0.2:
        left.not_aboard = True
    return Group(turn, at, [left, right], normal=normal)


def random_group(random, items, levels):
    children = []
    for _ in range(items):
        kind = random.integers(8)
        turn = random_rotation(random) if random.integers(3) else np.eye(3)
        if kind < 5 or levels == 0:
            children.append(random_part(random))
        elif kind == 5:
            children.append(random_pair(random, turn, random_place(random)))
        else:
            inner = random_group(random, int(random.integers(1, 6)), levels - 1).children
            children.append(Group(turn, random_place(random), inner, not_aboard=random.random() < 0.1))
    return Group(np.eye(3), np.zeros(3), children)


def leaves(group, turn=np.eye(3), at=np.zeros(3)):
    """(part, pair or None, turn, at) of every part aboard; turn and at lead from its group to the vehicle."""
    for child in group.children:
        if child.not_aboard:
            continue
        if isinstance(child, Part):
            yield child, group if group.normal is not None else None, turn, at
        else:
            yield from leaves(child, turn @ child.turn, turn @ child.at + at)


# ---- the tree in C

def c_part(part):
    p = CPart(id=part.id, mass=part.mass, mass_sd=part.mass_sd, cg=Vec3(*part.cg), cg_sd=Vec3(*part.cg_sd),
              cg_stated=Vec3(*part.stated), count=part.count, flags=NOT_ABOARD * part.not_aboard | SOLID * part.solid | MIRRORED * part.mirrored)
    j = part.inertia
    p.inertia = Sym3(j[0, 0], j[1, 1], j[2, 2], j[0, 1], j[0, 2], j[1, 2])
    p.unsprung.count = len(part.unsprung)
    for i, (carrier, fraction) in enumerate(part.unsprung):
        p.unsprung.carrier[i], p.unsprung.fraction[i] = carrier, fraction
    return p


def c_mat3(matrix):
    return Mat3(Mat3.m_type(*np.asarray(matrix).ravel()))


class Ledger:
    def __init__(self, lib, tree=None, handle=None):
        self.lib, self.handle = lib, handle
        if tree is not None:
            builder = self._builder(tree.children)
            self.handle, error = c_void_p(), Error()
            succeed(lib.sy_ledger_finish(builder, byref(self.handle), byref(error)), error)
            lib.sy_ledger_builder_free(builder)

    def __del__(self):
        self.lib.sy_ledger_release(self.handle)

    def _builder(self, children, relative=None):
        builder = self.lib.sy_ledger_builder_new(byref(self.lib.sy_alloc_default()), relative)
        assert builder
        self._add(builder, children)
        return builder

    def _add(self, builder, children):
        lib, error = self.lib, Error()
        for child in children:
            if isinstance(child, Part):
                succeed(lib.sy_ledger_add_part(builder, b"part", None, byref(c_part(child)), byref(error)), error)
                continue
            group = CGroup(id=child.id, frame=Frame(c_mat3(child.turn), Vec3(*child.at)), not_aboard=child.not_aboard,
                           twin=child.normal is not None)
            if child.normal is not None:
                group.twin_normal = Vec3(*child.normal)
            succeed(lib.sy_ledger_open_group(builder, b"group", None, byref(group), byref(error)), error)
            self._add(builder, child.children)
            succeed(lib.sy_ledger_close_group(builder, byref(error)), error)

    def _edit(self, function, route, *arguments):
        c_route = CRoute(depth=len(route))
        c_route.child[:len(route)] = route
        out, error = c_void_p(), Error()
        succeed(function(self.handle, byref(c_route), *arguments, byref(out), byref(error)), error)
        return Ledger(self.lib, handle=out)

    def shift(self, route, by):
        return self._edit(self.lib.sy_ledger_shift, route, Vec3(*by))

    def turn(self, route, turn, point):
        return self._edit(self.lib.sy_ledger_turn, route, c_mat3(turn), Vec3(*point))

    def put(self, route, part):
        return self._edit(self.lib.sy_ledger_put, route, byref(c_part(part)))

    def set_aboard(self, route, aboard):
        return self._edit(self.lib.sy_ledger_set_aboard, route, aboard)

    def append(self, route, items):
        builder = self._builder(items, self.handle)
        made = self._edit(self.lib.sy_ledger_append, route, builder)
        self.lib.sy_ledger_builder_free(builder)
        return made

    def totals(self):
        t = CTotals()
        self.lib.sy_ledger_totals(self.handle, byref(t))
        return t

    def propagate(self, terms):
        n = len(terms[0][2])
        out = (c_double * n)()
        terms = (CTerm * len(terms))(*[CTerm(ledger.handle, sign, (CSensitivity * n)(*by)) for ledger, sign, by in terms])
        assert self.lib.sy_propagate_variance(terms, len(terms), n, None, out, None) == 0
        return np.array(out)

    def variances(self, by):
        return self.propagate([(self, 1, by)])

    def change_variances(self, to, by_from, by_to):
        return self.propagate([(self, -1, by_from), (to, 1, by_to)])


def ten(sums):
    f, s = sums.first, sums.second
    return [sums.m, f.x, f.y, f.z, s.xx, s.yy, s.zz, s.xy, s.xz, s.yz]


# ---- random edits, the same in both

def item_at(tree, route):
    for i in route:
        tree = tree.children[i]
    return tree


def routes(tree, here=()):
    for i, child in enumerate(tree.children):
        yield here + (i,)
        if isinstance(child, Group):
            yield from routes(child, here + (i,))


def frame_around(tree, route):
    turn, at = np.eye(3), np.zeros(3)
    for i in route[:-1]:
        tree = tree.children[i]
        turn, at = turn @ tree.turn, turn @ tree.at + at
    return turn, at


def random_edit(tree, ledger, random):
    """One edit; the tree is copied. Returns the two."""
    tree = copy.deepcopy(tree)
    every = list(routes(tree))
    route = every[random.integers(len(every))]
    item = item_at(tree, route)
    turn, at = frame_around(tree, route)
    pair = isinstance(item, Group) and item.normal is not None  # moved piece by piece, in a frame that stays
    kind = random.integers(6)
    if kind == 0:
        by = np.round(random.uniform(-0.1, 0.1, 3), 4)
        local = np.round(turn.T @ by, 12)
        if pair:
            for piece in item.children:
                piece.cg = piece.cg + np.round(item.turn.T @ local, 12)
        elif isinstance(item, Part):
            item.cg = item.cg + local
        else:
            item.at = item.at + local
        return tree, ledger.shift(route, by)
    if kind == 1:
        about, point = random_rotation(random), random.uniform(-1, 1, 3)
        if pair:
            turn, at = turn @ item.turn, turn @ item.at + at
        inner = turn.T @ about @ turn  # the same turn, seen from the surroundings
        shift = turn.T @ (about @ (at - point) + point - at)
        if pair or isinstance(item, Part):
            for piece in item.children if pair else [item]:
                piece.cg, piece.inertia = inner @ piece.cg + shift, inner @ piece.inertia @ inner.T
        else:
            item.turn, item.at = inner @ item.turn, inner @ item.at + shift
        return tree, ledger.turn(route, about, point)
    if kind == 2:
        item.not_aboard = not item.not_aboard
        return tree, ledger.set_aboard(route, not item.not_aboard)
    if kind == 3 and isinstance(item, Part):  # a new mass, with a new uncertainty or with the old one
        item.mass *= random.uniform(0.8, 1.2)
        item.mass_sd *= random.choice([1.0, 0.3])
        return tree, ledger.put(route, item)
    if kind == 4 and isinstance(item, Part):  # a new place, stated anew or not
        item.cg = random_place(random)
        if random.integers(2):
            item.stated = np.where(random.integers(2, size=3), item.stated, float(next(identities)))
        return tree, ledger.put(route, item)
    fresh = [random_part(random) for _ in range(int(random.integers(1, 5)))]
    tree.children = tree.children + fresh
    return tree, ledger.append((), fresh)
