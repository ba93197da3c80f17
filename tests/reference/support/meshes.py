"""Closed meshes and tanks of the C library for the oracles, by ctypes."""
from ctypes import POINTER, Structure, byref, c_bool, c_char_p, c_double, c_int, c_size_t, c_uint32, c_void_p

import numpy as np

from support.library import Error, Massprops, Sym3, Vec3, load, succeed


class Alloc(Structure):
    _fields_ = [("resize", c_void_p), ("user", c_void_p)]


class Sums(Structure):
    _fields_ = [("m", c_double), ("first", Vec3), ("second", Sym3)]


class Tank(Structure):
    _fields_ = [("kind", c_int), ("size", Vec3), ("diameter", c_double), ("length", c_double), ("axis", Vec3), ("mesh", c_void_p)]


class Liquid(Structure):
    _fields_ = [("volume", c_double), ("level", c_double), ("depth", c_double), ("centroid", Vec3), ("inertia", Sym3),
                ("area", c_double), ("surface", Vec3), ("surface_second", Sym3)]


BOX, CYLINDER, ELLIPSOID, MESH = range(4)


def open_library():
    lib = load()
    lib.sy_alloc_default.restype = Alloc
    lib.sy_tank_default.restype, lib.sy_tank_default.argtypes = Tank, [c_int]
    signatures = {
        "sy_mesh_read": [c_char_p, c_size_t, POINTER(Alloc), POINTER(c_void_p), POINTER(Error)],
        "sy_mesh_make": [POINTER(c_double), c_size_t, POINTER(c_uint32), c_size_t, POINTER(Alloc), POINTER(c_void_p), POINTER(Error)],
        "sy_mesh_check": [c_void_p, POINTER(Error)],
        "sy_mesh_massprops": [c_void_p, c_double, POINTER(Massprops), POINTER(Error)],
        "sy_mesh_body_of_stl": [c_char_p, c_size_t, POINTER(Massprops), POINTER(Error)],
        "sy_tank_capacity": [POINTER(Tank), POINTER(c_double), POINTER(Error)],
        "sy_tank_liquid": [POINTER(Tank), c_double, Vec3, POINTER(Liquid), POINTER(Error)],
        "sy_tank_below": [POINTER(Tank), Vec3, Vec3, POINTER(Liquid), POINTER(Error)],
        "sy_tank_shell": [POINTER(Tank), c_double, POINTER(Massprops), POINTER(Error)],
        "sy_tank_holds": [POINTER(Tank), Vec3, POINTER(c_bool), POINTER(Error)],
    }
    for name, arguments in signatures.items():
        function = getattr(lib, name)
        function.restype, function.argtypes = c_int, arguments
    lib.sy_mesh_area.restype, lib.sy_mesh_area.argtypes = c_double, [c_void_p]
    lib.sy_mesh_sums.restype, lib.sy_mesh_sums.argtypes = Sums, [c_void_p]
    lib.sy_mesh_free.restype, lib.sy_mesh_free.argtypes = None, [c_void_p]
    return lib


def make(lib, corners, faces):
    """A mesh of the library; to be freed with sy_mesh_free."""
    corners, faces = np.ascontiguousarray(corners, float), np.ascontiguousarray(faces, np.uint32)
    alloc, mesh, error = lib.sy_alloc_default(), c_void_p(), Error()
    succeed(lib.sy_mesh_make(corners.ctypes.data_as(POINTER(c_double)), len(corners), faces.ctypes.data_as(POINTER(c_uint32)),
                             len(faces), byref(alloc), byref(mesh), byref(error)), error)
    succeed(lib.sy_mesh_check(mesh, byref(error)), error)
    return mesh


def vector(v):
    return np.array([v.x, v.y, v.z])


def tensor(s):
    return np.array([[s.xx, s.xy, s.xz], [s.xy, s.yy, s.yz], [s.xz, s.yz, s.zz]])


def sphere(times):
    """A tetrahedron whose faces are cut into four, over and over, on the unit sphere: corners, faces."""
    corners = [np.array(c) / np.sqrt(3) for c in ((1, 1, 1), (1, -1, -1), (-1, 1, -1), (-1, -1, 1))]
    faces = [(0, 1, 2), (0, 3, 1), (0, 2, 3), (1, 3, 2)]
    for _ in range(times):
        between, finer = {}, []

        def middle(i, j):
            key = min(i, j), max(i, j)
            if key not in between:
                between[key] = len(corners)
                m = corners[i] + corners[j]
                corners.append(m / np.linalg.norm(m))
            return between[key]
        for a, b, c in faces:
            ab, bc, ca = middle(a, b), middle(b, c), middle(c, a)
            finer += [(a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca)]
        faces = finer
    return np.array(corners), np.array(faces)


def stl(corners, faces):
    """Bytes of a binary STL."""
    record = np.zeros(len(faces), np.dtype([("normal", "<f4", 3), ("corner", "<f4", (3, 3)), ("more", "<u2")]))
    record["corner"] = corners[faces]
    return bytes(80) + np.uint32(len(faces)).tobytes() + record.tobytes()
