"""Athlete, date, time, session and exercise of each row."""

from __future__ import annotations

import re
from datetime import date

import pandas as pd

from etl import notation
from etl.columns.by_content import weekday_numbers
from etl.columns.headers import EXACT, SHARED, fields_named, words_of
from etl.normalise.habits import MOST, Habits
from etl.normalise.page import Ledger, Page, counted
from etl.read import TextTable
from etl.refusal import Question
from etl.settings import Rules

NO_SUCH_DAY = r"^\s*(?:[^\W\d]+\.?,?\s+)?(?:\d{4}[-/.]0?2[-/.]29|29[-/.]0?2[-/.]\d{4}|0?2/29/\d{4})(?!\d)"  # where it cannot be read as a date
MONDAY, SUNDAY = 0, 6
WEEK_WORDS = frozenset("week wk woche kw semaine semana settimana".split())  # in a header: its dates name weeks


def athletes(page: Page, ledger: Ledger, athlete: str | None, file_athlete: str | None) -> pd.Series:
    """The column's cell, else what the user said, else a line above the header, else the file's name. Question where there is none of them."""
    cells = page.said("athlete")
    titled = titled_athlete(page.table)
    if titled and not athlete and not (cells != "").all():
        ledger.assumed.append(f'a line above the header says whose log it is: "{titled}"')
    fallback = (athlete or titled or file_athlete or "").strip()
    if not fallback and not (cells != "").any() and len(cells):
        raise Question("The file does not say whose log it is", page.table.name, "Say it with --athlete NAME.")
    missing = (cells == "") & ~page.repeats_header
    if page.has("athlete") and fallback and missing.any():
        ledger.assumed.append(f'{counted(ledger.rows_of(missing), "row")} without an athlete taken as those of "{fallback}"')
    found = cells.mask(cells == "", fallback)
    ledger.set_aside(found == "", "no athlete is named in this row")
    return found


def titled_athlete(table: TextTable) -> str:
    """The name behind a word for the athlete and a colon in the lines above the header ("Athlete: Ida"); "" for none, or for two."""
    found = set()
    for title in table.titles:
        word, colon, name = title.partition(":")
        if colon and any(named.field == "athlete" and named.confidence >= EXACT * SHARED for named in fields_named(word)):
            found.add(" ".join(name.split()).strip(" ,;"))
    return found.pop() if len(found) == 1 else ""


def dates(page: Page, ledger: Ledger, habits: Habits, planned: pd.Series, today: date, rules: Rules) -> pd.DataFrame:
    """Columns date and time. Rows without a readable date, or with one out of bounds, are set aside."""
    cells = carried_down(page, ledger, "date", habits)
    found = notation.read_dates(cells, habits.day_first, habits.serials)
    found = found.assign(date=_on_weekday(page, ledger, cells, found["date"]))
    ledger.set_aside(cells == "", "no date")
    unread = found["date"].isna()
    ledger.set_aside(notation.lack_year(cells.where(unread, "")), cells.map(lambda cell: f'"{cell[:40]}" leaves out its year'))
    ledger.set_aside(unread & cells.str.contains(NO_SUCH_DAY, regex=True), cells.map(lambda cell: f"{_year_of(cell)} has no 29 February"))
    ledger.set_aside(unread, cells.map(lambda cell: f'"{cell[:40]}" cannot be read as a date'))
    shown = found["date"].dt.strftime("%Y-%m-%d")
    ledger.set_aside(found["date"] < pd.Timestamp(rules.first_date), "the date " + shown + f" is before {rules.first_date}")
    ledger.set_aside((found["date"] > pd.Timestamp(today)) & ~planned,
                     "the date " + shown + " is in the future and the row is not marked as planned")
    own = page.said("time")
    times = notation.clock_times(own)
    ledger.keep_text((own != "") & (times == ""), "time")
    return found.assign(time=times.mask(times == "", found["time"]))


def _year_of(cell: str) -> str:
    m = re.search(r"\d{4}", cell)
    return m[0] if m else "that year"


def _on_weekday(page: Page, ledger: Ledger, cells: pd.Series, days: pd.Series) -> pd.Series:
    """The days that a column of days of the week makes of dates that name a week by its beginning.

    Where each date is on its day of the week nothing changes. Raises Question where they differ in another way.
    """
    if not page.has("weekday"):
        return days
    of_date = (cells != cells.shift()).cumsum()
    named = page.said("weekday")
    named = named.mask(named == "").groupby(of_date).ffill().fillna("")
    number = weekday_numbers(named)
    differ = days.notna() & number.notna() & (days.dt.day_of_week != number)
    if not differ.any():
        return days
    header, first = page.header("date"), days.dropna().dt.day_of_week.unique()
    of_week = bool(WEEK_WORDS & set(words_of(header))) or len(first) == 1 and first[0] in (MONDAY, SUNDAY) and differ.mean() >= MOST
    if not of_week:
        at = differ.idxmax()
        raise Question(f'"{named[at]}" in "{page.header("weekday")}" is not the day of the week of {days[at]:%Y-%m-%d}, which stands in "{header}" beside it', page.table.name,
                       'Put the day right in the file, or go by the date alone: --columns "weekday=-".')
    ledger.set_aside(days.notna() & number.isna(), f'the date in "{header}" is that of a week, and "{page.header("weekday")}" names no day of it')
    ledger.assumed.append(f'the dates in "{header}" taken for the beginning of a week, and the day of each row for that in "{page.header("weekday")}"')
    return days + pd.to_timedelta(((number - days.dt.day_of_week) % 7).fillna(0), unit="D")


def exercises(page: Page, ledger: Ledger, habits: Habits) -> pd.Series:
    """Exercise as written, "" where a row names none and none is carried down to it."""
    return carried_down(page, ledger, "exercise", habits)


def carried_down(page: Page, ledger: Ledger, field: str, habits: Habits) -> pd.Series:
    """Cells of the field; where blanks are so common that they mean "as above", the cell above."""
    written, said = page.written(field), page.said(field)
    written = written.mask(said == "", "")
    blank = (said == "") & ~page.repeats_header
    if field not in habits.carried or not blank.any():
        return written
    carried = written.mask(written == "").ffill().fillna("")
    filled = blank & (carried != "")
    if filled.any():
        ledger.assumed.append(f'{counted(ledger.rows_of(filled), "blank cell")} of "{page.header(field)}" read as the cell above')
    return carried.mask(page.repeats_header, "")


def sessions(page: Page, habits: Habits) -> pd.Series:
    """What the file calls the session, "" where it says nothing. It is carried down with the date that it stands beside."""
    said = page.said("session")
    if "date" not in habits.carried:
        return said
    new_date = (page.said("date") != "").cumsum()
    return said.mask(said == "").groupby(new_date).ffill().fillna("").mask(page.repeats_header, "")


def is_total(page: Page) -> pd.Series:
    """True for lines that add up those above: a word for a total where a date, an exercise, a session or a number should stand."""
    found = pd.Series(False, index=page.index)
    for field in ("date", "exercise", "session", "round_no", "set_no"):
        found |= notation.totals(page.said(field))
    return found
