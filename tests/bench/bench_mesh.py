"""A closed binary STL of 998,000 triangles: volume, centroid and inertia, against NumPy on the whole array and in pieces that fit
the cache, and against a plain sum of the mapped file. Reading with every check (edges, shells, direction) is timed beside it."""
import os
import sys
import tempfile

import numpy as np

from rounds import Program, head, medians, python_job, row


AROUND, ALONG = 998, 500  # times 2 triangles
RECORD = np.dtype([("normal", "<f4", 3), ("corner", "<f4", (3, 3)), ("more", "<u2")])


def ring():
    """A bent, lumpy ring: every corner is met by six triangles."""
    u, v = np.meshgrid(np.arange(AROUND) * 2 * np.pi / AROUND, np.arange(ALONG + 1)[:-1] * 2 * np.pi / ALONG, indexing="ij")
    r = 40 + 5 * np.sin(7 * v) * np.cos(3 * u)
    grid = np.stack([(200 + r * np.cos(v)) * np.cos(u), (180 + r * np.cos(v)) * np.sin(u), r * np.sin(v)], axis=-1) + 300
    a, b = grid, np.roll(grid, -1, axis=0)
    c, d = np.roll(b, -1, axis=1), np.roll(grid, -1, axis=1)
    return np.concatenate([np.stack([a, b, c], axis=2), np.stack([a, c, d], axis=2)]).reshape(-1, 3, 3)


def sums(p, apex):
    a, b, c = (p[:, k].astype(np.float64) - apex for k in range(3))
    s = a + b + c
    v = np.einsum("ij,ij->i", a, np.cross(b, c))
    w = v[:, None]
    return v.sum(), (w * s).sum(axis=0), (w * s).T @ s + (w * a).T @ a + (w * b).T @ b + (w * c).T @ c


def body(path, piece):
    records = np.memmap(path, RECORD, "r", 84)
    corners = records["corner"]
    apex = corners[0, 0].astype(np.float64)
    volume, first, second = 0.0, np.zeros(3), np.zeros((3, 3))
    for i in range(0, len(corners), piece):
        m, f, s = sums(corners[i:i + piece], apex)
        volume, first, second = volume + m / 6, first + f / 24, second + s / 120
    second -= np.outer(first, first) / volume
    return volume, apex + first / volume, np.trace(second) * np.eye(3) - second


corners = ring()
records = np.zeros(len(corners), RECORD)
records["corner"] = corners
with tempfile.TemporaryDirectory() as folder:
    path = os.path.join(folder, "ring.stl")
    with open(path, "wb") as file:
        file.write(bytes(80) + np.uint32(len(records)).tobytes() + records.tobytes())
    program = Program(sys.argv[1], "bench_mesh", path)
    jobs = {"bytes": program.job("bytes"), "integrals": program.job("integrals"), "read": program.job("read"),
            "whole": python_job(lambda: body(path, 1 << 30)), "pieces": python_job(lambda: body(path, 4096))}
    t = medians(jobs, 7)
    program.close()
head()
n = len(records)
row("integrals of a closed binary STL", n, t["integrals"], t["pieces"], "NumPy, 4096 at a time")
row("", n, t["integrals"], t["whole"], "NumPy, all at once")
row("", n, t["integrals"], t["bytes"], "the file's bytes added up")
row("the same with every check", n, t["read"], t["whole"], "NumPy without any; asked: 180 ms")
