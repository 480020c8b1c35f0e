"""The loads in the house, as a person writes them in one line, in kilograms."""

from __future__ import annotations

import re

from etl.refusal import Refusal
from etl.settings import RULES

IN_KG = {"kg": 1.0, "lb": RULES.pound_kg}
MOST = 200  # [D] loads of one series: more is a slip of the step
_NUMBER = r"\d+(?:[.,]\d+)?"
_PARTED = {True: re.compile(r";|,\s"), False: re.compile("[,;]")}  # by whether a comma is a decimal mark
_SUCH_AS = {True: "semicolons, such as 2; 4; 7,5", False: "commas, such as 2, 4, 7.5"}
_UNIT = r"\s*(kgs?|lbs?)?\.?"
_ITEM = re.compile(rf"({_NUMBER}){_UNIT}(?:\s*(?:to|-|–)\s*({_NUMBER}){_UNIT}\s*by\s*({_NUMBER}){_UNIT})?", re.IGNORECASE)


def loads_in_kg(text: str, unit: str, where: str = "", comma: bool = False) -> list[float]:
    """Loads in kg, the lightest first, each once. A load is in the unit behind it, else in that of the next one that has one, else in `unit`.

    where: the field or option, for a Refusal, which is raised for what is no list of loads. comma: a comma within a number is its decimal mark, and a
    semicolon, or a comma with a blank after it, parts two loads; a point is a decimal mark always.

    >>> loads_in_kg("2, 4, 7.5", "kg"), loads_in_kg("2 to 8 by 2 kg", "lb"), loads_in_kg("5, 10 lb", "kg") == [5 * 0.45359237, 10 * 0.45359237]
    ([2.0, 4.0, 7.5], [2.0, 4.0, 6.0, 8.0], True)
    >>> loads_in_kg("2,5; 7.5;10", "kg", comma=True), loads_in_kg("2, 4, 7,5", "kg", comma=True)
    ([2.5, 7.5, 10.0], [2.0, 4.0, 7.5])
    """
    found: list[float] = []
    for item in reversed([item.strip() for item in _PARTED[comma].split(text) if item.strip()]):
        told = _ITEM.fullmatch(item)
        said = {one.casefold().rstrip("s") for one in (told[2], told[4], told[6]) if one} if told else set()
        if told is None or len(said) > 1:
            raise Refusal(f"'{item}' is no load", where, f"Write them in {unit}, parted by {_SUCH_AS[comma]}, or 2 to 10 by 2; a load in the other unit with it, "
                          f"such as 5 {'lb' if unit == 'kg' else 'kg'}.", field="loads")
        unit = said.pop() if said else unit
        found += [one * IN_KG[unit] for one in _series(_read(told[1]), _read(told[3] or told[1]), _read(told[5] or "1"), item, where)]
    return sorted(set(found))


def _read(text: str) -> float:
    return float(text.replace(",", "."))


def _series(first: float, last: float, step: float, item: str, where: str) -> list[float]:
    if step <= 0 or last < first or (last - first) / step > MOST:
        raise Refusal(f"'{item}' is no series of loads", where, "Write the lightest, the heaviest and the step, such as 2 to 10 by 2.", field="loads")
    return [first + step * n for n in range(int((last - first) / step + 1e-9) + 1)]
