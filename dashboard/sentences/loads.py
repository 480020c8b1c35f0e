"""The loads in the house as a person reads and writes them in one line."""

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
    plain = (item.strip().replace("\u202f", "") for item in PARTED[mark()].split(line))
    return sorted({float(item.replace(COMMA, POINT) if mark() == COMMA else item) for item in plain if item})
