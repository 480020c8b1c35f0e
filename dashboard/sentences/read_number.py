"""A number as a person writes it into a field."""

from __future__ import annotations

from dashboard.sentences.decimal_mark import POINT, mark


def read_number(text: str) -> float:
    """A number as a person writes it, with the mark that holds; a point is always one. Raises ValueError.

    >>> read_number(" 82.5 ")
    82.5
    """
    return float(text.strip().replace("\u202f", "").replace(mark(), POINT))
