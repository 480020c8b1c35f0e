"""Athlete, date, time, session and exercise of each row."""

from __future__ import annotations

from datetime import date

import pandas as pd

from etl import notation
from etl.normalise.habits import Habits
from etl.normalise.page import Ledger, Page, counted
from etl.refusal import Question
from etl.settings import Rules


def athletes(page: Page, ledger: Ledger, athlete: str | None, file_athlete: str | None) -> pd.Series:
    """The column's cell, else what the user said, else the file's name. Question where there is none of them."""
    cells = page.said("athlete")
    fallback = (athlete or file_athlete or "").strip()
    if not fallback and not (cells != "").any() and len(cells):
        raise Question("The file does not say whose log it is", page.table.name, "Say it with --athlete NAME.")
    missing = (cells == "") & ~page.repeats_header
    if page.has("athlete") and fallback and missing.any():
        ledger.assumed.append(f'{counted(ledger.rows_of(missing), "row")} without an athlete taken as those of "{fallback}"')
    found = cells.mask(cells == "", fallback)
    ledger.set_aside(found == "", "no athlete is named in this row")
    return found


def dates(page: Page, ledger: Ledger, habits: Habits, planned: pd.Series, today: date, rules: Rules) -> pd.DataFrame:
    """Columns date and time. Rows without a readable date, or with one out of bounds, are set aside."""
    cells = carried_down(page, ledger, "date", habits)
    found = notation.read_dates(cells, habits.day_first, habits.serials)
    ledger.set_aside(cells == "", "no date")
    unread = found["date"].isna()
    ledger.set_aside(notation.lack_year(cells.where(unread, "")), cells.map(lambda cell: f'"{cell[:40]}" leaves out its year'))
    ledger.set_aside(unread, cells.map(lambda cell: f'"{cell[:40]}" cannot be read as a date'))
    shown = found["date"].dt.strftime("%Y-%m-%d")
    ledger.set_aside(found["date"] < pd.Timestamp(rules.first_date), "the date " + shown + f" is before {rules.first_date}")
    ledger.set_aside((found["date"] > pd.Timestamp(today)) & ~planned,
                     "the date " + shown + " is in the future and the row is not marked as planned")
    own = page.said("time")
    times = notation.clock_times(own)
    ledger.keep_text((own != "") & (times == ""), "time")
    return found.assign(time=times.mask(times == "", found["time"]))


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
