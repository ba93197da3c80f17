"""Numbers as text against Python, whose repr is the shortest text that reads back and whose formatting and reading are
correctly rounded (David Gay's routines)."""
import ctypes
import random
import struct
import sys
from fractions import Fraction

from support.library import Checks, load

lib = load()
checks = Checks()
random.seed(19900620)
buffer = ctypes.create_string_buffer(400)


def shortest(x):
    lib.sy_text_from_double(x, buffer)
    return buffer.value.decode()


def fixed(x, decimals):
    lib.sy_text_fixed(x, decimals, buffer)
    return buffer.value.decode()


def read(text):
    out = ctypes.c_double()
    return out.value if lib.sy_text_to_double(text.encode(), len(text), ctypes.byref(out)) else None


def random_double():
    kind = random.random()
    if kind < 0.3:
        return round(random.uniform(-3000, 3000), random.randrange(7))
    if kind < 0.4:
        return 2.0 ** random.randrange(-1074, 1024)
    if kind < 0.5:
        return 5e-324 * random.getrandbits(random.randrange(1, 53))
    while True:
        x = struct.unpack("<d", struct.pack("<Q", random.getrandbits(64)))[0]
        if x - x == 0:
            return x


def digits_and_exponent(text):
    """('-', '12345', power of ten of the first digit): the same for 1.2345e-7 and 0.00000012345"""
    sign, text = ("-", text[1:]) if text.startswith("-") else ("", text)
    mantissa, _, exponent = text.partition("e")
    whole, _, fraction = mantissa.partition(".")
    digits = (whole + fraction).lstrip("0")
    power = len(whole) + int(exponent or 0) - (len(whole + fraction) - len(digits))
    return sign, digits.rstrip("0"), power if digits else 0


for _ in range(20000):
    x = random_double()
    checks.near("shortest text, as repr", digits_and_exponent(shortest(x)) != digits_and_exponent(repr(x)), 0.5, repr(x))
    decimals = random.randrange(9)
    want = f"{x:.{decimals}f}"
    if float(want) == 0:
        want = want.lstrip("-")
    checks.near("fixed decimals, as format", fixed(x, decimals) != want, 0.5, (repr(x), decimals))
    text = f"{x:.{random.randrange(40)}e}"
    want = float(text)
    want = None if abs(want) == float("inf") else want
    checks.near("reading, as float", read(text) != want, 0.5, text)
    # half-way between two neighbours, exactly, in up to 1100 digits, and a little above and below
    bits = struct.unpack("<q", struct.pack("<d", abs(x)))[0]
    above = struct.unpack("<d", struct.pack("<q", bits + 1))[0]
    if above < sys.float_info.max and random.random() < 0.2:
        middle = (Fraction(abs(x)) + Fraction(above)) / 2
        power = middle.denominator.bit_length() - 1  # middle = n / 2^power = n 5^power / 10^power
        text = f"{middle.numerator * 5 ** power}e-{power}"
        for suffix in ("", "1", "0" * 900 + "1"):
            digits, _, exponent = text.partition("e")
            case = f"{digits}.{suffix}e{exponent}" if suffix else text
            checks.near("half-way cases, as float", read(case) != float(case), 0.5, case[:60])

checks.finish()
