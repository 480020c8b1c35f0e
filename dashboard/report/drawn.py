"""A report's pictures as SVG, and its texts as they may stand in a file, for both kinds of file."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import product
from math import ceil
from xml.etree import ElementTree

from dashboard.harmless import harmless
from dashboard.rendered import svg
from dashboard.report.content import Report, Section
from dashboard.report.figures import Figure

WIDTH = 343  # pixels: half a sheet of paper, and a phone
WORDS = 90  # pixels, about: of a picture's title and of the line on how to read it
LINE, LETTERS = 20, 50  # of a sentence in a column: its height in pixels, and how many letters it has, about
SVG = "http://www.w3.org/2000/svg"
BLANKS = re.compile(r"[^\S\u00a0\u202f]+")  # all but those that keep a number and its unit on one line

ElementTree.register_namespace("", SVG)


@dataclass(frozen=True)
class Drawn:
    """A picture. svg: one element without a word for screen readers in it, as `words` is its text alternative; height: pixels."""

    title: str
    words: str
    reading: str
    svg: str
    height: float


def in_columns(report: Report, ahead: bool = True) -> tuple[tuple[Drawn, ...], ...]:
    """The pictures in two columns that come out at about one height with what was found below the second. The first picture stands first, and
    each column keeps their order; the second may be empty. ahead: whether what is ahead stands there.
    """
    if not ahead:
        return min(_ways(report), key=lambda way: max(map(_height, way)))
    return min(_ways(report), key=lambda way: max(_beneath(report, way)))


def packed(report: Report) -> tuple[tuple[tuple[Drawn, ...], ...], tuple[tuple[Section, ...], ...]]:
    """The pictures in two columns, and what a person said beside in each column below them, so that both come out at about one height."""
    made = [(way, _shared(report, way)) for way in _ways(report)]
    way, (sections, _) = min(made, key=lambda one: max(one[1][1]))
    return way, sections


def _ways(report: Report) -> list[tuple[tuple[Drawn, ...], ...]]:
    """Every way to put the pictures into two columns, in their order, the first one first."""
    drawn = tuple(map(_drawn, report.figures))
    return [(drawn[:1] + tuple(one for one, left in zip(drawn[1:], lefts, strict=True) if left), tuple(one for one, left in zip(drawn[1:], lefts, strict=True) if not left))
            for lefts in product((True, False), repeat=max(0, len(drawn) - 1))]


def _beneath(report: Report, way: tuple[tuple[Drawn, ...], ...]) -> tuple[float, float]:
    """How tall both columns are, with what is ahead below the second."""
    return _height(way[0]), _height(way[1]) + sum(map(_said, report.ahead))


def _shared(report: Report, way: tuple[tuple[Drawn, ...], ...]) -> tuple[tuple[tuple[Section, ...], ...], list[float]]:
    """Each section below the column that is shorter so far, and how tall both are then."""
    tall, below = [*_beneath(report, way)], ([], [])
    for section in report.beside:
        side = tall.index(min(tall))
        below[side].append(section)
        tall[side] += _said(section)
    return tuple(map(tuple, below)), tall


def plain(text: str) -> str:
    """Text on one line, with what would turn its direction or command a program written out."""
    return harmless(BLANKS.sub(" ", text).strip())


def _height(column: tuple[Drawn, ...]) -> float:
    return sum(one.height + WORDS for one in column)


def _said(section: Section) -> float:
    return LINE * (2 + sum(ceil(len(line) / LETTERS) for line in section.lines))


def _drawn(figure: Figure) -> Drawn:
    root = ElementTree.fromstring(svg(figure.chart, WIDTH))
    for element in root.iter():
        for name in [name for name in element.attrib if name == "role" or name.startswith("aria-")]:
            del element.attrib[name]
    return Drawn(plain(figure.title), plain(figure.words), plain(figure.reading), ElementTree.tostring(root, "unicode"), float(root.get("height", "0")))
