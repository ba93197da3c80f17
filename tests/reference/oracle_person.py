"""Somebody seated against NumPy: the published table of segments, each turned by a rotation and shifted by Steiner's rule about the origin.

P. de Leva, Adjustments to Zatsiorsky-Seluyanov's segment inertia parameters, J. Biomechanics 29(9):1223-1230, 1996 (body_segments.csv).
Lengths: the same, from memory. The figure is drawn here by walking along it with a heading, as a turtle does."""
import csv
import pathlib

import numpy as np

from support.ask import ask
from support.library import Checks

checks = Checks()
random = np.random.default_rng(90125)
with open(pathlib.Path(__file__).with_name("body_segments.csv")) as f:
    rows = list(csv.DictReader(line.lstrip("# ") if line.startswith("set,") else line for line in f if not line.startswith("#")))
LENGTH = {"deleva_men": (1741, dict(head=242.9, trunk=515.5, neck=87.8, upper_arm=281.7, forearm=268.9, hand=187.9, thigh=422.2, shank=440.3,
                                    foot=258.1)),
          "deleva_women": (1735, dict(head=243.7, trunk=497.9, neck=116.9, upper_arm=275.1, forearm=264.3, hand=170.1, thigh=368.5,
                                      shank=438.6, foot=228.3))}


def turn_about_left(degrees):
    """Nose up: x forward turns towards z up."""
    c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    return np.array([[c, 0, -s], [0, 1, 0], [s, 0, c]])


def figure(case):
    people = "deleva_women" if case["women"] else "deleva_men"
    stature, lengths = LENGTH[people]
    table = {r["segment"].replace(" ", "_"): r for r in rows if r["set"] == people}
    scale = case["stature"] / stature / 1000
    total = sum((1 if n in ("head", "trunk") else 2) * float(r["mass_fraction"]) for n, r in table.items())
    pieces = []

    def put(name, start, heading, y=0.0):
        """Adds a segment that begins at `start`; gives its end."""
        r, length = table[name], lengths[name] * scale
        way = turn_about_left(heading)
        m = case["mass"] * float(r["mass_fraction"]) / total
        k = [float(r[f"rg_{a}"]) * length for a in ("longitudinal", "transverse", "sagittal")]
        own = way @ np.diag(m * np.square(k)) @ way.T
        pieces.append((name, m, start + way @ [float(r["cm_from_first_endpoint"]) * length, 0, 0] + [0, y, 0], own))
        return start + way @ [length, 0, 0]

    spine = 90 + case["torso"]
    shoulders = turn_about_left(spine) @ [lengths["trunk"] * scale, 0, 0]
    neck = turn_about_left(spine) @ [(lengths["trunk"] + lengths["neck"]) * scale, 0, 0]
    put("trunk", shoulders, spine - 180)
    crown = neck + turn_about_left(90 + case["head"]) @ [lengths["head"] * scale, 0, 0]
    put("head", crown, case["head"] - 90)
    for side in (1, -1):
        y = side * 0.129 * case["stature"] / 1000
        heading = spine - 180 + case["shoulder"]
        at = put("upper_arm", shoulders, heading, y)
        heading += 180 - case["elbow"]
        put("hand", put("forearm", at, heading, y), heading, y)
        y = side * 0.0955 * case["stature"] / 1000
        heading = case["thigh"]
        knee = put("thigh", np.zeros(3), heading, y)
        heading -= 180 - case["knee"]
        ankle = put("shank", knee, heading, y)
        heel = ankle + turn_about_left(heading) @ [0.039 * case["stature"] / 1000, 0, 0]
        put("foot", heel, heading + 180 - case["ankle"], y)
    mass = sum(m for _, m, _, _ in pieces)
    cg = sum(m * c for _, m, c, _ in pieces) / mass
    about = sum(j + m * (c @ c * np.eye(3) - np.outer(c, c)) for _, m, c, j in pieces) - mass * (cg @ cg * np.eye(3) - np.outer(cg, cg))
    legs = [(n, m, c[0]) for n, m, c, _ in pieces if n in ("thigh", "shank", "foot")]
    most = sum(m * x for _, m, x in legs) / heel[0]
    least = sum(m * (x - knee[0]) for n, m, x in legs if n != "thigh") / (heel[0] - knee[0])
    return dict(mass=mass, cg=cg * 1000, inertia=[about[0, 0], about[1, 1], about[2, 2], about[0, 1], about[0, 2], about[1, 2]],
                heels=heel * 1000, most=most if heel[0] > 0 else None, least=least if heel[0] > knee[0] else None,
                lower=sum(m for n, m, _ in legs if n != "thigh"))


cases = []
for n in range(200):
    r = lambda a, b: float(random.uniform(a, b))
    cases.append({"women": n % 2 == 1, "mass": r(40, 130), "stature": r(1400, 2000), "torso": r(-20, 80), "thigh": r(-30, 60),
                  "knee": r(60, 178), "ankle": r(60, 130), "shoulder": r(-20, 110), "elbow": r(60, 178), "head": r(-20, 60)})
for case, got in zip(cases, ask('require("steelyard.core").person', cases)):
    want = figure(case)
    for i in range(3):
        checks.near("cg, mm", abs(got["cg"][i] - want["cg"][i]), 1e-10)  # roundings of a metre
        checks.near("heels, mm", abs(got["heels"][i] - want["heels"][i]), 1e-10)
    for a, b in zip(got["inertia"], want["inertia"]):
        checks.near("inertia", abs(a - b), 1e-12 * want["inertia"][1])
    checks.near("lower legs, kg", abs(got["lower_legs"] - want["lower"]), 1e-13)
    for key in ("least", "most"):
        checks.near("the same loads are known", 0 if (f"heels_{key}" in got) == (want[key] is not None) else 1, 0.5)
        if want[key] is not None:  # a lever as short as it comes here loses three digits
            checks.near("on the heels", abs(got[f"heels_{key}"] - want[key]), 1e-11 * max(1, abs(want[key])))
checks.finish()
