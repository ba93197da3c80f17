"""Drawings as PNG and PDF against the SVG of the same drawing, each read by nothing of the project: the PNG by its specification (zlib), the
PDF by its streams, the SVG as XML. Lines are looked for where the SVG has them, and the paper is white where it has nothing.

Source: W3C, Portable Network Graphics (PNG) Specification (Second Edition), 9.2 filters, 5.3 chunks, 11.3.5.3 pHYs;
        ISO 32000-1:2008, 8.4.4, 8.5.2 and 8.5.3 (operators w, m, l, c, h, re, S, f, cm).
Usage: oracle_paper.py path/to/steelyard"""

import math
import re
import struct
import subprocess
import sys
import tempfile
import zlib
from pathlib import Path
from xml.etree import ElementTree

import numpy

from support.library import Checks

STEELYARD = sys.argv[1]
checks = Checks()
DOTS_A_MM = 200 / 25.4
POINTS_A_MM = 72 / 25.4
SVG = "{http://www.w3.org/2000/svg}"


def holds(name, good, detail=""):
    checks.near(name, 0.0 if good else 1.0, 0.5, str(detail))


def built_in():
    with tempfile.NamedTemporaryFile("w", suffix=".lua") as script:
        script.write('os.exit(pcall(require, "steelyard.canvas_cairo") and 0 or 7)')
        script.flush()
        return subprocess.run([STEELYARD, script.name]).returncode == 0


def read_png(data):
    """Rows of red, green, blue; and the chunks by name."""
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    chunks, at = {}, 8
    while at < len(data):
        length, name = struct.unpack(">I4s", data[at:at + 8])
        body = data[at + 8:at + 8 + length]
        assert struct.unpack(">I", data[at + 8 + length:at + 12 + length])[0] == zlib.crc32(name + body), name
        chunks[name] = chunks.get(name, b"") + body
        at += 12 + length
    width, height, depth, colour, _, _, interlace = struct.unpack(">IIBBBBB", chunks[b"IHDR"])
    assert (depth, colour, interlace) == (8, 2, 0)
    raw, stride = zlib.decompress(chunks[b"IDAT"]), 3 * width
    picture, before = numpy.zeros((height, stride), numpy.uint8), bytearray(stride)
    for y in range(height):
        kind, line = raw[y * (stride + 1)], bytearray(raw[y * (stride + 1) + 1:(y + 1) * (stride + 1)])
        for i in range(stride):
            if kind == 0:
                break
            a, b, c = line[i - 3] if i > 2 else 0, before[i], before[i - 3] if i > 2 else 0
            if kind == 1:
                add = a
            elif kind == 2:
                add = b
            elif kind == 3:
                add = (a + b) // 2
            else:
                p = a + b - c
                pa, pb, pc = abs(p - a), abs(p - b), abs(p - c)
                add = a if pa <= pb and pa <= pc else b if pb <= pc else c
            line[i] = (line[i] + add) & 255
        picture[y] = numpy.frombuffer(bytes(line), numpy.uint8)
        before = line
    return picture.reshape(height, width, 3).astype(int), chunks


def rgb(code):
    return numpy.array([int(code[i:i + 2], 16) for i in (1, 3, 5)])


def svg_marks(text):
    """Lists of lines (points, colour, weight, solid), circles (x, y, r, colour, weight, solid) and texts, in the order of the file."""
    marks = []

    def walk(element, look):
        look = {**look, **{k: v for k, v in element.attrib.items() if k.startswith(("stroke", "fill"))}}
        weight, solid = float(look.get("stroke-width", 0)), "stroke-dasharray" not in look
        colour = look.get("stroke") if weight else None
        if element.tag == SVG + "path":
            for part in element.get("d").split("M")[1:]:
                points = [tuple(map(float, pair.split())) for pair in part.replace("Z", "").split("L")]
                if "Z" in part:
                    points.append(points[0])
                marks.append(("line", points, colour, weight, solid, look.get("fill")))
        elif element.tag == SVG + "circle":
            marks.append(("circle", *(float(element.get(k)) for k in ("cx", "cy", "r")), colour, weight, solid, look.get("fill")))
        elif element.tag == SVG + "text":
            marks.append(("text", float(element.get("x")), float(element.get("y")), float(element.get("font-size")),
                          element.get("text-anchor", "start"), element.get("font-weight"), element.text))
        for child in element:
            walk(child, look)

    walk(ElementTree.fromstring(text), {})
    return marks


def box(mark):
    """left, top, right, bottom of a mark, for a text a generous one."""
    if mark[0] == "text":
        _, x, y, size, anchor, _, words = mark
        long = 0.7 * size * len(words)
        left = x if anchor == "start" else x - long if anchor == "end" else x - long / 2
        return left - 0.5, y - size, left + long + 0.5, y + 0.3 * size
    if mark[0] == "circle":
        return mark[1] - mark[3], mark[2] - mark[3], mark[1] + mark[3], mark[2] + mark[3]
    xs, ys = zip(*mark[1])
    return min(xs), min(ys), max(xs), max(ys)


def dots(left, top, right, bottom):
    return (slice(max(0, int(top * DOTS_A_MM)), int(bottom * DOTS_A_MM) + 1), slice(max(0, int(left * DOTS_A_MM)), int(right * DOTS_A_MM) + 1))


def samples(mark):
    """Points along a solid line or circle, a millimetre apart."""
    if mark[0] == "circle":
        _, x, y, r = mark[:4]
        n = max(8, int(2 * math.pi * r))
        return [(x + r * math.cos(2 * math.pi * i / n), y + r * math.sin(2 * math.pi * i / n)) for i in range(n)]
    points = []
    for (x1, y1), (x2, y2) in zip(mark[1], mark[1][1:]):
        n = max(1, int(math.hypot(x2 - x1, y2 - y1)))
        points += [(x1 + (x2 - x1) * (i + 0.5) / n, y1 + (y2 - y1) * (i + 0.5) / n) for i in range(n)]
    return points


def compare_png(name, picture, chunks, marks, width, height):
    rows, columns = picture.shape[:2]
    holds(name + " dots", (columns, rows) == (math.ceil(width * DOTS_A_MM), math.ceil(height * DOTS_A_MM)))
    holds(name + " density", struct.unpack(">IIB", chunks[b"pHYs"]) == (7874, 7874, 1))
    # Where nothing later covers it, the dot in the middle of a line of 0.35 mm, 2.8 dots wide, is covered whole; one in fifty may fall beside
    # a corner of an outline: half the contrast of the colour is asked for.
    seen = asked = 0
    near = numpy.zeros((rows, columns), bool)
    for i, mark in enumerate(marks):
        if mark[0] == "text":
            near[dots(*box(mark))] = True
            continue
        colour, weight, solid, fill = mark[-4:]
        reach = weight / 2 + 0.3
        for x, y in samples(mark):
            near[dots(x - reach - 0.5, y - reach - 0.5, x + reach + 0.5, y + reach + 0.5)] = True
        if fill and fill != "none":
            near[dots(*box(mark))] = True
        if colour and solid and weight >= 0.35:
            covers = [box(m) for m in marks[i + 1:] if m[0] == "text" or (m[-1] or "none") != "none"]
            for x, y in samples(mark):
                if not any(a <= x <= c and b <= y <= d for a, b, c, d in covers):
                    asked += 1
                    seen += bool(numpy.all(255 - picture[int(y * DOTS_A_MM), int(x * DOTS_A_MM)] >= (255 - rgb(colour)) / 2))
    holds(name + " lines are where the SVG has them", asked > 100 and seen >= 0.98 * asked, f"{seen} of {asked}")
    # All dark dots lie near a mark or in the box of a text: nothing else was drawn.
    dark = numpy.any(picture < 250, axis=2)
    holds(name + " nothing stands where the SVG has nothing", not numpy.any(dark & ~near), int(numpy.sum(dark & ~near)))
    edge = int(2.5 * DOTS_A_MM)
    border = numpy.concatenate([picture[:edge].ravel(), picture[-edge:].ravel(), picture[:, :edge].ravel(), picture[:, -edge:].ravel()])
    holds(name + " margins are white", bool(numpy.all(border == 255)))
    # Each text has ink in its own box, more of it the longer it is.
    bare = [m[6] for m in marks if m[0] == "text" and m[6].strip() and not numpy.any(
        picture[int((m[2] - 0.7 * m[3]) * DOTS_A_MM):int(m[2] * DOTS_A_MM),
                max(0, int((m[1] - (m[3] if m[4] != "start" else 0)) * DOTS_A_MM)):int((m[1] + (m[3] if m[4] != "end" else 0)) * DOTS_A_MM)]
        < 150)]
    holds(name + " every text is set", not bare, bare)


def pdf_lines(data):
    """(points, weight) of every stroked path of lines, in mm of paper from its top left corner."""
    lines = []
    height = float(re.search(rb"/MediaBox \[ 0 0 [\d.]+ ([\d.]+) \]", data).group(1))
    stream = zlib.decompress(re.search(rb"/Filter /FlateDecode[^>]*>>\s*stream\r?\n(.*?)endstream", data, re.S).group(1)).decode("latin-1")
    matrix, stack, stated, path, now, operands, colour = (1, 0, 0, 1, 0, 0), [], 1.0, [], [], [], None

    def times(m, n):
        a, b, c, d, e, f = m
        g, h, i, j, k, l = n
        return (a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j, e * g + f * i + k, e * h + f * j + l)

    def place(x, y):
        a, b, c, d, e, f = matrix
        return ((a * x + c * y + e) / POINTS_A_MM, (height - (b * x + d * y + f)) / POINTS_A_MM)

    for word in re.findall(r"<[0-9A-Fa-f]*>|\[[^\]]*\]|\((?:\\.|[^\\)])*\)|[^\s]+", stream):
        try:
            operands.append(float(word))
            continue
        except ValueError:
            pass
        if word == "q":
            stack.append((matrix, stated, colour))
        elif word == "Q":
            matrix, stated, colour = stack.pop()
        elif word == "cm":
            matrix = times(operands[-6:], matrix)
        elif word == "RG":
            colour = operands[-3:]
        elif word == "w":
            stated = operands[-1]
        elif word == "m":
            now = [place(*operands[-2:])]
            path.append(now)
        elif word == "l":
            now.append(place(*operands[-2:]))
        elif word == "h":
            now.append(now[0])
        elif word == "re":
            x, y, w, h = operands[-4:]
            path.append([place(x, y), place(x + w, y), place(x + w, y + h), place(x, y + h), place(x, y)])
        elif word == "c":
            now.append(None)
        elif word in ("S", "s", "B", "b", "B*", "b*"):
            scale = math.sqrt(abs(matrix[0] * matrix[3] - matrix[1] * matrix[2]))
            if colour != [1, 1, 1]:  # the halo of a text is stroked in white
                lines += [(p, stated * scale / POINTS_A_MM) for p in path if len(p) > 1 and None not in p]
            path = []
        elif word in ("f", "f*", "n", "W", "F"):
            if word != "W":
                path = []
        if not word.startswith(("<", "[", "(")):
            operands = []
    return lines


def compare_pdf(name, data, marks):
    drawn = pdf_lines(data)
    wanted = [(m[1], m[3]) for m in marks if m[0] == "line" and m[3]]
    holds(name + " has as many lines as the SVG", len(drawn) == len(wanted), f"{len(drawn)} and {len(wanted)}")
    off = weight = 0.0
    for (p, w), (q, v) in zip(drawn, wanted):
        if len(p) != len(q):
            off = math.inf
            break
        # a box may begin at another of its corners
        off = max([off] + [min(math.dist(a, b) for b in p) for a in q])
        weight = max(weight, abs(w - v))
    checks.near(name + " has them in the same places, mm", off, 0.008)  # 0.005 each way by the SVG's decimals, across a corner 0.007
    checks.near(name + " has them as thick, mm", weight, 0.006)  # the SVG's weights have two decimals
    fonts = re.findall(rb"/FontName /[A-Z]+\+([A-Za-z-]+)", data)
    holds(name + " embeds its fonts", sorted(fonts) == [b"LiberationSans", b"LiberationSans-Bold"], fonts)


def compare(car, state, view, width):
    name = f"{Path(car).stem} {view} {width}"
    with tempfile.TemporaryDirectory() as folder:
        files = {}
        for ending in ("svg", "png", "pdf"):
            path = Path(folder) / ("x." + ending)
            words = [STEELYARD, "draw", car, "--view", view, "--width", str(width), "--to", str(path)] + (["--state", state] if state else [])
            subprocess.run(words, check=True, stdout=subprocess.DEVNULL)
            files[ending] = path.read_bytes()
    text = files["svg"].decode()
    size = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', text)
    marks = svg_marks(text)
    compare_png(name, *read_png(files["png"]), marks, float(size.group(1)), float(size.group(2)))
    compare_pdf(name, files["pdf"], marks)


if not built_in():
    print("ok PNG and PDF are not built in: nothing to compare")
    sys.exit(0)
compare("vehicles/twayblade.lua", "race start", "side", 180)
compare("vehicles/burnet.lua", None, "plan", 90)
compare("vehicles/bistort.lua", None, "front", 120)
checks.finish()
