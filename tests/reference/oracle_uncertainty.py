"""Standard uncertainties of random ledgers, and of changes between two of them, against the uncertainties package.

There every stated mass and place is one variable with a standard deviation, the answers are computed with those variables, and
the package differentiates and combines them (first order, correlations through shared variables). The library is given the
sensitivities of each answer on the ten sums, differentiated by the package as well, and does the rest its own way.
"""
import numpy as np
from uncertainties import ufloat

from support import ledger as lg
from support.library import Checks, Sym3, Vec3, load

lib = lg.declare(load())
checks = Checks()
random = np.random.default_rng(1008)
WHEELBASE = 2.45

# ---- the answers, from mass, first moments and second moments (xx yy zz xy xz yz); the same code for both sides


def centre(axis):
    return lambda q: q[1 + axis] / q[0]


def moment(i, j, k):
    """J_ii from the second moments along j and k."""
    return lambda q: q[4 + j] + q[4 + k] - (q[1 + j] * q[1 + j] + q[1 + k] * q[1 + k]) / q[0]


def product(i, j, index):
    return lambda q: -(q[index] - q[1 + i] * q[1 + j] / q[0])


ALL = range(lg.CARRIERS)
UNSPRUNG = range(1, lg.CARRIERS)
ANSWERS = {  # name: function, carriers, flat
    "mass": (lambda q: q[0], ALL, True),
    "cg x": (centre(0), ALL, True),
    "cg y": (centre(1), ALL, True),
    "cg z": (centre(2), ALL, True),
    "front load": (lambda q: q[0] + q[1] / WHEELBASE, ALL, True),
    "front share": (lambda q: 1 + q[1] / (q[0] * WHEELBASE), ALL, True),
    "inertia xx": (moment(0, 1, 2), ALL, False),
    "inertia yy": (moment(1, 0, 2), ALL, False),
    "inertia zz": (moment(2, 0, 1), ALL, False),
    "inertia xy": (product(0, 1, 7), ALL, False),
    "inertia xz": (product(0, 2, 8), ALL, False),
    "inertia yz": (product(1, 2, 9), ALL, False),
    "yaw index": (lambda q: moment(2, 0, 1)(q) / (-q[1] * (WHEELBASE + q[1] / q[0])), ALL, False),
    "sprung mass": (lambda q: q[0], [lg.BODY], True),
    "sprung x": (centre(0), [lg.BODY], True),
    "sprung z": (centre(2), [lg.BODY], True),
    "unsprung mass": (lambda q: q[0], UNSPRUNG, True),
    "unsprung y": (centre(1), UNSPRUNG, True),
    "front axle unsprung mass": (lambda q: q[0], [lg.AXLE, lg.WHEEL], True),
}

# ---- by the package


class Statements:
    """One variable for each statement; equal statements of one item, or of the two sides of a pair, are one."""

    def __init__(self):
        self.known = {}

    def variable(self, key, nominal, sd):
        if key not in self.known:
            self.known[key] = ufloat(nominal, sd)
        return self.known[key]

    def mass(self, owner, part):
        return self.variable((owner, "mass", part.mass, part.mass_sd), part.mass, part.mass_sd)

    def place_error(self, owner, part):
        return [self.variable((owner, "place", k, part.stated[k], part.cg_sd[k]), 0.0, part.cg_sd[k]) for k in range(3)]


def fraction(part, carriers):
    carried = dict(part.unsprung)
    carried[lg.BODY] = 1.0 - sum(carried.values())
    return sum(f for carrier, f in carried.items() if carrier in carriers)


def sums_of(tree, statements, carriers):
    q = [0.0] * 10
    for part, pair, turn, at in lg.leaves(tree):
        share = fraction(part, carriers)
        if share == 0:
            continue
        owner = (pair or part).id
        mass = statements.mass(owner, part)
        error = statements.place_error(owner, part)
        if part.mirrored:
            mirror = lg.reflection(pair.normal)
            error = [sum(mirror[i, k] * error[k] for k in range(3)) for i in range(3)]
        inside = [part.cg[k] + error[k] for k in range(3)]
        r = [sum(turn[i, k] * inside[k] for k in range(3)) + at[i] for i in range(3)]
        own = turn @ part.inertia @ turn.T
        own = np.trace(own) / 2 * np.eye(3) - own  # second moments from the tensor
        grows = mass / part.mass if part.solid else 1.0
        n = share * part.count
        terms = [mass] + [mass * r[i] for i in range(3)]
        for i, j in ((0, 0), (1, 1), (2, 2), (0, 1), (0, 2), (1, 2)):
            terms.append(mass * (r[i] * r[j]) + own[i, j] * grows)
        for k in range(10):
            q[k] = q[k] + n * terms[k]
    return q


def answers_of(tree, statements):
    """name: value as the package sees it; answers that rest on no mass are left out."""
    by_carriers, out = {}, {}
    for name, (function, carriers, _) in ANSWERS.items():
        key = tuple(carriers)
        if key not in by_carriers:
            by_carriers[key] = sums_of(tree, statements, carriers)
        q = by_carriers[key]
        if q[0] != 0.0 or name.endswith("mass"):
            out[name] = function(q) + ufloat(0, 0)
    return out


# ---- by the library


def sensitivity(ledger, name):
    function, carriers, flat = ANSWERS[name]
    totals = ledger.totals()
    rows = [lg.ten(totals.carried[c]) for c in carriers if totals.carriers >> c & 1]
    q = [ufloat(sum(column), 1) for column in zip(*rows)] if rows else [ufloat(0, 1)] * 10
    derivatives = (function(q) + ufloat(0, 0)).derivatives
    d = [derivatives.get(v, 0.0) for v in q]
    mask = lg.ALL_CARRIERS if carriers is ALL else sum(1 << c for c in carriers)
    second = Sym3(*d[4:7], *(x / 2 for x in d[7:]))  # off-diagonal entries count twice
    return lg.CSensitivity(d[0], Vec3(*d[1:4]), second, mask, flat)


# 1e-9 of the standard uncertainty itself. Variances are sums of squares, good to some 1e-15 of their largest term; an answer may
# cancel most of it (a cg rests on x_i - x, the root's covariance on x_i), and up to 1e-6 of it may remain. Below a thousandth of
# what the whole is uncertain by, the miss is held against that thousandth: turned places are kept to 1e-12 m, so what cancels
# leaves 1e-12 of the whole.
TOLERANCE = 1e-9
FLOOR = 1e-3


def compare(kind, name, variance, wanted, whole):
    got = np.sqrt(variance)
    miss = 0.0 if got == wanted else abs(got - wanted) / max(wanted, FLOOR * whole)  # both may be nothing
    checks.near(f"{kind}: {name}", miss, TOLERANCE, (got, wanted))


def whole_of(name, mass):
    """What the whole is uncertain by, in the unit of the answer: metres or kilograms."""
    size = 1.0 if name.endswith((" x", " y", " z", "share", "index")) else mass.nominal_value
    return size * mass.std_dev / mass.nominal_value


def compare_one(tree, ledger):
    answers = answers_of(tree, Statements())
    names = list(answers)
    if "cg x" not in names:
        return
    variances = ledger.variances([sensitivity(ledger, n) for n in names])
    for name, variance in zip(names, variances):
        compare("one car", name, variance, answers[name].std_dev, whole_of(name, answers["mass"]))


def compare_two(tree_from, ledger_from, tree_to, ledger_to):
    statements = Statements()
    before, after = answers_of(tree_from, statements), answers_of(tree_to, statements)
    names = [n for n in before if n in after]
    if "cg x" not in names:
        return
    variances = ledger_from.change_variances(ledger_to, [sensitivity(ledger_from, n) for n in names], [sensitivity(ledger_to, n) for n in names])
    for name, variance in zip(names, variances):
        whole = max(before[name].std_dev, after[name].std_dev, whole_of(name, after["mass"]))
        compare("change", name, variance, (after[name] - before[name]).std_dev, whole)


for n in range(40):
    tree = lg.random_group(random, int(random.integers(2, 30)), 3)
    ledger = lg.Ledger(lib, tree)
    compare_one(tree, ledger)
    start = tree, ledger
    for _ in range(int(random.integers(1, 6))):
        before = tree, ledger
        tree, ledger = lg.random_edit(tree, ledger, random)
    compare_one(tree, ledger)
    compare_two(*before, tree, ledger)
    compare_two(*start, tree, ledger)
    compare_two(tree, ledger, *start)

checks.finish()
