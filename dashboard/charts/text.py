"""Numbers and days as they are written on charts and pages."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import pandas as pd

UNKNOWN = "–"
MINUS = "\u2212"


def number(value: float | None, places: int = 1) -> str:
    """At most `places` decimals, none where it is whole; thousands apart; '–' where unknown."""
    if value is None or pd.isna(value):
        return UNKNOWN
    text = f"{value:,.{places}f}".replace(",", "\u202f")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return text.replace("-", MINUS) if text.strip("-0.") else "0"


def measured(value: float | None, places: int = 1) -> str:
    """With exactly `places` decimals: for values that stand beside their interval."""
    if value is None or pd.isna(value):
        return UNKNOWN
    return f"{value:.{places}f}".replace("-", MINUS)


def signed(value: float | None, places: int = 1) -> str:
    """With its sign, a rise as +, and exactly `places` decimals."""
    text = measured(value, places)
    return f"+{text}" if text[0].isdigit() and float(text) else text.removeprefix(MINUS) if text.strip(f"{MINUS}0.") == "" else text


def day(when: date, year: bool = True) -> str:
    """9 March 2026, or 9 March."""
    return f"{when.day} {when:%B}" + (f" {when.year}" if year else "")


def listed(words: Sequence[str]) -> str:
    """'a', 'a and b', 'a, b and c'."""
    return " and ".join(filter(None, [", ".join(words[:-1]), *words[-1:]]))


def counted(count: int, one: str, many: str) -> str:
    """'1 row', '3 rows'."""
    return f"{number(count)} {one if count == 1 else many}"


def begun(sentence: str) -> str:
    """The sentence with a capital first letter; the rest as it is."""
    return sentence[:1].upper() + sentence[1:]
