"""Tables against Python's csv module (its reader follows RFC 4180 and is in wide use), cell for cell: random tables with
quotation marks, delimiters and line ends inside cells, in five encodings, with three line ends, blank lines and rows of
different widths. Python's codecs write the encodings. Numbers against Python's float."""
import csv
import ctypes
import io
import random
from ctypes import POINTER, Structure, byref, c_bool, c_char, c_char_p, c_double, c_int, c_size_t, c_void_p

from support.library import Checks, Error, load

lib = load()
checks = Checks()
random.seed(41802005)


class Alloc(Structure):
    _fields_ = [("resize", c_void_p), ("user", c_void_p)]


class Cell(Structure):
    _fields_ = [("text", c_void_p), ("length", c_size_t)]


class About(Structure):
    _fields_ = [("rows", c_size_t), ("columns", c_size_t), ("delimiter", c_char), ("stated", c_bool), ("encoding", c_int)]


for name, result, arguments in (
    ("sy_alloc_default", Alloc, []),
    ("sy_csv_read", c_int, [c_char_p, c_size_t, POINTER(Alloc), POINTER(c_void_p), POINTER(Error)]),
    ("sy_csv_free", None, [c_void_p]),
    ("sy_csv_describe", About, [c_void_p]),
    ("sy_csv_width", c_size_t, [c_void_p, c_size_t]),
    ("sy_csv_line", c_size_t, [c_void_p, c_size_t]),
    ("sy_csv_at", Cell, [c_void_p, c_size_t, c_size_t]),
    ("sy_csv_number", c_int, [Cell, c_char, POINTER(c_double)]),
):
    getattr(lib, name).restype = result
    getattr(lib, name).argtypes = arguments
alloc = lib.sy_alloc_default()


def read(data):
    table, err = c_void_p(), Error()
    if lib.sy_csv_read(data, len(data), byref(alloc), byref(table), byref(err)) != 0:
        raise RuntimeError(f"{err.part.decode()}: {err.message.decode()}: {data!r}")
    about = lib.sy_csv_describe(table)
    rows = []
    for row in range(about.rows):
        cells = [lib.sy_csv_at(table, row, column) for column in range(lib.sy_csv_width(table, row))]
        rows.append([ctypes.string_at(cell.text, cell.length).decode() for cell in cells])
    lines = [lib.sy_csv_line(table, row) for row in range(about.rows)]
    lib.sy_csv_free(table)
    return rows, lines, about.delimiter.decode()


LETTERS = 'ab 1.5;,|\t"\r\n\'=-#/éßñ'  # all of them in Windows-1252 too, where no two make up a letter of UTF-8
ENCODINGS = ("utf-8", "utf-8-sig", "utf-16-le", "utf-16-be", "cp1252")


def random_cell(end):
    """Where lines end with one sign Python's writer does not quote the other, which its reader takes for an end too."""
    text = "".join(random.choice(LETTERS) for _ in range(random.randrange(7)))
    text = "".join(c for c in text if c not in "\r\n" or c in end)
    return text if random.random() < 0.9 else text + chr(random.choice((0x1F697, 0x4E2D, 0xE000)))


def lines_of(text, delimiter):
    """Rows and the line each begins on, by Python's reader, which counts the lines it has taken."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    rows, lines, before = [], [], 0
    for row in reader:
        rows.append(row)
        lines.append(before + 1)
        before = reader.line_num
    return rows, lines


def shown(text):
    return repr(text[:200])


for _ in range(4000):
    delimiter, end = random.choice(";,\t|"), random.choice(("\r\n", "\n", "\r"))
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=delimiter, lineterminator=end,
                        quoting=random.choice((csv.QUOTE_MINIMAL, csv.QUOTE_ALL)))
    for _ in range(random.randrange(1, 9)):
        writer.writerow([random_cell(end) for _ in range(random.randrange(1, 6))])
        if random.random() < 0.1:
            out.write(end)
    text = out.getvalue()
    if random.random() < 0.3:
        text = text[: -len(end)]  # no line end behind the last row
    want, lines = lines_of(text, delimiter)
    encoding = random.choice(ENCODINGS)
    body = "sep=" + delimiter + end + text
    try:
        data = body.encode(encoding)
    except UnicodeEncodeError:
        encoding = "utf-8"
        data = body.encode(encoding)
    if encoding.startswith("utf-16"):
        data = "\ufeff".encode(encoding) + data
    rows, starts, found = read(data)
    checks.near("cells, as csv.reader", rows != want, 0.5, shown(body))
    checks.near("lines, as csv.reader counts them", [n - 1 for n in starts] != lines, 0.5, shown(body))

# the delimiter, not stated: tables such as parts lists, with texts that hold the other signs, quoted where they must be
WORDS = ("engine, wet", "seat; left", "a|b", 'bolt 1/4"', "gearbox", "Kühler", "")
for _ in range(2000):
    delimiter = random.choice(";,\t|")
    comma = delimiter != "," and random.random() < 0.5
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=delimiter)
    writer.writerow(["part", "mass, kg", "x", "y", "z", "note"])
    for _ in range(random.randrange(2, 30)):
        numbers = [f"{random.uniform(-2000, 2000):.{random.randrange(4)}f}" for _ in range(4)]
        numbers = [n.replace(".", ",") for n in numbers] if comma else numbers
        writer.writerow([random.choice(WORDS), *numbers, random.choice(WORDS)])
    text = out.getvalue()
    rows, _, found = read(text.encode())
    checks.near("the delimiter found is the one written with", found != delimiter, 0.5, shown(text))
    checks.near("cells with the delimiter found", rows != lines_of(text, delimiter)[0], 0.5, shown(text))

for _ in range(20000):
    x = random.choice((random.uniform(-3000, 3000), random.uniform(-1, 1), random.lognormvariate(0, 20)))
    text = random.choice((repr(x), f"{x:.3f}", f"{x:,.2f}", f"{x:.9e}", f"{x:.40f}"))
    want = float(text.replace(",", ""))
    for mark in ".,":
        swapped = text if mark == "." else text.translate(str.maketrans(".,", ",."))
        data, got = swapped.encode(), c_double()
        kept = ctypes.create_string_buffer(data, len(data) or 1)
        kind = lib.sy_csv_number(Cell(ctypes.addressof(kept), len(data)), mark.encode(), byref(got))
        checks.near("numbers, as float", kind != 1 or got.value != want, 0.5, swapped)

checks.finish()
