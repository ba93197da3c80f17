"""What is left of a whole, and its uncertainties, against the uncertainties package: the package differentiates the textbook sums."""
import numpy as np
from uncertainties import ufloat

from support.ask import ask
from support.library import Checks

checks = Checks()
random = np.random.default_rng(4711)
AXES = "xyz"
ENTRIES = ["xx", "yy", "zz", "xy", "xz", "yz"]


def stated(value, sd):
    return float(value), float(sd * random.uniform(0.2, 1))


def tensor_of(entries):
    e = dict(zip(ENTRIES, entries))
    return [[e["xx"], e["xy"], e["xz"]], [e["xy"], e["yy"], e["yz"]], [e["xz"], e["yz"], e["zz"]]]


def moved(mass, place, tensor):
    """Tensor about the origin."""
    r2 = sum(c * c for c in place)
    return [[tensor[i][k] + mass * ((r2 if i == k else 0) - place[i] * place[k]) for k in range(3)] for i in range(3)]


def physical(mass):
    a, b, c = random.uniform(0.1, 0.5, 3)**2
    q, _ = np.linalg.qr(random.normal(size=(3, 3)))
    return q @ np.diag([b + c, a + c, a + b]) @ q.T * mass


cases, wanted = [], []
for n in range(60):
    part, rest = random.uniform(5, 60), random.uniform(20, 200)
    place, other = random.uniform(-1, 1, 3), random.uniform(-1, 1, 3)
    own, j = physical(part), physical(rest)
    mass = part + rest
    cg = (part * place + rest * other) / mass
    about_origin = lambda m, c, t: t + m * (c @ c * np.eye(3) - np.outer(c, c))
    whole = about_origin(part, place, own) + about_origin(rest, other, j) - mass * (cg @ cg * np.eye(3) - np.outer(cg, cg))
    ends = []
    for m, c, t in ((mass, cg, whole), (rest, other, j)):
        listed = [t[0, 0], t[1, 1], t[2, 2], t[0, 1], t[0, 2], t[1, 2]]
        ends.append({"mass": stated(m, 0.05), "cg": {k: stated(1000 * x, 1.5) for k, x in zip(AXES, c)},
                     "inertia": {k: stated(x, 0.05) for k, x in zip(ENTRIES, listed)}})
    case = {"whole": ends[0], "without": ends[1]}
    if n % 3 == 0:
        for end in ends:
            del end["inertia"]
        if n % 2 == 0:
            for end in ends:
                del end["cg"]["z"]
    cases.append(case)
    v = [{"mass": ufloat(*e["mass"]), "cg": [ufloat(*e["cg"][k]) / 1000 for k in AXES if k in e["cg"]],
          "inertia": [ufloat(*x) for x in e.get("inertia", {}).values()]} for e in ends]
    left = v[0]["mass"] - v[1]["mass"]
    centre = [(v[0]["mass"] * a - v[1]["mass"] * b) / left for a, b in zip(v[0]["cg"], v[1]["cg"])]
    want = {"mass": left, "cg": dict(zip(AXES, [1000 * c for c in centre]))}
    if v[0]["inertia"]:
        a = moved(v[0]["mass"], v[0]["cg"], tensor_of(v[0]["inertia"]))
        b = moved(v[1]["mass"], v[1]["cg"], tensor_of(v[1]["inertia"]))
        r2 = sum(c * c for c in centre)
        t = [[a[i][k] - b[i][k] - left * ((r2 if i == k else 0) - centre[i] * centre[k]) for k in range(3)] for i in range(3)]
        want["inertia"] = dict(zip(ENTRIES, [t[0][0], t[1][1], t[2][2], t[0][1], t[0][2], t[1][2]]))
    wanted.append(want)

for r, want in zip(ask("sy.subtract", cases), wanted):
    checks.near("mass", abs(r["mass"] - want["mass"].nominal_value), 1e-11)  # a difference of some 200 kg
    checks.near("mass uncertainty", abs(r["sd"]["mass"] / want["mass"].std_dev - 1), 1e-12)
    for k, w in want["cg"].items():
        checks.near("cg", abs(r["cg"][k] - w.nominal_value), 1e-10)  # mm: of some 1000 times a blow-up of up to 40, 2e-16
        checks.near("cg uncertainty", abs(r["sd"]["cg"][k] / w.std_dev - 1), 1e-12)
    checks.near("the same coordinates", 0 if set(r["cg"]) == set(want["cg"]) else 1, 0.5)
    for k, w in want.get("inertia", {}).items():
        checks.near("inertia", abs(r["inertia"][k] - w.nominal_value), 1e-11)
        # the package sums about the origin, where its own terms of 1e3 cancel
        checks.near("inertia uncertainty", abs(r["sd"]["inertia"][k] / w.std_dev - 1), 1e-11)
checks.finish()
