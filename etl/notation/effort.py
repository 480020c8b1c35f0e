"""Ratings of effort and pain: 8, 8.5, @8, RPE 8, 8/10, 2 RIR."""

from __future__ import annotations

import re

import pandas as pd

from etl.notation.blanks import by_distinct, plain
from etl.notation.numbers import NUMBER, decimal_mark, number

_RATING = re.compile(rf"(?:@|rpe|rir)?[ :@]*(?P<n>{NUMBER})\s?(?:/\s?10|rpe|rir|left|reps? left|in reserve)?", re.ASCII)


def read_efforts(text: pd.Series, mark: str | None = None) -> pd.Series:
    """Ratings as float, NaN where a cell is blank or not read. What the number rates, the caller knows."""
    mark = mark or decimal_mark(text)
    return by_distinct(text, lambda cell: effort(cell, mark), "float64")


def effort(cell: str, mark: str = ".") -> float:
    """One rating, NaN where it cannot be read."""
    m = _RATING.fullmatch(plain(cell))
    return number(m["n"], mark) if m else float("nan")
