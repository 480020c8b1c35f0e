"""Dates that leave out their year - 12 Jan, Mon 3/2, 12.01. - and the years that their order gives them."""

from __future__ import annotations

import calendar
import re
from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

import numpy as np
import pandas as pd

from etl.notation.blanks import by_distinct
from etl.notation.clock import clock_time
from etl.notation.dates import MONTHS, ORDINAL, REST, one_date, weekday, weekday_first, without_weekday
from etl.notation.numbers import LONGEST, NAN

# How sure a text is a date: by a month's name or a day of the week, by its signs ("3/2", "12.01.", alone), or only where dates are expected.
NAMED, SIGNED, LOOSE = 3, 2, 1
HALF_A_YEAR = 183  # [D] days by which dates have to step back to be of the next year
LEAP = 2000  # a year that has every day
_NUMBERS = re.compile(rf"(\d{{1,2}})\s?([-/.])\s?(\d{{1,2}})(?P<dot>\.)?{REST}", re.ASCII)
_DAY_NAME = re.compile(rf"(\d{{1,2}}){ORDINAL}[ -]?(?:de |di |of )?([a-z]{{3,10}})\.?{REST}", re.ASCII)
_NAME_DAY = re.compile(rf"([a-z]{{3,10}})\.?[ -]?(\d{{1,2}}){ORDINAL}{REST}", re.ASCII)
_NO_MONTHS = ("set", "out")  # beginnings of September and October that are words of their own: "Set 1"


class Yearless(NamedTuple):
    """A date without its year. first, second: its numbers as written; month: where that is named, and then first is the day."""

    first: int
    second: int
    month: int | None
    weekday: int | None
    sure: int  # NAMED, SIGNED or LOOSE
    rest: str  # a time behind it

    def month_and_day(self, day_first: bool) -> tuple[int, int] | None:
        """None where the calendar has no such day in any year."""
        day, month = (self.first, self.month or self.second) if self.month or day_first else (self.second, self.first)
        return (month, day) if 1 <= month <= 12 and 1 <= day <= calendar.monthrange(LEAP, month)[1] else None

    def of(self, year: int, name: str) -> str:
        """The date with a year, as a text that `read_dates` reads. name: the day of the week as it was written."""
        return f"{name}{year:04}-{self.month:02}-{self.first:02}{self.rest}" if self.month else f"{name}{self.first}/{self.second}/{year:04}{self.rest}"


def yearless(cell: str) -> Yearless | None:
    """A cell as a date without a year, None for anything else."""
    if len(cell) > LONGEST or one_date(cell, True) or one_date(cell, False):
        return None
    text = weekday_first(cell)
    found = _read(text, None) or _read(without_weekday(text), weekday(cell))
    return found if found and (found.month_and_day(True) or found.month_and_day(False)) else None


def lack_year(text: pd.Series, sure: int = LOOSE) -> pd.Series:
    """True where a cell is a date that leaves out its year, and as sure as that."""
    return by_distinct(text, lambda cell: (found := yearless(cell)) is not None and found.sure >= sure, "bool")


def with_years(text: pd.Series, years: pd.Series) -> pd.Series:
    """The cells with the year of each (missing where it has none to take) put to those that leave it out."""
    done = {(cell, year): _completed(cell, int(year)) for cell, year in zip(text, years, strict=True) if year == year}
    return pd.Series([done.get((cell, year), cell) for cell, year in zip(text, years, strict=True)], index=text.index, dtype="str")


def years_on(text: pd.Series, day_first: bool) -> tuple[pd.Series, bool]:
    """How many years each date of a column is after the oldest, by their order; and whether that order can be told.

    text: in the order of the file, also of cells with a year. Dates that step back by more than half a year are of the
    next year; in a column that goes down, those that step up by as much are of the year before. Missing where a cell is
    no date. It cannot be told where a column that is past New Year jumps by as much, to where it may have been before.
    """
    days = by_distinct(text, lambda cell: _days_of(cell, day_first), "object")
    known = days[days.notna()]
    changes = known[known != known.shift()]
    offsets, clear = _on(list(changes))
    found = pd.Series(offsets, index=changes.index, dtype="float64").reindex(text.index).ffill().where(days.notna())
    return found - found.min(), clear


def anchored(text: pd.Series, offsets: pd.Series) -> pd.Series:
    """The years of the cells where some of them say theirs: each takes the year of the last one above that does, else of the first below.

    offsets: of `years_on`. All missing where no cell says its year.
    """
    said = by_distinct(text, lambda cell: float(day.year) if (day := one_date(cell, True) or one_date(cell, False)) else NAN, "float64")
    return (said - offsets).where(said.notna()).ffill().bfill() + offsets


def weekdays_fit(text: pd.Series, years: pd.Series, day_first: bool) -> bool:
    """Whether each day of the week that stands before a date is that of its year."""
    def fits(cell: str, year: float) -> bool:
        found = yearless(cell)
        if found is None or found.weekday is None or (day := found.month_and_day(day_first)) is None:
            return True
        return calendar.monthrange(int(year), day[0])[1] >= day[1] and date(int(year), *day).weekday() == found.weekday

    return all(fits(cell, year) for cell, year in set(zip(text, years, strict=True)) if year == year)


def _read(text: str, said_weekday: int | None) -> Yearless | None:
    sure = NAMED if said_weekday is not None else 0
    if (m := _NUMBERS.fullmatch(text)) and _is_time(m["rest"]):
        signed = m[2] == "/" and not m["dot"] or m[2] == "." and (m["dot"] or len(m[1]) == len(m[3]) == 2)
        return Yearless(int(m[1]), int(m[3]), None, said_weekday, sure or (SIGNED if signed else LOOSE), m["rest"] or "")
    for form, day, name in ((_DAY_NAME, 1, 2), (_NAME_DAY, 2, 1)):
        if (m := form.fullmatch(text)) and _is_time(m["rest"]) and (month := MONTHS.get(m[name])):
            return Yearless(int(m[day]), 0, month, said_weekday, sure or (LOOSE if m[name] in _NO_MONTHS else NAMED), m["rest"] or "")
    return None


def _is_time(rest: str | None) -> bool:
    return rest is None or bool(clock_time(rest.lstrip("t, ")))


def _completed(cell: str, year: int) -> str:
    found = yearless(cell)
    if found is None:
        return cell
    text = weekday_first(cell)
    bare = without_weekday(text)
    name = text[:len(text) - len(bare)] if found.weekday is not None else ""
    return found.of(year, name)


def _days_of(cell: str, day_first: bool) -> tuple[int, int] | None:
    """Month and day of a date, with its year or without."""
    if day := one_date(cell, day_first):
        return day.month, day.day
    found = yearless(cell)
    return found.month_and_day(day_first) if found else None


def _on(days: Sequence[tuple[int, int]]) -> tuple[list[int], bool]:
    """Years since the first day, each by its step from the one before, and whether they can be told."""
    place = [date(LEAP, *day).timetuple().tm_yday for day in days]
    steps = np.diff(place, prepend=place[:1])
    small = steps[np.abs(steps) <= HALF_A_YEAR]
    up = -1 if (small < 0).sum() > (small > 0).sum() else 1
    offsets, clear, year = [], True, 0
    for at, step in zip(place, steps * up, strict=True):
        if step < -HALF_A_YEAR:
            year += up
        elif step > HALF_A_YEAR and year:
            # A gap of more than half a year, or back to before New Year, where the log has been already.
            clear &= ((year - up) * up, at * up) < (0, place[0] * up)
        offsets.append(year)
    return offsets, clear
