"""The marks of an SVG file of ours, each with its look, read as XML."""
import re
import xml.etree.ElementTree as ElementTree

import numpy as np

SVG = "{http://www.w3.org/2000/svg}"
LOOK = ("stroke", "stroke-width", "fill", "stroke-dasharray")


class Marks:
    """texts; circles: (look, x, y, r); paths: (look, points, closed), each open or closed piece by itself; scale: 25 for 1:25."""

    def __init__(self, path):
        self.root = ElementTree.parse(path).getroot()
        self.texts = [t.text or "" for t in self.root.iter(SVG + "text")]
        self.scale = float(next(re.search(r"1:(\d+)", t).group(1) for t in self.texts if re.search(r"mm, 1:\d+", t)))
        self.circles, self.paths = [], []
        self.walk(self.root, {})

    def walk(self, node, look):
        look = {**look, **{k: v for k, v in node.attrib.items() if k in LOOK}}
        if node.tag == SVG + "circle":
            self.circles.append((look, float(node.get("cx")), float(node.get("cy")), float(node.get("r"))))
        if node.tag == SVG + "path":
            for piece in node.get("d").split("M")[1:]:
                points = np.array([[float(x) for x in pair.split()] for pair in piece.rstrip("Z").split("L")])
                self.paths.append((look, points, piece.endswith("Z")))
        for child in node:
            self.walk(child, look)
