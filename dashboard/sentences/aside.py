"""Rows of files that were set aside and wait to be mended: what they hold is missing in all that is told of a log."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from dashboard.sentences.numbers import counted, number

FILES, PEOPLE = 2, 5  # that are named one by one
ON_PAGE = "on the page Data"
BY_COMMAND = "evenset mend --out FILE.csv"


def of_one(files: Mapping[str, int], where: str = ON_PAGE) -> str:
    """Of one athlete. files: file -> rows; where: how to mend them.

    >>> of_one({"Hanno.csv": 23}), of_one({"a.csv": 5, "b.csv": 3, "c.csv": 1})
    ('23 rows of Hanno.csv could not be read and wait to be mended (on the page Data): what they hold is missing here.', '9 rows of a.csv, b.csv and 1 more could not be read and wait to be mended (on the page Data): what they hold is missing here.')
    """
    rows = sum(files.values())
    return f"{counted(rows, 'row', 'rows')} of {_few(list(files), FILES)} could not be read and {'waits' if rows == 1 else 'wait'} to be mended ({where}): what {'it holds' if rows == 1 else 'they hold'} is missing here."


def of_all(waiting: Sequence[Mapping[str, Any]], where: str = ON_PAGE) -> str:
    """Of all athletes in one line, '' where nothing waits. waiting: of `queries.imports.aside_by_athlete`.

    >>> of_all([{"athlete": "Hanno", "file": "Hanno.csv", "rows": 23}, {"athlete": None, "file": "all.csv", "rows": 2}])
    '25 rows could not be read and wait to be mended (on the page Data): what they hold is missing here. Hanno: 23; whose they are cannot be told: 2, of all.csv.'
    >>> of_all([])
    ''
    """
    if not waiting:
        return ""
    rows, whose = sum(one["rows"] for one in waiting), {}
    for one in waiting:
        if one["athlete"] is not None:
            whose[one["athlete"]] = whose.get(one["athlete"], 0) + one["rows"]
    told = [f"{athlete}: {number(count)}" for athlete, count in list(whose.items())[:PEOPLE]]
    if rest := list(whose.values())[PEOPLE:]:
        told.append(f"{counted(len(rest), 'athlete', 'athletes')} more: {number(sum(rest))}")
    if unknown := {one["file"]: one["rows"] for one in waiting if one["athlete"] is None}:
        told.append(f"whose they are cannot be told: {number(sum(unknown.values()))}, of {_few(list(unknown), FILES)}")
    what = f"{counted(rows, 'row', 'rows')} could not be read and {'waits' if rows == 1 else 'wait'} to be mended ({where}): what {'it holds' if rows == 1 else 'they hold'} is missing here."
    return f"{what} {'; '.join(told)}."


def _few(names: Sequence[str], most: int) -> str:
    """The first names, and how many more there are."""
    told = [*names[:most], *([f"{number(len(names) - most)} more"] if len(names) > most else [])]
    return " and ".join(filter(None, [", ".join(told[:-1]), told[-1]]))
