"""Cells that say nothing, and the one way in which a function of one text is applied to a column."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from typing import Any

import pandas as pd

from etl.tables import cell_words


def is_blank(text: pd.Series) -> pd.Series:
    """True where a cell is empty or holds only a sign or word that stands for nothing, such as a dash, n/a or k.A."""
    return by_distinct(text, lambda cell: plain(cell) in BLANK_WORDS, "bool")


def plain(cell: str) -> str:
    """A cell in lower case, without blanks around it, its signs and spaces in their plain form."""
    return " ".join(cell.replace("\u2212", "-").replace("\u00d7", "x").split()).lower()


def folded(cell: str) -> str:
    """A plain cell without accents and umlauts, its apostrophes straight: "Côté gauche" and "cote gauche" are one."""
    letters = unicodedata.normalize("NFD", plain(cell).replace("\u2019", "'"))
    return "".join(c for c in letters if not unicodedata.combining(c)).casefold()


def by_distinct(text: pd.Series, read: Callable[[str], Any], dtype: str) -> pd.Series:
    """`read` of each cell. A training log repeats its cells, so each distinct one is read once."""
    codes, distinct = pd.factorize(text.astype("str").fillna(""))
    values = pd.Series([read(cell) for cell in distinct], dtype=dtype)
    return values.take(codes).set_axis(text.index)


def meanings(kind: str) -> dict[str, str]:
    """Folded word -> what it means, for one kind of cell_words.csv."""
    table = cell_words()
    own = table[table["kind"] == kind]
    return {folded(word): means for word, means in zip(own["words"], own["means"], strict=True)}


def _blank_words() -> frozenset[str]:
    """As `plain` leaves them, with and without their accents, since other readers ask with a plain cell."""
    table = cell_words()
    words = table.loc[table["kind"] == "blank", "words"]
    return frozenset({"", *words, *meanings("blank")})


BLANK_WORDS = _blank_words()
