"""Groups that count as they were weighed against the limit that they stand for: in NumPy, a gap of (m, m x, m y, m z) without a place, of
which nothing is known before (its prior variance grows from 1e2 to 1e10), and the weighing as an observation, solved by QR for all errors at
once. Values, uncertainties and changes of cars whose groups and parts were moved, turned and taken out since. Two conventions of axes."""
import numpy as np

from support.ask import rows
from support.library import Checks

checks = Checks()
random = np.random.default_rng(273)
FORWARD = {"back": (np.diag([-1.0, -1.0, 1.0]), 'x = "back", y = "right", z = "up"', [0.0, 2400.0], 0.0),
           "forward": (np.diag([1.0, 1.0, 1.0]), 'x = "forward", y = "left", z = "up"', [850.0, -1550.0], 850.0)}


def rotation(roll, pitch, yaw):
    """Roll first: left side up, nose down, nose to the left; degrees."""
    r, p, y = np.radians([roll, pitch, yaw])
    c, s = np.cos, np.sin
    return (np.array([[c(y), -s(y), 0], [s(y), c(y), 0], [0, 0, 1]]) @ np.array([[c(p), 0, s(p)], [0, 1, 0], [-s(p), 0, c(p)]])
            @ np.array([[1, 0, 0], [0, c(r), -s(r)], [0, s(r), c(r)]]))


def turned(angles):
    words = [f"{a if x > 0 else b} = {abs(x)!r}" for x, a, b in zip(angles, ("left_up", "nose_down", "nose_left"),
                                                                     ("right_up", "nose_up", "nose_right")) if x]
    return "{" + ", ".join(words) + "}"


def number(value, sd):
    return f"sy.sd({float(value)!r}, {float(sd)!r})" if sd > 0 else repr(float(value))


class Case:
    """Parts of a group in its own frame (m, kg), a rest, a weighing, and what is done to the car afterwards."""

    def __init__(self, convention, has_cg, has_inertia):
        self.axes, self.words, self.at_axles, self.front = FORWARD[convention]
        self.has_cg, self.has_inertia = has_cg, has_inertia
        count = int(random.integers(2, 6))
        self.mass = np.round(random.uniform(2, 90, count), 2)
        self.mass_sd = np.round(random.uniform(0, 2, count) * (random.random(count) < 0.8), 3)
        self.cg = np.round(random.uniform(-0.4, 0.4, (count, 3)), 4)
        self.cg_sd = np.round(random.uniform(0, 0.02, (count, 3)) * (random.random((count, 3)) < 0.8), 4)
        self.angles = [float(round(x, 1)) for x in random.uniform(-40, 40, 3)] if random.random() < 0.7 else [0.0, 0.0, 0.0]
        self.group_at = np.round(random.uniform([-1.9, -0.1, 0.2], [-1.3, 0.1, 0.5]), 3)
        if random.random() < 0.2:  # a group that measures as the file does
            self.angles, self.group_at = [0.0, 0.0, 0.0], np.zeros(3)
            self.cg += [-1.6, 0, 0.3]
        total = self.mass.sum()
        place = self.mass @ self.cg / total
        least = total - 0.5 * np.sqrt(np.sum(self.mass_sd ** 2))  # parts that weigh much more than the whole are refused
        self.whole = round(max(least, total + float(random.normal() * 2)), 2)
        self.whole_sd = float(random.choice([0.0, 0.05, 0.5]))
        self.place = np.round(place + random.normal(size=3) * 0.01, 4)
        self.place_sd = np.round(random.uniform(0, 0.01, 3), 4)
        self.j = np.round(total * random.uniform(0.03, 0.05, 3), 3)
        self.j_sd = np.round(random.uniform(0, 0.3, 3), 3)
        self.move_part = np.round(random.uniform(-0.1, 0.1, 3), 3)
        self.move_group = np.round(random.uniform(-0.1, 0.1, 3), 3)
        self.turn_group = float(round(random.uniform(-10, 10), 1))
        self.out = random.random() < 0.5 and count > 2

    # ---- as Lua ----

    def point(self, p, sd=(0, 0, 0)):
        p, sd = self.axes @ np.asarray(p) * 1e3, np.abs(self.axes @ np.asarray(sd)) * 1e3
        return "{" + ", ".join(number(round(v, 6), u) for v, u in zip(p, sd)) + "}"

    def car(self):
        parts = " ".join(f'sy.part "p{i}" {{mass = {number(m, u)}, at = {self.point(p, s)}}},'
                         for i, (m, u, p, s) in enumerate(zip(self.mass, self.mass_sd, self.cg, self.cg_sd)))
        whole = f"mass = {number(self.whole, self.whole_sd)}"
        if self.has_cg:
            whole += f", cg = {self.point(self.place, self.place_sd)}"
        if self.has_inertia:
            whole += ", inertia = {" + ", ".join(number(a, b) for a, b in zip(self.j, self.j_sd)) + "}"
        at = self.axes @ self.group_at * 1e3 + [self.front, 0, 0]
        rest = self.axes @ np.array([-1.1, 0.013, 0.36]) * 1e3 + [self.front, 0, 0]
        return (f"sy.car{{axes = {{{self.words}}}, axles = {{{{name = 'front', at = {self.at_axles[0]}, track = 1450, loaded_radius = 288}}, "
                f"{{name = 'rear', at = {self.at_axles[1]}, track = 1460, loaded_radius = 301}}}}, parts = {{"
                f"sy.group 'g' {{at = {{{', '.join(repr(round(x, 6)) for x in at.tolist())}}}, turned = {turned(self.angles)}, "
                f"whole = {{{whole}}}, unaccounted = true, {parts}}}, "
                f"sy.part 'rest' {{mass = sy.sd(300, 3), at = {{{', '.join(repr(round(x, 6)) for x in rest.tolist())}}}, within_mm = 20}}}}}}")

    def edits(self):
        words = (("forward", "back"), ("left", "right"), ("up", "down"))

        def move(by):
            return ", ".join(f"{w[0] if x > 0 else w[1]} = {abs(x) * 1e3!r}" for x, w in zip(np.round(by, 6).tolist(), words) if x)
        lines = [f'c:move("p0", {{{move(self.move_part)}}})']
        lines.append(f'c:move("g", {{{move(self.move_group)}, {"nose_down" if self.turn_group > 0 else "nose_up"} = {abs(self.turn_group)!r}}})')
        lines.append(f'c:move("g", {{{move(self.move_group)}}}):move("p1", {{{move(self.move_part)}}})'
                     + (':without("p2")' if self.out else ""))
        return lines

    # ---- as sums ----

    def errors(self):
        """Standard uncertainties of all errors in one list: masses, places, of the rest its mass and place, a gap of four, the inertia."""
        return np.concatenate([self.mass_sd, self.cg_sd.ravel(), [3.0], np.full(3, 0.02 / np.sqrt(3)), np.ones(4),
                               self.j_sd if self.has_inertia else []])

    def answers(self, e, which):
        """mass, cg, front share, height and yaw inertia for errors e; which: 0 as filed, 1 to 3 the edits."""
        n = len(self.mass)
        m, r = self.mass + e[:n], self.cg + e[n:4 * n].reshape(n, 3)
        rest_m, rest_r = 300 + e[4 * n], np.array([-1.1, 0.013, 0.36]) + e[4 * n + 1:4 * n + 4]
        gap = self.gap + e[4 * n + 4:4 * n + 8]
        tilt = rotation(*self.angles)

        def sums(mass, place):
            return mass.sum(), mass @ place, np.einsum("i,ij,ik->jk", mass, place, place)
        m0, f0, s0 = sums(m, r)
        total, first = m0 + gap[0], f0 + gap[1:]
        if self.has_inertia:
            diagonal = self.j + e[4 * n + 8:4 * n + 11]
            inside = np.diag(diagonal.sum() / 2 - diagonal)
        else:
            inside = s0 - np.outer(f0, f0) / m0
        extra = (gap[0], gap[1:], inside + np.outer(first, first) / total - s0)
        r, m = r.copy(), m.copy()
        frame_at, frame = self.group_at, tilt
        if which == 1:
            r[0] = r[0] + tilt.T @ self.move_part
        if which == 2:
            frame, frame_at = rotation(0, self.turn_group, 0) @ tilt, self.group_at + self.move_group
        if which == 3:
            frame_at = self.group_at + self.move_group
            r[1] = r[1] + tilt.T @ self.move_part
            if self.out:
                m[2] = 0
        m1, f1, s1 = sums(m, r)
        a, b, c = m1 + extra[0], f1 + extra[1], s1 + extra[2]
        first = frame @ b + a * frame_at
        second = frame @ c @ frame.T + np.outer(frame @ b, frame_at) + np.outer(frame_at, frame @ b) + a * np.outer(frame_at, frame_at)
        mass = a + rest_m
        first = first + rest_m * rest_r
        second = second + rest_m * np.outer(rest_r, rest_r)
        cg = first / mass
        about = second - np.outer(first, first) / mass
        return np.array([mass, *cg, 100 * (1 + cg[0] / 2.4), about[0, 0] + about[1, 1]])

    def solve(self, prior):
        """Values and the spread of all errors after the weighing: sd and changes' sd."""
        n = len(self.mass)
        sd = self.errors()
        sd[4 * n + 4:4 * n + 8] = np.sqrt(prior)
        m0, f0 = self.mass.sum(), self.mass @ self.cg
        place = self.place if self.has_cg else f0 / m0
        self.gap = np.concatenate([[self.whole - m0], self.whole * place - f0])
        known = sd > 0
        observe, noise = [], []  # of the whole's mass; of its cg, or of where the gap lies
        row = np.zeros(len(sd))
        row[:n], row[4 * n + 4] = 1, 1
        observe.append(row)
        noise.append(self.whole_sd)
        for k in range(3):
            row = np.zeros(len(sd))
            if self.has_cg:  # the cg of the pieces and the gap: (dF - c dm) / M
                row[:n] = (self.cg[:, k] - place[k]) / self.whole
                row[n + k:4 * n:3] = self.mass / self.whole
                row[4 * n + 4], row[4 * n + 5 + k] = -place[k] / self.whole, 1 / self.whole
                noise.append(self.place_sd[k])
            else:  # the gap lies at the pieces' cg, give or take their spread
                cg = f0 / m0
                row[4 * n + 4], row[4 * n + 5 + k] = -cg[k], 1
                row[:n] = -self.gap[0] * (self.cg[:, k] - cg[k]) / m0
                row[n + k:4 * n:3] = -self.gap[0] * self.mass / m0
                noise.append(abs(self.gap[0]) * np.sqrt(self.mass @ (self.cg[:, k] - cg[k]) ** 2 / m0))
            observe.append(row)
        noise = np.maximum(noise, 1e-7)  # what is exact is observed to a tenth of a milligram and a micrometre
        stacked = np.vstack([np.diag(1 / sd[known]), (np.array(observe) / noise[:, None])[:, known]])
        triangle = np.linalg.qr(stacked, mode="r")
        step = 1e-4
        gradient = []
        for which in range(4):
            columns = []
            for i in np.flatnonzero(known):
                e = np.zeros(len(sd))
                e[i] = step
                columns.append((8 * (self.answers(e, which) - self.answers(-e, which)) - (self.answers(2 * e, which)
                                - self.answers(-2 * e, which))) / (12 * step))
            gradient.append(np.array(columns).T)

        def spread(g):
            return np.sqrt(np.sum(np.linalg.solve(triangle.T, g.T) ** 2, axis=0))
        values = [self.answers(np.zeros(len(sd)), which) for which in range(4)]
        return values, [spread(g) for g in gradient], [spread(g - gradient[0]) for g in gradient[1:]]


cases, lines = [], ['local function ask(c) local b, s = c:balance(), nil s = b.sd return b.mass, b.cg.x, b.cg.y, b.cg.z, b.front_share, '
                    'b.yaw_inertia, s.mass, s.cg.x, s.cg.y, s.cg.z, s.front_share, s.yaw_inertia end',
                    'local function change(a, b) local r = sy.compare{a, b, show = {"mass", "cg.x", "cg.y", "cg.z", "front_share", '
                    '"yaw_inertia"}} local t = {} for i, name in ipairs{"mass", "cg.x", "cg.y", "cg.z", "front_share", "yaw_inertia"} do '
                    't[i] = (r.sd[name] or {})[2] or 0 end return table.unpack(t) end']
for i in range(60):
    case = Case(("back", "forward")[i % 2], i % 3 != 0, i % 4 == 1)
    cases.append(case)
    lines.append("do local c = " + case.car())
    lines.append("say(ask(c))")
    for edit in case.edits():
        lines.append(f"do local d = {edit} say(ask(d)) say(change(c, d)) end")
    lines.append("end")
found = iter(rows(lines))

NAMES = ["mass", "cg.x", "cg.y", "cg.z", "front share", "yaw inertia"]
shrink = []
for case in cases:
    limits = [case.solve(prior) for prior in (1e2, 1e4, 1e6, 1e8)]
    values, sds, changes = limits[-1]
    shrink.append([max(np.max(np.abs(a - b)) for a, b in zip(limits[k][1], limits[-1][1])) for k in range(3)])
    scale = np.array([1, 1e3, 1e3, 1e3, 1, 1])
    got = [next(found) for _ in range(7)]
    for which in range(4):
        mine = np.array(got[0] if which == 0 else got[2 * which - 1])
        value = values[which] * scale
        value[1:4] = case.axes @ value[1:4] + [case.front, 0, 0]
        for k, name in enumerate(NAMES):
            checks.near(name, abs(mine[k] - value[k]), 1e-7 * max(1, abs(value[k])))
            sd = sds[which][k] * scale[k]
            checks.near(f"sd of {name}", abs(mine[6 + k] - sd), 1e-6 * sd + 1e-6, (case.has_cg, case.has_inertia, which, mine[6 + k], sd))
        if which > 0:
            for k, name in enumerate(NAMES):
                sd = changes[which - 1][k] * scale[k]
                checks.near(f"sd of the change of {name}", abs(got[2 * which][k] - sd), 1e-6 * sd + 1e-6,
                            (case.has_cg, case.has_inertia, which, got[2 * which][k], sd))
# a prior a hundred times wider is a hundred times nearer to the limit
worst = np.max(np.array(shrink), axis=0)
checks.near("the distance from the limit falls with the prior", max(worst[1] / worst[0], worst[2] / worst[1]), 0.05)
checks.finish()
