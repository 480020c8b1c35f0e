"""Dates in every common order, decided over a whole column and never cell by cell."""

from __future__ import annotations

import re
from datetime import date

import numpy as np
import pandas as pd

from etl.notation.blanks import by_distinct, plain
from etl.notation.clock import clock_time

MONTHS = {m: i for i, m in enumerate("jan feb mar apr may jun jul aug sep oct nov dec".split(), 1)}
FIRST_TWO_DIGIT_YEAR = 50  # [D] 50-99 are 1950-1999, 00-49 are 2000-2049: no log starts before 1950
_WEEKDAY = re.compile(r"^(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*[.,]?\s+", re.ASCII)
_YEAR_FIRST = re.compile(r"(\d{4})([-/.])(\d{1,2})\2(\d{1,2})(?P<rest>(?:[t ]|,\s).+)?", re.ASCII)
_COMPACT = re.compile(r"((?:19|20)\d{2})(\d{2})(\d{2})(?P<rest>t.+)?", re.ASCII)
_YEAR_LAST = re.compile(r"(\d{1,2})\s?([-/.])\s?(\d{1,2})\s?\2\s?(\d{4}|\d{2})(?P<rest>(?:[t ]|,\s).+)?", re.ASCII)
_DAY_NAME = re.compile(r"(\d{1,2})(?:st|nd|rd|th)?[ -]?([a-z]{3,9})\.?,?[ -](\d{4}|\d{2})(?P<rest>(?:[t ]|,\s).+)?", re.ASCII)
_NAME_DAY = re.compile(r"([a-z]{3,9})\.? (\d{1,2})(?:st|nd|rd|th)?,? (\d{4})(?P<rest>(?:[t ]|,\s).+)?", re.ASCII)


def read_dates(text: pd.Series, day_first: bool) -> pd.DataFrame:
    """Columns date (datetime64[us], NaT where blank or not read) and time ("HH:MM", "" where none is said).

    day_first: how a date with its year last and its month as a number is read. ISO dates and named months need no
    such choice. A zone behind a time is not applied: the day is the one that the file names.
    """
    days = by_distinct(text, lambda cell: np.datetime64(one_date(cell, day_first) or "NaT", "us"), "datetime64[us]")
    times = by_distinct(text, lambda cell: clock_time(cell) if one_date(cell, day_first) else "", "str")
    return pd.DataFrame({"date": days, "time": times})


def one_date(cell: str, day_first: bool = True) -> date | None:
    """One date, None where there is none. Raises nothing: 31 February is no date."""
    cell = _WEEKDAY.sub("", plain(cell))
    for form in (_YEAR_FIRST, _COMPACT, _YEAR_LAST, _DAY_NAME, _NAME_DAY):
        m = form.fullmatch(cell)
        if m and (m["rest"] is None or clock_time(m["rest"].lstrip("t, "))):
            return _made(*_in_order(form, m, day_first))
    return None


def day_first_from(text: pd.Series, latest: date | None = None) -> bool | None:
    """Whether a column's dates read day first (True) or month first (False); None where both readings fit or neither.

    A value above 12 settles it. Else the reading that runs strictly better in the order of the file, whether that
    goes up or down. Else the one that alone has no date after `latest`. A column without such dates reads day first.
    """
    stripped = text.map(plain)
    open_ones = stripped[stripped.map(lambda cell: _YEAR_LAST.fullmatch(_WEEKDAY.sub("", cell)) is not None)]
    if open_ones.empty:
        return True
    parts = [_YEAR_LAST.fullmatch(_WEEKDAY.sub("", cell)) for cell in open_ones.unique()]
    first_is_day = any(int(m[1]) > 12 >= int(m[3]) for m in parts)
    second_is_day = any(int(m[3]) > 12 >= int(m[1]) for m in parts)
    if first_is_day or second_is_day:
        return None if first_is_day and second_is_day else first_is_day
    by_day, by_month = (read_dates(open_ones, reading)["date"].dropna() for reading in (True, False))
    if by_day.equals(by_month):
        return True  # every day is its own month's number: 03/03, 04/04
    evidence = [(_turns(by_day), _turns(by_month))]
    if latest is not None:
        limit = pd.Timestamp(latest)
        evidence.append(((by_day > limit).any(), (by_month > limit).any()))
    return next((bool(d < m) for d, m in evidence if d != m), None)


def _turns(days: pd.Series) -> int:
    """How often the dates step against the direction in which most of them run."""
    steps = np.diff(days.to_numpy().astype("int64"))
    return int(min((steps < 0).sum(), (steps > 0).sum()))


def _in_order(form: re.Pattern, m: re.Match, day_first: bool) -> tuple[int, int, int]:
    """Year, month and day of a match; month 0 for a word that names none."""
    if form is _YEAR_FIRST:
        return int(m[1]), int(m[3]), int(m[4])
    if form is _COMPACT:
        return int(m[1]), int(m[2]), int(m[3])
    if form is _YEAR_LAST:
        day, month = (m[1], m[3]) if day_first else (m[3], m[1])
        return _full_year(m[4]), int(month), int(day)
    name, day = (m[2], m[1]) if form is _DAY_NAME else (m[1], m[2])
    return _full_year(m[3]), MONTHS.get(name[:3], 0), int(day)


def _full_year(digits: str) -> int:
    year = int(digits)
    if len(digits) == 4:
        return year
    return year + (1900 if year >= FIRST_TWO_DIGIT_YEAR else 2000)


def _made(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None
