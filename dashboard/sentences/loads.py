"""Numbers as a person writes them into a field: one, or the loads in the house in one line."""

from __future__ import annotations

import re
from collections.abc import Sequence

from dashboard.sentences.decimal_mark import COMMA, POINT, mark
from dashboard.sentences.numbers import number

BETWEEN = {POINT: ",", COMMA: ";"}  # what stands between two loads, by the decimal mark
PARTED = {POINT: re.compile(r"[;,]"), COMMA: re.compile(r";|,\s")}


def loads_line(loads: Sequence[float]) -> str:
    """The loads in kg, parted so that no decimal mark is taken for the end of one.

    >>> loads_line([2, 7.5, 10])
    '2, 7.5, 10'
    """
    return f"{BETWEEN[mark()]} ".join(number(load, 3) for load in loads)


def read_loads(line: str) -> list[float]:
    """The loads of such a line, the lightest first, each once. With the comma as decimal mark a point is one too. Raises ValueError.

    >>> read_loads("10, 7.5, 2; 2")
    [2.0, 7.5, 10.0]
    """
    return sorted({read_number(item) for item in PARTED[mark()].split(line) if item.strip()})


def read_number(text: str) -> float:
    """A number as a person writes it, with the mark that holds; a point is always one. Raises ValueError.

    >>> read_number(" 82.5 ")
    82.5
    """
    return float(text.strip().replace("\u202f", "").replace(mark(), POINT))
