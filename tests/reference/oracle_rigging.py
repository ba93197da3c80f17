"""Places in the picture of something on a hoist, worked out from vehicle files written here: the CG by sums over the parts, the hook by SciPy
(a load at rest on tight legs has its CG as low as they let it), the turn that brings the hook over the CG by SciPy's align_vectors; then
compared with the marks of the SVG, in mm of paper, to the hundredth that they are written to.

Source of the principle: a body at rest under gravity has the least potential energy that its ties allow (Lagrange and Dirichlet; any textbook of
statics, such as Meriam, Kraige & Bolton, Engineering Mechanics: Statics, 7/4)."""
import os
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ElementTree

import numpy as np
from scipy.optimize import minimize_scalar
from scipy.spatial.transform import Rotation

from support.library import Checks

checks = Checks()
random = np.random.default_rng(741)
SVG = "{http://www.w3.org/2000/svg}"
PAPER = 0.0101  # a coordinate is written to 0.01 mm; a difference of two


def circles(path):
    """(x, y, r, stroke width) of every circle, and the scale."""
    root, found = ElementTree.parse(path).getroot(), []

    def walk(node, width):
        width = node.get("stroke-width", width)
        if node.tag == SVG + "circle":
            found.append((float(node.get("cx")), float(node.get("cy")), float(node.get("r")), width))
        for child in node:
            walk(child, width)

    walk(root, None)
    texts = [t.text or "" for t in root.iter(SVG + "text")]
    return found, float(next(re.search(r"1:(\d+)", t).group(1) for t in texts if re.search(r"mm, 1:\d+", t)))


def vehicle(axes, zero, masses, places):
    """A vehicle file: places {forward, left, up} from the front axle on the ground, written in the axes of the file."""
    signs = {"forward": (0, 1), "back": (0, -1), "left": (1, 1), "right": (1, -1), "up": (2, 1)}

    def written(p):
        return ", ".join(f"{signs[a][1] * p[signs[a][0]] + z:.3f}" for a, z in zip(axes, zero))

    at = [signs[axes[0]][1] * x + zero[0] for x in (0, -2400)]
    parts = "\n".join(f'    part "p{i}" {{ mass = {m:.3f}, at = {{{written(p)}}}, shape = box {{300, 200, 250}} }},'
                      for i, (m, p) in enumerate(zip(masses, places)))
    return f"""vehicle {{ title = "Oracle",
  axes = {{ x = "{axes[0]}", y = "{axes[1]}", z = "{axes[2]}" }}, ground = {zero[2]:.3f}, centre = {zero[1]:.3f},
  axles = {{ {{ name = "front", at = {at[0]:.3f}, track = 1450, loaded_radius = 288 }},
            {{ name = "rear", at = {at[1]:.3f}, track = 1460, loaded_radius = 301 }} }},
  parts = {{ group "slung" {{
{parts}
  }}, part "rest" {{ mass = 300, at = {{{written((-1000, 0, 350))}}} }} }} }}
""", written


def hook_of(eyes, lengths, cg):
    """Where two tight legs let the hook be farthest from the CG: on the circle about the line of the eyes."""
    a, b = eyes
    along = (b - a) / np.linalg.norm(b - a)
    d = np.linalg.norm(b - a)
    t = (lengths[0] ** 2 - lengths[1] ** 2 + d * d) / (2 * d)
    middle, radius = a + t * along, np.sqrt(lengths[0] ** 2 - t * t)
    e1 = np.cross(along, [0, 1, 0])
    e1 /= np.linalg.norm(e1)
    e2 = np.cross(along, e1)
    at = [middle + radius * (np.cos(x) * e1 + np.sin(x) * e2) for x in np.linspace(0, 2 * np.pi, 721)]
    first = np.argmax([np.linalg.norm(p - cg) for p in at]) * np.pi / 360

    def nearness(x):
        return -np.linalg.norm(middle + radius * (np.cos(x) * e1 + np.sin(x) * e2) - cg)

    x = minimize_scalar(nearness, bracket=(first - 0.01, first, first + 0.01), tol=1e-12).x
    return middle + radius * (np.cos(x) * e1 + np.sin(x) * e2)


for axes, zero in ((("back", "right", "up"), (0, 0, 0)), (("forward", "left", "up"), (55, -20, 140)), (("back", "right", "up"), (430, 12, -90))):
    for case in range(4):
        n = int(random.integers(2, 5))
        masses = np.round(random.uniform(10, 90, n), 1)
        places = np.round(np.stack([random.uniform(-2100, -1500, n), random.uniform(-150, 150, n), random.uniform(250, 450, n)], 1))
        cg = masses @ places / masses.sum()
        eyes = np.round(np.array([cg + [random.uniform(100, 220), random.uniform(-60, 60), random.uniform(150, 260)],
                                  cg + [random.uniform(-220, -100), random.uniform(-60, 60), random.uniform(150, 260)]]))
        lengths = np.round(random.uniform(350, 480, 2))
        hook = hook_of(eyes, lengths, cg)
        up = hook - cg
        # the least turn: about a x z, by the angle between them
        axis = np.cross(up / np.linalg.norm(up), [0, 0, 1])
        angle = np.arctan2(np.linalg.norm(axis), up[2] / np.linalg.norm(up))
        turn = Rotation.from_rotvec(axis / max(np.linalg.norm(axis), 1e-12) * angle)
        text, written = vehicle(axes, zero, masses, places)
        with tempfile.TemporaryDirectory() as folder:
            car, drawn = os.path.join(folder, "car.lua"), os.path.join(folder, "rig.svg")
            with open(car, "w", encoding="utf-8") as file:
                file.write(text)
            subprocess.run([sys.argv[1], "hoist_engine", car, *(written(p).replace(" ", "") for p in eyes), "--what", "slung", "--legs",
                            ",".join(f"{x:.0f}" for x in lengths), "--plot", drawn, "--quiet"], check=False, stdout=subprocess.DEVNULL)
            found, scale = circles(drawn)
        hooks = [c for c in found if c[2] == 1.2]
        ends = [c for c in found if c[2] == 0.9]
        cgs = [c for c in found if c[2] == 2.7]
        assert (len(hooks), len(ends), len(cgs)) == (2, 4, 2), (hooks, ends, cgs)
        for view, across in ((0, 0), (1, 1)):
            h, c = hooks[view], cgs[view]
            checks.near("hook over the CG", abs(h[0] - c[0]), PAPER)
            checks.near("height of the hook over the CG", abs((c[1] - h[1]) - np.linalg.norm(up) / scale), PAPER)
            for i, eye in enumerate(eyes):
                p = turn.apply(eye - cg)
                e = ends[2 * view + i]
                checks.near("ends of legs across the paper", abs((e[0] - c[0]) + p[across] / scale), PAPER)
                checks.near("ends of legs in height", abs((c[1] - e[1]) - p[2] / scale), PAPER)

checks.finish()
