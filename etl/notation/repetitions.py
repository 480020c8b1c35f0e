"""Repetition cells: 10, 10 reps, x10, 45s (a hold), 10/side, 8L."""

from __future__ import annotations

import re
from typing import NamedTuple

import pandas as pd

from etl.notation.blanks import BLANK_WORDS, by_distinct, plain
from etl.notation.clock import duration_s
from etl.notation.numbers import NUMBER, decimal_mark, number
from etl.notation.words import SIDES

_SIDE = r"(?P<side>/\s?side|/\s?leg|/\s?arm|each side|each leg|each arm|each|per side|per leg|per arm|e/s|ea|left|right|l|r)"
_REPS = re.compile(rf"x?\s?(?P<n>{NUMBER})\s?x?\s?(?:reps?|repetitions?)?\.?\s?{_SIDE}?", re.ASCII)
NAN = float("nan")


class Repetitions(NamedTuple):
    reps: float  # NaN where the cell says seconds or nothing
    hold_s: float  # seconds, where the cell says so
    side: str  # left, right, each, or "" where the cell names none
    read: bool  # False for text that is neither


def read_repetitions(text: pd.Series, mark: str | None = None) -> pd.DataFrame:
    """Columns reps, hold_s, side, read; one row per cell (see `Repetitions`)."""
    mark = mark or decimal_mark(text)
    found = by_distinct(text, lambda cell: repetitions(cell, mark), "object")
    return pd.DataFrame(list(found), columns=Repetitions._fields, index=text.index).astype(
        {"reps": "float64", "hold_s": "float64", "side": "str", "read": "bool"})


def repetitions(cell: str, mark: str = ".") -> Repetitions:
    """One cell of repetitions or of seconds with their sign."""
    cell = plain(cell)
    if cell in BLANK_WORDS:
        return Repetitions(NAN, NAN, "", True)
    m = _REPS.fullmatch(cell)
    # Halves are written of part repetitions; any other fraction is a list ("10,8") or a slip.
    if m and (value := number(m["n"], mark)) * 2 % 1 == 0:
        word = (m["side"] or "").replace("/ ", "/")
        return Repetitions(value, NAN, "each" if word.startswith("/") else SIDES.get(word, ""), True)
    seconds = duration_s(cell, "s", mark)
    return Repetitions(NAN, seconds, "", seconds == seconds)
