"""The C library for the oracles, by ctypes: the structures of its headers and the functions the checks call.

usage of each oracle: oracle_x.py COMMAND [LIBRARY]; the library defaults to the one beside the command.
"""
import ctypes
import os
import sys
from ctypes import POINTER, Structure, c_char, c_char_p, c_double, c_int, c_size_t


class Vec3(Structure):
    _fields_ = [(n, c_double) for n in ("x", "y", "z")]


class Mat3(Structure):
    m_type = c_double * 9
    _fields_ = [("m", m_type)]


class Sym3(Structure):
    _fields_ = [(n, c_double) for n in ("xx", "yy", "zz", "xy", "xz", "yz")]


class Frame(Structure):
    _fields_ = [("turn", Mat3), ("at", Vec3)]


class Massprops(Structure):
    _fields_ = [("mass", c_double), ("cg", Vec3), ("inertia", Sym3)]


class Eigen3(Structure):
    _fields_ = [("value", c_double * 3), ("axis", Vec3 * 3)]


class Axle(Structure):
    _fields_ = [("x", c_double), ("wheels", c_int), ("bar_rate", c_double), ("roll_centre", c_double), ("lateral_rate", c_double),
                ("brake_links", c_double), ("drive_links", c_double), ("brake_angle", c_double), ("drive_angle", c_double)]


class RatioCurve(Structure):
    _fields_ = [("count", c_int), ("travel", c_double * 8), ("ratio", c_double * 8)]


class Wheel(Structure):
    _fields_ = [(n, c_double) for n in ("x", "y", "loaded_radius", "tyre_rate", "spring_rate", "motion_ratio", "perch_pitch",
                                        "bump", "droop", "stop_gap", "stop_rate")] + [("curve", RatioCurve)]


class Vehicle(Structure):
    _fields_ = [("axle_count", c_int), ("axle", Axle * 8), ("wheel", Wheel * 16), ("torsion", c_double),
                ("cross_share", c_double)]


class Contact(Structure):
    _fields_ = [("axle", c_int), ("side", c_int), ("x", c_double), ("y", c_double)]


class Loadmap(Structure):
    _fields_ = [("wheel_count", c_int), ("split", c_int), ("wheel", Contact * 16), ("c", (c_double * 4) * 16)]


class Error(Structure):
    _fields_ = [("status", c_int), ("part", c_char * 128), ("field", c_char * 32), ("message", c_char * 256)]


def load():
    path = sys.argv[2] if len(sys.argv) > 2 else os.path.join(os.path.dirname(sys.argv[1]), "libsteelyard.so")
    lib = ctypes.CDLL(os.path.abspath(path))
    signatures = {
        "sy_massprops_combine": (c_int, [POINTER(Massprops), c_size_t, POINTER(Massprops), POINTER(Error)]),
        "sy_massprops_remove": (c_int, [POINTER(Massprops), POINTER(Massprops), POINTER(Massprops), POINTER(Error)]),
        "sy_massprops_place": (Massprops, [POINTER(Massprops), POINTER(Frame)]),
        "sy_massprops_principal": (Eigen3, [POINTER(Massprops)]),
        "sy_vehicle_default": (Vehicle, []),
        "sy_loadmap_make": (c_int, [POINTER(Vehicle), Vec3, POINTER(Loadmap), POINTER(Error)]),
        "sy_text_from_double": (c_size_t, [c_double, c_char_p]),
        "sy_text_fixed": (c_size_t, [c_double, c_int, c_char_p]),
        "sy_text_to_double": (ctypes.c_bool, [c_char_p, c_size_t, POINTER(c_double)]),
        "sy_stats_normal_cdf": (c_double, [c_double]),
        "sy_stats_f_tail": (c_double, [c_double, c_double, c_double]),
        "sy_stats_normal_quantile": (c_double, [c_double]),
        "sy_stats_student_cdf": (c_double, [c_double, c_double]),
        "sy_stats_student_quantile": (c_double, [c_double, c_double]),
        "sy_stats_chi2_cdf": (c_double, [c_double, c_double]),
        "sy_stats_chi2_tail": (c_double, [c_double, c_double]),
        "sy_stats_chi2_quantile": (c_double, [c_double, c_double]),
    }
    for name, (result, arguments) in signatures.items():
        function = getattr(lib, name)
        function.restype = result
        function.argtypes = arguments
    return lib


def succeed(status, error):
    """Raise what the library said."""
    if status != 0:
        raise RuntimeError(f"{error.part.decode()}, {error.field.decode()}: {error.message.decode()}")


class Checks:
    """Keeps the worst miss of each named check and says at the end whether it stayed within its tolerance."""

    def __init__(self):
        self.worst = {}

    def near(self, name, miss, tolerance, what=""):
        """miss: absolute, or relative; a NaN fails."""
        ratio = miss / tolerance if miss == miss else float("inf")
        count, before = self.worst.get(name, (0, None))
        if before is None or ratio > before[0]:
            before = (ratio, miss, tolerance, what)
        self.worst[name] = (count + 1, before)

    def finish(self):
        failed = False
        for name, (count, (ratio, miss, tolerance, what)) in self.worst.items():
            bad = not ratio <= 1
            failed = failed or bad
            print(f"{'FAILED' if bad else 'ok'} {name}: {count} cases, worst {miss:.2g} of {tolerance:.2g} allowed",
                  what if bad else "")
        if failed or not self.worst:
            sys.exit(1)
