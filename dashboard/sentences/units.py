"""Loads in the unit that an athlete's pages show. The log and what is kept of it are in kilograms; texts and tables are turned over when they are shown."""

from __future__ import annotations

import re

import pandas as pd

from dashboard.sentences.decimal_mark import COMMA, POINT, mark
from dashboard.sentences.numbers import MINUS, measured, number

KG, LB = "kg", "lb"
LB_KG = 0.45359237  # kg in a pound (exact, international pound of 1959)
# A number with each decimal mark; and a load, or two ends of one, after which may stand its interval in brackets, which has no unit of its own.
NUMBER = {mark: rf"\d[\d\u202f]*(?:[{mark}]\d+)?" for mark in (POINT, COMMA)}
LOAD = {mark: re.compile(rf"(?<![\d{mark}])({one}(?: to {one})?) kg\b(?! per kg)(?: \(({one} to {one})\))?") for mark, one in NUMBER.items()}


def from_kg(kg: float, unit: str) -> float:
    """A load in the unit."""
    return kg / LB_KG if unit == LB else kg


def load(kg: float, unit: str) -> str:
    """A load in the unit, whole.

    >>> load(45.359237, "lb"), load(30.6, "kg")
    ('100 lb', '31 kg')
    """
    return f"{number(from_kg(kg, unit), 0)} {unit}"


def in_unit(text: str, unit: str) -> str:
    """A text of ours with its loads in the unit, in tenths; a load in kg per kg of body mass stays. Not for what a person wrote.

    >>> in_unit("at 10 kg, then 20 to 22.5 kg", "lb"), in_unit("1.2 kg per kg", "lb"), in_unit("10 kg", "kg")
    ('at 22 lb, then 44.1 to 49.6 lb', '1.2 kg per kg', '10 kg')
    >>> in_unit("82.5 kg (80.0 to 85.0)", "lb")
    '181.9 lb (176.4 to 187.4)'
    """
    return LOAD[mark()].sub(_turned, text) if unit == LB else text


def _turned(found: re.Match[str]) -> str:
    """In brackets stands an interval, whose ends are written with a decimal."""
    told = " to ".join(number(from_kg(_kg(kg), LB)) for kg in found[1].split(" to ")) + " lb"
    return told + (f" ({' to '.join(measured(from_kg(_kg(kg), LB)) for kg in found[2].split(' to '))})" if found[2] else "")


def _kg(text: str) -> float:
    return float(text.replace("\u202f", "").replace(COMMA, POINT))


def rows_in_unit(rows: pd.DataFrame, unit: str, *columns: str) -> pd.DataFrame:
    """A table with the loads in the texts of these columns in the unit; of all columns where none is named."""
    if unit != LB or rows.empty:
        return rows
    return rows.assign(**{name: rows[name].map(lambda text: in_unit(text, unit) if isinstance(text, str) else text) for name in columns or rows.columns})


def table_in_unit(rows: pd.DataFrame, unit: str) -> pd.DataFrame:
    """A table of text whose columns of loads say so in their headings ('load, kg'); what is no number in them stays."""
    if unit != LB:
        return rows
    turned = {name: rows[name].map(_number_in_lb) for name in rows if heading_in_unit(name, unit) != name}
    return rows.assign(**turned).rename(columns=lambda name: heading_in_unit(name, unit))


def _number_in_lb(text: str) -> str:
    plain = text.replace(MINUS, "-")
    return number(from_kg(_kg(plain), LB), 1) if re.fullmatch(f"-?{NUMBER[mark()]}", plain) else text


def heading_in_unit(heading: str, unit: str) -> str:
    """A heading such as 'load, kg' in the unit.

    >>> heading_in_unit("heaviest load, kg, one hand", "lb"), heading_in_unit("kg per kg of body mass", "lb")
    ('heaviest load, lb, one hand', 'kg per kg of body mass')
    """
    return re.sub(r"\bkg\b(?! per kg)", unit, heading) if "kg per kg" not in heading else heading
