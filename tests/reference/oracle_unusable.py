"""What a pick-up leaves in its tank against counted points, for random files: axes of either hand, tanks turned in turned groups, foam,
steady braking and bends.

The oracle spreads points evenly by volume through the tank, turns them as the file's words say (SciPy's rotations) and counts those
that lie lower than the pick-up against gravity and inertia. A net of 110 points each way along a tank finds a plane's cut to some
1e-4 of the whole, a few times that where the cut runs along it; the library's own integrals are checked far closer in oracle_tank.py.
"""

import numpy as np
from scipy.spatial.transform import Rotation

from support.ask import ask
from support.library import Checks

random = np.random.default_rng(77)
checks = Checks()
N = 110
UNIT = np.stack(np.meshgrid(*[(np.arange(N) + 0.5) / N] * 3, indexing="ij")).reshape(3, -1)
WAYS = {"forward": [1, 0, 0], "back": [-1, 0, 0], "left": [0, 1, 0], "right": [0, -1, 0], "up": [0, 0, 1], "down": [0, 0, -1]}

CALL = """(function(a)
  local axes = {x = a.x, y = a.y, z = a.z}
  local fore = (a.x == "back" or a.y == "back" or a.z == "back") and 1 or -1
  local shape = sy[a.kind](a.shape)
  local tank = sy.tank "fuel" {at = {11, -7, 5}, shape = shape, density = 0.7, fill = 0, turned = a.turned, pick_up = a.pick_up,
    capacity = a.capacity}
  local car = sy.car{title = "oracle", axes = axes, parts = {sy.part "rest" {mass = 500, at = {0, 0, 0}},
    sy.group "cell" {at = {200, 100, 300}, turned = a.group, tank}},
    axles = {{name = "front", at = 0, track = 1400, loaded_radius = 300},
             {name = "rear", at = 2400 * fore, track = 1400, loaded_radius = 300}}}
  local r = car:tank("fuel", {[a.along] = a.forward, [a.across] = a.left})
  return {level = r.unusable, under = r.under[1].unusable, capacity = r.capacity}
end)"""


def points(kind, size):
    """Spread evenly by volume; forward, left, up from the middle."""
    a, b, c = UNIT
    if kind == "box":
        return (UNIT - 0.5) * np.array(size)[:, None]
    if kind == "cylinder":  # along the first axis
        r = np.sqrt(a) * size[0] / 2
        return np.array([(c - 0.5) * size[1], r * np.cos(2 * np.pi * b), r * np.sin(2 * np.pi * b)])
    r, z = np.cbrt(a), 2 * b - 1
    across = np.sqrt(1 - z * z)
    p = r * np.array([across * np.cos(2 * np.pi * c), across * np.sin(2 * np.pi * c), z])
    return p * np.array(size)[:, None] / 2


def turn(words):
    """Roll first, then pitch, then yaw; about the axes of the group."""
    return Rotation.from_euler("xyz", [words["left_up"], -words["nose_up"], words["nose_left"]], degrees=True).as_matrix()


def axes():
    """The file's x, y, z as words, of either hand, and as columns."""
    names = [random.choice(["forward", "back"]), random.choice(["left", "right"]), random.choice(["up", "down"])]
    random.shuffle(names)
    return [str(n) for n in names], np.array([WAYS[n] for n in names]).T


def case():
    names, to_vehicle = axes()
    kind = str(random.choice(["box", "cylinder", "ellipsoid"]))
    size = random.uniform(120, 800, 3)
    given = dict(zip(["length", "width", "height"], map(float, size)))
    shape = points(kind, size)
    if kind == "cylinder":
        axis = int(random.integers(3))  # in the file
        given = {"diameter": float(size[0]), "length": float(size[1]), "axis": "xyz"[axis]}
        own = int(np.flatnonzero(to_vehicle[:, axis])[0])
        shape = np.roll(shape, own, axis=0)  # the body is the same from either end
    at = shape[:, random.integers(shape.shape[1])] * 0.97
    words = [{w: float(random.uniform(-40, 40)) for w in ("left_up", "nose_up", "nose_left")} for _ in range(2)]
    forward, left = random.uniform(-1.5, 1.5, 2)
    full = {"box": 1, "cylinder": np.pi / 4 * size[0] ** 2 * size[1] / np.prod(size), "ellipsoid": np.pi / 6}[kind] * np.prod(size) / 1e6
    argument = dict(zip("xyz", names), kind=kind, shape=given, turned=words[0], group=words[1], capacity=float(full * random.uniform(0.8, 1)),
                    pick_up=[float(v) for v in to_vehicle.T @ at], along="braking" if forward > 0 else "drive", forward=abs(float(forward)),
                    across="right_turn" if left > 0 else "left_turn", left=abs(float(left)))
    lies = turn(words[1]) @ turn(words[0])
    against = {"level": np.array([0, 0, 1]), "under": np.array([-forward, -left, 1])}
    share = {key: np.mean(up @ lies @ shape <= up @ lies @ at) for key, up in against.items()}
    return argument, share


cases = [case() for _ in range(60)]
for (argument, share), got in zip(cases, ask(CALL, [a for a, _ in cases])):
    for key in share:
        checks.near(f"{key} below the pick-up", abs(got[key] / got["capacity"] - share[key]), 1e-3, argument["kind"])
checks.finish()
