"""Columns that no header names, taken for what their cells are: the date, a shorthand of work, days as headings."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import pandas as pd

from etl import notation
from etl.columns.column import Column
from etl.columns.content import dates, sample_of
from etl.columns.headers import is_named
from etl.columns.parts import SURE, WORK_FIELDS
from etl.notation.blanks import by_distinct
from etl.notation.dates import weekday as weekday_of
from etl.notation.shorthand import shorthand
from etl.read import TextTable

BY_CONTENT = 0.4  # [D] confidence of a column taken for a field by its values alone
ALL_OF_A_KIND = 0.9  # [D] share of its cells that have to be of that kind
HALF_OF_A_KIND = 0.5  # [D] share of its cells that have to be shorthand: in notes by hand there are slips, and no other column holds the work
SOME_OF_A_KIND = 0.4  # [D] share of its distinct cells that have to be exercises of the catalogue: people have some of their own
NAMES_LOOKED_AT = 60  # [D] enough to know a column of exercises by
MOST_WORDS = 12  # [D] a longer text before its numbers is a sentence, not a name
HEADING = "heading"  # the `part` of a column whose cells are headings of the rows below


def date(table: TextTable, columns: Mapping[int, Column], closed: set[str]) -> dict[int, Column]:
    """Where no header names the date: the one column whose cells are dates."""
    if "date" in closed or _says(columns, "date"):
        return dict(columns)
    found = [p for p, c in columns.items() if c.field is None and _share(table, p, lambda cells: dates(cells) | notation.lack_year(cells, notation.NAMED)) >= ALL_OF_A_KIND]
    return _with(table, columns, found, "date", "no header names the date, and this column alone holds dates")


def exercise(
    table: TextTable, columns: Mapping[int, Column], closed: set[str], is_exercise: Callable[[str], bool],
) -> dict[int, Column]:
    """Where no header names the exercise: the one column of which many cells are exercises, alone or before a shorthand."""
    if "exercise" in closed or _says(columns, "exercise"):
        return dict(columns)
    found = [p for p, c in columns.items() if c.field in (None, "note", "work", "session")
             and share_of_exercises(table, p, is_exercise) >= SOME_OF_A_KIND]
    return _with(table, columns, found, "exercise", "no header names the exercise, and this column alone holds names of exercises")


def share_of_exercises(table: TextTable, position: int, is_exercise: Callable[[str], bool]) -> float:
    """Share of a column's distinct cells, 0-1, that name an exercise, alone or before a shorthand."""
    def named(cells: pd.Series) -> pd.Series:
        return by_distinct(cells.drop_duplicates().head(NAMES_LOOKED_AT), lambda cell: is_exercise(name_and_work(cell)[0]), "bool")

    return _share(table, position, named)


def work(table: TextTable, columns: Mapping[int, Column], closed: set[str]) -> dict[int, Column]:
    """Where no header names repetitions or seconds: the one column whose cells are shorthand ("3x10 @ 20 kg")."""
    if closed & set(WORK_FIELDS) or any(_says(columns, field) for field in (*WORK_FIELDS, "plan")):
        return dict(columns)
    found = [p for p, c in columns.items() if c.field in (None, "note", "set_no", "set_count", "session") and _share(table, p, _shorthand) >= HALF_OF_A_KIND]
    return _with(table, columns, found, "work", "no header names repetitions, and this column alone holds sets and repetitions in shorthand")


def headings(table: TextTable, columns: Mapping[int, Column], closed: set[str]) -> list[Column]:
    """Where no column is the date: dates that stand alone in a row, in the column of exercises, for the rows below."""
    exercise = next((c for c in columns.values() if c.field == "exercise" and not c.part), None)
    if exercise is None or "date" in closed or _says(columns, "date"):
        return []
    cells = table.rows.iloc[:, exercise.position]
    alone = (table.rows != "").sum(axis=1) == 1
    is_date = (dates(cells) | notation.lack_year(cells, notation.SIGNED)) & (cells != "")
    if not is_date.any() or not alone[is_date].all():
        return []
    return [Column(exercise.position, exercise.header, "date", "", BY_CONTENT, "its dates stand alone, as headings of the rows below", HEADING)]


def weekday(table: TextTable, columns: Mapping[int, Column], closed: set[str]) -> dict[int, Column]:
    """The one column of days of the week, where they are not those of the dates beside them: then the date may be that of the week."""
    date = next((c for c in columns.values() if c.field == "date" and not c.part), None)
    found = [p for p, c in columns.items() if c.field is None and _share(table, p, lambda cells: by_distinct(cells, notation.is_weekday, "bool")) >= ALL_OF_A_KIND]
    found = [p for p in found if table.header[p] and is_named(table.header[p], "weekday")] or found
    if date is None or len(found) != 1 or "weekday" in closed or _says(columns, "weekday"):
        return dict(columns)
    days, names = table.rows.iloc[:, date.position], weekday_numbers(table.rows.iloc[:, found[0]])
    days = days.mask(days.str.strip() == "").ffill().fillna("")
    for first in (True, False):
        read = notation.read_dates(days, first)["date"]
        there = read.notna() & names.notna()
        if (read.dt.day_of_week == names)[there].all():
            return dict(columns)
    return {**columns, found[0]: Column(found[0], table.header[found[0]], "weekday", "", SURE, "its days of the week are not those of the dates")}


def weekday_numbers(cells: pd.Series) -> pd.Series:
    """The day of the week that each cell names and nothing else, 0 for Monday; NaN where it names none."""
    return by_distinct(cells, _weekday_number, "float64")


def _weekday_number(cell: str) -> float:
    day = weekday_of(f"{cell.strip()} 1") if notation.is_weekday(cell) else None
    return float("nan") if day is None else float(day)


def name_and_work(cell: str) -> tuple[str, str]:
    """The longest tail of a cell that is a shorthand, and what stands before it; the whole cell and "" where none is.

    >>> name_and_work("Goblet squat: 3x10 @ 20 kg")
    ('Goblet squat', '3x10 @ 20 kg')
    """
    words = cell.split()
    for at in range(1, min(len(words), MOST_WORDS)):
        tail = " ".join(words[at:])
        if tail[0].isdigit() and isinstance(shorthand(tail), list):
            return " ".join(words[:at]).rstrip(" :-–—,"), tail
    return cell, ""


def _says(columns: Mapping[int, Column], field: str) -> bool:
    return any(c.field == field or field in dict(c.gives) for c in columns.values())


def _shorthand(cells: pd.Series) -> pd.Series:
    return by_distinct(cells, lambda cell: isinstance(shorthand(cell), list), "bool")


def _share(table: TextTable, position: int, is_kind) -> float:
    cells = sample_of(table.rows.iloc[:, position])
    return float(is_kind(cells).mean()) if len(cells) else 0.0


def _with(table: TextTable, columns: Mapping[int, Column], found: list[int], field: str, reason: str) -> dict[int, Column]:
    if len(found) != 1:
        return dict(columns)
    return {**columns, found[0]: Column(found[0], table.header[found[0]], field, "", BY_CONTENT, reason)}
