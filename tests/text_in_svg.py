"""Where the text of a drawn picture stands: its boxes, read from the SVG that is made of it."""

from __future__ import annotations

import re
from typing import NamedTuple
from xml.etree import ElementTree

import altair as alt

from dashboard.rendered import svg

LETTER = 0.55  # of the font size: the mean width of a letter of a sans-serif, in plain text
NAMESPACE = "{http://www.w3.org/2000/svg}"
MOVED = re.compile(r"translate\(([-\d.e]+),([-\d.e]+)\)")


class Box(NamedTuple):
    """A line of text and its corners in pixels of the whole picture."""

    text: str
    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Box) -> bool:
        return self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom


def boxes(chart: alt.TopLevelMixin, width: int) -> tuple[list[Box], float, float]:
    """The boxes of all text of a chart drawn `width` pixels wide, the width and the height of the drawing. Text behind text counts once."""
    root = ElementTree.fromstring(svg(chart, width))
    found = dict.fromkeys(box for element, x, y in _walk(root, 0.0, 0.0) if (box := _box(element, x, y)))
    return list(found), float(root.get("width")), float(root.get("height"))


def _walk(element: ElementTree.Element, x: float, y: float):
    moved = MOVED.search(element.get("transform", ""))
    if moved:
        x, y = x + float(moved[1]), y + float(moved[2])
    if element.tag == f"{NAMESPACE}text":
        yield element, x, y
    for child in element:
        yield from _walk(child, x, y)


def _box(element: ElementTree.Element, x: float, y: float) -> Box | None:
    text = "".join(element.itertext())
    if not text.strip() or element.get("opacity") == "0":
        return None
    size = float(element.get("font-size", "12px").removesuffix("px"))
    long = LETTER * size * len(text)
    begins = {"middle": -long / 2, "end": -long}.get(element.get("text-anchor", "start"), 0.0)
    if "rotate(-90" in element.get("transform", "") or "rotate(270" in element.get("transform", ""):
        return Box(text, round(x - 0.75 * size, 1), round(y - begins - long, 1), round(x + 0.25 * size, 1), round(y - begins, 1))
    return Box(text, round(x + begins, 1), round(y - 0.75 * size, 1), round(x + begins + long, 1), round(y + 0.2 * size, 1))
