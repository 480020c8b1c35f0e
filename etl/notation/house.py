"""The loads in the house, as a person writes them in one line, in kilograms."""

from __future__ import annotations

import re
from itertools import pairwise

from etl.refusal import Refusal
from etl.settings import RULES

IN_KG = {"kg": 1.0, "lb": RULES.pound_kg}
MOST = 200  # [D] loads of one series: more is a slip of the step
_NUMBER = r"\d+(?:[.,]\d+)?"
_ENDS, _APART = re.compile(r"[;\n\r]"), re.compile(r",(?!\d)|(?<!\d),")  # what ends a load in any case
_PARTED = {True: re.compile(rf"{_ENDS.pattern}|{_APART.pattern}"), False: re.compile(r"[,;\n\r]")}  # by whether a comma between two digits is a decimal mark
_TIGHT, _POINT = re.compile(r"\d,\d"), re.compile(r"\d\.\d")
_SUCH_AS = {True: "semicolons, such as 2; 4; 7,5", False: "commas, such as 2, 4, 7.5"}
_UNIT = r"\s*(kgs?|lbs?)?\.?"
_ITEM = re.compile(rf"({_NUMBER}){_UNIT}(?:\s*(?:to|-|–)\s*({_NUMBER}){_UNIT}\s*by\s*({_NUMBER}){_UNIT})?", re.IGNORECASE)


def loads_in_kg(text: str, unit: str, where: str = "", comma: bool = False) -> list[float]:
    """Loads in kg, the lightest first, each once. A load is in the unit behind it, else in that of the next one that has one, else in `unit`.

    where: the field or option, for a Refusal, which is raised for what is no list of loads, or may be two. comma: a comma between two digits is a decimal mark;
    so it is where semicolons or line ends part the loads, and elsewhere as the order of the loads tells. A point is a decimal mark always.

    >>> loads_in_kg("2, 4, 7.5", "kg"), loads_in_kg("2 to 8 by 2 kg", "lb"), loads_in_kg("5, 10 lb", "kg") == [5 * 0.45359237, 10 * 0.45359237]
    ([2.0, 4.0, 7.5], [2.0, 4.0, 6.0, 8.0], True)
    >>> loads_in_kg("2,5; 7.5;10", "kg"), loads_in_kg("2, 4, 7,5", "kg"), loads_in_kg("2,4,6", "kg"), loads_in_kg("2, 4,5, 6", "kg", comma=True)
    ([2.5, 7.5, 10.0], [2.0, 4.0, 7.5], [2.0, 4.0, 6.0], [2.0, 4.5, 6.0])
    """
    comma = comma or _TIGHT.search(text) is not None and _is_decimal_mark(text, unit, where)
    return sorted(set(_loads(text, unit, where, comma)))


def _is_decimal_mark(text: str, unit: str, where: str) -> bool:
    """Whether the commas between two digits are decimal marks. Raises Refusal where that is open."""
    if _ENDS.search(text):
        return True
    marks, parts = (_in_order(text, unit, where, comma) for comma in (True, False))
    if _POINT.search(text) and (parts or not marks):
        return False  # its decimal mark is the point
    if not _APART.search(text):  # no comma stands apart: 2,4,6
        if parts == "up":
            return False
        if marks and not parts:
            return True  # 2,5 to 10 by 2,5
    elif bool(marks) != bool(parts):
        return bool(marks)
    raise Refusal(f"whether a comma of '{text}' ends a load or is its decimal mark is not said", where,
                  "Part the loads by semicolons, such as 6; 8; 12,5, or write its decimal mark as a point: 12.5.", field="loads")


def _in_order(text: str, unit: str, where: str, comma: bool) -> str:
    """'up' or 'down' where the loads, so read, stand in that order without one twice; '' where they do not, or are no loads."""
    try:
        loads = _loads(text, unit, where, comma)
    except Refusal:
        return ""
    steps = [after - before for before, after in pairwise(loads)]
    return "up" if all(step > 0 for step in steps) else "down" if all(step < 0 for step in steps) else ""


def _loads(text: str, unit: str, where: str, comma: bool) -> list[float]:
    """The loads in kg as they stand in the text. Raises Refusal."""
    found: list[list[float]] = []
    for item in reversed([item.strip() for item in _PARTED[comma].split(text) if item.strip()]):
        told = _ITEM.fullmatch(item)
        said = {one.casefold().rstrip("s") for one in (told[2], told[4], told[6]) if one} if told else set()
        if told is None or len(said) > 1:
            raise Refusal(f"'{item}' is no load", where, f"Write them in {unit}, parted by {_SUCH_AS[comma]}, or 2 to 10 by 2; a load in the other unit with it, "
                          f"such as 5 {'lb' if unit == 'kg' else 'kg'}.", field="loads")
        unit = said.pop() if said else unit
        found.append([one * IN_KG[unit] for one in _series(_read(told[1]), _read(told[3] or told[1]), _read(told[5] or "1"), item, where)])
    return [one for series in reversed(found) for one in series]


def _read(text: str) -> float:
    return float(text.replace(",", "."))


def _series(first: float, last: float, step: float, item: str, where: str) -> list[float]:
    if step <= 0 or last < first or (last - first) / step > MOST:
        raise Refusal(f"'{item}' is no series of loads", where, "Write the lightest, the heaviest and the step, such as 2 to 10 by 2.", field="loads")
    return [first + step * n for n in range(int((last - first) / step + 1e-9) + 1)]
