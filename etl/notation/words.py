"""Words of the trade in cells: sides, kinds of set, ranges, limits, units, yes and no, in the languages of cell_words.csv.

Each function but `totals` gives "" where a cell is blank or its word is not known. Accents, a full stop behind an
abbreviation and hyphens between words are passed over.
"""

from __future__ import annotations

import pandas as pd

from etl.notation.blanks import by_distinct, folded, meanings

# Folded word -> what it means.
UNIT_WORDS = meanings("unit")
OTHER_UNITS = meanings("other_unit")  # of what is no load in kg, lb or st: a share, a force, another mass, a step of a machine
SIDES = meanings("side")
KINDS = meanings("set_kind")
RANGES = meanings("range")
LIMITS = meanings("limit")
YES_NO = meanings("yes_no")
STATES = meanings("state")
TOTALS = frozenset(meanings("total"))
_BETWEEN_WORDS = str.maketrans("-_", "  ")


def sides(text: pd.Series) -> pd.Series:
    """left, right, both, or each (both, one after the other, the count being that of one side)."""
    return _look_up(text, SIDES)


def kinds(text: pd.Series) -> pd.Series:
    """work, warm_up, drop, rest_pause or cluster."""
    return _look_up(text, KINDS)


def ranges(text: pd.Series) -> pd.Series:
    """full, lower_half, upper_half or part."""
    return _look_up(text, RANGES)


def limits(text: pd.Series) -> pd.Series:
    """What ended the set: muscle, breath, grip, form or pain."""
    return _look_up(text, LIMITS)


def units(text: pd.Series) -> pd.Series:
    """kg, lb or st (stone)."""
    return _look_up(text, UNIT_WORDS)


def booleans(text: pd.Series) -> pd.Series:
    """yes or no."""
    return _look_up(text, YES_NO)


def states(text: pd.Series) -> pd.Series:
    """planned or done."""
    return _look_up(text, STATES)


def totals(text: pd.Series) -> pd.Series:
    """True for a word that heads a line of totals."""
    return by_distinct(text, lambda cell: folded(cell).rstrip(":. ") in TOTALS, "bool")


def _look_up(text: pd.Series, words: dict[str, str]) -> pd.Series:
    return by_distinct(text, lambda cell: _meaning(folded(cell).rstrip("."), words), "str")


def _meaning(word: str, words: dict[str, str]) -> str:
    return words.get(word) or words.get(" ".join(word.translate(_BETWEEN_WORDS).split()), "")
