"""The year of dates that leave it out: as the cells, the lines above the table, its header or the file's name say it, or asked for."""

from __future__ import annotations

from calendar import isleap
from collections.abc import Callable, Collection
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
import pandas as pd

from etl import notation
from etl.normalise import year_said
from etl.normalise.details import planned
from etl.normalise.page import Ledger, Page
from etl.normalise.year_order import years_after_oldest
from etl.notation.dates import weekday
from etl.notation.yearless import LEAP, anchored, weekdays_fit, with_years, yearless
from etl.refusal import Question, Refusal
from etl.settings import Rules
from etl.shapes import SetRows
from etl.told import LOOK

SLIPS = 0.2  # [D] share of a column's different dates that leave out their year, up to which they are slips and set aside
LOOKED_BACK = 12  # [D] years back that are looked through for those in which the days of the week fit: each comes again within that
SHOWN = 3


def leave_out_year(cells: pd.Series) -> bool:
    """Whether a column's dates leave out their year, as a habit and not by a slip. cells: each different one at least once."""
    different = pd.Series(cells.unique(), dtype="str")
    without = notation.lack_year(different)
    if not without.any():
        return False
    with_year = notation.read_dates(different, True)["date"].notna() | notation.read_dates(different, False)["date"].notna()
    return bool(without.sum() > SLIPS * (without | with_year).sum())


def completed(
    rows: SetRows, *, year: int | None, day_first: bool | None, other_days: Callable[[str], Collection[date]], athlete: str, today: date, rules: Rules,
) -> tuple[SetRows, list[str]]:
    """The rows with its year at each date, and what was taken for granted; as they are where no date leaves it out.

    year: that of the oldest date, as the user said. athlete: whose log it is, for rows that do not say. day_first,
    other_days, today: see `normalise`. Raises Question where nothing says the year, or where the said one cannot be;
    Refusal where the order of the dates does not tell their years.
    """
    if "date" not in rows.cells or not leave_out_year(rows.cells["date"].str.strip()):
        return rows, []
    file = _file(rows, today, rules)
    if file.page.has("year"):
        return file.with_years(_in_column(file, day_first)), [file.said("the column of years says")]
    readings = _readings(file, day_first)
    years = anchored(file.dates, readings[0].offsets)
    if years.notna().any():
        return file.with_years(file.of_rows(years)), [file.said("the other dates of the column say")]
    if year is not None:
        return file.with_years(readings[0].years(_checked(file, readings, year))), _beyond(file, readings, year)
    known = {day for name in {*file.page.said("athlete"), athlete} - {""} for day in other_days(name)}
    found, source = year_said.oldest(file.page.table, [r.different_days for r in readings], readings[0].span, known, lambda y: any(r.fits(y) for r in readings))
    if found is None:
        said = year_said.undecided(file.page.table)
        raise Question(f'The dates leave out their year, and {said or "nothing in the file says it"}: of which year is the oldest, "{readings[0].oldest}"?{_hint(readings)}',
                       file.where, f"Say it with --year YEAR, such as --year {today.year}.")
    return file.with_years(readings[0].years(found)), [file.said(f"{source} says", found), *_beyond(file, readings, found)]


@dataclass(frozen=True)
class _File:
    """dates: the cells of the date, or the headers of days, in the order of the file. headed: whether they are headers. done: rows that are not planned."""

    page: Page
    dates: pd.Series
    headed: bool
    done: pd.Series
    today: date
    first_year: int

    @property
    def where(self) -> str:
        return f'{self.page.table.name}, {"headers such as" if self.headed else "column"} "{self.dates.iloc[0] if self.headed else self.page.header("date")}"'

    def of_rows(self, values: pd.Series) -> pd.Series:
        """A value of each date, for each set row."""
        return self.page.said("date").map(dict(zip(self.dates, values, strict=True))) if self.headed else values

    def with_years(self, years: pd.Series) -> SetRows:
        return replace(self.page.rows, cells=self.page.rows.cells.assign(date=with_years(self.page.said("date"), years)))

    def said(self, who: str, year: int | None = None) -> str:
        example = self.dates[notation.lack_year(self.dates)].iloc[0]
        return f'dates such as "{example}" leave out their year: they are read as {who}' + (f", {year}" if year else "")


@dataclass(frozen=True)
class _Reading:
    """The dates in one order of day and month. offsets: for each, its years after the oldest."""

    file: _File
    day_first: bool
    offsets: pd.Series

    @property
    def span(self) -> int:
        """Years from the oldest date to the newest."""
        return int(self.offsets.max()) if self.offsets.notna().any() else 0

    @property
    def oldest(self) -> str:
        days = self.days(LEAP)[self.offsets == 0]
        return self.file.dates[days.index[days == days.min()][0]]

    def years(self, oldest: int) -> pd.Series:
        """For each set row, where the oldest date is of that year."""
        return self.file.of_rows(self.offsets + oldest)

    def days(self, oldest: int) -> pd.Series:
        """Each date, NaT where the calendar has none."""
        return notation.read_dates(with_years(self.file.dates, self.offsets + oldest), self.day_first)["date"]

    def different_days(self, oldest: int) -> pd.Series:
        return self.days(oldest).dropna().drop_duplicates()

    def to_come(self, oldest: int) -> pd.Series:
        """The set rows that were done, by their cells, and would lie in the future."""
        days = self.file.of_rows(self.days(oldest))
        return days[self.file.done & (days > pd.Timestamp(self.file.today))]

    def no_such_day(self, oldest: int) -> tuple[str, int] | None:
        """The first date, as written, that its year has not, and that year: 29 February. None where all are days of the calendar."""
        for cell, year in dict.fromkeys(zip(self.file.dates, self.offsets + oldest, strict=True)):
            found = yearless(cell) if year == year else None
            if found and found.month_and_day(self.day_first) == (2, 29) and not isleap(int(year)):
                return cell, int(year)
        return None

    def fits(self, oldest: int) -> bool:
        """Whether no date lies before the first that is read or in the future, and each day of the week is right."""
        good = oldest >= self.file.first_year and self.no_such_day(oldest) is None and self.to_come(oldest).empty
        return good and weekdays_fit(self.file.dates, self.offsets + oldest, self.day_first)


def _in_column(file: _File, day_first: bool | None) -> pd.Series:
    """The years of a column: a blank takes that of the row above, or the next one where its date is past New Year."""
    said = notation.read_numbers(file.page.said("year"), ".")
    blank = said.isna() & notation.lack_year(file.dates)
    if not blank.any():
        return said
    offsets = _readings(file, day_first)[0].offsets
    return (said - offsets).where(said.notna()).ffill().bfill() + offsets


def _file(rows: SetRows, today: date, rules: Rules) -> _File:
    page = Page(rows)
    heads = [text for column in rows.columns for field, text in column.gives if field == "date"]
    dates = pd.Series(heads, dtype="str") if heads else page.said("date")
    return _File(page, dates, bool(heads), ~planned(page, Ledger(page)), today, rules.first_date.year)


def _readings(file: _File, day_first: bool | None) -> list[_Reading]:
    """The orders of day and month that fit, which give each date the same year. Raises Question and Refusal."""
    found, told = [], []
    for order in (True, False) if day_first is None else (day_first,):
        offsets, clear = years_after_oldest(file.dates, None if file.headed else file.page, order)
        found.append((int(offsets.isna().sum()), _Reading(file, order, offsets)))
        told.append(clear)
    least = min(unread for unread, _ in found)
    fitting = [(reading, clear) for (unread, reading), clear in zip(found, told, strict=True) if unread == least]
    readings = [reading for reading, clear in fitting if clear]
    if not readings:
        raise Refusal("The dates leave out their year, and they go past New Year in an order that does not tell which year each is of", file.where,
                      "Write the year into the dates, or sort the file by date, and import it again.")
    if len(readings) > 1 and not readings[0].offsets.equals(readings[1].offsets):
        turns = [_turns(reading.days(LEAP)) for reading in readings]
        if turns[0] == turns[1]:
            raise Question(f'Dates such as "{readings[0].oldest}" can be read day first or month first', file.where, "Say which with --day-first or --month-first.")
        readings = [readings[int(np.argmin(turns))]]
    return readings


def _turns(days: pd.Series) -> int:
    steps = np.diff(days.dropna().to_numpy().astype("int64"))
    return int(min((steps < 0).sum(), (steps > 0).sum()))


def _checked(file: _File, readings: list[_Reading], year: int) -> int:
    """The year that the user said, where it can be. Raises Question."""
    if not file.first_year <= year <= file.today.year + 1:
        raise Question(f'{year} is no year in which "{readings[0].oldest}", the oldest date, can lie', file.where, "Say it in four digits with --year YEAR.")
    if lacking := [day for reading in readings if (day := reading.no_such_day(year))]:
        if len(lacking) == len(readings):
            raise Question(f'With the year {year} for "{readings[0].oldest}", the oldest date, the date "{lacking[0][0]}" would be of {lacking[0][1]}, which has no 29 February',
                           file.where, "Say the year of the oldest date with --year YEAR, or put the date right in the file.")
    to_come = [reading.to_come(year) for reading in readings]
    if all(len(days) for days in to_come):
        at = to_come[0].index[0]
        raise Question(f'With the year {year} for "{readings[0].oldest}", the date "{file.page.said("date")[at]}" would be {to_come[0][at]:%Y-%m-%d}, '
                       "which is in the future", file.where, "Say the year of the oldest date with --year YEAR.")
    return year


def _beyond(file: _File, readings: list[_Reading], oldest: int) -> list[str]:
    """What has to be said of the years that were taken: those past New Year, and days of the week that are others."""
    span = readings[0].span
    found = [f"dates past New Year are read as of {oldest + 1}" + (f" to {oldest + span}" if span > 1 else "")] if span else []
    if not any(weekdays_fit(file.dates, reading.offsets + oldest, reading.day_first) for reading in readings):
        found.append(f"{LOOK}with the year {oldest} some dates fall on another day of the week than they name")
    return found


def _hint(readings: list[_Reading]) -> str:
    """The years that the days of the week leave, where the dates name them."""
    file = readings[0].file
    if not any(weekday(cell) is not None for cell in file.dates[notation.lack_year(file.dates)].unique()):
        return ""
    years = [str(y) for y in range(file.today.year, file.today.year - LOOKED_BACK, -1) if any(r.fits(y) for r in readings)]
    return f" By its days of the week it may be {' or '.join(years[:SHOWN])}." if years else ""
