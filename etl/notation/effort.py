"""Ratings of effort and pain: 8, 8.5, @8, RPE 8, 8/10, 2 RIR, 2 in reserve, and ranges of them (1-2)."""

from __future__ import annotations

import re

import pandas as pd

from etl.notation.blanks import by_distinct, plain
from etl.notation.numbers import LONGEST, NUMBER, decimal_mark, number

WIDEST = 2  # [D] "7-8" and "8-10" are one rating said roughly; ends further apart are the scale itself ("0-10")
_VALUE = r"\d+(?:[.,]\d+)?"
_BEFORE, _BEHIND = r"(?:@|rpe|rir)?[ :@]*", r"\s?(?:/\s?10|rpe|rir|left|reps? left|(?:reps? )?in reserve)?"
_RATING = re.compile(rf"{_BEFORE}(?P<n>{NUMBER}){_BEHIND}", re.ASCII)
_ROUGHLY = re.compile(rf"{_BEFORE}(?P<low>{_VALUE})\s?[-\u2013\u2014]\s?(?P<high>{_VALUE}){_BEHIND}", re.ASCII)
NAN = float("nan")


def read_efforts(text: pd.Series, mark: str | None = None) -> pd.Series:
    """Ratings as float, NaN where a cell is blank or not read. What the number rates, the caller knows.

    A rating said as a range ("7-8") is its middle.
    """
    mark = mark or decimal_mark(text)
    return by_distinct(text, lambda cell: effort(cell, mark), "float64")


def effort(cell: str, mark: str = ".") -> float:
    """One rating, NaN where it cannot be read."""
    if len(cell) > LONGEST:
        return NAN
    cell = plain(cell)
    if m := _RATING.fullmatch(cell):
        return number(m["n"], mark)
    if m := _ROUGHLY.fullmatch(cell):
        low, high = number(m["low"], mark), number(m["high"], mark)
        return (low + high) / 2 if abs(high - low) <= WIDEST else NAN
    return NAN
