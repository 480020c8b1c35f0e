"""Cells that say nothing, and the one way in which a function of one text is applied to a column."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pandas as pd

BLANK_WORDS = frozenset({"", "-", "--", "–", "—", "n/a", "na", "nan", "null", "none", "nil", "."})


def is_blank(text: pd.Series) -> pd.Series:
    """True where a cell is empty or holds only a sign that stands for nothing, such as a dash or n/a."""
    return by_distinct(text, lambda cell: plain(cell) in BLANK_WORDS, "bool")


def plain(cell: str) -> str:
    """A cell in lower case, without blanks around it, its signs and spaces in their plain form."""
    return " ".join(cell.replace("\u2212", "-").replace("\u00d7", "x").split()).lower()


def by_distinct(text: pd.Series, read: Callable[[str], Any], dtype: str) -> pd.Series:
    """`read` of each cell. A training log repeats its cells, so each distinct one is read once."""
    codes, distinct = pd.factorize(text.astype("str").fillna(""))
    values = pd.Series([read(cell) for cell in distinct], dtype=dtype)
    return values.take(codes).set_axis(text.index)
