"""A day of the week in brackets or behind its date, and dates that cannot be read. Days by Python's own calendar."""

from __future__ import annotations

from datetime import date

import pandas as pd
import pytest

from etl import notation
from etl.columns import recognise
from etl.notation.dates import day_first_from, one_date, weekday
from etl.notation.yearless import yearless
from etl.read import read_table
from etl.refusal import Question

DAY = date(2026, 11, 28)  # a Saturday


@pytest.mark.parametrize("cell", [
    "28 Nov 26 (Sat)", "28 Nov 2026 (Sat)", "(Sat) 28 Nov 2026", "28.11.2026 (Sa)", "28.11.2026 (Sa.)", "[Sat] 28/11/2026", "2026-11-28 (sábado)", "28 Nov 2026, Saturday", "28.11.2026 Sa"])
def test_a_day_of_the_week_in_brackets_or_behind_the_date(cell: str):
    assert (one_date(cell), weekday(cell)) == (DAY, DAY.weekday())


def test_a_time_behind_it_is_kept():
    assert notation.read_dates(pd.Series(["28/11/2026 (Sat) 18:30", "Sat 28/11/2026 07:05"]), True)["time"].tolist() == ["18:30", "07:05"]


def test_it_tells_which_number_is_the_day():
    assert day_first_from(pd.Series(["05/06/2026 (Fri)"])) is True and day_first_from(pd.Series(["05/06/2026 (Wed)"])) is False


def test_a_date_without_its_year():
    found = yearless("28 Nov (Sat)")
    assert (found.month_and_day(True), found.weekday) == ((11, 28), DAY.weekday())


@pytest.mark.parametrize("cell", ["28.11.2026 (rest)", "(Sat)", "Sat"])
def test_other_words_in_brackets_make_no_date(cell: str):
    assert one_date(cell) is None


def test_a_month_is_no_day_of_the_week_behind_a_number():
    assert yearless("3 mar").month_and_day(True) == (3, 3)


def asked(*days: str) -> str:
    with pytest.raises(Question) as found:
        recognise(read_table("\n".join(["When,Exercise,Reps", *(f"{day},Squat,5" for day in days)]).encode(), "log.csv"))
    return str(found.value)


def test_dates_that_cannot_be_read_are_shown():
    said = asked("week of 28 Nov 2026", "week of 5 Dec 2026", "week of 12 Dec 2026")
    assert '"When"' in said and '"week of 28 Nov 2026" and "week of 5 Dec 2026"' in said and "no date" not in said


def test_where_nothing_is_like_a_date_there_is_none():
    assert "holds no date" in asked("first", "second")
