"""Loads as people write them: 20, 20 kg, 45lb, BW, BW+10, BW-20, ~30."""

from __future__ import annotations

import re
from typing import NamedTuple

import pandas as pd

from etl.notation.blanks import BLANK_WORDS, by_distinct, plain
from etl.notation.numbers import NUMBER, decimal_mark, number
from etl.notation.words import UNIT_WORDS

_BODY = r"(?P<body>bw|b\.w\.|body\s?-?weight|body\s?mass|body)"
_UNIT = r"(?P<unit>" + "|".join(sorted(map(re.escape, UNIT_WORDS), key=len, reverse=True)) + r")\.?"
_PAIR = r"(?:2\s?x\s?)?"
_EACH = r"(?:\s?x\s?2|\s?(?:each|per hand|per side|/hand|/side|ea|e|ph))?"
_LOAD = re.compile(rf"(?P<guess>~|ca\.?\s?|about\s|approx\.?\s|est\.?\s)?@?\s?{_PAIR}(?P<value>{NUMBER})\s?(?:{_UNIT})?{_EACH}(?P<doubt>\?)?", re.ASCII)
_BODY_LOAD = re.compile(rf"{_BODY}(?:\s?(?P<value>[+-]\s?{NUMBER})\s?(?:{_UNIT})?)?", re.ASCII)
_ADDED_FIRST = re.compile(rf"(?P<value>{NUMBER})\s?(?:{_UNIT})?\s?\+\s?{_BODY}", re.ASCII)
_ASSISTED = re.compile(rf"(?:assist(?:ed|ance)?(?:\sby)?\s?-?(?P<a>{NUMBER})|-?(?P<b>{NUMBER}))\s?(?:{_UNIT})?(?P<word>\s?assist(?:ed|ance)?)?", re.ASCII)
NAN = float("nan")


class Load(NamedTuple):
    value: float  # as written, in the unit that the cell says, or in none
    unit: str  # kg, lb or "" where the cell says none
    body: bool  # the cell names body weight; value is what is added to it
    estimated: bool  # the cell says that it is a guess
    wordy: bool  # text without any digit that is no load: "red band"


def read_loads(text: pd.Series, mark: str | None = None) -> pd.DataFrame:
    """Columns value, unit, body, estimated, wordy; one row per cell (see `Load`).

    A load written for a pair ("2x20", "20 each") is one hand's. Value is NaN where a cell is blank or not read.
    """
    mark = mark or decimal_mark(text)
    found = by_distinct(text, lambda cell: load(cell, mark), "object")
    return pd.DataFrame(list(found), columns=Load._fields, index=text.index).astype(
        {"value": "float64", "unit": "str", "body": "bool", "estimated": "bool", "wordy": "bool"})


def load(cell: str, mark: str = ".") -> Load:
    """One load."""
    cell = plain(cell)
    if cell in BLANK_WORDS:
        return Load(NAN, "", False, False, False)
    for form in (_LOAD, _BODY_LOAD, _ADDED_FIRST):
        if m := form.fullmatch(cell):
            return _from(m.groupdict(), mark)
    if "assist" in cell and (m := _ASSISTED.fullmatch(cell)):
        value = number(m["a"] or m["b"], mark)
        return Load(-abs(value), UNIT_WORDS.get(m["unit"] or "", ""), True, False, False)
    return Load(NAN, "", False, False, not any(c.isdigit() for c in cell))


def _from(parts: dict[str, str | None], mark: str) -> Load:
    body = parts.get("body") is not None
    value = number(parts["value"].strip(), mark) if parts["value"] else 0.0
    guessed = bool(parts.get("guess") or parts.get("doubt"))
    return Load(value, UNIT_WORDS.get(parts.get("unit") or "", ""), body, guessed, False)
