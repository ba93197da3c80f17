"""Coordinates of side views, plans and front views, worked out from the vehicle files: boxes turned by NumPy, their outlines by SciPy's convex
hull, CG by a sum over the parts; then compared with the marks that stand in the SVG files, on paper, to the hundredth of a millimetre that
they are written to. The files are read as XML, so they are well-formed too."""
import os
import re
import subprocess
import sys
import tempfile

import numpy as np
from scipy.spatial import ConvexHull

from support.library import Checks
from support.picture import Marks

checks = Checks()
random = np.random.default_rng(128)
# a coordinate is written to 0.01 mm; with both ends of a difference that is 0.01
PAPER = 0.0101
INK, PALE = "#1b1c20", "#a9adb4"


# ---- a picture ----------------------------------------------------------------------------------------------------------------

class Picture(Marks):
    """The marks of a drawing of a vehicle file."""

    def __init__(self, vehicle, *options, command="draw", to="--to"):
        with tempfile.TemporaryDirectory() as folder:
            path = os.path.join(folder, "picture.svg")
            subprocess.run([sys.argv[1], command, vehicle, *options, to, path], check=True, stdout=subprocess.DEVNULL,
                           stderr=subprocess.DEVNULL)
            super().__init__(path)

    def wheels(self):
        return sorted((x, y, r) for look, x, y, r in self.circles if look.get("stroke-width") == "0.5")

    def ground(self):
        """The y of the ground: the first of the thickest lines; the beam is below it."""
        return min(p[0, 1] for look, p, _ in self.paths if look.get("stroke-width") == "0.7")

    def cg(self):
        """The middle of the quartered circle, by its one ink fill that begins there."""
        return next((p[0, 0], p[0, 1]) for look, p, closed in self.paths
                    if look.get("fill") == INK and closed and "stroke" not in look and len(p) == 10)

    def outlines(self):
        return [p for look, p, _ in self.paths if look.get("stroke") == PALE and look.get("stroke-width") == "0.25"]


def miss_of(outlines, want):
    """How far off paper, mm, the corners of the nearest polygon with as many corners are; infinite without one."""
    return min((max(np.abs(points - w).max(axis=1).min() for w in want) for points in outlines if len(points) == len(want)),
               default=float("inf"))


def near(name, got, want, tolerance, what=""):
    checks.near(name, abs(got - want), tolerance, what)


def holds(name, fact):
    checks.near(name, 0.0 if fact else 1.0, 0.5)


# ---- random cars --------------------------------------------------------------------------------------------------------------

WAYS = {"forward": (0, 1), "back": (0, -1), "left": (1, 1), "right": (1, -1), "up": (2, 1), "down": (2, -1)}


def turned(nose_up, left_up, nose_left):
    """Roll first: left side up, nose up, nose to the left; degrees."""
    r, p, w = np.radians([left_up, -nose_up, nose_left])
    c, s = np.cos, np.sin
    x = np.array([[1, 0, 0], [0, c(r), -s(r)], [0, s(r), c(r)]])
    y = np.array([[c(p), 0, s(p)], [0, 1, 0], [-s(p), 0, c(p)]])
    z = np.array([[c(w), -s(w), 0], [s(w), c(w), 0], [0, 0, 1]])
    return z @ y @ x


def random_car():
    """Axes, zeros and boxes at random; gives the file's text, the boxes' corners and the CG along forward, left and up from the front axle."""
    axes = [random.choice(pair) for pair in random.permutation([["forward", "back"], ["left", "right"], ["up", "down"]])]
    zero = random.integers(-300, 300, 3).astype(float)  # of forward, left, up, in the file

    def to_file(p):
        return [WAYS[word][1] * p[WAYS[word][0]] + zero[WAYS[word][0]] for word in axes]

    base, radii = float(random.integers(2100, 2700)), random.integers(260, 320, 2).astype(float)
    lengthwise = next(word for word in axes if WAYS[word][0] == 0)
    at = [zero[0], zero[0] - WAYS[lengthwise][1] * base]
    parts, corners, mass, moment = [], [], 0.0, np.zeros(3)
    for i in range(int(random.integers(4, 9))):
        place = np.array([random.uniform(-base - 300, 400), random.uniform(-500, 500), random.uniform(450, 700)])
        size, kg = random.uniform(120, 700, 3), float(random.integers(20, 200))
        turn = random.integers(-30, 30, 3)
        words = f"nose_up = {turn[0]}, left_up = {turn[1]}, nose_left = {turn[2]}"
        x, y, z = to_file(place)
        parts.append(f'part "p{i}" {{ mass = {kg!r}, at = {{{x!r}, {y!r}, {z!r}}}, turned = {{{words}}}, '
                     f"shape = box {{{size[0]!r}, {size[1]!r}, {size[2]!r}}} }}")
        local = np.array([[a, b, c] for a in (-0.5, 0.5) for b in (-0.5, 0.5) for c in (-0.5, 0.5)]) * size
        corners.append(local @ turned(*turn).T + place)
        mass, moment = mass + kg, moment + kg * place
    text = (f'vehicle {{ title = "random", axes = {{x = "{axes[0]}", y = "{axes[1]}", z = "{axes[2]}"}}, ground = {zero[2]!r}, '
            f"centre = {zero[1]!r}, axles = {{ {{name = \"front\", at = {at[0]!r}, track = 1400, loaded_radius = {radii[0]!r}}}, "
            f'{{name = "rear", at = {at[1]!r}, track = 1400, loaded_radius = {radii[1]!r}}} }}, parts = {{ {", ".join(parts)} }} }}')
    return text, corners, moment / mass, base, radii


# forward, left, up to the right and up in the picture
VIEWS = {"side": (np.array([-1, 0, 0]), np.array([0, 0, 1])), "plan": (np.array([-1, 0, 0]), np.array([0, -1, 0])),
         "front": (np.array([0, 1, 0]), np.array([0, 0, 1]))}


def hull(points):
    flat = ConvexHull(points)
    return points[flat.vertices]


outlines_seen = 0
for trial in range(12):
    text, boxes, cg, base, radii = random_car()
    with tempfile.NamedTemporaryFile("w", suffix=".lua") as file:
        file.write(text)
        file.flush()
        for view, (right, up) in VIEWS.items():
            picture = Picture(file.name, "--view", view)
            n = picture.scale
            cx, cy = picture.cg()
            # the CG as origin: then nothing but the scale is taken from the picture
            for corners in boxes:
                flat = hull(np.stack([(corners - cg) @ right, (corners - cg) @ up], axis=1))
                want = np.stack([cx + flat[:, 0] / n, cy - flat[:, 1] / n], axis=1)
                checks.near(f"{view} outlines", miss_of(picture.outlines(), want), PAPER, f"car {trial}")
                outlines_seen += 1
            if view == "side":
                (fx, fy, fr), (rx, ry, rr) = picture.wheels()
                ground = picture.ground()
                near("wheelbase", (rx - fx) * n, base, PAPER * n, f"car {trial}")
                near("front radius", fr * n, radii[0], PAPER * n, f"car {trial}")
                near("rear radius", rr * n, radii[1], PAPER * n, f"car {trial}")
                near("front axle height", (ground - fy) * n, radii[0], PAPER * n, f"car {trial}")
                near("CG behind", (cx - fx) * n, -cg[0], PAPER * n, f"car {trial}")
                near("CG height", (ground - cy) * n, cg[2], PAPER * n, f"car {trial}")
holds("outlines seen", outlines_seen > 150)


# ---- lifted ---------------------------------------------------------------------------------------------------------------------

# A random car on its rear wheels' blocks, turned about the front middle until the line of the middles has risen by the lift; loads as the
# lever rule gives them of the boxes' CG, so that the CG found is theirs.

def lifted(points, tilt, radius):
    """(behind, up) as it is turned about the front middle."""
    u, v = points[..., 0], points[..., 1] - radius
    c, s = np.cos(tilt), np.sin(tilt)
    return np.stack([u * c - v * s, radius + u * s + v * c], axis=-1)


SIDE = np.array([[-1, 0, 0], [0, 0, 1]])
for trial in range(6):
    text, boxes, cg, base, radii = random_car()
    mass = sum(float(kg) for kg in re.findall(r"mass = ([\d.]+)", text))
    lift, above = float(random.integers(300, 650)), radii[1] - radii[0]
    length = np.hypot(base, above)
    tilt = np.arcsin((lift + above) / length) - np.arcsin(above / length)
    with tempfile.TemporaryDirectory() as folder:
        vehicle, readings = os.path.join(folder, "car.lua"), os.path.join(folder, "lift.csv")
        with open(vehicle, "w", encoding="utf-8") as file:
            file.write(text)
        lines = ["lifted,rear", "sd.pad,0.1", "lift,front,rear"]
        for height in (0.0, lift / 2, lift):
            t = np.arcsin((height + above) / length) - np.arcsin(above / length)
            found = lifted(SIDE @ cg, t, radii[0])[0] / lifted(np.array([base, radii[1]]), t, radii[0])[0]
            lines.append(f"{height!r},{mass * (1 - found)!r},{mass * found if height == 0 else ''}")
        with open(readings, "w", encoding="utf-8") as file:
            file.write("\n".join(lines) + "\n")
        picture = Picture(vehicle, readings, command="cg_height", to="--plot")
    n, ground = picture.scale, picture.ground()
    (fx, fy, _), (rx, ry, rr) = picture.wheels()
    cx, cy = picture.cg()
    near("lift: front middle", (ground - fy) * n, radii[0], PAPER * n, f"car {trial}")
    near("lift: under the rear wheels", (ground - ry - rr) * n, lift, 2 * PAPER * n, f"car {trial}")
    near("lift: rear middle", (rx - fx) * n, lifted(np.array([base, radii[1]]), tilt, radii[0])[0], PAPER * n, f"car {trial}")
    turned_cg = lifted(SIDE @ cg, tilt, radii[0])
    near("lift: CG along", (cx - fx) * n, turned_cg[0], PAPER * n + 0.05, f"car {trial}")  # the fit comes back to 0.05 mm of it
    near("lift: CG height", (ground - cy) * n, turned_cg[1], PAPER * n + 0.05, f"car {trial}")
    for corners in boxes:
        flat = hull(lifted(corners @ SIDE.T, tilt, radii[0]))
        want = np.stack([fx + flat[:, 0] / n, ground - flat[:, 1] / n], axis=1)
        checks.near("lift: outlines", miss_of(picture.outlines(), want), 2 * PAPER, f"car {trial}")


# ---- the vehicles of the house ------------------------------------------------------------------------------------------------

def axles_of(text):
    found = r"at = (-?[\d.]+), +(?:track = [\d.]+|wheels = \"one\"), +loaded_radius = ([\d.]+)"
    return [(float(m.group(1)), float(m.group(2))) for m in re.finditer(found, text)]


def check_vehicle(name, forward, ground, boxes):
    """boxes: (x, z) middle and (length, height), as the file says them."""
    path = os.path.join(os.path.dirname(__file__), "..", "..", "vehicles", name + ".lua")
    with open(path, encoding="utf-8") as file:
        axles = axles_of(file.read())[:2]
    picture = Picture(path)
    n, level = picture.scale, picture.ground()
    wheels = picture.wheels()
    near(f"{name} wheelbase", (wheels[1][0] - wheels[0][0]) * n, abs(axles[1][0] - axles[0][0]), PAPER * n)
    for (_, radius), wheel in zip(axles, wheels):
        near(f"{name} radius", wheel[2] * n, radius, PAPER * n)
        near(f"{name} wheel height", (level - wheel[1]) * n, radius, PAPER * n)
    for (x, z), (length, height) in boxes:
        behind = (axles[0][0] - x) if forward else (x - axles[0][0])
        u = [wheels[0][0] + (behind + s * length / 2) / n for s in (-1, 1)]
        v = [level - (z - ground + s * height / 2) / n for s in (-1, 1)]
        want = np.array([[u[0], v[0]], [u[1], v[0]], [u[1], v[1]], [u[0], v[1]]])
        checks.near(f"{name} boxes", miss_of(picture.outlines(), want), PAPER, f"at {x}")


# part "floor", "dash beam" is round, "nose box", "battery", "radiator" of the two-seater; all not in a moved or turned group
check_vehicle("twayblade", False, 0, [((900, 158), (1500, 22)), ((-330, 300), (420, 280)), ((430, 250), (180, 165)), ((-520, 280), (50, 300)),
                                      ((520, 720), (300, 250))])
# chassis and body panels of the three-wheeler, and its engine in a group at (1530, 330)
check_vehicle("burnet", False, 0, [((1090, 300), (2400, 380)), ((880, 460), (2600, 450)), ((1530, 330), (430, 440))])
check_vehicle("first_guess", False, 0, [])
check_vehicle("bistort", True, -125, [])

# ---- names that XML and readers mind ---------------------------------------------------------------------------------------------

ODD = 'a < b & "c" \'d\''
with tempfile.NamedTemporaryFile("w", suffix=".lua", encoding="utf-8") as file:
    file.write('vehicle { title = "T & <t>", axes = {x = "back", y = "right", z = "up"}, axles = {{name = "front", at = 0, track = 1400, '
               'loaded_radius = 300}, {name = "rear", at = 2400, track = 1400, loaded_radius = 300}}, parts = { part '
               + "[[" + ODD + "]]" + " { mass = 300, at = {1200, 0, 300} }, part \"\u05de\u05e0\u05d5\u05e2\" { mass = 90, at = {300, 0, 300} } } }")
    file.flush()
    picture = Picture(file.name)
    holds("odd name", ODD in picture.texts)
    holds("title", "T & <t>" in picture.texts)
    holds("right to left", "\u2068\u05de\u05e0\u05d5\u05e2\u2069" in picture.texts)

checks.finish()
