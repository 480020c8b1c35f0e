"""How one file writes its numbers, dates and blanks: decided over all of its rows, and then the same for each of them."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from datetime import date

import pandas as pd

from etl import notation
from etl.refusal import Question
from etl.settings import Rules
from etl.told import otherwise

NUMBER_FIELDS = ("reps", "load", "hold", "body_mass", "rpe", "rir", "pain_score", "session_rpe", "minutes", "rest")
CARRIED_FIELDS = ("date", "exercise")  # fields whose blanks may mean "as above"
MOST, FEW = 0.5, 0.2  # [D] shares of a file's days that an athlete's other days have to hold, and may hold, for one reading to win


@dataclass(frozen=True)
class Habits:
    """What holds for every row of a file.

    marks: field -> its decimal mark. day_first: how dates with the year last read. serials: dates are spreadsheet
    serial numbers. carried: fields whose blanks mean "as above". marks_warm_ups: the column of the kind of set says only
    yes and no, and so marks the warm-ups [common practice, no source].
    """

    marks: Mapping[str, str]
    day_first: bool
    serials: bool
    carried: frozenset[str]
    marks_warm_ups: bool = False


def habits_of(
    said: Callable[[str], pd.Series], rows: int, *, day_first: bool | None, day_first_before: bool | None = None, latest: date | None, other_days: Collection[date],
    where: str, rules: Rules, first: pd.Series | None = None,
) -> tuple[Habits, list[str]]:
    """The habits of a file and what was taken for granted in deciding them.

    said: field -> its cells in file order, "" where blank; for marks any series with the same distinct cells will do.
    rows: rows of the file. first: of cells that are of sets, which are the first of their row; None for cells of rows. day_first: what the user said; day_first_before:
    of an earlier file. latest: no date of the file is later. other_days: days of
    the same athlete that are in the store. Raises Question where the dates have two readings.
    """
    of_rows = said if first is None else lambda field: said(field)[first]
    carried = frozenset(field for field in CARRIED_FIELDS if _means_above(of_rows(field), rows, rules))
    dates = said("date")
    filled = dates[dates != ""]
    serials = notation.are_serials(filled)
    order, assumed = (True, ["dates are spreadsheet serial numbers, counted from 1899-12-30"]) if serials else date_order(
        filled, day_first, latest, other_days, where, day_first_before)
    kinds = said("kind")
    marks = {field: notation.decimal_mark(said(field)) for field in NUMBER_FIELDS}
    marks_warm_ups = bool((kinds != "").any() and (notation.booleans(kinds[kinds != ""]) != "").all())
    return Habits(marks, order, serials, carried, marks_warm_ups), assumed


def _means_above(cells: pd.Series, rows: int, rules: Rules) -> bool:
    """Blanks are carried down only where they are too common to be slips."""
    blank = int((cells == "").sum())
    return 0 < blank < rows and blank >= rules.carry_down_share * rows


def date_order(
    filled: pd.Series, said: bool | None, latest: date | None, other_days: Collection[date], where: str, before: bool | None = None,
) -> tuple[bool, list[str]]:
    """Whether dates read day first, and what is to be said of it. filled: the cells that say something, in file order.

    Decided by what was said, else by the column itself, else by the other days of the same athlete, else by what was said
    of an earlier file with this header (before). Raises Question.
    """
    by_day, by_month = (notation.read_dates(filled, reading)["date"] for reading in (True, False))
    differ = by_day.fillna(pd.Timestamp(0)) != by_month.fillna(pd.Timestamp(0))
    example = filled[differ].iloc[0].strip() if differ.any() else ""
    if said is not None:
        return said, []
    found, why = notation.day_first_from(filled, latest), ""
    if found is None:
        found, why = _by_other_days(by_day, by_month, other_days), ", as the stored days of the same athlete say"
    if found is None and before is not None:
        found, why = before, f", as was said of an earlier file with this header {otherwise('month-first' if before else 'day-first')}"
    if found is None:
        raise Question(f'Dates such as "{example}" can be read day first or month first', where, "Say which with --day-first or --month-first.")
    return found, [f'dates such as "{example}" read {"day" if found else "month"} first{why}'] if example else []


def _by_other_days(by_day: pd.Series, by_month: pd.Series, other_days: Collection[date]) -> bool | None:
    """The reading whose days are mostly stored already, where the other's are hardly so: a longer export of the same log."""
    if not other_days:
        return None
    known = pd.to_datetime(pd.Series(list(other_days)))
    shares = [float(days.dropna().drop_duplicates().isin(known).mean()) if days.notna().any() else 0.0 for days in (by_day, by_month)]
    if shares[0] >= MOST and shares[1] <= FEW:
        return True
    return False if shares[1] >= MOST and shares[0] <= FEW else None
