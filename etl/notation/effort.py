"""Ratings of effort and pain: 8, 8.5, @8, RPE 8, 8/10, 2 RIR, 2 in reserve, and ranges of them (1-2)."""

from __future__ import annotations

import re
from typing import NamedTuple

import pandas as pd

from etl.notation.blanks import by_distinct, folded, meanings
from etl.notation.numbers import LONGEST, NUMBER, decimal_mark, number

WIDEST = 2  # [D] "7-8" and "8-10" are one rating said roughly; ends further apart are the scale itself ("0-10")
HARD = 5  # [D] behind "@" a number above this is an RPE: that many repetitions are hardly ever left, and hardly ever told
SCALES = meanings("scale")  # folded word -> the scale that it names, rpe or rir
_VALUE = r"\d+(?:[.,]\d+)?"
_WORDS = "|".join(sorted(map(re.escape, SCALES), key=len, reverse=True))
_BEFORE, _BEHIND = rf"(?P<before>{_WORDS})?[ :=@]*", rf"\s?(?P<behind>/\s?10|{_WORDS})?"
_RATING = re.compile(rf"{_BEFORE}(?P<n>{NUMBER}){_BEHIND}", re.ASCII)
_ROUGHLY = re.compile(rf"{_BEFORE}(?P<low>{_VALUE})\s?[-\u2013\u2014]\s?(?P<high>{_VALUE}){_BEHIND}", re.ASCII)
NAN = float("nan")


class Effort(NamedTuple):
    value: float  # NaN where the cell cannot be read
    scale: str = ""  # rpe or rir, where the cell itself says which


def effort_scales(text: pd.Series, mark: str | None = None) -> pd.Series:
    """rpe or rir for a cell that says itself what its number is ("2 RIR", "@9"), else ""."""
    mark = mark or decimal_mark(text)
    return by_distinct(text, lambda cell: rating(cell, mark).scale, "str")


def read_efforts(text: pd.Series, mark: str | None = None) -> pd.Series:
    """Ratings as float, NaN where a cell is blank or not read. What the number rates, the caller knows.

    A rating said as a range ("7-8") is its middle.
    """
    mark = mark or decimal_mark(text)
    return by_distinct(text, lambda cell: effort(cell, mark), "float64")


def effort(cell: str, mark: str = ".") -> float:
    """The number of one rating, NaN where it cannot be read."""
    return rating(cell, mark).value


def rating(cell: str, mark: str = ".") -> Effort:
    """One rating. Two words that name different scales cannot be read."""
    if len(cell) > LONGEST:
        return Effort(NAN)
    cell = folded(cell)
    m = _RATING.fullmatch(cell) or _ROUGHLY.fullmatch(cell)
    if m is None:
        return Effort(NAN)
    parts = m.groupdict()
    said = {"rpe" if word.startswith("/") else SCALES[word] for word in (m["before"], m["behind"]) if word}
    value = _middle(number(m["low"], mark), number(m["high"], mark)) if "low" in parts else number(m["n"], mark)
    if len(said) > 1 or value != value:
        return Effort(NAN)
    return Effort(value, said.pop() if said else "rpe" if cell.startswith("@") and value > HARD else "")


def _middle(low: float, high: float) -> float:
    return (low + high) / 2 if abs(high - low) <= WIDEST else NAN
