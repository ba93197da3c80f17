"""A part on scales against SciPy: the same total least squares, with forces from NumPy's linear solver and derivatives by differences.

Rotations are SciPy's too, so signs of the words for tilt are checked from outside.
"""
import numpy as np
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

from support.ask import ask
from support.library import Checks

checks = Checks()
random = np.random.default_rng(77)
WORDS = {"nose_up": ("y", -1), "nose_down": ("y", 1), "left_up": ("x", 1), "right_up": ("x", -1)}


def turn_of(angles):
    """First roll, then pitch, degrees by word."""
    roll = sum(WORDS[w][1] * a for w, a in angles.items() if WORDS[w][0] == "x")
    pitch = sum(WORDS[w][1] * a for w, a in angles.items() if WORDS[w][0] == "y")
    return Rotation.from_euler("xy", [roll, pitch], degrees=True).as_matrix()


def forces(mass, cg, turn, places, free):
    ground = places @ turn.T
    c = turn @ cg
    a = np.vstack([np.ones(len(places)), ground[:, 0], ground[:, 1]])
    right = mass * np.array([1, c[0], c[1]]) - a[:, 3:] @ free
    return np.concatenate([np.linalg.solve(a[:, :3], right), free])


cases, wanted = [], []
for n in range(46):  # from 30 on one support of the second pose is not read, from 38 on two
    legs = 3 + n % 2
    places = np.array([[200.0, 300, 20], [180, -310, -10], [-420, 40, 70], [-300, -250, 30]])[:legs] + random.normal(size=(legs, 3)) * 30
    mass, cg = random.uniform(30, 200), np.array([-100.0, 20, 150]) + random.normal(size=3) * 40
    poses = [{}, {"nose_up": random.uniform(10, 25)}, {"left_up": random.uniform(8, 20), "nose_down": random.uniform(3, 9)}]
    poses = poses[:2 + n % 2]
    sd_reading, sd_place, sd_tilt = 0.05, 1.0, 0.1
    readings = [forces(mass, cg, turn_of(p), places, np.full(legs - 3, mass / 5)) + random.normal(size=legs) * sd_reading for p in poses]
    measured = places + random.normal(size=places.shape) * sd_place
    names = "ABCD"[:legs]
    read = np.ones((len(poses), legs), dtype=bool)
    read[1, [(n + k) % legs for k in range(0 if n < 30 else 1 if n < 38 else 2)]] = False
    cases.append({"supports": {k: list(map(float, p)) for k, p in zip(names, measured)}, "sd": {"reading": sd_reading, "place": sd_place,
                  "tilt": sd_tilt}, "poses": [{"readings": {k: float(f) for k, f, y in zip(names, r, seen) if y},
                                               **{w: float(a) for w, a in p.items()}} for p, r, seen in zip(poses, readings, read)]})

    def residuals(x):
        m, c = x[0], x[1:4]
        at = x[4:4 + 3 * legs].reshape(legs, 3)
        rest = x[4 + 3 * legs:]
        angles, free = rest[:2 * len(poses)].reshape(-1, 2), rest[2 * len(poses):].reshape(len(poses), legs - 3)
        out = [(at - measured).ravel() / sd_place]
        for p, (roll, pitch), f, r, seen in zip(poses, angles, free, readings, read):
            shifted = turn_of({"left_up": roll, "nose_down": pitch})
            stated = Rotation.from_matrix(turn_of(p)).as_euler("xy" + "z", degrees=True)
            out.append((np.array([roll, pitch]) - stated[:2]) / sd_tilt)
            out.append(((forces(m, c, shifted, at, f) - r) / sd_reading)[seen])
        return np.concatenate(out)

    angles = [Rotation.from_matrix(turn_of(p)).as_euler("xyz", degrees=True)[:2] for p in poses]
    start = np.concatenate([[mass], cg, measured.ravel(), np.ravel(angles), np.ravel([r[3:] for r in readings])])
    fit = least_squares(residuals, start, jac="3-point", x_scale=np.maximum(np.abs(start), 1), xtol=1e-14, ftol=1e-14, gtol=1e-14)
    cov = np.linalg.inv(fit.jac.T @ fit.jac)
    wanted.append((fit.x[:4], np.sqrt(np.diag(cov))[:4], 2 * fit.cost, "" if n < 30 else ", not all read"))

for r, (x, sd, chi2, which) in zip(ask("sy.part_cg", cases), wanted):
    got, u = [r["mass"]] + [r["cg"][k] for k in "xyz"], [r["sd"]["mass"]] + [r["sd"]["cg"][k] for k in "xyz"]
    # SciPy's minimum is flat to the root of its tolerance: 1e-7 of a standard uncertainty; its differences are good to 1e-7 as well
    checks.near("estimate" + which, max(abs(a - b) / s for a, b, s in zip(got, x, sd)), 1e-6)
    checks.near("uncertainty" + which, max(abs(a / b - 1) for a, b in zip(u, sd)), 1e-7)
    checks.near("chi-square" + which, abs(r["chi2"] - chi2), 1e-9)
checks.finish()
